//! Kinds of animals that take alike.

/// A kind of animal; heads of one kind take alike times and go wrong alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Deer of middle size.
    Deer,
    /// Elk and caribou.
    Elk,
    /// Moose.
    Moose,
    /// Bears: greasy.
    Bear,
    /// Pigs: greasy.
    Hog,
    /// Animals with horn sheaths.
    Horned,
    /// Small carnivores and the like.
    Small,
    /// Anything else, and what nobody said.
    Other,
}

impl Group {
    /// Every kind.
    pub const ALL: &'static [Self] = &[
        Self::Deer,
        Self::Elk,
        Self::Moose,
        Self::Bear,
        Self::Hog,
        Self::Horned,
        Self::Small,
        Self::Other,
    ];

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Deer => "deer",
            Self::Elk => "elk",
            Self::Moose => "moose",
            Self::Bear => "bear",
            Self::Hog => "hog",
            Self::Horned => "horned",
            Self::Small => "small",
            Self::Other => "other",
        }
    }

    /// The kind of a species, by its name (common practice, no source).
    pub fn of(species: &str) -> Self {
        let name = species.to_lowercase();
        let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
        if has(&["elk", "wapiti", "caribou", "reindeer"]) {
            Self::Elk
        } else if has(&["moose"]) {
            Self::Moose
        } else if has(&["bear"]) {
            Self::Bear
        } else if has(&["hog", "boar", "pig", "javelina"]) {
            Self::Hog
        } else if has(&["whitetail", "white-tail", "mule", "blacktail", "deer", "roe", "sika"]) {
            Self::Deer
        } else if has(&["antelope", "pronghorn", "sheep", "goat", "cow", "bison", "bull", "oryx"]) {
            Self::Horned
        } else if has(&["coyote", "bobcat", "fox", "raccoon", "badger", "otter", "beaver", "cat"]) {
            Self::Small
        } else {
            Self::Other
        }
    }
}

impl std::fmt::Display for Group {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_species_is_of_the_kind_that_its_name_says() {
        for (species, group) in [
            ("Whitetail", Group::Deer),
            ("mule deer", Group::Deer),
            ("black bear", Group::Bear),
            ("wild boar", Group::Hog),
            ("bighorn sheep", Group::Horned),
            ("bobcat", Group::Small),
            ("walrus", Group::Other),
            ("", Group::Other),
        ] {
            assert_eq!(Group::of(species), group, "{species}");
        }
    }
}
