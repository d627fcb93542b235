//! Lines without a verb: what is said behind a tag or a place.
//!
//! `422 ok`, `417 nose cracked left as-found`, `26 clean`, `0417 wash`, `pot-2 off`. The line is that of
//! the one verb that takes all of its words; what several take, or none, is asked about.

use burrline_domain::verb::{self, VerbSpec};
use burrline_terms::{
    Kind,
    words::{PartState, Tissue, Whose, Wish},
};

use super::{
    super::{Lexicon, LineChoice, Unclear, closed, not_so, openings, read, text, unclear},
    came_in, is_skull, kinds,
};
use crate::Error;

/// What is said of a skull or a part at which nothing is broken.
const SOUND: &[&str] = &["ok", "okay", "fine", "good", "sound"];

/// States of a part that are damage.
const HURT: &[PartState] = &[PartState::Cracked, PartState::Broken, PartState::Missing];

/// Further words of damage (common practice, no source).
const HURT_WORDS: &[&str] = &[
    "burnt",
    "burned",
    "broke",
    "chip",
    "chipped",
    "crack",
    "cracks",
    "cut",
    "damaged",
    "dropped",
    "fell",
    "hole",
    "loose",
    "lost",
    "off",
    "scratched",
    "snapped",
    "split",
    "torn",
];

/// Words between a tag and what is said of it.
const SAYS: &[&str] = &["is", "are", "was", "were", "looks", "needs", "now", "still"];

/// The verbs that say how a skull is.
const OF_SKULLS: &[&str] = &["look", "condition", "weigh"];

pub(super) fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

/// What is said behind one or more tags.
pub(super) fn of_tags(part: &[String], lexicon: &Lexicon) -> Result<Vec<String>, Error> {
    let (tags, rest) = tags_and_said(part);
    let filler = |word: &&String| SAYS.contains(&word.to_lowercase().as_str());
    let rest = as_now(rest);
    let whole = rest;
    let rest = rest.split_at_checked(rest.iter().take_while(filler).count());
    let rest = rest.map_or(&[][..], |(_, rest)| rest);
    let told = tags.join(" ");
    let Some(first) = rest.first().map(|word| word.to_lowercase()) else {
        return Err(Error::usage(format!("{told}: begin with what was done, as in `wash {told}`")));
    };
    if rest.len() == 1 && SOUND.contains(&first.as_str()) {
        if let Some(agreed) = sum_agreed(&tags) {
            return Err(agreed);
        }
        return Ok([owned(&["condition"]), tags, owned(&["--words", "ok"])].concat());
    }
    let behind = |used: usize| rest.get(used..).unwrap_or_default().to_vec();
    // `434 gave me 50`, `434 put down 75 on card`.
    if let Some(paid) = kinds::paid(&tags, rest) {
        return Ok(paid);
    }
    if let Some(means) = closed::reached(&first) {
        return Ok([owned(&["tell"]), tags, owned(&[means]), behind(1)].concat());
    }
    if let Some((verb, used)) = verb_at(rest).filter(|(verb, _)| !(verb == "in" && was(whole))) {
        return Ok([vec![verb], tags, behind(used)].concat());
    }
    if let Some(used) = towards(rest, lexicon) {
        let moved = [owned(&["in"]), tags.clone(), behind(used)].concat();
        return if was(whole) { Err(it_was(&tags, whole, moved)) } else { Ok(moved) };
    }
    // `wants plaque`, `wants antlers stained`.
    if let Some(extra) = wanted(&tags, whole, lexicon) {
        return Ok(extra);
    }
    if let Some(line) = kinds::by_kinds(&tags, rest, lexicon) {
        return Ok(line);
    }
    let mut taken = taking(OF_SKULLS, &tags, rest, lexicon);
    // `417 teeth` weighs nothing.
    taken.retain(|line| !matches!(super::super::one(line, lexicon), Err(Error::Word(_))));
    if taken.len() == 1 {
        let line = taken.remove(0);
        return if was(whole) { Err(it_was(&tags, whole, line)) } else { Ok(line) };
    }
    let typed: Vec<&str> = rest.iter().map(String::as_str).collect();
    if let Some(said) = of_piece(&tags, rest, lexicon) {
        return said;
    }
    // `415 kill tag 416`: the number of the paper stands last, and the skull first.
    if let Some(papers) =
        openings::papers_of(&tags, rest).or_else(|| openings::brought(&tags, rest, lexicon))
    {
        return Ok(papers);
    }
    // `0601 waxed`, `0601 spread 16 1/2`, `0601 washed and wrapped`.
    if !was(whole) {
        for used in [3, 2, 1] {
            let Some((said, behind)) = rest.split_at_checked(used) else { continue };
            let line = [said, &tags, behind].concat();
            let turned = openings::turned(line.clone(), lexicon);
            if turned != line {
                return Ok(turned);
            }
        }
    }
    if let Some(damage) = whose_at_the_end(&tags, rest) {
        return Ok(damage);
    }
    // `0605 whitetail 9 pt, skinned`.
    if lexicon.species.find(&typed).used > 0
        && let [take_in] = taking(&["take-in"], &tags, rest, lexicon).as_slice()
        && tags.len() == 1
    {
        return Ok(take_in.clone());
    }
    if let [on, hold, why @ ..] = rest
        && on.eq_ignore_ascii_case("on")
        && hold.trim_end_matches([',', ':']).eq_ignore_ascii_case("hold")
        && !why.is_empty()
    {
        let small = |word: &&String| matches!(word.to_lowercase().as_str(), "-" | "for" | ":");
        let skips = usize::from(why.first().as_ref().is_some_and(small));
        let why = why.get(skips..).unwrap_or_default();
        return Ok([owned(&["hold"]), tags, why.to_vec()].concat());
    }
    // `418 was 100 not 120`: what was said of it just before is put right.
    if let ([tag], Some(last)) = (tags.as_slice(), &lexicon.last)
        && openings::puts_right_of(tag, whole, lexicon)
    {
        let (about, choices) = openings::asked(whole, last, lexicon);
        return Err(Error::Unclear(Unclear { about, choices }));
    }
    if let Some(came) = came_in::as_it_came(&tags, rest, lexicon) {
        return Err(came);
    }
    Err(what_was_done(&tags, whole, taken))
}

