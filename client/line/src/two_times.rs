//! Two times in one line: `in pot-1 424 9:15 out 10:40`, `424 in pot-1 from 9 to 11`, `pot-1 lit 7:30 off 9:15`. Each
//! deed has its own time, so each is a line of its own, one after the other.

use burrline_domain::{On, verb};

use crate::{Error, Lexicon, closed, command, openings, several, unclear, when};

/// A word of such a line.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Word {
    Tag(String),
    Place(String),
    /// What was done to a skull, in a verb that wants nothing else but its place.
    Deed(&'static str),
    /// What was done to a flame.
    Flame(&'static str),
    /// It was in water: `simmered 424 in pot-1 from 9 to 11`.
    Stay,
    Time(String),
    /// `to` or `until`: the time behind it ends what began.
    Until,
}

/// One deed with its time.
#[derive(Debug, Default)]
struct Leg {
    deed: Option<&'static str>,
    flame: Option<&'static str>,
    place: Option<String>,
    time: Option<String>,
}

/// The lines of a line with two or more times, in order; none if it is no such line, or says anything else too.
pub fn apart(words: &[String], lexicon: &Lexicon) -> Option<Vec<Vec<String>>> {
    with_place(words, None, lexicon)
}

/// The same, where what went in and names no place went into this one.
fn with_place(words: &[String], into: Option<&str>, lexicon: &Lexicon) -> Option<Vec<Vec<String>>> {
    let words = openings::as_said(words, lexicon);
    let said = words_of(&words, lexicon)?;
    if said.iter().filter(|word| matches!(word, Word::Time(_))).count() < 2 {
        return None;
    }
    let mut tags: Vec<String> = said
        .iter()
        .filter_map(|word| if let Word::Tag(tag) = word { Some(tag.clone()) } else { None })
        .collect();
    tags.dedup();
    let legs = legs(&said)?;
    let mut lines = Vec::with_capacity(legs.len());
    let mut stood: Option<String> = None;
    for leg in legs {
        let at = ["at".to_owned(), leg.time?];
        let line = match (leg.flame, leg.deed) {
            (Some(how), None) if tags.is_empty() => {
                let place = leg.place.or(stood)?;
                stood = Some(place.clone());
                vec!["heat".to_owned(), place, how.to_owned()]
            }
            (None, Some("in")) if !tags.is_empty() => [
                vec!["in".to_owned(), leg.place.or_else(|| into.map(str::to_owned))?],
                tags.clone(),
            ]
            .concat(),
            (None, Some(deed)) if !tags.is_empty() => {
                [vec![deed.to_owned()], tags.clone()].concat()
            }
            (_, _) => return None,
        };
        lines.push([at.to_vec(), line].concat());
    }
    let reads = |line: &Vec<String>| crate::parse_words(line, lexicon).is_ok();
    (lines.len() > 1 && lines.iter().all(reads)).then_some(lines)
}

/// A line with two times is a line for each.
///
/// # Errors
/// [`Error::Usage`] that names them.
pub(crate) fn one_each(words: &[String], lexicon: &Lexicon) -> Result<(), Error> {
    let shown = |lines: Vec<Vec<String>>| {
        let lines: Vec<String> =
            lines.iter().map(|line| format!("`{}`", unclear::line(line))).collect();
        lines.join(", then ")
    };
    let said = unclear::line(words);
    if let Some(lines) = apart(words, lexicon) {
        let lines = shown(lines);
        return Err(Error::usage(format!(
            "{said}: each has a time of its own, so say a line for each: {lines}"
        )));
    }
    // `424 in 9 out 11`: into what?
    let place = lexicon
        .places
        .iter()
        .map(|here| here.place.as_str())
        .find(|place| place.starts_with("pot"));
    if let Some(lines) = place.and_then(|place| with_place(words, Some(place), lexicon)) {
        let lines = shown(lines);
        return Err(Error::usage(format!(
            "{said}: into which place? Say a line for each time, with the place, as in {lines}"
        )));
    }
    Ok(())
}

/// The deeds with their times.
fn legs(said: &[Word]) -> Option<Vec<Leg>> {
    let mut legs: Vec<Leg> = Vec::new();
    let mut open = Leg::default();
    let mut until = false;
    // `at 9:15 in pot-1 424 out 10:40`: the first time stands in front.
    let mut first: Option<String> = None;
    for word in said {
        match word {
            Word::Tag(_) => {}
            Word::Place(place) => {
                if open.place.replace(place.clone()).is_some() {
                    return None;
                }
            }
            // `simmered in pot-1` says it twice.
            Word::Deed("in") if open.deed == Some("in") && open.place.is_none() => {}
            Word::Deed(deed) => {
                if open.deed.is_some() || open.flame.is_some() {
                    // What stands before it has the time in front.
                    open.time = Some(first.take()?);
                    legs.push(std::mem::take(&mut open));
                }
                open.deed = Some(deed);
            }
            Word::Flame(how) => {
                if open.flame.replace(how).is_some() {
                    return None;
                }
            }
            Word::Stay => {
                if open.deed.replace("in").is_some_and(|deed| deed != "in") {
                    return None;
                }
            }
            Word::Until => until = true,
            Word::Time(time) => {
                let ends = std::mem::take(&mut until);
                let nothing = open.deed.is_none() && open.flame.is_none() && open.place.is_none();
                if nothing && legs.is_empty() && first.is_none() {
                    first = Some(time.clone());
                    continue;
                }
                if nothing {
                    // `from 9 to 11`: it came out then.
                    let stayed = legs.last().is_some_and(|leg| leg.deed == Some("in"));
                    if !(ends && stayed) {
                        return None;
                    }
                    open.deed = Some("out");
                }
                // `424 pot-1 9:15`: a place alone is where it went.
                if open.deed.is_none() && open.flame.is_none() {
                    open.deed = Some("in");
                }
                open.time = Some(time.clone());
                legs.push(std::mem::take(&mut open));
            }
        }
    }
    let closed = open.deed.is_none() && open.flame.is_none() && open.place.is_none();
    (closed && first.is_none() && !until).then_some(legs)
}

/// The words of the line by what they are; none if one is anything else.
fn words_of(words: &[String], lexicon: &Lexicon) -> Option<Vec<Word>> {
    let mut said = Vec::new();
    let mut at = 0;
    // A bare figure is an hour behind one of these alone, or right behind what was done.
    let mut hour = false;
    let flames = !words.iter().any(|word| is_tag(word));
    while let Some(word) = words.get(at) {
        let plain = word.trim_end_matches([',', ';']).to_lowercase();
        let before = std::mem::replace(&mut hour, false);
        if let Some((time, used)) = time_at(words.get(at..)?, before) {
            said.push(Word::Time(time));
            at = at.saturating_add(used);
            continue;
        }
        at = at.saturating_add(1);
        match plain.as_str() {
            "at" | "from" | "since" => hour = true,
            "to" | "until" | "till" | "til" | "-" => {
                // `to pot-1` is where it goes.
                let place = words
                    .get(at)
                    .is_some_and(|next| lexicon.place(next.trim_end_matches(',')).is_some());
                if !place {
                    said.push(Word::Until);
                }
                hour = true;
            }
            "and" | "then" | "&" | "," | "the" | "was" | "it" | "came" | "went" | "put"
            | "took" | "turned" | "burner" | "flame" | "back" | "of" | "again" => {}
            "simmer" | "simmered" | "simmering" | "cooked" | "soaked" | "boiled" if !flames => {
                said.push(Word::Stay);
            }
            _ if is_tag(word) => said.push(Word::Tag(plain)),
            _ => {
                if let Some(here) = lexicon.place(&plain) {
                    said.push(Word::Place(here.place.clone()));
                } else if let Some(how) = flame(&plain).filter(|_| flames) {
                    said.push(Word::Flame(how));
                } else {
                    said.push(Word::Deed(deed(&plain)?));
                }
                hour = true;
            }
        }
    }
    Some(said)
}

/// A time in front: `9:15`, `9 am`, `10:40am`; a bare hour where one is looked for.
fn time_at(words: &[String], hour: bool) -> Option<(String, usize)> {
    let plain: Vec<String> =
        words.iter().map(|word| word.trim_end_matches([',', ';']).to_lowercase()).collect();
    let first = plain.first()?;
    let half = |word: &str| matches!(word, "am" | "pm" | "a.m." | "p.m.");
    let clock = first.starts_with(|c: char| c.is_ascii_digit())
        && (first.contains(':') || first.ends_with("am") || first.ends_with("pm"));
    let bare = first.len() <= 2 && first.parse::<u32>().is_ok_and(|hour| (1..=23).contains(&hour));
    let spoken = bare && plain.get(1).is_some_and(|next| half(next));
    if !(clock || spoken || (bare && hour)) {
        return None;
    }
    let used = if plain.get(1).is_some_and(|next| half(next)) { 2 } else { 1 };
    let (taken, time) = when::at_front(plain.get(..used)?).ok()?;
    (taken == used).then_some((time, used))
}

/// What was done to a flame.
fn flame(word: &str) -> Option<&'static str> {
    match word {
        "lit" | "on" | "fired" | "started" => Some("lit"),
        "boil" | "boiling" => Some("boil"),
        "down" | "low" => Some("down"),
        "off" => Some("off"),
        _ => None,
    }
}

