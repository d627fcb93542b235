//! `burrline sheet PLACE`: what is there, with boxes to write in where no screen goes.

use std::path::Path;

use burrline_bench::{Bench, Ending, Error, SystemClock, alone::Then, contact::Reading};
use burrline_paper::document::document;
use burrline_present::{cautions::Danger, named, readings::Floor};
use burrline_proto::v1;
use burrline_screen::{Look, Page};
use burrline_terms::{Name, Typed as _};
use clap::ArgMatches;
use maud::html;
use serde_json::json;

use super::super::terminal::Terminal;

/// What is written of the water.
pub(super) const WATER: [(&str, &str); 3] =
    [("strength", "2.4 % 10:40"), ("temperature", "38 C 10:40"), ("pH", "7.2 10:40")];

/// What is at a place.
///
/// # Errors
/// If neither shop nor copy is there, or there is no such place.
pub(super) async fn there(bench: &Bench, place: &str) -> Result<Reading<v1::PlaceLine>, Error> {
    let place = Name::read(place)?;
    let floor = Floor { place: Some(place.clone()) };
    let reading = bench.read(floor, Then::default(), &SystemClock).await?;
    let Reading { answer, how_old } = reading;
    match answer.places.into_iter().find(|line| line.name == place.as_str()) {
        Some(line) => Ok(Reading { answer: line, how_old }),
        None => Err(Error::Refused(format!("no place is called {place}; see `burrline floor`"))),
    }
}

/// Makes the sheet of a place.
///
/// # Errors
/// As [`there`], or if the page cannot be written.
pub async fn run(
    place: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let look = terminal.look(bench.zone());
    let Reading { answer, how_old } = there(&bench, place).await?;
    let tags: Vec<&str> = answer.here.iter().map(|skull| skull.tag.as_str()).collect();
    let json = vec![json!({"place": answer.name, "tags": tags})];
    let text = match matches.get_one::<String>("out") {
        Some(file) => {
            let file = Path::new(file);
            let shop = &bench.settings().shop_name;
            std::fs::write(file, page(shop, &answer, &look)).map_err(|e| Error::file(file, e))?;
            vec![format!("the sheet of {place} is in {}", file.display())]
        }
        None => text(&answer, &look),
    };
    terminal.page(&Page { text, json });
    if let Some(how_old) = how_old {
        terminal.tell(&how_old);
    }
    Ok(Ending::Done)
}

/// "30 L of water since 08:10, lit".
fn water(place: &v1::PlaceLine, look: &Look) -> String {
    let Some(bath) = &place.bath else { return "dry".to_owned() };
    let level = if bath.level.is_empty() { "water" } else { &bath.level };
    let mut words = vec![format!("{level} since {}", look.time(bath.since_ms))];
    if !bath.peroxide_wv.is_empty() {
        words.push(format!("{} % w/v peroxide", bath.peroxide_wv));
    }
    words.extend(Some(bath.heat.clone()).filter(|heat| !heat.is_empty()));
    words.join(", ")
}

fn text(place: &v1::PlaceLine, look: &Look) -> Vec<String> {
    let mut lines = vec![
        format!("{}  {}", place.name, water(place, look)),
        format!("made {}", look.stamp(look.now.0)),
        String::new(),
        format!("{:<24} {:<7} {:<7} {:<18} {}", "SKULL", "IN", "OUT AT", "LOOK, AT", "NOTE"),
    ];
    for skull in &place.here {
        let (what, since) = (named::skull(skull), look.time(skull.since_ms));
        lines.push(format!(
            "{what:<24} {since:<7} {:<7} {:<18} {}",
            "_____", "___________ _____", "__________"
        ));
    }
    lines.push(String::new());
    lines.extend(
        WATER.iter().map(|(what, _)| format!("{what:<12} ________ at _____   ________ at _____")),
    );
    lines.push(String::new());
    lines.push(format!("looks: {}", LOOKS.join(", ")));
    lines.push(format!("type it in with: burrline sheet enter {}", place.name));
    lines.extend(dangers(place).map(str::to_owned));
    lines
}

const LOOKS: [&str; 4] = ["tight", "softening", "slipping", "clean"];

/// What to be careful about at a place that holds water.
fn dangers(place: &v1::PlaceLine) -> impl Iterator<Item = &'static str> {
    let bath = place.bath.as_ref();
    let peroxide = bath.filter(|bath| !bath.peroxide_wv.is_empty());
    let heat = bath.filter(|bath| !bath.heat.is_empty());
    let words = [peroxide.map(|_| Danger::Peroxide.words()), heat.map(|_| Danger::Heat.words())];
    words.into_iter().flatten()
}

const STYLE: &str = "
@page{margin:12mm 12mm 16mm;@bottom-right{content:'page ' counter(page) ' of ' counter(pages);font:10px sans-serif}}thead{display:table-header-group}tr{break-inside:avoid}body{font:15px/1.4 sans-serif;color:#222;margin:1rem;max-width:48rem}
h1{font-size:1.5rem;margin:0}p{margin:.3rem 0}
table{border-collapse:collapse;width:100%;margin:.8rem 0}
th{text-align:left;font-size:.75rem;border-bottom:2px solid #222;padding:.2rem .4rem}
td{border:1px solid #888;height:2.3rem;padding:0 .4rem}td.is{border-color:#ccc;white-space:nowrap}
td.big{width:8rem}.small{font-size:.75rem;color:#444}
";

fn page(shop: &str, place: &v1::PlaceLine, look: &Look) -> String {
    let body = html! {
        h1 { (place.name) }
        p { (shop) ", " (water(place, look)) ". Made " (look.stamp(look.now.0)) "." }
        table {
            thead { tr { th { "skull" } th { "in" } th { "out at" } th { "look" } th { "at" } th { "note" } } }
            tbody {
                @for skull in &place.here {
                    tr {
                        td.is { b { (named::skull(skull)) } }
                        td.is { (look.time(skull.since_ms)) }
                        td.big {} td.big {} td.big {} td.big {}
                    }
                }
                // For what comes in while the sheet hangs there.
                @for _ in 0..4 { tr { td.big {} td.big {} td.big {} td.big {} td.big {} td.big {} } }
            }
        }
        table {
            thead { tr { th { "water" } th { "reading" } th { "at" } th { "reading" } th { "at" } } }
            tbody {
                @for (what, _) in WATER {
                    tr { td.is { (what) } td.big {} td.big {} td.big {} td.big {} }
                }
            }
        }
        p { "Looks: " (LOOKS.join(", ")) ". Type it in with: burrline sheet enter " (place.name) }
        @for words in dangers(place) { p.small { (words) } }
    };
    document(&place.name, STYLE, body)
}