/// The tags that a part begins with, and what is said of them.
fn tags_and_said(part: &[String]) -> (Vec<String>, &[String]) {
    let named = part.iter().take_while(|word| is_skull(word.trim_end_matches(',')) || is_and(word));
    let named = named.count();
    // `0417 2 more hours`, `0417 2 teeth missing`: how many, and no second skull.
    let word = |at: usize| part.get(at).map(|word| word.to_lowercase()).unwrap_or_default();
    let (next, behind) = (word(named), word(named.saturating_add(1)));
    let counted = named > 1
        && word(named.saturating_sub(1)).len() < 3
        && word(0).len() >= 3
        && ((next == "more" && kinds::is_time_unit(&behind))
            || matches!(next.as_str(), "pt" | "pts" | "point" | "points")
            || crate::pieces::piece_at(&[&next]).is_some());
    let named = named.saturating_sub(usize::from(counted));
    let (tags, rest) = part.split_at_checked(named).unwrap_or((part, &[]));
    let tags: Vec<String> = tags
        .iter()
        .filter(|word| !is_and(word))
        .map(|word| word.trim_end_matches(',').to_owned())
        .collect();
    (tags, rest)
}

/// `to the rack`, `back in pot-2`: how many words stand before the place that it went to.
fn towards(rest: &[String], lexicon: &Lexicon) -> Option<usize> {
    let word = |at: usize| rest.get(at).map(|word| word.to_lowercase()).unwrap_or_default();
    let back = usize::from(word(0) == "back");
    let to = matches!(word(back).as_str(), "to" | "into" | "on" | "onto" | "in");
    let the = usize::from(word(back.saturating_add(1)) == "the");
    let place = back.saturating_add(1).saturating_add(the);
    (to && rest
        .get(place)
        .is_some_and(|place| lexicon.place(place.trim_end_matches(',')).is_some()))
    .then_some(place)
}

/// `was in tank-1`: where it was is not where it is.
fn was(whole: &[String]) -> bool {
    whole.first().is_some_and(|word| matches!(word.to_lowercase().as_str(), "was" | "were"))
}

fn it_was(tags: &[String], whole: &[String], moved: Vec<String>) -> Error {
    let (said, told) = (whole.join(" "), tags.join(" "));
    let note = [owned(&["note"]), tags.to_vec(), owned(&["--words", &said])].concat();
    Error::Unclear(Unclear {
        about: format!("{told} {said}: is it so now?"),
        choices: vec![
            LineChoice { label: unclear::line(&moved), words: moved },
            LineChoice { label: format!("note {told}: {said}"), words: note },
        ],
    })
}

