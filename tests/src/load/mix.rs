//! What one bench says under load: the lines of an invented season in their own order and mix, all of
//! them at one bench, with tags and places of its own. When a season is over the next begins, so that
//! no job grows without end.
//!
//! Weeks go by in seconds here, so rules about hours object now and then; the work is the same.

use std::collections::VecDeque;

use anyhow::Context as _;
use burrline_domain::{Class, Verb, verb::spec};
use burrline_invented::{Desk, Said, Season, Writer, entry::SealingKey};

/// How many heads come in a season: enough for the mix, and soon over.
pub const HEADS: usize = 40;

/// The work of one bench.
pub struct Mix {
    bench: usize,
    run: u16,
    seasons: u64,
    season: VecDeque<Said>,
    writer: Writer,
    told: VecDeque<(Verb, Vec<SealingKey>)>,
}

impl Mix {
    /// The work of bench `bench`, whose life is `life`. No two benches use the same tags, and `run`,
    /// below 10,000, keeps the tags of one run from those of another at the same shop.
    pub fn of(bench: usize, run: u16, life: u32) -> Self {
        let writer = Writer::of_one(seed(bench), life);
        let (season, told) = (VecDeque::new(), VecDeque::new());
        Self { bench, run, seasons: 0, season, writer, told }
    }

    /// What it says next, with the keys of what that seals.
    ///
    /// # Errors
    /// If a line of the season cannot be said, which is a mistake in there.
    pub fn say(&mut self) -> anyhow::Result<(Verb, Vec<SealingKey>)> {
        while self.told.is_empty() {
            let Some(said) = self.season.pop_front() else {
                self.begin();
                continue;
            };
            let told = self.writer.entries(&self.own(said))?;
            self.told.extend(told.into_iter().map(|one| (one.entry.verb, one.keys)));
        }
        self.told.pop_front().context("a line says nothing")
    }

    /// The facts of one more season; what is decided, the owner decided before.
    fn begin(&mut self) {
        self.seasons = self.seasons.saturating_add(1);
        let season = Season::make(HEADS, seed(self.bench).saturating_add(self.seasons));
        self.season = season.said.into_iter().filter(|said| !decides(said)).collect();
    }

    /// A line with this bench's own tags and places.
    fn own(&self, mut said: Said) -> Said {
        let front = format!(
            "{:02}{:04}{:02}",
            self.bench,
            self.run,
            self.seasons.checked_rem(100).unwrap_or(0)
        );
        said.skulls = said.skulls.iter().map(|skull| format!("{front}{skull}")).collect();
        for (field, value) in &mut said.fields {
            match *field {
                "place" => *value = place(value, self.bench),
                "mark" => *value = value.replace("B-", &format!("B-{front}")),
                _ => {}
            }
        }
        said.instead = said.instead.map(|instead| Box::new(self.own(*instead)));
        said
    }
}

/// What the owner decides before benches of this number begin: recipes once, and places for each.
///
/// # Errors
/// If a line of the season cannot be said, which is a mistake in there.
pub fn decided(benches: usize, life: u32) -> anyhow::Result<Vec<Verb>> {
    let mut writer = Writer::of_one(0, life);
    let mut verbs = Vec::new();
    let season = Season::make(1, 0);
    let office = season.said.iter().filter(|said| said.desk == Desk::Office);
    for said in office.filter(|said| matches!(said.verb, "recipe" | "add-place")) {
        let copies = if said.verb == "recipe" { 1 } else { benches };
        for bench in 0..copies {
            let mut said = said.clone();
            for (field, value) in &mut said.fields {
                if said.verb == "add-place" && *field == "name" {
                    *value = place(value, bench);
                }
            }
            verbs.extend(writer.entries(&said)?.into_iter().map(|one| one.entry.verb));
        }
    }
    Ok(verbs)
}

fn decides(said: &Said) -> bool {
    spec(said.verb).is_none_or(|spec| spec.class == Class::Decision)
}

fn place(name: &str, bench: usize) -> String {
    format!("{name}-{bench}")
}

fn seed(bench: usize) -> u64 {
    u64::try_from(bench).unwrap_or(0).saturating_mul(10_000)
}

#[cfg(test)]
#[allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[test]
    fn a_bench_says_what_a_season_says_and_uses_a_tag_once() {
        let season = Season::make(HEADS, seed(3) + 1);
        let mut wanted: BTreeMap<&str, usize> = BTreeMap::new();
        let mut all = 0;
        for said in season.said.iter().filter(|said| !decides(said)) {
            let each = if said.verb == "tell" { 2 } else { 1 };
            let times = said.skulls.len().max(1) * each + usize::from(said.verb == "ticket");
            *wanted.entry(said.verb).or_default() += times;
            all += times;
        }
        let tickets = wanted["ticket"] / 2;
        wanted.insert("ticket", tickets);
        wanted.insert("add-customer", tickets);
        // What a customer was told for stands in a line of its own.
        let tells = wanted["tell"] / 2;
        wanted.insert("tell", tells);
        wanted.insert("purpose", tells);
        let mut mix = Mix::of(3, 7, 12);
        let mut said: BTreeMap<&str, usize> = BTreeMap::new();
        let mut tags = Vec::new();
        for turn in 0..2 * all {
            let (verb, keys) = mix.say().unwrap();
            assert_eq!(verb.sealed().is_some(), !keys.is_empty(), "{verb:?}");
            if turn < all {
                *said.entry(verb.spec().word).or_default() += 1;
            }
            if let Verb::TakeIn(take_in) = &verb {
                tags.push(take_in.skull.tag.clone().unwrap().to_string());
            }
        }
        assert_eq!(said, wanted);
        assert!(wanted.len() > 25, "{wanted:?}");
        let many = tags.len();
        tags.sort();
        tags.dedup();
        assert!(many >= HEADS && tags.len() == many, "{many}, {}", tags.len());
    }

    #[test]
    fn every_place_that_is_named_was_added() {
        let places: Vec<String> = decided(2, 1)
            .unwrap()
            .into_iter()
            .filter_map(|verb| {
                let Verb::AddPlace(place) = verb else { return None };
                Some(place.name.to_string())
            })
            .collect();
        let mut mix = Mix::of(1, 0, 5);
        for _ in 0..2_000 {
            let (verb, _) = mix.say().unwrap();
            let named = verb.place().map(ToString::to_string);
            assert!(named.is_none_or(|place| places.contains(&place)), "{verb:?}");
        }
    }
}
