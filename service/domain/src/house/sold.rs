//! As what the lines of a price are sold, and which kinds of them are taxed.

use burrline_terms::field::{BadWord, Typed};

/// As what a line of a price is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sold {
    /// Work on the customer's own head.
    Labor,
    /// A thing that the customer takes home, such as a plaque.
    Goods,
    /// Sending it.
    Shipping,
    /// Keeping it.
    Storage,
    /// A gift to the hands: theirs, never taxed, and no sale.
    Tip,
    /// What was still owed in an older ledger: sold and taxed there, so never taxed here, and no sale.
    Balance,
}

impl Sold {
    /// Every kind.
    pub const ALL: [Self; 6] =
        [Self::Labor, Self::Goods, Self::Shipping, Self::Storage, Self::Tip, Self::Balance];

    /// Whether the shop sells it: a tip is the hands', and an old balance was sold before.
    pub const fn is_sale(self) -> bool {
        !matches!(self, Self::Tip | Self::Balance)
    }

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Labor => "labor",
            Self::Goods => "goods",
            Self::Shipping => "shipping",
            Self::Storage => "storage",
            Self::Tip => "tip",
            Self::Balance => "balance",
        }
    }
}

impl Typed for Sold {
    const HINT: &'static str = "SOLD-AS";

    fn read(word: &str) -> Result<Self, BadWord> {
        let bare = word.trim().to_lowercase();
        let all = Self::ALL.map(Self::word).join(", ");
        let found = Self::ALL.into_iter().find(|sold| sold.word() == bare);
        found.ok_or_else(|| BadWord::new(word, format!("one of: {all}")))
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// What words of a price line are sold as, where the shop set nothing else (common practice, no source).
pub const SOLD_AS: &[(&str, &str)] = &[
    ("shipping", "shipping"),
    ("postage", "shipping"),
    ("freight", "shipping"),
    ("delivery", "shipping"),
    ("sale", "goods"),
    ("plaque", "goods"),
    ("plaques", "goods"),
    ("stand", "goods"),
    ("hanger", "goods"),
    ("storage", "storage"),
    ("tip", "tip"),
    ("tips", "tip"),
    ("balance", "balance"),
];

/// The kinds of lines that are taxed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TaxedKinds(Vec<Sold>);

impl Default for TaxedKinds {
    fn default() -> Self {
        Self(vec![Sold::Labor, Sold::Goods, Sold::Shipping, Sold::Storage])
    }
}

impl Typed for TaxedKinds {
    const HINT: &'static str = "KINDS";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "kinds of lines: labor, goods, shipping, storage");
        let words = word.split([',', ' ']).map(str::trim).filter(|word| !word.is_empty());
        let kinds = words.map(Sold::read).collect::<Result<Vec<_>, _>>().map_err(|_| wrong())?;
        if kinds.is_empty() || kinds.iter().any(|sold| !sold.is_sale()) {
            Err(wrong())
        } else {
            Ok(Self(kinds))
        }
    }

    fn show(&self) -> String {
        self.0.iter().map(|sold| sold.word()).collect::<Vec<_>>().join(", ")
    }
}

impl TaxedKinds {
    /// Whether lines of a kind are taxed.
    pub fn takes(&self, sold: Sold) -> bool {
        self.0.contains(&sold)
    }
}
