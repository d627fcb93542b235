//! What a line lacks or has too much of as a whole.

use burrline_terms::{
    Kind, Skull, Typed as _,
    words::{Flame, Piece},
};

use super::Reader;
use crate::{Error, calendar, closed, doubt, unclear::Unclear, words::and};

/// A number of things up to which a bare figure beside their name is hardly a price.
const MOST_COUNTED: u32 = 12;

/// Things that are charged for by the piece.
const COUNTED: &[&str] = &[
    "antler", "bag", "box", "coat", "extra", "head", "hook", "hour", "jaw", "photo", "plaque",
    "repair", "sheath", "skull", "stand", "tag", "teeth", "tine", "tooth", "trip", "tusk", "horn",
];

/// Whether a word is of things that are counted.
fn is_counted(word: &str) -> bool {
    let plural = word.len() > 3 && word.ends_with('s') && !word.ends_with("ss");
    COUNTED.contains(&word) || plural
}

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
        if verb == "heat" && nothing(&["how", "temperature"]) {
            let choice = |how: &Flame| {
                let line = self.replaced(self.words.len(), 0, &[how.word().to_owned()]);
                doubt::as_line(line)
            };
            let about = format!("{verb}: what was done to the flame, or how hot is it?");
            return Err(doubt::unclear(about, Flame::ALL.iter().map(choice)));
        }
        if verb == "reading" && nothing(&["strength", "temperature", "ph"]) {
            return says(format!("{verb}: what was read? As in `reading tub-1 3 %`"));
        }
        if verb == "roll-call" && nothing(&["tags"]) {
            return says(format!("{verb}: which tags are there? Say every one"));
        }
        if matches!(verb, "pay" | "refund")
            && let Some(amount) = given("amount").filter(|amount| amount.starts_with('-'))
        {
            let tag = self.sorted.skulls.first().map_or("0417", String::as_str);
            let sum = amount.trim_start_matches('-');
            let (what, other, how) = match verb {
                "pay" => ("a payment", "refund", "money that goes back"),
                _ => ("a refund", "pay", "money that comes in"),
            };
            return says(format!("{verb}: {what} is above nought; {how} is `{other} {tag} {sum}`"));
        }
        if let Some(error) = self.impossible() {
            return Err(error);
        }
        if verb == "hold"
            && let Some(why) = given("why")
            && !self.options.contains_key("why")
            && (calendar::weekday(&why.to_lowercase()).is_some()
                || self.lexicon.hand(why).is_some())
        {
            let at = self.words.iter().position(|word| word == why).unwrap_or_default();
            let field = self.field(|f| f.name == "why");
            let choice = field.map(|field| {
                (format!("why \u{201c}{why}\u{201d}"), self.with_field(at, 1, field, why))
            });
            return Err(doubt::unclear(format!("hold: is \u{201c}{why}\u{201d} why?"), choice));
        }
        self.taken_back()?;
        self.papers_have_numbers()?;
        self.time_or_tag()?;
        self.one_paper_for_several()?;
        self.young_with_points()?;
        self.counted_not_paid()?;
        self.one_for_several()
    }

    /// `papers 0417 0422 kill-tag 88-1203`: a kill tag is of one head.
    fn one_paper_for_several(&self) -> Result<(), Error> {
        let papers = ["kill_tag", "agency_seal", "salvage_permit", "mark"];
        let said = self.spec.fields.iter().find(|field| {
            papers.contains(&field.name) && self.sorted.given.contains_key(field.name)
        });
        let Some(field) = said.filter(|_| self.sorted.skulls.len() > 1 && !self.each) else {
            return Ok(());
        };
        let mut words = self.words.to_vec();
        words.push("each".to_owned());
        let name = field.typed_name().replace('-', " ");
        Err(doubt::unclear(
            format!("{}: is it one {name} for {}?", self.spec.word, and(&self.sorted.skulls)),
            [(
                format!("the same {name} for each"),
                doubt::whole_line(self.spec, &[], &self.options, &words),
            )],
        ))
    }

    /// `buck fawn 8 pt`: no young of the year bears points that are counted.
    fn young_with_points(&self) -> Result<(), Error> {
        const YOUNG: [&str; 5] = ["fawn", "calf", "kid", "lamb", "cub"];
        let given = |name: &str| self.sorted.given.get(name).and_then(|words| words.first());
        let points = given("points").and_then(|points| points.parse::<u32>().ok()).unwrap_or(0);
        match given("age").filter(|age| points > 2 && YOUNG.contains(&age.as_str())) {
            Some(age) => Err(Error::Unclear(Unclear::without_choice(format!(
                "{}: a {age} with {points} points? Say its age or its points anew",
                self.spec.word
            )))),
            None => Ok(()),
        }
    }

    /// `charge 0417 2 plaques`, `extra 0417 teeth 32`: a small whole number beside what is counted is as
    /// likely how many as how much.
    fn counted_not_paid(&self) -> Result<(), Error> {
        if !matches!(self.spec.word, "charge" | "extra" | "refund") {
            return Ok(());
        }
        let typed = |at: usize| self.words.get(at).map(|word| word.trim_end_matches(','));
        let counted = (0..self.words.len()).find_map(|at| {
            let word = typed(at)?;
            let number: u32 = word.parse().ok().filter(|_| !word.starts_with('0'))?;
            let next = typed(at.saturating_add(1)).map(str::to_lowercase);
            let before = at.checked_sub(1).and_then(typed).map(str::to_lowercase);
            let beside = [next, before].into_iter().flatten();
            let most = |noun: &str| if noun == "teeth" { 44 } else { MOST_COUNTED };
            let counts = |noun: &String| is_counted(noun) && number <= most(noun);
            beside.into_iter().find(counts).map(|noun| (at, word.to_owned(), noun))
        });
        let given = self.sorted.given.get("amount").and_then(|amount| amount.first());
        let Some((at, number, noun)) = counted.filter(|(_, number, _)| given == Some(number))
        else {
            return Ok(());
        };
        let as_money = self.replaced(at, 1, &[format!("{number}.00")]);
        let text = self.sorted.given.get("what").or_else(|| self.sorted.given.get("why"));
        let text = text.and_then(|text| text.first()).cloned().unwrap_or(noun);
        Err(doubt::unclear(
            format!(
                "{}: is it {number}.00 in money for \u{201c}{text}\u{201d}, or {number} of them? Of \
                 several say the amount as well, as in `{} {} 40 \"{number} {text}\"`",
                self.spec.word,
                self.spec.word,
                self.sorted.skulls.first().map_or("0417", String::as_str),
            ),
            [(format!("{number}.00 for {text}"), as_money)],
        ))
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
                and(skulls)
            ),
            [(format!("{said} for each"), line)],
        ))
    }
}
