//! What one bench says: six heads in turn, each through twenty steps and then handed over, so that
//! every twentieth entry takes a new head in and no job grows without end.

use burrline_domain::Verb;

use crate::wire::verb;

/// How many heads a bench has open at a time.
const OPEN: usize = 6;

/// The steps of one head.
const STEPS: usize = 20;

/// The work of one bench.
#[derive(Debug, Clone)]
pub struct Work {
    bench: usize,
    run: u16,
    heads: Vec<Head>,
    taken_in: usize,
    turn: usize,
}

#[derive(Debug, Clone, Default)]
struct Head {
    tag: String,
    step: usize,
    grams: usize,
}

impl Work {
    /// The work of bench `bench`. No two benches use the same tags, and `run`, below 10,000, keeps
    /// the tags of one run from those of another at the same shop.
    pub fn of(bench: usize, run: u16) -> Self {
        let ended = Head { step: STEPS, ..Head::default() };
        Self { bench, run, heads: vec![ended; OPEN], taken_in: 0, turn: 0 }
    }

    /// What it says next.
    ///
    /// # Errors
    /// If a verb of the work is not one, which is a mistake in here.
    pub fn say(&mut self) -> anyhow::Result<Verb> {
        let turn = self.turn;
        self.turn = turn.saturating_add(1).checked_rem(OPEN).unwrap_or(0);
        let Some(head) = self.heads.get_mut(turn) else { anyhow::bail!("no head {turn}") };
        if head.step == STEPS {
            self.taken_in = self.taken_in.saturating_add(1);
            let grams = self.taken_in.saturating_mul(7).checked_rem(600).unwrap_or(0);
            head.tag = format!("{:02}{:04}{:05}", self.bench, self.run, self.taken_in);
            head.grams = grams.saturating_add(1_800);
            head.step = 0;
        }
        let said = head.say(self.bench)?;
        head.step = head.step.saturating_add(1);
        Ok(said)
    }
}

impl Head {
    fn say(&self, bench: usize) -> anyhow::Result<Verb> {
        let skull = ("skull", self.tag.as_str());
        let pot = format!("pot-{bench}");
        let tank = format!("tank-{bench}");
        let rack = format!("rack-{bench}");
        let grams = format!("{}g", self.grams);
        match self.step {
            0 => verb(
                "take-in",
                &[
                    skull,
                    ("species", "whitetail"),
                    ("points", "8"),
                    ("arrival", "skin-on"),
                    ("condition", "left main beam chipped at the tip"),
                ],
            ),
            1 => verb("look", &[skull, ("tissue", "tight"), ("teeth", "fast")]),
            2 => verb("flesh", &[skull, ("brain", "yes")]),
            3 => verb("condition", &[skull, ("nose", "whole")]),
            4 => verb("wrap", &[skull]),
            5 => verb("in", &[("place", &pot), skull]),
            6 => verb("look", &[skull, ("tissue", "softening")]),
            7 | 12 | 16 => verb("out", &[skull]),
            8 => verb("wash", &[skull, ("brain", "yes")]),
            9 | 17 => verb("weigh", &[skull, ("mass", &grams)]),
            10 => verb("in", &[("place", &tank), skull]),
            11 => verb("note", &[skull, ("words", "water clear after the first day")]),
            13 => verb("look", &[skull, ("tissue", "clean"), ("seams", "fast")]),
            14 => verb("in", &[("place", &rack), skull]),
            15 => verb("note", &[skull, ("words", "nose bones whole, both ears in")]),
            18 => verb("inspect", &[skull]),
            _ => verb("hand-over", &[skull]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_twentieth_entry_takes_a_head_in_and_tags_are_used_once() {
        let mut work = Work::of(3, 7);
        let said: Vec<Verb> = (0..600).map(|_| work.say().unwrap()).collect();
        let tags: Vec<String> = said
            .iter()
            .filter(|verb| matches!(verb, Verb::TakeIn(_)))
            .map(|verb| verb.skull().unwrap().tag.clone().unwrap().to_string())
            .collect();
        let mut once = tags.clone();
        once.sort();
        once.dedup();
        assert_eq!((tags.len(), once.len()), (30, 30));
    }
}
