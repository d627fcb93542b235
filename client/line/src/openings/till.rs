//! Openings of the till: `open till 200`, `took 300 to bank`, `pizza 22 from drawer`, `cards settled 642
//! fees 19.53`.

use burrline_terms::{Typed as _, words::Means};

use super::{Line, is_money, is_verb, plain};

/// `quote 0417 100 plus tax`: a price by hand with tax on top is told by its parts.
pub(super) fn plus_tax(words: &[String]) -> Option<Vec<String>> {
    let [line @ .., label, sum, plus, tax] = words else { return None };
    let quote =
        line.iter().chain([label]).any(|word| matches!(plain(word).as_str(), "quote" | "quoted"));
    if !(quote && is_money(sum) && plain(plus) == "plus" && plain(tax) == "tax") {
        return None;
    }
    let mut turned: Vec<String> = line.iter().chain([label]).cloned().collect();
    let labeled = label.chars().all(char::is_alphabetic)
        && !matches!(plain(label).as_str(), "quote" | "quoted");
    if labeled {
        turned.push(sum.clone());
    } else {
        turned.extend(["--lines".to_owned(), format!("work={}", sum.trim_start_matches('$'))]);
    }
    Some(turned)
}

/// `discount 0417 12`, `discount 0417 12 old customer`: the price is less by so much.
pub(super) fn discount(words: &[String]) -> Option<Vec<String>> {
    let [first, tag, sum, why @ ..] = words else { return None };
    let off = plain(first) == "discount" && super::is_tag(tag) && is_money(sum);
    let why = match why {
        [] => "discount".to_owned(),
        [lead, why @ ..] if plain(lead) == "for" && !why.is_empty() => why.join(" "),
        why => why.join(" "),
    };
    let less = format!("-{}", sum.trim_start_matches('$'));
    off.then(|| ["charge", tag, &less, "--what", &why].map(str::to_owned).to_vec())
}

/// `sold 0417 for 250 to Ida Brook, cash, with bill of sale`: the sale, and what was paid for it.
pub(super) fn sold(words: &[String]) -> Option<Vec<String>> {
    let [first, tag, rest @ ..] = words else { return None };
    if !(matches!(plain(first).as_str(), "sell" | "sold") && super::is_tag(tag)) {
        return None;
    }
    let mut rest: Vec<String> =
        rest.iter().map(|word| word.trim_end_matches([',', ';']).to_owned()).collect();
    let behind = rest.iter().position(|word| plain(word) == "for").map(|at| at.saturating_add(1));
    let at = behind.unwrap_or(0);
    let price = rest.get(at).filter(|sum| is_money(sum))?.trim_start_matches('$').to_owned();
    drop(rest.drain(at.saturating_sub(usize::from(behind.is_some()))..=at));
    let paid = paid_with(&mut rest);
    let mut line: Vec<String> =
        ["sell", tag.trim_end_matches([',', ':']), "--price", &price].map(str::to_owned).to_vec();
    let tag = line.get(1).cloned()?;
    let papers = rest.iter().position(|word| matches!(plain(word).as_str(), "with" | "papers"));
    let papers = papers.map(|at| rest.split_off(at)).unwrap_or_default();
    if rest.first().is_some_and(|word| plain(word) == "to") {
        let capital = |word: &&String| word.starts_with(char::is_uppercase);
        let name = rest.iter().skip(1).take_while(capital).count();
        let name: Vec<String> = rest.drain(..=name).skip(1).collect();
        line.extend(["--name".to_owned(), name.join(" ")]);
    }
    line.extend(rest);
    if let Some((_, what)) = papers.split_first() {
        line.extend(["--papers".to_owned(), what.join(" ")]);
    }
    if !paid.is_empty() {
        line.extend([";".to_owned(), "pay".to_owned(), tag, price]);
        line.extend(paid);
    }
    Some(line)
}

