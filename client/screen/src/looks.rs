//! Who looked at what.

use burrline_present::named::skull;
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Typed as _};

use super::{Look, Table, Told};

impl Told for v1::WhoLookedResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "who-looked",
        "who-looked 2026-11 --at-bench counter-1",
        "who-looked 2026-11 --skull 0417",
        "who-looked yesterday --json",
    ];

    fn more() -> String {
        "The newest first: which bench opened customers' details, took photos as they were taken, exported, \
         or made a packet, and how often. The shop says that on its log at most once a bench and a quarter \
         of an hour; so the last quarter of an hour is not in it yet, and is lost if the server is killed. \
         What a bench reads in its own copy while it is away is not in it."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["SINCE", "UNTIL", "BENCH", "WHAT", "TIMES", "OF"]);
        for line in &self.lines {
            for thing in &line.things {
                table.row([
                    look.time(line.since_ms),
                    look.time(line.until_ms),
                    line.bench.clone(),
                    thing.what.clone(),
                    thing.times.to_string(),
                    of(thing),
                ]);
            }
        }
        let text = table.lines(look);
        if !text.is_empty() {
            return text;
        }
        let (from, to) = (&self.from_day, &self.to_day);
        let when = if from == to { format!("on {from}") } else { format!("from {from} to {to}") };
        vec![format!(
            "nobody is known to have looked {when}; other days: `burrline who-looked yesterday`"
        )]
    }
}

fn of(thing: &v1::LookedThing) -> String {
    let about = thing.about.as_ref().and_then(|about| EntryName::from_item(about).ok());
    match (&thing.skull, about) {
        (Some(job), _) => skull(job),
        (None, Some(about)) => format!("customer {}", about.show()),
        (None, None) => "several".to_owned(),
    }
}
