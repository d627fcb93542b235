//! Short words for what a bench says all day. This table is the whole of it: any other beginning must
//! begin one word alone, or it is asked about.

use burrline_line::words::folded;

/// A verb, or what is read all day, and its short words.
pub const BRIEF: &[(&str, &[&str])] = &[
    ("in", &["i"]),
    ("out", &["o"]),
    ("look", &["l", "lo"]),
    ("wash", &["w", "wa"]),
    ("flesh", &["fl"]),
    ("wrap", &["wr"]),
    ("weigh", &["we"]),
    ("fill", &["fi"]),
    ("heat", &["h", "he"]),
    ("reading", &["r", "re"]),
    ("top-up", &["t"]),
    ("change", &["c", "ch"]),
    ("whiten", &["wh"]),
    ("coat", &["co"]),
    ("note", &["n"]),
    ("floor", &["flo"]),
];

/// The verb that a short word of the table stands for.
pub fn brief(word: &str) -> Option<&'static str> {
    let word = folded(word);
    let is_it = |(_, short): &&(&str, &[&str])| short.contains(&word.as_str());
    BRIEF.iter().find(is_it).map(|(verb, _)| *verb)
}

/// The table in lines of help: "i in  o out  l, lo look".
pub fn lines(columns: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for (verb, short) in BRIEF {
        let one = format!("{} {verb}", short.join(", "));
        let Some(last) = lines.last_mut() else { break };
        if last.is_empty() {
            *last = one;
        } else if last.len().saturating_add(one.len()).saturating_add(3) > columns {
            lines.push(one);
        } else {
            last.push_str("   ");
            last.push_str(&one);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use burrline_domain::verb::spec;
    use burrline_terms::words::Role;

    use super::*;

    #[test]
    fn a_short_word_begins_its_verb_stands_for_one_alone_and_is_no_verb() {
        let mut seen = BTreeSet::new();
        for (verb, short) in BRIEF {
            let reading = || burrline_present::readings::spec(verb).is_some();
            let of_benches = spec(verb).map(|spec| spec.role == Role::Bench);
            assert!(of_benches.unwrap_or_else(reading), "{verb}");
            for word in *short {
                assert!(verb.starts_with(word) && word.len() < verb.len(), "{word} {verb}");
                assert!(seen.insert(*word), "{word} twice");
                assert!(spec(word).is_none(), "{word}");
                assert_eq!(brief(&word.to_uppercase()), Some(*verb));
            }
        }
        assert_eq!(brief("wash"), None);
    }
}
