//! Words that a line has in everyday speech, and that mean one thing there: where it came from, what it
//! is put there for, how many teeth, the number of a check, a wish about a part.
//!
//! What the record has no field for goes into a note beside the line, so that no word is lost.

use burrline_domain::{On, verb::FieldSpec};
use burrline_terms::{
    Kind, Tag,
    words::{Piece, Role, Wish},
};

use super::{super::several, Reader};
use crate::{Error, closed, doubt, openings, text};

/// What a head is put somewhere for.
const PURPOSES: &[&str] = &[
    "bleach",
    "bleaching",
    "cool",
    "cooling",
    "degrease",
    "degreasing",
    "dry",
    "drying",
    "rinse",
    "rinsing",
    "safekeeping",
    "simmer",
    "simmering",
    "soak",
    "soaking",
    "storage",
    "store",
    "thaw",
    "thawing",
    "whiten",
    "whitening",
];

/// Who collects in place of a customer, as it is said behind a name.
const KIN: &[&str] = &[
    "boss",
    "brother",
    "brother-in-law",
    "buddy",
    "cousin",
    "dad",
    "daughter",
    "father",
    "friend",
    "girlfriend",
    "boyfriend",
    "husband",
    "mom",
    "mother",
    "neighbor",
    "partner",
    "sister",
    "son",
    "uncle",
    "wife",
];

/// Words of a wish, or that turn what is seen: with one of them it is asked about.
const NO_CONDITION: &[&str] = &[
    "not", "no", "never", "for", "if", "leave", "keep", "want", "wants", "wanted", "return",
    "send", "call", "need", "needs", "please", "customer", "fix", "repair",
];

/// Words that say no more than that it was done before, too.
const AGAIN: &[&[&str]] = &[
    &["again"],
    &["anew"],
    &["once", "more"],
    &["once", "again"],
    &["one", "more", "time"],
    &["1", "more", "time"],
    &["a", "second", "time"],
    &["over"],
    &["over", "again"],
];

/// How often something was done in one go.
const TIMES: &[&[&str]] = &[
    &["twice"],
    &["2x"],
    &["x2"],
    &["2", "times"],
    &["two", "times"],
    &["3x"],
    &["x3"],
    &["3", "times"],
    &["three", "times"],
];

/// What a payment is called, beside its sum.
const PAYMENTS: &[&[&str]] = &[
    &["as", "deposit"],
    &["as", "a", "deposit"],
    &["deposit"],
    &["down"],
    &["down", "payment"],
    &["balance"],
    &["in", "full"],
    &["the", "rest"],
];

