//! The shop's own books: the till of a day, and what was left over.

use burrline_present::named::skull;
use burrline_proto::v1;
use burrline_terms::counted;

use super::{Look, Table, Told, desk::nonzero, look::Ink};

impl Told for v1::TillResponse {
    const EXAMPLES: &'static [&'static str] =
        &["till", "till yesterday", "till --on 2026-11-14", "till --on 2026-11-14 --json"];

    fn more() -> String {
        "Opened with, plus cash that came in, less cash that went out, is what should be in the drawer. \
         What was counted less that is over or short. A day opens with its float, else with what the \
         day before left.\n\nClose a day with `close-till`. What comes in for it later, from a bench \
         that was away, is in the till of the day on which it arrives, with when it happened. A \
         correction of a closed day takes the line back in the till of the day of the correction. The \
         closed till stays as it was."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let closed = match (self.closed, self.closed_by.as_str()) {
            (false, _) => String::new(),
            (true, "") => format!(", closed {}", look.time(self.closed_ms)),
            (true, hand) => format!(", closed {} by {hand}", look.time(self.closed_ms)),
        };
        let mut text =
            vec![look.ink(Ink::Heading, &format!("till of {}{closed}", self.day)), String::new()];
        text.extend(drawer(self));
        if !self.coins.is_empty() {
            let coins = self.coins.iter().map(|c| format!("{} x {}", c.count, c.of));
            text.push(format!("  counted as {}", coins.collect::<Vec<_>>().join(", ")));
        }
        text.extend(other_means(self));
        text.extend(moved(&self.moves, look));
        let later: Vec<String> = self
            .elsewhere
            .iter()
            .map(|m| format!("  {}  in the till of {}", brief(m, look), m.day))
            .collect();
        if !later.is_empty() {
            text.extend([String::new(), "of this day, said after it was closed:".to_owned()]);
            text.extend(later);
        }
        text
    }
}

fn line(what: &str, amount: &str) -> String {
    format!("{what:<38}{amount:>12}")
}

/// The drawer, as a sum to add up by hand.
fn drawer(till: &v1::TillResponse) -> Vec<String> {
    let mut text = Vec::new();
    let how = if till.float { "opened with a float of" } else { "opened with what was left" };
    if till.opened.is_empty() {
        text.push("opened with: nobody said; `float 200` says it".to_owned());
    } else {
        text.push(line(how, &till.opened));
    }
    for sum in &till.cash {
        let out = matches!(sum.what.as_str(), "given back" | "paid out" | "spent");
        let amount = if out { minus(&sum.amount) } else { sum.amount.clone() };
        text.push(line(&format!("cash {}, {}", sum.what, sum.number), &amount));
    }
    if !till.after_count.is_empty() {
        text.push(line("  of that after the count", &till.after_count));
    }
    if !till.expected.is_empty() {
        let when =
            if till.counted.is_empty() { "should be in it" } else { "expected at the count" };
        text.push(line(when, &till.expected));
    }
    if till.counted.is_empty() {
        text.push("not counted; `count-till 7x20 18x0.25` or `count-till 384.45`".to_owned());
    } else {
        text.push(line("counted", &till.counted));
    }
    if let Some(short) = till.over.strip_prefix('-') {
        text.push(line("short", short));
    } else if nonzero(&till.over) {
        text.push(line("over", &till.over));
    } else if !till.over.is_empty() {
        text.push(line("neither over nor short", &till.over));
    }
    if !till.float_over.is_empty() {
        text.push(line("the float is not what was left, by", &till.float_over));
    }
    if !till.left.is_empty() && till.left != till.counted {
        text.push(line("left in the till", &till.left));
    }
    text
}

fn minus(amount: &str) -> String {
    match amount.strip_prefix('-') {
        Some(more) => more.to_owned(),
        None => format!("-{amount}"),
    }
}

/// What came and went by other means than cash.
fn other_means(till: &v1::TillResponse) -> Vec<String> {
    let mut text = Vec::new();
    for means in &till.means {
        for (what, amount) in [("paid", &means.paid), ("given back", &means.given_back)] {
            if nonzero(amount) {
                let amount = if what == "paid" { amount.clone() } else { minus(amount) };
                text.push(line(&format!("{}, {what}", means.means), &amount));
            }
        }
        if nonzero(&means.spent) {
            text.push(line(&format!("{}, spent", means.means), &minus(&means.spent)));
        }
    }
    for batch in &till.batches {
        let number = if batch.number.is_empty() { "" } else { " " };
        text.push(line(&format!("card batch{number}{}", batch.number), &batch.amount));
        text.push(line("  kept as a fee", &minus(&batch.fee)));
        text.push(line("  for the bank account", &batch.net));
    }
    if nonzero(&till.cards_waiting) {
        text.push(line("cards not in a batch yet", &till.cards_waiting));
    }
    if !text.is_empty() {
        text.insert(0, String::new());
    }
    text
}

