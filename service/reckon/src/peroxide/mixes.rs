//! What must not come together in a wash bay, and what a bath must not stand in.

use crate::{Absurd, Known, Working};

/// Kinds of things that go into water, or hold it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Hydrogen peroxide.
    Peroxide,
    /// Bleach: hypochlorite.
    Bleach,
    /// Ammonia.
    Ammonia,
    /// Vinegar and other acids.
    Acid,
    /// Acetone.
    Acetone,
    /// Alcohol, petrol, thinner and other solvents.
    Solvent,
    /// Washing soda, lye and other strong bases.
    Base,
    /// Potassium permanganate, which stains antler.
    Permanganate,
    /// Enzymes, blood, tissue.
    Tissue,
    /// Iron, steel, copper, brass, zinc, lead, aluminium.
    Metal,
    /// Stainless steel.
    Stainless,
    /// Wood, rags, grease: what burns.
    Tinder,
    /// Soap and dish detergent.
    Soap,
    /// Water.
    Water,
    /// Plastic or glass.
    Plastic,
}

/// Words by which things are known; the first whose word is in what was typed holds.
const WORDS: &[(&str, Kind)] = &[
    ("peroxide", Kind::Peroxide),
    ("bleach", Kind::Bleach),
    ("hypochlorite", Kind::Bleach),
    ("chlorine", Kind::Bleach),
    ("ammonia", Kind::Ammonia),
    ("vinegar", Kind::Acid),
    ("acid", Kind::Acid),
    ("descaler", Kind::Acid),
    ("acetone", Kind::Acetone),
    ("alcohol", Kind::Solvent),
    ("ethanol", Kind::Solvent),
    ("petrol", Kind::Solvent),
    ("gasoline", Kind::Solvent),
    ("thinner", Kind::Solvent),
    ("spirit", Kind::Solvent),
    ("solvent", Kind::Solvent),
    ("soda", Kind::Base),
    ("lye", Kind::Base),
    ("lime", Kind::Base),
    ("borax", Kind::Base),
    ("permanganate", Kind::Permanganate),
    ("enzyme", Kind::Tissue),
    ("blood", Kind::Tissue),
    ("tissue", Kind::Tissue),
    ("stainless", Kind::Stainless),
    ("steel", Kind::Metal),
    ("iron", Kind::Metal),
    ("copper", Kind::Metal),
    ("brass", Kind::Metal),
    ("bronze", Kind::Metal),
    ("zinc", Kind::Metal),
    ("galvani", Kind::Metal),
    ("chrome", Kind::Metal),
    ("lead", Kind::Metal),
    ("silver", Kind::Metal),
    ("alumin", Kind::Metal),
    ("metal", Kind::Metal),
    ("wood", Kind::Tinder),
    ("rag", Kind::Tinder),
    ("grease", Kind::Tinder),
    ("oil", Kind::Tinder),
    ("paper", Kind::Tinder),
    ("soap", Kind::Soap),
    ("detergent", Kind::Soap),
    ("water", Kind::Water),
    ("plastic", Kind::Plastic),
    ("glass", Kind::Plastic),
];

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Nothing is known against it.
    Fine,
    /// It spoils the bath or the bone.
    Spoils,
    /// It hurts people.
    Danger,
}

/// Why two things do not go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Objection {
    one: Kind,
    other: Kind,
    /// How bad it is.
    pub grade: Grade,
    /// What comes of it, and what to do instead.
    pub why: &'static str,
    source: &'static str,
    known: Known,
}

/// Common practice is known by nobody's page.
const BAY: &str = "wash bays";
const HOUSEHOLD: &str = "public fire-safety page on mixing household chemicals";
const SHEETS: &str = "makers' safety sheets of hydrogen peroxide";
const POCKET: &str = "NIOSH Pocket Guide, hydrogen peroxide, incompatibilities";
const CHEMISTRY: &str = "an encyclopaedia's page on hydrogen peroxide";

