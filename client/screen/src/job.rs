//! Show and trail: all that is known of one job.

use burrline_paper::fit::wrap;
use burrline_present::{named::entry, view};
use burrline_proto::v1;

use super::{
    Look, Table, Told,
    lines::{clashes, skulls},
    look::Ink,
    more::parted,
};

impl Told for v1::ShowResponse {
    const EXAMPLES: &'static [&'static str] = &["show 0417", "show 0417 --as-of 2026-11-24T17:00"];

    fn text(&self, look: &Look) -> Vec<String> {
        self.job.as_ref().map(|job| show(job, look)).unwrap_or_default()
    }

    fn behind(&self, look: &Look) -> Vec<String> {
        self.job.as_ref().map(|job| show_behind(job, look)).unwrap_or_default()
    }
}

/// One job: what it is, where it is and how it stands.
fn show(job: &v1::JobView, look: &Look) -> Vec<String> {
    let lines: Vec<v1::SkullLine> = job.line.iter().cloned().collect();
    let mut text = skulls(&lines, look);
    let mut add = |name: &str, value: &str| text.extend(named(name, value, look));
    add("customer", &job.customer_name);
    add("held", &job.hold);
    let (facts, _) = parted(&job.facts, job.facts_first);
    for line in facts {
        fact(line, &mut add);
    }
    job.damage.iter().for_each(|damage| add("damage", damage));
    job.money.iter().for_each(|line| add("money", line));
    if !job.charged.is_empty() {
        add("charged", &format!("{}, paid {}, owed {}", job.charged, job.paid, job.owed));
    }
    if job.in_cash != job.owed {
        add("in cash", &job.in_cash);
    }
    job.papers.iter().for_each(|line| add("papers", line));
    text.extend(clashes(&job.clashes, look));
    text
}

/// The rest of what is known of a job: what was said of it as it came, its price, plan and stays.
fn show_behind(job: &v1::JobView, look: &Look) -> Vec<String> {
    let mut text = Vec::new();
    let mut add = |name: &str, value: &str| text.extend(named(name, value, look));
    let (_, facts) = parted(&job.facts, job.facts_first);
    for line in facts {
        fact(line, &mut add);
    }
    job.charges.iter().for_each(|line| add("charge", &format!("{} {}", line.what, line.amount)));
    let plan: Vec<String> = job.plan.iter().map(step).collect();
    add("plan", &plan.join(", "));
    text.extend(stays(&job.stays, look));
    text
}

fn named(name: &str, value: &str, look: &Look) -> Vec<String> {
    if value.is_empty() { Vec::new() } else { wrap(&format!("{name}: {value}"), look.width, 4) }
}

fn fact(line: &str, add: &mut impl FnMut(&str, &str)) {
    match line.split_once(": ") {
        Some((name, value)) => add(name, value),
        None => add("fact", line),
    }
}

impl Told for v1::TrailResponse {
    const EXAMPLES: &'static [&'static str] = &["trail 0417", "trail 3-41-7 --as-known 1200"];

    fn text(&self, look: &Look) -> Vec<String> {
        // Each word stands where it was said: the first ones in their place, later ones where they were typed.
        let mut lines: Vec<&v1::TrailLine> = self.lines.iter().chain(&self.corrections).collect();
        lines.sort_by_key(|line| line.happened.as_ref().map(|happened| happened.at_ms));
        let apart = !self.corrections.is_empty();
        let mut text: Vec<String> =
            lines.into_iter().flat_map(|line| line_of(line, apart, look)).collect();
        if text.is_empty() {
            text.push("nothing was said of it by then".to_owned());
        }
        for gap in &self.gaps {
            let lines = wrap(&format!("gap: {gap}"), look.width, 4);
            text.extend(lines.iter().map(|line| look.ink(Ink::Alarm, line)));
        }
        for worn in &self.worn {
            text.extend(wrap(&format!("tag: {worn}"), look.width, 4));
        }
        text
    }
}

/// One record, with what hangs on it indented below.
pub fn trail_line(line: &v1::TrailLine, look: &Look) -> Vec<String> {
    line_of(line, false, look)
}

