//! An engine that asks for a user, and one that speaks TLS.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

mod nodes;

use std::{os::unix::fs::PermissionsExt as _, path::Path, process::Command};

use burrline_etcd::{EtcdEngine, access::Access, address::Address};
use burrline_ledger::{Engine as _, Head, Ledger as _, Opening};
use etcd_client::{Client, ConnectOptions, Permission, PermissionType};

fn access(dir: &Path, text: &str) -> Access {
    let path = dir.join("access.toml");
    std::fs::write(&path, text).unwrap();
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600)).unwrap();
    Access::read(&path).unwrap()
}

/// Appends one record more; the words of what is wrong.
fn tried(nodes: &nodes::Nodes, prefix: &str, access: &Access) -> Result<Head, String> {
    let address = Address::read(&nodes.address(prefix)).unwrap();
    let engine = EtcdEngine::new(address, access.clone(), None);
    let opened = engine.open(Opening { may_begin: true, ..Opening::default() });
    let mut log = opened.map_err(|error| error.to_string())?.ledger;
    let size = log.head().size;
    log.append(size, &[b"wash 0417".to_vec()]).map_err(|error| error.to_string())
}

#[test]
fn a_user_may_write_below_its_prefix_and_nowhere_else() {
    let nodes = nodes::Nodes::start(1);
    let dir = tempfile::tempdir().unwrap();
    // It answers once this is through.
    assert_eq!(tried(&nodes, "shop", &Access::default()).unwrap().size, 1);
    let address = Address::read(&nodes.address("shop")).unwrap();
    let node = format!("http://{}", address.nodes()[0]);
    tokio::runtime::Runtime::new().unwrap().block_on(async {
        let mut root = Client::connect([node], Some(ConnectOptions::new())).await.unwrap();
        root.user_add("root", "marrow", None).await.unwrap();
        root.role_add("root").await.unwrap();
        root.user_grant_role("root", "root").await.unwrap();
        root.user_add("shop", "bone", None).await.unwrap();
        root.role_add("shop").await.unwrap();
        let own = Permission::new(PermissionType::Readwrite, "shop/").with_prefix();
        root.role_grant_permission("shop", own).await.unwrap();
        root.user_grant_role("shop", "shop").await.unwrap();
        root.auth_enable().await.unwrap();
    });
    let own = access(dir.path(), "user = \"shop\"\npassword = \"bone\"\n");
    assert_eq!(tried(&nodes, "shop", &own).unwrap().size, 2);
    let words = tried(&nodes, "other", &own).unwrap_err();
    assert!(words.contains("permission denied"), "{words}");
    let words = tried(&nodes, "shop", &Access::default()).unwrap_err();
    assert!(words.contains("user name is empty"), "{words}");
    let wrong = access(dir.path(), "user = \"shop\"\npassword = \"horn\"\n");
    let words = tried(&nodes, "shop", &wrong).unwrap_err();
    assert!(words.contains("authentication failed") && !words.contains("horn"), "{words}");
}

/// A certificate of its own, good for this machine, with its key beside it.
fn certificate(dir: &Path, name: &str) -> (String, String) {
    let path = |ending: &str| dir.join(format!("{name}.{ending}")).to_str().unwrap().to_owned();
    let (cert, key) = (path("pem"), path("key"));
    let made = Command::new("openssl")
        .args([
            "req",
            "-x509",
            "-newkey",
            "ec",
            "-pkeyopt",
            "ec_paramgen_curve:prime256v1",
            "-nodes",
        ])
        .args(["-days", "2", "-subj", "/CN=node", "-addext", "subjectAltName=IP:127.0.0.1"])
        .args(["-addext", "basicConstraints=critical,CA:FALSE", "-out", &cert, "-keyout", &key])
        .output()
        .unwrap();
    assert!(made.status.success(), "{made:?}");
    (cert, key)
}

#[test]
fn tls_is_spoken_with_a_node_whose_certificate_is_known_and_by_whom_it_knows() {
    let dir = tempfile::tempdir().unwrap();
    let (node, node_key) = certificate(dir.path(), "node");
    let (shop, shop_key) = certificate(dir.path(), "shop");
    let (other, other_key) = certificate(dir.path(), "other");
    let trusts = ["--client-cert-auth", "--trusted-ca-file", &shop];
    let own = ["--cert-file", &node, "--key-file", &node_key];
    let nodes = nodes::Nodes::start_tls(&[&own[..], &trusts[..]].concat());
    let known = |ca: &str, cert: &str, key: &str| {
        let text = format!("ca = {ca:?}\ncert = {cert:?}\nkey = {key:?}\n");
        tried(&nodes, "shop", &access(dir.path(), &text))
    };
    assert_eq!(known(&node, &shop, &shop_key).unwrap().size, 1);
    for refused in [known(&other, &shop, &shop_key), known(&node, &other, &other_key)] {
        let words = refused.unwrap_err();
        assert!(words.contains("no node answered"), "{words}");
    }
    let clear = tried(&nodes, "shop", &Access::default()).unwrap_err();
    assert!(clear.contains("no node answered"), "{clear}");
}
