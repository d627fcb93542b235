//! The shop as it goes through the season, day by day; what is said of it is written down.

use crate::{
    arrive::{self, Ticket},
    dice::Dice,
    head::{Head, Stage},
    said::{Desk, Said},
    tank::Tank,
    time::{DayNo, Minute},
};

/// Heads that one shop of four hands takes in a season.
const ONE_SHOP: usize = 400;

/// Everything that goes on.
#[derive(Debug)]
pub struct World {
    /// What was said, in no order yet.
    pub book: Vec<Said>,
    /// The visits.
    pub tickets: Vec<Ticket>,
    /// The heads.
    pub heads: Vec<Head>,
    /// The tanks.
    pub tanks: Vec<Tank>,
    /// Dice for what is no head's own.
    pub dice: Dice,
    /// How many times a shop of four hundred heads this is.
    pub times: usize,
}

impl World {
    /// A whole season.
    pub fn played(heads: usize, seed: u64) -> Self {
        let dice = Dice::new(seed);
        let (tickets, all) = arrive::everybody(heads, &dice);
        let times = heads.div_ceil(ONE_SHOP).max(1);
        let mut world = Self {
            book: Vec::new(),
            tickets,
            heads: all,
            tanks: Tank::all(),
            dice: dice.of(0),
            times,
        };
        world.opens();
        for day in (5..=DayNo::LAST.0).map(DayNo) {
            world.counter(day);
            // Nobody works on Sundays.
            if day.of_week() == 0 {
                world.till(day);
                continue;
            }
            world.pots(day);
            world.tanks(day);
            world.tubs(day);
            world.racks(day);
            world.desk(day);
            world.house(day);
        }
        world
    }

    /// Writes something down.
    pub fn say(&mut self, said: Said) {
        self.book.push(said);
    }

    /// How many skulls fit where so many fit in a shop of four hundred heads.
    pub const fn room(&self, holds: usize) -> usize {
        holds.saturating_mul(self.times)
    }

    /// Heads in a stage, those that came first in front.
    pub fn at(&self, is: impl Fn(&Head) -> bool) -> Vec<usize> {
        let mut found: Vec<&Head> = self.heads.iter().filter(|head| is(head)).collect();
        found.sort_by_key(|head| (head.came, head.number));
        found.into_iter().map(|head| head.number).collect()
    }

    /// The tags of some heads.
    pub fn tags(&self, heads: &[usize]) -> Vec<String> {
        heads.iter().filter_map(|n| self.heads.get(*n)).map(|head| head.tag.clone()).collect()
    }

    /// Sets the stage of some heads.
    pub fn stage(&mut self, heads: &[usize], stage: Stage) {
        for number in heads {
            if let Some(head) = self.heads.get_mut(*number) {
                head.stage = stage;
            }
        }
    }

    /// Marks the last line as one before which something was forgotten.
    pub fn forgot(&mut self) {
        if let Some(last) = self.book.last_mut() {
            last.forgot = true;
        }
    }

    /// Says one line of all of some heads at once; nothing if there are none.
    pub fn together(
        &mut self,
        at: Minute,
        desk: Desk,
        verb: &'static str,
        heads: &[usize],
        with: &[(&'static str, &str)],
    ) {
        if heads.is_empty() {
            return;
        }
        let mut said = Said::new(at, desk, verb).of_all(self.tags(heads));
        for (field, value) in with {
            said = said.maybe(field, value);
        }
        self.say(said);
    }
}

/// Cents as money is typed.
pub fn money(cents: i64) -> String {
    format!("{}.{:02}", cents.div_euclid(100), cents.rem_euclid(100))
}
