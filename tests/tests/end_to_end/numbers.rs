//! A number of a script in use is set without writing a script, and what was priced before stays as it was.

use std::path::Path;
use std::process::Command;

use burrline_present::readings::Scripts;
use burrline_proto::v1;
use burrline_terms::words::Role;

use crate::harness::{Shop, skull};

const BENCH: &str = env!("CARGO_BIN_EXE_burrline-tested");

/// What the program says, and how it ends.
async fn runs(folder: &Path, args: &[&str]) -> (String, Option<i32>) {
    let mut command = Command::new(BENCH);
    command.arg("--bench").arg(folder).arg("script").args(args);
    let done = tokio::task::spawn_blocking(move || command.output()).await.unwrap().unwrap();
    let words = [done.stdout, done.stderr].concat();
    (String::from_utf8(words).unwrap(), done.status.code())
}

/// The quote that the customer heard.
async fn heard(shop: &Shop, tag: &str) -> v1::HeardPrice {
    let request = v1::ScriptFactsRequest {
        skull: Some(skull(tag)),
        when_quoted: true,
        ..v1::ScriptFactsRequest::default()
    };
    shop.wire.clone().script_facts(request).await.unwrap().into_inner().heard.unwrap()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_price_is_set_by_its_name_and_an_old_quote_keeps_its_own() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.takes_in("0417").await;
    owner.says("quote 0417").await;
    let first = heard(&shop, "0417").await;
    assert_eq!(first.total, "120.00");
    let folder = owner.folder().join("bench");

    let (listed, status) = runs(&folder, &["numbers", "example-prices"]).await;
    assert_eq!(status, Some(0), "{listed}");
    assert!(listed.contains("cleaning.deer") && listed.contains("0 to 5000"), "{listed}");

    let set = ["set", "example-prices", "cleaning.deer", "135"];
    let (told, status) = runs(&folder, &set).await;
    assert_eq!(status, Some(0), "{told}");
    assert!(told.contains("cleaning.deer from 120.00 to 135.00"), "{told}");
    assert!(told.contains("a plain whitetail: 120.00 becomes 135.00 (+15.00)"), "{told}");
    owner.takes_in("0418").await;
    owner.says("quote 0418").await;
    assert_eq!(heard(&shop, "0418").await.total, "135.00");
    // What was heard stays, with the script that it came from.
    let kept = heard(&shop, "0417").await;
    assert_eq!((&kept.total, &kept.script), (&first.total, &first.script));

    let (told, status) = runs(&folder, &["set", "example-prices", "cleaning.deer", "120"]).await;
    assert_eq!(status, Some(0), "{told}");
    // The first version is in use again, and was not installed twice.
    let scripts = shop.reads(Scripts {}).await.scripts;
    let versions: Vec<_> = scripts.iter().filter(|one| one.name == "example-prices").collect();
    assert_eq!(versions.len(), 2, "{versions:?}");
    assert!(versions.iter().any(|one| one.active && one.digest == first.script), "{versions:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_may_not_be_set_records_nothing() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    let yard = shop.bench("yard-1", Role::Bench).await;
    let before = shop.records().await.len();
    for (args, words) in [
        (["safe-water", "no-above", "30 %"], "0.5 % to 12.5 %"),
        (["safe-water", "no-abov", "8 %"], "did you mean no-above"),
        (["no-such-rule", "no-above", "8 %"], "no installed script"),
        (["rush", "rush-days", "14 days"], "no installed script"),
    ] {
        let (told, status) =
            runs(&owner.folder().join("bench"), &[&["set"], args.as_slice()].concat()).await;
        assert!(told.contains(words) && status != Some(0), "{args:?}: {told}");
    }
    let set = ["set", "safe-water", "remark-above", "5 %"];
    let (told, status) = runs(&yard.folder().join("bench"), &set).await;
    assert_ne!(status, Some(0), "a yard sets no limit: {told}");
    assert_eq!(shop.records().await.len(), before);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_scripts_of_one_shop_are_put_to_use_in_another() {
    let (first, second) = (Shop::start().await, Shop::start().await);
    let owner = first.bench("office", Role::Owner).await;
    let other = second.bench("office", Role::Owner).await;
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("ours").display().to_string();
    let (from, to) = (owner.folder().join("bench"), other.folder().join("bench"));
    let (told, status) = runs(&from, &["set", "example-prices", "cleaning.deer", "135"]).await;
    assert_eq!(status, Some(0), "{told}");
    let (told, status) = runs(&from, &["export", &folder]).await;
    assert_eq!(status, Some(0), "{told}");
    let (told, status) = runs(&from, &["export", &folder]).await;
    assert!(status != Some(0) && told.contains("is there already"), "{told}");

    // One that is not taken keeps all of them out.
    let rule = dir.path().join("ours/stages/zz.rhai");
    std::fs::write(&rule, "fn check(job, act) { let }").unwrap();
    let before = second.records().await.len();
    let (told, status) = runs(&to, &["import", &folder, "--activate"]).await;
    assert!(status != Some(0) && told.contains("zz"), "{told}");
    assert_eq!(second.records().await.len(), before);
    std::fs::remove_file(rule).unwrap();
    let (told, status) = runs(&to, &["import", &folder, "--activate"]).await;
    assert_eq!(status, Some(0), "{told}");
    let in_use = async |shop: &Shop| {
        let scripts = shop.reads(Scripts {}).await.scripts;
        let mut all: Vec<_> = scripts.into_iter().filter(|one| one.active).collect();
        all.sort_by(|a, b| (a.kind, &a.name).cmp(&(b.kind, &b.name)));
        all.into_iter().map(|one| (one.kind, one.name, one.digest)).collect::<Vec<_>>()
    };
    assert_eq!(in_use(&second).await, in_use(&first).await);
}