/// `wants plaque`, `wants a stand 35`: a wish beyond the usual, by its usual word.
fn wanted(tags: &[String], whole: &[String], lexicon: &Lexicon) -> Option<Vec<String>> {
    let wants = whole.first()?.to_lowercase();
    if !matches!(wants.as_str(), "wants" | "want" | "wanted") {
        return None;
    }
    let article = |word: &String| matches!(word.to_lowercase().as_str(), "a" | "an" | "the");
    let from = 1_usize.saturating_add(usize::from(whole.get(1).is_some_and(article)));
    let rest = whole.get(from..)?;
    let spec = verb::spec("extra")?;
    let what = spec.fields.iter().find(|field| field.name == "what")?;
    let list = closed::list(spec, what)?;
    let typed: Vec<&str> = rest.iter().map(|word| word.trim_end_matches(',')).collect();
    closed::word_of(&list, &typed)?;
    let line = [owned(&["extra"]), tags.to_vec(), rest.to_vec()].concat();
    let words = line.get(1..)?;
    read::read(spec, words, read::Given::new(), lexicon).ok()?;
    Some(line)
}

/// A comma before each tag behind a word that ends what is said: `417 ok 422 more`.
pub(super) fn parted_by_tags(line: &[String]) -> Vec<String> {
    let ends = |word: &str| {
        let word = word.to_lowercase();
        SOUND.contains(&word.as_str()) || Tissue::WORDS.contains(&word.as_str()) || word == "greasy"
    };
    let mut parted: Vec<String> = Vec::with_capacity(line.len());
    for word in line {
        let tag = word.len() >= 3 && is_skull(word.trim_end_matches(','));
        if tag && parted.last().is_some_and(|before| ends(before)) {
            parted.push(",".to_owned());
        }
        parted.push(word.trim_end_matches(':').to_owned());
    }
    parted
}

pub(super) fn is_and(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "and" | "&" | "+" | ",")
}

/// A verb, or another word for one, in front.
pub(super) fn verb_at(words: &[String]) -> Option<(String, usize)> {
    for used in [2, 1] {
        let Some(run) = words.get(..used) else { continue };
        let word = run.join("-").to_lowercase();
        let word = word.trim_end_matches([',', ':']);
        let verb = closed::synonym(word).unwrap_or(word);
        if verb::spec(verb).is_some_and(|spec| super::super::command::is_typed(spec.word)) {
            return Some((verb.to_owned(), used));
        }
    }
    None
}

/// The lines of the verbs that take all of these words by shapes, lists and names, none as a text.
pub(super) fn taking(
    verbs: &[&str],
    about: &[String],
    rest: &[String],
    lexicon: &Lexicon,
) -> Vec<Vec<String>> {
    let fits = |spec: &'static VerbSpec| {
        let words = [about, rest].concat();
        let sorted = read::read(spec, &words, read::Given::new(), lexicon).ok()?;
        let text = |name: &str| {
            spec.fields.iter().any(|field| field.name == name && field.kind() == Kind::Text)
        };
        let plain = !sorted.given.is_empty()
            && !sorted.given.keys().any(|name| text(name))
            && sorted.skulls.len() <= about.len();
        plain.then(|| [vec![spec.word.to_owned()], words].concat())
    };
    verbs.iter().filter_map(|verb| verb::spec(verb)).filter_map(fits).collect()
}

