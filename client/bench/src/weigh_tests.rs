//! Who was told no, and what became of it.

use burrline_domain::{Verb, verb};
use burrline_line::{Common, Lexicon, parse};
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Skull, Tag, Typed as _};

use super::{
    answer::{Answer, Answerer, Choice, Nobody, Said, Scripted},
    draft::Draft,
    weigh::weigh,
};
use crate::{Ending, Error};

fn drafts(line: &str) -> Vec<Draft> {
    parse(line, &Lexicon::default()).unwrap().verbs.into_iter().map(Draft::from).collect()
}

/// The shop's answer to `in pot-1 0616` while the antlers are not wrapped.
fn not_wrapped() -> v1::Ruled {
    let tag = Tag::read("0616").unwrap();
    let skull = Skull { job: Some(EntryName::new(3, 9)), ..Skull::tagged(tag) };
    let wrap: Verb = verb::Wrap { skull: skull.clone() }.into();
    v1::Ruled {
        skull: Some(v1::SkullLine {
            tag: "0616".into(),
            species: "whitetail".into(),
            piece: "skull".into(),
            ..v1::SkullLine::default()
        }),
        meant: Some(skull.to_item()),
        objections: vec![v1::Objection {
            rule: "wrap-first".into(),
            script: vec![5; 32],
            words: "wrap the antlers at the burr first".into(),
            missing: vec![v1::Verb::from(&wrap)],
            ..v1::Objection::default()
        }],
        ..v1::Ruled::default()
    }
}

fn weighed(
    line: &str,
    ruled: v1::Ruled,
    common: &Common,
    hand: &mut (dyn Answerer + Send),
) -> Result<(Vec<Draft>, Said), Error> {
    let mut said = Said::default();
    let weighed = weigh(drafts(line), Some(vec![ruled]), common, true, hand, &mut said)?;
    Ok((weighed.first.into_iter().chain(weighed.drafts).collect(), said))
}

fn answered(choice: Choice) -> (Vec<Draft>, Said, Scripted) {
    let mut hand = Scripted { answers: [choice].into(), asked: Vec::new() };
    let (drafts, said) =
        weighed("in pot-1 0616", not_wrapped(), &Common::default(), &mut hand).unwrap();
    (drafts, said, hand)
}

#[test]
fn done_not_said_says_the_missing_step_first() {
    let (drafts, said, hand) = answered(Choice::Done);
    let lines: Vec<String> = drafts.iter().map(|draft| draft.verb.line()).collect();
    assert_eq!(lines, ["wrap 0616/3:9", "in pot-1 0616/3:9"]);
    assert!(drafts[0].not_seen && !drafts[1].not_seen);
    assert!(drafts.iter().all(|draft| draft.anyway.is_none() && draft.rulings.is_empty()));
    assert_eq!(said.answers, []);
    let question = &hand.asked[0];
    assert_eq!(question.line, "in pot-1 0616");
    assert_eq!(question.skull, "0616 whitetail");
    assert_eq!(question.missing, ["wrap 0616"]);
}

#[test]
fn anyway_carries_the_reason_and_the_ruling() {
    let (drafts, _, _) = answered(Choice::Anyway("shed stumps, nothing to wrap".into()));
    let [draft] = drafts.as_slice() else { panic!("{drafts:?}") };
    assert_eq!(draft.anyway.as_ref().unwrap().as_str(), "shed stumps, nothing to wrap");
    assert_eq!(draft.rulings[0].rule.as_str(), "wrap-first");
    assert_eq!(draft.rulings[0].script.0, [5; 32]);
    assert_eq!(draft.rulings[0].words.as_str(), "wrap the antlers at the burr first");
}

#[test]
fn left_off_is_nothing_at_all() {
    let (drafts, said, _) = answered(Choice::LeaveOff);
    assert!(drafts.is_empty());
    assert_eq!(said.ending(), Ending::Refused);
}

#[test]
fn with_nobody_there_it_is_left_off_and_says_the_flags() {
    let (drafts, said) =
        weighed("in pot-1 0616", not_wrapped(), &Common::default(), &mut Nobody).unwrap();
    assert!(drafts.is_empty());
    let [Answer::LeftOff { why, .. }] = said.answers.as_slice() else { panic!("{said:?}") };
    assert!(why.concat().contains("--yes-done") && why.concat().contains("--anyway"), "{why:?}");
}

#[test]
fn flags_answer_beforehand() {
    let done = Common { done: true, ..Common::default() };
    let (drafts, _) = weighed("in pot-1 0616", not_wrapped(), &done, &mut Nobody).unwrap();
    assert_eq!(drafts.len(), 2);
    let anyway = Common { anyway: Some("shed stumps".into()), ..Common::default() };
    let (drafts, _) = weighed("in pot-1 0616", not_wrapped(), &anyway, &mut Nobody).unwrap();
    assert!(drafts[0].anyway.is_some());
}

