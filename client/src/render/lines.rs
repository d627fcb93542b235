//! Find, floor, due and clashes: lines about many skulls.

use burrline_proto::v1;
use burrline_terms::words::PlaceKind;
use serde_json::{Value, json};

use super::{Look, Page, Table, entry, kind, number, skull, table::cut};

/// Jobs and customers that were found, with what each was found by.
pub fn found(found: &v1::FindResponse, look: &Look) -> Page {
    let mut page = skulls(&found.skulls, look);
    // What it is and where it is stands in the table anyway.
    let plain = |by: &String| by == "species" || by.starts_with("in ");
    if found.skulls.iter().any(|line| !line.found_by.iter().all(plain)) {
        page.text = by_what(&found.skulls, look);
    }
    if found.more > 0 {
        page.text.push(format!(
            "and {} more that have left: say more words to narrow it down",
            found.more
        ));
    }
    for customer in &found.customers {
        let name = if customer.name.is_empty() { "sealed" } else { &customer.name };
        let head =
            format!("customer {} {name} {}", entry(customer.customer.as_ref()), customer.phone);
        // By a name it is plain why; by a licence nothing of it is shown.
        let by = Some(&customer.found_by).filter(|by| *by == "licence");
        let by = by.map(|by| format!("  (by {by})")).unwrap_or_default();
        page.text.push(cut(&format!("{}{by}", head.trim_end()), look.width));
        let jobs = skulls(&customer.jobs, look);
        page.text.extend(jobs.text.iter().map(|line| format!("  {line}")));
        page.json.push(json!({
            "customer": entry(customer.customer.as_ref()), "name": customer.name,
            "phone": customer.phone, "jobs": jobs.json, "found_by": customer.found_by,
        }));
    }
    if page.text.is_empty() {
        page.text.push("nothing found".to_owned());
    }
    page
}

/// Skulls with what each was found by, which takes the room of what `show` tells.
fn by_what(lines: &[v1::SkullLine], look: &Look) -> Vec<String> {
    let mut table = Table::new(&["TAG", "JOB", "WHAT", "WHERE", "FOUND BY"]);
    for line in lines {
        let place = match (line.ended, line.hold.is_empty()) {
            (true, _) => format!("left, {}", line.how_ended),
            (false, true) => line.place.clone(),
            (false, false) => format!("{} HELD", line.place).trim().to_owned(),
        };
        table.row([number(line), line.number.clone(), kind(line), place, line.found_by.join("; ")]);
    }
    table.lines(look)
}

/// Every place and what is in it.
pub fn floor(floor: &v1::FloorResponse, look: &Look) -> Page {
    let mut page = Page::default();
    for place in &floor.places {
        let words = place_words(place, look);
        page.text.push(cut(&words, look.width));
        page.text.extend(here(&place.here, look));
        page.json.push(place_json(place, look));
    }
    if !floor.nowhere.is_empty() {
        page.text.push("in no place".to_owned());
        page.text.extend(here(&floor.nowhere, look));
        let skulls: Vec<Value> = floor.nowhere.iter().map(|line| skull_json(line, look)).collect();
        page.json.push(json!({"place": null, "here": skulls}));
    }
    if page.text.is_empty() {
        page.text.push("no places yet; add one with `burrline add-place pot-1 pot`".to_owned());
    }
    page
}

/// What is due.
pub fn due(due: &v1::DueResponse, look: &Look) -> Page {
    let mut table = Table::new(&["WHEN", "SKULL", "PLACE", "WHAT"]);
    let mut page = Page::default();
    for line in &due.lines {
        let about = line.skull.as_ref().map(skull).unwrap_or_default();
        table.row([look.time(line.at_ms), about, line.place.clone(), line.what.clone()]);
        page.json.push(json!({
            "at": look.stamp(line.at_ms), "what": line.what, "place": line.place,
            "skull": line.skull.as_ref().map(|skull| skull_json(skull, look)),
        }));
    }
    page.text = table.lines(look);
    if page.text.is_empty() {
        page.text.push("nothing is due".to_owned());
    }
    page
}

/// What does not fit.
pub fn clashes(lines: &[v1::ClashLine], look: &Look) -> Page {
    let mut table = Table::new(&["WHEN", "ENTRY", "SKULL", "WHAT DOES NOT FIT"]);
    let mut page = Page::default();
    for line in lines {
        let about = line.skull.as_ref().map_or_else(|| line.tag.clone(), skull);
        let name = entry(line.entry.as_ref());
        table.row([look.time(line.happened_ms), name.clone(), about, line.words.clone()]);
        page.json.push(json!({
            "happened": look.stamp(line.happened_ms), "entry": name, "tag": line.tag,
            "words": line.words, "skull": line.skull.as_ref().map(|skull| skull_json(skull, look)),
        }));
    }
    page.text = table.lines(look);
    if page.text.is_empty() {
        page.text.push("everything fits".to_owned());
    }
    page
}