/// `nose cracked left as-found` is damage of the nose, for it says whose it is; `nose whole` is its
/// condition. What could be either, or neither, is asked about.
fn of_part(tags: &[String], part: &str, words: &[String]) -> Result<Vec<String>, Error> {
    let typed: Vec<&str> = words.iter().map(String::as_str).collect();
    let pieces: Vec<String> = tags.iter().map(|tag| format!("{tag}/{part}")).collect();
    let in_condition = matches!(part, "nose" | "jaw");
    let typed = match typed.as_slice() {
        [one, after, all] if [*after, *all] == ["after", "all"] => vec![*one],
        [one, now] if matches!(*now, "now" | "again") => vec![*one],
        words => words.to_vec(),
    };
    let (what, words) = (typed.join(" "), typed.as_slice());
    if in_condition && words.len() == 1 && SOUND.contains(&what.to_lowercase().as_str()) {
        let state = [format!("--{part}"), PartState::Whole.word().to_owned()];
        return Ok([owned(&["condition"]), tags.to_vec(), state.to_vec()].concat());
    }
    if let Some((what, whose)) = whose_ends(&typed)
        && is_hurt(&what)
    {
        let said = owned(&["--what", &what, "--whose", &whose]);
        return Ok([owned(&["damage"]), pieces, said].concat());
    }
    let state = closed::word_of(PartState::WORDS, &typed).filter(|(_, used)| *used == typed.len());
    let gone = what.eq_ignore_ascii_case("gone").then(|| PartState::Missing.word().to_owned());
    let condition = gone.or(state.map(|(state, _)| state)).filter(|_| in_condition).map(|state| {
        [owned(&["condition"]), tags.to_vec(), vec![format!("--{part}"), state]].concat()
    });
    let mut choices = Vec::new();
    let told = tags.join(" ");
    let label = |verb: &str| format!("{verb} {told} {part}: {what}");
    choices.extend(condition.map(|words| LineChoice { label: label("condition"), words }));
    let gone = what.eq_ignore_ascii_case("gone");
    if gone {
        let words = [owned(&["gone"]), pieces.clone()].concat();
        let label = format!("{}: it is not where it was", unclear::line(&words));
        choices.push(LineChoice { label, words });
    }
    if came_off(&what) {
        let words = [owned(&["bag"]), pieces.clone()].concat();
        choices.push(LineChoice { label: unclear::line(&words), words });
    }
    if is_hurt(&what) || gone || came_off(&what) {
        let words = [owned(&["damage"]), pieces, owned(&["--what", &what])].concat();
        choices.push(LineChoice { label: label("damage"), words });
    }
    let text = format!("{part} {what}");
    let note = [owned(&["note"]), tags.to_vec(), owned(&["--words", &text])].concat();
    choices.push(LineChoice { label: label("note"), words: note });
    Err(Error::Unclear(Unclear { about: format!("{told}: what is {part} {what}?"), choices }))
}

/// `came out`, `fell off`: it is whole, and in the hand.
fn came_off(what: &str) -> bool {
    let small = what.to_lowercase();
    let words: Vec<&str> = small.split_whitespace().collect();
    matches!(
        words.as_slice(),
        ["came" | "fell" | "popped" | "dropped" | "is", "out" | "off" | "loose", ..]
    )
}

/// Words between a piece and what is said of it.
fn is_now(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "is" | "are" | "looks" | "now")
}

/// `tip chipped as found`: whose a damage is stands last, and says that it is one.
fn whose_at_the_end(tags: &[String], rest: &[String]) -> Option<Vec<String>> {
    let typed: Vec<&str> = rest.iter().map(String::as_str).collect();
    let (what, whose) = whose_ends(&typed)?;
    is_hurt(&what).then(|| {
        [owned(&["damage"]), tags.to_vec(), owned(&["--what", &what, "--whose", &whose])].concat()
    })
}

fn whose_ends(typed: &[&str]) -> Option<(String, String)> {
    (1..=2).rev().find_map(|count| {
        let (before, last) = typed.split_at_checked(typed.len().checked_sub(count)?)?;
        let (whose, used) = closed::word_of(Whose::WORDS, last)?;
        let plain = !before.is_empty() && !before.iter().any(|word| text::is_turning(word));
        let what = before.join(" ");
        (used == count && plain).then(|| (what.trim_end_matches([',', '-', ' ']).to_owned(), whose))
    })
}

/// Whether words say that something is broken, and none of them turns it around.
fn is_hurt(what: &str) -> bool {
    let words = || what.split_whitespace().map(|word| word.trim_matches([',', '.']).to_lowercase());
    let hurt = |word: &String| {
        HURT.iter().any(|hurt| hurt.word() == word) || HURT_WORDS.contains(&word.as_str())
    };
    words().any(|word| hurt(&word)) && !words().any(|word| text::is_turning(&word))
}

/// Whether a word says that something of a head is hurt as it comes.
pub(in super::super) fn says_hurt(word: &str) -> bool {
    let word = word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    // What is off or loose may be wanted so.
    HURT.iter().any(|hurt| hurt.word() == word)
        || (HURT_WORDS.contains(&word.as_str()) && !matches!(word.as_str(), "off" | "loose"))
        || matches!(word.as_str(), "shot" | "bullet" | "pellet")
}

