//! Closing, strays, roll-calls and recipes.

use burrline_proto::v1;
use serde_json::{Value, json};

use super::{
    Look, Page, Table, entry,
    lines::{skull_json, skulls},
    potful::take_out,
    skull,
};
use crate::cautions::Danger;

/// What is left at closing; a clean yard says so.
pub fn lock_up(answer: &v1::LockUpResponse, look: &Look) -> Page {
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
    let freezer =
        answer.take_out.as_ref().filter(|t| !t.take_out.is_empty()).map(|t| take_out(t, look));
    text.extend(freezer.iter().flat_map(|page| page.text.iter().cloned()));
    if !answer.lit.is_empty() {
        text.push(Danger::Heat.words().to_owned());
        text.push("By the books only: go and look at each burner before you leave.".to_owned());
    }
    if !answer.peroxide.is_empty() {
        text.push(Danger::Peroxide.words().to_owned());
    }
    let lit = answer.lit.iter().map(|line| {
        json!({"place": line.place, "since": look.stamp(line.since_ms), "flame": line.flame})
    });
    let waters = |lines: &[v1::InWater]| -> Vec<Value> {
        lines.iter().map(|line| in_water_json(line, look)).collect()
    };
    let changes = answer
        .changes
        .iter()
        .map(|line| json!({"place": line.place, "what": line.what, "at": look.stamp(line.at_ms)}));
    let object = json!({
        "lit": lit.collect::<Vec<_>>(), "hot": waters(&answer.hot),
        "peroxide": waters(&answer.peroxide), "changes": changes.collect::<Vec<_>>(),
        "take_out": freezer.map(|page| page.json),
        "strays": answer.strays.iter().map(|stray| stray_json(stray, look)).collect::<Vec<_>>(),
        "morning": look.stamp(answer.morning_ms),
    });
    Page { text, json: vec![object] }
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

fn in_water_json(line: &v1::InWater, look: &Look) -> Value {
    json!({
        "skull": line.skull.as_ref().map(|skull| skull_json(skull, look)),
        "since": look.stamp(line.since_ms), "minutes": line.minutes,
        "strength_wv": line.strength_wv, "longest": line.longest_ms.map(|at| look.stamp(at)),
        "rule": line.rule,
        "due": line.due.as_ref().map(|due| json!({"at": look.stamp(due.at_ms), "what": due.what})),
        "flame_said": line.flame_said,
    })
}

/// The strays, with whose they can be.
pub fn strays(answer: &v1::StraysResponse, look: &Look) -> Page {
    let mut page = Page::default();
    for stray in &answer.lines {
        page.text.push(format!("{}  {}", entry(stray.entry.as_ref()), stray_words(stray, look)));
        for one in &stray.could_be {
            let who = one.skull.as_ref().map(super::skull_and_place).unwrap_or_default();
            page.text.push(format!("    could be {who}: {}", one.reasons.join(", ")));
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
            page.text.push(format!("    is of {}{said}", skull(whose)));
        }
        page.json.push(stray_json(stray, look));
    }
    if page.text.is_empty() {
        page.text.push("no stray is open".to_owned());
    }
    page
}

fn stray_words(stray: &v1::StrayLine, look: &Look) -> String {
    let place = Some(&stray.place).filter(|place| !place.is_empty());
    let place = place.map(|place| format!(" in {place}")).unwrap_or_default();
    format!("\u{201c}{}\u{201d} found{place} {}", stray.words, look.time(stray.found_ms))
}

fn stray_json(stray: &v1::StrayLine, look: &Look) -> Value {
    let could_be = stray.could_be.iter().map(|one| {
        json!({
            "skull": one.skull.as_ref().map(|skull| skull_json(skull, look)), "reasons": one.reasons,
        })
    });
    json!({
        "stray": entry(stray.entry.as_ref()), "words": stray.words, "place": stray.place,
        "found": look.stamp(stray.found_ms), "could_be": could_be.collect::<Vec<_>>(),
        "whose": stray.whose.as_ref().map(|skull| skull_json(skull, look)), "why": stray.why,
        "witness": stray.witness,
    })
}

/// What a roll-call found, before it is said.
pub fn roll_call(found: &v1::CheckRollResponse, look: &Look) -> Vec<String> {
    let mut text = Vec::new();
    for (what, lines) in [
        ("not read, and booked here", &found.not_read),
        ("read, and booked elsewhere", &found.elsewhere),
        ("read, and not here any more by the books", &found.ended),
        ("bagged parts booked here, which no tag reads", &found.pieces),
    ] {
        if !lines.is_empty() {
            text.push(format!("{what}:"));
            text.extend(skulls(lines, look).text.iter().map(|line| format!("  {line}")));
        }
    }
    if !found.unknown.is_empty() {
        text.push(format!("read, and on no job: {}", found.unknown.join(", ")));
    }
    text
}

/// The recipes, version by version.
pub fn recipes(answer: &v1::RecipesResponse, look: &Look) -> Page {
    let heads = ["RECIPE", "VERSION", "SINCE", "BY", "WATER", "ADD", "SOAK", "CHANGE", "IN"];
    let (mut table, mut page) = (Table::new(&heads), Page::default());
    for line in &answer.versions {
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
        page.json.push(json!({
            "recipe": line.name, "version": line.version, "since": look.stamp(line.from_ms),
            "hand": line.hand, "water": line.water, "add": line.add, "soak": line.soak,
            "change_after": line.change_after, "waters": line.waters,
        }));
    }
    page.text = table.lines(look);
    if page.text.is_empty() {
        page.text.push(
            "no recipe yet; write one with `burrline recipe bear-soak --water 30L --soak 3d`"
                .to_owned(),
        );
    }
    page
}
