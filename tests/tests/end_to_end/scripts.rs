//! Scripts that misbehave: they leave a remark with their name, and harm nothing.

use burrline_proto::v1;
use burrline_terms::words::Role;

use crate::harness::{Hand, Shop, remarks};

const ENDLESS: &str = "fn check(job, act) {\n    let n = 0;\n    loop { n += 1; }\n}\n";
const HOARDER: &str = "fn check(job, act) {\n    let s = \"bone\";\n    loop { s += s; }\n}\n";
const SLEEPER: &str = "fn check(job, act) {\n    sleep(60);\n}\n";

pub(crate) async fn install(shop: &Shop, owner: &Hand, name: &str, source: &str) {
    let request = v1::PutScriptRequest {
        kind: v1::ScriptKind::Stages.into(),
        name: name.to_owned(),
        source: source.as_bytes().to_vec(),
    };
    let digest = shop.wire.clone().put_script(request).await.unwrap().into_inner().digest;
    let digest = hex::encode(digest);
    owner.says(&format!("install-script stages {name} {digest}")).await;
    owner.says(&format!("activate-script {digest}")).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn scripts_that_never_end_hoard_or_sleep_leave_remarks_while_another_bench_goes_on() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    owner.takes_in("0417").await;
    owner.takes_in("0418").await;
    for (name, source) in [("endless", ENDLESS), ("hoarder", HOARDER), ("sleeper", SLEEPER)] {
        install(&shop, &owner, name, source).await;
    }
    // A fact is judged by the rules that its bench has seen: let it look at the shop once more.
    owner.says("hours 2 h").await;

    let (receipts, others) = tokio::join!(owner.says("wash 0417"), async {
        let mut count = 0;
        for _ in 0..5 {
            count += yard.says("note 0418 nose bones whole").await.len();
            count += yard.says("hours 2 h").await.len();
        }
        count
    });
    assert_eq!(others, 10);
    let remarks = remarks(receipts[0].outcome.as_ref()).unwrap();
    let said = |rule: &str| {
        let remark = remarks.iter().find(|remark| remark.rule == rule);
        let remark = remark.unwrap_or_else(|| panic!("{rule} is not in {remarks:?}"));
        assert!(remark.not_checked && !remark.objected, "{remark:?}");
        remark.words.clone()
    };
    // Which limit ends it depends on how fast the machine is; the loop is on line 3.
    let endless = said("endless");
    assert!(endless.starts_with("not checked: endless, line 3, column "), "{endless}");
    let hoarder = said("hoarder");
    assert!(hoarder.starts_with("not checked: hoarder, line 3, column "), "{hoarder}");
    assert!(hoarder.contains("Length of string too large"), "{hoarder}");
    assert!(said("sleeper").starts_with("not checked: sleeper, line 2"), "{}", said("sleeper"));
    // The shipped rules were asked all the same, and the fact is done.
    assert!(shop.trail("0417").await.last().unwrap().words.starts_with("wash"));
}

#[tokio::test]
async fn a_script_that_does_not_compile_or_fails_its_own_case_is_not_kept() {
    let shop = Shop::start().await;
    let put = async |source: &str| {
        let request = v1::PutScriptRequest {
            kind: v1::ScriptKind::Stages.into(),
            name: "bad".to_owned(),
            source: source.as_bytes().to_vec(),
        };
        shop.wire.clone().put_script(request).await.unwrap_err().message().to_owned()
    };
    assert!(put("fn check(job, act) { let }").await.contains("line 1"));
    let wrong = "fn check(job, act) { }\n\
                 fn cases() { [ #{ name: \"says no\", act: #{ verb: \"wash\" }, expect: \"no\" } ] }";
    assert!(put(wrong).await.contains("says no"));
}