/// `413 210 ok`: a sum that was agreed to, or a second skull.
fn sum_agreed(tags: &[String]) -> Option<Error> {
    let (sum, before) = tags.split_last().filter(|(_, before)| !before.is_empty())?;
    let round = !sum.starts_with('0') && sum.parse::<u32>().is_ok_and(|sum| sum % 5 == 0);
    round.then(|| {
        let told = before.join(" ");
        let choices = [
            [owned(&["agree"]), before.to_vec()].concat(),
            [owned(&["condition"]), tags.to_vec(), owned(&["--words", "ok"])].concat(),
        ];
        let choices =
            choices.map(|words| LineChoice { label: unclear::line(&words), words }).to_vec();
        let about =
            format!("{told} {sum} ok: did the customer agree to {sum}, or are both skulls ok?");
        Error::Unclear(Unclear { about, choices })
    })
}

fn what_was_done(tags: &[String], rest: &[String], taken: Vec<Vec<String>>) -> Error {
    let (said, told) = (rest.join(" "), tags.join(" "));
    let mut choices: Vec<LineChoice> =
        taken.into_iter().map(|words| LineChoice { label: unclear::line(&words), words }).collect();
    let with = |verb: &str, name: &str| LineChoice {
        label: format!("{verb} {told}: {said}"),
        words: [owned(&[verb]), tags.to_vec(), owned(&[name, &said])].concat(),
    };
    let plain = said.to_lowercase();
    for state in not_so::instead(rest) {
        let look = [owned(&["look"]), tags.to_vec(), owned(&[state])].concat();
        choices.push(LineChoice { label: unclear::line(&look), words: look });
    }
    if matches!(plain.as_str(), "brain out" | "brains out") {
        for verb in ["flesh", "wash"] {
            let line = [owned(&[verb]), tags.to_vec(), owned(&["brain"])].concat();
            choices.push(LineChoice { label: unclear::line(&line), words: line });
        }
    }
    let now = rest.iter().take_while(|word| SAYS.contains(&word.to_lowercase().as_str())).count();
    let mut offered = kinds::offered(tags, rest);
    if offered.is_empty() && !was(rest) {
        offered = kinds::offered(tags, rest.get(now..).unwrap_or_default());
    }
    choices.extend(
        offered.into_iter().map(|words| LineChoice { label: unclear::line(&words), words }),
    );
    choices.push(with("note", "--words"));
    if is_hurt(&said) {
        choices.push(with("damage", "--what"));
    }
    Error::Unclear(Unclear {
        about: format!("{told}: what was done? Begin with it, as in `wash {told}`"),
        choices,
    })
}

/// What is said of a skull, without who says it in front and without `now` at its end.
fn as_now(rest: &[String]) -> &[String] {
    let who = ["customer", "hunter", "client", "he", "she", "they"];
    // `428 customer wants plaque`: who wants it is the customer anyway.
    let wants = matches!(rest, [first, wants, ..]
        if who.contains(&first.to_lowercase().as_str()) && wants.to_lowercase().starts_with("want"));
    let rest = rest.get(usize::from(wants)..).unwrap_or_default();
    // `424 soft now` says how it is now.
    match rest.split_last() {
        Some((now, said)) if !said.is_empty() && now.eq_ignore_ascii_case("now") => said,
        Some(_) | None => rest,
    }
}

/// What is said of a piece of a skull: `nose bag A3`, `jaw tied`, `nose cracked`; nothing if no piece is named.
fn of_piece(
    tags: &[String],
    rest: &[String],
    lexicon: &Lexicon,
) -> Option<Result<Vec<String>, Error>> {
    let typed: Vec<&str> = rest.iter().map(String::as_str).collect();
    let (piece, used) = crate::pieces::piece_at(&typed)?;
    let piece = piece.word();
    let words = rest.get(used..).unwrap_or_default();
    let said = words.iter().take_while(|word| is_now(word)).count();
    let words = words.get(said..).unwrap_or_default();
    if let Some(bagged) = kinds::bagged(tags, piece, words) {
        return Some(Ok(bagged));
    }
    // `nose gone` says that it is lost as much as that it lies elsewhere: it is asked.
    let gone = matches!(words, [gone] if gone.eq_ignore_ascii_case("gone"));
    if let Some((verb, used)) = verb_at(words).filter(|_| !gone) {
        let pieces = tags.iter().map(|tag| format!("{tag}/{piece}")).collect();
        let behind = words.get(used..).unwrap_or_default().to_vec();
        return Some(Ok([vec![verb], pieces, behind].concat()));
    }
    let wish = words.last().is_some_and(|word| Wish::WORDS.contains(&word.to_lowercase().as_str()));
    if let Some(came) = came_in::as_it_came(tags, rest, lexicon).filter(|_| wish) {
        return Some(Err(came));
    }
    (!words.is_empty()).then(|| of_part(tags, piece, words))
}
