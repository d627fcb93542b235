//! The score of horns: each horn's length and its circumferences, less the differences of the kind.

use burrline_terms::{
    field::{BadWord, Typed},
    inches::Eighths,
};

use crate::{Absurd, Known, Value, Working};

/// The most circumferences that are taken of a horn: at the base and at each quarter.
pub const MOST: usize = 4;

const SAY: &str =
    "say it like `burrline reckon horn-score sheep length 35 2/8 34 6/8 c1 15 1/8 15 0/8`";
/// Field and Stream, read; it quotes a scorer of the club whose charts these are.
const SHEEP: &str = "differences are taken off in thickness, not in length: fieldandstream.com, How to \
                     score a bighorn sheep's horns; the same for every sheep: gohunt.com, How to \
                     accurately score bighorn sheep horns";
const OTHERS: &str = "the score charts of the Boone and Crockett Club: for goat, pronghorn and bison \
                      the length's difference is taken off too";

/// Whose horns, as far as it changes the score.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Horns {
    /// Sheep: broomed tips are no fault, so lengths that differ cost nothing.
    Sheep,
    /// Mountain goat.
    Goat,
    /// Pronghorn: the prongs count too.
    Pronghorn,
    /// Bison.
    Bison,
}

impl Horns {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Sheep, Self::Goat, Self::Pronghorn, Self::Bison];

    /// The word that is typed for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sheep => "sheep",
            Self::Goat => "goat",
            Self::Pronghorn => "pronghorn",
            Self::Bison => "bison",
        }
    }

    /// Whether what the sides of a measure are apart is taken off.
    fn takes_off(self, measure: &str) -> bool {
        self != Self::Sheep || measure != "length"
    }
}

impl Typed for Horns {
    const HINT: &'static str = "KIND";

    fn read(word: &str) -> Result<Self, BadWord> {
        Ok(match word.trim().to_lowercase().as_str() {
            "sheep" | "ram" | "bighorn" => Self::Sheep,
            "goat" | "goats" => Self::Goat,
            "pronghorn" | "antelope" => Self::Pronghorn,
            "bison" | "buffalo" => Self::Bison,
            _ => return Err(BadWord::new(word, "one of: sheep goat pronghorn bison")),
        })
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// A measure of both horns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Both {
    /// Its name: `length`, `c1` to `c4`, `prong`.
    pub name: String,
    /// Right.
    pub right: Eighths,
    /// Left.
    pub left: Eighths,
}

/// Gross and net of a pair of horns.
///
/// # Errors
/// [`Absurd`] without a length, for a measure of nothing, for a prong of what has none, and where the
/// kind was not said and the net hangs on it.
pub fn horn_score(kind: Option<Horns>, measures: &[Both]) -> Result<Working, Absurd> {
    let Some(length) = measures.iter().find(|both| both.name == "length") else {
        return Err(Absurd::new("the lengths of the horns are missing", SAY));
    };
    if kind != Some(Horns::Pronghorn) && measures.iter().any(|both| both.name == "prong") {
        return Err(Absurd::new(
            "only a pronghorn has prongs",
            "say `burrline reckon horn-score pronghorn length 14 2/8 14 0/8 prong 5 1/8 5 0/8`",
        ));
    }
    if kind.is_none() && length.right != length.left {
        return Err(Absurd::new(
            format!(
                "whose horns? The lengths are {} apart: for goat, pronghorn and bison that is taken \
                 off, for sheep it is not",
                length.right.apart(length.left)
            ),
            SAY,
        ));
    }
    // Where the lengths are alike every kind has the same net.
    let by = kind.unwrap_or(Horns::Sheep);
    let (mut gross, mut apart, mut working) = (0_i64, 0_i64, Working::new());
    for both in measures {
        let (right, left) = (both.right, both.left);
        if right.0 <= 0 || left.0 <= 0 {
            return Err(Absurd::new(format!("{} of nothing is none", both.name), SAY));
        }
        gross = gross.saturating_add(right.0).saturating_add(left.0);
        let differs = right.apart(left);
        let counts = by.takes_off(&both.name);
        apart = apart.saturating_add(if counts { differs.0 } else { 0 });
        let free = if counts || differs == Eighths::ZERO { "" } else { ", not taken off" };
        working = working
            .step(both.name.clone(), format!("right {right}, left {left}, apart {differs}{free}"));
    }
    let net = Eighths(gross.saturating_sub(apart));
    let (gross, apart) = (Eighths(gross), Eighths(apart));
    let whose = kind.map_or(String::new(), |kind| format!(" ({})", kind.word()));
    let working = working
        .answer(format!("gross {gross}, net {net}{whose}"))
        .words("gross", gross.to_string())
        .words("net", net.to_string())
        .words("apart", apart.to_string())
        .value("net_eighths", Value::Number(net.0.to_string().parse().unwrap_or(0.0)), "1/8 in")
        .step("gross", format!("sum of both columns = {gross}"))
        .step("net", format!("{gross} - {apart} = {net}"))
        .caution(
            "Only an official measurer gives an official score, after at least sixty days of drying. \
             Broken tips are measured to where they end.",
        );
    Ok(match by {
        Horns::Sheep => working.source(SHEEP, Known::Read),
        Horns::Goat | Horns::Pronghorn | Horns::Bison => working.source(OTHERS, Known::Memory),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both(name: &str, right: i64, left: i64) -> Both {
        Both { name: name.to_owned(), right: Eighths(right), left: Eighths(left) }
    }

    /// By arithmetic: 282 and 278 eighths, 121 and 120: 801 in all. Sheep: 1 apart in thickness, 800 are
    /// 100 0/8. Others: 5 apart, 796 are 99 4/8.
    /// Source for sheep: fieldandstream.com, How to score a bighorn sheep's horns.
    #[test]
    fn lengths_that_differ_cost_a_goat_and_not_a_sheep() {
        let pair = [both("length", 282, 278), both("c1", 121, 120)];
        let net = |kind| horn_score(Some(kind), &pair).unwrap().answer;
        assert_eq!(net(Horns::Sheep), "gross 100 1/8, net 100 0/8 (sheep)");
        for kind in [Horns::Goat, Horns::Pronghorn, Horns::Bison] {
            assert_eq!(net(kind), format!("gross 100 1/8, net 99 4/8 ({})", kind.word()));
        }
        let asked = horn_score(None, &pair).unwrap_err().to_string();
        assert!(asked.starts_with("whose horns? The lengths are 0 4/8 apart"), "{asked}");
    }

    #[test]
    fn where_the_lengths_are_alike_the_kind_does_not_matter() {
        let pair = [both("length", 280, 280), both("c1", 121, 120)];
        let net = |kind| horn_score(kind, &pair).unwrap().number("net_eighths");
        for kind in Horns::ALL {
            assert_eq!(net(None), net(Some(kind)));
        }
    }

    #[test]
    fn what_is_no_measure_of_horns_is_turned_down() {
        assert!(horn_score(Some(Horns::Sheep), &[both("c1", 121, 120)]).is_err());
        assert!(horn_score(Some(Horns::Sheep), &[both("length", 0, 120)]).is_err());
        let prongs = [both("length", 114, 114), both("prong", 41, 40)];
        assert!(horn_score(Some(Horns::Goat), &prongs).is_err());
        assert!(horn_score(Some(Horns::Pronghorn), &prongs).is_ok());
    }
}
