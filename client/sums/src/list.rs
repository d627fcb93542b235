//! The topics by what they are for; those that are typed daily come first.

use crate::TOPICS;

/// What topics are for, and their names in the order of use.
const GROUPS: &[(&str, &[&str])] = &[
    ("Typed daily", &["dilute", "top-up", "mix", "dry"]),
    (
        "Peroxide baths",
        &["strength", "class", "blend", "assay", "strip", "additive", "keep", "gas", "air"],
    ),
    ("Pots and tubs", &["boils", "heat", "burner", "fuel", "warm", "boil-off", "room", "thaw"]),
    ("Drying", &["rack", "measuring"]),
    ("Days and places", &["ready", "degrease", "in-hand", "places", "how-often"]),
    ("Money", &["tax", "split", "cash", "storage"]),
    ("Law", &["law"]),
    (
        "Which skull",
        &["score", "skull-score", "horn-score", "compare", "check-number", "check-digit"],
    ),
];

/// The list, in 80 columns. `all` lists what a shop hardly uses too, at the end.
pub fn list(all: bool) -> String {
    let topic = |name: &str| TOPICS.iter().find(|topic| topic.name == name);
    let line = |name: &str, about: &str| format!("  {name:<13} {about}");
    let mut lines: Vec<String> = Vec::new();
    for (group, names) in GROUPS {
        lines.push(format!("{group}:"));
        lines.extend(names.iter().filter_map(|name| topic(name)).map(|t| line(t.name, t.about)));
    }
    let grouped = |name: &str| GROUPS.iter().any(|(_, names)| names.contains(&name));
    let rest = TOPICS.iter().filter(|topic| !grouped(topic.name));
    if all {
        lines.push("Hardly used by a shop:".to_owned());
        lines.extend(rest.map(|topic| line(topic.name, topic.about)));
        lines.push(
            "  Also: --height geopotential (boils, heat), --molar-volume stp, school or iupac"
                .to_owned(),
        );
    } else {
        lines.push(
            "`burrline reckon TOPIC --help` tells of one; `reckon --all` lists the rest."
                .to_owned(),
        );
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_daily_comes_first_and_every_topic_is_found() {
        let short = list(false);
        let names = ["dilute", "top-up", "mix", "dry"];
        let first: Vec<&str> =
            short.lines().skip(1).take(4).filter_map(|l| l.split_whitespace().next()).collect();
        assert_eq!(first, names);
        assert!(!short.contains("\n  median") && !short.contains("\n  round"));
        let all = list(true);
        for topic in TOPICS {
            assert!(all.contains(&format!("\n  {} ", topic.name)), "{}", topic.name);
        }
    }

    #[test]
    fn no_line_is_wider_than_the_smallest_terminal() {
        for line in list(true).lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}
