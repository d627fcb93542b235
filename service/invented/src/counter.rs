//! The counter: who comes, what is written down of each head, who is called, and who fetches what.

use crate::{
    arrive::Ticket,
    head::{Head, Stage},
    said::{Desk, Said},
    time::{DayNo, Minute},
    world::{World, money},
};

impl World {
    /// The visits of a day, and papers that come late.
    pub fn counter(&mut self, day: DayNo) {
        let today: Vec<Ticket> =
            self.tickets.iter().filter(|ticket| ticket.came.day() == day).cloned().collect();
        for mut ticket in today {
            self.visit(&mut ticket);
            if let Some(kept) = self.tickets.get_mut(ticket.number) {
                *kept = ticket;
            }
        }
        for number in self.at(|head| head.came.day() < day && head.papers == day) {
            let Some(head) = self.heads.get(number).cloned() else { continue };
            let at = day.at(12, 20).plus(i64::try_from(number).unwrap_or(0).rem_euclid(50));
            self.papers(&head, at);
            self.say(
                Said::new(at.plus(1), Desk::Counter, "release")
                    .of(&head.tag)
                    .with("why", "the papers are here"),
            );
        }
        for number in self.at(|head| head.test == Some(day)) {
            let Some(head) = self.heads.get(number).cloned() else { continue };
            let at = day.at(13, 20).plus(i64::try_from(number).unwrap_or(0).rem_euclid(50));
            let said = Said::new(at, Desk::Counter, "papers").of(&head.tag);
            self.say(said.with("test", "not-detected"));
        }
    }

    fn visit(&mut self, ticket: &mut Ticket) {
        let label = format!("t{}", ticket.number);
        self.say(
            Said::new(ticket.came, Desk::Counter, "ticket")
                .sealed("name", &ticket.person.name)
                .sealed("phone", &ticket.person.phone)
                .named(&label),
        );
        let several = ticket.heads.len() >= 3;
        let mut total = 0_i64;
        for number in ticket.heads.clone() {
            let Some(mut head) = self.heads.get(number).cloned() else { continue };
            self.taken_in(&mut head, &label);
            head.price = lines(&head, ticket.heads.len(), several).iter().map(|(_, c)| c).sum();
            total = total.saturating_add(head.price);
            if let Some(kept) = self.heads.get_mut(number) {
                *kept = head;
            }
        }
        let end = i64::try_from(ticket.heads.len()).unwrap_or(0).saturating_add(2);
        self.agreed(ticket, ticket.came.plus(end), total);
    }

    /// Take-in, papers or a hold, and into a freezer.
    fn taken_in(&mut self, head: &mut Head, ticket: &str) {
        let [nose, ears, jaw, teeth] = head.wishes;
        // A doe has none, and the rules want to know it.
        let points =
            if head.kind.grows_antlers() { head.points.to_string() } else { String::new() };
        let mut said = Said::new(head.came, Desk::Counter, "take-in")
            .of(&head.tag)
            .filled("ticket", format!("${ticket}"))
            .with("species", head.species)
            .with("sex", head.sex)
            .with("age", head.age)
            .with("obtained", head.obtained)
            .with("arrival", head.arrival)
            .maybe("nose", nose)
            .maybe("ears", ears)
            .maybe("jaw", jaw)
            .maybe("teeth", teeth)
            .maybe("points", &points);
        said = match head.seen {
            Some(seen) => said.with("condition", seen),
            None => said.with("hide_on", "yes"),
        };
        for step in plan(head) {
            said = said.filled("plan", step);
        }
        self.say(said);
        if head.papers == head.came.day() {
            self.papers(head, head.came);
        } else {
            let hold = Said::new(head.came, Desk::Counter, "hold").of(&head.tag);
            self.say(hold.with("why", "papers: no kill tag yet"));
        }
        let freezer = if head.dice.percent(60) { "freezer-1" } else { "freezer-2" };
        self.say(Said::new(head.came, Desk::Counter, "in").with("place", freezer).of(&head.tag));
    }

