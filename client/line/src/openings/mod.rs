//! Lines that do not begin with their verb, as people say them: `added 2 gal to pot-2`, `waxed 0417`,
//! `tom 6 hours`, `inside spread 0417 16 3/8`. Each is turned into the line that it stands for.

mod as_typed;
mod counter;
mod deeds;
mod put_right;
mod spoken;
mod till;
mod verb_first;
mod waters;

use burrline_domain::{On, verb};
use burrline_terms::Kind;
pub use put_right::puts_right;
pub(crate) use put_right::{asked, denies_a_thing, puts_right_of};
pub use verb_first::with_its_verb;

use super::{amount, closed, fit::Fit, hours, lexicon::Lexicon, several, unclear, when};

/// The line with its verb in front, where it begins with one of the openings here; else as it was.
pub fn turned(words: Vec<String>, lexicon: &Lexicon) -> Vec<String> {
    let line = Line { words: &words, lexicon };
    let turned = till::plus_tax(&words).or_else(|| till::discount(&words));
    let turned = turned.or_else(|| till::sold(&words));
    let turned = turned.or_else(|| line.deeds());
    let turned = turned.or_else(|| line.turned()).or_else(|| line.place_and_verb());
    turned.or_else(|| of_two_verbs(&words)).unwrap_or(words)
}

/// The same behind a time in front: `at 9:15 waxed 0417`.
pub fn turned_behind_time(words: &[String], lexicon: &Lexicon) -> Vec<String> {
    let words = spoken::read_as_said(words, lexicon);
    let words = words.as_slice();
    let at = usize::from(words.first().is_some_and(|word| word.eq_ignore_ascii_case("at")));
    let behind = words.get(at..).unwrap_or_default();
    let figure = behind.first().is_some_and(|word| word.bytes().all(|byte| byte.is_ascii_digit()));
    // A bare figure is a time behind `at` alone.
    let timed = at == 1 || !figure;
    match when::at_front(behind).ok().filter(|(taken, _)| timed && *taken > 0) {
        Some((taken, _)) => {
            let (time, line) = behind.split_at_checked(taken).unwrap_or((behind, &[]));
            let line = turned(line.to_vec(), lexicon);
            std::iter::once("at".to_owned())
                .filter(|_| at == 1)
                .chain(time.iter().cloned())
                .chain(line)
                .collect()
        }
        None => turned(words.to_vec(), lexicon),
    }
}

/// Words as they are spoken, put as lines are read: places of two words, runs of tags, clocks.
pub fn as_said(words: &[String], lexicon: &Lexicon) -> Vec<String> {
    spoken::put_as_read(words, lexicon)
}

/// Words that say with what something was done: the verb, and the field's value.
const WITH: &[(&str, &str, &str, &str)] = &[
    ("waxed", "coat", "with", "wax"),
    ("oiled", "coat", "with", "oil"),
    ("lacquered", "coat", "with", "lacquer"),
    ("varnished", "coat", "with", "varnish"),
    ("clear-coated", "coat", "with", "clear-coat"),
    ("clearcoated", "coat", "with", "clear-coat"),
    ("wired", "tie", "with", "wire"),
    ("strung", "tie", "with", "string"),
    ("mailed", "ship", "carrier", "post"),
    ("posted", "ship", "carrier", "post"),
];

/// Words for a damage that stand before what was damaged.
const HURT: &[&str] =
    &["chipped", "cracked", "broke", "snapped", "scratched", "burned", "burnt", "split", "lost"];

/// What a paper has that a line can begin with.
const PAPERS: &[&str] =
    &["kill tag", "kill-tag", "seal", "licence", "license", "cwd", "county", "salvage permit"];

/// The papers of the skull of these tags, where what is said of it begins with the name of a paper.
pub fn papers_of(tags: &[String], rest: &[String]) -> Option<Vec<String>> {
    let [tag] = tags else { return None };
    [2_usize, 1].into_iter().find_map(|used| {
        let (name, value) = rest.split_at_checked(used)?;
        let called: Vec<String> = name.iter().map(|word| plain(word)).collect();
        let paper = PAPERS.contains(&called.join(" ").as_str()) && !value.is_empty();
        let front = ["papers".to_owned(), tag.clone()].into_iter();
        paper.then(|| front.chain(called).chain(value.iter().cloned()).collect())
    })
}

