//! What is said behind a tag without a verb, told by the kinds of its words: a place is where it went, a
//! sum with its means is a payment, a mass a weighing, a day behind `by` a promise.

use burrline_domain::verb;
use burrline_terms::words::{Means, Tissue};

use super::{super::Lexicon, parts, report::taking};
use crate::{calendar, closed, openings, text};

/// The verbs whose fields tell them by themselves, where all that they must say is said.
const TELLING: &[&str] = &["pay", "extra", "promise"];

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

/// The line of the one verb that these words are the values of.
pub(super) fn by_kinds(tags: &[String], rest: &[String], lexicon: &Lexicon) -> Option<Vec<String>> {
    if let [place] = rest
        && let Some(here) = lexicon.place(place.trim_end_matches(','))
    {
        // Where they are already, something else is said of them.
        let there = |tag: &String| here.tags.iter().any(|other| super::is_short_for(tag, other));
        let moved = !tags.iter().any(there);
        return moved.then(|| [owned(&["in", &here.place]), tags.to_vec()].concat());
    }
    let said = |word: &str| rest.iter().any(|w| w.trim_end_matches(',').eq_ignore_ascii_case(word));
    let means = Means::WORDS.iter().any(|word| said(word));
    // `418 120 cash`: the last figure before the means is the sum.
    if means
        && let Some((sum, skulls)) = tags.split_last().filter(|(_, skulls)| !skulls.is_empty())
        && openings::is_sum(sum)
    {
        let line = [std::slice::from_ref(sum), rest].concat();
        return complete(&["pay"], skulls, &line, lexicon);
    }
    let first = |word: &str| rest.first().is_some_and(|first| first.eq_ignore_ascii_case(word));
    let by = first("by");
    // `418 on plaque` is what was done; `418 plaque 40` is what it costs.
    if first("on") && matches!(rest, [_, on] if is_mounted_on(on)) {
        return complete(&["mount"], tags, rest, lexicon);
    }
    let verbs: Vec<&str> = TELLING
        .iter()
        .copied()
        .filter(|verb| match *verb {
            "pay" => means,
            "promise" => by && rest.len() > 1,
            // `415 teeth` may be anything about its teeth; with a sum it is what they cost.
            "extra" => rest.iter().any(|word| openings::is_sum(word)) && !counts_a_piece(rest),
            _ => true,
        })
        .collect();
    complete(&verbs, tags, rest, lexicon)
}

/// `425 teeth 126`, `433 jaw 40`: a bare figure behind a piece may be its price, how many there are, or what it
/// weighs.
fn counts_a_piece(rest: &[String]) -> bool {
    let typed: Vec<&str> = rest.iter().map(String::as_str).collect();
    let piece = crate::pieces::piece_at(&typed);
    let behind = piece.and_then(|(_, used)| rest.get(used..)).unwrap_or_default();
    matches!(behind, [figure] if figure.bytes().all(|byte| byte.is_ascii_digit()))
}

/// `434 gave me 50`, `434 put down 75 on card`: money that was given.
pub(super) fn paid(tags: &[String], rest: &[String]) -> Option<Vec<String>> {
    let small: Vec<String> =
        rest.iter().map(|word| word.trim_end_matches(',').to_lowercase()).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    let used = match small.as_slice() {
        ["gave" | "handed" | "paid" | "pd", "me" | "us", ..] | ["put" | "puts", "down", ..] => 2,
        // `left 100 cash`; without its means it may be left behind.
        ["left", _, means, ..] if Means::WORDS.contains(means) => 1,
        _ => return None,
    };
    let sum = rest.get(used).filter(|word| openings::is_sum(word.trim_end_matches(',')))?;
    let behind = rest.get(used.saturating_add(1)..).unwrap_or_default();
    let small_word =
        |word: &&String| matches!(word.to_lowercase().as_str(), "on" | "by" | "in" | "with");
    let skips = usize::from(behind.first().as_ref().is_some_and(small_word));
    let behind = behind.get(skips..).unwrap_or_default();
    Some([owned(&["pay"]), tags.to_vec(), vec![sum.clone()], behind.to_vec()].concat())
}

/// Whether a skull is usually mounted on that.
fn is_mounted_on(word: &str) -> bool {
    let mount = verb::spec("mount");
    let field = mount.and_then(|spec| spec.fields.iter().find(|field| field.name == "on"));
    let usual = mount.zip(field).and_then(|(spec, field)| closed::list(spec, field));
    usual.is_some_and(|usual| usual.iter().any(|one| word.eq_ignore_ascii_case(one)))
}

/// `pot-1 0512 0513`: skulls that are not there yet are put in.
pub(super) fn put_in(place: &str, rest: &[String], lexicon: &Lexicon) -> Option<Vec<String>> {
    let here = lexicon.place(place).filter(|_| lexicon.fresh && !rest.is_empty())?;
    // One figure of three digits may be how warm it is.
    let least = if rest.len() > 1 { 3 } else { 4 };
    let new = |word: &String| {
        let tag = word.trim_end_matches(',');
        let whole = tag.len() >= least && super::is_skull(tag);
        whole && !here.tags.iter().any(|other| super::is_short_for(tag, other))
    };
    rest.iter().all(new).then(|| [owned(&["in", place]), rest.to_vec()].concat())
}

