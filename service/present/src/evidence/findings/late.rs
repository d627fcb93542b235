//! What was said long after it happened, came home long after it was said, or came after the dispute.

use super::{
    Finding,
    lines::{LATE_MS, Line, Lines},
    stage::SAME_DAY_MS,
};

pub(super) fn late(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    for line in &lines.all {
        let Some(why) = why(lines, line) else { continue };
        alarm |= lines.is_late(line.fact);
        answers.push(format!("{}, {}; {why}", lines.quoted(line.first()), lines.by(line.fact)));
    }
    let nothing =
        "nothing: each line was typed within ten minutes and reached the shop within a day";
    Finding::or("What was said too late to be sure of?", answers, nothing, alarm)
}

fn why(lines: &Lines<'_>, line: &Line<'_>) -> Option<String> {
    let (record, happened) = (&line.fact.record, line.fact.happened());
    let mut why = Vec::new();
    if happened.typed.since(happened.at) > LATE_MS {
        why.push(format!("typed {} after it happened", long(happened.typed.since(happened.at))));
    }
    if record.shop_time.since(happened.typed) > SAME_DAY_MS {
        let reached = lines.zone.time(record.shop_time, None);
        let later = long(record.shop_time.since(happened.typed));
        why.push(format!("reached the shop {reached}, {later} after it was typed"));
    }
    if why.is_empty() && lines.is_late(line.fact) {
        why.push("reached the shop when the dispute was open".to_owned());
    }
    (!why.is_empty()).then(|| why.join("; "))
}

/// "25 min", "7 h", "12 days".
fn long(ms: i64) -> String {
    const MINUTE: i64 = 60_000;
    let (unit, name) = match ms {
        ..3_600_000 => (MINUTE, "min"),
        3_600_000..172_800_000 => (60 * MINUTE, "h"),
        172_800_000.. => (1440 * MINUTE, "days"),
    };
    format!("{} {name}", ms.checked_div(unit).unwrap_or(0))
}