/// What is known not to go together.
const OBJECTIONS: &[Objection] = &[
    danger(
        Kind::Bleach,
        Kind::Ammonia,
        "chloramine gas, which burns the lungs: never together; dump, rinse, air",
        HOUSEHOLD,
        Known::Read,
    ),
    danger(
        Kind::Bleach,
        Kind::Acid,
        "chlorine gas: never together; dump, rinse, air",
        HOUSEHOLD,
        Known::Read,
    ),
    danger(
        Kind::Bleach,
        Kind::Peroxide,
        "heat and a rush of oxygen that throws the bath: dump and rinse between",
        CHEMISTRY,
        Known::Read,
    ),
    danger(
        Kind::Bleach,
        Kind::Acetone,
        "chloroform and other poisons: never together",
        "general chemistry (haloform reaction)",
        Known::Memory,
    ),
    danger(
        Kind::Bleach,
        Kind::Solvent,
        "poisonous chlorinated vapours: never together",
        HOUSEHOLD,
        Known::Memory,
    ),
    danger(
        Kind::Peroxide,
        Kind::Acid,
        "peracetic acid with vinegar, which burns eyes and lungs: rinse the skull between",
        HOUSEHOLD,
        Known::Read,
    ),
    danger(
        Kind::Peroxide,
        Kind::Acetone,
        "acetone peroxide, an explosive: let a degreased skull dry out for days first",
        CHEMISTRY,
        Known::Read,
    ),
    danger(
        Kind::Peroxide,
        Kind::Solvent,
        "fire, and explosive mixtures with strong peroxide: keep them in other rooms",
        POCKET,
        Known::Memory,
    ),
    danger(
        Kind::Peroxide,
        Kind::Permanganate,
        "a violent rush of oxygen and steam: stain another day, in another vessel",
        POCKET,
        Known::Memory,
    ),
    danger(
        Kind::Peroxide,
        Kind::Metal,
        "the metal breaks peroxide down, with gas and heat, and eats through: plastic or glass",
        SHEETS,
        Known::Read,
    ),
    danger(
        Kind::Peroxide,
        Kind::Tinder,
        "what soaks it up can catch fire by itself as it dries: no wood, no rags; rinse spills",
        SHEETS,
        Known::Read,
    ),
    spoils(
        Kind::Peroxide,
        Kind::Base,
        "above pH 5 peroxide goes fast, with gas and heat: rinse soda and lye out first",
        "a maker's page on stability and decomposition",
        Known::Read,
    ),
    spoils(
        Kind::Peroxide,
        Kind::Ammonia,
        "ammonia makes it alkaline: it foams and goes; rinse between",
        "a maker's page on stability and decomposition",
        Known::Read,
    ),
    spoils(
        Kind::Peroxide,
        Kind::Tissue,
        "catalase of blood and tissue makes it foam and go: clean and rinse the skull first",
        "a maker's page on stability and decomposition",
        Known::Read,
    ),
    spoils(
        Kind::Peroxide,
        Kind::Stainless,
        "stainless not passivated for it lets it die sooner: plastic or glass is better",
        BAY,
        Known::Practice,
    ),
    danger(
        Kind::Acetone,
        Kind::Tinder,
        "fire: open air, no flame, closed metal bin for rags",
        BAY,
        Known::Practice,
    ),
    spoils(
        Kind::Acid,
        Kind::Base,
        "they undo each other, with foam and heat: one at a time",
        "general chemistry",
        Known::Memory,
    ),
    danger(
        Kind::Bleach,
        Kind::Metal,
        "it rusts through and gives off gas: plastic",
        BAY,
        Known::Practice,
    ),
    danger(
        Kind::Permanganate,
        Kind::Solvent,
        "fire without a spark: never together",
        POCKET,
        Known::Memory,
    ),
    danger(
        Kind::Ammonia,
        Kind::Metal,
        "ammonia eats copper, brass and zinc: plastic or stainless",
        BAY,
        Known::Practice,
    ),
];

/// The kind of a thing by what it is called; none if it is not known here.
pub fn kind(word: &str) -> Option<Kind> {
    let word = word.to_lowercase();
    WORDS.iter().find(|(part, _)| word.contains(part)).map(|(_, kind)| *kind)
}

/// What is known against two kinds together.
pub fn objection(one: Kind, other: Kind) -> Option<&'static Objection> {
    OBJECTIONS.iter().find(|o| (o.one, o.other) == (one, other) || (o.other, o.one) == (one, other))
}

