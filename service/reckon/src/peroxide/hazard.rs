//! Which class a peroxide solution falls into, by per cent of mass, at the exact boundaries.

use crate::{Absurd, Known, Working, quantity::PercentWw, working::six};

/// Where a class begins.
#[derive(Debug, Clone, Copy, PartialEq)]
enum From {
    /// At this per cent of mass.
    At(f64),
    /// Above this per cent of mass.
    Over(f64),
}

/// A set of classes, one following the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// The name of the figure.
    pub name: &'static str,
    /// What it is about.
    pub about: &'static str,
    /// Where the limits are from.
    pub source: &'static str,
    /// Whether the source was read.
    pub known: Known,
    below: &'static str,
    classes: &'static [(From, &'static str, &'static str)],
}

/// Carriage of dangerous goods.
const TRANSPORT: Rule = Rule {
    name: "transport",
    about: "carriage",
    source: "UN2984 from 8 %, UN2014 from 20 %: ATSDR, Medical Management Guidelines for Hydrogen Peroxide, \
             heading; UN2015 over 60 % and packing groups: 49 CFR 172.101",
    known: Known::Memory,
    below: "not listed (under 8 %)",
    classes: &[
        (
            From::At(8.0),
            "UN2984, class 5.1, packing group III",
            "goods that feed fire, least danger",
        ),
        (
            From::At(20.0),
            "UN2014, class 5.1 (8), packing group II",
            "goods that feed fire and burn skin, medium danger",
        ),
        (
            From::Over(60.0),
            "UN2015, class 5.1 (8), packing group I",
            "goods that feed fire and burn skin, great danger",
        ),
    ],
};

/// Storage under the fire codes that are modelled on the international one.
pub const FIRE: Rule = Rule {
    name: "fire",
    about: "fire code",
    source: "oxidiser classes: 2015 Minnesota State Fire Code, appendix E",
    known: Known::Read,
    below: "no oxidiser class (under 8 %)",
    classes: &[
        (From::At(8.0), "oxidiser class 1", "slightly feeds fire"),
        (From::Over(27.5), "oxidiser class 2", "feeds fire"),
        (From::Over(52.0), "oxidiser class 3", "makes fire fierce"),
        (From::Over(91.0), "oxidiser class 4", "can explode"),
    ],
};

/// What goes by itself, under the same codes.
const UNSTABLE: Rule = Rule {
    name: "unstable",
    about: "unstable under the fire code",
    source: FIRE.source,
    known: Known::Read,
    below: "not listed (under 35 %)",
    classes: &[
        (From::At(35.0), "unstable class 1", "can go by itself when hot"),
        (From::Over(52.0), "unstable class 3", "can explode when heated"),
    ],
};

/// Skin and eyes: the specific limits of the European list.
pub const SKIN: Rule = Rule {
    name: "eyes_and_skin",
    about: "eyes and skin",
    source: "specific limits of index 008-003-00-9, Regulation (EC) 1272/2008, annex VI, as in ECHA's registry of \
             classification intentions (hydrogen peroxide, 2024); under 35 %: GisChem data sheet, 8 % to under 35 %",
    known: Known::Read,
    below: "under the limits (5 %)",
    classes: &[
        (From::At(5.0), "Eye Irrit. 2", "irritates eyes"),
        (From::At(8.0), "Eye Dam. 1", "damages eyes for good"),
        (
            From::At(35.0),
            "Eye Dam. 1, Skin Irrit. 2, STOT SE 3",
            "damages eyes, irritates skin and airways",
        ),
        (From::At(50.0), "Skin Corr. 1B, STOT SE 3", "burns skin, irritates airways"),
        (From::At(70.0), "Skin Corr. 1A, STOT SE 3", "burns skin at once, irritates airways"),
    ],
};

/// The same list for oxidising liquids.
const OXIDISER: Rule = Rule {
    name: "oxidiser",
    about: "oxidising liquid",
    source: SKIN.source,
    known: Known::Read,
    below: "under the limits (50 %)",
    classes: &[
        (From::At(50.0), "Ox. Liq. 2", "feeds fire"),
        (From::At(70.0), "Ox. Liq. 1", "makes fire fierce"),
    ],
};

/// Sale to the public in the European Union.
const SALE: Rule = Rule {
    name: "sale",
    about: "sale in the EU",
    source: "Regulation (EU) 2019/1148, annex I",
    known: Known::Memory,
    below: "free (to 12 %)",
    classes: &[
        (From::Over(12.0), "licence only (to 35 %)", "not to the public without a licence"),
        (From::Over(35.0), "not to the public", "not to the public at all"),
    ],
};

/// Every rule.
pub const RULES: [Rule; 6] = [TRANSPORT, FIRE, SKIN, OXIDISER, SALE, UNSTABLE];

/// What holds for all of them.
pub const ASK: &str = "These are limits as they were read or remembered; the current text, the label, \
                       the data sheet and the fire marshal decide.";