/// The one line of these verbs that takes all of the words and lacks none.
fn complete(
    verbs: &[&str],
    tags: &[String],
    rest: &[String],
    lexicon: &Lexicon,
) -> Option<Vec<String>> {
    let mut lines = taking(verbs, tags, rest, lexicon);
    lines.retain(|line| super::super::one(line, lexicon).is_ok());
    match lines.as_slice() {
        [line] => Some(line.clone()),
        [] | [_, ..] => None,
    }
}

/// `426 nose bag A3`, `426 teeth in bag B2`, `426 nose bagged, A4`: a piece, and the mark on its bag.
pub(super) fn bagged(tags: &[String], piece: &str, words: &[String]) -> Option<Vec<String>> {
    let plain: Vec<String> =
        words.iter().map(|word| word.trim_end_matches(',').to_owned()).collect();
    let small: Vec<String> = plain.iter().map(|word| word.to_lowercase()).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    let (used, inside) = match small.as_slice() {
        ["in", "bag", _] => (2, true),
        ["bag" | "bagged", _] => (1, false),
        _ => return None,
    };
    let mark = plain.get(used)?;
    // `bag 4` may be how many; `in bag 4` is which.
    let marked = (inside || mark.starts_with(|c: char| c.is_ascii_alphabetic()))
        && mark.ends_with(|c: char| c.is_ascii_digit())
        && !parts::is_rest(mark);
    let pieces: Vec<String> = tags.iter().map(|tag| format!("{tag}/{piece}")).collect();
    marked.then(|| [owned(&["bag"]), pieces, owned(&["--mark", mark])].concat())
}

/// Whether words say that a skull stays where it is for a while.
fn longer(words: &[&str]) -> bool {
    let more = words.iter().any(|word| matches!(*word, "another" | "more" | "longer"));
    if let ["needs" | "need", "another", figure] = words {
        return figure.bytes().all(|byte| byte.is_ascii_digit());
    }
    more && words.iter().any(|word| is_time_unit(word))
}

/// Whether a word is a unit of time.
pub(super) fn is_time_unit(word: &str) -> bool {
    ["min", "mins", "minute", "minutes", "hr", "hrs", "hour", "hours", "day", "days"]
        .contains(&word)
}

/// The one state of the tissue that stands among a few words, if none of the others is a tag, says what
/// was done, or turns it around.
fn said_state<'a>(words: &[&'a str]) -> Option<&'a str> {
    let state = words.iter().find(|word| Tissue::WORDS.contains(word))?;
    let more = |word: &&&str| {
        Tissue::WORDS.contains(*word)
            || text::is_turning(word)
            || text::is_negative(word)
            || super::is_skull(word)
            || verb::spec(closed::synonym(word).unwrap_or(word)).is_some()
    };
    let only = words.iter().filter(more).count() == 1;
    (only && words.len() <= 6).then_some(*state)
}

/// How a customer says something.
const TOLD_BY: &[&str] = &["counter", "phone", "text", "email", "letter"];