/// What was done to a skull, in a verb that needs no more than where.
fn deed(word: &str) -> Option<&'static str> {
    let spec = verb::spec(closed::synonym(word).unwrap_or(word))
        .filter(|spec| command::is_typed(spec.word))?;
    let takes =
        matches!(spec.word, "in" | "out" | "wash" | "rinse" | "flesh" | "wrap" | "unwrap" | "coat");
    (takes && spec.on == On::Skull).then_some(spec.word)
}

fn is_tag(word: &str) -> bool {
    let word = word.trim_end_matches([',', ';']);
    word.len() >= 3 && several::is_skull(word) && word.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{lexicon::PlaceHere, split};

    fn lines(line: &str) -> Vec<String> {
        let place = |name: &str| PlaceHere { place: name.to_owned(), tags: Vec::new() };
        let places = ["pot-1", "pot-2", "rack-1"].map(place).to_vec();
        let lexicon = Lexicon { known: true, fresh: true, places, ..Lexicon::default() };
        let apart = apart(&split(line).unwrap(), &lexicon).unwrap_or_default();
        apart.iter().map(|line| line.join(" ")).collect()
    }

    #[test]
    fn each_time_is_a_line_of_its_own() {
        let both = ["at 9:15 in pot-1 424", "at 10:40 out 424"];
        for line in [
            "in pot-1 424 9:15 out 10:40",
            "in pot-1 424 9:15, out 10:40",
            "424 in pot 1 9:15 out 10:40",
            "in pot-1 424 at 9:15 and out at 10:40",
            "at 9:15 in pot-1 424 out 10:40",
            "424 pot-1 9:15 to 10:40",
            "simmered 424 in pot-1 from 9:15 to 10:40",
        ] {
            assert_eq!(lines(line), both, "{line}");
        }
        assert_eq!(lines("424 in pot-1 from 9 to 11"), ["at 9 in pot-1 424", "at 11 out 424"]);
        assert_eq!(
            lines("424 425 out 10:40 washed 11:00"),
            ["at 10:40 out 424 425", "at 11:00 wash 424 425"]
        );
        assert_eq!(
            lines("pot-1 lit 7:30 off 9"),
            ["at 7:30 heat pot-1 lit", "at 9 heat pot-1 off"]
        );
        assert_eq!(
            lines("lit pot-1 7:30 boil 8:10 down 8:40"),
            ["at 7:30 heat pot-1 lit", "at 8:10 heat pot-1 boil", "at 8:40 heat pot-1 down"]
        );
    }

    #[test]
    fn one_time_or_anything_else_is_no_such_line() {
        for line in [
            "in pot-1 424 9:15",
            "424 in 9 out 11",
            "at 9:15 out 424",
            "hours 9 to 11 fleshing",
            "note 424 in 9:15 out 10:40",
            "out 424 9:15 clean 10:40",
        ] {
            assert_eq!(lines(line), [""; 0], "{line}");
        }
    }
}