/// The lines that words could stand for which are no verb and mean several things.
pub fn could_be(word: &str, rest: &[String]) -> Vec<Vec<String>> {
    let first = plain(word);
    // `no 425 not 424`, `scratch that`: the line before is put right.
    if puts_right(word) && !denies_a_thing(word, rest) {
        return vec![vec!["strike".to_owned()]];
    }
    let tag = rest.iter().position(|word| is_tag(word));
    let Some(tag) = tag.and_then(|at| rest.get(at)).map(|word| word.trim_end_matches([',', ':']))
    else {
        return Vec::new();
    };
    let owned = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    let second = rest.first().map(|word| plain(word)).unwrap_or_default();
    let other = rest.iter().rev().find(|word| is_tag(word)).map(String::as_str);
    let money = rest.iter().find(|word| is_money(word) && !is_tag(word));
    // `nose came off 424`: a part, and what became of it.
    let typed: Vec<&str> = std::iter::once(word).chain(rest.iter().map(String::as_str)).collect();
    if let Some((piece, used)) = crate::pieces::piece_at(&typed)
        && let Some(said) = typed.get(used..).filter(|said| said.len() > 1)
    {
        let skull = format!("{tag}/{}", piece.word());
        let said: Vec<&str> =
            said.iter().copied().filter(|said| said.trim_end_matches([',', ':']) != tag).collect();
        let small = matches!(said.last(), Some(&("on" | "of" | "from")));
        let said = said.get(..said.len().saturating_sub(usize::from(small))).unwrap_or_default();
        let what = said.join(" ");
        let note = format!("{} {what}", piece.word());
        return vec![
            owned(&["damage", &skull, "--what", &what]),
            owned(&["bag", &skull]),
            owned(&["note", tag, "--words", &note]),
        ];
    }
    match (first.as_str(), second.as_str()) {
        ("brain" | "brains", "out") => {
            ["flesh", "wash"].map(|verb| owned(&[verb, tag, "brain"])).to_vec()
        }
        ("scraped" | "skinned" | "brained", _) => {
            let line = unclear::line(rest);
            let note = format!("{word} {line}");
            vec![owned(&["flesh", tag]), owned(&["note", tag, "--words", &note])]
        }
        ("scrubbed" | "hosed" | "cleaned", _) => {
            vec![owned(&["wash", tag]), owned(&["rinse", tag]), owned(&["flesh", tag])]
        }
        ("new", "tag") => match other.filter(|other| *other != tag) {
            Some(new) => vec![owned(&["swap-tag", tag, new]), owned(&["clip-tag", tag, new])],
            None => Vec::new(),
        },
        ("return" | "returned", _) => {
            vec![
                owned(&["give-back", tag]),
                owned(&["bring-back", tag]),
                owned(&["hand-over", tag]),
            ]
        }
        ("tag", "says" | "reads" | "is") => Vec::new(),
        ("tag", _) => match other.filter(|other| *other != tag) {
            Some(new) => vec![owned(&["swap-tag", tag, new]), owned(&["clip-tag", tag, new])],
            None => Vec::new(),
        },
        ("discount", _) => match money {
            Some(sum) => vec![owned(&[
                "charge",
                tag,
                &format!("-{}", sum.trim_start_matches('$')),
                "discount",
            ])],
            None => Vec::new(),
        },
        (_, _) => Vec::new(),
    }
}

