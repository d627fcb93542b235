//! Details of people whom a reader knows, in a text.
//!
//! A name is found where two words of it stand together, behind a title, with a capital, or on
//! a line about that customer's own head. A name that is an everyday word (brown, long) is
//! found beside its other word alone. Whoever may ask the shop may try names on it.

use std::collections::BTreeSet;

use burrline_domain::{State, Verb, fold::Job};
use burrline_terms::Sealed;

use crate::{Details, Opens, desk::people};

/// Who may be meant by the words of a text.
#[derive(Debug, Default)]
pub(super) struct People {
    /// The people of the job that the line is about: one word of their name is enough.
    own: Vec<Details>,
    /// Everybody else whom the shop knows.
    all: Vec<Details>,
    /// The shop's own hands are named all day.
    hands: BTreeSet<String>,
}

impl People {
    /// All whose keys are there.
    pub(super) fn of(state: &State, keys: &dyn Opens, job: Option<&Job>) -> Self {
        let open = |sealed: &Sealed| keys.open_details(sealed);
        let shop = state.shop();
        let latest = |customer: &burrline_domain::fold::Customer| {
            customer.details.last_key_value().and_then(|(_, sealed)| open(sealed))
        };
        let all = shop.customers.values().filter_map(latest).collect();
        let mut own: Vec<Details> = Vec::new();
        if let Some(job) = job {
            own.extend(people::customer_of(state, job).and_then(|(_, customer)| latest(customer)));
            own.extend(people::said(state, job).filter_map(sealed).filter_map(open));
        }
        let hands = shop.hands.iter().flat_map(|hand| words(hand.as_str())).collect();
        Self { own, all, hands }
    }

    /// The details of a person that a text holds, as typed; each once.
    pub(super) fn found(&self, text: &str) -> Vec<(&'static str, String)> {
        let typed = typed_words(text);
        let mut found: Vec<(&'static str, String)> = Vec::new();
        for (person, own) in
            self.own.iter().map(|p| (p, true)).chain(self.all.iter().map(|p| (p, false)))
        {
            found.extend(self.named(person, &typed, own).map(|words| (NAME, words)));
            found.extend(other(person, text));
        }
        let mut seen = BTreeSet::new();
        found.retain(|(_, words)| seen.insert(words.to_lowercase()));
        found
    }

    /// The words of a text that are this person's name.
    fn named(&self, person: &Details, typed: &[Typed<'_>], own: bool) -> Option<String> {
        let name = words(&person.name);
        let (first, last) = (name.first()?, name.last()?);
        let is_next = |one: &str, two: &str| {
            let pairs = name.windows(2).any(|pair| pair == [one, two]);
            pairs || (one == first && two == last) || (one == last && two == first)
        };
        if name.len() > 1
            && let Some(pair) = typed.windows(2).find(|pair| match pair {
                [one, two] => one.folded != two.folded && is_next(&one.folded, &two.folded),
                _ => false,
            })
        {
            let [one, two] = pair else { return None };
            return Some(format!("{} {}", one.typed, two.typed));
        }
        let plain = |word: &str| {
            word.chars().count() < 3 || COMMON.contains(&word) || self.hands.contains(word)
        };
        if own {
            let is_it = |word: &&Typed<'_>| name.contains(&word.folded) && !plain(&word.folded);
            return typed.iter().find(is_it).map(|word| word.typed.to_owned());
        }
        // Of anybody else the family name, behind a title or with a capital.
        let titles = std::iter::once(false)
            .chain(typed.iter().map(|word| TITLES.contains(&word.folded.as_str())));
        typed.iter().zip(titles).find_map(|(word, title)| {
            let capital = word.typed.starts_with(char::is_uppercase);
            let is_it = word.folded == *last && (title || (capital && !plain(last)));
            is_it.then(|| word.typed.to_owned())
        })
    }
}

/// What a found part is called.
pub(super) const NAME: &str = "a customer's name";
const NUMBER: &str = "a customer's telephone number";

const TITLES: &[&str] = &["mr", "mrs", "ms", "miss", "dr", "herr", "frau"];

/// Family names that are words of every day, and more so here.
const COMMON: &[&str] = &[
    "april", "august", "baker", "bank", "bear", "bill", "bird", "black", "bone", "brown", "buck",
    "bull", "carver", "case", "cook", "day", "deer", "doe", "drew", "elk", "field", "fisher",
    "fox", "frost", "glass", "gold", "gray", "green", "grey", "hall", "hand", "head", "hill",
    "horn", "hunt", "hunter", "june", "king", "lake", "little", "long", "march", "mark", "may",
    "moose", "new", "old", "page", "park", "pat", "point", "price", "ray", "red", "rivers", "rob",
    "rose", "rush", "sharp", "short", "silver", "skinner", "small", "snow", "stain", "stone",
    "stag", "sue", "summer", "tanner", "the", "was", "west", "white", "will", "winter", "wolf",
    "wood", "woods", "young",
];

/// A word of a text, and what makes two the same.
struct Typed<'a> {
    typed: &'a str,
    folded: String,
}

fn typed_words(text: &str) -> Vec<Typed<'_>> {
    let apart = |c: char| !(c.is_alphabetic() || c == '\'' || c == '\u{2019}');
    let plain = |word: &str| {
        let word = word.to_lowercase();
        let word =
            word.strip_suffix("'s").or_else(|| word.strip_suffix("\u{2019}s")).unwrap_or(&word);
        word.trim_matches(['\'', '\u{2019}']).to_owned()
    };
    let all = text.split(apart).filter(|word| word.chars().any(char::is_alphabetic));
    all.map(|typed| Typed { typed, folded: plain(typed) }).collect()
}

