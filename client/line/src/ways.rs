//! Which amount of a make-up is of what.
//!
//! The words are parted into groups, each an amount with its strength and its name. Where more than
//! one way to part them makes sense, the hand is asked.

use burrline_terms::{Mass, Typed as _, Volume};
use rust_decimal::Decimal;

use super::makeup::{MakeUp, Reading, is_liquid};

/// One word of a make-up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Part {
    /// A volume or a mass, and whether it was said in ounces alone.
    Amount(String, bool),
    /// A strength.
    Strength(String),
    /// What it is of.
    Stuff(String),
}

/// A word of a make-up with what stands before it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) part: Part,
    /// A comma, or a word such as "and", stands before it.
    pub(super) breaks: bool,
    /// "of" ties it to the word before.
    pub(super) tied: bool,
}

/// An amount of something.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Group {
    amount: Option<String>,
    ounces: bool,
    strength: Option<String>,
    what: Option<String>,
    /// Its name or its strength stood before the amount, as in `12 % peroxide 2 L`.
    turned: bool,
}

type Way = Vec<Group>;

/// So many times more water than of anything else makes a way to part the words likely: where each
/// name stands behind its amount, and where it stands before it (common practice, no source).
const LIKELY: (i64, i64) = (2, 8);

/// Reads the words of a make-up.
pub(super) fn make_up(verb: &str, pieces: &[Piece], us: bool) -> MakeUp {
    let all = |strict: bool| {
        let mut ways: Vec<Way> = Vec::new();
        part(pieces, strict, &mut Vec::new(), &mut ways);
        ways
    };
    let fitting = |ways: &[Way]| {
        let mut fitting: Vec<Way> = ways.iter().filter(|way| fits(way)).cloned().collect();
        fitting.sort_by_key(sorted);
        fitting.dedup_by_key(|way| sorted(way));
        fitting
    };
    // A comma or an "and" parts what may be parted there.
    let strict = fitting(&all(true));
    let ways = all(false);
    let fitting = if strict.is_empty() { fitting(&ways) } else { strict };
    match fitting.as_slice() {
        [] => none_fits(verb, pieces, &ways, us),
        [one] if is_odd(one) => asked(verb, moved_strength(&ways).iter().chain([one])),
        [one] => said(verb, one),
        many => match likely(many) {
            Some(way) => said(verb, way),
            None => asked(verb, many.iter()),
        },
    }
}

/// Every way to part the words into groups of one amount at most.
fn part(pieces: &[Piece], strict: bool, begun: &mut Way, ways: &mut Vec<Way>) {
    let Some(first) = pieces.first() else {
        ways.push(begun.clone());
        return;
    };
    if first.tied && !begun.is_empty() {
        return;
    }
    let mut group = Group::default();
    for (n, piece) in pieces.iter().enumerate() {
        if n > 0 && strict && piece.breaks {
            return;
        }
        let free = match &piece.part {
            Part::Amount(value, ounces) => {
                group.ounces = *ounces;
                group.turned = group.what.is_some() || group.strength.is_some();
                group.amount.replace(value.clone()).is_none()
            }
            Part::Strength(value) => group.strength.replace(value.clone()).is_none(),
            Part::Stuff(what) => group.what.replace(what.clone()).is_none(),
        };
        if !free {
            return;
        }
        let rest = pieces.get(n.saturating_add(1)..).unwrap_or_default();
        begun.push(group.clone());
        part(rest, strict, begun, ways);
        begun.pop();
    }
}

fn is_water(group: &Group) -> bool {
    let plain = group.what.as_deref().is_none_or(|what| what == "water");
    plain && group.strength.is_none() && group.amount.as_deref().is_some_and(is_volume)
}

/// Whether every group says something, and water is said once.
fn fits(way: &Way) -> bool {
    let one = |group: &Group| {
        let Some(amount) = &group.amount else { return false };
        match (group.what.as_deref(), &group.strength) {
            // Peroxide without its strength is no make-up that a bath could be reckoned by.
            (None | Some("peroxide"), Some(_)) => is_volume(amount) || group.ounces,
            (Some("peroxide"), None) => false,
            (None | Some("water"), _) => is_volume(amount) && group.strength.is_none(),
            // Nobody measures soda by the gallon: that is the water it goes into.
            (Some(what), None) if is_liquid(what) == Some(false) => !is_large(amount),
            (Some(_), strength) => strength.is_none(),
        }
    };
    way.iter().all(one) && way.iter().filter(|group| is_water(group)).count() <= 1
}

