//! A hand's name, held against the hands that the shop knows: whose work it was is for ever.

use burrline_bench::{Bench, Error, SystemClock, alone::Then};
use burrline_line::{
    near::near,
    words::{Begins, begins, or},
};

use crate::{Person, person::UnknownHand};

/// The hand that is meant; nothing if none was said. An unknown one is asked about.
///
/// # Errors
/// [`Error::Usage`] if the shop knows no such hand and nobody is there to ask; [`Error::Refused`] if the
/// line is left off.
pub async fn settled(
    bench: &Bench,
    hand: Option<String>,
    person: &mut impl Person,
) -> Result<Option<String>, Error> {
    let Some(typed) = hand else { return Ok(None) };
    // Who works here already was asked about then.
    if bench.hand().is_some_and(|hand| hand.as_str() == typed) {
        return Ok(Some(typed));
    }
    let mut hands = known(bench)?;
    if named(&hands, &typed).is_none()
        && !hands.is_empty()
        && bench.catch_up(&SystemClock, None).await.is_ok()
    {
        hands = known(bench)?;
    }
    chosen(&hands, &typed, person).map(Some)
}

/// Of these hands the one that is meant; a shop that has named none knows everybody.
///
/// # Errors
/// As [`settled`].
pub fn chosen(hands: &[String], typed: &str, person: &mut impl Person) -> Result<String, Error> {
    if hands.is_empty() {
        return Ok(typed.to_owned());
    }
    if let Some(hand) = named(hands, typed) {
        return Ok(hand.to_owned());
    }
    let meant = meant(hands, typed);
    if !person.is_there() {
        return Err(Error::usage(unknown(hands, typed, meant)));
    }
    let unknown = UnknownHand {
        typed: typed.to_owned(),
        known: hands.to_vec(),
        meant: meant.map(str::to_owned),
    };
    person.hand(&unknown)?.ok_or_else(super::left_off)
}

fn known(bench: &Bench) -> Result<Vec<String>, Error> {
    let alone = bench.alone(&SystemClock, Then::default())?;
    let hands = alone.as_ref().map(|alone| alone.state().shop().hands.iter());
    Ok(hands.into_iter().flatten().map(ToString::to_string).collect())
}

/// The hand as the shop writes it; capitals do not make another one.
pub fn named<'a>(hands: &'a [String], typed: &str) -> Option<&'a str> {
    let same = |hand: &&String| hand.to_lowercase() == typed.to_lowercase();
    hands.iter().find(same).map(String::as_str)
}

/// The one hand that may be meant: a slip away, or begun.
fn meant<'a>(hands: &'a [String], typed: &str) -> Option<&'a str> {
    let all = || hands.iter().map(String::as_str);
    if let [one] = near(typed, all()).as_slice() {
        return Some(one);
    }
    let Begins::One(hand) = begins(typed, all()) else { return None };
    hands.iter().find(|other| **other == hand).map(String::as_str)
}

fn unknown(hands: &[String], typed: &str, meant: Option<&str>) -> String {
    let meant = meant.map_or_else(|| ".".to_owned(), |hand| format!("; did you mean {hand}?"));
    let known = or(hands);
    format!(
        "the shop knows no hand {typed}{meant} It knows {known}; the owner adds one with `add-hand \
         {typed}`"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hands() -> Vec<String> {
        ["ines", "tom", "ada"].map(str::to_owned).to_vec()
    }

    #[test]
    fn a_slip_is_offered_and_capitals_are_none() {
        assert_eq!(named(&hands(), "Ines"), Some("ines"));
        assert_eq!(named(&hands(), "inez"), None);
        for (typed, offered) in
            [("inez", Some("ines")), ("tm", None), ("to", Some("tom")), ("rosa", None)]
        {
            assert_eq!(meant(&hands(), typed), offered, "{typed}");
        }
    }

    #[test]
    fn who_is_unknown_is_told_with_who_is_known() {
        assert_eq!(
            unknown(&hands(), "inez", Some("ines")),
            "the shop knows no hand inez; did you mean ines? It knows ines, tom or ada; the owner adds \
             one with `add-hand inez`"
        );
        assert!(
            unknown(&hands(), "rosa", None).starts_with("the shop knows no hand rosa. It knows")
        );
    }
}
