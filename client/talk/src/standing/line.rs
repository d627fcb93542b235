//! A whole line: short words made whole, so that it can be run as after `burrline`.

use burrline_bench::Error;
use burrline_domain::{
    VerbSpec,
    verb::{On, spec},
};
use burrline_line as line;
use burrline_line::{
    near,
    words::{Begins, begins, could_be, folded},
};
use burrline_terms::{
    Arity, EntryName, Kind, Tag, Typed as _,
    words::{Piece, Role},
};

use super::{Known, Standing, Step, help, short};

impl Standing {
    /// A line of several words, with nothing collected.
    pub(super) fn line(&mut self, words: &[String], known: &Known) -> Result<Step, Error> {
        let turned = line::openings::turned_behind_time(words, &known.lexicon);
        if let Some(step) = asked_first(words, &turned, known) {
            return Ok(step);
        }
        let words = turned;
        let words = match words.as_slice() {
            // Whether tom did it, or is to do it, is asked.
            [first, verb, ..]
                if known.lexicon.hand(first.trim_end_matches([',', ':'])).is_some()
                    && spec(&folded(verb)).is_some() =>
            {
                let lines = std::iter::once(line::LINES.to_owned());
                return Ok(Step::Run(lines.chain(words).collect()));
            }
            _ => line::hand_first(words, &known.lexicon),
        };
        let words = words.as_slice();
        let clock = line::is_clock(words);
        let (at, words) = match words {
            [at, behind @ ..] if clock || (folded(at) == "at" && !behind.is_empty()) => {
                let after = if clock { words } else { behind };
                let (taken, time) = line::when::at_front(after)?;
                match after.get(taken..) {
                    Some(rest) if !rest.is_empty() => (vec!["at".to_owned(), time], rest),
                    Some(_) | None => {
                        return Err(Error::usage(format!(
                            "at {time} what? As in `at {time} out 0612`"
                        )));
                    }
                }
            }
            words => (Vec::new(), words),
        };
        let (place, words) = match words {
            [first, rest @ ..] if !rest.is_empty() => match known.place_named(first) {
                Some(place) => (Some(place.to_owned()), rest),
                None => (None, words),
            },
            words => (None, words),
        };
        // `pot-2 175`, `pot-2 8 gal water`: a figure of the place, as far as no head here has that tag.
        let amount = words.get(1).is_some_and(|unit| line::is_unit(unit));
        if let (Some(place), [figure, ..]) = (&place, words)
            && figure.starts_with(|first: char| first.is_ascii_digit())
            && (amount || !known.tags().iter().any(|tag| tag.ends_with(figure.as_str())))
        {
            let said = [std::slice::from_ref(place), words].concat();
            if matches!(
                line::parse_words(&said, &known.lexicon),
                Ok(_) | Err(line::Error::Unclear(_))
            ) {
                let lines = std::iter::once(line::LINES.to_owned());
                return Ok(Step::Run(at.into_iter().chain(lines).chain(said).collect()));
            }
        }
        if words.first().is_some_and(|first| Tag::looks_like(first.trim_end_matches(','))) {
            if let (Some(place), [tag]) = (&place, words) {
                return Err(Error::usage(format!(
                    "{place} {tag}: what was done? Begin with it, as in `out {tag}`"
                )));
            }
            let place = place.or_else(|| self.place.clone());
            let words = whole_tags(words.to_vec(), place.as_deref(), known)?;
            return Ok(Step::Run(at.into_iter().chain(words).collect()));
        }
        let words = line::with_its_verb(words);
        let [first, rest @ ..] = words.as_slice() else { return Err(self.no_word("", known)) };
        // `pot-2 off`: what is so of a place, without a verb.
        if let Some(place) = place.as_ref().filter(|_| spec(first).is_none()) {
            let said = [std::slice::from_ref(place), words.as_slice()].concat();
            if line::parse_words(&said, &known.lexicon).is_ok() {
                let lines = std::iter::once(line::LINES.to_owned());
                let said = lines.chain(whole_tags(said, Some(place), known)?);
                return Ok(Step::Run(at.into_iter().chain(said).collect()));
            }
        }
        let command = match self.command_of(first, known) {
            Ok(command) => command,
            // `brain out 0512`: no word of the prompt, and a line that can be asked about.
            Err(error) => {
                // `tub-1 smells bad`: what is said of a place is told with the place.
                let told = place.is_some() && !words.is_empty();
                let said: Vec<String> =
                    place.iter().cloned().chain(words.iter().cloned()).collect();
                let asked = self.is_line(first, &said, known);
                if !told
                    && !asked
                    && line::openings::could_be(first, rest, &known.lexicon).is_empty()
                {
                    return Err(error);
                }
                let lines = std::iter::once(line::LINES.to_owned());
                return Ok(Step::Run(at.into_iter().chain(lines).chain(said).collect()));
            }
        };
        if !at.is_empty() && spec(&command).is_none() && command != "same" {
            return Err(Error::usage(format!(
                "a time goes before what was done, not before {command}"
            )));
        }
        let step = self.command(&command, rest, place, known)?;
        if let Step::Run(words) = step {
            return Ok(Step::Run(at.into_iter().chain(words).collect()));
        }
        Ok(step)
    }

