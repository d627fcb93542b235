//! Words as they are spoken, put as lines are read: `pot 1`, `424-425`, `421 + 422`, `quarter past 10`,
//! `this am`, `110 deg`. What stands in a text stays as it was typed.

use burrline_domain::{VerbSpec, verb};
use burrline_terms::{Kind, words::Tissue};

use super::{as_typed, by_name, plain};
use crate::{Lexicon, closed, command, lexicon::folded, several, when};

/// More skulls than that are never said as `424-436`.
const LONGEST_RUN: u32 = 12;

/// The line with what is spoken put as it is read, and its time in front.
pub(super) fn read_as_said(words: &[String], lexicon: &Lexicon) -> Vec<String> {
    let line = put_as_read(words, lexicon);
    if text_from(words, lexicon) < words.len() { line } else { time_in_front(line, lexicon) }
}

/// The line with what is spoken put as it is read.
pub(super) fn put_as_read(words: &[String], lexicon: &Lexicon) -> Vec<String> {
    let typed = as_typed::tags(words);
    let words = typed.as_slice();
    let (front, text) = words.split_at_checked(text_from(words, lexicon)).unwrap_or((words, &[]));
    let front = by_name::figures(front);
    let front = joined_places(&front, lexicon);
    let front = runs_of_tags(&front);
    let front = both(clocks(&at_four_figures(&front)), lexicon);
    let front = small_words(&front, lexicon);
    [front, text.to_vec()].concat()
}

/// The verb that a word says, in any of its forms.
fn said(word: &str) -> Option<&'static VerbSpec> {
    let word = plain(word);
    let spec = verb::spec(closed::synonym(&word).unwrap_or(&word))?;
    command::is_typed(spec.word).then_some(spec)
}

fn has(spec: &VerbSpec, kinds: &[Kind]) -> bool {
    spec.fields.iter().any(|field| kinds.contains(&field.kind()))
}

/// From which word on a line may be a text: behind the tags and places of a verb that takes one.
fn text_from(words: &[String], lexicon: &Lexicon) -> usize {
    let verb = words.iter().position(|word| said(word).is_some());
    let Some((at, spec)) = verb.and_then(|at| Some((at, said(words.get(at)?)?))) else {
        return words.len();
    };
    if !has(spec, &[Kind::Text, Kind::Line, Kind::Sealed, Kind::Open]) {
        return words.len();
    }
    let about = |at: usize| {
        let Some(word) = words.get(at) else { return false };
        let bare = word.trim_end_matches([',', ':']);
        let next = words.get(at.saturating_add(1)).map_or("", String::as_str);
        let before = at.checked_sub(1).and_then(|at| words.get(at)).map_or("", String::as_str);
        is_tag(bare)
            || lexicon.place(bare).is_some()
            || place_of_two(bare, next, lexicon).is_some()
            || place_of_two(before, bare, lexicon).is_some()
            || run(bare).is_some()
            || joiner(bare)
    };
    let behind = (at.saturating_add(1)..words.len()).take_while(|at| about(*at)).count();
    at.saturating_add(1).saturating_add(behind)
}

/// A tag that no amount is.
fn is_tag(word: &str) -> bool {
    word.len() >= 3 && word.bytes().all(|byte| byte.is_ascii_digit())
}

fn joiner(word: &str) -> bool {
    matches!(word, "&" | "+" | "and" | "thru" | "through" | "to" | "-")
}

/// `pot 1`, `Tub 2,`: a place whose name is written with a hyphen.
fn place_of_two(word: &str, next: &str, lexicon: &Lexicon) -> Option<String> {
    let number = next.trim_end_matches([',', ':', ';']);
    let figure = (1..=2).contains(&number.len()) && number.bytes().all(|b| b.is_ascii_digit());
    let letters = !word.is_empty() && word.chars().all(char::is_alphabetic);
    if !(figure && letters) {
        return None;
    }
    let typed = folded(&format!("{word}{number}"));
    let here = lexicon.places.iter().find(|here| folded(&here.place) == typed)?;
    let mark = next.get(number.len()..).unwrap_or_default();
    Some(format!("{}{mark}", here.place))
}

