//! Openings about places and waters: `added 2 gal to pot-2`, `shut pot-1 off`, `strip says 3 % tub-1`.

use burrline_terms::Kind;

use super::{Line, is_money, is_tag, is_verb, plain};
use crate::{amount, makeup, several};

impl Line<'_> {
    /// `pot-2 boiling, turned down to 185`: the place holds for both.
    pub(super) fn place_and_verb(&self) -> Option<Vec<String>> {
        let place = self.place_at(0)?;
        let at = (1..self.words.len()).find(|at| {
            let comma =
                self.words.get(at.saturating_sub(1)).is_some_and(|word| word.ends_with(','));
            let next = self.plain(*at);
            let two = format!("{next}-{}", self.plain(at.saturating_add(1)));
            comma && (is_verb(&next) || is_verb(&two) || matches!(next.as_str(), "turned" | "shut"))
        })?;
        let next = self.plain(at);
        let (before, after) = self.words.split_at_checked(at)?;
        let tag = |word: &String| is_tag(word) && word.starts_with('0');
        if at < 2 || after.iter().any(|word| tag(word) || self.lexicon.place(word).is_some()) {
            return None;
        }
        let mut line = before.to_vec();
        if let Some(word) = line.last_mut() {
            *word = word.trim_end_matches(',').to_owned();
        }
        let two = format!("{next}-{}", self.plain(at.saturating_add(1)));
        let used = if is_verb(&two) { 2 } else { 1 };
        let verb = match (next.as_str(), used) {
            ("turned" | "shut", 1) => "heat".to_owned(),
            (_, 2) => two,
            (_, _) => next,
        };
        line.extend([";".to_owned(), verb, place]);
        line.extend(after.get(used..).unwrap_or_default().iter().cloned());
        Some(line)
    }

    /// `pulled 17 and 22 out of pot-2`: the place tells which two figures are meant.
    pub(super) fn out_of(&self, first: &str) -> Option<Vec<String>> {
        let out =
            matches!(first, "out" | "took" | "take" | "pulled" | "pull" | "lifted" | "removed");
        let at = self.words.len().checked_sub(1).filter(|at| *at > 2 && out)?;
        let place = self.place_at(at)?;
        let from = matches!(self.plain(at.checked_sub(1)?).as_str(), "of" | "from");
        let tags: Vec<String> = self
            .words
            .get(1..at.checked_sub(1)?)?
            .iter()
            .filter(|word| plain(word) != "out")
            .cloned()
            .collect();
        let only = tags.iter().all(|word| {
            let bare = word.trim_end_matches(',');
            several::is_skull(bare) || matches!(bare, "and" | "&" | "all")
        });
        (from && only && !tags.is_empty()).then(|| Self::line(&["out", &place], &tags))
    }

    /// `added 2 gal to pot-2`, `half cup soda in pot-2`, `add 15 to 0601 for skinning`.
    pub(super) fn added(&self, first: &str) -> Option<Vec<String>> {
        let added = matches!(first, "added" | "add" | "poured" | "put");
        let from = usize::from(added);
        if added
            && first != "put"
            && is_money(self.words.get(1)?)
            && matches!(self.plain(2).as_str(), "to" | "on")
            && is_tag(self.words.get(3)?)
        {
            let tag = self.words.get(3)?.trim_end_matches([',', ':']);
            let money = self.words.get(1)?.as_str();
            let text = usize::from(matches!(self.plain(4).as_str(), "for" | "-"));
            return Some(Self::line(
                &["charge", tag, money],
                self.rest(4_usize.saturating_add(text)),
            ));
        }
        let (at, place) = self.place()?;
        let into = matches!(self.plain(at.checked_sub(1)?).as_str(), "to" | "in" | "into");
        // `1 cup dish soap tank-1`.
        let last = at.saturating_add(1) == self.words.len();
        let before = if into { at.checked_sub(1)? } else { at };
        let what = self.words.get(from..before)?;
        let typed: Vec<&str> = what.iter().map(|word| word.trim_end_matches(',')).collect();
        let mark = self.lexicon.decimal_mark;
        let used =
            [Kind::Volume, Kind::Mass].into_iter().find_map(|kind| {
                match amount::amount(kind, &typed, mark) {
                    amount::Amount::Is { used, .. } => Some(used),
                    amount::Amount::No
                    | amount::Amount::Comma { .. }
                    | amount::Amount::Doubt { .. } => None,
                }
            })?;
        // `2 gal in pot-1` alone may be how it was filled.
        let said = added || typed.len() > used;
        let behind = self.rest(at.saturating_add(1));
        let stuff = typed.get(used..).is_some_and(|rest| {
            let of = usize::from(rest.first().is_some_and(|word| *word == "of"));
            makeup::is_stuff(rest.get(of..).unwrap_or_default()).is_some()
        });
        // `2 gal pot-1`: as `pot-1 2 gal`.
        if last && !into && !added && typed.len() == used {
            return Some(Self::line(&[&place], what));
        }
        ((into && said) || (last && stuff && !into))
            .then(|| Self::line(&["top-up", &place], &[what, behind].concat()))
    }

    /// `shut pot-1 off`, `killed the flame on pot-2`, `switched pot-1 on`.
    pub(super) fn flame(&self, first: &str) -> Option<Vec<String>> {
        let off = matches!(first, "shut" | "kill" | "killed");
        let turned = off || matches!(first, "turned" | "turn" | "switched" | "switch");
        let (at, place) = self.place().filter(|_| turned)?;
        let mut way = off.then_some("off");
        for (n, word) in self.words.iter().enumerate().take(at).skip(1) {
            match plain(word).as_str() {
                "off" => way = Some("off"),
                "down" => way = Some("down"),
                "on" if n == 1 && n.saturating_add(1) == at && !off => way = Some("lit"),
                "on" | "the" | "heat" | "flame" | "fire" | "burner" | "gas" | "under" | "of" => {}
                _ => return None,
            }
        }
        let mut rest = self.rest(at.saturating_add(1));
        if let Some((next, behind)) = rest.split_first() {
            let said = match plain(next).as_str() {
                "off" => Some("off"),
                "down" => Some("down"),
                "on" if !off => Some("lit"),
                _ => None,
            };
            if said.is_some() {
                (way, rest) = (said, behind);
            }
        }
        Some(Self::line(&["heat", &place, way?], rest))
    }

    /// `burner down pot-1`, `pot-1 burner off`, `boiling pot-1`: the flame, what was done to it, and where.
    pub(super) fn burner(&self, first: &str) -> Option<Vec<String>> {
        // `boiling 0417` may be what is done to a skull.
        if let Some(place) = self.place_at(1).filter(|_| first == "boiling") {
            return Some(Self::line(&["heat", &place, "boil"], self.rest(2)));
        }
        let flame = |word: &str| matches!(word, "burner" | "fire" | "flame" | "gas");
        if let Some(place) = self.place_at(0).filter(|_| flame(&self.plain(1))) {
            let is = usize::from(matches!(self.plain(2).as_str(), "is" | "now" | "turned"));
            let line = Line { words: self.rest(1), lexicon: self.lexicon };
            let way = line.way(is.saturating_add(1))?;
            return Some(Self::line(&["heat", &place, way], self.rest(is.saturating_add(3))));
        }
        if !matches!(first, "burner" | "fire" | "flame" | "gas" | "heat") {
            return None;
        }
        let way = self.way(1)?;
        let small = matches!(self.plain(2).as_str(), "on" | "under" | "at" | "in");
        let at = 2_usize.saturating_add(usize::from(small));
        let place = self.place_at(at)?;
        Some(Self::line(&["heat", &place, way], self.rest(at.saturating_add(1))))
    }

    /// What was done to a flame, by its usual word.
    fn way(&self, at: usize) -> Option<&'static str> {
        match self.plain(at).as_str() {
            "off" | "out" | "killed" => Some("off"),
            "down" | "low" => Some("down"),
            "on" | "lit" => Some("lit"),
            _ => None,
        }
    }

    /// `tub-1 + 1 qt 40 vol`, `pot-1 +3 gal`: what went in besides.
    pub(super) fn more_water(&self) -> Option<Vec<String>> {
        let place = self.place_at(0)?;
        let sign = self.words.get(1)?.strip_prefix('+')?;
        let amount = (!sign.is_empty()).then(|| sign.to_owned());
        let line = amount.into_iter().chain(self.rest(2).iter().cloned()).collect::<Vec<_>>();
        (!line.is_empty()).then(|| Self::line(&["top-up", &place], &line))
    }

    /// `strip says 3 % tub-1`, `tested tub-1 2.5 %`.
    pub(super) fn read_off(&self, first: &str) -> Option<Vec<String>> {
        let (at, place) = self.place()?;
        if first == "tested" && at == 1 {
            return Some(Self::line(&["reading", &place], self.rest(2)));
        }
        let says = matches!(self.plain(1).as_str(), "says" | "reads" | "read" | "shows");
        let strip = matches!(first, "strip" | "strips" | "meter" | "thermometer");
        if !(strip && says && at > 2) {
            return None;
        }
        let until = self.plain(at.saturating_sub(1));
        let small = usize::from(matches!(until.as_str(), "in" | "on" | "at" | "of" | "for"));
        let value = self.words.get(2..at.saturating_sub(small))?;
        let method: &[String] =
            if first.starts_with("strip") { &["strip".to_owned()] } else { &[] };
        let rest = [value, method, self.rest(at.saturating_add(1))].concat();
        Some(Self::line(&["reading", &place], &rest))
    }

    /// `topped pot-2 off with a gallon`.
    pub(super) fn topped(&self, first: &str) -> Option<Vec<String>> {
        let place = self.place_at(1).filter(|_| first == "topped")?;
        let off = matches!(self.plain(2).as_str(), "off" | "up");
        off.then(|| Self::line(&["top-up", &place], self.rest(3)))
    }
}
