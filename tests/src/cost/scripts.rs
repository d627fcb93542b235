//! What one evaluation of a script costs, beside the same work in Rust.

use std::{hint::black_box, sync::Arc, time::Duration};

use anyhow::Context as _;
use burrline_host::{
    JobFacts, Kind, PlaceFacts, Pricing, Rules, Sandbox, Script, Stages, VerbFacts, compile_shipped,
};

use super::plain;
use crate::{load::cpu::Cpu, machine::Machine};

/// What is measured, and for how long each.
#[derive(Debug)]
pub struct Scripts {
    heat: Stages,
    price: Pricing,
    shipped: Rules,
    shipped_price: Option<Pricing>,
    time: Duration,
}

/// What came of one measurement: processor time for one evaluation.
#[derive(Debug, Clone)]
pub struct Cost {
    /// What was evaluated.
    pub what: &'static str,
    /// By the script.
    pub script: Duration,
    /// By a plain function of the same answer; none for what has no such function.
    pub plain: Option<Duration>,
}

impl Scripts {
    /// Compiles what is measured; each measurement takes `time`.
    ///
    /// # Errors
    /// If a script does not compile.
    pub fn new(time: Duration) -> anyhow::Result<Self> {
        let sandbox = Arc::new(Sandbox::default());
        let heat = Script::compile(&sandbox, Kind::Stages, "heat", include_str!("heat.rhai"))?;
        let price = Script::compile(&sandbox, Kind::Pricing, "price", include_str!("price.rhai"))?;
        let all = compile_shipped(&sandbox)?;
        let of = |kind| all.iter().filter(move |script| script.kind() == kind).cloned();
        let shipped: Result<Vec<Stages>, _> = of(Kind::Stages).map(Stages::new).collect();
        Ok(Self {
            heat: Stages::new(heat)?,
            price: Pricing::new(price)?,
            shipped: Rules::new(shipped?),
            shipped_price: of(Kind::Pricing).next().map(Pricing::new).transpose()?,
            time,
        })
    }

    /// Measures one after the other.
    ///
    /// # Errors
    /// If no price list is shipped.
    pub fn measure(&self) -> anyhow::Result<Vec<Cost>> {
        // Shared, as the shop hands them to its scripts; a plain function reads the same.
        let (job, pot) = (Arc::new(job()), Arc::new(into_pot()));
        let shipped_price = self.shipped_price.as_ref().context("no price list is shipped")?;
        let note = Arc::new(VerbFacts::of("note"));
        let one = |what, script, plain| Cost { what, script, plain };
        Ok(vec![
            one(
                "one rule, a skull into a pot",
                self.each(|| drop(black_box(self.heat.check(black_box(&job), black_box(&pot))))),
                Some(self.each(|| drop(black_box(plain::heat(black_box(&job), black_box(&pot)))))),
            ),
            one(
                "one price of four lines",
                self.each(|| drop(black_box(self.price.price(black_box(&job))))),
                Some(self.each(|| drop(black_box(plain::price(black_box(&job)))))),
            ),
            one(
                "every shipped rule, a skull into a pot",
                self.each(|| drop(black_box(self.shipped.check(black_box(&job), &pot)))),
                None,
            ),
            one(
                "every shipped rule, a note",
                self.each(|| drop(black_box(self.shipped.check(black_box(&job), &note)))),
                None,
            ),
            one(
                "the shipped price list",
                self.each(|| drop(black_box(shipped_price.price(black_box(&job))))),
                None,
            ),
        ])
    }

    /// The processor time of one call, over as many as fit.
    fn each(&self, mut call: impl FnMut()) -> Duration {
        let (machine, before) = (Machine::start([0; 16]), Cpu::now());
        let mut calls = 0_u32;
        while machine.elapsed() < self.time {
            // Many between two looks at the clock, which costs as much as a plain function.
            for _ in 0..100 {
                call();
            }
            calls = calls.saturating_add(100);
        }
        Cpu::now().since(before).total().checked_div(calls).unwrap_or_default()
    }
}

/// A job for which the rule and the price have something to say.
fn job() -> JobFacts {
    let mut job = JobFacts::in_order();
    "skin-on".clone_into(&mut job.arrival);
    "keep".clone_into(&mut job.wishes.jaw);
    "slipping".clone_into(&mut job.last_look);
    job.minutes_since_look = Some(60);
    job.promise_days = Some(14);
    job
}

fn into_pot() -> VerbFacts {
    let place = PlaceFacts { kind: "pot".to_owned(), ..PlaceFacts::default() };
    VerbFacts { place: Some(place), ..VerbFacts::of("in") }
}

#[cfg(test)]
mod tests {
    use burrline_host::{Ruling, patiently};

    use super::*;

    /// Else two different things would be compared.
    #[test]
    fn the_script_and_the_plain_function_give_the_same_answers() {
        let scripts = Scripts::new(Duration::ZERO).unwrap();
        let mut said = 0;
        for group in ["deer", "elk", "small", "hog"] {
            for heat_minutes in [0, 74, 75, 240, 400] {
                for (look, promise, arrival) in [
                    (None, None, "skinned"),
                    (Some(45), Some(21), "skin-on"),
                    (Some(46), Some(20), ""),
                ] {
                    let mut job = JobFacts { heat_minutes, ..job() };
                    group.clone_into(&mut job.group);
                    arrival.clone_into(&mut job.arrival);
                    (job.minutes_since_look, job.promise_days) = (look, promise);
                    for act in [into_pot(), VerbFacts::of("in"), VerbFacts::of("out")] {
                        let ruling = patiently(|| scripts.heat.check(&job, &act));
                        let wanted = plain::heat(&job, &act);
                        let objects = matches!(ruling, Ruling::No { .. });
                        let got = ruling.words().map(|words| (objects, words.to_owned()));
                        assert_eq!(got, wanted, "{ruling:?}");
                        said += usize::from(wanted.is_some());
                    }
                    let quote = patiently(|| scripts.price.price(&job)).unwrap();
                    assert_eq!((quote.lines, quote.total), plain::price(&job));
                }
            }
        }
        assert!(said > 10, "only {said} had something to say");
    }
}
