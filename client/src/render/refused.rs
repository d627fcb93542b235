//! What was left off after a question, and what was refused.

use burrline_proto::v1;
use burrline_terms::Day;
use serde_json::json;

use super::{Look, Page, Table, entry, skull};

/// The list of some days.
pub fn refused(answer: &v1::RefusedResponse, from: Day, to: Day, look: &Look) -> Page {
    let mut page = Page::default();
    let mut table = Table::new(&["WHEN", "BENCH", "HAND", "WHAT", "LINE", "RULE", "WHY"]);
    for line in &answer.lines {
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
        page.json.push(json!({
            "entry": entry(line.entry.as_ref()), "at": look.stamp(line.at_ms), "bench": line.bench,
            "hand": line.hand, "line": line.line, "skull": skull, "left_off": line.left_off,
            "rules": line.rules, "why": line.why,
        }));
    }
    page.text = table.lines(look);
    if page.text.is_empty() {
        let when = if from == to { format!("on {from}") } else { format!("from {from} to {to}") };
        page.text.push(format!(
            "nothing was left off or refused {when}; other days: `burrline refused yesterday`, \
             `burrline refused {}..{to}`",
            Day(from.0.first_of_month())
        ));
    }
    page
}
