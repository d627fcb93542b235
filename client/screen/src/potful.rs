//! The next potful, and what to take out of the freezer.

use burrline_present::{
    cautions::Danger,
    named::{skull, skull_and_place},
};
use burrline_proto::v1;
use burrline_terms::{counted, words::PlaceKind};

use super::{Look, Told};

/// So many who are left out are told one by one.
const TOLD: usize = 12;

impl Told for v1::NextResponse {
    const EXAMPLES: &'static [&'static str] =
        &["next pot-1", "next tomorrow", "next tomorrow --potfuls 2"];

    fn more() -> String {
        "For a pot, tub, tank or rack as if it were empty, with the reason for each head, and who is left \
         out and why. Nothing is recorded.\n\nSecond goes come first, then by the day on which a job has to \
         go on to keep its promise, then by how long it has been thawed. Young goes with young, bear and \
         hog apart, rotten last and alone. How many fit goes by `set-shop holds.pot-1 6` and by the \
         place's volume. What is on hold, in dispute or waits for papers or a disease test is left out; \
         the shop's own rules are asked about the rest.\n\n`next tomorrow` says what to take out of the \
         freezer now; how long a kind thaws is set by `set-shop thaw-hours.deer 24`."
            .to_owned()
    }

    fn text(&self, _: &Look) -> Vec<String> {
        next(self)
    }
}

/// The next potful of a place.
fn next(answer: &v1::NextResponse) -> Vec<String> {
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
    text
}

impl Told for v1::TakeOutResponse {
    const EXAMPLES: &'static [&'static str] = &["next tomorrow"];

    fn text(&self, look: &Look) -> Vec<String> {
        take_out(self, look)
    }
}

/// What to take out of the freezer.
fn take_out(answer: &v1::TakeOutResponse, look: &Look) -> Vec<String> {
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
    text
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

/// What can hurt at a place of a kind.
fn caution(kind: i32) -> Option<&'static str> {
    match PlaceKind::from_number(kind)? {
        PlaceKind::Pot | PlaceKind::WarmBath | PlaceKind::Oven => Some(Danger::Heat.words()),
        PlaceKind::Tub => Some(Danger::Peroxide.words()),
        PlaceKind::Tank
        | PlaceKind::Freezer
        | PlaceKind::Rack
        | PlaceKind::Shelf
        | PlaceKind::Board
        | PlaceKind::Colony
        | PlaceKind::Soak
        | PlaceKind::Dryer
        | PlaceKind::Ground => None,
    }
}
