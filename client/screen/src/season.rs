//! Readiness, rates and load.

use burrline_present::named::skull;
use burrline_proto::v1;

use super::{Look, Table, Told};

impl Told for v1::ReadyByResponse {
    const EXAMPLES: &'static [&'static str] =
        &["ready-by 0417", "ready-by 0417 --share 90", "promise 0417 2026-12-18"];

    fn more() -> String {
        "Takes the jobs that came to the same step and lasted as long as this one, of the same kind of \
         animal; of all kinds where fewer than ten of the kind finished; and the owner's own table \
         (`set-shop ready-days.KIND`) where that is still too few. Time on hold does not count, unless the \
         hold's reason begins with \u{201c}ours\u{201d}. Nothing is said beyond the longest time that was \
         seen."
            .to_owned()
    }

    fn text(&self, _: &Look) -> Vec<String> {
        let whose = self.skull.as_ref().map(skull).unwrap_or_default();
        vec![format!("{whose}: {}", self.sentence)]
    }

    fn behind(&self, _: &Look) -> Vec<String> {
        self.why.iter().map(|line| format!("  {line}")).collect()
    }
}

impl Told for v1::DegreasedResponse {
    const EXAMPLES: &'static [&'static str] =
        &["degreased", "degreased --kind bear", "reckon degrease to 104F"];

    fn more() -> String {
        "One line for each head that went on from a tank to whitening, drying or a coat: its time in tanks, and \
         the mean of what `reading` and `heat` told of those waters meanwhile. `reckon degrease` takes them \
         from here, where it is given none."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["SKULL", "KIND", "HOW LONG", "HOW WARM", "READINGS"]);
        for line in &self.lines {
            table.row([
                line.skull.as_ref().map(skull).unwrap_or_default(),
                line.kind.clone(),
                line.took.clone(),
                line.how_warm.clone(),
                line.readings.to_string(),
            ]);
        }
        let text = table.lines(look);
        if text.is_empty() {
            return vec!["no head has gone on from a tank yet, so nothing can be told".to_owned()];
        }
        text
    }
}

impl Told for v1::RatesResponse {
    const EXAMPLES: &'static [&'static str] = &["rates", "rates --json"];

    fn more() -> String {
        "Damage counts once for each step that a skull went through, unless it came so; slower than planned \
         when its stays in pots, tanks, tubs or racks took longer than the job's own plan; late by the \
         first day that was promised, with time on hold put on top. Limits hold 19 times in 20, so of \
         twenty lines one differs by chance alone. Few cases tell little, and the last column says so."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["WHAT", "STEP", "KIND", "HOW OFTEN", "AGAINST THE REST"]);
        for line in &self.lines {
            table.row([
                line.what.clone(),
                line.step.clone(),
                line.kind.clone(),
                line.words.clone(),
                line.verdict.clone(),
            ]);
        }
        let text = table.lines(look);
        if text.is_empty() {
            return vec!["nothing has been worked on yet, so nothing can be told".to_owned()];
        }
        text
    }
}

impl Told for v1::LoadResponse {
    const EXAMPLES: &'static [&'static str] = &["load", "load --times 1.3"];

    fn more() -> String {
        "Takes the last 56 weeks, times the number given, so that the whole of the last season is in it until \
         the new one begins. A place is full in a week where more were in it at once than it holds, or would \
         be by chance more than one time in ten. How many a place holds is a setting: `set-shop \
         holds.pot-1 4`. For how many places to have, never for a customer's date."
            .to_owned()
    }

    fn text(&self, _: &Look) -> Vec<String> {
        let mut text = Vec::new();
        for line in &self.lines {
            let seen = match line.seen_week.as_str() {
                "" => String::new(),
                seen => format!(", as in the week of {seen}"),
            };
            text.push(format!("{} {}, week of {}{seen}", line.place, line.kind, line.week));
            text.extend(line.words.split("; ").map(|words| format!("  {words}")));
        }
        if text.is_empty() {
            text.push("nothing was in any place in the last 56 weeks".to_owned());
        }
        text
    }
}
