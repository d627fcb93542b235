//! An extra is charged by the price list, or the answer says that it is not and what charges it.

use burrline_bench::Nobody;
use burrline_proto::v1;
use burrline_terms::words::{Role, ScriptKind};

use crate::harness::Shop;

#[tokio::test]
async fn an_extra_that_no_price_list_takes_up_says_what_charges_it() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Owner).await;
    counter.takes_in("0417").await;
    let said = counter.types("extra 0417 plaque 40", &mut Nobody).await;
    let words = "not charged: the price list has no line for it; `charge 0417 40.00 plaque` does";
    assert_eq!(said.talk, [words]);
    let charged = counter.types("charge 0417 40.00 plaque", &mut Nobody).await;
    assert_eq!(charged.talk, [""; 0]);
    let view = shop.show("0417").await;
    assert!(view.charges.iter().any(|line| line.what == "plaque" && line.amount == "40.00"));
}

#[tokio::test]
async fn an_extra_that_the_price_list_takes_up_says_its_line_and_the_price_with_it() {
    const LIST: &str = r#"
fn price(job) {
    let lines = [#{ what: "cleaning", amount: 100.00 }];
    for extra in job.extras {
        if extra.what == "plaque" {
            let amount = if extra.amount == () { 48.00 } else { extra.amount };
            lines.push(#{ what: "plaque", amount: amount });
        }
    }
    lines
}
"#;
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Owner).await;
    let request = v1::PutScriptRequest {
        kind: ScriptKind::Pricing.number(),
        name: "with-plaques".to_owned(),
        source: LIST.as_bytes().to_vec(),
    };
    let digest = shop.wire.clone().put_script(request).await.unwrap().into_inner().digest;
    let digest = hex::encode(digest);
    counter.says(&format!("install-script pricing with-plaques {digest}")).await;
    counter.says(&format!("activate-script {digest}")).await;
    counter.takes_in("0417").await;
    for (line, words) in [
        ("extra 0417 plaque", "by the price list: plaque 48.00; 148.00 in all"),
        ("extra 0417 plaque 40", "by the price list: plaque 40.00; 188.00 in all"),
        ("extra 0417 sheaths", "not charged: the price list has no line for it"),
    ] {
        let said = counter.types(line, &mut Nobody).await;
        assert!(said.talk.iter().any(|told| told.starts_with(words)), "{line}: {:?}", said.talk);
    }
}
