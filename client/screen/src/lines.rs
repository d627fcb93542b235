//! Find, floor, due and clashes: lines about many skulls.

use burrline_paper::fit::{cut, padded, width};
use burrline_present::named::{entry, kind, number, skull};
use burrline_proto::v1;
use burrline_terms::words::PlaceKind;

use super::{Look, Table, Told};

impl Told for v1::FindResponse {
    const EXAMPLES: &'static [&'static str] =
        &["find 0417", "find whitetail tub-1", "find 88-1203", "find \"brass plate\""];

    fn more() -> String {
        "By the tag that it wears or wore, its job number or ticket, kill tag, permit or seal, species, \
         place, why it is held, how it left, and words of notes, damage, condition and disputes. Each \
         result says what it was found by. Jobs that have left come last. Customers are found by name, by \
         the last digits of their telephone, and at a counter by licence."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        // What it is and where it is stands in the table anyway.
        let plain = |by: &String| by == "species" || by.starts_with("in ");
        let mut text = if self.skulls.iter().all(|line| line.found_by.iter().all(plain)) {
            skulls(&self.skulls, look)
        } else {
            by_what(&self.skulls, look)
        };
        if self.more > 0 {
            text.push(format!(
                "and {} more that have left: say more words to narrow it down",
                self.more
            ));
        }
        for customer in &self.customers {
            let name = if customer.name.is_empty() { "sealed" } else { &customer.name };
            let head =
                format!("customer {} {name} {}", entry(customer.customer.as_ref()), customer.phone);
            // By a name it is plain why; by a licence nothing of it is shown.
            let by = Some(&customer.found_by)
                .filter(|by| matches!(by.as_str(), "licence" | "nearly the name"));
            let by = by.map(|by| format!("  (by {by})")).unwrap_or_default();
            text.push(cut(&format!("{}{by}", head.trim_end()), look.width));
            text.extend(skulls(&customer.jobs, look).iter().map(|line| format!("  {line}")));
        }
        if text.is_empty() {
            text.push("nothing found".to_owned());
        }
        text
    }
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

impl Told for v1::FloorResponse {
    const EXAMPLES: &'static [&'static str] = &["floor", "floor tub-1 --as-of 10:40"];

    fn text(&self, look: &Look) -> Vec<String> {
        let mut text = Vec::new();
        for place in &self.places {
            text.push(cut(&place_words(place, look), look.width));
            text.extend(here(&place.here, look));
        }
        if !self.nowhere.is_empty() {
            text.push("in no place".to_owned());
            text.extend(here(&self.nowhere, look));
        }
        if text.is_empty() {
            text.push("no places yet; add one with `burrline add-place pot-1 pot`".to_owned());
        }
        text
    }
}

impl Told for v1::DueResponse {
    const EXAMPLES: &'static [&'static str] = &["due", "due --within 7d"];

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["WHEN", "SKULL", "PLACE", "WHAT"]);
        for line in &self.lines {
            let about = line.skull.as_ref().map(skull).unwrap_or_default();
            table.row([look.time(line.at_ms), about, line.place.clone(), line.what.clone()]);
        }
        let text = table.lines(look);
        if text.is_empty() { vec!["nothing is due".to_owned()] } else { text }
    }
}

impl Told for v1::ClashesResponse {
    const EXAMPLES: &'static [&'static str] = &["clashes"];

    fn text(&self, look: &Look) -> Vec<String> {
        let text = clashes(&self.lines, look);
        if text.is_empty() { vec!["everything fits".to_owned()] } else { text }
    }
}

/// What does not fit, one line each.
pub fn clashes(lines: &[v1::ClashLine], look: &Look) -> Vec<String> {
    let mut table = Table::new(&["WHEN", "ENTRY", "SKULL", "WHAT DOES NOT FIT"]);
    for line in lines {
        let about = line.skull.as_ref().map_or_else(|| line.tag.clone(), skull);
        let name = entry(line.entry.as_ref());
        table.row([look.time(line.happened_ms), name, about, line.words.clone()]);
    }
    table.lines(look)
}

/// Skulls, one line each.
pub fn skulls(lines: &[v1::SkullLine], look: &Look) -> Vec<String> {
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
    table.lines(look)
}

/// What the strength of a bath rests on; a shop of an older release says it without a day.
pub(super) fn strength_how(bath: &v1::BathLine) -> &str {
    match (bath.strength_how.as_str(), bath.measured) {
        ("", true) => "measured",
        ("", false) => "mixed",
        (how, _) => how,
    }
}

fn place_words(place: &v1::PlaceLine, look: &Look) -> String {
    let kind = PlaceKind::from_number(place.kind).map_or("", PlaceKind::word);
    let mut words = vec![format!("{} {kind} {}", place.name, place.material).trim_end().to_owned()];
    if let Some(bath) = &place.bath {
        let unit = |text: &str, unit: &str| (!text.is_empty()).then(|| format!("{text} {unit}"));
        // A shop of an older release says litres alone.
        let level = Some(bath.level.clone()).filter(|level| !level.is_empty());
        words.extend(level.or_else(|| unit(&bath.litres, "L")));
        let how = strength_how(bath);
        words.extend(unit(&bath.peroxide_wv, "%").map(|strength| format!("{strength} ({how})")));
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
    words.extend(Some(place.observed.clone()).filter(|text| !text.is_empty()));
    words.join(", ")
}

/// The skulls of one place, indented under it.
fn here(lines: &[v1::SkullLine], look: &Look) -> Vec<String> {
    let names: Vec<String> = lines.iter().map(skull).collect();
    let widest = names.iter().map(|name| width(name)).max().unwrap_or(0);
    let show = |(name, line): (&String, &v1::SkullLine)| {
        let since = since(line, look);
        let since = if since.is_empty() { since } else { format!("since {since}") };
        // To be put somewhere is the last thing done to most, and says less than what for.
        let doing = doing(line);
        let stage = if doing.is_empty() { line.stage.clone() } else { doing };
        let rest: Vec<String> =
            [since, stage, apart(line)].into_iter().filter(|t| !t.is_empty()).collect();
        let text = format!("  {}  {}", padded(name, widest), rest.join(", "));
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
