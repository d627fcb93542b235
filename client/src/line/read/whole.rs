//! What a line lacks or has too much of as a whole.

use burrline_terms::Typed as _;
use burrline_terms::{Kind, Skull, words::Piece};

use super::Reader;
use crate::{
    Error,
    line::{closed, doubt, unclear::Unclear},
};

impl Reader<'_> {
    /// What a line lacks or has too much of as a whole.
    pub(super) fn whole(&self) -> Result<(), Error> {
        let given = |name: &str| self.sorted.given.get(name).and_then(|words| words.first());
        let verb = self.spec.word;
        let says = |words: String| Err(Error::Unclear(Unclear::without_choice(words)));
        if verb == "take-in"
            && self.sorted.given.contains_key("hide_on")
            && given("arrival").is_some_and(|state| matches!(state.as_str(), "skinned" | "bare"))
        {
            return says(format!("{verb}: is the hide on, or is it skinned? Say one of the two"));
        }
        if verb == "take-in"
            && let Some(piece) = self.sorted.skulls.iter().find(|skull| skull.contains('/'))
        {
            return says(format!(
                "{verb}: {piece} is a piece; a head is taken in by its tag alone"
            ));
        }
        if closed::OF_PIECES.contains(&verb)
            && let Some(skull) = self.sorted.skulls.iter().find(|skull| !skull.contains('/'))
            && Skull::read(skull).is_ok_and(|skull| skull.piece == Piece::Skull)
        {
            return says(format!(
                "{verb}: which piece of {skull}? Say it behind each tag, as in `{verb} {skull} nose`"
            ));
        }
        let nothing =
            |names: &[&str]| names.iter().all(|name| !self.sorted.given.contains_key(*name));
        if verb == "top-up" && nothing(&["water", "add"]) {
            return says(format!("{verb}: what went in? As in `top-up tub-1 1 qt 12 %`"));
        }
        if verb == "roll-call" && nothing(&["tags"]) {
            return says(format!("{verb}: which tags are there? Say every one"));
        }
        if let Some(error) = self.impossible() {
            return Err(error);
        }
        self.one_for_several()
    }

    /// `each`, said with several skulls.
    pub(super) fn is_each(&mut self, word: &str) -> bool {
        let each = matches!(word.to_lowercase().as_str(), "each" | "apiece")
            && self.sorted.skulls.len() > 1;
        self.each = self.each || each;
        each
    }

    /// One sum, weight or length for several skulls: it may be meant for all of them together.
    fn one_for_several(&self) -> Result<(), Error> {
        let skulls = &self.sorted.skulls;
        let one = |kind| matches!(kind, Kind::Money | Kind::Mass | Kind::Length);
        let mut fields = self.spec.fields.iter().filter(|field| one(field.kind()));
        let said = fields.find_map(|field| self.sorted.given.get(field.name)?.first());
        let Some(said) = said.filter(|_| skulls.len() > 1 && !self.each) else { return Ok(()) };
        let mut words = self.words.to_vec();
        words.push("each".to_owned());
        let line = doubt::whole_line(self.spec, &[], &self.options, &words);
        Err(doubt::unclear(
            format!(
                "{}: is it {said} for each of {}? For all of them together, say a line for each with \
                 its part",
                self.spec.word,
                crate::standing::words::and(skulls)
            ),
            [(format!("{said} for each"), line)],
        ))
    }
}