impl Rule {
    fn found(&self, strength: PercentWw) -> Option<usize> {
        // What a strength picks up on its way through a conversion is far below this.
        const NOISE: f64 = 1e-9;
        let holds = |from: &From| match *from {
            From::At(limit) => strength.0 >= limit - NOISE,
            From::Over(limit) => strength.0 > limit + NOISE,
        };
        self.classes.iter().rposition(|(from, ..)| holds(from))
    }

    /// The class of a strength.
    pub fn class(&self, strength: PercentWw) -> &'static str {
        let found = self.found(strength).and_then(|at| self.classes.get(at));
        found.map_or(self.below, |(_, class, _)| class)
    }

    /// The class of a strength with plain words: "Eye Irrit. 2 (irritates eyes)".
    pub fn words(&self, strength: PercentWw) -> String {
        let found = self.found(strength).and_then(|at| self.classes.get(at));
        found.map_or(self.below.to_owned(), |(_, class, plain)| format!("{class} ({plain})"))
    }

    /// What the class of a strength means, in plain words; none below the first class.
    pub fn plain(&self, strength: PercentWw) -> Option<&'static str> {
        let found = self.found(strength).and_then(|at| self.classes.get(at));
        found.map(|(_, _, plain)| *plain)
    }

    /// Whether a strength is in a class at all.
    pub fn lists(&self, strength: PercentWw) -> bool {
        self.found(strength).is_some()
    }
}

/// The classes that a mix enters on its way up from one strength to another, in words.
pub fn entered(from: PercentWw, to: PercentWw) -> Vec<String> {
    let crossed = |rule: &&Rule| rule.found(to) > rule.found(from);
    let words = |rule: &Rule| format!("{}: {} -> {}", rule.about, rule.class(from), rule.words(to));
    RULES.iter().filter(crossed).map(words).collect()
}

/// The classes that a mix leaves on its way down, in one line; nothing if it leaves none.
pub fn left(from: PercentWw, to: PercentWw) -> Option<String> {
    let crossed = |rule: &&Rule| rule.found(to) < rule.found(from);
    let words = |rule: &Rule| format!("{}: {} -> {}", rule.about, rule.class(from), rule.class(to));
    let all: Vec<String> = RULES.iter().filter(crossed).map(words).collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// The working with the classes of a mix, and what it crosses coming from its stock.
#[must_use]
pub fn with_classes(working: Working, stock: PercentWw, mix: PercentWw) -> Working {
    let mut working =
        RULES.iter().fold(working, |working, rule| working.words(rule.name, rule.class(mix)));
    for crossed in entered(stock, mix) {
        working = working.caution(format!("Crosses a class, {crossed}."));
    }
    if let Some(left) = left(stock, mix) {
        working = working.step("milder than what it is made of", left);
    }
    working.caution(ASK)
}

/// The classes of a solution.
///
/// # Errors
/// [`Absurd`] for more than pure peroxide.
pub fn class(strength: PercentWw) -> Result<Working, Absurd> {
    if strength.0 > 100.0 {
        return Err(Absurd::new("there is nothing over 100 %", "say it like `class 12%w/w`"));
    }
    let mut working = Working::new().figure("percent_ww", strength);
    for rule in RULES {
        let class = rule.class(strength);
        working = working
            .words(rule.name, class)
            .step(rule.about, format!("{} % w/w: {}", six(strength.0), rule.words(strength)))
            .source(rule.source, rule.known);
    }
    let classes: Vec<String> = RULES.iter().take(3).map(|rule| rule.words(strength)).collect();
    Ok(working
        .answer(format!("{} % w/w: {}", six(strength.0), classes.join("; ")))
        .caution(ASK)
        .caution("Limits are by mass: 12 % w/v (40 volume) is 11.5 % w/w."))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mix_says_what_it_crosses() {
        let (strong, weak) = (PercentWw(11.53), PercentWw(5.883));
        assert_eq!(
            left(strong, weak).unwrap(),
            "carriage: UN2984, class 5.1, packing group III -> not listed (under 8 %); fire code: \
             oxidiser class 1 -> no oxidiser class (under 8 %); eyes and skin: Eye Dam. 1 -> Eye \
             Irrit. 2"
        );
        assert!(entered(strong, weak).is_empty());
        assert_eq!(
            entered(PercentWw(3.0), PercentWw(6.0)),
            ["eyes and skin: under the limits (5 %) -> Eye Irrit. 2 (irritates eyes)"]
        );
        assert_eq!(left(PercentWw(3.0), PercentWw(4.99)), None);
    }

    #[test]
    fn a_class_never_gets_milder_with_strength() {
        for rule in RULES {
            let place = |strength: f64| {
                let class = rule.class(PercentWw(strength));
                rule.classes.iter().position(|(_, name, _)| *name == class)
            };
            let mut last = None;
            for tenth in 0..=1000_u32 {
                let now = place(f64::from(tenth) / 10.0);
                assert!(now >= last, "{} at {tenth}", rule.name);
                last = now;
            }
        }
    }
}