/// What is known against things together; hot peroxide is one of them.
///
/// # Errors
/// [`Absurd`] if fewer than two were said, or one is not known here.
pub fn mix(things: &[String], hot: bool) -> Result<Working, Absurd> {
    const EXAMPLE: &str = "say it like `mix peroxide vinegar`";
    if things.is_empty() || (things.len() < 2 && !hot) {
        return Err(Absurd::new("one thing alone is no mix", EXAMPLE));
    }
    let mut kinds = Vec::new();
    for thing in things {
        let kind = kind(thing).ok_or_else(|| {
            Absurd::new(
                format!("\u{201c}{thing}\u{201d} is not known here, and that is not a yes"),
                "do not mix it; ask its data sheet, or say a plainer word such as vinegar, ammonia, steel",
            )
        })?;
        kinds.push((thing.as_str(), kind));
    }
    let mut working = Working::new();
    let mut worst = Grade::Fine;
    let mut because = Vec::new();
    for (at, (thing, kind)) in kinds.iter().enumerate() {
        for (other, other_kind) in kinds.iter().skip(at.saturating_add(1)) {
            let Some(found) = objection(*kind, *other_kind) else { continue };
            worst = worst.max(found.grade);
            because.push(found.why);
            working = working
                .step(format!("{thing} with {other}"), found.why)
                .source(found.source, found.known);
        }
        if hot && *kind == Kind::Peroxide {
            worst = worst.max(Grade::Danger);
            because.push("hot peroxide goes by itself: under 50 \u{b0}C, lid loose");
            working = working
                .step(
                    "hot peroxide",
                    "each 10 \u{b0}C more lets it go about twice as fast: under 50 \u{b0}C",
                )
                .source(
                    "2.2 times as fast for 10 degrees: Schumb, Satterfield, Wentworth, 1955",
                    Known::Memory,
                );
        }
    }
    let verdict = match worst {
        Grade::Danger => "NO",
        Grade::Spoils => "better not",
        Grade::Fine => "nothing is known here against it",
    };
    let said: Vec<&str> = things.iter().map(String::as_str).collect();
    let tail = because.first().map(|why| format!(": {why}")).unwrap_or_default();
    Ok(working
        .answer(format!("{}: {verdict}{tail}", said.join(" with ")))
        .words("verdict", match worst {
            Grade::Danger => "no",
            Grade::Spoils => "better not",
            Grade::Fine => "nothing known",
        })
        .caution(
            "What is not listed is not safe for that: the data sheets of both decide. Gas in the bay: \
             out, upwind, call for help.",
        ))
}

const fn danger(
    one: Kind,
    other: Kind,
    why: &'static str,
    source: &'static str,
    known: Known,
) -> Objection {
    Objection { one, other, grade: Grade::Danger, why, source, known }
}

const fn spoils(
    one: Kind,
    other: Kind,
    why: &'static str,
    source: &'static str,
    known: Known,
) -> Objection {
    Objection { one, other, grade: Grade::Spoils, why, source, known }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_hurts_is_told_whichever_way_it_is_said() {
        for (one, other) in [
            ("bleach", "ammonia"),
            ("vinegar", "peroxide"),
            ("acetone", "Peroxide-12"),
            ("peroxide", "bleach"),
            ("peroxide", "steel"),
            ("peroxide", "brass"),
            ("permanganate", "peroxide"),
        ] {
            for said in [[one, other], [other, one]] {
                let told = mix(&said.map(str::to_owned), false).unwrap();
                assert!(told.answer.contains(": NO: "), "{}", told.answer);
            }
        }
    }

    #[test]
    fn what_is_not_known_is_not_a_yes() {
        let said = ["peroxide".to_owned(), "goo".to_owned()];
        assert!(mix(&said, false).unwrap_err().to_string().contains("not a yes"));
        assert_eq!(kind("stainless steel"), Some(Kind::Stainless));
        let fine = mix(&["soap".to_owned(), "water".to_owned()], false).unwrap();
        assert!(fine.answer.contains("nothing is known here against it"));
    }
}
