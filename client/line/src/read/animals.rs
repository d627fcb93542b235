//! The animal of a head, and the word for its sex.

use burrline_terms::words::Sex;

use super::Reader;
use crate::Error;

impl Reader<'_> {
    /// An animal of the shop's list, with the word for its sex.
    pub(super) fn species(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let found = self.lexicon.species.find(typed);
        if found.used == 0 || !self.is_open_name("species") {
            return Ok(None);
        }
        let names: Vec<String> = found.species.iter().map(|s| s.name.to_string()).collect();
        let (sex, used) = (found.sex, found.used);
        match names.as_slice() {
            [] => Ok(None),
            [name] => {
                if let Some(two) = sex.and_then(|sex| self.two_sexes(at, sex)) {
                    return Err(two);
                }
                self.put("species", name);
                if let Some(sex) = sex.filter(|_| self.is_open_name("sex")) {
                    self.put("sex", sex.word());
                }
                Ok(Some(used))
            }
            many => Err(self.which_animal(at, used, sex, many)),
        }
    }

    /// The animal that an option names; as it is, where the list does not know it.
    pub(super) fn species_name(&self, value: &str) -> Option<String> {
        self.lexicon.species.one(value).map(|species| species.name.to_string())
    }

    /// `buck` beside `--sex female`.
    fn two_sexes(&self, at: usize, sex: Sex) -> Option<Error> {
        let said = self.sorted.given.get("sex").and_then(|said| said.first())?;
        let word = self.words.get(at).map_or("", String::as_str);
        (said != sex.word()).then(|| {
            Error::usage(format!(
                "{}: \u{201c}{word}\u{201d} is {}, and the line says {said} as well; say one",
                self.spec.word,
                sex.word()
            ))
        })
    }

    /// `bull` after the animal says its sex.
    pub(super) fn sex(&mut self, typed: &[&str]) -> Option<usize> {
        let species = self.sorted.given.get("species")?.first()?.clone();
        let word = typed.first()?;
        if !self.is_open_name("sex") {
            return None;
        }
        let together: Vec<&str> = species.split(' ').chain([*word]).collect();
        let found = self.lexicon.species.find(&together);
        let sex = found.sex.filter(|_| found.used == together.len())?;
        self.put("sex", sex.word());
        Some(1)
    }
}