/// Whether an amount is a quart or more by volume.
fn is_large(amount: &str) -> bool {
    Volume::read(amount).is_ok_and(|volume| volume.litres() >= Decimal::new(9, 1))
}

/// Whether an amount can be of water.
fn is_volume(amount: &str) -> bool {
    Volume::read(amount).is_ok()
}

/// How many times more water there is than of anything else that has a volume; none without water.
fn water_to_the_rest(way: &Way) -> Option<Decimal> {
    let litres = |group: &Group| {
        let amount = group.amount.as_deref()?;
        Volume::read(amount).ok().map(Volume::litres)
    };
    let water = way.iter().find(|group| is_water(group)).and_then(litres)?;
    let most = way.iter().filter(|group| !is_water(group)).filter_map(litres).max();
    Some(most.map_or(Decimal::MAX, |most| water.checked_div(most).unwrap_or(Decimal::MAX)))
}

/// Whether a group begins with a name or a strength, and the bare amount right before it could have
/// been meant with that.
fn bends(way: &Way) -> bool {
    let bare = |group: &Group| group.what.is_none() && group.strength.is_none();
    let pairs = way.iter().zip(way.iter().skip(1));
    pairs.into_iter().any(|(before, group)| bare(before) && group.turned)
}

fn has_peroxide(way: &Way) -> bool {
    way.iter().any(|group| group.strength.is_some())
}

/// The only way to part the words, though less water goes in than of what is named behind it.
fn is_odd(way: &Way) -> bool {
    bends(way) && way.len() > 1 && water_to_the_rest(way).is_some_and(|times| times < Decimal::ONE)
}

/// Of several ways the one that is likely while all others are not: most of a bath is water.
fn likely(many: &[Way]) -> Option<&Way> {
    let times = |way: &&Way| water_to_the_rest(way).unwrap_or_default();
    let best = many.iter().max_by_key(times)?;
    let (behind, before) = LIKELY;
    let least = Decimal::from(if bends(best) { before } else { behind });
    let others = many.iter().filter(|way| *way != best);
    let unlikely = others.map(|way| times(&way)).all(|times| times < Decimal::ONE);
    let doubtful = has_peroxide(best) && bends(best);
    (times(&best) >= least && unlikely && !doubtful).then_some(best)
}

/// `1 qt peroxide 5 gal 12 %`: the strength may be the peroxide's though water stands between.
fn moved_strength(ways: &[Way]) -> Option<Way> {
    ways.iter().find_map(|way| {
        let peroxide = way.iter().position(|group| {
            group.what.as_deref() == Some("peroxide") && group.strength.is_none()
        })?;
        let from = way.iter().position(|group| group.what.is_none() && group.strength.is_some())?;
        let mut moved = way.clone();
        let strength = moved.get_mut(from)?.strength.take();
        moved.get_mut(peroxide)?.strength = strength;
        fits(&moved).then_some(moved)
    })
}

/// The likeliest first.
fn asked<'a>(verb: &str, ways: impl Iterator<Item = &'a Way>) -> MakeUp {
    let mut ways: Vec<&Way> = ways.collect();
    ways.sort_by_key(|way| std::cmp::Reverse(water_to_the_rest(way).unwrap_or_default()));
    MakeUp::Unclear {
        about: format!("{verb}: which amount is of what?"),
        readings: ways.into_iter().map(reading).collect(),
    }
}

/// Water first, then what goes in.
fn in_order(way: &Way) -> Vec<&Group> {
    let (water, rest): (Vec<&Group>, Vec<&Group>) = way.iter().partition(|group| is_water(group));
    water.into_iter().chain(rest).collect()
}

fn reading(way: &Way) -> Reading {
    let groups = in_order(way);
    let shown: Vec<String> = groups.iter().map(|group| shown(group)).collect();
    let words = way.iter().map(|group| written(group).0).collect();
    Reading { label: shown.join(", "), words }
}

/// `water 5 gal`, `peroxide 1 qt 12 %`.
fn shown(group: &Group) -> String {
    let what = match (&group.what, &group.strength) {
        (Some(what), _) => what,
        (None, Some(_)) => "peroxide",
        (None, None) => "water",
    };
    let parts = [group.amount.as_deref(), group.strength.as_deref()];
    let parts: Vec<String> = parts.into_iter().flatten().map(spaced).collect();
    format!("{what} {}", parts.join(" "))
}