fn joined_places(words: &[String], lexicon: &Lexicon) -> Vec<String> {
    let mut line = Vec::with_capacity(words.len());
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let next = words.get(at.saturating_add(1)).map_or("", String::as_str);
        let place = place_of_two(word, next, lexicon);
        at = at.saturating_add(if place.is_some() { 2 } else { 1 });
        let found = place.is_some();
        line.push(place.unwrap_or_else(|| word.clone()));
        // `pot 1 & 2`: the second is of the same kind.
        if let (true, [and, number, ..]) = (found, words.get(at..).unwrap_or_default())
            && matches!(plain(and).as_str(), "and" | "&" | "+")
            && let Some(other) = place_of_two(word, number, lexicon)
        {
            line.extend([and.clone(), other]);
            at = at.saturating_add(2);
        }
    }
    line
}

/// `424-427`: from which tag to which.
fn run(word: &str) -> Option<Vec<String>> {
    let (from, to) = word.split_once("..").or_else(|| word.split_once('-'))?;
    between(from, to)
}

fn between(from: &str, to: &str) -> Option<Vec<String>> {
    if !(is_tag(from) && is_tag(to) && from.len() == to.len()) {
        return None;
    }
    let (first, last): (u32, u32) = (from.parse().ok()?, to.parse().ok()?);
    let few = last > first && last.saturating_sub(first) < LONGEST_RUN;
    let width = from.len();
    few.then(|| (first..=last).map(|tag| format!("{tag:0width$}")).collect())
}

/// `424-425 out`, `424 thru 425 out`, `421+422 in pot-1`: the tags one by one, where tags stand.
fn runs_of_tags(words: &[String]) -> Vec<String> {
    let from = usize::from(words.first().is_some_and(|word| said(word).is_some()));
    let mut line = words.get(..from).unwrap_or_default().to_vec();
    let mut at = from;
    // `quote 413 200-210`: behind its tag the verb takes a sum.
    let sums =
        words.first().and_then(|word| said(word)).is_some_and(|spec| has(spec, &[Kind::Money]));
    while let Some(word) = words.get(at) {
        let bare = word.trim_end_matches(',');
        if sums && line.len() > from && (run(bare).is_some() || matches!(bare, "-" | "to")) {
            break;
        }
        let comma = word.get(bare.len()..).unwrap_or_default();
        let joined = bare.split(['+', '&']).filter(|part| !part.is_empty());
        let parts: Vec<String> = joined.map(str::to_owned).collect();
        let middle = words.get(at.saturating_add(1)).map_or("", String::as_str);
        let last = words.get(at.saturating_add(2)).map_or("", |w| w.trim_end_matches(','));
        let spans = matches!(middle, "thru" | "through")
            || (matches!(middle, "to" | "-") && !(sums && line.len() > from));
        let span = spans.then(|| between(bare, last));
        let (tags, used) = if let Some(tags) = run(bare) {
            (tags, 1)
        } else if let Some(tags) = span.flatten() {
            (tags, 3)
        } else if parts.len() > 1 && parts.iter().all(|part| is_tag(part)) {
            (parts, 1)
        } else if several::is_skull(bare) {
            (vec![bare.to_owned()], 1)
        } else if matches!(bare, "+" | "&") && is_tag(middle.trim_end_matches(',')) {
            (Vec::new(), 1)
        } else {
            break;
        };
        line.extend(tags);
        if let Some(last) = line.last_mut().filter(|last| !last.ends_with(',')) {
            last.push_str(comma);
        }
        at = at.saturating_add(used);
    }
    line.extend_from_slice(words.get(at..).unwrap_or_default());
    line
}

/// `434 433 both clean`, `both out of pot-1`: the two that are named, or the two that are in the place.
fn both(mut words: Vec<String>, lexicon: &Lexicon) -> Vec<String> {
    let Some(at) = words.iter().position(|word| plain(word) == "both") else { return words };
    let tag = |word: &String| is_tag(word.trim_end_matches([',', ':']));
    let next = words.get(at.saturating_add(1)).map(|word| plain(word)).unwrap_or_default();
    // `both antlers`, `both sides` are of one skull.
    let of = usize::from(matches!(next.as_str(), "of" | "are" | "were" | "look"));
    let behind = words.get(at.saturating_add(1).saturating_add(of)..).unwrap_or_default();
    let goes_on = behind.first().is_none_or(|word| {
        let word = plain(word);
        let list = Tissue::WORDS.contains(&word.as_str()) || is_tag(&word);
        list || said(&word).is_some() || matches!(word.as_str(), "out" | "in" | "to" | "from")
    });
    if !goes_on {
        return words;
    }
    match words.iter().filter(|word| tag(word)).count() {
        2 => {
            words.drain(at..at.saturating_add(1).saturating_add(of));
        }
        0 => {
            let here = words.iter().find_map(|word| lexicon.place(word.trim_end_matches(',')));
            let two = here.filter(|here| lexicon.fresh && here.tags.len() == 2);
            if let Some(here) = two {
                let tags = here.tags.clone();
                words.splice(at..at.saturating_add(1).saturating_add(of), tags);
            }
        }
        _ => {}
    }
    words
}

