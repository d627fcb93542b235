//! A correction changes what it names, and nothing else.

use burrline_bench::{
    Answerer, Choice, Ending, Nobody, SystemClock, alone::Then, answer::Question,
};
use burrline_line::{Common, Details, Unclear, Utterance};
use burrline_proto::v1;
use burrline_terms::{EntryName, words::Role};

use crate::harness::{Hand, Shop};

fn name(receipt: &v1::Receipt) -> EntryName {
    let entry = receipt.entry.unwrap();
    EntryName::new(entry.life, entry.n)
}

/// Says one field of a line anew, as `amend 2:64 place rack-2` does.
async fn amends(hand: &Hand, entry: EntryName, field: &str, value: &str) -> Result<(), String> {
    hand.bench.catch_up(&SystemClock, None).await.unwrap();
    let alone = hand.bench.alone(&SystemClock, Then::default()).unwrap();
    let value: Vec<String> = value.split(' ').map(str::to_owned).collect();
    let verb = hand.bench.amend_field(alone.as_ref(), entry, field, &value);
    let verb = verb.map_err(|error| error.to_string())?;
    let (common, details) = (Common::default(), Details::default());
    let utterance = Utterance { details, ..Utterance::of(verb.spec(), common, vec![verb]) };
    let said = hand.bench.utter(utterance, &SystemClock, &mut Nobody).await.unwrap();
    assert_eq!(said.ending(), Ending::Done, "{said:?}");
    Ok(())
}

async fn line(shop: &Shop, tag: &str, word: &str) -> String {
    let trail = shop.trail(tag).await;
    trail.into_iter().find(|line| line.words.starts_with(word)).unwrap().told
}

#[tokio::test]
async fn a_field_that_is_amended_leaves_the_others_as_they_were() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.adds_places().await;
    yard.takes_in("0417").await;
    yard.takes_in("0418").await;
    let look = name(&yard.says("look 0417 softening --teeth open").await.remove(0));
    amends(&yard, look, "tissue", "clean").await.unwrap();
    let told = line(&shop, "0417", "look").await;
    assert!(told.contains("clean") && told.contains("open"), "{told}");

    amends(&yard, look, "tag", "418").await.unwrap();
    let told = line(&shop, "0418", "look").await;
    assert!(told.contains("clean") && told.contains("open"), "{told}");
    assert_eq!(shop.clashes().await, [""; 0]);

    let error = amends(&yard, look, "tag", "0999").await.unwrap_err();
    assert!(error.contains("wore 0999 then"), "{error}");
    let error = amends(&yard, look, "place", "pot-1").await.unwrap_err();
    assert!(error.contains("look has no place; it has tag, tissue"), "{error}");
}

#[tokio::test]
async fn a_whole_line_that_is_amended_keeps_what_it_leaves_unsaid_and_shows_both() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.takes_in("0417").await;
    let look = name(&yard.says("look 0417 softening --teeth open").await.remove(0));
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    let said = yard.types(&format!("amend {look} look 0417 slipping"), &mut Nobody).await;
    let (was, will_be) = (&said.talk[0], &said.talk[1]);
    assert!(was.starts_with("was: look 0417 softening"), "{was}");
    assert!(will_be.starts_with("will be: look 0417 slipping"), "{will_be}");
    let told = line(&shop, "0417", "look").await;
    assert!(told.contains("slipping") && told.contains("open"), "{told}");
}

/// Takes the first thing that is offered.
struct TakesTheFirst(Vec<String>);

impl Answerer for TakesTheFirst {
    fn answer(&mut self, _: &Question) -> Choice {
        Choice::LeaveOff
    }

    fn choose(&mut self, _: &[String], unclear: &Unclear) -> Option<Vec<String>> {
        self.0.push(unclear.about.clone());
        unclear.choices.first().map(|choice| choice.words.clone())
    }
}

#[tokio::test]
async fn what_was_wrong_just_before_is_put_right_as_it_is_said() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    yard.takes_in("0417").await;
    yard.takes_in("0418").await;
    let look = name(&yard.says("look 0417 softening").await.remove(0));
    let mut hand = TakesTheFirst(Vec::new());
    let said = yard.types("sorry, 418 not 417", &mut hand).await;
    assert_eq!(said.ending(), Ending::Done, "{said:?}");
    assert_eq!(hand.0, ["is this about the last line of this bench, `look 0417 softening`?"]);
    assert!(line(&shop, "0418", "look").await.contains("softening"));
    // When it was is not amended: that goes by taking it back, and nothing is recorded of a time.
    let error = yard
        .bench
        .say(&format!("at 9:30 amend {look} look 0418 clean"), &SystemClock, &mut Nobody)
        .await;
    let error = error.unwrap_err().to_string();
    assert!(error.contains(&format!("`strike {look}`")), "{error}");
    assert!(error.contains("`look 0418 clean at 9:30`"), "{error}");
    assert!(line(&shop, "0418", "look").await.contains("softening"));
}

#[tokio::test]
async fn a_decision_is_not_amended() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Owner).await;
    let place = name(&yard.says("add-place pot-1 pot").await.remove(0));
    yard.bench.catch_up(&SystemClock, None).await.unwrap();
    let before = shop.records().await.len();
    let line = format!("amend {place} add-place pot-2 pot");
    let error = yard.bench.say(&line, &SystemClock, &mut Nobody).await.unwrap_err();
    assert!(error.to_string().contains("another decision takes it back"), "{error}");
    assert_eq!(shop.records().await.len(), before);
}