/// The words of a name, initials left out.
fn words(name: &str) -> Vec<String> {
    let all = typed_words(name).into_iter().map(|word| word.folded);
    all.filter(|word| word.chars().count() > 1).collect()
}

/// Another detail of a person that stands in a text: what it is, and the words of the text.
fn other(person: &Details, text: &str) -> Option<(&'static str, String)> {
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let phone = digits(&person.phone);
    let mut parts = text.split(char::is_alphabetic);
    if let Some(part) = parts.find(|part| phone.len() >= 6 && digits(part) == phone) {
        let marks = |c: char| !(c.is_ascii_digit() || matches!(c, '+' | '('));
        return Some((NUMBER, part.trim_matches(marks).to_owned()));
    }
    let folded = |text: &str| {
        let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
        words.collect::<Vec<_>>().join(" ").to_lowercase()
    };
    let text = format!(" {} ", folded(text));
    let long = [
        ("a customer's address", &person.address, 8),
        ("a customer's licence", &person.licence, 4),
    ];
    long.into_iter()
        .map(|(what, detail, least)| (what, folded(detail), least))
        .find(|(_, detail, least)| detail.len() >= *least && text.contains(&format!(" {detail} ")))
        .map(|(what, detail, _)| (what, detail))
}

#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone name somebody")]
fn sealed(verb: &Verb) -> Option<&Sealed> {
    match verb {
        Verb::Papers(v) => v.details.as_ref(),
        Verb::Person(v) => v.details.as_ref(),
        Verb::HandOver(v) => v.collector.as_ref(),
        Verb::Sell(v) => v.buyer.as_ref(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn people(own: &[&str], all: &[&str]) -> People {
        let named = |name: &&str| Details { name: (*name).to_owned(), ..Details::default() };
        People {
            own: own.iter().map(named).collect(),
            all: all.iter().map(named).collect(),
            hands: ["tom".to_owned()].into(),
        }
    }

    fn found(people: &People, text: &str) -> Vec<String> {
        people.found(text).into_iter().map(|(_, words)| words).collect()
    }

    #[test]
    fn a_name_is_found_in_either_order_and_whoever_the_line_is_about() {
        let people = people(&["Ada Fenn"], &["Tom Brown", "Bo van Tarn"]);
        for (text, name) in [
            ("ada fenn wants it friday", "ada fenn"),
            ("Fenn, Ada called", "Fenn Ada"),
            ("ada's own string", "ada's"),
            ("told Fenn about the nose", "Fenn"),
            ("mr tarn brought it", "tarn"),
            ("brought by Tarn", "Tarn"),
            ("Tarn will collect", "Tarn"),
            ("for bo van tarn", "bo van"),
            ("tom brown asked", "tom brown"),
        ] {
            assert_eq!(found(&people, text), [name], "{text}");
        }
    }

    #[test]
    fn a_word_of_every_day_is_nobody() {
        let people = people(&["Tom Brown"], &["Ada Fenn", "Jim Long"]);
        for text in ["nose brown at the tip", "tom dropped it", "a long beam", "fenn", "in the fen"]
        {
            assert_eq!(found(&people, text), [""; 0], "{text}");
        }
    }

    #[test]
    fn what_else_is_known_of_somebody_is_found_as_it_was_said() {
        let ada = Details {
            phone: "0142 55".into(),
            address: "3 Mill Lane, Alder".into(),
            licence: "L-7154".into(),
            ..Details::default()
        };
        let people = People { all: vec![ada], ..People::default() };
        for (text, found) in [
            ("ring 014255 now", "014255 is a customer's telephone number"),
            ("at 3 Mill Lane Alder", "3 mill lane alder is a customer's address"),
            ("licence l-7154 seen", "l 7154 is a customer's licence"),
        ] {
            let told: Vec<String> = people
                .found(text)
                .iter()
                .map(|(what, words)| format!("{words} is {what}"))
                .collect();
            assert_eq!(told, [found], "{text}");
        }
        assert_eq!(people.found("0417 at 3 mill road").len(), 0);
    }
}