/// `2lb3oz` as `2 lb 3 oz`.
pub(super) fn spaced(amount: &str) -> String {
    let mut text = String::with_capacity(amount.len().saturating_add(4));
    let mut last = ' ';
    for c in amount.chars() {
        let of_number = |c: char| c.is_ascii_digit() || ".,/-".contains(c);
        let parts = of_number(last) != of_number(c) && last != ' ' && c != ' ';
        if parts && !(last == 'w' && c == '/') && !(last == '/' && c == 'w') {
            text.push(' ');
        }
        text.push(c);
        last = c;
    }
    text.replace("floz", "fl oz").replace("impgal", "imp gal").replace("%w", "% w")
}

/// The words that say a make-up, in an order of their own: two ways may say the same.
fn sorted(way: &Way) -> Vec<String> {
    let mut words: Vec<String> = way.iter().map(|group| written(group).0).collect();
    words.sort_unstable();
    words
}

/// A group as one word, and what is to be said of how it was taken.
fn written(group: &Group) -> (String, Option<String>) {
    let amount = group.amount.clone().unwrap_or_default();
    match (group.what.as_deref(), &group.strength) {
        (None | Some("peroxide"), Some(strength)) if group.ounces => {
            let (fluid, shown) = (amount.replace("oz", "floz"), spaced(&amount));
            let told = format!("{shown} of peroxide: taken as fluid ounces");
            (format!("peroxide={fluid}@{strength}"), Some(told))
        }
        (None | Some("peroxide"), Some(strength)) => {
            (format!("peroxide={amount}@{strength}"), None)
        }
        (Some(what), Some(strength)) => (format!("{what}={amount}@{strength}"), None),
        (None | Some("water"), None) => (amount, None),
        (Some(what), None) if group.ounces && is_liquid(what) == Some(true) => {
            let fluid = amount.replace("oz", "floz");
            let shown = amount.replace("oz", " oz");
            (format!("{what}={fluid}"), Some(format!("{shown} of {what}: taken as fluid ounces")))
        }
        (Some(what), None) => {
            let told = group.ounces.then(|| {
                let shown = amount.replace("oz", " oz");
                format!("{shown} of {what}: taken as ounces by weight")
            });
            (format!("{what}={amount}"), told)
        }
    }
}

fn said(verb: &str, way: &Way) -> MakeUp {
    let (mut water, mut add, mut told) = (None, Vec::new(), Vec::new());
    for group in way {
        let (word, how) = written(group);
        told.extend(how);
        if word.contains('=') {
            add.push(word);
        } else if water.replace(word).is_some() {
            return MakeUp::Wrong(format!("{verb}: water is said twice"));
        }
    }
    MakeUp::Is { water, add, told }
}