/// The same; with the first words in front where what they were amended to has a line of its own.
fn line_of(line: &v1::TrailLine, apart: bool, look: &Look) -> Vec<String> {
    let first = apart && !line.formerly.is_empty();
    let when = line.happened.as_ref().map(|happened| when(happened, look)).unwrap_or_default();
    let who: Vec<&str> =
        [line.bench.as_str(), line.hand.as_str()].into_iter().filter(|w| !w.is_empty()).collect();
    let mut marks = Vec::new();
    if line.struck {
        marks.push(match line.corrected.as_str() {
            "" => "crossed out".to_owned(),
            by => format!("crossed out by {by}, {}", entry(line.struck_by.as_ref())),
        });
    }
    if line.not_seen {
        marks.push("said, not seen".to_owned());
    }
    if line.amended_by.is_some() {
        let by = entry(line.amended_by.as_ref());
        marks.push(match line.corrected.as_str() {
            _ if line.struck => format!("amended before, {by}"),
            "" if first => format!("amended by {by}"),
            whom if first => format!("amended by {whom}, {by}"),
            "" => format!("as amended by {by}"),
            whom => format!("as amended by {whom}, {by}"),
        });
    }
    if let Some(stamped) = line.stamped_ms {
        let stamped = look.time(stamped);
        marks.push(format!("stamped {stamped} by a wrong clock of the shop, put right since"));
    } else if let Some(machine) = line.doubted_ms {
        let machine = look.time(machine);
        marks.push(format!("in doubt: the shop's machine said {machine}"));
    }
    if let Some(arrived) = view::late(line) {
        marks.push(format!("reached the shop {}", look.time(arrived)));
    }
    let marks = if marks.is_empty() { String::new() } else { format!("  ({})", marks.join("; ")) };
    // A shop of an older version tells the line only as it was typed.
    let now = if line.told.is_empty() { &line.words } else { &line.told };
    let told = short(if first { &line.formerly } else { now });
    let head = format!("{when}  {}  {}  {told}{marks}", entry(line.entry.as_ref()), who.join("/"));
    let mut text = wrap(&head, look.width, 6);
    let mut below = |name: &str, words: &str, alarm: bool| {
        if !words.is_empty() {
            let lines = wrap(&format!("    {name}{words}"), look.width, 8).into_iter();
            text.extend(lines.map(|l| if alarm { look.ink(Ink::Alarm, &l) } else { l }));
        }
    };
    if first {
        below("since then: ", now, false);
    } else {
        below("formerly: ", &line.formerly, false);
    }
    below("said first as ", &entry(line.said_first.as_ref()), false);
    below("refused: ", &line.refused, true);
    line.remarks.iter().for_each(|r| below("remark: ", &format!("{} ({})", r.words, r.rule), true));
    below("anyway: ", &line.anyway, false);
    line.figures.iter().for_each(|figure| below("", figure, false));
    text
}

/// A digest is as long as a line; its first twelve digits tell it from others.
fn short(words: &str) -> String {
    let one = |word: &str| {
        let bare = word.trim_end_matches([',', ';']);
        let is_digest = bare.len() == 64 && bare.bytes().all(|b| b.is_ascii_hexdigit());
        let head = bare.get(..12).filter(|_| is_digest);
        head.map_or_else(|| word.to_owned(), |head| word.replace(bare, &format!("{head}\u{2026}")))
    };
    words.split(' ').map(one).collect::<Vec<_>>().join(" ")
}

/// "10:40 said, typed 18:02"; "09:00 to 10:30 said, typed 18:02"; "17:00 to 21:00" where that is all
/// that is known.
fn when(happened: &v1::Happened, look: &Look) -> String {
    let at = look.time(happened.at_ms);
    let from = look.time(happened.not_before_ms);
    let until = look.until(happened.not_after_ms, happened.not_before_ms);
    if happened.said {
        let typed = look.time(happened.typed_ms);
        let said = if from == until { from } else { format!("{from} to {until}") };
        return format!("{said} said, typed {typed}");
    }
    if from == until { at } else { format!("{at} (from {from} to {until})") }
}

fn stays(stays: &[v1::StayLine], look: &Look) -> Vec<String> {
    let mut table = Table::new(&["PIECE", "PLACE", "FROM", "UNTIL", "BATH", "DOUBT"]);
    for stay in stays {
        let until = stay.until_ms.map(|ms| look.time(ms)).unwrap_or_default();
        let unsaid = if stay.until_unsaid { ", unsaid" } else { "" };
        table.row([
            stay.piece.clone(),
            stay.place.clone(),
            look.time(stay.from_ms),
            format!("{until}{unsaid}"),
            stay.bath.clone(),
            stay.doubt.clone(),
        ]);
    }
    table.lines(look)
}

pub(super) fn step(step: &v1::PlanStep) -> String {
    use burrline_proto::Wire as _;
    use burrline_terms::{PlanStep, Typed as _};
    PlanStep::from_item(step).map_or_else(|_| step.step.clone(), |step| step.show())
}
