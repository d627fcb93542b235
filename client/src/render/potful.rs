//! The next potful, and what to take out of the freezer.

use burrline_proto::v1;
use burrline_terms::{counted, words::PlaceKind};
use serde_json::{Value, json};

use super::{Look, Page, lines::skull_json, skull, skull_and_place};
use crate::cautions::Danger;

/// So many who are left out are told one by one.
const TOLD: usize = 12;

/// The next potful of a place.
pub fn next(answer: &v1::NextResponse, look: &Look) -> Page {
    let place = &answer.place;
    let heads = counted(answer.picks.len(), "head");
    let mut text = match answer.picks.len() {
        0 => vec![format!("{place}: nothing goes in next ({})", answer.room)],
        _ => vec![format!("{place}: the next potful, {heads} ({})", answer.room)],
    };
    text.extend(answer.first.iter().map(|words| format!("  {words}")));
    for pick in &answer.picks {
        text.push(format!("  {}", pick.skull.as_ref().map(skull).unwrap_or_default()));
        text.extend(pick.reasons.iter().map(|why| format!("      {why}")));
        text.extend(pick.first.iter().map(|what| format!("      first: {what}")));
    }
    text.extend(left_out(&answer.left_out));
    if !answer.waiting.is_empty() {
        text.push(format!("not ready: {}", answer.waiting.join(", ")));
    }
    if !answer.picks.is_empty() {
        text.extend(caution(answer.kind).map(str::to_owned));
    }
    let picks = answer.picks.iter().map(|pick| {
        json!({
            "skull": pick.skull.as_ref().map(|skull| skull_json(skull, look)),
            "reasons": pick.reasons, "first": pick.first,
        })
    });
    let object = json!({
        "place": answer.place, "kind": PlaceKind::from_number(answer.kind).map(PlaceKind::word),
        "room": answer.room, "first": answer.first, "potful": picks.collect::<Vec<_>>(),
        "left_out": left_out_json(&answer.left_out, look), "waiting": answer.waiting,
    });
    Page { text, json: vec![object] }
}

/// What to take out of the freezer.
pub fn take_out(answer: &v1::TakeOutResponse, look: &Look) -> Page {
    let mut text = Vec::new();
    if answer.pots.is_empty() {
        text.push("no pot was added yet; add one with `burrline add-place pot-1 pot`".to_owned());
    } else if answer.take_out.is_empty() {
        text.push("nothing to take out of the freezer".to_owned());
    } else {
        text.push(format!("take out now, {}", counted(answer.take_out.len(), "head")));
    }
    for one in &answer.take_out {
        let what = one.skull.as_ref().map(skull_and_place).unwrap_or_default();
        text.push(format!("  {what} for {}", one.pot));
        text.push(format!("      thawed by {}", look.time(one.thawed_ms)));
        let why = one.reasons.iter().filter(|why| !why.starts_with("thawed by"));
        text.extend(why.map(|why| format!("      {why}")));
    }
    if !answer.ready.is_empty() {
        let ready: Vec<String> = answer.ready.iter().map(skull).collect();
        text.push(format!("out of it already: {}", ready.join(", ")));
    }
    text.extend(left_out(&answer.left_out));
    text.extend(answer.pots.iter().cloned());
    if answer.stay_frozen > 0 {
        text.push(format!("{} more stay in the freezer", answer.stay_frozen));
    }
    let take_out = answer.take_out.iter().map(|one| {
        json!({
            "skull": one.skull.as_ref().map(|skull| skull_json(skull, look)), "pot": one.pot,
            "thawed": look.stamp(one.thawed_ms), "reasons": one.reasons,
        })
    });
    let ready: Vec<Value> = answer.ready.iter().map(|skull| skull_json(skull, look)).collect();
    let object = json!({
        "take_out": take_out.collect::<Vec<_>>(), "ready": ready,
        "left_out": left_out_json(&answer.left_out, look), "pots": answer.pots,
        "stay_frozen": answer.stay_frozen, "morning": look.stamp(answer.morning_ms),
    });
    Page { text, json: vec![object] }
}

fn left_out(lines: &[v1::LeftOut]) -> Vec<String> {
    let one = |line: &v1::LeftOut| {
        format!("  {}: {}", line.skull.as_ref().map(skull).unwrap_or_default(), line.why)
    };
    let head = (!lines.is_empty()).then(|| "left out".to_owned());
    let more = lines.len().saturating_sub(TOLD);
    let more = (more > 0).then(|| format!("  and {more} more; --json gives all of them"));
    head.into_iter().chain(lines.iter().take(TOLD).map(one)).chain(more).collect()
}

fn left_out_json(lines: &[v1::LeftOut], look: &Look) -> Vec<Value> {
    let one = |line: &v1::LeftOut| {
        let skull = line.skull.as_ref().map(|skull| skull_json(skull, look));
        json!({"skull": skull, "why": line.why})
    };
    lines.iter().map(one).collect()
}

/// What can hurt at a place of a kind.
fn caution(kind: i32) -> Option<&'static str> {
    match PlaceKind::from_number(kind)? {
        PlaceKind::Pot => Some(Danger::Heat.words()),
        PlaceKind::Tub => Some(Danger::Peroxide.words()),
        PlaceKind::Tank
        | PlaceKind::Freezer
        | PlaceKind::Rack
        | PlaceKind::Shelf
        | PlaceKind::Board => None,
    }
}