/// Words that are no make-up: what is missing or too much, in the words that were typed.
fn none_fits(verb: &str, pieces: &[Piece], ways: &[Way], us: bool) -> MakeUp {
    let named = |piece: &Piece| match &piece.part {
        Part::Stuff(what) => Some(what.clone()),
        Part::Amount(..) | Part::Strength(_) => None,
    };
    let strength = pieces.iter().find_map(|piece| match &piece.part {
        Part::Strength(value) => Some(spaced(value)),
        Part::Amount(..) | Part::Stuff(_) => None,
    });
    if !pieces.iter().any(|piece| matches!(piece.part, Part::Amount(..))) {
        let what = pieces.iter().find_map(named);
        return MakeUp::Wrong(how_much(verb, what.as_deref(), strength, us));
    }
    if let Some(readings) = by_another_measure(ways) {
        let about = format!("{verb}: water is recorded by volume");
        return MakeUp::Unclear { about, readings };
    }
    if let Some(readings) = strong(ways) {
        let about = format!(
            "{verb}: a strength is reckoned with for peroxide alone; record the rest without it?"
        );
        return MakeUp::Unclear { about, readings };
    }
    let peroxide = ways
        .iter()
        .flatten()
        .find(|group| group.what.as_deref() == Some("peroxide") && group.strength.is_none());
    if let Some(group) = peroxide {
        let amount = group.amount.as_deref().unwrap_or(if us { "1qt" } else { "1L" });
        return MakeUp::Wrong(format!(
            "{verb}: how strong is the peroxide? After its amount say its strength, such as {amount} \
             12 %"
        ));
    }
    let names: Vec<String> =
        pieces.iter().filter_map(named).filter(|what| what != "water").collect();
    let amounts = pieces.iter().filter(|piece| matches!(piece.part, Part::Amount(..))).count();
    if !names.is_empty() && names.len() >= amounts {
        let each: Vec<String> =
            names.iter().map(|what| example(Some(what.as_str()), None, us)).collect();
        return MakeUp::Wrong(format!(
            "{verb}: say how much of each goes in, such as {}, and how much water",
            crate::words::and(&each)
        ));
    }
    let longest = ways.iter().max_by_key(|way| way.len());
    let bare = longest.into_iter().flatten().rfind(|group| group.what.is_none());
    match bare.and_then(|group| group.amount.as_deref()) {
        Some(amount) if is_volume(amount) => MakeUp::Wrong(format!(
            "{verb}: {amount} of what? After an amount of peroxide say its strength, such as \
             {amount} 12 %; name anything else, such as soap {amount}"
        )),
        Some(amount) => {
            let amount = spaced(amount);
            MakeUp::Wrong(format!("{verb}: {amount} of what? Name it, such as soda {amount}"))
        }
        None => MakeUp::Wrong(format!(
            "{verb}: {}: say one amount for each, such as {}",
            pieces.iter().find_map(named).unwrap_or_default(),
            example(pieces.iter().find_map(named).as_deref(), None, us),
        )),
    }
}

/// No amount was said at all.
fn how_much(verb: &str, what: Option<&str>, strength: Option<String>, us: bool) -> String {
    let of = match (what, &strength) {
        (Some(what), _) => what.to_owned(),
        (None, Some(strength)) => format!("of the {strength}"),
        (None, None) => String::new(),
    };
    format!(
        "{verb}: how much {of}? Say its amount, such as {}",
        example(what, strength.as_deref(), us)
    )
}

/// What would be right to say, in the units of the shop.
fn example(what: Option<&str>, strength: Option<&str>, us: bool) -> String {
    match (what, strength) {
        (None | Some("peroxide"), strength) => {
            let strength = strength.unwrap_or("12 %");
            format!("{} {strength}", if us { "1 qt" } else { "1 L" })
        }
        (Some("water"), _) => if us { "8 gal" } else { "30 L" }.to_owned(),
        (Some(what), _) if is_liquid(what) == Some(false) => {
            format!("{what} {}", if us { "8 oz" } else { "250 g" })
        }
        (Some(what), _) => format!("{what} {}", if us { "2 cups" } else { "500 mL" }),
    }
}

/// `64 lb water`: a weight of water as the volume that it has, at a gram for each millilitre.
fn by_another_measure(ways: &[Way]) -> Option<Vec<Reading>> {
    let heavy = |group: &Group| {
        group.what.as_deref() == Some("water")
            && group.amount.as_deref().is_some_and(|amount| Mass::read(amount).is_ok())
    };
    ways.iter().find_map(|way| {
        let at = way.iter().position(heavy)?;
        let mut turned = way.clone();
        let group = turned.get_mut(at)?;
        let amount = group.amount.as_deref()?;
        let litres = Mass::read(amount).ok()?.grams().checked_div(Decimal::ONE_THOUSAND)?;
        let metric = amount.ends_with('g');
        let gallon = Volume::read("1gal").ok()?.litres();
        let value = if metric { litres } else { litres.checked_div(gallon)? };
        let unit = if metric { "L" } else { "gal" };
        group.amount = Some(format!("{}{unit}", value.round_dp(2).normalize()));
        group.ounces = false;
        fits(&turned).then(|| vec![reading(&turned)])
    })
}

/// `1 gal ammonia 10 %`: without its strength, and with it as typed.
fn strong(ways: &[Way]) -> Option<Vec<Reading>> {
    ways.iter().find_map(|way| {
        let mut plain = way.clone();
        let mut dropped = false;
        for group in &mut plain {
            let other = group.what.as_deref().is_some_and(|what| what != "peroxide");
            if other && group.what.as_deref() != Some("water") && group.strength.take().is_some() {
                dropped = true;
            }
        }
        (dropped && fits(&plain)).then(|| vec![reading(&plain), reading(way)])
    })
}
