//! What can hurt, and the verbs that go near it.
//!
//! The words remind; they do not teach. What holds is the label of what is used, the law where the
//! shop is, and licensed practice. From memory, as common practice.

use burrline_domain::Verb;
use burrline_reckon::mixes::{self, kinds::Kind};
use burrline_terms::{Amount, Stuff, words::Flame};

/// A danger of the trade.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Danger {
    /// Strong oxidiser.
    Peroxide,
    /// Soda and lye.
    Alkali,
    /// Bleach, ammonia and acids.
    Gas,
    /// What burns.
    Solvent,
    /// Hot water, flame and gas.
    Heat,
    /// Pressure washing.
    Pressure,
    /// What heads can carry.
    Disease,
    /// The sale of wildlife parts.
    Sale,
}

impl Danger {
    /// The caution.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Peroxide => {
                "Peroxide burns skin and eyes and feeds fire: gloves and goggles, add it to water, \
                 keep it from metal, heat and closed lids. The label and its data sheet decide."
            }
            Self::Alkali => {
                "Soda and lye eat aluminum and zinc and give off hydrogen, hot ones fast: stainless or \
                 sound enamel, goggles, never with acid. The label and its data sheet decide."
            }
            Self::Gas => {
                "Bleach, ammonia and acids give off gas that kills where two of them meet: one at a \
                 time, rinse between, open air. `reckon mix` tells; the label decides."
            }
            Self::Solvent => {
                "Solvents burn, and their vapor creeps to a flame: cold, open air, no pilot light, never \
                 with peroxide or bleach. The label and the local fire code decide."
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
            Self::Sale => {
                "Selling parts of wild animals is against the law in some places and for some animals, or \
                 needs a permit and papers, across a border more. Ask your wildlife agency before the sale."
            }
        }
    }

    /// Its word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Peroxide => "peroxide",
            Self::Alkali => "alkali",
            Self::Gas => "gas",
            Self::Solvent => "solvent",
            Self::Heat => "heat",
            Self::Pressure => "pressure",
            Self::Disease => "disease",
            Self::Sale => "sale",
        }
    }
}

/// The danger of what goes into a water, by the table of `reckon mix`.
fn of_stuff(add: &[Stuff]) -> Option<Danger> {
    if add.iter().any(Stuff::is_peroxide) {
        return Some(Danger::Peroxide);
    }
    let kinds: Vec<Kind> = add.iter().flat_map(|stuff| mixes::kinds(stuff.what.as_str())).collect();
    let holds = |of: &[Kind]| kinds.iter().any(|kind| of.contains(kind));
    let gas = [
        Kind::Bleach,
        Kind::PoolChlorine,
        Kind::Ammonia,
        Kind::StrongAcid,
        Kind::WeakAcid,
        Kind::Sulfuric,
        Kind::Fluoride,
        Kind::Formalin,
        Kind::Permanganate,
        Kind::Chlorinated,
    ];
    if holds(&gas) {
        Some(Danger::Gas)
    } else if holds(&[Kind::Ketone, Kind::Solvent, Kind::Alcohol]) {
        Some(Danger::Solvent)
    } else if holds(&[Kind::Lye, Kind::Soda]) {
        Some(Danger::Alkali)
    } else {
        None
    }
}

/// The danger that a verb goes near, if any.
#[allow(clippy::wildcard_enum_match_arm, reason = "a verb is a danger only where it says so")]
pub fn danger(verb: &Verb) -> Option<Danger> {
    match verb {
        Verb::Fill(fill) => of_stuff(&fill.add),
        Verb::TopUp(top) => of_stuff(&top.add),
        Verb::ReceiveStock(stock)
            if stock.stuff.is_peroxide() && !matches!(stock.stuff.amount, Amount::Count(_)) =>
        {
            Some(Danger::Peroxide)
        }
        Verb::Spent(spent) if spent.stuff.as_ref().is_some_and(Stuff::is_peroxide) => {
            Some(Danger::Peroxide)
        }
        Verb::Whiten(_) => Some(Danger::Peroxide),
        Verb::Heat(heat) if heat.how != Some(Flame::Off) => Some(Danger::Heat),
        Verb::Wash(_) => Some(Danger::Pressure),
        Verb::TakeIn(_) | Verb::Flesh(_) => Some(Danger::Disease),
        Verb::Sell(_) => Some(Danger::Sale),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_goes_in_says_its_own_danger() {
        let of = |stuff: &str| {
            let verb = Verb::read("fill", &|field: &str| match field {
                "place" => vec!["pot-1".to_owned()],
                "add" => vec![stuff.to_owned()],
                _ => Vec::new(),
            });
            danger(&verb.unwrap())
        };
        for (stuff, told) in [
            ("peroxide=1L@12%", Some(Danger::Peroxide)),
            ("washing-soda=100g", Some(Danger::Alkali)),
            ("ammonia=1L", Some(Danger::Gas)),
            ("acetone=1L", Some(Danger::Solvent)),
            ("soap=30mL", None),
        ] {
            assert_eq!(of(stuff), told, "{stuff}");
        }
    }
}
