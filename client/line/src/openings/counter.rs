//! Openings of the counter: `new customer Ray Coker`, `took 75 cash for 0601`, `kill tag 0604 88-1209`.

use burrline_terms::words::Means;

use super::{Line, PAPERS, is_money, is_tag, is_verb, plain};

impl Line<'_> {
    /// `new customer Ray Coker`, `new head 0604 whitetail`, `new water pot-1`.
    pub(super) fn of_new(&self, first: &str) -> Option<Vec<String>> {
        if !matches!(first, "new" | "fresh" | "customer" | "clean") {
            return None;
        }
        let second = self.plain(1);
        if first == "customer" {
            // `customer agreed 0602` says what the customer did.
            let named = self.words.get(1)?.starts_with(char::is_uppercase) && !is_verb(&second);
            return named.then(|| Self::line(&["add-customer"], self.rest(1)));
        }
        if second == "water" {
            let small = |at: usize| matches!(self.plain(at).as_str(), "in" | "for" | "on" | "at");
            let at = 2_usize.saturating_add(usize::from(small(2)));
            let place = self.place_at(at)?;
            // How much it was is for `fill` to say.
            let bare = self.words.len() == at.saturating_add(1);
            return bare.then(|| Self::line(&["change", &place], &[]));
        }
        if first != "new" {
            return None;
        }
        match second.as_str() {
            "customer" | "client" => Some(Self::line(&["add-customer"], self.rest(2))),
            "ticket" => Some(Self::line(&["ticket"], self.rest(2))),
            "head" | "deer" | "skull" if is_tag(self.words.get(2)?) => {
                Some(Self::line(&["take-in"], self.rest(2)))
            }
            _ => None,
        }
    }

    /// `customer agreed 0602`, `hunter paid 60 on 0417`.
    pub(super) fn customer_did(&self, first: &str) -> Option<Vec<String>> {
        let who = matches!(first, "customer" | "hunter" | "client" | "they" | "he" | "she");
        let did = matches!(self.plain(1).as_str(), "agreed" | "paid" | "collected");
        (who && did).then(|| self.rest(1).to_vec())
    }

    /// `son paid 418 120 cash`: the payment, and who brought it.
    pub(super) fn kin_paid(&self, first: &str) -> Option<Vec<String>> {
        let kin = matches!(
            first,
            "son"
                | "daughter"
                | "wife"
                | "husband"
                | "brother"
                | "father"
                | "dad"
                | "friend"
                | "buddy"
        );
        let tag = self.words.iter().skip(2).find(|word| is_tag(word))?;
        let paid = kin && self.plain(1) == "paid";
        paid.then(|| {
            let mut line = Self::line(&["pay"], self.rest(2));
            let note = format!("the {first} paid");
            let tag = tag.trim_end_matches([',', ':']);
            line.extend([";", "note", tag, "--words", &note].map(str::to_owned));
            line
        })
    }

    /// `take 417 off hold`, `417 is off hold`.
    pub(super) fn off_hold(&self) -> Option<Vec<String>> {
        let words: Vec<String> = self.words.iter().map(|word| plain(word)).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let took = words.first().is_some_and(|w| matches!(*w, "take" | "took" | "taken" | "put"));
        let words = words.get(usize::from(took)..)?;
        let rest = words.strip_suffix(&["off", "hold"])?;
        let rest = rest.strip_suffix(&["is"]).unwrap_or(rest);
        let tags = !rest.is_empty() && rest.iter().all(|word| is_tag(word));
        tags.then(|| Self::line(&[&["release"], rest].concat(), &[]))
    }

    /// `push 418 to next tues`: another promised day.
    pub(super) fn pushed(&self, first: &str) -> Option<Vec<String>> {
        let tag = self.words.get(1).filter(|word| is_tag(word))?;
        let back = usize::from(self.plain(2) == "back");
        let to = matches!(self.plain(back.saturating_add(2)).as_str(), "to" | "until" | "till");
        let rest = self.rest(back.saturating_add(3));
        let pushed =
            matches!(first, "push" | "pushed" | "move" | "moved") && to && !rest.is_empty();
        // `move 418 to rack-1` is where it goes.
        let day = rest.first().is_some_and(|word| {
            let word = plain(word);
            matches!(word.as_str(), "next" | "this" | "tomorrow")
                || crate::calendar::weekday(&word).is_some()
                || crate::calendar::month(&word).is_some()
        });
        (pushed && day).then(|| Self::line(&["promise", tag.trim_end_matches([',', ':'])], rest))
    }

    /// `kill tag 0604 88-1209`.
    pub(super) fn of_papers(&self) -> Option<Vec<String>> {
        let (name, used) = [2, 1].into_iter().find_map(|used| {
            let run: Vec<String> = self.words.get(..used)?.iter().map(|w| plain(w)).collect();
            let name = run.join(" ");
            PAPERS.contains(&name.as_str()).then_some((name, used))
        })?;
        let skips = usize::from(matches!(self.plain(used).as_str(), "of" | "for" | "on"));
        let at = used.saturating_add(skips);
        let tag = self.words.get(at).filter(|word| is_tag(word))?;
        let rest = self.rest(at.saturating_add(1));
        let name: Vec<&str> = name.split(' ').collect();
        let front = [&["papers", tag.trim_end_matches([',', ':'])], name.as_slice()].concat();
        (!rest.is_empty()).then(|| Self::line(&front, rest))
    }

    /// `deposit 0601 75 cash`, `0601 deposit $75 cash`, `took 75 cash for 0601`.
    pub(super) fn money(&self, first: &str) -> Option<Vec<String>> {
        let paid_by = |word: &String| Means::WORDS.contains(&plain(word).as_str());
        let means = self.words.iter().any(paid_by);
        if first == "deposit" {
            let mut line = Self::line(&["pay"], self.rest(1));
            line.push("deposit".to_owned());
            return Some(line);
        }
        if is_tag(self.words.first()?) && matches!(self.plain(1).as_str(), "deposit") {
            let mut line = Self::line(&["pay", first], self.rest(2));
            line.push("deposit".to_owned());
            return Some(line);
        }
        let got = matches!(first, "took" | "got" | "received");
        let sum = self.words.get(1)?;
        let money = is_money(sum) && (sum.starts_with('$') || means);
        let tagged = self.words.iter().skip(2).any(|word| is_tag(word));
        let stuff = self.words.iter().any(|word| plain(word) == "out");
        (got && money && tagged && !stuff).then(|| Self::line(&["pay"], self.rest(1)))
    }

    /// `talked to 0605`, `spoke with customer 0606`, `left msg 0418`.
    pub(super) fn talked(&self, first: &str) -> Option<Vec<String>> {
        // `left msg 0418`, `left a voicemail for 0605`.
        if first == "left" {
            let article = usize::from(self.plain(1) == "a");
            let said = self.plain(article.saturating_add(1));
            let message = matches!(said.as_str(), "msg" | "message" | "vm" | "voicemail" | "word");
            let small = matches!(
                self.plain(article.saturating_add(2)).as_str(),
                "for" | "with" | "at" | "to"
            );
            let at = article.saturating_add(2).saturating_add(usize::from(small));
            let tag = self.words.get(at).filter(|word| message && is_tag(word))?;
            let rest = self.rest(at.saturating_add(1));
            return Some(Self::line(&["tell", tag.trim_end_matches([',', ':']), "message"], rest));
        }
        if !matches!(first, "talked" | "spoke") {
            return None;
        }
        let small = |word: &&String| {
            matches!(plain(word).as_str(), "to" | "with" | "the" | "customer" | "hunter" | "about")
        };
        let skips = self.rest(1).iter().take_while(small).count();
        let at = skips.saturating_add(1);
        let tag = self.words.get(at).filter(|word| is_tag(word))?;
        let rest = self.rest(at.saturating_add(1));
        Some(Self::line(&["tell", tag.trim_end_matches([',', ':']), "spoke"], rest))
    }

    /// `warden took 0618`.
    pub(super) fn officer(&self, first: &str) -> Option<Vec<String>> {
        let game = usize::from(first == "game");
        let who = matches!(self.plain(game).as_str(), "warden" | "officer" | "ranger");
        let took = matches!(self.plain(game.saturating_add(1)).as_str(), "took" | "takes");
        let from = game.saturating_add(2);
        (who && took && is_tag(self.words.get(from)?))
            .then(|| Self::line(&["officer-takes"], self.rest(from)))
    }

    /// `whitetail 8 pt skinned 0601`: an animal in front, and one tag behind.
    pub(super) fn animal(&self) -> Option<Vec<String>> {
        let typed: Vec<&str> = self.words.iter().map(|word| word.trim_end_matches(',')).collect();
        let (last, before) = self.words.split_last()?;
        let hand = self.lexicon.hand(&plain(typed.first()?)).is_some();
        let known = !hand && self.lexicon.species.find(&typed).used > 0;
        let one = is_tag(last) && !before.iter().any(|word| is_tag(word));
        (known && one).then(|| Self::line(&["take-in", last], before))
    }
}
