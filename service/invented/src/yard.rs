//! The yard: the knife, the pots and the jet.

use crate::{
    head::{Head, Nose, Stage},
    said::{Desk, Said},
    time::{DayNo, Minute},
    world::World,
};

/// Whose pot it is, its name, and how many go in.
const POTS: [(Desk, &str, usize); 2] = [(Desk::Yard1, "pot-1", 5), (Desk::Yard2, "pot-2", 4)];

impl World {
    /// The pots of a day: two goes each, if there is enough to do.
    pub fn pots(&mut self, day: DayNo) {
        for (desk, pot, holds) in POTS {
            let goes: Vec<(Minute, Vec<usize>)> = [day.at(10, 30), day.at(14, 30)]
                .into_iter()
                .filter_map(|at| {
                    let potful = self.potful(day, holds);
                    (!potful.is_empty()).then(|| {
                        self.stage(&potful, Stage::Soaking);
                        (at, potful)
                    })
                })
                .collect();
            let Some((first, _)) = goes.first() else { continue };
            let recipe = self.water(day, desk);
            let said = |at, verb| Said::new(at, desk, verb).with("place", pot);
            self.say(said(first.plus(-145), "fill").with("recipe", recipe));
            self.say(said(first.plus(-144), "heat").with("how", "lit"));
            self.say(said(first.plus(-90), "heat").with("how", "boil"));
            let mut end = *first;
            for (at, potful) in goes {
                self.knife(&potful, at, desk);
                end = end.max(self.go(&potful, at, desk, pot, recipe));
            }
            self.say(said(end.plus(2), "heat").with("how", "off"));
            let look = self.dice.weighed(&[(60, "greasy"), (40, "cloudy")], "greasy");
            self.say(said(end.plus(40), "dump").with("old", look));
        }
    }