/// `quarter past 10`, `ten to eleven`, `half past nine` as 10:15, 10:50, 9:30.
fn clocks(words: &[String]) -> Vec<String> {
    let mut line: Vec<String> = Vec::with_capacity(words.len());
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let next = |n: usize| words.get(at.saturating_add(n)).map(|word| plain(word));
        let spoken =
            next(1).zip(next(2)).and_then(|(side, hour)| clock(&plain(word), &side, &hour));
        at = at.saturating_add(if spoken.is_some() { 3 } else { 1 });
        line.push(spoken.unwrap_or_else(|| word.clone()));
    }
    line
}

/// `at 0930 wash 426`: behind `at` four figures are a time.
fn at_four_figures(words: &[String]) -> Vec<String> {
    let mut line = words.to_vec();
    if let [at, time, _, ..] = words
        && at.eq_ignore_ascii_case("at")
        && time.len() == 4
        && time.bytes().all(|byte| byte.is_ascii_digit())
        && let Some((hour, minute)) = time.split_at_checked(2)
        && hour.parse::<u32>().is_ok_and(|hour| hour < 24)
        && minute.parse::<u32>().is_ok_and(|minute| minute < 60)
        && let Some(word) = line.get_mut(1)
    {
        *word = format!("{hour}:{minute}");
    }
    line
}

/// The hours of a clock, by name.
const HOURS: &[&str] = &[
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

fn clock(minutes: &str, side: &str, hour: &str) -> Option<String> {
    let minutes = match minutes {
        "quarter" => 15,
        "half" => 30,
        "five" | "5" => 5,
        "ten" | "10" => 10,
        "twenty" | "20" => 20,
        "twenty-five" | "25" => 25,
        _ => return None,
    };
    let named = HOURS.iter().position(|name| *name == hour).and_then(|n| u32::try_from(n).ok());
    let hour = named.map_or_else(|| hour.parse().ok(), |n| n.checked_add(1))?;
    if !(1..=12).contains(&hour) {
        return None;
    }
    match side {
        "past" | "after" => Some(format!("{hour}:{minutes:02}")),
        // `10 to 11` with figures alone is as well a span of tags or hours.
        "to" | "till" | "til" if minutes != 30 => {
            let before = if hour == 1 { 12 } else { hour.saturating_sub(1) };
            Some(format!("{before}:{:02}", 60_u32.saturating_sub(minutes)))
        }
        _ => None,
    }
}

/// `this am`, `-> pot-1`, `110 deg`, `no charge` and the like.
fn small_words(words: &[String], lexicon: &Lexicon) -> Vec<String> {
    let mut line: Vec<String> = Vec::with_capacity(words.len());
    for (at, word) in words.iter().enumerate() {
        let before = at.checked_sub(1).and_then(|at| words.get(at)).map(|word| plain(word));
        let next = words.get(at.saturating_add(1)).map(|word| plain(word)).unwrap_or_default();
        let this = before.as_deref() == Some("this");
        match plain(word).as_str() {
            "am" if this => line.push("morning".to_owned()),
            "pm" | "aft" if this => line.push("afternoon".to_owned()),
            "->" | "=>" | "\u{2192}" if lexicon.place(&next).is_some() => {
                line.push("in".to_owned());
            }
            // A figure is in the shop's own degrees.
            "pointer" if before.as_ref().is_some_and(|b| b.parse::<u32>().is_ok()) => {
                line.push("pt".to_owned());
            }
            // `down to a simmer` is how far down.
            "simmer" if line.iter().rev().take(3).any(|word| plain(word) == "down") => {
                while line.last().is_some_and(|word| matches!(plain(word).as_str(), "to" | "a")) {
                    line.pop();
                }
            }
            "deg" | "degs" | "degrees" | "\u{b0}"
                if before.as_ref().is_some_and(|b| b.parse::<f64>().is_ok())
                    && !matches!(next.as_str(), "c" | "f" | "celsius" | "fahrenheit") => {}
            _ => {
                line.push(pounds(word).unwrap_or_else(|| word.clone()));
                if is_ounces(words, at, lexicon) {
                    line.push("oz".to_owned());
                }
            }
        }
    }
    line
}

/// `1 lb 15` at the end of a line: what stands behind pounds is ounces.
fn is_ounces(words: &[String], at: usize, lexicon: &Lexicon) -> bool {
    let few = |word: &String| {
        word.len() <= 2
            && !word.starts_with('0')
            && word.parse::<u32>().is_ok_and(|ounces| (1..16).contains(&ounces))
    };
    let before = |n: usize| at.checked_sub(n).and_then(|at| words.get(at)).map(|word| plain(word));
    let lead = before(1).unwrap_or_default();
    let figures = |word: &str| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit());
    let pounds = ["lb", "lbs", "pound", "pounds"].iter().any(|unit| {
        lead.strip_suffix(unit).is_some_and(|count| {
            figures(count) || (count.is_empty() && before(2).is_some_and(|word| figures(&word)))
        })
    });
    // In a place two figures may be a tag.
    let placed = words.iter().any(|word| lexicon.place(word.trim_end_matches(',')).is_some());
    words.len() == at.saturating_add(1) && words.get(at).is_some_and(few) && pounds && !placed
}