    /// Whether words whose first begins nothing here are a line, or are asked about with something to choose.
    fn is_line(&self, first: &str, words: &[String], known: &Known) -> bool {
        if !matches!(self.begun(first), Begins::Nothing) {
            return false;
        }
        let slips = || !near::near(first, self.commands.iter().map(String::as_str)).is_empty();
        match line::parse_words(words, &known.lexicon) {
            Ok(_) => true,
            Err(line::Error::Unclear(unclear)) => !unclear.choices.is_empty() && !slips(),
            Err(_) => false,
        }
    }

    fn command(
        &mut self,
        command: &str,
        rest: &[String],
        place: Option<String>,
        known: &Known,
    ) -> Result<Step, Error> {
        match command {
            "hand" => return hand(rest, known).map(Step::Hand),
            "same" => {
                // `same for 432`.
                let small = |word: &&String| matches!(folded(word).as_str(), "for" | "with" | "on");
                let rest: Vec<String> = rest.iter().filter(|word| !small(word)).cloned().collect();
                let words = self.before.again(&rest, known)?;
                let spec = words.first().and_then(|word| spec(word));
                return match spec {
                    Some(spec) => self.bench_verb(spec, words, place, known).map(Step::Run),
                    None => Ok(Step::Run(words)),
                };
            }
            "heard" | "go" | "nowhere" | "status" | "quit" | "at" => {
                return Err(Error::usage(format!("{command} stands alone")));
            }
            "help" if rest.iter().any(|word| folded(word) == "keys") => {
                return Ok(Step::Tell(help::keys().lines().map(str::to_owned).collect()));
            }
            "help" => return Ok(Step::Run(self.help(rest, known)?)),
            "bench" => return Err(Error::usage("this is the prompt")),
            _ => {}
        }
        let words: Vec<String> =
            std::iter::once(command.to_owned()).chain(rest.iter().cloned()).collect();
        match spec(command) {
            Some(spec) if spec.word == "amend" => Ok(Step::Run(inner_verb(words))),
            Some(spec) if spec.role == Role::Bench => {
                self.bench_verb(spec, words, place, known).map(Step::Run)
            }
            Some(_) => Ok(Step::Run(words)),
            None => Ok(Step::Run(with_places(words, known))),
        }
    }

    /// `help wash`, or all verbs.
    fn help(&self, rest: &[String], known: &Known) -> Result<Vec<String>, Error> {
        let word = rest.first().map_or("", String::as_str);
        if let Some(group) = burrline_screen::help::group(word) {
            return Ok(vec!["help".to_owned(), group.name.to_owned()]);
        }
        if word == "options" {
            return Ok(vec!["help".to_owned(), "options".to_owned()]);
        }
        if self.elsewhere.iter().any(|other| other == word) {
            return Ok(vec![word.to_owned(), "--help".to_owned()]);
        }
        let command = self.command_of(word, known)?;
        if super::OWN.contains(&command.as_str()) {
            return Err(Error::usage(format!("{command} is a word of this prompt: see `help`")));
        }
        Ok(vec![command, "--help".to_owned()])
    }