/// The moves line by line.
fn moved(moves: &[v1::TillMove], look: &Look) -> Vec<String> {
    let mut table = Table::new(&["TIME", "WHAT", "AMOUNT", "BY", "SKULL", "WORDS"]);
    for m in moves {
        let whose = m.skull.as_ref().map(skull).unwrap_or_default();
        let happened = match (m.late, m.corrects) {
            (true, _) => format!("late: it happened {}", look.time(m.happened_ms)),
            (_, true) => {
                format!("corrects a closed till; it happened {}", look.time(m.happened_ms))
            }
            (false, false) => String::new(),
        };
        let words = [m.words.clone(), happened];
        let words: Vec<String> = words.into_iter().filter(|words| !words.is_empty()).collect();
        table.row([
            look.time(m.at_ms),
            m.what.clone(),
            m.amount.clone(),
            m.means.clone(),
            whose,
            words.join("; "),
        ]);
    }
    let lines = table.lines(look);
    if lines.is_empty() {
        return Vec::new();
    }
    std::iter::once(String::new()).chain(lines).collect()
}

pub(super) fn brief(m: &v1::TillMove, look: &Look) -> String {
    let whose = m.skull.as_ref().map(|s| format!(" {}", skull(s))).unwrap_or_default();
    format!("{}  {} {} {}{whose}", look.time(m.happened_ms), m.what, m.amount, m.means)
}

impl Told for v1::ProfitResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "profit",
        "profit 2026-11",
        "profit 2026-09-01..2027-02-28",
        "profit --on 2026-11 --json",
    ];

    fn more() -> String {
        "Earned is what `takings` says, without its tax. Spent is what `spent`, `receive-stock` with its \
         cost and the fees of `card-batch` say. Stock counts when it is bought, not when it is used. \
         Wages, rent and what nobody said are not in it. It is no tax return."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let Some(all) = &self.all else { return Vec::new() };
        let (from, to) = (&self.from_day, &self.to_day);
        let when = if from == to { from.clone() } else { format!("{from} to {to}") };
        let mut text = vec![look.ink(Ink::Heading, &format!("profit {when}")), String::new()];
        text.push(line(
            &format!("earned, {}, without tax", counted(all.heads, "head")),
            &all.earned,
        ));
        let parts = [
            ("kept of jobs that ended otherwise", all.kept.clone()),
            ("stock bought", minus(&all.stock)),
            ("spent on anything else", minus(&all.spent)),
            ("card fees", minus(&all.fees)),
            ("till over or short", all.over.clone()),
        ];
        text.extend(parts.iter().filter(|(_, n)| nonzero(n)).map(|(what, n)| line(what, n)));
        text.push(line("left over", &all.left_over));
        text.push(String::new());
        if self.per_head.is_empty() {
            text.push("a head: none was handed over or sent".to_owned());
        } else {
            text.push(line("a head", &self.per_head));
        }
        text.push(line("a week", &self.per_week));
        if !self.hours.is_empty() {
            text.push(line(&format!("an hour, of {} h noted", self.hours), &self.per_hour));
        }
        text.extend(weeks(self, look));
        if !self.costs.is_empty() {
            text.extend([String::new(), "spent on:".to_owned()]);
            text.extend(
                self.costs.iter().map(|cost| line(&format!("  {}", cost.what), &cost.amount)),
            );
        }
        text
    }
}

fn weeks(profit: &v1::ProfitResponse, look: &Look) -> Vec<String> {
    if profit.weeks.len() < 2 {
        return Vec::new();
    }
    let mut table = Table::new(&["FROM", "TO", "HEADS", "EARNED", "KEPT", "SPENT ON", "LEFT OVER"]);
    for week in &profit.weeks {
        let spent = [("stock", &week.stock), ("other", &week.spent), ("fees", &week.fees)];
        let spent = spent.iter().filter(|(_, n)| nonzero(n)).map(|(what, n)| format!("{what} {n}"));
        let kept = if nonzero(&week.kept) { week.kept.clone() } else { String::new() };
        table.row([
            week.from_day.clone(),
            week.to_day.clone(),
            week.heads.to_string(),
            week.earned.clone(),
            kept,
            spent.collect::<Vec<_>>().join(", "),
            week.left_over.clone(),
        ]);
    }
    std::iter::once(String::new()).chain(table.lines(look)).collect()
}