/// Skulls, one line each.
pub fn skulls(lines: &[v1::SkullLine], look: &Look) -> Page {
    let mut table =
        Table::new(&["TAG", "JOB", "WHAT", "PLACE", "SINCE", "DOING", "LAST DONE", "PROMISED", ""]);
    for line in lines {
        let tagged = !line.tag.is_empty() || !line.mark.is_empty();
        table.row([
            if tagged { number(line) } else { String::new() },
            line.number.clone(),
            kind(line),
            line.place.clone(),
            since(line, look),
            doing(line),
            line.stage.clone(),
            line.promised.clone(),
            apart(line),
        ]);
    }
    let json = lines.iter().map(|line| skull_json(line, look)).collect();
    Page { text: table.lines(look), json }
}

/// A skull as an object.
pub fn skull_json(line: &v1::SkullLine, look: &Look) -> Value {
    let since = (line.since_ms != 0).then(|| look.stamp(line.since_ms));
    json!({
        "tag": line.tag, "job": line.number, "entry": entry(line.job.as_ref()),
        "species": line.species, "points": line.points, "piece": line.piece, "place": line.place,
        "since": since, "since_doubt": line.since_doubt, "stage": line.stage, "hold": line.hold,
        "promised": line.promised, "ended": line.ended, "how_ended": line.how_ended,
        "ticket": line.ticket, "doing": line.doing, "mark": line.mark, "heat": line.heat,
        "was": line.was, "found_by": line.found_by,
    })
}

fn place_words(place: &v1::PlaceLine, look: &Look) -> String {
    let kind = PlaceKind::from_number(place.kind).map_or("", PlaceKind::word);
    let mut words = vec![format!("{} {kind} {}", place.name, place.material).trim_end().to_owned()];
    if let Some(bath) = &place.bath {
        let unit = |text: &str, unit: &str| (!text.is_empty()).then(|| format!("{text} {unit}"));
        // A shop of an older release says litres alone.
        let level = Some(bath.level.clone()).filter(|level| !level.is_empty());
        words.extend(level.or_else(|| unit(&bath.litres, "L")));
        let measured = if bath.measured { " (measured)" } else { " (mixed)" };
        words.extend(unit(&bath.peroxide_wv, "%").map(|strength| format!("{strength}{measured}")));
        words.push(format!("since {}", look.time(bath.since_ms)));
        let recipe = match (bath.recipe_version, bath.recipe_newest) {
            (0, _) => bath.recipe.clone(),
            (version, newest) if version == newest => format!("{} v{version}", bath.recipe),
            (version, newest) => format!("{} v{version} (v{newest} is in force)", bath.recipe),
        };
        for text in [&bath.class, &recipe, &bath.heat, &bath.doubt] {
            words.extend(Some(text.clone()).filter(|text| !text.is_empty()));
        }
    }
    words.join(", ")
}

fn place_json(place: &v1::PlaceLine, look: &Look) -> Value {
    let bath = place.bath.as_ref().map(|bath| {
        json!({
            "bath": entry(bath.bath.as_ref()), "since": look.stamp(bath.since_ms),
            "litres": bath.litres, "level": bath.level, "peroxide_wv": bath.peroxide_wv, "measured": bath.measured,
            "class": bath.class, "heat": bath.heat, "recipe": bath.recipe, "doubt": bath.doubt,
            "recipe_version": bath.recipe_version, "recipe_newest": bath.recipe_newest,
        })
    });
    let here: Vec<Value> = place.here.iter().map(|line| skull_json(line, look)).collect();
    json!({
        "place": place.name, "kind": PlaceKind::from_number(place.kind).map(PlaceKind::word),
        "material": place.material, "bath": bath, "here": here,
    })
}

/// The skulls of one place, indented under it.
fn here(lines: &[v1::SkullLine], look: &Look) -> Vec<String> {
    let width = |text: &String| text.chars().count();
    let names: Vec<String> = lines.iter().map(skull).collect();
    let widest = names.iter().map(width).max().unwrap_or(0);
    let show = |(name, line): (&String, &v1::SkullLine)| {
        let since = since(line, look);
        let since = if since.is_empty() { since } else { format!("since {since}") };
        // To be put somewhere is the last thing done to most, and says less than what for.
        let doing = doing(line);
        let stage = if doing.is_empty() { line.stage.clone() } else { doing };
        let rest: Vec<String> =
            [since, stage, apart(line)].into_iter().filter(|t| !t.is_empty()).collect();
        let text = format!("  {name:<widest$}  {}", rest.join(", "));
        cut(text.trim_end(), look.width)
    };
    names.iter().zip(lines).map(show).collect()
}

/// What it is doing, with its heat over all goes.
fn doing(line: &v1::SkullLine) -> String {
    let words = [&line.doing, &line.heat].into_iter().filter(|words| !words.is_empty());
    words.cloned().collect::<Vec<_>>().join(", ")
}

fn since(line: &v1::SkullLine, look: &Look) -> String {
    if line.since_ms == 0 {
        return String::new();
    }
    let doubt = if line.since_doubt.is_empty() { "" } else { " (about)" };
    format!("{}{doubt}", look.time(line.since_ms))
}

/// A hold or an end, which everyone must see.
fn apart(line: &v1::SkullLine) -> String {
    if line.ended {
        line.how_ended.clone()
    } else if line.hold.is_empty() {
        String::new()
    } else {
        format!("HELD: {}", line.hold)
    }
}
