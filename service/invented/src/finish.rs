//! Finishing: tubs, racks, glue, coats, and other eyes.

use crate::{
    head::{Head, Stage},
    said::{Desk, Said},
    time::DayNo,
    world::World,
};

const TUBS: [(&str, &str); 2] = [("tub-1", "rack-1"), ("tub-2", "rack-2")];

impl World {
    /// The tubs of a day: in after nine, out before four, and onto a rack.
    pub fn tubs(&mut self, day: DayNo) {
        for (tub, rack) in TUBS {
            let fill = |at, verb| Said::new(at, Desk::Finish, verb).with("place", tub);
            if day.of_week() == 1 {
                self.say(fill(day.at(8, 40), "fill").with("recipe", "tub-white"));
            }
            // What was done in the yard today is not whitened before tomorrow.
            let ready = |head: &Head| head.stage == Stage::White && head.kind.fat();
            let fat_first = self.at(ready);
            let lean = self.at(|head| head.stage == Stage::White && !head.kind.fat());
            let mut batch = if tub == "tub-2" && !fat_first.is_empty() { fat_first } else { lean };
            batch.retain(|n| self.heads.get(*n).is_some_and(|head| !head.fresh(day)));
            self.alike(&mut batch);
            batch.truncate(self.room(8));
            if !batch.is_empty() && (1..=6).contains(&day.of_week()) && day.0 > 7 {
                if day.of_week() > 1 {
                    let topped = fill(day.at(8, 50), "top-up").with("add", "peroxide=1L@12%");
                    self.say(topped);
                }
                let read = self.dice.pick(&["1.5%", "1.6%", "1.7%", "1.8%"], "1.6%");
                let reading = fill(day.at(8, 55), "reading").with("strength", read);
                self.say(reading.with("method", "strip"));
                self.whitened(&batch, day, tub, rack);
            }
            if day.of_week() == 6 && day.0 > 7 {
                self.say(fill(day.at(16, 30), "dump").with("old", "cloudy"));
            }
        }
    }

    /// Keeps what may share a water with the first.
    pub(crate) fn alike(&self, batch: &mut Vec<usize>) {
        let rotten = |n: usize| self.heads.get(n).map(Head::rotten);
        let Some(first) = batch.first().copied() else { return };
        batch.retain(|n| rotten(*n) == rotten(first));
    }

    fn whitened(&mut self, batch: &[usize], day: DayNo, tub: &'static str, rack: &'static str) {
        self.together(day.at(8, 58), Desk::Finish, "out", batch, &[]);
        self.together(day.at(9, 5), Desk::Finish, "in", batch, &[("place", tub)]);
        let out = day.at(15, 30).plus(self.dice.between(-45, 20));
        self.together(out, Desk::Finish, "out", batch, &[]);
        self.together(out.plus(6), Desk::Finish, "in", batch, &[("place", rack)]);
        self.stage(batch, Stage::Drying(day));
    }

    /// The racks of a day: glue, unwrap, coat, weigh, onto the shelf, and an inspection.
    pub fn racks(&mut self, day: DayNo) {
        let dry = |head: &Head| match head.stage {
            Stage::Drying(since) => {
                let days = if head.kind.fat() { 4 } else { 2 };
                since.plus(days) <= day
            }
            Stage::Waiting
            | Stage::Again
            | Stage::Greasy
            | Stage::Soaking
            | Stage::White
            | Stage::Ready
            | Stage::Gone => false,
        };
        let batch = self.at(dry);
        if batch.is_empty() {
            return;
        }
        for (minute, number) in (0_i64..).zip(&batch) {
            let Some(mut head) = self.heads.get(*number).cloned() else { continue };
            self.finished(&mut head, day, minute.rem_euclid(90));
            if let Some(kept) = self.heads.get_mut(*number) {
                *kept = head;
            }
        }
        self.together(day.at(11, 40), Desk::Finish, "coat", &batch, &[("with", "matte")]);
        self.together(day.at(13, 0), Desk::Finish, "out", &batch, &[]);
        self.weighed(&batch, day);
        self.together(day.at(13, 30), Desk::Finish, "in", &batch, &[("place", "shelf-2")]);
        let (faulty, good): (Vec<usize>, Vec<usize>) =
            batch.iter().partition(|n| self.heads.get_mut(**n).is_some_and(|h| h.dice.percent(3)));
        self.together(day.at(16, 5), Desk::Counter, "inspect", &good, &[]);
        let fault = [("faults", "yellow at the base")];
        self.together(day.at(16, 10), Desk::Counter, "inspect", &faulty, &fault);
        let bare = |n: &usize| self.heads.get(*n).is_some_and(Head::antlered);
        let wrap: Vec<usize> = faulty.iter().copied().filter(bare).collect();
        self.together(day.at(16, 20), Desk::Finish, "wrap", &wrap, &[]);
        self.stage(&good, Stage::Ready);
        self.stage(&faulty, Stage::White);
    }

    fn finished(&mut self, head: &mut Head, day: DayNo, minute: i64) {
        let at = day.at(9, 50).plus(minute);
        for piece in std::mem::take(&mut head.bagged) {
            self.say(Said::new(at, Desk::Finish, "glue").of(head.piece(piece)));
        }
        if head.antlered() {
            self.say(Said::new(at, Desk::Finish, "unwrap").of(&head.tag));
        }
    }

    /// Some are weighed; now and then a figure is read wrong and amended, or a line said twice.
    fn weighed(&mut self, batch: &[usize], day: DayNo) {
        for number in batch {
            let Some(head) = self.heads.get_mut(*number) else { continue };
            if !head.dice.percent(30) {
                continue;
            }
            let (tag, grams) = (head.tag.clone(), head.grams);
            let (wrong, twice) = (head.dice.percent(5), head.dice.percent(4));
            let weigh = |grams: i64| {
                let said = Said::new(day.at(13, 5), Desk::Finish, "weigh").of(&tag);
                said.with("mass", format!("{grams}g"))
            };
            let label = format!("w{number}d{}", day.0);
            if wrong {
                self.say(weigh(grams.saturating_add(200)).named(&label));
                let mut amend = Said::new(day.at(13, 8), Desk::Finish, "amend");
                amend.instead = Some(Box::new(weigh(grams)));
                self.say(amend.with("entry", format!("${label}")));
            } else {
                self.say(weigh(grams));
            }
            if twice {
                self.say(weigh(grams).named(format!("{label}again")));
                let strike = Said::new(day.at(13, 9), Desk::Finish, "strike");
                self.say(strike.with("entries", format!("${label}again")));
            }
        }
    }
}

impl Head {
    /// Whether it was worked in the yard on this very day.
    pub(crate) fn fresh(&self, day: DayNo) -> bool {
        self.washed == Some(day)
    }
}