    fn papers(&mut self, head: &Head, at: Minute) {
        let Some(ticket) = self.tickets.get(head.ticket) else { return };
        let killed = head.came.day().plus(if head.obtained == "hunted" { -1 } else { -2 });
        let area = if head.test.is_some() { "yes" } else { "no" };
        let test = if head.test.is_some() { "pending" } else { "" };
        let number = head.number.saturating_add(20_000);
        let mut said = Said::new(at, Desk::Counter, "papers").of(&head.tag);
        said = match head.obtained {
            "road-kill" => said.with("salvage_permit", format!("SP-{number}")),
            _ => said.with("kill_tag", format!("KT-{number}")),
        };
        self.say(
            said.with("killed_on", killed.date().to_string())
                .with("county", ticket.county)
                .with("state", "CO")
                .with("disease_area", area)
                .maybe("test", test)
                .sealed("licence", &ticket.person.licence),
        );
    }

    /// The price, the yes, a deposit and a promise.
    fn agreed(&mut self, ticket: &mut Ticket, at: Minute, total: i64) {
        let several = ticket.heads.len() >= 3;
        for number in &ticket.heads {
            let Some(head) = self.heads.get(*number) else { continue };
            let lines = lines(head, ticket.heads.len(), several);
            let mut said = Said::new(at, Desk::Counter, "quote").of(&head.tag);
            for (what, cents) in &lines {
                said = said.filled("lines", format!("{what}={}", money(*cents)));
            }
            self.book.push(said.filled("total", money(head.price)));
        }
        self.together(at.plus(1), Desk::Counter, "agree", &ticket.heads, &[("means", "counter")]);
        if ticket.dice.percent(65) {
            ticket.paid = total.div_euclid(200).saturating_mul(100);
            self.pay(ticket, at.plus(1), ticket.paid);
        }
        if ticket.dice.percent(55) {
            let fat = ticket.heads.iter().filter_map(|n| self.heads.get(*n)).any(|h| h.kind.fat());
            let days =
                if fat { ticket.dice.between(110, 170) } else { ticket.dice.between(55, 100) };
            let by = ticket.came.day().plus(days).date().to_string();
            self.together(at.plus(2), Desk::Counter, "promise", &ticket.heads, &[("by", &by)]);
        }
    }

    fn pay(&mut self, ticket: &mut Ticket, at: Minute, cents: i64) {
        let first = ticket.heads.first().and_then(|n| self.heads.get(*n));
        let (Some(first), true) = (first, cents > 0) else { return };
        let means = ticket.dice.weighed(&[(45, "cash"), (40, "card"), (15, "check")], "cash");
        let said = Said::new(at, Desk::Counter, "pay").of(&first.tag);
        self.say(said.with("amount", money(cents)).with("means", means));
    }

    /// Calls, and customers who fetch their heads.
    pub fn desk(&mut self, day: DayNo) {
        let ready = |ticket: &Ticket| {
            let heads = ticket.heads.iter().filter_map(|n| self.heads.get(*n));
            let stages: Vec<Stage> = heads.map(|head| head.stage).collect();
            ticket.next <= day
                && stages.contains(&Stage::Ready)
                && stages.iter().all(|stage| matches!(stage, Stage::Ready | Stage::Gone))
        };
        let due: Vec<Ticket> = self.tickets.iter().filter(|t| ready(t)).cloned().collect();
        for (at, mut ticket) in due.into_iter().enumerate() {
            let minute = i64::try_from(at).unwrap_or(0).saturating_mul(4);
            if ticket.reached {
                self.fetched(&mut ticket, day.at(10, 0).plus(minute.rem_euclid(300)));
            } else {
                self.called(&mut ticket, day, day.at(16, 40).plus(minute.rem_euclid(60)));
            }
            if let Some(kept) = self.tickets.get_mut(ticket.number) {
                *kept = ticket;
            }
        }
    }

    fn called(&mut self, ticket: &mut Ticket, day: DayNo, at: Minute) {
        ticket.calls = ticket.calls.saturating_add(1);
        let result =
            ticket.dice.weighed(&[(58, "spoke"), (22, "message"), (20, "no-answer")], "no-answer");
        ticket.reached = result != "no-answer";
        // Some never come, and what they left stands on the shelf.
        let never = ticket.dice.percent(3);
        let days = if ticket.reached { ticket.dice.between(1, 21) } else { 2 };
        ticket.next = day.plus(if ticket.reached && never { 400 } else { days });
        let words = "ready, and what is owed";
        let with = [("purpose", "ready"), ("means", "phone"), ("result", result), ("words", words)];
        let heads: Vec<usize> = self.ready_of(ticket);
        self.together(at, Desk::Counter, "tell", &heads, &with);
    }