impl Reader<'_> {
    /// An everyday word, and how many words go with it.
    pub(super) fn everyday(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        if let Some(used) = self.came_from(at, typed)? {
            return Ok(Some(used));
        }
        let used = self
            .plain_noun(typed)
            .or_else(|| self.purpose(typed))
            .or_else(|| self.once_more(typed))
            .or_else(|| self.payment(typed))
            .or_else(|| self.several_of_a_piece(at, typed))
            .or_else(|| self.kin(typed))
            .or_else(|| self.years(typed))
            .or_else(|| self.agency(typed));
        if used.is_some() || self.spec.word != "take-in" {
            return Ok(used);
        }
        self.for_whom(at, typed)?;
        self.wish(at, typed)
    }

    /// Words for a note beside the line.
    fn note_beside(&mut self, text: &str) {
        self.sorted.noted = Some(match self.sorted.noted.take() {
            Some(before) => format!("{before}; {text}"),
            None => text.to_owned(),
        });
    }

    /// `skull` of `wash skull 0417`, `antlers` of `stained antlers 0417`, `back` of `back in pot-2`.
    fn plain_noun(&self, typed: &[&str]) -> Option<usize> {
        let verb = self.spec.word;
        let word = typed.first()?.to_lowercase();
        let next = typed.get(1).map(|next| next.to_lowercase()).unwrap_or_default();
        let tag = |word: &str| word.len() >= 3 && Tag::looks_like(word);
        let first = self.wants_skull() && self.sorted.skulls.is_empty();
        if first && matches!(word.as_str(), "skull" | "head" | "skulls" | "heads") && tag(&next) {
            return Some(1);
        }
        let of_head = matches!(word.as_str(), "skull" | "head");
        if verb == "take-in" && of_head && self.sorted.given.contains_key("species") {
            return Some(1);
        }
        if matches!(verb, "wrap" | "unwrap" | "stain") && openings::is_burr(&word) {
            let small = usize::from(matches!(next.as_str(), "on" | "of" | "for"));
            return Some(small.saturating_add(1));
        }
        // `change tank-1, was greasy`.
        let looks = self.open_field(|f| f.name == "old").and_then(|f| closed::list(self.spec, f));
        let looked = looks.is_some_and(|list| {
            typed.get(1..).is_some_and(|rest| closed::word_of(&list, rest).is_some())
        });
        if looked && matches!(word.as_str(), "was" | "looked" | "it") {
            return Some(1);
        }
        let back = word == "back" && matches!(verb, "in" | "glue" | "tie");
        // `tied the jaw on 0417`.
        let pieces = closed::OF_PIECES.contains(&verb) || verb == "damage";
        let piece = || typed.get(1..).is_some_and(|rest| crate::pieces::piece_at(rest).is_some());
        if pieces && word == "the" && piece() {
            return Some(1);
        }
        // `jaw tied on`.
        if verb == "tie" && word == "on" && next.is_empty() {
            return Some(1);
        }
        let on = next.is_empty()
            || matches!(next.as_str(), "in" | "on" | "into" | "to")
            || self.lexicon.place(&next).is_some()
            || tag(&next);
        if back && on {
            // `back on 0426`, where the piece that goes back on is already said.
            let small = matches!(next.as_str(), "in" | "on" | "to");
            // `nose glued back on`.
            let behind = typed.get(2).is_none_or(|word| tag(word));
            return Some(if small && behind { 2 } else { 1 });
        }
        (verb == "swap-tag" && word == "as" && tag(&next)).then_some(1)
    }

    /// `from pot-2` of `move 0426 from pot-2 to tank-1`: it says where the shop has it anyway.
    fn came_from(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        let used = match typed {
            [from, ..] if from.eq_ignore_ascii_case("from") => 1,
            [out, of, ..] if out.eq_ignore_ascii_case("out") && of.eq_ignore_ascii_case("of") => 2,
            _ => return Ok(None),
        };
        let Some(from) = typed.get(used).and_then(|word| self.lexicon.place(word)) else {
            return Ok(None);
        };
        let used = used.saturating_add(1);
        let others = || typed.get(used..).unwrap_or_default().iter();
        let to = others().any(|word| self.lexicon.place(word).is_some())
            || self.sorted.given.contains_key("place");
        if self.spec.word != "in" || !to {
            return Ok(None);
        }
        let later = others().filter(|word| word.len() >= 2 && several::is_skull(word));
        let tags: Vec<&str> =
            self.sorted.skulls.iter().map(String::as_str).chain(later.copied()).collect();
        let is_there = |tag: &&str| from.tags.iter().any(|t| several::is_short_for(tag, t));
        if self.lexicon.fresh && !tags.is_empty() && tags.iter().all(is_there) {
            return Ok(Some(used));
        }
        let line = self.replaced(at, used, &[]);
        Err(doubt::unclear(
            format!("in: nobody said that it is in {}; where is it now?", from.place),
            [doubt::as_line(line)],
        ))
    }

    /// `for whitening`, `to dry`: what it is put there for.
    fn purpose(&mut self, typed: &[&str]) -> Option<usize> {
        let [lead, what, ..] = typed else { return None };
        let lead = lead.to_lowercase();
        let said = self.spec.word == "in"
            && self.sorted.given.contains_key("place")
            && matches!(lead.as_str(), "for" | "to")
            && PURPOSES.contains(&what.to_lowercase().as_str());
        said.then(|| {
            self.note_beside(&format!("{lead} {what}"));
            2
        })
    }

    /// `again`, `once more`: a further record says so by itself. `twice` is noted beside it.
    fn once_more(&mut self, typed: &[&str]) -> Option<usize> {
        let deed = self.spec.role == Role::Bench
            && self.field(|f| matches!(f.kind(), Kind::Text | Kind::Line)).is_none()
            && !self.sorted.skulls.is_empty();
        let low: Vec<String> = typed.iter().take(4).map(|word| word.to_lowercase()).collect();
        let low: Vec<&str> = low.iter().map(String::as_str).collect();
        let said = |all: &[&[&str]]| {
            all.iter().filter(|words| low.starts_with(words)).map(|words| words.len()).max()
        };
        if !deed {
            return None;
        }
        if let Some(used) = said(AGAIN) {
            return Some(used);
        }
        let used = said(TIMES)?;
        self.note_beside(&low.get(..used)?.join(" "));
        Some(used)
    }

    /// `deposit`, `in full`, `check #1044`: what a payment was, beside its sum.
    fn payment(&mut self, typed: &[&str]) -> Option<usize> {
        if self.spec.word != "pay" || self.sorted.skulls.is_empty() {
            return None;
        }
        let low: Vec<String> = typed.iter().take(3).map(|word| word.to_lowercase()).collect();
        let low: Vec<&str> = low.iter().map(String::as_str).collect();
        let said = PAYMENTS.iter().filter(|words| low.starts_with(words)).max_by_key(|w| w.len());
        if let Some(words) = said {
            // What follows must say no more than how, how much and who.
            self.note_beside(&words.join(" "));
            return Some(words.len());
        }
        let check =
            self.sorted.given.get("means").is_some_and(|by| by.iter().any(|m| m == "check"));
        let named =
            usize::from(matches!(low.first().copied(), Some("number" | "no" | "no." | "nr")));
        let number = low.get(named)?.trim_start_matches('#');
        let marked = named > 0 || low.first().is_some_and(|word| word.starts_with('#'));
        let digits = number.len() >= 2 && number.bytes().all(|byte| byte.is_ascii_digit());
        (check && marked && digits).then(|| {
            self.note_beside(&format!("check #{number}"));
            named.saturating_add(1)
        })
    }

    /// `two teeth`, `2 teeth back in 0417`: a piece, and how many there are of it.
    fn several_of_a_piece(&mut self, at: usize, typed: &[&str]) -> Option<usize> {
        let of_pieces = closed::OF_PIECES.contains(&self.spec.word);
        let word = typed.first()?.to_lowercase();
        let count = ["one", "two", "three", "four", "five", "six", "a", "both", "left", "right"]
            .contains(&word.as_str())
            || (word.len() <= 2 && word.parse::<u8>().is_ok_and(|n| n > 0));
        let (piece, used) =
            crate::pieces::piece_at(typed.get(1..)?).filter(|_| of_pieces && count)?;
        // `left sheath` is one of two, with a name of its own.
        if crate::pieces::piece_at(typed).is_some_and(|(sided, two)| two == 2 && sided != piece) {
            return None;
        }
        let used = used.saturating_add(1);
        let many = matches!(piece, Piece::Teeth | Piece::Ears | Piece::Sheaths)
            && !matches!(word.as_str(), "a" | "both");
        let text = typed.get(..used)?.join(" ");
        let small = |word: &&&str| {
            matches!(word.to_lowercase().as_str(), "back" | "on" | "in" | "of" | "from" | "to")
        };
        let between = typed.get(used..)?.iter().take_while(small).count();
        let all = used.saturating_add(between);
        let used = match (self.sorted.skulls.as_mut_slice(), typed.get(all)) {
            // Right behind its tag.
            ([skull], _) if !skull.contains('/') && at > 0 => {
                skull.push('/');
                skull.push_str(piece.word());
                used
            }
            ([], Some(tag)) if tag.len() >= 3 && Tag::looks_like(tag) => {
                self.sorted.skulls.push(format!("{tag}/{}", piece.word()));
                all.saturating_add(1)
            }
            (_, _) => return None,
        };
        if many {
            self.note_beside(&text);
        }
        Some(used)
    }

    /// `his wife` behind a name.
    fn kin(&mut self, typed: &[&str]) -> Option<usize> {
        let field = self.open_field(|f| f.name == "words" && f.kind() == Kind::Text)?;
        let [whose, who, ..] = typed else { return None };
        let said = self.spec.word == "hand-over"
            && self.sorted.details.name.is_some()
            && matches!(whose.to_lowercase().as_str(), "his" | "her" | "their" | "the")
            && KIN.contains(&who.to_lowercase().as_str());
        said.then(|| {
            self.put(field.name, &format!("{whose} {who}"));
            2
        })
    }

    /// `2.5 years old`: an age in years.
    fn years(&mut self, typed: &[&str]) -> Option<usize> {
        let field = self.open_field(|f| f.name == "age")?;
        let [number, unit, rest @ ..] = typed else { return None };
        let figure = number.len() <= 4 && number.parse::<f64>().is_ok_and(|n| n > 0.0 && n < 40.0);
        let years =
            matches!(unit.to_lowercase().trim_end_matches('.'), "year" | "years" | "yr" | "yrs");
        let old = usize::from(rest.first().is_some_and(|word| word.eq_ignore_ascii_case("old")));
        (figure && years && self.spec.word == "take-in" && !self.sorted.skulls.is_empty()).then(
            || {
                self.put(field.name, &format!("{number} years"));
                old.saturating_add(2)
            },
        )
    }

    /// `for Ada Fenn`: whose a head is stands on the ticket of the visit.
    fn for_whom(&self, at: usize, typed: &[&str]) -> Result<(), Error> {
        let [lead, name, ..] = typed else { return Ok(()) };
        let person = matches!(lead.to_lowercase().as_str(), "for" | "from" | "customer")
            && name.starts_with(char::is_uppercase)
            && name.chars().all(char::is_alphabetic)
            && self.open_field(|f| f.name == "ticket").is_some();
        if !person {
            return Ok(());
        }
        let names = typed.iter().skip(1).take_while(|w| w.starts_with(char::is_uppercase)).count();
        let used = names.saturating_add(1);
        let line = self.replaced(at, used, &[]);
        let name = typed.get(1..used).unwrap_or_default().join(" ");
        Err(doubt::unclear(
            format!(
                "take-in: whose it is stands on the ticket: say `ticket \"{name}\"` first, or \
                 `--ticket` with the number of one that there is"
            ),
            [("it goes on the ticket of the visit that is open here".to_owned(), line)],
        ))
    }

    /// `on walnut plaque`: a usual word that ends a value begun with another.
    pub(super) fn usual_at_the_end(&mut self, field: &'static FieldSpec, word: &str) -> bool {
        let usual = closed::list(self.spec, field)
            .is_some_and(|list| list.contains(&word.to_lowercase().as_str()));
        let said = self.sorted.given.get_mut(field.name).and_then(|said| said.last_mut());
        match said.filter(|said| usual && !said.contains(' ')) {
            Some(said) => {
                *said = format!("{said} {word}");
                true
            }
            None => false,
        }
    }

    /// `officer-takes 0618 CPW`: an agency by its letters.
    fn agency(&mut self, typed: &[&str]) -> Option<usize> {
        let field = self.open_field(|f| f.name == "agency" && f.kind() == Kind::Open)?;
        let word = typed.first()?;
        let letters = (2..=6).contains(&word.len()) && word.chars().all(|c| c.is_ascii_uppercase());
        (letters
            && !text::is_negative(word)
            && self.spec.on == On::Skull
            && !self.sorted.skulls.is_empty())
        .then(|| {
            self.put(field.name, word);
            1
        })
    }

    /// `keep the jaw`, `leave off jaw`, `jaw wanted`, `no jaw`: what the customer wants of a part.
    fn wish(&mut self, at: usize, typed: &[&str]) -> Result<Option<usize>, Error> {
        if self.spec.word != "take-in" {
            return Ok(None);
        }
        let low: Vec<String> = typed.iter().take(5).map(|word| word.to_lowercase()).collect();
        let low: Vec<&str> = low.iter().map(String::as_str).collect();
        let (wish, before) = match low.as_slice() {
            ["keep" | "wants" | "want", ..] => (Some(Wish::Keep), 1),
            ["leave", "off", ..] => (Some(Wish::LeaveOff), 2),
            ["leave-off", ..] => (Some(Wish::LeaveOff), 1),
            ["no" | "without", ..] => (None, 1),
            _ => (None, 0),
        };
        // `leave the jaw off`.
        if let ["leave", rest @ ..] = low.as_slice()
            && let at_piece =
                usize::from(matches!(rest.first().copied(), Some("the" | "his" | "her")))
            && let Some((piece, used)) =
                crate::pieces::piece_at(rest.get(at_piece..).unwrap_or_default())
            && rest.get(at_piece.saturating_add(used)) == Some(&"off")
            && let Some(field) = self.open_field(|f| f.name == piece.word())
        {
            self.put(field.name, Wish::LeaveOff.word());
            return Ok(Some(at_piece.saturating_add(used).saturating_add(2)));
        }
        let the = usize::from(matches!(low.get(before).copied(), Some("the" | "his" | "her")));
        let from = before.saturating_add(the);
        let Some((piece, used)) = crate::pieces::piece_at(low.get(from..).unwrap_or_default())
        else {
            return Ok(None);
        };
        let Some(field) = self.open_field(|f| f.name == piece.word()) else { return Ok(None) };
        let used = from.saturating_add(used);
        if before == 0 {
            let behind = low.get(used..).unwrap_or_default();
            let kept = matches!(behind, ["wanted" | "too" | "kept", ..]);
            if kept {
                self.put(field.name, Wish::Keep.word());
            }
            return Ok(kept.then(|| used.saturating_add(1)));
        }
        let Some(wish) = wish else { return Err(self.lacks_or_left_off(at, used, field)) };
        // `keep jaw loose`, `keep sheaths loose`.
        let loose = low.get(used).is_some_and(|word| *word == "loose");
        let wish = if loose && wish == Wish::Keep { Wish::Loose } else { wish };
        self.put(field.name, wish.word());
        Ok(Some(used.saturating_add(usize::from(loose))))
    }

    /// `no jaw`: it came without one, or the customer wants none.
    fn lacks_or_left_off(&self, at: usize, used: usize, field: &'static FieldSpec) -> Error {
        let words = self.words.get(at..at.saturating_add(used)).unwrap_or_default().join(" ");
        let words = words.trim_end_matches(',');
        let left = Wish::LeaveOff.word();
        let mut choices =
            vec![(format!("{} {left}", field.name), self.with_field(at, used, field, left))];
        if let Some(condition) = self.open_field(|f| f.name == "condition") {
            choices.push((
                format!("condition \u{201c}{words}\u{201d}: it came without"),
                self.with_field(at, used, condition, words),
            ));
        }
        doubt::unclear(
            format!(
                "{}: does the customer want no {}, or has it none?",
                self.spec.word, field.name
            ),
            choices,
        )
    }

    /// `nose broken`, `- ear tag still on`, `shot through left eye`: what is seen of a head as it comes.
    pub(super) fn seen_at_take_in(&mut self, at: usize, typed: &[&str]) -> Option<usize> {
        let field = self.open_field(|f| f.name == "condition" && f.kind() == Kind::Text)?;
        if self.spec.word != "take-in" || self.sorted.skulls.is_empty() {
            return None;
        }
        let dash = matches!(*typed.first()?, "-" | "\u{2013}" | "\u{2014}");
        let from = usize::from(dash);
        let words = self.words.get(at.saturating_add(from)..)?;
        let hurt = words.iter().any(|word| several::says_hurt(word));
        let named = self.sorted.given.contains_key("species");
        let plain = words.iter().all(|word| {
            let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
            let figure = bare.len() >= 3 && bare.bytes().all(|b| b.is_ascii_digit());
            let turns = text::is_turning(bare) || self.lexicon.hand(bare).is_some();
            !figure && !turns
        });
        // Behind a dash all is text; without one the words must say that something is hurt.
        let turned = words.iter().any(|word| {
            let word = word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
            NO_CONDITION.contains(&word.as_str())
        });
        if !named || words.is_empty() || turned || !(dash || (hurt && plain)) {
            return None;
        }
        // What another field takes is none of the condition: `nose broken, skinned`.
        let typed: Vec<&str> = words.iter().map(|word| word.trim_end_matches(',')).collect();
        let other =
            (0..typed.len()).find(|n| self.of_any_kind(typed.get(*n..).unwrap_or_default()));
        let used = match other {
            None => words.len(),
            Some(n) if n > 0 && words.get(n.saturating_sub(1))?.ends_with(',') => n,
            Some(_) => return None,
        };
        let text = words.get(..used)?.join(" ");
        self.put(field.name, text.trim().trim_end_matches(','));
        Some(used.saturating_add(from))
    }
}
