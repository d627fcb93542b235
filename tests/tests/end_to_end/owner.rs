//! What an owner asks about scripts: what they would have made of what has happened, how the rules
//! fared, and why a price was what it was.

use burrline_bench::Choice;
use burrline_host::{JobFacts, Prices, why_price};
use burrline_present::readings::{Rules, Scripts};
use burrline_proto::v1::{self, backtest_response::What};
use burrline_terms::words::Role;

use crate::harness::{Hand, Shop, skull};

fn flat(amount: &str) -> String {
    format!("fn price(job) {{ [#{{ what: \"flat\", amount: {amount} }}] }}")
}

async fn puts_to_use(shop: &Shop, owner: &Hand, kind: v1::ScriptKind, name: &str, source: &str) {
    let request = v1::PutScriptRequest {
        kind: kind.into(),
        name: name.to_owned(),
        source: source.as_bytes().to_vec(),
    };
    let digest = shop.wire.clone().put_script(request).await.unwrap().into_inner().digest;
    let (kind, digest) = (kind.as_str_name().to_lowercase(), hex::encode(digest));
    let kind = kind.trim_start_matches("script_kind_");
    owner.says(&format!("install-script {kind} {name} {digest}")).await;
    owner.says(&format!("activate-script {digest}")).await;
}

async fn seen(shop: &Shop, tag: &str, when_quoted: bool) -> v1::ScriptFactsResponse {
    let request = v1::ScriptFactsRequest {
        skull: Some(skull(tag)),
        when_quoted,
        ..v1::ScriptFactsRequest::default()
    };
    shop.wire.clone().script_facts(request).await.unwrap().into_inner()
}

async fn tried(shop: &Shop, kind: v1::ScriptKind, source: &str) -> Vec<What> {
    let request = v1::BacktestRequest {
        kind: kind.into(),
        name: "tried".to_owned(),
        source: source.as_bytes().to_vec(),
        from_ms: 0,
        until_ms: i64::MAX,
    };
    let mut stream = shop.wire.clone().backtest(request).await.unwrap().into_inner();
    let mut found = Vec::new();
    while let Some(one) = stream.message().await.unwrap() {
        found.extend(one.what);
    }
    found
}

#[tokio::test]
async fn a_price_is_explained_by_the_script_that_made_it_after_three_later_ones() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.takes_in("0417").await;
    owner.says("extra 0417 plaque --amount 48 --why walnut").await;
    owner.says("quote 0417").await;
    for (name, amount) in [("flat-1", "100.00"), ("flat-2", "200.00"), ("flat-3", "300.00")] {
        puts_to_use(&shop, &owner, v1::ScriptKind::Pricing, name, &flat(amount)).await;
    }
    // What happens later is not seen when the price of then is explained.
    owner.says("extra 0417 stain").await;

    let then = seen(&shop, "0417", true).await;
    let heard = then.heard.clone().unwrap();
    assert_eq!((heard.total.as_str(), heard.script_name.as_str()), ("120.00", "example-prices"));
    let get = v1::GetScriptRequest { digest: heard.script.clone() };
    let source = shop.wire.clone().get_script(get).await.unwrap().into_inner().source;
    let job: JobFacts = serde_json::from_str(&then.facts).unwrap();
    let why = why_price(&heard.script_name, &source, then.minor_digits, &job, None).unwrap();
    assert_eq!(why.quote.total.to_string(), heard.total);
    assert!(why.ran.iter().any(|ran| ran.made == ["cleaning, whitetail"]), "{why:#?}");
    let extras: Vec<&str> = job.extras.iter().map(|extra| extra.what.as_str()).collect();
    assert_eq!(extras, ["plaque"]);
    let now = seen(&shop, "0417", false).await;
    assert_eq!(now.pricing_name, "flat-3");
    assert!(now.facts.contains("stain") && now.version >= 2, "{}", now.facts);
}

#[tokio::test]
async fn a_quote_by_several_scripts_names_their_list_and_is_explained_by_it_when_it_is_no_more() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.takes_in("0417").await;
    let off =
        "fn adjust(job, lines) {\n    [#{ what: `regular, off ${lines[0].what}`, amount: -10 }]\n}";
    puts_to_use(&shop, &owner, v1::ScriptKind::Pricing, "regulars", off).await;
    // The list was changed since the take-in, so the price that is recorded is said.
    owner.says("quote 0417 110.00").await;
    owner.says("retire-script pricing regulars").await;
    puts_to_use(&shop, &owner, v1::ScriptKind::Pricing, "flat", &flat("300.00")).await;

    let then = seen(&shop, "0417", true).await;
    let heard = then.heard.clone().unwrap();
    assert_eq!(
        (heard.total.as_str(), heard.script_name.as_str()),
        ("110.00", "example-prices + regulars")
    );
    let fetch = async |digest: Vec<u8>| {
        let get = v1::GetScriptRequest { digest };
        shop.wire.clone().get_script(get).await.unwrap().into_inner().source
    };
    let list = fetch(heard.script.clone()).await;
    assert_eq!(hex::encode(&heard.script), burrline_host::digest_of(&list));
    let job: JobFacts = serde_json::from_str(&then.facts).unwrap();
    let mut lines = Vec::new();
    for (digest, name) in Prices::read_list(&list).unwrap() {
        let source = fetch(hex::decode(digest).unwrap()).await;
        let why = why_price(&name, &source, then.minor_digits, &job, Some(lines)).unwrap();
        lines = why.quote.lines;
    }
    let lines: Vec<String> = lines.iter().map(|l| format!("{} {}", l.amount, l.what)).collect();
    assert_eq!(lines, ["120.00 cleaning, whitetail", "-10 regular, off cleaning, whitetail"]);
    // What was heard agrees with it, so nothing is listed beside it.
    assert!(!shop.trail("0417").await.iter().any(|line| format!("{line:?}").contains("gives")));
    assert_eq!(seen(&shop, "0417", false).await.pricing_name, "flat");

    // Tried on what has happened, an adjustment comes after the list that is in force.
    owner.says_and("hand-over 0417", Choice::Anyway("my brother".into())).await;
    let found = tried(&shop, v1::ScriptKind::Pricing, off).await;
    let price = found.iter().find_map(|w| if let What::Price(p) = w { Some(p) } else { None });
    assert_eq!(price.unwrap().gives, "290.00", "{found:?}");
}