/// `8lb3` is 8 lb 3 oz.
fn pounds(word: &str) -> Option<String> {
    let (pounds, ounces) = word.split_once("lb")?;
    let figure = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let few = ounces.parse::<u32>().is_ok_and(|ounces| ounces < 16);
    (figure(pounds) && figure(ounces) && few).then(|| format!("{word}oz"))
}

/// `428 in tub-1 10:15`, `coat 418 11am`: a time of the clock stands in front, where the line is about a
/// skull or a water that it names, and its verb takes no time, day or text of its own.
fn time_in_front(words: Vec<String>, lexicon: &Lexicon) -> Vec<String> {
    let timed = |first: &String| first.eq_ignore_ascii_case("at") || is_clock(first);
    if words.first().is_some_and(timed) || words.iter().any(|word| word.starts_with("--")) {
        return words;
    }
    let own = [Kind::Entry, Kind::Day, Kind::Moment, Kind::Span, Kind::Text, Kind::Line];
    let verb = words.iter().find_map(|word| said(word));
    let named = words.iter().position(|word| {
        let bare = word.trim_end_matches([',', ':']);
        is_tag(bare) || lexicon.place(bare).is_some()
    });
    let mut times: Vec<(usize, usize)> = Vec::new();
    for at in 0..words.len() {
        let covered = times.last().is_some_and(|(from, used)| at < from.saturating_add(*used));
        if let Some(used) = time_at(words.get(at..).unwrap_or_default()).filter(|_| !covered) {
            times.push((at, used));
        }
    }
    let [(at, used)] = times.as_slice() else { return words };
    let behind = named.is_some_and(|named| named < *at);
    let lead = at.checked_sub(1).and_then(|at| words.get(at)).map(|word| plain(word));
    let lead = lead.unwrap_or_default();
    let for_how_long = matches!(lead.as_str(), "for" | "took" | "until" | "till" | "by" | "from");
    // `pot-1 lit 7:30` says what was done without a verb.
    let flame = words.iter().any(|word| matches!(plain(word).as_str(), "lit" | "off" | "down"));
    // `tub-1 4% at 9:30` was read off.
    let place = words.first().is_some_and(|word| lexicon.place(word).is_some());
    let untimed = verb.map_or(flame || place, |spec| !has(spec, &own));
    if !behind || for_how_long || !untimed {
        return words;
    }
    let named = usize::from(matches!(lead.as_str(), "at" | "since"));
    let (before, after) = words.split_at_checked(*at).unwrap_or((&words, &[]));
    let before = before.get(..before.len().saturating_sub(named)).unwrap_or_default();
    let (time, after) = after.split_at_checked(*used).unwrap_or((after, &[]));
    let time = time.iter().map(|word| word.trim_end_matches(',').to_owned());
    let time: Vec<String> = std::iter::once("at".to_owned()).chain(time).collect();
    [&time, before, after].concat()
}