    /// What the pot is filled with. Tom likes soda, Bo soap; both change now and then.
    fn water(&mut self, _day: DayNo, desk: Desk) -> &'static str {
        let soda = if desk == Desk::Yard1 { 70 } else { 25 };
        if self.dice.percent(soda) { "pot-soda" } else { "pot-soap" }
    }

    /// The next potful: second goes first, then who came first; fat with fat, rotten with rotten.
    fn potful(&self, day: DayNo, holds: usize) -> Vec<usize> {
        let again = self.at(|head| head.stage == Stage::Again && !head.fresh(day));
        let waits = |head: &Head| head.stage == Stage::Waiting && head.came.day() < day;
        let new = self.at(|head| waits(head) && head.may_be_worked(day));
        let like = |head: &Head| (head.kind.fat(), head.rotten());
        let mut all = again.into_iter().chain(new);
        let Some(first) = all.next() else { return Vec::new() };
        let Some(wanted) = self.heads.get(first).map(like) else { return Vec::new() };
        let fits = |n: &usize| self.heads.get(*n).map(like) == Some(wanted);
        let room = self.room(holds).saturating_sub(1);
        std::iter::once(first).chain(all.filter(fits).take(room)).collect()
    }

    /// Out of the freezer, opened, looked at, cleaned by knife, wrapped.
    fn knife(&mut self, potful: &[usize], at: Minute, desk: Desk) {
        let count = i64::try_from(potful.len()).unwrap_or(1).max(1);
        let apart = 100_i64.checked_div(count).unwrap_or(1);
        let mut begun = at.plus(-110);
        for number in potful {
            let Some(mut head) = self.heads.get(*number).cloned() else { continue };
            self.say(Said::new(begun, desk, "out").of(&head.tag));
            if head.goes == 0 {
                self.opened(&mut head, begun, desk);
            }
            if let Some(kept) = self.heads.get_mut(*number) {
                *kept = head;
            }
            begun = begun.plus(apart);
        }
        let again = |n: &usize| self.heads.get(*n).is_some_and(|head| head.goes > 0);
        let again: Vec<usize> = potful.iter().copied().filter(again).collect();
        self.together(at.plus(-5), desk, "look", &again, &[("tissue", "slipping")]);
    }

    fn opened(&mut self, head: &mut Head, at: Minute, desk: Desk) {
        let nose = if head.seen.is_some_and(|seen| seen.contains("nose")) || head.dice.percent(6) {
            "cracked"
        } else {
            "whole"
        };
        let shot = if head.seen.is_some_and(|seen| seen.contains("shot")) { "yes" } else { "no" };
        self.say(
            Said::new(at, desk, "condition")
                .of(&head.tag)
                .with("nose", nose)
                .with("jaw", "whole")
                .with("shot", shot),
        );
        self.say(Said::new(at, desk, "flesh").of(&head.tag).with("brain", "yes"));
        head.nose = habit(head, desk);
        // A cracked one that is wanted back is not left to the pot.
        if nose == "cracked" && head.nose == Nose::Left && head.wishes.first() != Some(&"leave-off")
        {
            head.nose = Nose::Tied;
        }
        let mut bag = Vec::new();
        if head.nose == Nose::Off {
            bag.push("nose");
        }
        if head.ears_off && head.wishes.get(1) != Some(&"leave-off") {
            bag.push("ears");
        }
        if head.wishes.get(2) == Some(&"keep") {
            bag.push("jaw");
        }
        for piece in bag {
            let said = Said::new(at, desk, "bag").of(head.piece(piece));
            self.say(said.with("mark", format!("B-{}", head.tag)));
            head.bagged.push(piece);
        }
        if head.nose == Nose::Tied {
            let tie = Said::new(at, desk, "tie").of(head.piece("nose"));
            self.say(tie.with("with", "string"));
        }
        if head.antlered() {
            self.say(Said::new(at, desk, "wrap").of(&head.tag));
        }
    }

    /// In, looks, out, wash; when the last of them is washed.
    fn go(
        &mut self,
        potful: &[usize],
        at: Minute,
        desk: Desk,
        pot: &'static str,
        recipe: &str,
    ) -> Minute {
        self.together(at, desk, "in", potful, &[("place", pot)]);
        let softening = [("tissue", "softening")];
        // What comes out sooner than that is looked at as it comes out.
        let long: Vec<usize> = potful.iter().copied().filter(|n| self.minutes(*n) > 40).collect();
        self.together(at.plus(35), desk, "look", &long, &softening);
        let mut times: Vec<i64> = potful.iter().map(|n| self.minutes(*n)).collect();
        times.sort_unstable();
        times.dedup();
        let mut end = at;
        for minutes in times {
            let some: Vec<usize> =
                potful.iter().copied().filter(|n| self.minutes(*n) == minutes).collect();
            let out = at.plus(minutes);
            self.together(out.plus(-2), desk, "look", &some, &[("tissue", "slipping")]);
            // Now and then nobody says it: the wash tells that it was out by then.
            let forgotten = self.dice.percent(3);
            if !forgotten {
                self.together(out, desk, "out", &some, &[]);
            }
            self.together(out.plus(8), desk, "wash", &some, &[]);
            if forgotten {
                self.forgot();
            }
            end = end.max(out.plus(8));
            self.washed(&some, out.plus(20), desk, recipe);
        }
        end
    }

    fn minutes(&self, number: usize) -> i64 {
        let Some(head) = self.heads.get(number) else { return 60 };
        let (first, again) = head.kind.simmer();
        if head.goes == 0 { first } else { again }
    }

    fn washed(&mut self, some: &[usize], at: Minute, desk: Desk, recipe: &str) {
        let is_again = |head: &Head| head.second && head.goes == 0;
        let again: Vec<usize> =
            some.iter().copied().filter(|n| self.heads.get(*n).is_some_and(is_again)).collect();
        let done: Vec<usize> = some.iter().copied().filter(|n| !again.contains(n)).collect();
        let greasy =
            |n: &usize| self.heads.get(*n).is_some_and(|head| head.greasy && !head.kind.fat());
        let (fat, lean): (Vec<usize>, Vec<usize>) = done.iter().partition(|n| greasy(n));
        self.together(at, desk, "look", &again, &[("tissue", "slipping")]);
        self.together(at, desk, "look", &lean, &[("tissue", "clean"), ("seams", "fast")]);
        self.together(at, desk, "look", &fat, &[("tissue", "clean"), ("greasy", "yes")]);
        for number in some {
            let Some(mut head) = self.heads.get(*number).cloned() else { continue };
            self.broken(&mut head, at, desk, recipe);
            head.goes = head.goes.saturating_add(1);
            head.washed = Some(at.day());
            head.stage = match (again.contains(number), head.greasy) {
                (true, _) => Stage::Again,
                (false, true) => Stage::Greasy,
                (false, false) => Stage::White,
            };
            if let Some(kept) = self.heads.get_mut(*number) {
                *kept = head;
            }
        }
        self.together(at.plus(4), desk, "in", some, &[("place", "shelf-1")]);
    }

    /// What heat and the jet break. The shares are invented: nothing may be learnt from them.
    fn broken(&mut self, head: &mut Head, at: Minute, desk: Desk, recipe: &str) {
        let [nose, ears, _, teeth] = head.wishes;
        let nose_risk: u64 = match head.nose {
            Nose::Off => 1,
            Nose::Tied => 4,
            Nose::Left => 13,
        };
        let soda = if recipe == "pot-soda" { 3 } else { 0 };
        let risks: [(&str, &str, u64, bool); 3] = [
            ("nose", "nose bone broke off", nose_risk.saturating_add(soda), nose != "leave-off"),
            ("ears", "one ear bone gone", if head.ears_off { 1 } else { 5 }, ears != "leave-off"),
            ("teeth", "two front teeth lost", if teeth == "keep" { 4 } else { 2 }, true),
        ];
        for (piece, what, risk, wanted) in risks {
            if wanted && head.dice.percent(risk) {
                let whose = head.dice.weighed(&[(75, "ours"), (25, "not-known")], "ours");
                self.say(
                    Said::new(at.plus(1), desk, "damage")
                        .of(head.piece(piece))
                        .with("what", what)
                        .with("whose", whose)
                        .with("noticed", "at the wash"),
                );
            }
        }
    }
}

/// How each hand looks after nose bones: Tom takes them off, Bo leaves them.
fn habit(head: &mut Head, desk: Desk) -> Nose {
    if head.wishes.first() == Some(&"leave-off") {
        return Nose::Left;
    }
    let habits: &[(u64, Nose)] = if desk == Desk::Yard1 {
        &[(50, Nose::Off), (30, Nose::Tied), (20, Nose::Left)]
    } else {
        &[(20, Nose::Off), (25, Nose::Tied), (55, Nose::Left)]
    };
    head.dice.weighed(habits, Nose::Left)
}
