//! Deeds of one line that follow each other, each with words of its own: `421 paid 60 cash and picked
//! up`, `wrapped 423 and put it in pot-2`. The skulls are said once. A line is parted only where each
//! part is a whole line.

use burrline_domain::{
    On,
    verb::{self, VerbSpec},
};
use burrline_terms::Kind;

use super::{Line, plain};
use crate::{amount, closed, command, parse_words, several};

/// Words between two deeds.
const JOINS: &[&str] = &["and", "then", "&", "+", "n", "also", ","];

/// Words for the skulls that were named before.
const IT: &[&str] = &["it", "them", "him", "that", "those", "both", "skull", "head", "the"];

/// Verbs whose text says what was seen or told: any word may stand in it.
const TEXTS: &[&str] = &["note", "tell", "damage", "condition", "dispute", "answer", "stray"];

/// Ways to say that a head was collected.
const COLLECTED: &[&[&str]] = &[
    &["took", "it", "home"],
    &["took", "it"],
    &["took", "skull"],
    &["took", "the", "skull"],
    &["took", "the", "head"],
    &["took", "him", "home"],
    &["took", "them"],
    &["took", "them", "home"],
    &["picked", "it", "up"],
    &["picked", "them", "up"],
    &["picked", "up"],
];

/// A deed at the front of some words: its verb, and how many words say it.
fn deed(words: &[String]) -> Option<(&'static VerbSpec, usize)> {
    let small: Vec<String> = words.iter().take(4).map(|word| plain(word)).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    if let Some(said) = COLLECTED.iter().find(|said| small == **said) {
        return Some((verb::spec("hand-over")?, said.len()));
    }
    // `back in pot-1` is where it went.
    if let ["back", "in" | "into" | "on" | "onto" | "to", ..] = small.as_slice() {
        return Some((verb::spec("in")?, 1));
    }
    if small.first().is_some_and(|word| matches!(*word, "dropped" | "set" | "stuck" | "laid")) {
        return Some((verb::spec("in")?, 1));
    }
    [2, 1].into_iter().find_map(|used| {
        let word = small.get(..used)?.join("-");
        let spec = verb::spec(closed::synonym(&word).unwrap_or(&word))?;
        (spec.on == On::Skull && command::is_typed(spec.word)).then_some((spec, used))
    })
}

fn is_tag(word: &str) -> bool {
    let bare = word.trim_end_matches([',', ':']);
    bare.len() >= 3 && several::is_skull(bare) && bare.starts_with(|c: char| c.is_ascii_digit())
}

impl Line<'_> {
    /// The lines of deeds that follow each other; none if the line says one thing.
    pub(super) fn clauses(&self) -> Option<Vec<String>> {
        let hand = self.lexicon.hand(&plain(self.words.first()?)).map(str::to_owned);
        let words = self.rest(usize::from(hand.is_some()));
        if words.iter().any(|word| word == ";" || word.starts_with("--")) {
            return None;
        }
        let (tags, said) = skulls(words)?;
        let parts = parted(&said)?;
        let mut lines = Vec::with_capacity(parts.len());
        for part in parts {
            let (spec, used) = deed(&part)?;
            let it = |word: &&String| IT.contains(&plain(word).as_str());
            let behind = part.get(used..)?;
            let pronouns = behind.iter().take_while(it).count();
            let behind = behind.get(pronouns..)?;
            let mut line = [vec![spec.word.to_owned()], tags.clone(), behind.to_vec()].concat();
            if let Some(hand) = &hand {
                line.extend(["--done-by".to_owned(), hand.clone()]);
            }
            parse_words(&line, self.lexicon).ok()?;
            lines.push(line);
        }
        // What was paid as a head was fetched is paid when it leaves.
        let leaves = |line: &Vec<String>| line.first().is_some_and(|verb| verb == "hand-over");
        lines.sort_by_key(leaves);
        Some(lines.join(&";".to_owned()))
    }
}

/// The skulls of the line, in front or behind its first verb, and all that is said of them.
fn skulls(words: &[String]) -> Option<(Vec<String>, Vec<String>)> {
    let joins = |word: &String| matches!(plain(word).as_str(), "and" | "&" | "+" | "n");
    let first = is_tag(words.first()?);
    let (spec, lead) = if first { (None, 0) } else { deed(words).map(|(s, n)| (Some(s), n))? };
    let (front, rest) = words.split_at_checked(lead)?;
    let money = spec.is_some_and(|spec| spec.fields.iter().any(|f| f.kind() == Kind::Money));
    let mut count = 0;
    while let Some(word) = rest.get(count) {
        let next = rest.get(count.saturating_add(1));
        let unit = next.is_some_and(|unit| amount::is_unit(&plain(unit)) && plain(unit) != "in");
        let tag = is_tag(word) && !unit && !(money && count > 0);
        if !(tag || (joins(word) && count > 0 && next.is_some_and(|next| is_tag(next)))) {
            break;
        }
        count = count.saturating_add(1);
        if word.ends_with(',') && !next.is_some_and(|next| is_tag(next)) {
            break;
        }
    }
    let (tags, said) = rest.split_at_checked(count)?;
    let tags: Vec<String> = tags
        .iter()
        .filter(|word| !joins(word))
        .map(|word| word.trim_end_matches([',', ':']).to_owned())
        .collect();
    (!tags.is_empty()).then(|| (tags, [front, said].concat()))
}

/// What is said, parted where the next deed begins; none if there is but one.
fn parted(said: &[String]) -> Option<Vec<Vec<String>>> {
    let (spec, _) = deed(said)?;
    if TEXTS.contains(&spec.word) {
        return None;
    }
    let mut parts: Vec<Vec<String>> = vec![Vec::new()];
    let mut at = 0;
    while let Some(word) = said.get(at) {
        let rest = said.get(at..)?;
        let joined = rest.iter().take_while(|word| JOINS.contains(&plain(word).as_str())).count();
        let comma = at.checked_sub(1).and_then(|at| said.get(at)).is_some_and(|w| w.ends_with(','));
        // `took it home` begins a deed by itself.
        let begins = at > 0 && (joined > 0 || comma);
        let next = rest.get(joined..).unwrap_or_default();
        let own = |used: usize| {
            let tag = next.get(used).is_some_and(|word| is_tag(word));
            let unit =
                next.get(used.saturating_add(1)).is_some_and(|unit| amount::is_unit(&plain(unit)));
            tag && !unit
        };
        let told = |spec: &VerbSpec| TEXTS.contains(&spec.word) && spec.word != "note";
        if begins && deed(next).is_some_and(|(spec, used)| !own(used) && !told(spec)) {
            if let Some(last) = parts.last_mut().and_then(|part| part.last_mut()) {
                *last = last.trim_end_matches(',').to_owned();
            }
            parts.push(Vec::new());
            at = at.saturating_add(joined);
        }
        let word = said.get(at).unwrap_or(word);
        if let Some(part) = parts.last_mut() {
            part.push(word.clone());
        }
        at = at.saturating_add(1);
    }
    (parts.len() > 1).then_some(parts)
}
