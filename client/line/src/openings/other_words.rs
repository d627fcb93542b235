//! Deeds in other words: `dropped 424 in pot-1`, `424 came out clean`, `sprayed 433 with clear`, `wife picked up
//! 441`. Each is put as the line that it stands for.

use burrline_terms::words::Means;

use super::{Line, is_money, is_tag, is_verb, plain};
use crate::{amount, pieces};

/// Words for putting something somewhere.
const PUT: &[&str] = &[
    "dropped", "drop", "stuck", "chucked", "threw", "tossed", "set", "placed", "loaded", "laid",
    "hung", "stashed", "shoved", "popped",
];

/// Words for taking something out.
const OUT: &[&str] = &["fished", "yanked", "hauled", "grabbed", "scooped"];

/// What a coat is of, and the word of the list.
const COATS: &[(&str, &str)] = &[
    ("clear", "clear-coat"),
    ("clearcoat", "clear-coat"),
    ("clear-coat", "clear-coat"),
    ("wax", "wax"),
    ("lacquer", "lacquer"),
    ("varnish", "varnish"),
    ("sealer", "sealer"),
    ("oil", "oil"),
];

/// Who fetches a head for a customer.
const KIN: &[&str] = &[
    "wife", "husband", "son", "daughter", "brother", "sister", "dad", "father", "mom", "mother",
    "friend", "buddy", "cousin", "neighbor",
];

/// The line parted at its tags: what stands before them, they, and what stands behind.
struct Parted {
    before: Vec<String>,
    tags: Vec<String>,
    behind: Vec<String>,
}

impl Parted {
    fn of(words: &[String]) -> Option<Self> {
        let from = words.iter().position(|word| is_tag(word))?;
        let (before, rest) = words.split_at_checked(from)?;
        let joins = |word: &String| matches!(plain(word).as_str(), "and" | "&" | "+" | "n");
        let count = (0..rest.len())
            .take_while(|at| {
                let next = rest.get(at.saturating_add(1));
                // `424 in pot-1` is no length.
                let unit =
                    next.is_some_and(|unit| amount::is_unit(&plain(unit)) && plain(unit) != "in");
                rest.get(*at).is_some_and(|word| {
                    (is_tag(word) && !unit)
                        || (joins(word) && next.is_some_and(|next| is_tag(next)))
                })
            })
            .count();
        let (tags, behind) = rest.split_at_checked(count)?;
        let tags: Vec<String> = tags
            .iter()
            .filter(|word| !joins(word))
            .map(|word| word.trim_end_matches([',', ':']).to_owned())
            .collect();
        let more = behind.iter().any(|word| is_tag(word) && word.starts_with('0'));
        let parted = Self { before: before.to_vec(), tags, behind: behind.to_vec() };
        (!parted.tags.is_empty() && !more).then_some(parted)
    }

    fn line(&self, front: &[&str], rest: &[String]) -> Vec<String> {
        let front = front.iter().map(|word| (*word).to_owned());
        front.chain(self.tags.iter().cloned()).chain(rest.iter().cloned()).collect()
    }
}

fn small(words: &[String]) -> Vec<String> {
    words.iter().map(|word| plain(word)).collect()
}

fn into(word: &str) -> bool {
    matches!(word, "in" | "into" | "on" | "onto" | "to")
}

