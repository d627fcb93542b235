//! Closing, strays, roll-calls and recipes.

use burrline_present::{
    cautions::Danger,
    named::{entry, skull},
};
use burrline_proto::v1;

use super::{Look, Table, Told, lines::skulls};

impl Told for v1::LockUpResponse {
    const EXAMPLES: &'static [&'static str] = &["lock-up", "lock-up --json"];

    fn more() -> String {
        "What is still lit and since when, what lies in hot water and in peroxide, how long now and up to \
         when the shop's own rules let it, which waters are to be changed before morning, what to take out \
         of the freezer, and which strays nobody knows.\n\nMorning is the hour of `set-shop opens-at 8`. \
         Nothing is recorded: it is a list to walk the yard with, not a proof that a flame is out."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        lock_up(self, look)
    }
}

/// What is left at closing; a clean yard says so.
fn lock_up(answer: &v1::LockUpResponse, look: &Look) -> Vec<String> {
    let mut text = Vec::new();
    for line in &answer.lit {
        let since = look.time(line.since_ms);
        text.push(format!("LIT: {} since {since} ({})", line.place, line.flame));
    }
    text.extend(answer.hot.iter().flat_map(|line| in_water("in hot water", line, look)));
    text.extend(answer.peroxide.iter().flat_map(|line| in_water("in peroxide", line, look)));
    for line in &answer.changes {
        text.push(format!("{}, due {}", line.what, look.time(line.at_ms)));
    }
    for stray in &answer.strays {
        text.push(format!("stray: {}", stray_words(stray, look)));
    }
    if text.is_empty() {
        text.push(format!(
            "a clean yard: nothing is lit, nothing lies in hot water or peroxide, no water is to be \
             changed before {}, no stray is open",
            look.time(answer.morning_ms)
        ));
    }
    let freezer = answer.take_out.as_ref().filter(|t| !t.take_out.is_empty());
    text.extend(freezer.iter().flat_map(|freezer| freezer.text(look)));
    if !answer.lit.is_empty() {
        text.push(Danger::Heat.words().to_owned());
        text.push("By the books only: go and look at each burner before you leave.".to_owned());
    }
    if !answer.peroxide.is_empty() {
        text.push(Danger::Peroxide.words().to_owned());
    }
    text
}

fn in_water(what: &str, line: &v1::InWater, look: &Look) -> Vec<String> {
    let skull_line = line.skull.as_ref();
    let place = skull_line.map(|skull| skull.place.clone()).unwrap_or_default();
    let strength = Some(&line.strength_wv).filter(|strength| !strength.is_empty());
    let strength = strength.map(|strength| format!(" at {strength} %")).unwrap_or_default();
    let so_far = burrline_present::view::minutes(line.minutes.into());
    let heat = skull_line.map(|skull| skull.heat.clone()).filter(|heat| !heat.is_empty());
    let so_far = heat.unwrap_or(so_far);
    let mut text = vec![format!(
        "{what}: {} in {place}{strength} since {}, {so_far}",
        skull_line.map(skull).unwrap_or_default(),
        look.time(line.since_ms)
    )];
    if let Some(due) = &line.due {
        text.push(format!("    {}: {}", look.time(due.at_ms), due.what));
    }
    match line.longest_ms {
        Some(at) if at <= look.now.0 => text.push(format!("    TOO LONG: {}", line.rule)),
        Some(at) => text.push(format!("    no longer than {}: {}", look.time(at), line.rule)),
        None if !line.rule.is_empty() => text.push(format!("    LONGEST NOT KNOWN: {}", line.rule)),
        None => text.push("    no rule of the shop sets a longest time".to_owned()),
    }
    if line.strength_wv.is_empty() && !line.flame_said {
        text.push("    nobody said the heat under it: see whether it burns".to_owned());
    }
    text
}

impl Told for v1::StraysResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "stray \"small buck, 6 pt, chip on left\" --place rack-2",
        "strays",
        "identify 0417 --stray 2:7 --why \"chip on left\" --witness tom",
    ];

    fn text(&self, look: &Look) -> Vec<String> {
        let mut text = Vec::new();
        for stray in &self.lines {
            text.push(format!("{}  {}", entry(stray.entry.as_ref()), stray_words(stray, look)));
            for one in &stray.could_be {
                let who = one
                    .skull
                    .as_ref()
                    .map(burrline_present::named::skull_and_place)
                    .unwrap_or_default();
                text.push(format!("    could be {who}: {}", one.reasons.join(", ")));
            }
            if let Some(whose) = &stray.whose {
                let said = [("", &stray.why), ("seen by ", &stray.witness)];
                let said: Vec<String> = said
                    .iter()
                    .filter(|(_, words)| !words.is_empty())
                    .map(|(before, words)| format!("{before}{words}"))
                    .collect();
                let said =
                    if said.is_empty() { String::new() } else { format!(": {}", said.join(", ")) };
                text.push(format!("    is of {}{said}", skull(whose)));
            }
        }
        if text.is_empty() {
            text.push("no stray is open".to_owned());
        }
        text
    }
}

fn stray_words(stray: &v1::StrayLine, look: &Look) -> String {
    let place = Some(&stray.place).filter(|place| !place.is_empty());
    let place = place.map(|place| format!(" in {place}")).unwrap_or_default();
    format!("\u{201c}{}\u{201d} found{place} {}", stray.words, look.time(stray.found_ms))
}

impl Told for v1::CheckRollResponse {
    const EXAMPLES: &'static [&'static str] = &["roll-call rack-1 0417 0418"];

    fn text(&self, look: &Look) -> Vec<String> {
        roll_call(self, look)
    }
}

/// What a roll-call found, before it is said.
fn roll_call(found: &v1::CheckRollResponse, look: &Look) -> Vec<String> {
    let mut text = Vec::new();
    for (what, lines) in [
        ("not read, and booked here", &found.not_read),
        ("read, and booked elsewhere", &found.elsewhere),
        ("read, and not here any more by the books", &found.ended),
        ("bagged parts booked here, which no tag reads", &found.pieces),
    ] {
        if !lines.is_empty() {
            text.push(format!("{what}:"));
            text.extend(skulls(lines, look).iter().map(|line| format!("  {line}")));
        }
    }
    if !found.unknown.is_empty() {
        text.push(format!("read, and on no job: {}", found.unknown.join(", ")));
    }
    text
}

impl Told for v1::RecipesResponse {
    const EXAMPLES: &'static [&'static str] =
        &["recipe bear-soak --water 30L --add soap=1L --soak 3d", "recipes", "recipes bear-soak"];

    fn text(&self, look: &Look) -> Vec<String> {
        let heads = ["RECIPE", "VERSION", "SINCE", "BY", "WATER", "ADD", "SOAK", "CHANGE", "IN"];
        let mut table = Table::new(&heads);
        for line in &self.versions {
            table.row([
                line.name.clone(),
                line.version.to_string(),
                look.time(line.from_ms),
                line.hand.clone(),
                line.water.clone(),
                line.add.join(", "),
                line.soak.clone(),
                line.change_after.clone(),
                line.waters.join(", "),
            ]);
        }
        let text = table.lines(look);
        if text.is_empty() {
            let none =
                "no recipe yet; write one with `burrline recipe bear-soak --water 30L --soak 3d`";
            return vec![none.to_owned()];
        }
        text
    }
}
