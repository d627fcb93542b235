//! Which skulls a line is about, and at which place.

use burrline_domain::{On, verb::FieldSpec};
use burrline_terms::{
    Arity, EntryName, Kind, Skull, Tag, Typed as _,
    words::{Piece, Role},
};

use super::Reader;
use crate::{Error, closed, fit, lexicon::PlaceHere, remark, several::is_short_for};

impl Reader<'_> {
    /// A tag, a job number, or a tag with its job and piece; `?` for a skull whose tag is gone.
    pub(super) fn skull_or_tag(
        &mut self,
        at: usize,
        typed: &[&str],
    ) -> Result<Option<usize>, Error> {
        let Some(&word) = typed.first() else { return Ok(None) };
        if self.wants_skull() && matches!(word, "?" | Skull::UNTAGGED) && !self.tags_end {
            self.sorted.skulls.push(word.to_owned());
            return Ok(Some(1));
        }
        if let Some(tags) = self.written_tags(word) {
            self.sorted.skulls.extend(tags);
            return Ok(Some(1));
        }
        if self.entry(word) {
            return Ok(Some(1));
        }
        let first = word.split('/').next().unwrap_or_default();
        // A job number with a wrong check digit is one: what is wrong with it is told when it is read.
        let job = EntryName::looks_like(first);
        let some_skull = !self.sorted.skulls.is_empty();
        let place = self.open_place() && self.lexicon.place(word).is_some();
        if self.tags_end || place || !(Skull::read(word).is_ok() || job) {
            return Ok(None);
        }
        // `promise 0417 18 dec`, `promise 0417 10 days`.
        let day = self.open_field(|f| f.kind() == Kind::Day && f.arity == Arity::One);
        let is_day = |field| fit::fit(self.spec, field, typed, self.lexicon).used() > 1;
        let dated = word.bytes().filter(|byte| *byte == b'-').count() == 2;
        if some_skull && day.is_some_and(|field| is_day(field) || (dated && !job)) {
            return Ok(None);
        }
        if !some_skull && (self.is_amount_first(at, word) || self.is_amount_before_tags(typed)) {
            return Ok(None);
        }
        if some_skull && (self.could_be_a_number(word) || self.is_of_a_unit(at, typed)?) {
            return Ok(None);
        }
        if some_skull && let Some(doubt) = self.further_tag(at, typed) {
            return Err(doubt);
        }
        if let Some(digits) = word.strip_prefix(['O', 'o']).filter(|_| Tag::looks_like(word)) {
            return Err(self.letter_o(at, word, digits));
        }
        let tag = self.open_field(|f| f.kind() == Kind::Tag);
        match tag {
            // `swap-tag OLD NEW` and `roll-call PLACE TAG...`.
            Some(field) if (some_skull || !self.wants_skull()) && Tag::looks_like(word) => {
                self.put(field.name, word);
                Ok(Some(1))
            }
            Some(_) | None if self.wants_skull() => {
                if some_skull && self.takes_one_skull() {
                    return Err(self.one_too_many(at, word));
                }
                self.sorted.skulls.push(word.to_owned());
                Ok(Some(1))
            }
            Some(_) | None => Ok(None),
        }
    }

    /// `pay 50 cash 0417`: the verb wants money, and the tag with its nought comes later.
    fn is_amount_first(&self, at: usize, word: &str) -> bool {
        let money = self.open_field(|f| f.kind() == Kind::Money && f.arity == Arity::One).is_some();
        let plain = |word: &str| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit());
        let later = self.words.get(at.saturating_add(1)..).unwrap_or_default();
        let later = || later.iter().map(|word| word.trim_end_matches(','));
        let tag = |word: &str| word.len() >= 3 && word.starts_with('0') && plain(word);
        let other = |word: &str| {
            !word.starts_with('0')
                && word.trim_start_matches('$').starts_with(|c: char| c.is_ascii_digit())
        };
        money && plain(word) && !word.starts_with('0') && later().any(tag) && !later().any(other)
    }

    /// `all` in place of tags: every skull of the place that the line names.
    pub(super) fn is_all(&self, word: &str) -> bool {
        let all = matches!(word.to_lowercase().as_str(), "all" | "everything");
        all && self.wants_skull() && self.spec.on == On::Skull && self.sorted.skulls.is_empty()
    }

    /// `nose 417`: the piece in front of its tag.
    pub(super) fn piece_of(&mut self, typed: &[&str]) -> Option<usize> {
        let (piece, used) = crate::pieces::piece_at(typed)?;
        // `nose back on 0426`, `jaw of 0431`.
        let small = |word: &&&str| {
            let word = word.to_lowercase();
            matches!(word.as_str(), "back" | "on" | "in" | "of" | "from" | "to" | "the")
        };
        let between = typed.get(used..)?.iter().take_while(small).count();
        let used = used.saturating_add(between);
        let tag = typed.get(used)?;
        let first = self.sorted.skulls.is_empty() && self.wants_skull() && self.takes_piece();
        let of = first && !self.is_open_name(piece.word());
        let of = of && Tag::looks_like(tag) && Skull::read(tag).is_ok();
        of.then(|| {
            self.sorted.skulls.push(format!("{tag}/{}", piece.word()));
            used.saturating_add(1)
        })
    }

    /// `#417`, `417.`, `417,422`: tags as they are written elsewhere.
    fn written_tags(&self, word: &str) -> Option<Vec<String>> {
        let bare = word.strip_prefix('#').unwrap_or(word).trim_end_matches(['.', ':']);
        let parts: Vec<&str> = bare.split([',', '+', '&']).collect();
        let tag = |part: &&str| part.len() >= 3 && part.bytes().all(|byte| byte.is_ascii_digit());
        let written = bare != word || parts.len() > 1;
        let first = self.wants_skull() && self.sorted.skulls.is_empty();
        (first && written && parts.iter().all(tag))
            .then(|| parts.into_iter().map(str::to_owned).collect())
    }

    /// `but 31` behind `all`: those that stay.
    pub(super) fn all_but(&mut self, typed: &[&str]) -> Option<usize> {
        let but = matches!(typed.first()?.to_lowercase().as_str(), "but" | "except");
        let joins = |word: &str| matches!(word.to_lowercase().as_str(), "and" | "&" | "+");
        let named = typed.iter().skip(1).take_while(|word| Tag::looks_like(word) || joins(word));
        let used = named.clone().count().saturating_add(1);
        let tags: Vec<String> =
            named.filter(|word| !joins(word)).map(|word| (*word).to_owned()).collect();
        if !but || !self.sorted.all || tags.is_empty() {
            return None;
        }
        self.sorted.but = tags;
        Some(used)
    }

    /// A number after the tags that is hardly one: a time, one or two figures, or any number where a
    /// count or a sum is as likely.
    fn further_tag(&self, at: usize, typed: &[&str]) -> Option<Error> {
        let word = typed.first()?;
        let half = typed.get(1).is_some_and(|half| is_half_of_the_day(half));
        if word.contains(':') || half {
            return Some(self.time_or_job(at, word, half));
        }
        let plain = !word.starts_with('0') && word.bytes().all(|byte| byte.is_ascii_digit());
        let next_is_tag = typed.get(1).is_none_or(|next| Tag::looks_like(next));
        let short = word.len() <= 2 && self.sorted.scope.is_none() && !self.lexicon.short_tags;
        let counter = self.spec.role != Role::Bench && self.spec.on == On::Skull;
        // `agree 413 210` says what was agreed to, whether or not 0210 is here; `hand-over 418 419` takes
        // no figure.
        let here = |place: &PlaceHere| place.tags.iter().any(|tag| is_short_for(word, tag));
        let known = next_is_tag && self.lexicon.places.iter().any(here);
        let counter = counter && !(known && self.spec.word != "agree");
        let text = self.free_text().is_some() && !next_is_tag;
        let to_come =
            self.open_field(|f| f.kind() == Kind::Tag || f.kind() == Kind::Money).is_some();
        if remark::begins_a_sentence(self.spec.word, typed.get(1)) {
            let text = self.free_text()?;
            return Some(self.tag_or_text(at, word, text));
        }
        // `x2` and `0` are as often a count.
        let mut letters = word.chars();
        let times = word.len() <= 3
            && letters.next().is_some_and(|first| first.eq_ignore_ascii_case(&'x'))
            && letters.all(|c| c.is_ascii_digit());
        if times || word.bytes().all(|byte| byte == b'0') {
            return Some(self.number_or_tag(at, word));
        }
        (plain && !to_come && (short || counter || text)).then(|| self.number_or_tag(at, word))
    }

    /// `K-1042` after the tag: as likely the number of a paper or the mark on a bag as a further tag.
    fn could_be_a_number(&self, word: &str) -> bool {
        let open = |f: &FieldSpec| f.kind() == Kind::Open && closed::list(self.spec, f).is_none();
        let letter = word.starts_with(|c: char| c.is_ascii_alphabetic());
        let doubtful = letter || (self.spec.word == "papers" && !word.starts_with('0'));
        doubtful && self.open_field(open).is_some()
    }

    /// A verb whose other field is a tag is about one skull.
    fn takes_one_skull(&self) -> bool {
        let one =
            |f: &FieldSpec| f.arity == Arity::One && matches!(f.kind(), Kind::Tag | Kind::Entry);
        self.field(one).is_some()
    }

    /// `3:41`, for a field that takes the name of an entry.
    fn entry(&mut self, word: &str) -> bool {
        let wants_skull = self.wants_skull() && self.sorted.skulls.is_empty();
        if wants_skull || EntryName::read(word).is_err() {
            return false;
        }
        let field = self.open_field(|f| f.kind() == Kind::Entry);
        if let Some(field) = field {
            self.put(field.name, word);
        }
        field.is_some()
    }

    /// `jaw` right after the tag that it belongs to.
    pub(super) fn piece(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        // `skull plate cracked` is no piece, and `teeth` of a look are how they hold.
        let piece =
            crate::pieces::piece_at(typed).filter(|(piece, _)| !self.is_open_name(piece.word()));
        // What is measured of a tusk has its name.
        let piece = piece.filter(|(piece, _)| self.spec.word != "measure" || !piece.is_tusk());
        let Some((piece, used)) = piece.filter(|_| self.takes_piece()) else { return Ok(None) };
        let word = piece.word();
        let whole = |skull: &String| !skull.split('/').any(|part| Piece::read(part).is_ok());
        if !self.sorted.skulls.last().is_some_and(whole) {
            return Ok(None);
        }
        let comma = at.checked_sub(1).and_then(|before| self.words.get(before));
        let comma = comma.is_some_and(|before| before.ends_with(','));
        let several = self.sorted.skulls.iter().filter(|skull| whole(skull)).count() > 1;
        // Only a piece can be damaged or bagged; of the rest, the whole skulls may be meant as well.
        let of_each = closed::OF_PIECES.contains(&self.spec.word) || self.spec.word == "damage";
        if comma || (several && !of_each) {
            return Err(self.which_piece(at, used, word));
        }
        for skull in self.sorted.skulls.iter_mut().filter(|skull| whole(skull)) {
            skull.push('/');
            skull.push_str(word);
        }
        Ok(Some(used))
    }

    /// Work at the bench can be on a piece; what is said of a whole head is not.
    fn takes_piece(&self) -> bool {
        self.spec.on == On::Skull
            && self.spec.role == Role::Bench
            && !matches!(
                self.spec.word,
                "note"
                    | "inspect"
                    | "photograph"
                    | "identify"
                    | "recognize"
                    | "clip-tag"
                    | "swap-tag"
                    | "condition"
            )
    }

    /// A place: for the field that takes one, or the one that the line is about.
    pub(super) fn place_word(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let Some(&word) = typed.first() else { return Ok(None) };
        // A hyphen does not count in a place, but alone it may be the sign of what follows.
        let two = typed.get(..2).filter(|two| !two.contains(&"-")).map(<[&str]>::concat);
        let two = two.and_then(|two| self.lexicon.place(&two));
        let used = if two.is_some() { 2 } else { 1 };
        let known = two.or_else(|| self.lexicon.place(word)).map(|here| here.place.clone());
        let said = self.sorted.given.get("place").and_then(|place| place.first());
        if let (Some(first), Some(second)) = (said.or(self.sorted.scope.as_ref()), &known) {
            return Err(self.two_places(first, second));
        }
        if let Some(field) = self.required_place() {
            let some = self.lexicon.known && !self.lexicon.places.is_empty();
            let place = match known {
                Some(place) => place,
                None if some && self.of_any_kind(typed) => return Ok(None),
                None if some => return Err(self.no_place(at, word)),
                None => word.to_owned(),
            };
            self.put(field.name, &place);
            return Ok(Some(used));
        }
        if let Some(field) = self.open_field(|f| f.kind() == Kind::Place)
            && let Some(place) = &known
        {
            self.put(field.name, place);
            return Ok(Some(used));
        }
        let free = self.spec.on == On::Skull && self.sorted.scope.is_none();
        // `out 417 of pot-2`: behind the tags a place is where they were.
        let from = at.checked_sub(1).and_then(|before| self.words.get(before));
        let from = from.is_some_and(|word| matches!(word.as_str(), "of" | "from"));
        match known.filter(|_| free && (from || self.sorted.skulls.is_empty())) {
            Some(place) => {
                self.sorted.scope = Some(place);
                Ok(Some(used))
            }
            None => Ok(None),
        }
    }
}

/// `am` or `pm`, which belong to the time before them.
fn is_half_of_the_day(word: &str) -> bool {
    matches!(word.to_lowercase().replace('.', "").as_str(), "am" | "pm")
}
