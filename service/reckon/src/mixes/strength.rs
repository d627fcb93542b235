//! How strong a thing is, as it was said, and what that changes.

use super::{
    Found, Grade,
    kinds::Kind::{self, Food, Grease, Peroxide, Tinder},
    read::Thing,
    sources,
};
use crate::{
    peroxide::{
        hazard::{FIRE, SKIN},
        strength::{MolarVolume, moles, percent},
    },
    quantity::{OxygenVolumes, PercentWv, PercentWw},
    working::{Working, digits},
};

/// From where on peroxide is counted as strong: UN2014 begins here.
const STRONG: f64 = 20.0;

/// The strength in percent that is said with a thing: the number before a percent sign, or volumes.
pub(super) fn said(words: &str) -> Option<f64> {
    let words: Vec<&str> = words.split_whitespace().collect();
    let mut rest = words.as_slice();
    while let Some((first, after)) = rest.split_first() {
        rest = after;
        let end = first.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')));
        let (number, unit) = first.split_at_checked(end.unwrap_or(first.len())).unwrap_or_default();
        let unit = if unit.is_empty() { after.first().copied().unwrap_or_default() } else { unit };
        let Ok(number) = number.replace(',', ".").parse::<f64>() else { continue };
        if unit.starts_with('%') || unit == "percent" {
            return Some(number);
        }
        if unit.starts_with("vol") {
            return Some(percent(MolarVolume::default().moles(OxygenVolumes(number))).0);
        }
    }
    None
}

/// The strength of a peroxide, in percent; none if it is none, or if no strength was said.
fn peroxide(thing: &Thing) -> Option<f64> {
    let holds = thing.kinds.contains(&Peroxide);
    said(&thing.said).filter(|percent| holds && (0.0..=100.0).contains(percent))
}

/// What strong peroxide does beyond any peroxide.
pub(super) fn beyond(one: &Thing, other: &Thing) -> Option<Found> {
    const BURNS: &[Kind] = &[Tinder, Grease, Food];
    let strong = |thing: &Thing| peroxide(thing).is_some_and(|percent| percent >= STRONG);
    let burns = |thing: &Thing| thing.kinds.iter().any(|kind| BURNS.contains(kind));
    ((strong(one) && burns(other)) || (strong(other) && burns(one))).then(|| Found {
        grade: Grade::Deadly,
        of: format!("{} with {}", one.said, other.said),
        what: "peroxide of 20 % and more sets on fire what soaks it up, by itself, minutes or days later"
            .to_owned(),
        act: "Soak it with much water from a distance and spread it out; if it smokes or is hot, leave \
              and call the fire department",
        from: Some(sources::STRONG_PEROXIDE),
    })
}

/// What the strengths that were said change, one sentence each.
pub(super) fn sentences(things: &[Thing]) -> Vec<String> {
    let told = |thing: &Thing| {
        let strength = peroxide(thing)?;
        let of = PercentWw(strength);
        let volumes = MolarVolume::default().volumes(moles(PercentWv(strength)));
        let skin = SKIN
            .plain(of)
            .unwrap_or("is under the limits for eyes and skin; rinse eyes all the same");
        let fire = FIRE.plain(of).map_or(String::new(), |fire| format!(", {fire}"));
        Some(format!(
            "{} {skin}{fire}. Shut in, it can let go {} times its volume of oxygen.",
            thing.said,
            digits(volumes.0, 2)
        ))
    };
    things.iter().filter_map(told).collect()
}

/// The working with what strengths change, and where that is from.
pub(super) fn with(working: Working, things: &[Thing]) -> Working {
    let sentences = sentences(things);
    if sentences.is_empty() {
        return working;
    }
    let working =
        sentences.into_iter().fold(working, |working, told| working.step("strength", told));
    working.source(SKIN.source, SKIN.known).source(FIRE.source, FIRE.known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_strength_is_read_in_percent_and_in_volumes() {
        for (words, percent) in [
            ("3 % peroxide", Some(3.0)),
            ("3% peroxide", Some(3.0)),
            ("peroxide 35%w/w", Some(35.0)),
            ("35 percent peroxide", Some(35.0)),
            ("peroxide", None),
            ("2 peroxide", None),
            ("5.25% bleach", Some(5.25)),
        ] {
            assert_eq!(said(words), percent, "{words}");
        }
        // USP and labels: 10 volume is 3 %; 40 volume is 12 %.
        for (words, percent) in [("10vol peroxide", 3.0), ("40 vol developer", 12.0)] {
            let read = said(words).unwrap();
            assert!((read - percent).abs() < 0.2, "{words}: {read}");
        }
    }
}