impl Line<'_> {
    /// The line that one in other words stands for.
    pub(super) fn in_other_words(&self) -> Option<Vec<String>> {
        if self.words.iter().any(|word| word.starts_with("--") || word == ";") {
            return None;
        }
        let said = self.sum_in_front().or_else(|| self.lit_and_in());
        if let Some(said) = said.or_else(|| self.of_two_places()) {
            return Some(said);
        }
        let parted = Parted::of(self.words)?;
        let (before, behind) = (small(&parted.before), small(&parted.behind));
        let before: Vec<&str> = before.iter().map(String::as_str).collect();
        let behind: Vec<&str> = behind.iter().map(String::as_str).collect();
        self.moved(&parted, &before, &behind)
            .or_else(|| treated(&parted, &before, &behind))
            .or_else(|| Self::fetched(&parted, &before, &behind))
            .or_else(|| given(&parted, &before, &behind))
            .or_else(|| said_of(&parted, &before, &behind))
    }

    /// `dropped 424 in pot-1`, `424 went in pot-1`, `424 came out clean`, `fished 424 out`.
    fn moved(&self, parted: &Parted, before: &[&str], behind: &[&str]) -> Option<Vec<String>> {
        let place = |at: usize| {
            let the = usize::from(matches!(behind.get(at), Some(&("the" | "big"))));
            let word = parted.behind.get(at.saturating_add(the))?;
            let here = self.lexicon.place(word.trim_end_matches([',', '.']))?;
            Some((here.place.clone(), at.saturating_add(the).saturating_add(1)))
        };
        let went = |at: usize, lead: usize| {
            behind.get(at).filter(|word| into(word))?;
            let (place, used) = place(at.saturating_add(lead))?;
            Some(parted.line(&["in", &place], parted.behind.get(used..)?))
        };
        // What dropped on something may be hurt.
        let fell = |put: &str, at: usize| {
            matches!(put, "dropped" | "drop") && !matches!(behind.get(at), Some(&("in" | "into")))
        };
        if let [put] = before
            && PUT.contains(put)
            && !fell(put, usize::from(behind.first() == Some(&"back")))
        {
            let back = usize::from(behind.first() == Some(&"back"));
            return went(back, 1);
        }
        if before.is_empty()
            && matches!(behind.first(), Some(&("went" | "goes" | "gone" | "moved")))
        {
            let back = usize::from(behind.get(1) == Some(&"back"));
            return went(1_usize.saturating_add(back), 1);
        }
        let out = |from: usize| {
            let mut from = from;
            if matches!(behind.get(from), Some(&("of" | "from"))) {
                let the = usize::from(behind.get(from.saturating_add(1)) == Some(&"the"));
                let kind = from.saturating_add(1).saturating_add(the);
                let kinds = ["pot", "tub", "tank", "freezer", "water", "bath"];
                match place(from.saturating_add(1)) {
                    Some((_, used)) => from = used,
                    // `out of the pot`: the shop knows which.
                    None if behind.get(kind).is_some_and(|word| kinds.contains(word)) => {
                        from = kind.saturating_add(1);
                    }
                    None => return None,
                }
            }
            Some(parted.line(&["out"], parted.behind.get(from..)?))
        };
        match (before, behind) {
            ([], ["came" | "comes" | "come", "out", ..] | ["is" | "are", "out", "of", ..]) => {
                out(2)
            }
            ([], ["outta", ..]) => {
                let (_, used) = place(1)?;
                Some(parted.line(&["out"], parted.behind.get(used..)?))
            }
            (["out", "came"], _) => out(0),
            ([taken], ["out", ..]) if OUT.contains(taken) => out(1),
            ([taken], []) if OUT.contains(taken) => out(0),
            ([taken], ["from" | "of", ..]) if OUT.contains(taken) => out(0),
            _ => None,
        }
    }

    /// `wife picked up 441`, `441 went home`, `his wife got 441`, `handed 441 to Ray Coker`.
    fn fetched(parted: &Parted, before: &[&str], behind: &[&str]) -> Option<Vec<String>> {
        if before.is_empty()
            && matches!(behind, ["went" | "gone" | "is", "home"] | ["is", "gone", "home"])
        {
            return Some(parted.line(&["hand-over"], &[]));
        }
        // Who fetched it is said before the tag or behind it.
        let whole: Vec<&str> = before.iter().chain(behind).copied().collect();
        let lead = usize::from(matches!(whole.first(), Some(&("his" | "her" | "their" | "the"))));
        if let [who, did @ ..] = whole.get(lead..)?
            && KIN.contains(who)
            && matches!(
                did,
                ["picked", "up"]
                    | ["picked", "it", "up"]
                    | ["got" | "collected" | "took" | "fetched"]
                    | ["came", "for"]
                    | ["came", "and", "got"]
                    | ["got" | "took", "it"]
            )
        {
            let words = whole.get(..lead.saturating_add(1))?.join(" ");
            return Some(parted.line(&["hand-over"], &["--words".to_owned(), words]));
        }
        if let [did, "by", rest @ ..] = behind
            && before.is_empty()
            && matches!(*did, "collected" | "fetched")
        {
            let lead =
                usize::from(matches!(rest.first(), Some(&("his" | "her" | "their" | "the"))));
            let kin = rest.get(lead).is_some_and(|who| KIN.contains(who));
            let words = rest.join(" ");
            return (kin && rest.len() == lead.saturating_add(1))
                .then(|| parted.line(&["hand-over"], &["--words".to_owned(), words]));
        }
        // `handed 441 to Ray Coker`.
        let handed = matches!(before, ["handed"] | ["handed", "over" | "off"]);
        if let (true, ["to", _, ..]) = (handed, behind) {
            let name = parted.behind.get(1..)?;
            let named = name.iter().all(|word| word.starts_with(char::is_uppercase));
            return named
                .then(|| parted.line(&["hand-over"], &["--name".to_owned(), name.join(" ")]));
        }
        (handed && behind.is_empty()).then(|| parted.line(&["hand-over"], &[]))
    }

    /// `pot-1 lit, 424 425 in`, `lit pot-1 and put 421 424 in`: the flame, and what went in there.
    fn lit_and_in(&self) -> Option<Vec<String>> {
        let lit = |word: &str| matches!(word, "lit" | "boiling" | "on" | "fired");
        let place = self.place_at(0).filter(|_| lit(&self.plain(1)));
        let place = place.or_else(|| self.place_at(1).filter(|_| lit(&self.plain(0))))?;
        let rest = self.rest(2);
        let joins = |word: &String| matches!(plain(word).as_str(), "and" | "&" | "then" | ",");
        let skips = rest.iter().take_while(|word| joins(word)).count();
        let rest = rest.get(skips..)?;
        let comma = self.words.get(1).is_some_and(|word| word.ends_with(','));
        let rest = match rest {
            [put, rest @ ..] if matches!(plain(put).as_str(), "put" | "in") => rest,
            rest => rest,
        };
        let (last, tags) = rest.split_last()?;
        let known = !tags.is_empty() && tags.iter().all(|word| is_tag(word) || joins(word));
        let tags: Vec<String> = tags
            .iter()
            .filter(|word| is_tag(word))
            .map(|word| word.trim_end_matches(',').to_owned())
            .collect();
        (plain(last) == "in" && known && (comma || skips > 0)).then(|| {
            let heat = Self::line(&["heat", &place, "lit", ";", "in", &place], &[]);
            [heat, tags].concat()
        })
    }

    /// `pot-1 & pot-2 off`: the same of two flames.
    fn of_two_places(&self) -> Option<Vec<String>> {
        let (one, two) = (self.place_at(0)?, self.place_at(2)?);
        let joined = matches!(self.plain(1).as_str(), "and" | "&" | "+");
        let [how] = self.rest(3) else { return None };
        let how = match plain(how).as_str() {
            "off" => "off",
            "lit" | "on" => "lit",
            "down" => "down",
            "boiling" => "boil",
            _ => return None,
        };
        joined.then(|| Self::line(&["heat", &one, how, ";", "heat", &two, how], &[]))
    }

    /// `50 down on 441`, `40 cash for 430`, `20 back to 441`, `got 40 bucks for 430`.
    fn sum_in_front(&self) -> Option<Vec<String>> {
        let got = usize::from(matches!(self.plain(0).as_str(), "got" | "took" | "received"));
        let sum = self.words.get(got)?.trim_end_matches(',');
        let shown = is_money(sum) && (sum.len() < 3 || sum.starts_with('$') || sum.contains('.'));
        let words: Vec<String> = small(self.rest(got.saturating_add(1)));
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let currency = usize::from(words.first().is_some_and(|w| crate::fit::is_currency(w)));
        let words = words.get(currency..)?;
        let means = words.iter().find(|word| Means::WORDS.contains(word));
        let around = ["down", "on", "for", "in", "by", "to", "as", "a", "deposit"];
        let tags: Vec<&&str> = words.iter().filter(|word| is_tag(word)).collect();
        let [tag] = tags.as_slice() else { return None };
        let sum = sum.trim_start_matches('$');
        let known =
            |word: &&str| around.contains(word) || is_tag(word) || Means::WORDS.contains(word);
        if !shown {
            return None;
        }
        if let ["back", "to" | "for" | "on", _] = words {
            return (got == 0).then(|| Self::line(&["refund", tag, sum], &[]));
        }
        let down = words.iter().any(|word| matches!(*word, "down" | "deposit"));
        let paid = means.is_some() || down || currency > 0;
        (paid && words.iter().all(known)).then(|| {
            let mut line = Self::line(&["pay", tag, sum], &[]);
            line.extend(means.map(|means| (*means).to_owned()));
            if down {
                line.push("deposit".to_owned());
            }
            line
        })
    }
}

