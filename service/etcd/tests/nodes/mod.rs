//! Real nodes of the engine, on loopback, in a folder that goes away; ended by their own process.
//!
//! The program is `etcd` on the path, or what `ETCD` names. Debian has it in `etcd-server`.
#![allow(dead_code, reason = "each test uses a part of it")]

use std::{
    ffi::OsString,
    net::TcpListener,
    process::{Child, Command, Stdio},
    sync::atomic::{AtomicU32, Ordering},
};

use tempfile::TempDir;

/// A running engine.
pub(crate) struct Nodes {
    all: Vec<Node>,
    joined: String,
    // Dropped last.
    dir: TempDir,
}

struct Node {
    name: String,
    client: String,
    peer: String,
    scheme: &'static str,
    more: Vec<String>,
    child: Option<Child>,
}

/// A port that nobody has at this moment, below those that the system gives to whoever asks for any: one
/// of these could be given away before the node has it, and a node that was killed must get its own again.
fn free() -> String {
    static NEXT: AtomicU32 = AtomicU32::new(0);
    loop {
        let next = NEXT.fetch_add(1, Ordering::Relaxed);
        let port = std::process::id().wrapping_mul(97).wrapping_add(next) % 12_000;
        let address = format!("127.0.0.1:{}", port.saturating_add(20_000));
        if TcpListener::bind(&address).is_ok() {
            return address;
        }
    }
}

impl Nodes {
    /// Starts so many.
    pub(crate) fn start(count: usize) -> Self {
        Self::start_with(count, &[])
    }

    /// Starts so many, each with these arguments too.
    pub(crate) fn start_with(count: usize, more: &[&str]) -> Self {
        Self::started(count, "http", more)
    }

    /// Starts one that speaks TLS, with these arguments that say how.
    pub(crate) fn start_tls(how: &[&str]) -> Self {
        Self::started(1, "https", how)
    }

    fn started(count: usize, scheme: &'static str, more: &[&str]) -> Self {
        let nodes = (0..count).map(|n| Node {
            name: format!("node{n}"),
            client: free(),
            peer: free(),
            scheme,
            more: more.iter().map(|&one| one.to_owned()).collect(),
            child: None,
        });
        let mut nodes: Vec<Node> = nodes.collect();
        let joined = nodes.iter().map(|node| format!("{}=http://{}", node.name, node.peer));
        let joined = joined.collect::<Vec<_>>().join(",");
        let dir = tempfile::tempdir().unwrap();
        for node in &mut nodes {
            node.start(&dir, &joined);
        }
        Self { all: nodes, joined, dir }
    }

    /// The address of a log below a prefix.
    pub(crate) fn address(&self, prefix: &str) -> String {
        let hosts: Vec<&str> = self.all.iter().map(|node| node.client.as_str()).collect();
        format!("etcd://{}/{prefix}", hosts.join(","))
    }

    /// Ends a node as a power cut of its program would.
    pub(crate) fn kill(&mut self, node: usize) {
        let mut child = self.all[node].child.take().unwrap();
        child.kill().unwrap();
        child.wait().unwrap();
    }

    /// Starts a node again that was killed.
    pub(crate) fn start_again(&mut self, node: usize) {
        self.all[node].start(&self.dir, &self.joined);
    }

    /// With what each node is started the next time.
    pub(crate) fn set(&mut self, more: &[&str]) {
        for node in &mut self.all {
            node.more = more.iter().map(|&one| one.to_owned()).collect();
        }
    }

    /// Its process, to be stopped and to go on.
    pub(crate) fn pid(&self, node: usize) -> u32 {
        self.all[node].child.as_ref().unwrap().id()
    }

    /// Every byte that a node has on its disk, but for the zeros that a file is made with.
    pub(crate) fn bytes(&self, node: usize) -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut folders = vec![self.dir.path().join(&self.all[node].name)];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                } else {
                    let mut file = std::fs::read(path).unwrap();
                    file.truncate(
                        file.iter()
                            .rposition(|byte| *byte != 0)
                            .map_or(0, |at| at.saturating_add(33)),
                    );
                    bytes.extend(file);
                }
            }
        }
        bytes
    }
}

impl Node {
    fn start(&mut self, dir: &TempDir, joined: &str) {
        let program = std::env::var_os("ETCD").unwrap_or_else(|| OsString::from("etcd"));
        let (client, peer) =
            (format!("{}://{}", self.scheme, self.client), format!("http://{}", self.peer));
        let log = std::fs::File::create(dir.path().join(format!("{}.log", self.name))).unwrap();
        let child = Command::new(&program)
            .args(["--name", &self.name, "--data-dir"])
            .arg(dir.path().join(&self.name))
            .args(["--listen-client-urls", &client, "--advertise-client-urls", &client])
            .args(["--listen-peer-urls", &peer, "--initial-advertise-peer-urls", &peer])
            .args(["--initial-cluster", joined, "--initial-cluster-state", "new"])
            .args(&self.more)
            .stdout(Stdio::null())
            .stderr(log)
            .spawn();
        self.child = Some(child.unwrap_or_else(|error| {
            panic!(
                "{}: {error}: install Debian's etcd-server, or name it with ETCD",
                program.display()
            )
        }));
    }
}

impl Drop for Node {
    fn drop(&mut self) {
        if let Some(mut child) = self.child.take() {
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}
