//! The shop's ways, steps and animals.

use burrline_present::view::minutes;
use burrline_proto::v1;

use super::{Look, Table, Told};

impl Told for v1::WaysResponse {
    const EXAMPLES: &'static [&'static str] =
        &["ways", "ways beetles", "way house flesh=30min beetles=5d freeze=8d dry=1d"];

    fn text(&self, look: &Look) -> Vec<String> {
        let mut text: Vec<String> = Vec::new();
        let mut table = Table::new(&["WAY", "", "STEPS"]);
        for way in &self.ways {
            let own = if way.own { "own" } else { "" };
            table.row([way.name.clone(), own.to_owned(), way.steps.join(", ")]);
        }
        text.extend(table.lines(look));
        let mut table = Table::new(&[
            "STEP",
            "",
            "IN",
            "SMALL",
            "MIDDLE",
            "LARGE",
            "HUGE",
            "AGAIN",
            "NEVER AFTER",
        ]);
        let in_places = self.steps.iter().filter(|step| !step.kind.is_empty() || step.own);
        for step in in_places {
            let size = |at: usize| {
                step.minutes.get(at).map(|m| minutes(i64::from(*m))).unwrap_or_default()
            };
            table.row([
                step.name.clone(),
                if step.own { "own" } else { "" }.to_owned(),
                step.kind.clone(),
                size(0),
                size(1),
                size(2),
                size(3),
                minutes(i64::from(step.again)),
                step.never_after.join(", "),
            ]);
        }
        text.extend(table.lines(look));
        if self.ways.len() == 1 {
            let care = self.steps.iter().filter(|step| !step.care.is_empty());
            text.extend(care.map(|step| format!("{}: {}", step.name, step.care)));
        }
        let by_hand = self.steps.iter().filter(|step| step.kind.is_empty() && !step.own);
        let by_hand: Vec<&str> = by_hand.map(|step| step.name.as_str()).collect();
        if !by_hand.is_empty() {
            text.push(format!("by hand: {}", by_hand.join(", ")));
        }
        text
    }
}

impl Told for v1::AnimalsResponse {
    const EXAMPLES: &'static [&'static str] =
        &["animals", "animals chamois", "about-species chamois --most-heat 45min"];

    fn text(&self, look: &Look) -> Vec<String> {
        if let [one] = self.animals.as_slice() {
            return all_of(one);
        }
        let mut table = Table::new(&["ANIMAL", "", "HEAD", "KIND", "SIZE", "GREASE", "ALSO"]);
        for line in &self.animals {
            table.row([
                line.name.clone(),
                if line.own { "own" } else { "" }.to_owned(),
                format!("{} ({})", line.head, line.borne_by),
                line.group.clone(),
                line.size.clone(),
                line.grease.to_string(),
                line.spellings.iter().take(3).cloned().collect::<Vec<_>>().join(", "),
            ]);
        }
        table.lines(look)
    }
}

fn all_of(line: &v1::AnimalLine) -> Vec<String> {
    let mut text = vec![format!(
        "{}: {} ({}), as {}, {}, grease {} of 3",
        line.name, line.head, line.borne_by, line.group, line.size, line.grease
    )];
    let mut add = |what: &str, said: String| {
        if !said.is_empty() {
            text.push(format!("{what}: {said}"));
        }
    };
    add("also", line.spellings.join(", "));
    add("most heat", line.most_heat.clone());
    add("usual", line.usual.iter().map(super::job::step).collect::<Vec<_>>().join(", "));
    add("measured", line.measure.join(", "));
    add("pieces", line.pieces.join(", "));
    add("care", line.care.clone());
    text
}
