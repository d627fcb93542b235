//! What a rule's "no" becomes, by what the hand answers to it.

use burrline_bench::{Choice, Scripted, SystemClock, answer::Answer};
use burrline_domain::Verb;
use burrline_proto::{decode_record, v1};
use burrline_terms::words::Role;
use prost::Message as _;

use crate::harness::{Hand, Shop, remarks};

/// A shop where the skull 0616 is ready for the pot, but its antlers are not wrapped.
async fn before_the_pot() -> (Shop, Hand) {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0616").await;
    (shop, yard)
}

async fn last_two(shop: &Shop) -> [burrline_domain::Record; 2] {
    let records = shop.records().await;
    let decode = |record: &v1::Record| decode_record(&record.encode_to_vec()).unwrap().0;
    [decode(&records[records.len() - 2]), decode(&records[records.len() - 1])]
}

#[tokio::test]
async fn it_was_done_and_not_said_makes_two_facts_and_no_remark() {
    let (shop, yard) = before_the_pot().await;
    let before = shop.digest().await.records;
    let (said, asked) = yard.says_and("in pot-1 0616", Choice::Done).await;
    assert_eq!(asked.asked[0].against, ["wrap the antlers at the burr first."]);
    assert_eq!(said.answers.len(), 2);
    assert_eq!(shop.digest().await.records, before + 2);
    let [wrap, into] = last_two(&shop).await;
    assert!(matches!(wrap.entry.verb, Verb::Wrap(_)) && wrap.entry.not_seen);
    assert!(matches!(into.entry.verb, Verb::In(_)) && !into.entry.not_seen);
    assert_eq!(into.outcome, burrline_domain::Outcome::Done(Vec::new()));
    // They are taken back together.
    assert_eq!(
        (wrap.entry.together, into.entry.together),
        (Some(wrap.entry.name), Some(wrap.entry.name))
    );
    yard.says("strike").await;
    let [_, struck] = last_two(&shop).await;
    let Verb::Strike(strike) = struck.entry.verb else { panic!("{struck:?}") };
    assert_eq!(strike.entries, [wrap.entry.name, into.entry.name]);
}

#[tokio::test]
async fn anyway_puts_the_rule_its_script_and_the_reason_on_the_record() {
    let (shop, yard) = before_the_pot().await;
    let why = "shed stumps, nothing to wrap";
    let (said, _) = yard.says_and("in pot-1 0616", Choice::Anyway(why.to_owned())).await;
    let Some(Answer::Receipt { receipt, .. }) = said.answers.first() else { panic!("{said:?}") };
    let remarks = remarks(receipt.outcome.as_ref()).unwrap();
    let [remark] = remarks.as_slice() else { panic!("{remarks:?}") };
    assert_eq!((remark.rule.as_str(), remark.objected), ("wrap-first", true));
    assert_eq!(remark.words, "wrap the antlers at the burr first.");

    // The script can still be read under the digest that the remark names.
    let request = v1::GetScriptRequest { digest: remark.script.clone().unwrap() };
    let script = shop.wire.clone().get_script(request).await.unwrap().into_inner();
    assert_eq!(script.name, "wrap-first");
    assert!(String::from_utf8(script.source).unwrap().contains(&remark.words));

    let [_, into] = last_two(&shop).await;
    assert_eq!(into.entry.anyway.unwrap().as_str(), why);
    assert_eq!(into.entry.rulings[0].rule.as_str(), "wrap-first");
    assert_eq!(into.entry.rulings[0].script.0.to_vec(), remark.script.clone().unwrap());
    let trail = shop.trail("0616").await;
    let line = trail.last().unwrap();
    assert_eq!((line.anyway.as_str(), line.remarks.len()), (why, 1));
}

#[tokio::test]
async fn leaving_it_off_does_nothing_to_the_skull_and_notes_only_that() {
    let (shop, yard) = before_the_pot().await;
    let (before, trail) = (shop.records().await.len(), shop.trail("0616").await);
    let (said, _) = yard.says_and("in pot-1 0616", Choice::LeaveOff).await;
    assert!(matches!(said.answers[..], [Answer::LeftOff { .. }]), "{said:?}");
    assert_eq!(shop.trail("0616").await, trail);
    assert_eq!(shop.records().await.len(), before + 1, "that it was left off");
    assert!(yard.bench.waiting().unwrap().is_empty());
}

#[tokio::test]
async fn a_place_that_nobody_added_and_litres_without_a_unit_are_asked_about() {
    let shop = Shop::start().await;
    let hand = shop.bench("yard-1", Role::Owner).await;
    hand.adds_places().await;
    hand.says("fill pot-1 30L").await;
    // The bench has the shop's places, and need not ask the shop.
    hand.bench.fresh_lexicon(&SystemClock).await;
    let before = shop.records().await.len();
    for (line, words) in [
        ("fill pot-11 30L", "there is no place \u{201c}pot-11\u{201d}; there is pot-1 and tank-2"),
        ("fill pot-1 30", "30 has no unit"),
    ] {
        let said = hand.bench.say(line, &SystemClock, &mut Scripted::default()).await;
        let asked = said.unwrap_err().to_string();
        assert!(asked.contains(words), "{line}: {asked}");
    }
    assert_eq!(shop.records().await.len(), before, "nothing is recorded before it is clear");
    let floor = shop.floor(None).await;
    let pot = floor.places.into_iter().find(|place| place.name == "pot-11");
    assert_eq!(pot, None);
}

#[tokio::test]
async fn what_a_line_says_first_is_known_to_what_it_says_next() {
    let (shop, yard) = before_the_pot().await;
    yard.says("add-place rack-1 --kind rack").await;
    let row = "wrap 0616 ; in pot-1 0616 ; out 0616 ; wash 0616 ; in rack-1 0616";
    assert_eq!(yard.says(row).await.len(), 5);
    let [wash, into] = last_two(&shop).await;
    assert!(matches!(wash.entry.verb, Verb::Wash(_)) && wash.entry.rulings.is_empty());
    assert!(matches!(into.entry.verb, Verb::In(_)) && into.entry.rulings.is_empty());
    // Where it was brought last is where it is, and what is not said is missed as ever.
    let row = "out 0616 ; in pot-1 0616 ; wash 0616";
    let (_, asked) = yard.says_and(row, Choice::Done).await;
    let against: Vec<_> = asked.asked.iter().flat_map(|one| one.against.clone()).collect();
    assert_eq!(against, ["it is in pot-1 and nobody said it out"]);
}
