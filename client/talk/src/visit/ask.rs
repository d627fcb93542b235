//! Each question in words, and what Enter stands for.

use burrline_terms::{Tag, Typed as _};

use super::{
    AGREED, HEARD, Known, LATER, SAME, Step, Visit, YES,
    head::{self, NOT_SEEN},
};

impl Visit {
    /// What Enter stands for; empty for nothing.
    pub fn offered(&self, step: Step, known: &Known) -> String {
        if let Some(words) = self.undone(step) {
            return words.to_owned();
        }
        match step {
            // Of several nobody guesses which is meant.
            Step::Which if self.found.len() == 1 => "1".to_owned(),
            Step::Tag(head) => self.next_tag(head, known),
            Step::Condition(head) if head::hide_is_on(self, head) => NOT_SEEN.to_owned(),
            Step::Killed(head) => self.before(head, Step::Killed),
            Step::County(head) => self.before(head, Step::County),
            Step::Write => YES.to_owned(),
            // Enter agrees to nothing.
            Step::Heard => LATER.to_owned(),
            Step::Who
            | Step::Which
            | Step::Kind(_)
            | Step::State(_)
            | Step::Condition(_)
            | Step::Phone
            | Step::Name
            | Step::Address
            | Step::Other(_)
            | Step::HunterAddress
            | Step::Licence
            | Step::Wishes(_)
            | Step::KillTag(_)
            | Step::More(_)
            | Step::Deposit => String::new(),
        }
    }

    /// The question, with what Enter stands for in brackets.
    pub fn question(&self, step: Step, known: &Known) -> String {
        let words = self.asked(step, known);
        let offered = self.offered(step, known);
        let offered = match (step, offered.as_str()) {
            (Step::Write, _) => "Enter: write it".to_owned(),
            (Step::Heard, _) => format!("Enter: {LATER}; {HEARD}; {AGREED}"),
            (Step::Which, "") => "a number; new".to_owned(),
            (Step::Which, offered) => format!("Enter: {offered}; new"),
            (Step::Who | Step::Tag(_), "") => String::new(),
            (Step::Condition(_), "") => "Enter: not looked at yet".to_owned(),
            (Step::Condition(_), NOT_SEEN) => "Enter: not seen, hide on".to_owned(),
            (Step::Wishes(_), "") => "Enter: as usual".to_owned(),
            (Step::Other(0), "") => "Enter: all the customer".to_owned(),
            (Step::Other(_) | Step::More(_), "") => "Enter: no".to_owned(),
            (Step::Deposit, "") if !self.deposit.is_empty() => {
                format!("Enter: nothing; cash: {}", self.deposit)
            }
            (Step::Deposit, "") => "Enter: nothing".to_owned(),
            (_, "") => "Enter: later".to_owned(),
            (_, offered) => format!("Enter: {offered}"),
        };
        if offered.is_empty() { format!("{words}> ") } else { format!("{words} [{offered}]> ") }
    }

    fn asked(&self, step: Step, known: &Known) -> String {
        let tag = |head: usize| self.words(Step::Tag(head)).to_owned();
        match step {
            Step::Who if known.ticket.is_some() => {
                let whose = Some(known.ticket_of.as_str()).filter(|name| !name.is_empty());
                let whose = whose.map(|name| format!(" of {name}")).unwrap_or_default();
                format!("customer, name or phone ({SAME}: the last ticket{whose})")
            }
            Step::Who => "customer, name or phone".to_owned(),
            Step::Which => {
                let one = |(n, found): (usize, &super::Found)| {
                    format!("{n} {} {}", found.name, found.phone).trim().to_owned()
                };
                let all: Vec<String> = (1..).zip(&self.found).map(one).collect();
                format!("known already: {}; which", all.join(", "))
            }
            Step::Phone => "phone".to_owned(),
            Step::Name => "name".to_owned(),
            Step::Address => "address".to_owned(),
            Step::Other(0) => "hunter, bringer, payer, collector: say which and who".to_owned(),
            Step::Other(_) => "anybody else".to_owned(),
            Step::HunterAddress => "the hunter's address".to_owned(),
            Step::Licence => "hunting licence".to_owned(),
            Step::Tag(head) => {
                let of = self.heads.map(|heads| format!(" of {heads}")).unwrap_or_default();
                format!("head {}{of}, tag", head.saturating_add(1))
            }
            Step::Kind(head) => format!("{}: animal, points, sex", tag(head)),
            Step::State(head) => {
                format!("{}: it comes {}", tag(head), head::STATES)
            }
            Step::Condition(head) => format!("{}: broken, shot, missing", tag(head)),
            Step::Wishes(head) => {
                format!("{}: wishes for nose, ears, jaw, teeth, white", tag(head))
            }
            Step::KillTag(head) => format!("{}: kill tag or permit", tag(head)),
            Step::Killed(head) => format!("{}: killed on", tag(head)),
            Step::County(head) => format!("{}: county and state", tag(head)),
            Step::More(_) => "another head".to_owned(),
            Step::Write => "all right so".to_owned(),
            Step::Heard => "did the customer hear it".to_owned(),
            Step::Deposit => "paid now, how much and how".to_owned(),
        }
    }

