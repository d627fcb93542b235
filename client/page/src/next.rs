//! Which steps are likely next for a skull: by where it is and what was done last.
//!
//! A guess for the large keys, and no more: every other step is one tap behind, and the shop's own rules
//! still object. The order of the work is common practice, no source.

use burrline_proto::v1::{PlaceKind, SkullLine};

/// A step as a line; `{}` stands for the tags.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Step {
    /// What stands on the key.
    pub(crate) label: String,
    /// The line.
    pub(crate) line: String,
}

impl Step {
    fn of(label: &str, line: &str) -> Self {
        Self { label: label.to_owned(), line: line.to_owned() }
    }

    fn into(place: &str) -> Self {
        Self { label: format!("into {place}"), line: format!("in {place} {{}}") }
    }
}

/// A place that something can be put in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Place {
    /// Its name.
    pub(crate) name: String,
    /// What it is.
    pub(crate) kind: PlaceKind,
    /// It holds a water.
    pub(crate) filled: bool,
}

/// At most so many are large.
const MOST: usize = 3;

/// The likely next steps of one skull, the likeliest first.
pub(crate) fn likely(line: &SkullLine, kind: PlaceKind, places: &[Place]) -> Vec<Step> {
    let wet = |wanted: PlaceKind| {
        // A place that is ready comes before one that is still dry.
        let of_kind = |filled: bool| {
            places.iter().filter(move |place| place.kind == wanted && place.filled == filled)
        };
        of_kind(true).chain(of_kind(false)).map(|place| Step::into(&place.name)).take(2)
    };
    let out = || Step::of("out", "out {}");
    let mut steps: Vec<Step> = match kind {
        PlaceKind::Pot => {
            vec![
                out(),
                Step::of("look: slipping", "look {} slipping"),
                Step::of("look: softening", "look {} softening"),
            ]
        }
        PlaceKind::Tub | PlaceKind::Tank => {
            vec![out(), Step::of("look: clean", "look {} clean")]
        }
        PlaceKind::Colony | PlaceKind::WarmBath | PlaceKind::Soak | PlaceKind::Ground => {
            vec![
                Step::of("look: more", "look {} more"),
                Step::of("look: clean", "look {} clean"),
                out(),
            ]
        }
        PlaceKind::Dryer | PlaceKind::Oven => vec![out(), Step::of("coat", "coat {}")],
        PlaceKind::Freezer => vec![out()],
        PlaceKind::Rack | PlaceKind::Shelf | PlaceKind::Board | PlaceKind::Unspecified => {
            match line.stage.as_str() {
                "flesh" => std::iter::once(Step::of("wrap", "wrap {}"))
                    .chain(wet(PlaceKind::Pot))
                    .collect(),
                "wrap" | "unwrap" => wet(PlaceKind::Pot).collect(),
                "out" => std::iter::once(Step::of("wash", "wash {}"))
                    .chain(wet(PlaceKind::Rack))
                    .chain(wet(PlaceKind::Tub))
                    .collect(),
                "wash" | "rinse" => std::iter::once(Step::of("look: clean", "look {} clean"))
                    .chain(wet(PlaceKind::Tub).take(1))
                    .chain(wet(PlaceKind::Shelf).take(1))
                    .collect(),
                "look" => wet(PlaceKind::Tub)
                    .take(1)
                    .chain(wet(PlaceKind::Tank).take(1))
                    .chain(wet(PlaceKind::Pot).take(1))
                    .collect(),
                "whiten" | "glue" => vec![Step::of("coat", "coat {}"), out()],
                "coat" | "stain" | "repair" | "mount" => vec![Step::of("inspect", "inspect {}")],
                "inspect" => Vec::new(),
                "in" => vec![
                    out(),
                    Step::of("look: clean", "look {} clean"),
                    Step::of("coat", "coat {}"),
                ],
                _ => vec![
                    Step::of("flesh, brain out", "flesh {} brain"),
                    Step::of("flesh", "flesh {}"),
                ],
            }
        }
    };
    let elsewhere = line.place.is_empty();
    // What is in no place cannot come out of one.
    steps.retain(|step| !(elsewhere && step.line == "out {}"));
    steps.truncate(MOST);
    steps
}

/// Every step that takes tags alone, for the keys behind the large ones.
pub(crate) fn all() -> Vec<Step> {
    [
        ("flesh", "flesh {}"),
        ("flesh, brain out", "flesh {} brain"),
        ("wrap", "wrap {}"),
        ("unwrap", "unwrap {}"),
        ("out", "out {}"),
        ("look: tight", "look {} tight"),
        ("look: softening", "look {} softening"),
        ("look: slipping", "look {} slipping"),
        ("look: clean", "look {} clean"),
        ("look: greasy", "look {} greasy yes"),
        ("wash", "wash {}"),
        ("wash, brain out", "wash {} brain"),
        ("rinse", "rinse {}"),
        ("coat", "coat {}"),
        ("mount", "mount {}"),
        ("inspect", "inspect {}"),
        ("not where it was", "gone {}"),
    ]
    .map(|(label, line)| Step::of(label, line))
    .to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(place: &str, stage: &str) -> SkullLine {
        SkullLine { place: place.into(), stage: stage.into(), ..SkullLine::default() }
    }

    fn labels(line: &SkullLine, kind: PlaceKind) -> Vec<String> {
        let place = |name: &str, kind, filled| Place { name: name.into(), kind, filled };
        let places = [
            place("pot-1", PlaceKind::Pot, false),
            place("pot-2", PlaceKind::Pot, true),
            place("tub-1", PlaceKind::Tub, true),
            place("rack-1", PlaceKind::Rack, false),
        ];
        likely(line, kind, &places).into_iter().map(|step| step.label).collect()
    }

    #[test]
    fn what_comes_next_follows_from_where_it_is_and_what_was_done() {
        assert_eq!(labels(&line("pot-1", "look"), PlaceKind::Pot)[0], "out");
        assert_eq!(labels(&line("", "out"), PlaceKind::Unspecified)[0], "wash");
        assert_eq!(
            labels(&line("", "flesh"), PlaceKind::Unspecified),
            ["wrap", "into pot-2", "into pot-1"]
        );
        assert_eq!(labels(&line("freezer-1", ""), PlaceKind::Freezer), ["out"]);
        assert!(!labels(&line("", "in"), PlaceKind::Unspecified).contains(&"out".to_owned()));
    }
}