/// `hit 424 with the pressure washer`, `sprayed 433 with clear`, `425 brain out, washed`.
fn treated(parted: &Parted, before: &[&str], behind: &[&str]) -> Option<Vec<String>> {
    if matches!(before, ["hit" | "blasted" | "did"])
        && matches!(
            behind,
            ["with", "the" | "a", "pressure" | "power", "washer"]
                | ["with", "pressure" | "power", "washer"]
        )
    {
        return Some(parted.line(&["wash"], &[]));
    }
    if let ([], ["brain" | "brains", "out", deed @ ..]) = (before, behind)
        && let [deed] = deed.strip_prefix(&["and"]).unwrap_or(deed)
        && matches!(*deed, "washed" | "fleshed")
    {
        let verb = if *deed == "washed" { "wash" } else { "flesh" };
        return Some(parted.line(&[verb], &["brain".to_owned()]));
    }
    if let ([], ["clear", "coated"] | ["clearcoated" | "clear-coated"]) = (before, behind) {
        return Some(parted.line(&["coat"], &["--with".to_owned(), "clear-coat".to_owned()]));
    }
    let applied = matches!(
        before,
        ["sprayed" | "painted" | "brushed" | "coated" | "dipped" | "hit" | "gave"]
    );
    if let (true, [lead @ .., with]) = (applied, behind)
        && lead.iter().all(|word| {
            matches!(*word, "with" | "in" | "a" | "the" | "coat" | "of" | "some" | "another")
        })
        && let Some((_, coat)) = COATS.iter().find(|(word, _)| word == with)
    {
        return Some(parted.line(&["coat"], &["--with".to_owned(), (*coat).to_owned()]));
    }
    None
}