    /// A verb of the bench: its place and its tags made whole.
    fn bench_verb(
        &self,
        spec: &'static VerbSpec,
        mut words: Vec<String>,
        place: Option<String>,
        known: &Known,
    ) -> Result<Vec<String>, Error> {
        let mut place = place;
        if spec.fields.iter().any(|field| field.name == "place" && field.arity == Arity::One) {
            if let Some(place) = place.take() {
                words.insert(1, place);
            }
            self.place_of(&mut words, known)?;
        } else if let Some(named) = words.get(1).and_then(|word| known.place_named(word)) {
            // The line says it itself: which skulls of there are meant is read with the line.
            place = Some(named.to_owned());
        } else if let Some(named) = place.clone().filter(|_| words.len() > 1) {
            words.insert(1, named);
        }
        let place = place.or_else(|| self.place.clone());
        // `look softening` where the hand stands is about all that is there.
        let tagged = words.iter().skip(1).any(|word| Tag::looks_like(word) || word == "same");
        if let Some(here) = place.as_ref().filter(|_| spec.word == "look" && !tagged)
            && words.len() > 1
            && words.get(1).is_none_or(|word| known.place_named(word).is_none())
        {
            words.insert(1, here.clone());
        }
        let mut words = self.before.make_up(&words, known)?;
        if spec.fields.iter().any(|field| field.name == "skull") {
            words = self.before.skulls(&words)?;
        }
        all_of(spec, &mut words, place.as_deref(), known)?;
        // A line that names its skulls needs no place to tell which they are.
        let takes_place = spec.fields.iter().any(|field| field.kind() == Kind::Place);
        let named = words.iter().skip(1).any(|word| Tag::looks_like(word));
        let scope = words.get(1).is_some_and(|word| known.place_named(word).is_some());
        // One that is known to be elsewhere is asked about, with the place.
        let tagged = |word: &&String| word.len() >= 3 && Tag::looks_like(word);
        let elsewhere = words.iter().skip(1).filter(tagged).any(|word| {
            let is_it = |tag: &str| tag == word || tag.trim_start_matches('0') == word.as_str();
            let there = |line: &burrline_proto::v1::SkullLine| is_it(&line.tag);
            let here = place.as_deref().map(|place| known.here(place)).unwrap_or_default();
            known.open().any(there) && !here.iter().any(there)
        });
        let unread = words.iter().any(|word| word == "?");
        if !takes_place && named && scope && !unread && !elsewhere {
            words.remove(1);
        }
        whole_tags(words, place.as_deref(), known)
    }

    /// The first word that is no tag is the place, or begins it; where the hand stands is meant if a
    /// line about a water names none.
    fn place_of(&self, words: &mut Vec<String>, known: &Known) -> Result<(), Error> {
        let job = |word: &str| EntryName::read(word).is_ok() || Piece::read(word).is_ok();
        let at = words
            .iter()
            .skip(1)
            .position(|word| !(word.starts_with('-') || Tag::looks_like(word) || job(word)));
        let at = at.map(|at| at.saturating_add(1));
        if let Some(word) = at.and_then(|at| words.get_mut(at)) {
            // A comma parts it from the next.
            match known.place(word.trim_end_matches(',')) {
                Begins::One(place) => {
                    *word = place;
                    return Ok(());
                }
                Begins::Many(many) => return Err(could_be(word, &many).into()),
                Begins::Nothing if !near::near(word, known.places()).is_empty() => {
                    return Err(self.no_word(word, known));
                }
                // A place that nobody added yet has a number or a hyphen.
                Begins::Nothing if word.contains('-') => return Ok(()),
                Begins::Nothing => {}
            }
        }
        // `in 0418` at pot-1 is into pot-1; a roll-call and the like are of there, too.
        if let Some(place) = &self.place {
            words.insert(1, place.clone());
        }
        Ok(())
    }
}

/// The reading that answers a question; and what is still to be done, or has no sum yet, as it was typed.
fn asked_first(words: &[String], turned: &[String], known: &Known) -> Option<Step> {
    let reading = line::asking::reading(words, &known.lexicon);
    let reading = reading.or_else(|| line::asking::reading(turned, &known.lexicon));
    let asked = || line::is_asked_first(words, &known.lexicon).then(|| said(words.to_vec()));
    reading.map(Step::Run).or_else(asked)
}

/// A line that is read as it was typed.
fn said(words: Vec<String>) -> Step {
    Step::Run(std::iter::once(line::LINES.to_owned()).chain(words).collect())
}

