//! The photos of a job.

use burrline_present::view::Zone;
use burrline_proto::{Wire as _, v1};
use burrline_terms::Happened;
use serde_json::json;

use super::{Look, Page, entry, lines::skull_json, skull};

/// A line a photo. `known` is whether it is known which of them the shop has.
pub fn photos(answer: &v1::PhotosResponse, known: bool, look: &Look) -> Page {
    let mut page = Page::default();
    page.text.extend(answer.line.as_ref().map(skull));
    if answer.photos.is_empty() {
        page.text.push("no photos; take some with `burrline photograph TAG FILE`".to_owned());
    }
    let zone = Zone(look.zone.clone());
    for line in &answer.photos {
        let happened = line.happened.as_ref().and_then(|item| Happened::from_item(item).ok());
        let when = happened.map(|h| zone.time(h.at, Some(look.now))).unwrap_or_default();
        let name = entry(line.entry.as_ref());
        let who = if line.hand.is_empty() { "" } else { line.hand.as_str() };
        let at = [who, line.bench.as_str()].join(" at ");
        let mut words = vec![when, at.trim_start_matches(" at ").to_owned()];
        words.extend((!line.words.is_empty()).then(|| line.words.clone()));
        words.extend(line.struck.then(|| "crossed out".to_owned()));
        words.extend(line.stripped.is_empty().then(|| "no copy to show".to_owned()));
        let whole = line.has_original && (line.stripped.is_empty() || line.has_stripped);
        words.extend((known && !whole).then(|| "not at the shop yet".to_owned()));
        page.text.push(format!("  {}  [{name}]", words.join("  ")));
        page.json.push(json!({
            "skull": answer.line.as_ref().map(|line| skull_json(line, look)),
            "entry": name,
            "at": happened.map(|h| h.at.0),
            "hand": line.hand, "bench": line.bench, "words": line.words, "struck": line.struck,
            "original": hex::encode(&line.original), "stripped": hex::encode(&line.stripped),
            "at_shop": known.then_some(whole),
        }));
    }
    page
}