/// Takes the means of a payment out of words, with the number of a check behind it.
fn paid_with(words: &mut Vec<String>) -> Vec<String> {
    let money = |word: &String| Means::read(&plain(word)).is_ok_and(Means::is_money);
    let Some(at) = words.iter().position(money) else { return Vec::new() };
    let number = words.get(at.saturating_add(1)).is_some_and(|next| {
        plain(words.get(at).map_or("", String::as_str)) == "check"
            && next.bytes().all(|byte| byte.is_ascii_digit())
    });
    let led = at.checked_sub(1).filter(|before| {
        words.get(*before).is_some_and(|word| matches!(plain(word).as_str(), "by" | "in" | "paid"))
    });
    let paid: Vec<String> = words.drain(at..=at.saturating_add(usize::from(number))).collect();
    if let Some(before) = led {
        words.remove(before);
    }
    paid
}

impl Line<'_> {
    /// A line about the till, its verb in front.
    pub(super) fn of_till(&self, first: &str) -> Option<Vec<String>> {
        self.opened(first)
            .or_else(|| self.counted(first))
            .or_else(|| self.to_bank(first))
            .or_else(|| self.bank_to_till(first))
            .or_else(|| self.cards(first))
            .or_else(|| self.bought(first))
    }

    fn sum_at(&self, at: usize) -> Option<String> {
        let word = self.words.get(at)?.trim_end_matches(',');
        is_money(word).then(|| word.trim_start_matches('$').to_owned())
    }

    /// The one sum of the line, and where it stands.
    fn only_sum(&self) -> Option<(usize, String)> {
        let sums: Vec<(usize, String)> =
            (0..self.words.len()).filter_map(|at| Some((at, self.sum_at(at)?))).collect();
        match sums.as_slice() {
            [one] => Some(one.clone()),
            [] | [_, ..] => None,
        }
    }

    fn ends_with(&self, words: &[&str]) -> bool {
        let from = self.words.len().saturating_sub(words.len());
        self.words.len() >= words.len()
            && self.rest(from).iter().zip(words).all(|(word, wanted)| plain(word) == *wanted)
    }

    /// `open till 200`, `till starts with 185.50`.
    fn opened(&self, first: &str) -> Option<Vec<String>> {
        let second = self.plain(1);
        let opened =
            matches!((first, second.as_str()), ("open" | "opened" | "start", "till" | "drawer"))
                || (matches!(first, "till" | "drawer")
                    && matches!(
                        second.as_str(),
                        "starts" | "started" | "opens" | "opened" | "start"
                    ));
        let (at, sum) = self.only_sum().filter(|_| opened)?;
        (at.saturating_add(1) == self.words.len()).then(|| Self::line(&["float", &sum], &[]))
    }

    /// `till 384.45`, `till counted 384.45`, `count 7x20 3x10`, `drawer 7x20 3x10`.
    fn counted(&self, first: &str) -> Option<Vec<String>> {
        if !matches!(first, "till" | "drawer" | "count" | "counted" | "cash") {
            return None;
        }
        let till = matches!(
            self.plain(1).as_str(),
            "till" | "drawer" | "counted" | "count" | "is" | "has"
        );
        let rest = self.rest(1_usize.saturating_add(usize::from(till)));
        let coins = |word: &String| {
            let word = word.trim_end_matches(',').to_lowercase();
            let parts = word.split_once('x');
            parts.is_some_and(|(count, coin)| {
                count.parse::<u32>().is_ok() && coin.trim_start_matches('$').parse::<f64>().is_ok()
            })
        };
        let all = !rest.is_empty() && rest.iter().all(coins);
        let sum = (rest.len() == 1 && first != "count" && first != "cash")
            .then(|| rest.first().filter(|word| is_money(word)))
            .flatten();
        (all || sum.is_some()).then(|| Self::line(&["count-till"], rest))
    }

    /// `took 300 to bank`, `safe drop 300`.
    fn to_bank(&self, first: &str) -> Option<Vec<String>> {
        let (at, sum) = self.only_sum()?;
        let took = matches!(first, "took" | "take" | "moved" | "put") && at == 1;
        let where_to = ["bank", "safe"]
            .into_iter()
            .find(|place| self.ends_with(&["to", place]) || self.ends_with(&["to", "the", place]));
        let drop = matches!(
            (first, self.plain(1).as_str()),
            ("safe" | "bank", "drop" | "deposit" | "run")
        );
        // `took 200 out of till for bank`, `deposit 500 in bank`.
        let away = self.rest(at.saturating_add(1));
        let purse = ["bank", "safe"].into_iter().find(|place| self.ends_with(&[place]));
        let small = |word: &String| {
            let small = [
                "out", "of", "from", "the", "till", "drawer", "for", "in", "at", "into", "to",
                "bank", "safe",
            ];
            small.contains(&plain(word).as_str())
        };
        let banked = at == 1
            && matches!(first, "took" | "take" | "moved" | "deposit" | "deposited" | "banked");
        if let Some(purse) = purse.filter(|_| banked && away.iter().all(small)) {
            return Some(Self::line(&["pay-out", &sum, purse], &[]));
        }
        let why = match (took, where_to, drop) {
            (true, Some(place), _) if self.words.len() <= 5 => place,
            (_, _, true) if at == 2 && self.words.len() == 3 => first,
            _ => return None,
        };
        Some(Self::line(&["pay-out", &sum, why], &[]))
    }

    /// `put in 50 from bank`, `put in 50 ones from bank`.
    fn bank_to_till(&self, first: &str) -> Option<Vec<String>> {
        let (at, sum) = self.only_sum()?;
        let put =
            matches!((first, self.plain(1).as_str()), ("put" | "added" | "add", "in")) && at == 2;
        let from = self.ends_with(&["from", "bank"]) || self.ends_with(&["from", "the", "bank"]);
        (put && from).then(|| Self::line(&["pay-in", &sum, "bank"], &[]))
    }

    /// `cards settled 642.00 fees 19.53`.
    fn cards(&self, first: &str) -> Option<Vec<String>> {
        let cards = matches!(first, "cards" | "card" | "batch");
        let settled =
            matches!(self.plain(1).as_str(), "settled" | "batch" | "batched" | "closed" | "in");
        let sum = self.sum_at(2).filter(|_| cards && settled)?;
        let rest = match self.rest(3) {
            [fee, amount, more @ ..] if matches!(plain(fee).as_str(), "fee" | "fees") => {
                let bare = amount.trim_start_matches('$').to_owned();
                [vec!["fee".to_owned(), bare], more.to_vec()].concat()
            }
            rest => rest.to_vec(),
        };
        Some(Self::line(&["card-batch", &sum], &rest))
    }

    /// `pizza 22 from drawer`, `paid ups 24.50 from till`, `bought gloves 18.40 cash`, `38.50 peroxide 4
    /// gal 12%`.
    fn bought(&self, first: &str) -> Option<Vec<String>> {
        let till = [["from", "till"], ["from", "drawer"]].iter().any(|end| self.ends_with(end));
        let led = usize::from(matches!(first, "bought" | "paid" | "spent"));
        if till {
            let (at, sum) = self.only_sum()?;
            let behind = self.words.len().saturating_sub(2);
            let what =
                [self.words.get(led..at)?, self.words.get(at.saturating_add(1)..behind)?].concat();
            return (!what.is_empty()).then(|| Self::line(&["spent", &sum], &what));
        }
        if first == "bought" {
            let (at, sum) = self.only_sum().filter(|(at, _)| *at > 1)?;
            // The means stands right behind the sum.
            let what = [self.rest(at.saturating_add(1)), self.words.get(1..at)?].concat();
            return Some(Self::line(&["spent", &sum], &what));
        }
        // A sum with its cents, and no verb.
        let cents = first.split_once('.').is_some_and(|(_, cents)| cents.len() == 2);
        let sum = self.sum_at(0).filter(|_| cents && !is_verb(&self.plain(1)))?;
        let word = self.words.get(1)?.chars().next()?;
        word.is_alphabetic().then(|| Self::line(&["spent", &sum], self.rest(1)))
    }
}