#[test]
fn a_step_that_settles_only_half_of_it_is_not_offered() {
    let mut ruled = not_wrapped();
    ruled.objections.push(v1::Objection {
        rule: "papers-first".into(),
        script: vec![6; 32],
        words: "papers first".into(),
        ..v1::Objection::default()
    });
    let done = Common { done: true, ..Common::default() };
    let (drafts, said) = weighed("in pot-1 0616", ruled, &done, &mut Nobody).unwrap();
    assert!(drafts.is_empty());
    let [Answer::LeftOff { why, .. }] = said.answers.as_slice() else { panic!("{said:?}") };
    assert!(!why.concat().contains("--yes-done"), "{why:?}");
}

#[test]
fn an_unknown_tag_names_who_is_near() {
    let near = v1::SkullLine {
        tag: "0417".into(),
        species: "whitetail".into(),
        points: Some(8),
        place: "pot-1".into(),
        ..v1::SkullLine::default()
    };
    let unknown = "no open job has tag 0418".to_owned();
    let ruled = v1::Ruled { unknown, near: vec![near], ..v1::Ruled::default() };
    let mut hand = Scripted::default();
    let (drafts, _) = weighed("wash 0418", ruled, &Common::default(), &mut hand).unwrap();
    assert!(drafts.is_empty());
    assert_eq!(
        hand.asked[0].against,
        ["no open job has tag 0418; did you mean 0417 (whitetail 8 pt, in pot-1)"]
    );
}

#[test]
fn remarks_and_what_could_not_be_checked_stop_nothing() {
    let mut ruled = not_wrapped();
    ruled.objections[0].not_checked = true;
    let (drafts, said) = weighed("in pot-1 0616", ruled, &Common::default(), &mut Nobody).unwrap();
    assert_eq!(drafts.len(), 1);
    assert_eq!(said.talk, ["wrap the antlers at the burr first"]);
}

#[test]
fn a_quote_takes_the_price_and_a_take_in_the_plan() {
    let ruled = v1::Ruled {
        price: vec![v1::PriceLine { what: "cleaning".into(), amount: "150.00".into() }],
        total: "162.00".into(),
        price_script: vec![7; 32],
        plan: vec![v1::PlanStep {
            step: "simmer".into(),
            expected: Some(v1::Span { number: "150".into(), unit: 1 }),
        }],
        ..v1::Ruled::default()
    };
    let common = Common::default();
    let (quoted, _) = weighed("quote 0417", ruled.clone(), &common, &mut Nobody).unwrap();
    let Verb::Quote(quote) = &quoted[0].verb else { panic!("{quoted:?}") };
    assert_eq!(quote.total.map(|total| total.to_string()).as_deref(), Some("162.00"));
    assert_eq!((quote.lines.len(), quote.script.map(|s| s.0)), (1, Some([7; 32])));
    let (heard, _) = weighed("quote 0417 140.00", ruled.clone(), &common, &mut Nobody).unwrap();
    let Verb::Quote(quote) = &heard[0].verb else { panic!("{heard:?}") };
    assert_eq!(quote.total.map(|total| total.to_string()).as_deref(), Some("140.00"));
    let (taken, said) = weighed("take-in 0417 elk", ruled, &common, &mut Nobody).unwrap();
    let Verb::TakeIn(take_in) = &taken[0].verb else { panic!("{taken:?}") };
    assert_eq!(take_in.plan[0].show(), "simmer=150min");
    assert!(said.talk[0].starts_with("0417 price: 162.00 (cleaning 150.00)"), "{:?}", said.talk);
}

#[test]
fn a_take_in_that_is_left_off_prints_no_price() {
    let ruled = v1::Ruled {
        price: vec![v1::PriceLine { what: "cleaning".into(), amount: "150.00".into() }],
        total: "150.00".into(),
        objections: vec![v1::Objection {
            rule: "tag".into(),
            words: "0417 is on an open job".into(),
            ..v1::Objection::default()
        }],
        ..v1::Ruled::default()
    };
    let take_in = |choice: Choice| {
        let mut hand = Scripted { answers: [choice].into(), asked: Vec::new() };
        let common = Common::default();
        weighed("take-in 0417 elk", ruled.clone(), &common, &mut hand).unwrap()
    };
    let (drafts, said) = take_in(Choice::LeaveOff);
    assert_eq!((drafts.len(), said.talk), (0, Vec::<String>::new()));
    let (drafts, said) = take_in(Choice::Nobody);
    assert_eq!((drafts.len(), said.talk), (0, Vec::<String>::new()));
    let (drafts, said) = take_in(Choice::Anyway("two heads share it".into()));
    assert_eq!(drafts.len(), 1);
    assert!(said.talk[0].starts_with("0417 price: 150.00"), "{:?}", said.talk);
}

