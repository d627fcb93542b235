//! Kinds of animals that take alike.

pub use crate::words::Group;

use crate::species::SpeciesList;

impl Group {
    /// The kind of an animal by its name, as the built-in list has it; a shop's own animals are known
    /// to [`State::group_of`](crate::State::group_of).
    pub fn of(species: &str) -> Self {
        SpeciesList::builtin().group(species)
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
            ("big whitetail from the north fence", Group::Deer),
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