    /// The tag after the one before, else the next on the roll.
    fn next_tag(&self, head: usize, known: &Known) -> String {
        let before = head.checked_sub(1).map(|before| self.words(Step::Tag(before)));
        let first = before.and_then(after).or_else(|| known.next_tag.clone());
        let mut tag = first.unwrap_or_default();
        // One that is on an open job is not the next on the roll.
        while Tag::read(&tag).is_ok_and(|tag| known.worn.contains_key(tag.key())) {
            match after(&tag) {
                Some(next) => tag = next,
                None => return String::new(),
            }
        }
        tag
    }

    fn before(&self, head: usize, step: fn(usize) -> Step) -> String {
        head.checked_sub(1).map(|before| self.words(step(before)).to_owned()).unwrap_or_default()
    }

    /// The talk so far in a few lines, to look at before it is written.
    pub fn summary(&self) -> Vec<String> {
        let mut who = if let Some(found) = self.customer() {
            format!("{} {}", found.name, found.phone)
        } else {
            let words = [Step::Who, Step::Name, Step::Phone].map(|step| self.words(step));
            words.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
        };
        if self.words(Step::Who) == SAME {
            "on the last ticket".clone_into(&mut who);
        }
        let mut lines = vec![who.trim().to_owned()];
        lines.extend(
            self.answers
                .iter()
                .filter(|(step, words)| matches!(step, Step::Other(_)) && !words.is_empty())
                .map(|(_, words)| format!("  {words}")),
        );
        let holds = self.holds();
        lines.extend(self.addressed());
        for head in 0..self.head_count() {
            let tag = self.words(Step::Tag(head));
            let hold = holds.iter().find(|(held, _)| held == tag);
            let hold = hold.map(|(_, why)| format!("  (held for {why})")).unwrap_or_default();
            lines.push(format!("  {}{hold}", self.of_head(head).join("; ")));
        }
        lines
    }

    /// Address and licence, if they were said.
    fn addressed(&self) -> Option<String> {
        let said = [("", Step::Address), ("licence ", Step::Licence)];
        let said = said.map(|(what, step)| (what, self.words(step)));
        let said: Vec<String> = said
            .into_iter()
            .filter(|(_, words)| !words.is_empty())
            .map(|(what, words)| format!("{what}{words}"))
            .collect();
        (!said.is_empty()).then(|| format!("  {}", said.join("; ")))
    }

    /// What is understood of a head, each with what it is.
    fn of_head(&self, head: usize) -> Vec<String> {
        let mut words = vec![self.words(Step::Tag(head)).to_owned()];
        if let Ok(take_in) = head::take_in(self, head) {
            words.extend(understood(&take_in.into()));
        }
        let papers = [
            ("kill tag or permit", Step::KillTag(head)),
            ("killed", Step::Killed(head)),
            ("in", Step::County(head)),
        ];
        let said = papers.into_iter().map(|(what, step)| (what, self.words(step)));
        words.extend(
            said.filter(|(_, said)| !said.is_empty()).map(|(what, said)| format!("{what} {said}")),
        );
        words
    }
}

/// The fields of a take-in but its tag: "whitetail", "male", "8 points", "nose keep".
fn understood(verb: &burrline_domain::Verb) -> Vec<String> {
    let said = verb.said().into_iter().filter(|(_, said)| !said.is_empty());
    said.filter_map(|(field, said)| {
        let said = said.join(" ");
        match field {
            "skull" | "ticket" | "plan" => None,
            "species" | "sex" | "arrival" => Some(said),
            "points" => Some(format!("{said} pt")),
            "hide_on" => Some("hide on".to_owned()),
            field => Some(format!("{} {said}", field.replace('_', " "))),
        }
    })
    .collect()
}

/// The tag after a tag, with as many digits.
pub fn after(tag: &str) -> Option<String> {
    let letters = tag.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let (letter, number) = tag.split_at_checked(letters)?;
    let next = number.parse::<u64>().ok()?.checked_add(1)?;
    let tag = format!("{letter}{next:0>width$}", width = number.len());
    Tag::looks_like(&tag).then_some(tag)
}
