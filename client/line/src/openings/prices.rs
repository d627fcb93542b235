//! Openings about money that is no plain payment: `421 tipped 10`, `knock 10 off 424`, `gave 0418 10 back`.

use burrline_terms::words::Means;

use super::{Line, is_money, is_tag, plain};
use crate::{amount, closed};

impl Line<'_> {
    /// `421 tipped 10`, `421 left a 10 tip`, `tip 10 421 cash`: a tip is charged as one and paid.
    pub(super) fn tip(&self) -> Option<Vec<String>> {
        let small = ["left", "gave", "us", "me", "a", "as", "for", "on", "with", "by", "of", "he"];
        let (mut tag, mut sum, mut means, mut tipped) = (None, None, None, false);
        for word in self.words {
            let bare = plain(word);
            let cash = Means::WORDS.contains(&bare.as_str());
            match bare.as_str() {
                "tip" | "tipped" | "tips" if !tipped => tipped = true,
                _ if small.contains(&bare.as_str()) => {}
                _ if cash && means.is_none() => means = Some(bare),
                _ if is_tag(&bare) && tag.is_none() => tag = Some(bare),
                _ if is_money(&bare) && sum.is_none() => {
                    sum = Some(bare.trim_start_matches('$').to_owned());
                }
                _ => return None,
            }
        }
        let (tag, sum) = tag.zip(sum).filter(|_| tipped)?;
        let charged = ["charge", &tag, &sum, "tip", ";"].map(str::to_owned);
        let paid = ["pay".to_owned(), tag, sum];
        Some(charged.into_iter().chain(paid).chain(means).collect())
    }

    /// `knock 10 off 424`, `took $10 off 424`: less is charged.
    pub(super) fn knocked_off(&self, first: &str) -> Option<Vec<String>> {
        let off = matches!(first, "knock" | "knocked" | "take" | "took" | "give" | "gave");
        let sum = self.words.get(1).filter(|sum| is_money(sum))?;
        let tag = self.words.get(3).filter(|tag| off && self.plain(2) == "off" && is_tag(tag))?;
        let why = self.rest(4);
        let why = match why {
            [lead, why @ ..] if matches!(plain(lead).as_str(), "for" | "because" | "-") => why,
            why => why,
        };
        // `took 433 off 434` is no sum.
        let tagged = !sum.starts_with('$') && is_tag(sum);
        let less = format!("-{}", sum.trim_start_matches('$'));
        (!tagged).then(|| {
            let what = if why.is_empty() { vec!["discount".to_owned()] } else { why.to_vec() };
            let tag = tag.trim_end_matches([',', ':']);
            Self::line(&["charge", tag, &less, "--what", &what.join(" ")], &[])
        })
    }

    /// `10 off 424`, `424 10 off`, `430 add 15 for glue`, `rush 430`: what is charged, said shortly.
    pub(super) fn more_or_less(&self) -> Option<Vec<String>> {
        let sum = |at: usize| {
            let word = self.words.get(at)?.trim_end_matches(',');
            (is_money(word) && (word.starts_with('$') || !is_tag(word)))
                .then(|| word.trim_start_matches('$').to_owned())
        };
        let tag = |at: usize| {
            let word = self.words.get(at)?.trim_end_matches([',', ':']);
            is_tag(word).then(|| word.to_owned())
        };
        let off = |tag: String, sum: &str, rest: &[String]| {
            let why = match rest {
                [lead, why @ ..] if matches!(plain(lead).as_str(), "for" | "because") => why,
                why => why,
            };
            let why = if why.is_empty() { "discount".to_owned() } else { why.join(" ") };
            Self::line(&["charge", &tag, &format!("-{sum}"), "--what", &why], &[])
        };
        if let Some((sum, tag)) = sum(0).zip(tag(2)).filter(|_| self.plain(1) == "off") {
            return Some(off(tag, &sum, self.rest(3)));
        }
        let first = tag(0)?;
        if let Some(sum) = sum(1).filter(|_| self.plain(2) == "off") {
            return Some(off(first, &sum, self.rest(3)));
        }
        let added = matches!(self.plain(1).as_str(), "add" | "added" | "plus");
        let sum = sum(2).filter(|_| added && self.words.len() > 3)?;
        let lead = usize::from(matches!(self.plain(3).as_str(), "for" | "-"));
        let what = self.rest(3_usize.saturating_add(lead));
        // `424 add 15 min` is no sum.
        let unit = what.first().is_some_and(|word| amount::is_unit(&plain(word)));
        (!what.is_empty() && !unit).then(|| Self::line(&["charge", &first, &sum], what))
    }

    /// `gave 0418 10 back cash`, `gave 10 back on 0418`: money back.
    pub(super) fn gave_back(&self, first: &str) -> Option<Vec<String>> {
        let back = (2..self.words.len()).find(|at| self.plain(*at) == "back");
        let back = back.filter(|_| matches!(first, "gave" | "give"))?;
        let sum = self.words.iter().any(|word| is_money(word) && !word.starts_with('0'));
        let tagged = self.words.iter().any(|word| is_tag(word));
        let means = self.words.iter().any(|word| Means::WORDS.contains(&plain(word).as_str()));
        // `give 10 back on 430`: a figure before the word is no tag.
        let means = means
            || (back == 2 && matches!(self.plain(3).as_str(), "on" | "for" | "to") && {
                self.words.get(1).is_some_and(|sum| is_money(sum) && !is_tag(sum))
            });
        let money = means || self.words.iter().any(|word| word.starts_with('$'));
        if !(sum && tagged && money) {
            return None;
        }
        // The skull stands in front, so that no figure is taken for it.
        let of = (1..self.words.len()).rev().find(|at| {
            self.words.get(*at).is_some_and(|word| is_tag(word) && !word.starts_with('$'))
        })?;
        let tag = self.plain(of);
        let small = |at: usize| {
            matches!(self.plain(at).as_str(), "on" | "for" | "to") && at.saturating_add(1) == of
        };
        let words = self.words.iter().enumerate().skip(1);
        let rest = words.filter(|(at, _)| *at != back && *at != of && !small(*at));
        let rest: Vec<String> = rest.map(|(_, word)| word.clone()).collect();
        Some(Self::line(&["refund", &tag], &rest))
    }

    /// `refund 10 430`, `pay $50 421 cash`: a sum that stands before its tag.
    pub(super) fn sum_before_tag(&self) -> Option<Vec<String>> {
        let verb = self.plain(0);
        let verb = closed::synonym(&verb).unwrap_or(&verb);
        if !matches!(verb, "pay" | "refund" | "charge" | "quote") {
            return None;
        }
        let sum = self.words.get(1)?.trim_end_matches(',');
        let small = usize::from(matches!(self.plain(2).as_str(), "on" | "for" | "to"));
        let at = 2_usize.saturating_add(small);
        let tag = self.words.get(at).filter(|tag| is_tag(tag) && !tag.contains('.'))?;
        let shown = is_money(sum) && (sum.len() < 3 || sum.starts_with('$') || sum.contains('.'));
        let next = self.words.get(at.saturating_add(1));
        let another = next.is_some_and(|next| is_money(next) || is_tag(next));
        (shown && !another).then(|| {
            let front = [verb, tag.trim_end_matches([',', ':']), sum];
            Self::line(&front, self.rest(at.saturating_add(1)))
        })
    }
}
