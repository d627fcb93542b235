//! What was left off after a question, and what was refused.

use burrline_present::named::skull;
use burrline_proto::v1;
use burrline_terms::{Day, Typed as _};

use super::{Look, Table, Told};

impl Told for v1::RefusedResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "refused",
        "refused yesterday",
        "refused 2026-11-01..2026-11-30 --rule wrap-first",
        "refused 2026-11 --at-bench yard-1 --json",
    ];

    fn more() -> String {
        "The newest first: which line, who, at which bench, and which rule objected. A line that was left \
         off is told without its free texts.\n\nDays are said as `yesterday`, `fri`, 2026-11-24, 2026-11 \
         for a month, or from one to another."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["WHEN", "BENCH", "HAND", "WHAT", "LINE", "RULE", "WHY"]);
        for line in &self.lines {
            let what = if line.left_off { "left off" } else { "refused" };
            // The tag stands in the line as it was typed; what it is says whether it was that one.
            let skull = line.skull.as_ref().map(skull);
            let said = match skull.as_ref().and_then(|skull| skull.split_once(' ')) {
                Some((_, kind)) => format!("{} ({kind})", line.line),
                None => line.line.clone(),
            };
            let rules = if line.left_off { line.rules.join(", ") } else { String::new() };
            table.row([
                look.time(line.at_ms),
                line.bench.clone(),
                line.hand.clone(),
                what.to_owned(),
                said,
                rules,
                line.why.clone(),
            ]);
        }
        let text = table.lines(look);
        if text.is_empty() { vec![none(&self.from_day, &self.to_day)] } else { text }
    }
}

/// That there is nothing, and how to ask for other days.
fn none(from: &str, to: &str) -> String {
    let when = if from == to { format!("on {from}") } else { format!("from {from} to {to}") };
    let month = Day::read(from).map(|day| Day(day.0.first_of_month()).show()).unwrap_or_default();
    format!(
        "nothing was left off or refused {when}; other days: `burrline refused yesterday`, `burrline \
         refused {month}..{to}`"
    )
}
