//! A bench whose folder is broken in every way that a bad disk and a busy shed know.

use std::path::PathBuf;

use burrline_client::{
    Answerer, Bench, Choice, Nobody, SystemClock,
    bench::answer::{Answer, Question},
};
use burrline_domain::words::Role;

use super::harness::Shop;

/// A hand that answers only once the bench was given a new life at another terminal.
struct Slow {
    folder: PathBuf,
    code: String,
}

impl Answerer for Slow {
    fn answer(&mut self, _: &Question) -> Choice {
        let rejoined = Bench::rejoin(&self.folder, &self.code, None, &SystemClock);
        let here = tokio::runtime::Handle::current();
        tokio::task::block_in_place(|| here.block_on(rejoined)).unwrap();
        Choice::Anyway("read twice".to_owned())
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_line_that_was_being_asked_about_at_a_rejoin_is_said_by_the_new_life() {
    let shop = Shop::start().await;
    let yard = shop.bench("yard-1", Role::Counter).await;
    yard.says("take-in 0417 elk").await;
    let folder = yard.folder().join("bench");
    let mut slow = Slow { folder: folder.clone(), code: shop.served.code.clone() };
    let said = yard.bench.say("note 0999 a tag nobody knows", &SystemClock, &mut slow).await;
    let said = said.unwrap();
    assert!(said.talk.iter().any(|words| words.contains("yard-1-life2")), "{said:?}");
    assert!(matches!(said.answers[..], [Answer::Receipt { .. }]), "{said:?}");

    // The folder knows of it, and the shop has it under the new life.
    let bench = Bench::open(&folder).unwrap();
    assert_eq!(bench.waiting().unwrap(), []);
    let last = bench.last_lines("strike", 1).unwrap();
    assert_eq!(last[0].0.life, bench.life());
    assert_ne!(bench.life(), yard.bench.life());

    // The process that stood there all the time goes on by the new life, and takes nothing back.
    let said = yard.bench.say("wash 0417", &SystemClock, &mut Nobody).await.unwrap();
    assert!(matches!(said.answers[..], [Answer::Receipt { .. }]), "{said:?}");
    yard.bench.send(&SystemClock).await.unwrap();
    assert_eq!(Bench::open(&folder).unwrap().life(), bench.life());
    assert_eq!(bench.said().unwrap(), last[0].0.n + 1);
}