/// How many words in front are a time that nothing else can be: `10:15`, `9:15 am`, `about 9:30`, `20
/// min ago`.
fn time_at(words: &[String]) -> Option<usize> {
    let plain: Vec<String> = words.iter().map(|word| plain(word)).collect();
    let first = plain.first()?;
    let clock = is_clock(first);
    // A clock that is read amiss is told as such, and not as another word.
    let Ok((taken, said)) = when::at_front(&plain) else { return clock.then_some(1) };
    let about = matches!(first.as_str(), "about" | "around");
    let second = plain.get(1).map_or("", String::as_str);
    let half = matches!(second, "am" | "pm" | "a.m." | "p.m.");
    let sure = clock
        || said.ends_with(" ago")
        || half
        || (about
            && (is_clock(second) || {
                let third = plain.get(2).map_or("", String::as_str);
                matches!(third, "am" | "pm" | "a.m." | "p.m.")
            }));
    sure.then_some(taken).filter(|taken| *taken > 0)
}

/// `10:15`, `9:40am`, `11am`: a time of the clock in one word.
fn is_clock(word: &str) -> bool {
    let word = word.to_lowercase();
    let half = word.strip_suffix("am").or_else(|| word.strip_suffix("pm"));
    let figures = half.unwrap_or(&word);
    let (hour, minute) = match figures.split_once(':') {
        Some((hour, minute)) => (hour, Some(minute)),
        None if half.is_some() => (figures, None),
        None => return false,
    };
    let most = if half.is_some() { 12 } else { 23 };
    let within = |text: &str, most: u32| {
        (1..=2).contains(&text.len())
            && text.bytes().all(|byte| byte.is_ascii_digit())
            && text.parse::<u32>().is_ok_and(|figure| figure <= most)
    };
    within(hour, most) && minute.is_none_or(|minute| minute.len() == 2 && within(minute, 59))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::PlaceHere;

    fn shown(line: &str) -> String {
        let place = |name: &str| PlaceHere { place: name.to_owned(), tags: Vec::new() };
        let places = ["pot-1", "pot-2", "tub-1", "rack-1"].map(place).to_vec();
        let lexicon = Lexicon { known: true, fresh: true, places, ..Lexicon::default() };
        let words: Vec<String> = line.split(' ').map(str::to_owned).collect();
        read_as_said(&words, &lexicon).join(" ")
    }

    #[test]
    fn what_is_spoken_is_put_as_it_is_read() {
        for (line, read) in [
            ("421 422 pot 1", "421 422 pot-1"),
            ("in Pot 2, 422", "in pot-2, 422"),
            ("424-426 out", "424 425 426 out"),
            ("out 424 thru 425", "out 424 425"),
            ("421+422 into pot-1 9:40", "at 9:40 421 422 into pot-1"),
            ("in 421 & 422 pot 1 9:40", "at 9:40 in 421 422 pot-1"),
            ("421 & 422 -> pot 1", "421 422 in pot-1"),
            ("424 out quarter past 10", "at 10:15 424 out"),
            ("424 out at ten to eleven", "at 10:50 424 out"),
            ("this am washed 426", "this morning washed 426"),
            ("tub 1 110 deg", "tub-1 110"),
            ("heat pot-1 110 deg C", "heat pot-1 110 deg C"),
            ("pot 1 lit 7:30", "at 7:30 pot-1 lit"),
            ("wash 424 about 9:30", "at about 9:30 wash 424"),
            ("wash 425 20 min ago", "at 20 min ago wash 425"),
            ("424 out an hour ago", "at an hour ago 424 out"),
            ("rinse 424 9:15 am", "at 9:15 am rinse 424"),
            ("in pot-1 422 around 9 am", "at around 9 am in pot-1 422"),
            ("rinse 424 9:15 yesterday", "at 9:15 yesterday rinse 424"),
        ] {
            assert_eq!(shown(line), read, "{line}");
        }
    }

    #[test]
    fn what_stands_in_a_text_stays() {
        for line in [
            "note 417 left in pot 1 at quarter past 10",
            "damage 417 fell in pot 1",
            "ticket --name Ada --phone 555-0190",
            "hours 2:30 fleshing",
            "papers 417 kill tag 1088-1209",
            "out 417-400",
        ] {
            assert_eq!(shown(line), line);
        }
    }
}