/// The lines that may be meant where nothing tells it for sure.
pub(super) fn offered(tags: &[String], rest: &[String]) -> Vec<Vec<String>> {
    let small: Vec<String> =
        rest.iter().map(|word| word.trim_matches([',', '.']).to_lowercase()).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    let with = |verb: &str, more: &[&str]| [owned(&[verb]), tags.to_vec(), owned(more)].concat();
    let day = small
        .iter()
        .find(|word| calendar::weekday(word).is_some() || matches!(**word, "today" | "tomorrow"));
    let sum = rest.iter().find(|word| openings::is_sum(word)).map(String::as_str);
    let besides = besides(&with, rest, &small);
    if !besides.is_empty() {
        return besides;
    }
    match small.as_slice() {
        ["new", "tag", tag] if tags.len() == 1 => {
            vec![with("swap-tag", &[tag]), with("clip-tag", &[tag])]
        }
        ["off", "hold", ..] => vec![with("release", &[])],
        // `knock off 20`, `take 20 off`.
        ["knock" | "take" | "took", "off", _] | ["knock" | "take" | "took", _, "off"] => {
            let off = sum.map(|sum| format!("-{}", sum.trim_start_matches('$')));
            off.map(|off| vec![with("charge", &[&off, "discount"])]).unwrap_or_default()
        }
        ["said" | "says", "ok" | "okay" | "yes" | "fine" | "sure"] => vec![with("agree", &[])],
        ["rush", ..] => vec![with("extra", &["rush"])],
        ["wants" | "want" | "needs", "it", "by", day] => vec![with("promise", &[day])],
        ["ready" | "done" | "finished"] => {
            vec![
                with("inspect", &[]),
                with("look", &["clean"]),
                with("tell", &["--purpose", "ready"]),
            ]
        }
        ["abandoned" | "unclaimed"] => vec![with("write-off", &["unclaimed"])],
        ["complaint" | "complains" | "unhappy", ..] | [_, "unhappy", ..] => {
            vec![with("dispute", &["--words", &rest.join(" ")])]
        }
        ["settled", ..] => vec![with("close-dispute", &["--words", &rest.join(" ")])],
        ["back", ..] => {
            let why = rest.get(1..).unwrap_or_default().join(" ");
            let brought = if why.is_empty() { vec![] } else { vec!["--why", why.as_str()] };
            vec![with("bring-back", &brought)]
        }
        ["thawing" | "thawed"] => vec![with("out", &[])],
        ["price" | "quoted", _, ..] => {
            sum.map(|sum| vec![with("quote", &[sum.trim_start_matches('$')])]).unwrap_or_default()
        }
        ["rang" | "phoned" | "called", ..] => vec![
            with("tell", &["phone", "no-answer"]),
            with("tell", &["phone", "message"]),
            with("tell", &["phone", "spoke"]),
        ],
        [.., "yes", "on" | "by", means] | [.., "agreed", "by", means]
            if TOLD_BY.contains(means) =>
        {
            vec![with("agree", &[means])]
        }
        ["hide" | "hide's", "off"] | ["skinned"] => vec![with("flesh", &[])],
        ["ready" | "done", ..] => day.map(|day| vec![with("promise", &[day])]).unwrap_or_default(),
        ["dry" | "dried", ..] => vec![with("inspect", &[])],
        ["white" | "whitened" | "bleached", ..] => vec![with("out", &[]), with("inspect", &[])],
        // `needs another hour`, `2 more hours`: it is not there yet.
        _ if longer(&small) => vec![with("look", &["more"])],
        // `meat slipping`, `slipping nicely`: a state of the tissue, and a word beside it.
        _ if said_state(&small).is_some() => {
            said_state(&small).map(|state| vec![with("look", &[state])]).unwrap_or_default()
        }
        ["discount", ..] => {
            let off = sum.map(|sum| format!("-{}", sum.trim_start_matches('$')));
            off.map(|off| vec![with("charge", &[&off, "discount"])]).unwrap_or_default()
        }
        _ => Vec::new(),
    }
}

/// The lines of what is said of a head in passing: that it passed, failed, is wanted by a day, or is disputed.
fn besides(
    with: &dyn Fn(&str, &[&str]) -> Vec<String>,
    rest: &[String],
    small: &[&str],
) -> Vec<Vec<String>> {
    match small {
        ["ok'd" | "okd" | "okayed", ..]
        | ["said" | "says", "go", ..]
        | ["go", "ahead"]
        | ["ok", "with", ..] => vec![with("agree", &[])],
        ["all" | "almost" | "about", "done", ..] | ["ready", "to", "go"] | ["done", "drying"] => {
            vec![with("inspect", &[]), with("look", &["clean"]), with("look", &["more"])]
        }
        ["almost" | "nearly" | "getting", ..] => vec![with("look", &["more"])],
        ["failed", ..] => {
            let faults = rest.get(1..).unwrap_or_default().join(" ");
            let faults = if faults.is_empty() { vec![] } else { vec!["--faults", faults.as_str()] };
            vec![with("inspect", &faults)]
        }
        ["ruined" | "trashed" | "destroyed", ..] => vec![with("write-off", &["ruined"])],
        ["lost"] => vec![with("write-off", &["lost"]), with("gone", &[])],
        ["too", "expensive"] | ["no", "deal"] | [.., "changed", _, "mind"] => {
            vec![with("give-back", &["--why", &rest.join(" ")])]
        }
        ["mad" | "upset" | "angry" | "complained", ..] => {
            vec![with("dispute", &["--words", &rest.join(" ")])]
        }
        ["came", "back", ..] => {
            let why = rest.get(2..).unwrap_or_default().join(" ");
            let brought = if why.is_empty() { vec![] } else { vec!["--why", why.as_str()] };
            vec![with("bring-back", &brought)]
        }
        [first, .., "by", _, _] | [first, .., "by", _]
            if matches!(*first, "needs" | "wants" | "want" | "has") =>
        {
            let at = small.iter().position(|word| *word == "by").unwrap_or(0);
            let day = small.get(at.saturating_add(1)..).unwrap_or_default();
            vec![with("promise", day)]
        }
        // `gristle still on`, `meat on the jaw`: it is not there yet.
        words
            if words
                .iter()
                .any(|word| matches!(*word, "meat" | "gristle" | "tissue" | "cartilage"))
                && words.iter().any(|word| matches!(*word, "still" | "on" | "left")) =>
        {
            vec![with("look", &["more"])]
        }
        _ => Vec::new(),
    }
}
