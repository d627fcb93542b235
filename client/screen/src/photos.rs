//! The photos of a job.

use burrline_present::{
    named::{entry, skull},
    view::Zone,
};
use burrline_proto::{Wire as _, v1};
use burrline_terms::Happened;

use super::{Look, Told};

impl Told for v1::PhotosResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "photos 0417",
        "photos 0417 --out 0417-photos",
        "photos 0417 --out for-the-officer --originals",
    ];

    fn more() -> String {
        "With --out they are fetched into a folder with a page to look through.\n\nWhat is fetched is the \
         copy that tells neither place nor device. The photo as it was taken is given to a counter's or \
         the owner's bench alone, which signs for it."
            .to_owned()
    }

    /// A line a photo.
    fn text(&self, look: &Look) -> Vec<String> {
        let mut text: Vec<String> = self.line.iter().map(skull).collect();
        if self.photos.is_empty() {
            text.push("no photos; take some with `burrline photograph TAG FILE`".to_owned());
        }
        let zone = Zone(look.zone.clone());
        for line in &self.photos {
            let happened = line.happened.as_ref().and_then(|item| Happened::from_item(item).ok());
            let when = happened.map(|h| zone.time(h.at, Some(look.now))).unwrap_or_default();
            let who = if line.hand.is_empty() { "" } else { line.hand.as_str() };
            let at = [who, line.bench.as_str()].join(" at ");
            let mut words = vec![when, at.trim_start_matches(" at ").to_owned()];
            words.extend((!line.words.is_empty()).then(|| line.words.clone()));
            words.extend(line.struck.then(|| "crossed out".to_owned()));
            words.extend(line.stripped.is_empty().then(|| "no copy to show".to_owned()));
            let whole = line.has_original && (line.stripped.is_empty() || line.has_stripped);
            words.extend((self.by_shop && !whole).then(|| "not at the shop yet".to_owned()));
            text.push(format!("  {}  [{}]", words.join("  "), entry(line.entry.as_ref())));
        }
        text
    }
}