/// `fleshed and wrapped 0417`, `quote 0603 165, agreed`: two verbs about the same skulls.
fn of_two_verbs(words: &[String]) -> Option<Vec<String>> {
    let spec = |word: &str| {
        let word = plain(word);
        let spec = verb::spec(closed::synonym(&word).unwrap_or(&word))?;
        // A text may have any word in it.
        let text = spec.fields.iter().any(|f| f.kind() == Kind::Text && f.name != "why");
        (spec.on == On::Skull && !text && super::command::is_typed(spec.word)).then_some(spec)
    };
    let between = Some(";".to_owned());
    if let [one, and, two, rest @ ..] = words
        && matches!(and.as_str(), "and" | "&" | "+")
        && spec(one).is_some()
        && spec(two).is_some()
        && !rest.is_empty()
        && rest.iter().all(|word| is_tag(word) || matches!(word.as_str(), "and" | "&"))
    {
        let line = |verb: &String| std::iter::once(verb.clone()).chain(rest.iter().cloned());
        return Some(line(one).chain(between).chain(line(two)).collect());
    }
    // `0601 washed and wrapped`.
    let tags = words.iter().take_while(|word| is_tag(word)).count();
    if let (tags, [one, and, two]) = words.split_at_checked(tags)?
        && !tags.is_empty()
        && matches!(and.as_str(), "and" | "&" | "+")
        && spec(one).is_some()
        && spec(two).is_some()
    {
        let line = |verb: &String| std::iter::once(verb.clone()).chain(tags.iter().cloned());
        return Some(line(one).chain(between).chain(line(two)).collect());
    }
    let (last, before) = words.split_last()?;
    let first = before.first()?;
    let comma = before.last().is_some_and(|word| word.ends_with(','));
    let two = comma && spec(last).is_some() && spec(first).is_some();
    let tags: Vec<String> = before
        .iter()
        .skip(1)
        .take_while(|word| is_tag(word))
        .map(|word| word.trim_end_matches(',').to_owned())
        .collect();
    // `165` of `quote 0603 165, agreed` is a sum.
    let sums = spec(first).is_some_and(|s| s.fields.iter().any(|f| f.kind() == Kind::Money));
    let tags: Vec<String> = tags.into_iter().take(if sums { 1 } else { usize::MAX }).collect();
    (two && !tags.is_empty() && before.len() > 1).then(|| {
        let mut line = before.to_vec();
        if let Some(word) = line.last_mut() {
            *word = word.trim_end_matches(',').to_owned();
        }
        line.into_iter().chain(between).chain([last.clone()]).chain(tags).collect()
    })
}

struct Line<'a> {
    words: &'a [String],
    lexicon: &'a Lexicon,
}

/// A word as it is compared: small, without a comma or a colon behind it.
fn plain(word: &str) -> String {
    word.trim_end_matches([',', ':', ';']).to_lowercase()
}

fn is_verb(word: &str) -> bool {
    verb::spec(closed::synonym(word).unwrap_or(word))
        .is_some_and(|spec| super::command::is_typed(spec.word))
}

/// A tag that no amount is: three figures or more.
fn is_tag(word: &str) -> bool {
    let word = word.trim_end_matches([',', ':']);
    word.len() >= 3 && several::is_skull(word) && word.starts_with(|c: char| c.is_ascii_digit())
}

/// A sum of money, in a word that no tag with its noughts is.
pub(super) fn is_sum(word: &str) -> bool {
    is_money(word)
}

fn is_money(word: &str) -> bool {
    let bare = word.trim_start_matches('$');
    !bare.starts_with('0')
        && bare.starts_with(|c: char| c.is_ascii_digit())
        && bare.chars().all(|c| c.is_ascii_digit() || c == '.')
}

