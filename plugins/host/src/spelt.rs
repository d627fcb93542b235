//! Texts that a fact can never have: `job.arrival == "skin on"` where only "skin-on" is ever said.

use std::collections::BTreeMap;

use crate::facts::{Group, JobFacts, VerbFacts};
use crate::lint::Lint;
use crate::plain::nearest;
use crate::source::without_talk;

/// What is compared with a fact whose texts are all known, and is none of them.
pub(crate) fn misspelt(source: &str) -> Vec<Lint> {
    let closed = closed_lists();
    let mut lints = Vec::new();
    for (number, line) in (1_u32..).zip(source.lines()) {
        for (name, text, column) in compared(without_talk(line)) {
            let Some(Some(values)) = closed.get(name) else { continue };
            if text.is_empty() || values.iter().any(|value| value == text) {
                continue;
            }
            let near = nearest(text, values.iter().map(String::as_str));
            let near = near.map(|near| format!("; did you mean \"{near}\"?"));
            let all: Vec<String> = values.iter().map(|value| format!("\"{value}\"")).collect();
            lints.push(Lint {
                line: Some(number),
                column: Some(column),
                words: format!(
                    "`{name}` is never \"{text}\"{}; it is one of {}",
                    near.unwrap_or_default(),
                    all.join(", ")
                ),
                works: true,
            });
        }
    }
    lints
}

/// The texts that facts of a name can have, by the last part of the name; nothing where it may be
/// any text. They are read off the words for owners, so that a list is written once.
fn closed_lists() -> BTreeMap<&'static str, Option<Vec<String>>> {
    let mut lists = BTreeMap::new();
    collect(JobFacts::group(), &mut lists);
    collect(VerbFacts::group(), &mut lists);
    lists
}

fn collect(group: &'static Group, lists: &mut BTreeMap<&'static str, Option<Vec<String>>>) {
    for field in group.fields {
        if (field.kind)() == "text" {
            let values = values_of(field.about);
            let known = lists.entry(field.name).or_insert_with(|| Some(Vec::new()));
            match (known.as_mut(), values) {
                (Some(all), Some(values)) => all.extend(values),
                (_, None) | (None, _) => *known = None,
            }
        }
        if let Some(inner) = field.group {
            collect(inner, lists);
        }
    }
}

/// The texts in the words about a fact, if they are all there are.
fn values_of(about: &str) -> Option<Vec<String>> {
    let open = ["and so on", "such as", "word", "name", "unless said"];
    if open.iter().any(|word| about.contains(word)) {
        return None;
    }
    // The list stands beside the fact that it is the same as.
    if about.contains("as in `") || about.contains("in the same words") {
        return Some(Vec::new());
    }
    let values: Vec<String> = quoted(about).map(str::to_owned).collect();
    Some(values).filter(|values| values.len() >= 2)
}

fn quoted(text: &str) -> impl Iterator<Item = &str> {
    text.split('"').skip(1).step_by(2).filter(|value| !value.is_empty())
}

/// Names of facts with the texts that a line compares them with, and where: by `==`, by `!=`, by `in [..]`.
fn compared(code: &str) -> Vec<(&str, &str, u32)> {
    let mut found = Vec::new();
    for root in ["job.", "act."] {
        for (at, _) in code.match_indices(root) {
            let path = code.get(at..).unwrap_or_default();
            let end = path.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '.'));
            let before = code.get(..at).unwrap_or_default().chars().count();
            let column = u32::try_from(before.saturating_add(1)).unwrap_or(u32::MAX);
            let (path, rest) = path.split_at(end.unwrap_or(path.len()));
            let Some(name) = path.rsplit('.').next() else { continue };
            let rest = rest.trim_start();
            let one = ["==", "!="].iter().find_map(|sign| rest.strip_prefix(sign));
            let list = rest.strip_prefix("in").map(str::trim_start);
            let list = list.and_then(|rest| rest.strip_prefix('[')?.split(']').next());
            match (one.map(str::trim_start), list) {
                (Some(text), _) if text.starts_with('"') => {
                    found.extend(quoted(text).take(1).map(|text| (name, text, column)));
                }
                (_, Some(list)) => found.extend(quoted(list).map(|text| (name, text, column))),
                (Some(_) | None, None) => {}
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_facts_with_a_closed_list_are_looked_at() {
        let lists = closed_lists();
        let closed: Vec<&str> =
            lists.iter().filter_map(|(name, values)| values.as_ref().map(|_| *name)).collect();
        for name in ["arrival", "group", "test", "last_look", "whose", "material", "flame"] {
            assert!(closed.contains(&name), "{name} is not in {closed:?}");
        }
        for name in ["species", "customer_class", "verb", "what", "age", "hand", "kill_state"] {
            assert!(!closed.contains(&name), "{name} is in {closed:?}");
        }
    }

    #[test]
    fn a_text_that_a_fact_never_has_is_told_with_the_nearest_one() {
        let words = |code: &str| -> Vec<String> {
            misspelt(code).into_iter().map(|lint| lint.words).collect()
        };
        let told = words(r#"if job.arrival != "skin on" { }"#);
        assert!(told[0].starts_with(r#"`arrival` is never "skin on"; did you mean "skin-on"?"#));
        let told = words(r#"if act.place.material in ["plastic", "stainles"] { }"#);
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(told[0].contains(r#"did you mean "stainless"?"#), "{told:?}");
        for fine in [
            r#"if job.arrival == "rotten" { }"#,
            r#"if job.arrival == "" { } // job.arrival == "x""#,
            r#"if job.species == "spike buck" { }"#,
            r#"if job.wishes.jaw == "keep" && job.jaw == "whole" { }"#,
        ] {
            assert_eq!(words(fine), Vec::<String>::new());
        }
    }
}
