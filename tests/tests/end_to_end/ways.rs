//! By which way a head is cleaned, typed at a bench: said as it comes in, told on the floor, asked about
//! where it is not so, and known to a bench that is away.

use burrline_bench::{Answerer, Choice, Nobody, answer::Question};
use burrline_line::Unclear;
use burrline_terms::words::Role;

use crate::harness::Shop;

/// Takes the first choice that is labelled so.
struct Picks(&'static str, Vec<String>);

impl Answerer for Picks {
    fn answer(&mut self, question: &Question) -> Choice {
        self.1.extend(question.against.iter().cloned());
        Choice::LeaveOff
    }

    fn choose(&mut self, _: &[String], unclear: &Unclear) -> Option<Vec<String>> {
        self.1.push(unclear.about.clone());
        let chosen = unclear.choices.iter().find(|choice| choice.label.contains(self.0));
        chosen.map(|choice| choice.words.clone())
    }
}

#[tokio::test]
async fn a_head_comes_in_with_its_way_and_the_floor_says_what_it_does_there() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard", Role::Owner).await;
    yard.adds_places().await;
    for line in [
        "add-place colony-1 colony",
        "add-place freezer-1 freezer",
        "take-in 0601 roe deer male skinned way beetles --condition whole",
        "papers 0601 --kill-tag K-1",
        "flesh 0601 brain",
        "condition 0601 --nose whole --jaw whole",
    ] {
        yard.says(line).await;
    }
    let job = shop.show("0601").await;
    let plan: Vec<&str> = job.plan.iter().map(|step| step.step.as_str()).collect();
    assert_eq!(
        plan,
        ["flesh", "beetles", "freeze", "wrap", "degrease", "whiten", "dry", "coat", "inspect"]
    );
    let mut picks = Picks("nothing", Vec::new());
    yard.types("in pot-1 0601", &mut picks).await;
    assert!(picks.1.iter().any(|words| words.contains("it goes by beetles")), "{:?}", picks.1);
    yard.says("in colony-1 0601").await;
    yard.says("observe colony-1 26C humidity 52").await;
    let floor = shop.floor(Some("colony-1")).await;
    assert_eq!(floor.places[0].here[0].doing, "with the beetles");
    assert!(floor.places[0].observed.contains("humidity 52 %"), "{floor:?}");
    // Later another way is said, and its plan takes the place of the old one.
    yard.says("out 0601").await;
    yard.says("by-way 0601 cold maceration").await;
    let job = shop.show("0601").await;
    assert!(job.plan.iter().any(|step| step.step == "macerate"), "{:?}", job.plan);
    assert_eq!(shop.clashes().await, [""; 0]);
}

#[tokio::test]
async fn an_animal_that_nobody_knows_is_added_where_it_is_asked_about() {
    let shop = Shop::start().await;
    let counter = shop.bench("counter", Role::Counter).await;
    let mut picks = Picks("both bear horns", Vec::new());
    let said = counter.types("take-in 0602 takin skinned --condition whole", &mut picks).await;
    assert!(picks.1[0].contains("to add it: add-species takin"), "{:?}", picks.1);
    assert_eq!(said.answers.len(), 2, "{said:?}");
    assert_eq!(shop.find("takin").await.skulls.len(), 1);
    // It is known from then on.
    counter.types("take-in 0603 takin skinned --condition whole", &mut Nobody).await;
    assert_eq!(shop.find("takin").await.skulls.len(), 2);
}

#[tokio::test]
async fn the_shop_s_own_way_is_that_of_every_head_of_which_none_is_said() {
    let shop = Shop::start().await;
    let office = shop.bench("office", Role::Owner).await;
    for line in [
        "way-step sun --kind shelf --takes 21d",
        "way house flesh=30min beetles=5d freeze=8d sun=21d",
        "set-shop way house",
    ] {
        office.says(line).await;
    }
    office.bench.fresh_lexicon(&burrline_bench::clock::SystemClock).await;
    office.says("take-in 0604 chamois skinned --condition whole").await;
    let plan = shop.show("0604").await.plan;
    let plan: Vec<&str> = plan.iter().map(|step| step.step.as_str()).collect();
    assert_eq!(plan, ["flesh", "beetles", "freeze", "sun"]);
    let mut picks = Picks("simmer=1h", Vec::new());
    office.types("replan 0604 simer=1h", &mut picks).await;
    assert!(picks.1[0].contains("no step is called simer"), "{:?}", picks.1);
    let plan = shop.show("0604").await.plan;
    assert_eq!(plan[0].step, "simmer");
}