/// Whole tags in place of short ones, as far as the line can be read. What cannot be read is told when
/// it is run; a command of its own may still take it.
fn whole_tags(
    mut words: Vec<String>,
    place: Option<&str>,
    known: &Known,
) -> Result<Vec<String>, Error> {
    let Ok(mut read) = line::parse_words(&words, &known.lexicon) else { return Ok(words) };
    let typed = tags(&read);
    short::whole(&mut read, place, known)?;
    for (typed, whole) in typed.iter().zip(tags(&read)).filter(|(a, b)| *a != b) {
        let is_it = |word: &&mut String| {
            word.split('/').next().is_some_and(|tag| tag.eq_ignore_ascii_case(typed))
        };
        if let Some(word) = words.iter_mut().find(is_it) {
            *word = word.replacen(typed.as_str(), &whole, 1);
        }
    }
    Ok(words)
}

/// A hand by its beginning; one that the shop does not know must be said whole.
fn hand(rest: &[String], known: &Known) -> Result<String, Error> {
    let [typed] = rest else {
        return Err(Error::usage("one hand, in one word, as in `hand ines`"));
    };
    match begins(typed, known.hands.iter().map(String::as_str)) {
        Begins::One(hand) => Ok(hand),
        Begins::Many(many) => Err(could_be(typed, &many).into()),
        Begins::Nothing => Ok(typed.clone()),
    }
}

/// The verb within an amendment, from its beginning: behind the entry or the tag, or first.
fn inner_verb(mut words: Vec<String>) -> Vec<String> {
    let verbs = || burrline_domain::verb::VERBS.iter().map(|spec| spec.word);
    for at in [1, 2] {
        let Some(word) = words.get_mut(at) else { break };
        // `amend 2:5 add soap 1 cup` says a field anew.
        let field = |spec: &&VerbSpec| spec.fields.iter().any(|field| field.typed_name() == *word);
        if at == 2 && spec(word).is_none() && burrline_domain::verb::VERBS.iter().any(field) {
            break;
        }
        if let Begins::One(verb) = begins(word, verbs()) {
            *word = verb;
            break;
        }
    }
    words
}

/// Names of places as they are written, in the words of a reading.
fn with_places(words: Vec<String>, known: &Known) -> Vec<String> {
    let (mut whole, mut first) = (Vec::with_capacity(words.len()), true);
    for word in words {
        let place = known.place_named(&word).filter(|_| !first).map(str::to_owned);
        whole.push(place.unwrap_or(word));
        first = false;
    }
    whole
}

/// Puts every tag that is in the place where `all` stands.
fn all_of(
    spec: &VerbSpec,
    words: &mut Vec<String>,
    place: Option<&str>,
    known: &Known,
) -> Result<(), Error> {
    let takes = spec.fields.iter().any(|field| field.name == "skull" || field.name == "tags");
    let Some(at) = words.iter().skip(1).position(|word| word == "all").filter(|_| takes) else {
        return Ok(());
    };
    let at = at.saturating_add(1);
    // `all but 425` is read with the line.
    let next = words.get(at.saturating_add(1)).map(|word| folded(word)).unwrap_or_default();
    if matches!(next.as_str(), "but" | "except") {
        return Ok(());
    }
    // After the first tag it is a word like others.
    if words.iter().take(at).skip(1).any(|word| Tag::looks_like(word)) {
        return Ok(());
    }
    let named = words.get(1).filter(|_| spec.on == On::Place).and_then(|w| known.place_named(w));
    // Without one, the line itself may name it: `out pot-1 all`.
    let Some(place) = named.or(place) else { return Ok(()) };
    let here =
        known.here(place).iter().filter(|line| line.piece.is_empty() || line.piece == "skull");
    let tags: Vec<String> =
        here.map(|line| line.tag.clone()).filter(|tag| !tag.is_empty()).collect();
    if tags.is_empty() {
        return Err(Error::usage(format!("nothing with a tag is in {place}")));
    }
    words.splice(at..=at, tags);
    Ok(())
}

/// Every tag that a line is about, as typed.
fn tags(read: &line::Utterance) -> Vec<String> {
    let mut tags = Vec::new();
    for verb in &read.verbs {
        if let burrline_domain::Verb::RollCall(roll_call) = verb {
            tags.extend(roll_call.tags.iter().map(|tag| tag.as_typed().to_owned()));
        }
        let tag = verb.skull().and_then(|skull| skull.tag.as_ref());
        tags.extend(tag.map(|tag| tag.as_typed().to_owned()));
    }
    tags
}
