//! How strong a thing is, as it was said, and what that changes.

use super::{
    Found, Grade,
    kinds::Kind::{
        self, Antler, Bone, Copper, Flame, Food, Grease, Heat, Iron, Metal, MetalDust, Peroxide,
        Room, Tinder, Zinc,
    },
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

/// What strong peroxide does to a kind beyond what any peroxide does.
struct Beyond {
    from: f64,
    to: &'static [Kind],
    grade: Grade,
    what: &'static str,
    act: &'static str,
    source: sources::From,
}

/// The worst first.
const BEYOND: &[Beyond] = &[
    Beyond {
        from: STRONG,
        to: &[Tinder, Grease, Food],
        grade: Grade::Deadly,
        what: "peroxide of 20 % and more sets on fire what soaks it up, by itself, minutes or days later",
        act: "Soak it with much water from a distance and spread it out; if it smokes or is hot, leave \
              and call the fire department",
        source: sources::STRONG_PEROXIDE,
    },
    Beyond {
        from: STRONG,
        to: &[Iron, Copper, Zinc, Metal, MetalDust],
        grade: Grade::Deadly,
        what: "strong peroxide on metal runs away: it boils, throws itself out and feeds fire",
        act: "Get far away, never close it; flood it with cold water only from a safe distance; call the fire \
              department",
        source: sources::STRONG_PEROXIDE,
    },
    Beyond {
        from: STRONG,
        to: &[Heat, Flame],
        grade: Grade::Deadly,
        what: "strong peroxide that is heated runs away, boils, bursts what holds it and feeds fire",
        act: "Heat off if that is safe; get far away; call the fire department",
        source: sources::STRONG_PEROXIDE,
    },
    Beyond {
        from: 35.0,
        to: &[Room],
        grade: Grade::Injures,
        what: "its vapor burns airways and eyes, and its smell warns too late",
        act: "Outdoors, or doors open and air moving; whoever coughs: out into fresh air",
        source: sources::PEROXIDE_AIR,
    },
    Beyond {
        from: STRONG,
        to: &[Bone, Antler],
        grade: Grade::Spoils,
        what: "so strong it heats up on what is left in bone and makes bone chalky",
        act: "Thin it to 12 % or less first: `reckon dilute`; peroxide into water",
        source: sources::BAY,
    },
];

/// What strong peroxide does beyond any peroxide.
pub(super) fn beyond(one: &Thing, other: &Thing) -> Vec<Found> {
    let meet = |strong: &Thing, to: &Thing, row: &Beyond| {
        peroxide(strong).is_some_and(|percent| percent >= row.from)
            && to.kinds.iter().any(|kind| row.to.contains(kind))
    };
    let met = BEYOND.iter().filter(|row| meet(one, other, row) || meet(other, one, row));
    met.map(|row| Found {
        grade: row.grade,
        of: format!("{} with {}", one.said, other.said),
        what: row.what.to_owned(),
        act: row.act,
        from: Some(row.source),
    })
    .collect()
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
