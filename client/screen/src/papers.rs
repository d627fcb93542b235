//! Compare and dates: whether it is the skull that came in, and what the law sets for it.

use burrline_present::named::skull;
use burrline_proto::v1;

use super::{Look, Told, look::Ink, working};

impl Told for v1::CompareResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "measure 0417 beam-r 21 7/8",
        "compare 0417",
        "compare 3-41-7 --json",
        "compare 0417 0418",
        "compare 0417 --as-of 2026-11-24T08:00 --and 2026-11-25T08:00",
        "compare floor --as-of 08:00",
    ];

    fn more() -> String {
        "With a tag alone: what was measured at intake with what was measured after work, pair by pair, and \
         whether it can be the same skull. Measure the same names twice: spread, beam-r, beam-l, g1-r, \
         g1-l, h1-r, h1-l and so on, in inches and eighths (sixteenths for skulls without antlers). With \
         enough of them the rack is scored.\n\nWith two tags: the two jobs side by side, step, times, \
         waters, heat, money and what their records answer; only what differs. With --as-of: two moments \
         of one job, or of `floor`; --and names the second, which is now if it is not said."
            .to_owned()
    }

    fn text(&self, _: &Look) -> Vec<String> {
        let mut text: Vec<String> = self.line.iter().map(skull).collect();
        text.extend(self.comparison.iter().flat_map(working::answer));
        if let Some(score) = &self.score {
            text.push(String::new());
            text.push("score by the latest measures".to_owned());
            text.extend(working::answer(score));
        }
        text
    }

    fn behind(&self, _: &Look) -> Vec<String> {
        self.comparison.iter().chain(&self.score).flat_map(working::way).collect()
    }
}

impl Told for v1::DatesResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "dates 0417",
        "set-shop state VA",
        "set-shop law.va.records '3 years after returned; 4VAC15-290-80, read 2026-11-01'",
    ];

    fn more() -> String {
        "How long records are kept, when unclaimed work may go, which papers a found head or one from a \
         disease area needs. Rows are dated readings of texts; the shop writes its own over them, and \
         where there is none the answer is to ask. Never legal advice."
            .to_owned()
    }

    fn text(&self, _: &Look) -> Vec<String> {
        let mut text: Vec<String> = self.line.iter().map(skull).collect();
        text.extend(self.law.iter().flat_map(working::answer));
        text
    }

    fn behind(&self, _: &Look) -> Vec<String> {
        self.law.iter().flat_map(working::way).collect()
    }
}

impl Told for v1::SidesResponse {
    const EXAMPLES: &'static [&'static str] = &["compare 0417 0418"];

    fn text(&self, look: &Look) -> Vec<String> {
        let mut text = vec![format!("one:   {}", self.one), format!("other: {}", self.other)];
        let missing =
            |words: &str| if words.is_empty() { "-".to_owned() } else { words.to_owned() };
        for row in &self.rows {
            text.push(String::new());
            text.push(look.ink(Ink::Heading, &row.what));
            text.push(format!("  one:   {}", missing(&row.one)));
            text.push(format!("  other: {}", missing(&row.other)));
        }
        text.push(String::new());
        text.push(match (self.rows.len(), self.same) {
            (0, _) => "nothing differs".to_owned(),
            (_, same) => format!("{same} more are the same"),
        });
        text
    }
}