    fn ready_of(&self, ticket: &Ticket) -> Vec<usize> {
        let is_ready = |n: &usize| self.heads.get(*n).is_some_and(|h| h.stage == Stage::Ready);
        ticket.heads.iter().copied().filter(is_ready).collect()
    }

    fn fetched(&mut self, ticket: &mut Ticket, at: Minute) {
        let heads = self.ready_of(ticket);
        let forgotten = ticket.dice.percent(12);
        if !forgotten {
            self.together(at, Desk::Finish, "out", &heads, &[]);
        }
        let total: i64 =
            ticket.heads.iter().filter_map(|n| self.heads.get(*n)).map(|head| head.price).sum();
        let owed = total.saturating_sub(ticket.paid);
        self.pay(ticket, at.plus(1), owed);
        ticket.paid = total;
        if ticket.dice.percent(5) {
            let parcel = format!("OF-{}", ticket.number.saturating_add(4000));
            let with = [("carrier", "overland freight"), ("parcel", parcel.as_str())];
            self.together(at.plus(2), Desk::Counter, "ship", &heads, &with);
        } else {
            self.together(at.plus(2), Desk::Counter, "hand-over", &heads, &[]);
        }
        if forgotten {
            self.forgot();
        }
        self.stage(&heads, Stage::Gone);
        self.afterwards(ticket, &heads, at);
    }

    /// Now and then a customer comes back with a question, which is answered from the trail.
    fn afterwards(&mut self, ticket: &mut Ticket, heads: &[usize], at: Minute) {
        let head = heads.first().and_then(|n| self.heads.get(*n)).cloned();
        let (Some(head), true) = (head, ticket.dice.percent(1)) else { return };
        let later = at.plus(3 * 1440);
        for (minutes, verb, words) in [
            (0, "dispute", "a nose bone is shorter than it was"),
            (30, "answer", "said at the second look, before any heat"),
            (45, "close-dispute", "read the trail together; settled"),
        ] {
            let said = Said::new(later.plus(minutes), Desk::Counter, verb).of(&head.tag);
            self.say(said.with("words", words));
        }
    }
}

/// The lines of a price and their cents, as the example price list that comes with the program has
/// them.
fn lines(head: &Head, heads: usize, several: bool) -> Vec<(String, i64)> {
    let clean = head.kind.cleaning();
    let mut lines = vec![(format!("cleaning, {}", head.species), clean)];
    let mut add = |what: &str, cents: i64| lines.push((what.to_owned(), cents));
    match head.arrival {
        "skin-on" => add("hide on", 3_000),
        "rotten" => add("came in rotten", 4_500),
        "dried-on" => add("hide dried on", 3_500),
        _ => {}
    }
    let [_, _, jaw, teeth] = head.wishes;
    if jaw == "keep" {
        add("lower jaw", 2_500);
    }
    if teeth == "keep" {
        add("teeth set again", 3_000);
    }
    if several {
        add(&format!("{heads} heads, 10 % off"), clean.div_euclid(10).saturating_neg());
    }
    lines
}

/// The steps of a job and how long each is expected to take, as the plan that comes with the program
/// has them.
fn plan(head: &Head) -> Vec<String> {
    let (simmer, degrease, whiten) = match head.species {
        "elk" => (240, 8_640, 1_080),
        "moose" => (300, 20_160, 1_440),
        "black bear" => (150, 60_480, 1_080),
        "wild hog" => (180, 50_400, 1_080),
        "coyote" | "bobcat" => (40, 8_640, 300),
        "pronghorn" => (60, 20_160, 900),
        _ => (150, 4_320, 900),
    };
    let mut steps = Vec::new();
    let mut step = |what: &str, minutes: i64| steps.push(format!("{what}={minutes}min"));
    if head.arrival == "frozen" {
        step("thaw", 1_440);
    }
    step("flesh", if matches!(head.arrival, "skin-on" | "dried-on") { 60 } else { 30 });
    if head.antlered() {
        step("wrap", 5);
    }
    step("simmer", simmer);
    step("wash", 20);
    if head.kind.fat() {
        step("degrease", degrease);
    }
    step("whiten", whiten);
    step("dry", if head.kind.fat() { 4_320 } else { 1_440 });
    step("coat", 30);
    step("inspect", 10);
    steps
}
