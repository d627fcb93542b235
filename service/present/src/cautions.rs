//! What can hurt, and the verbs that go near it.
//!
//! The words remind; they do not teach. What holds is the label of what is used, the law where the
//! shop is, and licensed practice. From memory, as common practice.

use burrline_domain::Verb;
use burrline_terms::{Amount, Stuff, words::Flame};

/// A danger of the trade.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Danger {
    /// Strong oxidiser.
    Peroxide,
    /// Hot water, flame and gas.
    Heat,
    /// Pressure washing.
    Pressure,
    /// What heads can carry.
    Disease,
}

impl Danger {
    /// The caution.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Peroxide => {
                "Peroxide burns skin and eyes and feeds fire: gloves and goggles, add it to water, \
                 keep it from metal, heat and closed lids. The label and its data sheet decide."
            }
            Self::Heat => {
                "Hot water and flame: long gloves, a stable stand, fresh air for the burner, nobody \
                 leaves a lit pot. The burner's manual and the local fire code decide."
            }
            Self::Pressure => {
                "A pressure jet cuts and throws bone: face shield, boots, never at a hand. The \
                 machine's manual decides; see a doctor at once if the jet broke skin."
            }
            Self::Disease => {
                "A raw head can carry disease: gloves, mask, clean the blade, keep brain and waste \
                 apart. The wildlife agency, the health office and a doctor decide, not this line."
            }
        }
    }

    /// Its word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Peroxide => "peroxide",
            Self::Heat => "heat",
            Self::Pressure => "pressure",
            Self::Disease => "disease",
        }
    }
}

/// The danger that a verb goes near, if any.
#[allow(clippy::wildcard_enum_match_arm, reason = "a verb is a danger only where it says so")]
pub fn danger(verb: &Verb) -> Option<Danger> {
    match verb {
        Verb::Fill(fill) if fill.add.iter().any(Stuff::is_peroxide) => Some(Danger::Peroxide),
        Verb::TopUp(top) if top.add.iter().any(Stuff::is_peroxide) => Some(Danger::Peroxide),
        Verb::ReceiveStock(stock)
            if stock.stuff.is_peroxide() && !matches!(stock.stuff.amount, Amount::Count(_)) =>
        {
            Some(Danger::Peroxide)
        }
        Verb::Whiten(_) => Some(Danger::Peroxide),
        Verb::Heat(heat) if heat.how != Some(Flame::Off) => Some(Danger::Heat),
        Verb::Wash(_) => Some(Danger::Pressure),
        Verb::TakeIn(_) | Verb::Flesh(_) => Some(Danger::Disease),
        _ => None,
    }
}