impl Line<'_> {
    fn turned(&self) -> Option<Vec<String>> {
        let first = plain(self.words.first()?);
        if let Some(out) = self.out_of(&first) {
            return Some(out);
        }
        if let Some(till) = self.of_till(&first).filter(|_| self.words.len() > 1) {
            return Some(till);
        }
        if let Some(burner) = self.burner(&first) {
            return Some(burner);
        }
        if self.words.len() < 2 || verb::spec(&first).is_some_and(|_| first != "lost") {
            return None;
        }
        self.with_what(&first)
            .or_else(|| self.piece_first())
            .or_else(|| self.going_in(&first))
            .or_else(|| self.stock_got(&first))
            .or_else(|| self.more_water())
            .or_else(|| self.by_hand(&first))
            .or_else(|| self.of_new(&first))
            .or_else(|| self.customer_did(&first))
            .or_else(|| self.kin_paid(&first))
            .or_else(|| self.gave_back(&first))
            .or_else(|| self.pushed(&first))
            .or_else(|| self.measured(&first))
            .or_else(|| self.of_papers())
            .or_else(|| self.added(&first))
            .or_else(|| self.flame(&first))
            .or_else(|| self.money(&first))
            .or_else(|| self.talked(&first))
            .or_else(|| self.hurt(&first))
            .or_else(|| self.officer(&first))
            .or_else(|| self.read_off(&first))
            .or_else(|| self.topped(&first))
            .or_else(|| self.animal())
    }

    fn rest(&self, from: usize) -> &[String] {
        self.words.get(from..).unwrap_or_default()
    }

    fn plain(&self, at: usize) -> String {
        self.words.get(at).map(|word| plain(word)).unwrap_or_default()
    }

    fn line(front: &[&str], rest: &[String]) -> Vec<String> {
        front.iter().map(|word| (*word).to_owned()).chain(rest.iter().cloned()).collect()
    }

    fn place_at(&self, at: usize) -> Option<String> {
        let word = self.words.get(at)?.trim_end_matches([',', ':']);
        self.lexicon.place(word).map(|here| here.place.clone())
    }

    /// Where the line names a place.
    fn place(&self) -> Option<(usize, String)> {
        (0..self.words.len()).find_map(|at| Some((at, self.place_at(at)?)))
    }

    /// `waxed 0417`, `taped burrs 0417`, `taped jaw on 0417`.
    fn with_what(&self, first: &str) -> Option<Vec<String>> {
        if first == "taped" {
            let burrs = self.words.iter().any(|word| is_burr(&plain(word)));
            let typed: Vec<&str> = self.rest(1).iter().map(String::as_str).collect();
            let piece = crate::pieces::piece_at(&typed).is_some();
            return match (burrs, piece) {
                (true, _) => Some(Self::line(&["wrap"], self.rest(1))),
                (false, true) => {
                    let mut line = Self::line(&["tie"], self.rest(1));
                    line.extend(["--with", "tape"].map(str::to_owned));
                    Some(line)
                }
                (false, false) => None,
            };
        }
        if first == "clear" && self.plain(1) == "coat" {
            let mut line = Self::line(&["coat"], self.rest(2));
            line.extend(["--with", "clear-coat"].map(str::to_owned));
            return Some(line);
        }
        let (_, verb, field, value) = WITH.iter().find(|(word, ..)| *word == first)?;
        let mut line = Self::line(&[verb], self.rest(1));
        line.extend([format!("--{field}"), (*value).to_owned()]);
        Some(line)
    }

    /// `got 413 and 414 going in pot-1`, `got 413 in pot-1`.
    fn going_in(&self, first: &str) -> Option<Vec<String>> {
        let tags = self
            .rest(1)
            .iter()
            .take_while(|word| is_tag(word) || matches!(plain(word).as_str(), "and" | "&"));
        let behind = self.rest(tags.clone().count().saturating_add(1));
        let going = usize::from(behind.first().is_some_and(|word| {
            matches!(plain(word).as_str(), "going" | "cooking" | "simmering" | "soaking")
        }));
        let [into, place] = behind.get(going..)? else { return None };
        let into = matches!(plain(into).as_str(), "in" | "into" | "on");
        let here = self.lexicon.place(place.trim_end_matches(','))?;
        let tags: Vec<String> = tags
            .filter(|word| is_tag(word))
            .map(|tag| tag.trim_end_matches(',').to_owned())
            .collect();
        (first == "got" && into && !tags.is_empty())
            .then(|| Self::line(&["in", &here.place], &tags))
    }

    /// `got 5 gal 12% peroxide 60 bucks`: stuff that came in.
    fn stock_got(&self, first: &str) -> Option<Vec<String>> {
        let typed: Vec<&str> = self.rest(1).iter().map(|word| word.trim_end_matches(',')).collect();
        let mark = self.lexicon.decimal_mark;
        let amount = [Kind::Volume, Kind::Mass]
            .into_iter()
            .any(|kind| matches!(amount::amount(kind, &typed, mark), amount::Amount::Is { .. }));
        let stuff = (1..typed.len())
            .any(|at| typed.get(at..).is_some_and(|rest| super::makeup::is_stuff(rest).is_some()));
        let tagged = self.words.iter().any(|word| is_tag(word));
        (first == "got" && amount && stuff && !tagged && self.place().is_none())
            .then(|| Self::line(&["receive-stock"], self.rest(1)))
    }

    /// `teeth 426 in bag B2`, `jaw 426 tied`, `burrs wrapped 423`: what it is about stands in front.
    fn piece_first(&self) -> Option<Vec<String>> {
        let first = self.plain(0);
        if is_burr(&first) && matches!(self.plain(1).as_str(), "wrapped" | "taped" | "covered") {
            return Some(Self::line(&["wrap"], self.rest(2)));
        }
        let typed: Vec<&str> = self.words.iter().map(|word| word.trim_end_matches(',')).collect();
        let (_, used) = crate::pieces::piece_at(&typed)?;
        let tag = self.words.get(used).filter(|word| is_tag(word))?;
        let piece = self.words.get(..used)?;
        let behind = self.rest(used.saturating_add(1));
        let said = behind.first().is_some_and(|word| is_verb(&plain(word)))
            || matches!(self.plain(used.saturating_add(1)).as_str(), "in" | "bag" | "bagged");
        let line = [std::slice::from_ref(tag), piece, behind].concat();
        said.then(|| with_its_verb(&line))
    }

    /// `tom waxed 0417`, `tom 6 hours`.
    fn by_hand(&self, first: &str) -> Option<Vec<String>> {
        let hand = self.lexicon.hand(first)?;
        self.hours(first).or_else(|| {
            let line = Line { words: self.rest(1), lexicon: self.lexicon };
            let mut line = line.turned()?;
            line.extend(["--hand".to_owned(), hand.to_owned()]);
            Some(line)
        })
    }

    /// `tom 6 hours`, `ines 4.5 h whitening`.
    fn hours(&self, first: &str) -> Option<Vec<String>> {
        let hand = self.lexicon.hand(first)?;
        let typed: Vec<&str> = self.rest(1).iter().map(String::as_str).collect();
        let mark = self.lexicon.decimal_mark;
        let clocks = typed.len() > 1 || typed.iter().any(|word| word.contains('-'));
        let span = matches!(amount::amount(Kind::Span, &typed, mark), amount::Amount::Is { .. })
            || (clocks && matches!(hours::worked(&typed), Fit::Is { .. } | Fit::Unclear { .. }));
        span.then(|| {
            let mut line = Self::line(&["hours"], self.rest(1));
            line.extend(["--hand".to_owned(), hand.to_owned()]);
            line
        })
    }

    /// `inside spread 0417 16 3/8`, `g2 left 0417 9 1/8`, `weight 0417 1450 g`.
    fn measured(&self, first: &str) -> Option<Vec<String>> {
        if first == "weight" && is_tag(self.words.get(1)?) {
            return Some(Self::line(&["weigh"], self.rest(1)));
        }
        let spec = verb::spec("measure")?;
        let what = spec.fields.iter().find(|field| field.name == "what")?;
        let list = closed::list(spec, what)?;
        let typed: Vec<&str> = self.words.iter().map(String::as_str).collect();
        let (name, used) = closed::word_of(&list, &typed)?;
        let skips = usize::from(matches!(self.plain(used).as_str(), "of" | "on"));
        let tag = used.saturating_add(skips);
        let tagged = is_tag(self.words.get(tag)?);
        let rest = self.rest(tag.saturating_add(1));
        tagged.then(|| {
            let tag = self.words.get(tag).cloned().unwrap_or_default();
            Self::line(&["measure", tag.trim_end_matches([',', ':']), &name], rest)
        })
    }

    /// `chipped a tine on 0431, ours`, `lost tooth 0417`.
    fn hurt(&self, first: &str) -> Option<Vec<String>> {
        if !HURT.contains(&first) {
            return None;
        }
        let at = self.words.iter().position(|word| is_tag(word)).filter(|at| *at > 1)?;
        let tag = self.words.get(at)?.trim_end_matches([',', ':']).to_owned();
        let rest = self.rest(at.saturating_add(1));
        let small = matches!(self.plain(at.saturating_sub(1)).as_str(), "on" | "of" | "from");
        let what = self.words.get(1..at.saturating_sub(usize::from(small)))?;
        let what: Vec<&str> = what.iter().map(|word| word.trim_end_matches(',')).collect();
        let bare = match what.as_slice() {
            [article, bare @ ..] if matches!(*article, "a" | "an" | "the") => bare,
            bare => bare,
        };
        if let Some((piece, _)) =
            crate::pieces::piece_at(bare).filter(|(_, used)| *used == bare.len())
        {
            let skull = format!("{tag}/{}", piece.word());
            return Some(Self::line(&["damage", &skull, first], rest));
        }
        let text = std::iter::once(first).chain(what.iter().copied()).collect::<Vec<_>>();
        let front = [&["damage", tag.as_str()], text.as_slice()].concat();
        (small && !what.is_empty()).then(|| Self::line(&front, rest))
    }
}

/// Words for where the antlers are wrapped.
pub(super) fn is_burr(word: &str) -> bool {
    matches!(word, "burr" | "burrs" | "antler" | "antlers")
}