/// `441 dropped 50 cash`, `441 put 50 on card`, `441 gave 50`.
fn given(parted: &Parted, before: &[&str], behind: &[&str]) -> Option<Vec<String>> {
    let [gave, sum, rest @ ..] = behind else { return None };
    let money = before.is_empty()
        && is_money(sum)
        && matches!(*gave, "gave" | "dropped" | "put" | "handed");
    let currency =
        usize::from(rest.first().is_some_and(|word| matches!(*word, "bucks" | "dollars")));
    let rest = rest.get(currency..)?;
    let how = match rest {
        ["down"] => Some(None),
        [] if *gave == "gave" => Some(None),
        [means]
        | ["on" | "in" | "by", means]
        | ["on", "his" | "her" | "the", means]
        | ["down", "on" | "in", means]
            if Means::WORDS.contains(means) =>
        {
            Some(Some((*means).to_owned()))
        }
        _ => None,
    };
    let how = how.filter(|_| money)?;
    let sum = sum.trim_start_matches('$').to_owned();
    let rest: Vec<String> = std::iter::once(sum).chain(how).collect();
    Some(parted.line(&["pay"], &rest))
}

/// `433 passed`, `441 no answer`, `crack in 425 nose`, `gave 441 back unworked`.
fn said_of(parted: &Parted, before: &[&str], behind: &[&str]) -> Option<Vec<String>> {
    match (before, behind) {
        ([], ["passed"] | ["passed", "inspection"]) => Some(parted.line(&["inspect"], &[])),
        ([], ["no", "answer"]) => Some(parted.line(&["tell"], &["no-answer".to_owned()])),
        ([], ["wrong", "number"]) => Some(parted.line(&["tell"], &["wrong-number".to_owned()])),
        ([], ["voicemail" | "vm"]) => Some(parted.line(&["tell"], &["message".to_owned()])),
        ([], ["got", sum, "back"]) if is_money(sum) => {
            let sum = sum.trim_start_matches('$').to_owned();
            Some(parted.line(&["refund"], &[sum]))
        }
        (["gave"], ["back", why @ ..])
            if !parted.behind.iter().any(|word| is_money(word)) && why.len() < 4 =>
        {
            Some(parted.line(&["give-back"], parted.behind.get(1..)?))
        }
        // `crack in 425 nose`, `hairline crack 425 left side`.
        ([lead @ .., hurt] | [lead @ .., hurt, "in" | "on"], _)
            if matches!(*hurt, "crack" | "chip" | "split" | "hole" | "break")
                && lead.len() < 3
                && !lead.iter().any(|word| is_verb(word) || matches!(*word, "no" | "not")) =>
        {
            let words: Vec<&str> = lead.iter().copied().chain([*hurt]).collect();
            let text = words.join(" ");
            let typed: Vec<&str> = parted.behind.iter().map(String::as_str).collect();
            // `425 nose` is the piece.
            if let Some((piece, used)) = pieces::piece_at(&typed)
                && let [tag] = parted.tags.as_slice()
            {
                let skull = format!("{tag}/{}", piece.word());
                let mut line = vec!["damage".to_owned(), skull, text];
                line.extend(parted.behind.get(used..)?.iter().cloned());
                return Some(line);
            }
            let text = std::iter::once(text).chain(parted.behind.iter().cloned());
            Some(parted.line(&["damage"], &[text.collect::<Vec<_>>().join(" ")]))
        }
        _ => None,
    }
}
