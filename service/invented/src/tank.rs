//! The tanks: a batch at a time, changed until the water comes off clear.

use crate::{
    head::{Head, Kind, Stage},
    owner::holds,
    said::{Desk, Said},
    time::DayNo,
    world::World,
};

/// A tank, and what is in it.
#[derive(Debug, Clone)]
pub struct Tank {
    name: &'static str,
    recipe: &'static str,
    every: i64,
    holds: usize,
    heads: Vec<usize>,
    since: DayNo,
    days: i64,
}

impl Tank {
    /// The four tanks of the shop: bears; hogs; deer and small ones; what is large or has horns.
    pub fn all() -> Vec<Self> {
        let tank = |name, recipe, every| Self {
            name,
            recipe,
            every,
            holds: holds(name),
            heads: Vec::new(),
            since: DayNo(0),
            days: 0,
        };
        vec![
            tank("tank-1", "bear-soak", 5),
            tank("tank-2", "hog-soak", 5),
            tank("tank-3", "deer-soak", 3),
            tank("tank-4", "elk-soak", 3),
        ]
    }

    fn takes(&self, kind: Kind) -> bool {
        match kind {
            Kind::Bear => self.name == "tank-1",
            Kind::Hog => self.name == "tank-2",
            Kind::Deer | Kind::Small => self.name == "tank-3",
            Kind::Elk | Kind::Moose | Kind::Horned => self.name == "tank-4",
        }
    }
}

impl World {
    /// The tanks of a day.
    pub fn tanks(&mut self, day: DayNo) {
        for number in 0..self.tanks.len() {
            let Some(mut tank) = self.tanks.get(number).cloned() else { continue };
            let here = i64::try_from(number).unwrap_or(0).saturating_mul(15);
            let at = day.at(8, 0).plus(here);
            let passed = day.0.saturating_sub(tank.since.0);
            let said = |verb| Said::new(at, Desk::Yard2, verb).with("place", tank.name);
            let heads = tank.heads.clone();
            if tank.heads.is_empty() {
                let room = self.room(tank.holds);
                let waits = |head: &Head| head.stage == Stage::Greasy && !head.fresh(day);
                let mut batch = self.at(|head| waits(head) && tank.takes(head.kind));
                self.alike(&mut batch);
                batch.truncate(room);
                if batch.is_empty() {
                    continue;
                }
                let soaks = batch.iter().filter_map(|n| self.heads.get(*n)).map(|head| head.soak);
                tank.days = soaks.max().unwrap_or(tank.every);
                tank.since = day;
                self.say(said("fill").with("recipe", tank.recipe));
                self.together(at.plus(2), Desk::Yard2, "out", &batch, &[]);
                self.together(at.plus(3), Desk::Yard2, "in", &batch, &[("place", tank.name)]);
                self.stage(&batch, Stage::Soaking);
                tank.heads = batch;
            } else if passed >= tank.days {
                self.together(at, Desk::Yard2, "out", &heads, &[]);
                let clean = [("tissue", "clean"), ("greasy", "no")];
                self.together(at.plus(2), Desk::Yard2, "look", &heads, &clean);
                self.say(said("dump").with("old", "clear"));
                self.together(at.plus(6), Desk::Yard2, "in", &heads, &[("place", "shelf-1")]);
                self.stage(&heads, Stage::White);
                tank.heads.clear();
            } else if due(tank.since, day, tank.every) {
                let clear = passed.saturating_mul(2) >= tank.days;
                let look =
                    if clear { "clear" } else { self.dice.pick(&["greasy", "cloudy"], "greasy") };
                self.say(said("change").with("old", look));
            }
            if let Some(kept) = self.tanks.get_mut(number) {
                *kept = tank;
            }
        }
    }
}

/// Whether the water is changed today: every so many days, and on Monday if that was a Sunday.
fn due(since: DayNo, day: DayNo, every: i64) -> bool {
    let on = |day: DayNo| day > since && day.0.saturating_sub(since.0).rem_euclid(every) == 0;
    on(day) || (day.of_week() == 1 && on(day.plus(-1)))
}
