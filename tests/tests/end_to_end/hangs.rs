//! A shop that takes everything and answers nothing: it costs one wait, and from then on lines are kept
//! and readings answered at once, until somebody gets an answer.

use burrline_bench::{Error, Nobody, SystemClock, alone::Then, answer::Answer, patience::Times};
use burrline_present::readings::Floor;
use burrline_proto::v1;
use burrline_terms::words::Role;
use burrline_tests::line::Line;

use crate::harness::{Hand, Shop};

struct Hanging {
    shop: Shop,
    line: Line,
    yard: Hand,
}

impl Hanging {
    async fn begun() -> Self {
        let shop = Shop::start().await;
        let line = Line::to(&shop.served.url).await.unwrap();
        let yard = shop.bench_over(&line.url(), "yard-1", Role::Owner).await;
        yard.says("take-in 0417 elk").await;
        // The connection that is to hang stands before: what waits for one to be made asks nothing.
        let yard = yard.waiting(Times::ONCE);
        yard.bench.catch_up(&SystemClock, None).await.unwrap();
        line.hang();
        Self { shop, line, yard }
    }

    /// Says a line that is kept, and gives whether the shop was asked.
    async fn asks_for(&self, line: &str) -> bool {
        let before = self.line.unanswered();
        let said = self.yard.types(line, &mut Nobody).await;
        assert!(matches!(said.answers[..], [Answer::Kept { .. }]), "{said:?}");
        self.line.unanswered() > before
    }
}

#[tokio::test]
async fn the_first_line_waits_and_the_next_ones_do_not() {
    let hanging = Hanging::begun().await;
    assert!(hanging.asks_for("wash 0417").await, "nobody knew yet");
    for line in ["wash 0417", "note 0417 a stain left of the burr", "weigh 0417 3 lb"] {
        assert!(!hanging.asks_for(line).await, "{line}");
    }
    // Another process on the same folder knows it too.
    let other =
        burrline_bench::Bench::open(hanging.yard.bench.folder().path("").as_path()).unwrap();
    let before = hanging.line.unanswered();
    let read = other.read(Floor { place: None }, Then::default(), &SystemClock).await.unwrap();
    assert!(read.how_old.is_some(), "it came from the copy");
    assert_eq!(hanging.line.unanswered(), before);

    hanging.line.mend();
    let sent = other.send(&SystemClock).await.unwrap();
    assert_eq!(sent.len(), 4);
    assert!(hanging.yard.bench.in_pause().is_none(), "an answer ends it for all");
    let said = other.say("wash 0417", &SystemClock, &mut Nobody).await.unwrap();
    assert!(matches!(said.answers[..], [Answer::Receipt { .. }]), "{said:?}");
    assert_eq!(hanging.shop.trail("0417").await.len(), 6);
}

#[tokio::test]
async fn what_only_the_shop_can_answer_is_asked_all_the_same() {
    let hanging = Hanging::begun().await;
    assert!(hanging.asks_for("wash 0417").await);
    let before = hanging.line.unanswered();
    let decided = hanging.yard.bench.say("hold 0417 papers", &SystemClock, &mut Nobody).await;
    assert!(matches!(decided, Err(Error::NeedsShop { .. })), "{decided:?}");
    assert!(hanging.line.unanswered() > before, "a decision is worth the wait");
    let before = hanging.line.unanswered();
    let request = v1::GreetRequest { life: hanging.yard.bench.life() };
    let greeted = hanging.yard.bench.connection().greet(request).await;
    assert!(matches!(greeted, Err(Error::Away { .. })), "{greeted:?}");
    assert!(hanging.line.unanswered() > before);
}

#[tokio::test]
async fn an_address_where_nobody_listens_costs_no_wait_and_no_pause() {
    let hanging = Hanging::begun().await;
    hanging.line.cut();
    let said = hanging.yard.types("wash 0417", &mut Nobody).await;
    assert!(matches!(said.answers[..], [Answer::Kept { .. }]), "{said:?}");
    assert!(hanging.yard.bench.in_pause().is_none());
}