#[test]
fn an_anyway_covers_what_was_shown_and_no_more() {
    let mut said = Said::default();
    let common = Common::default();
    let mut weigh_again = |drafts: Vec<Draft>, ruled: v1::Ruled, choice: Choice| {
        let mut hand = Scripted { answers: [choice].into(), asked: Vec::new() };
        let weighed =
            weigh(drafts, Some(vec![ruled]), &common, true, &mut hand, &mut said).unwrap();
        let asked: Vec<Vec<String>> = hand.asked.into_iter().map(|q| q.against).collect();
        (weighed, asked)
    };
    let once = Choice::Anyway("shed stumps".into());
    let (first, asked) = weigh_again(drafts("in pot-1 0616"), not_wrapped(), once);
    assert!(first.asked && asked.len() == 1);

    // The same again is not asked about.
    let (same, asked) = weigh_again(first.drafts, not_wrapped(), Choice::LeaveOff);
    assert!(!same.asked && asked.is_empty() && same.drafts.len() == 1);

    // What is new is, by itself, and both reasons and rulings travel.
    let mut more = not_wrapped();
    more.objections.push(v1::Objection {
        rule: "papers-first".into(),
        script: vec![6; 32],
        words: "papers first".into(),
        ..v1::Objection::default()
    });
    let twice = Choice::Anyway("they bring them".into());
    let (both, asked) = weigh_again(same.drafts, more, twice);
    assert_eq!(asked, [["papers first"]]);
    let draft = &both.drafts[0];
    assert_eq!(draft.anyway.as_ref().unwrap().as_str(), "shed stumps; they bring them");
    let rules: Vec<&str> = draft.rulings.iter().map(|ruling| ruling.rule.as_str()).collect();
    assert_eq!(rules, ["wrap-first", "papers-first"]);
}

#[test]
fn what_nobody_can_mean_is_typed_wrong() {
    let refused = "pay: -20 was said".to_owned();
    let ruled = v1::Ruled { refused, ..v1::Ruled::default() };
    let wrong = weighed("wash 0616", ruled, &Common::default(), &mut Nobody).unwrap_err();
    assert!(matches!(wrong, Error::Usage(_)), "{wrong:?}");
}

#[test]
fn an_anyway_that_was_typed_beforehand_tells_what_it_was_held_against() {
    let mut ruled = not_wrapped();
    ruled.objections.push(v1::Objection {
        rule: "too-much".into(),
        words: "185.00 paid, 120.00 owed: 65.00 too much".into(),
        ..v1::Objection::default()
    });
    let anyway = Common { anyway: Some("a tip".into()), ..Common::default() };
    let (_, said) = weighed("in pot-1 0616", ruled, &anyway, &mut Nobody).unwrap();
    assert_eq!(said.talk, ["185.00 paid, 120.00 owed: 65.00 too much"]);
}

/// `wash 0417 0418 0499` where no head wears 0499, with this answer to what is asked.
fn of_three(choice: Choice) -> (Result<Vec<String>, Error>, Said, Scripted) {
    let unknown = "no open job has tag 0499".to_owned();
    let ruled = vec![
        v1::Ruled::default(),
        v1::Ruled::default(),
        v1::Ruled { unknown, ..v1::Ruled::default() },
    ];
    let mut hand = Scripted { answers: [choice].into(), asked: Vec::new() };
    let mut said = Said::default();
    let drafts = drafts("wash 0417 0418 0499");
    let weighed = weigh(drafts, Some(ruled), &Common::default(), true, &mut hand, &mut said);
    let lines = |weighed: super::weigh::Weighed| {
        weighed.drafts.iter().map(|draft| draft.verb.line()).collect()
    };
    (weighed.map(lines), said, hand)
}

#[test]
fn of_several_skulls_the_rest_is_recorded_where_the_hand_says_so() {
    let (lines, said, hand) = of_three(Choice::Without);
    assert_eq!(hand.asked[0].rest, "wash 0417 0418");
    assert_eq!(lines.unwrap(), ["wash 0417", "wash 0418"]);
    assert_eq!(said.answers.len(), 1, "{said:?}");
    assert_eq!(said.left_off.len(), 1);
}

#[test]
fn record_nothing_means_nothing_of_the_whole_line() {
    let (lines, said, _) = of_three(Choice::LeaveOff);
    assert!(lines.unwrap().is_empty());
    assert_eq!(said.answers.len(), 3, "{said:?}");
    assert_eq!(said.left_off.len(), 1, "only what was asked about is noted");
}

#[test]
fn with_nobody_there_nothing_of_the_line_is_recorded_and_the_rest_is_named() {
    let (lines, _, _) = of_three(Choice::Nobody);
    let error = lines.unwrap_err();
    assert_eq!(error.ending(), Ending::Usage);
    let told = error.to_string();
    assert!(told.contains("no open job has tag 0499"), "{told}");
    assert!(told.contains("to record the rest: wash 0417 0418"), "{told}");
}