#[tokio::test]
async fn a_script_is_tried_on_what_has_happened_and_records_nothing() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.takes_in("0417").await;
    owner.takes_in("0418").await;
    owner.says("quote 0417").await;
    owner.says_and("hand-over 0417", Choice::Anyway("my brother".into())).await;
    let before = u64::try_from(shop.records().await.len()).unwrap();

    let found = tried(&shop, v1::ScriptKind::Pricing, &flat("150.00")).await;
    let prices: Vec<_> = found
        .iter()
        .filter_map(|what| if let What::Price(price) = what { Some(price) } else { None })
        .map(|price| (price.tag.as_str(), price.heard.as_str(), price.gives.as_str()))
        .collect();
    assert_eq!(prices, [("0417", "120.00", "150.00")]);

    let rule = "fn check(job, act) {\n    if act.verb == \"flesh\" && act.hand == \"ines\" { return #{ no: \"not Ines.\" }; }\n}";
    let found = tried(&shop, v1::ScriptKind::Stages, rule).await;
    let acts: Vec<_> = found
        .iter()
        .filter_map(|what| if let What::Act(act) = what { Some(act) } else { None })
        .collect();
    assert_eq!(acts.len(), 2, "{found:?}");
    assert!(acts.iter().all(|act| act.objects && act.words == "not Ines." && act.hand == "ines"));
    let Some(What::Progress(last)) = found.last() else { panic!("{found:?}") };
    assert_eq!((last.done, last.total, last.asked), (before, before, 5));
    assert_eq!(u64::try_from(shop.records().await.len()).unwrap(), before);
}

#[tokio::test]
async fn rules_are_counted_and_a_retired_one_is_not_asked() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.adds_places().await;
    owner.takes_in("0417").await;
    owner.says_and("in pot-1 0417", Choice::Done).await;
    owner.says("out 0417").await;
    owner.says("unwrap 0417").await;
    owner.says_and("in pot-1 0417", Choice::Anyway("shed stumps".into())).await;
    let rules = shop.reads(Rules { since: None }).await;
    let wrap = rules.rules.iter().find(|rule| rule.rule == "wrap-first").unwrap();
    assert!(wrap.active);
    assert_eq!((wrap.anyway, wrap.said_first, wrap.unasked), (1, 1, 0), "{wrap:?}");
    assert_eq!(wrap.reasons, ["shed stumps"]);

    owner.says("out 0417").await;
    owner.says("retire-script stages wrap-first").await;
    // With the rule out of use nothing is asked.
    owner.says("in pot-1 0417").await;
    let scripts = shop.reads(Scripts {}).await;
    let wrap = scripts.scripts.iter().find(|script| script.name == "wrap-first").unwrap();
    let steps: Vec<&str> = wrap.steps.iter().map(|step| step.what.as_str()).collect();
    assert_eq!((wrap.active, steps), (false, vec!["installed", "activated", "retired"]));
}

#[tokio::test]
async fn a_trial_that_is_given_up_says_how_far_it_came() {
    let shop = Shop::start().await;
    let owner = shop.bench("office", Role::Owner).await;
    owner.takes_in("0417").await;
    for n in 0..55 {
        owner.says(&format!("note 0417 --words \"turned {n}\"")).await;
    }
    let source = "fn check(job, act) { throw \"no answer\" }";
    let found = tried(&shop, v1::ScriptKind::Stages, source).await;
    let Some(What::Progress(last)) = found.last() else { panic!("{found:?}") };
    assert!(last.done < last.total, "{last:?}");
    let failed = found.iter().filter(|one| matches!(one, What::Act(act) if act.not_checked));
    assert_eq!(failed.count(), 50);
    // What goes to its end says so, too.
    let found = tried(&shop, v1::ScriptKind::Stages, "fn check(job, act) { () }").await;
    let Some(What::Progress(last)) = found.last() else { panic!("{found:?}") };
    assert_eq!(last.done, last.total);
}
