//! What the shop says before a line is said, and what the hand makes of it.
//!
//! * `partly`: what the line says of other skulls, where one is left off

mod partly;

use burrline_domain::{Ruling, Verb, verb::LeftOff};
use burrline_line::{Common, typed};
use burrline_present::{by_hand::plus_tax, named, plausible::shown::Shown};
use burrline_proto::{Wire, v1};
use burrline_terms::{Digest, EntryName, Money, Name, Phrase, PlanStep, PriceLine, Skull, Typed};

use super::{
    answer::{Answer, Answerer, Choice, Question, Said},
    draft::{Draft, set_skull},
    left_off::left_off,
    private,
};
use crate::Error;

/// What the hand made of the shop's answers.
#[derive(Debug, Default)]
pub(super) struct Weighed {
    /// Steps that were done and not said: to be said before anything else.
    pub(super) first: Vec<Draft>,
    /// What is to be said.
    pub(super) drafts: Vec<Draft>,
    /// Whether the hand was asked and took its time, so that the story may have gone on.
    pub(super) asked: bool,
}

/// Puts the shop's answers to the hand and gives what is to be said; without answers, all of it.
/// `parts` says whether what the line says of one skull can be recorded without the rest.
pub(super) fn weigh(
    drafts: Vec<Draft>,
    ruled: Option<Vec<v1::Ruled>>,
    common: &Common,
    parts: bool,
    answerer: &mut (dyn Answerer + Send),
    said: &mut Said,
) -> Result<Weighed, Error> {
    let Some(ruled) = ruled else {
        if let Some(draft) = drafts.iter().find(|draft| is_bare_quote(&draft.verb)) {
            let what = draft.verb.spec().word;
            return Err(Error::usage(format!(
                "{what}: the shop is out of reach, so there is no price; say it with --total"
            )));
        }
        if drafts.iter().any(|draft| adds_tax(&draft.verb)) {
            return Err(Error::usage(
                "charge: the shop is out of reach, so there is no tax to add; say the whole sum, tax and all",
            ));
        }
        let anyway = common.anyway.as_deref().map(Phrase::read).transpose()?;
        let drafts = drafts.into_iter().map(|draft| Draft { anyway: anyway.clone(), ..draft });
        return Ok(Weighed { drafts: drafts.collect(), ..Weighed::default() });
    };
    if let Some(wrong) = ruled.iter().find(|ruled| !ruled.refused.is_empty()) {
        return Err(Error::usage(wrong.refused.clone()));
    }
    let mut asked = Vec::with_capacity(drafts.len());
    for (mut draft, ruled) in drafts.into_iter().zip(ruled) {
        let typed = draft.verb.clone();
        let price = fill(&mut draft.verb, &ruled)?;
        said.talk.extend(ruled.objections.iter().filter(|o| !objects(o)).map(|o| o.words.clone()));
        asked.push(Asked { price, ..Asked::of(draft, &typed, &ruled)? });
    }
    let parts = parts && partly::has_parts(&asked);
    let choices = choices(&asked, common, parts, answerer);
    let mut weighed = Weighed::default();
    let nobody = choices.iter().flatten().any(|choice| *choice == Choice::Nobody);
    if parts && nobody && partly::is_of_several(&asked) {
        return Err(partly::nothing_of_it(&asked, &choices));
    }
    let left = if parts { partly::left(&asked, &choices) } else { vec![false; asked.len()] };
    for ((asked, choice), left) in asked.into_iter().zip(choices).zip(left) {
        if left {
            asked.left(choice, said);
            continue;
        }
        let answered = matches!(choice, Some(Choice::Done | Choice::Anyway(_)));
        weighed.asked |= answered && common.anyway.is_none();
        if common.anyway.is_some() {
            // Typed beforehand, so the hand has not seen it yet.
            said.talk.extend(asked.unruled.iter().cloned());
        }
        asked.chosen(choice, &mut weighed, said)?;
    }
    Ok(weighed)
}

/// A draft with what is said against it.
struct Asked {
    draft: Draft,
    question: Option<Question>,
    /// The steps that would settle it.
    missing: Vec<Verb>,
    rulings: Vec<Ruling>,
    /// What the price list says, told only if the line is said.
    price: Option<String>,
    /// All that is shown with the question.
    shown: Vec<Shown>,
    /// What no script says and no record remarks.
    unruled: Vec<String>,
    /// What is noted if the hand leaves it off.
    note: LeftOff,
    /// The line without its skull, to ask about several at once.
    what: String,
    tag: String,
}

impl Asked {
    fn of(draft: Draft, typed: &Verb, ruled: &v1::Ruled) -> Result<Self, Error> {
        let is_new = |shown: &Shown| !draft.shown.iter().any(|before| before.covers(shown));
        let objections: Vec<&v1::Objection> =
            ruled.objections.iter().filter(|o| objects(o) && is_new(&Shown::of(o))).collect();
        let unknown = Some(ruled.unknown.as_str());
        let unknown = unknown.filter(|words| !words.is_empty() && is_new(&Shown::unknown(words)));
        let missing = missing(unknown, &objections)?;
        let question = (!objections.is_empty() || unknown.is_some()).then(|| Question {
            line: typed::typed(typed),
            skull: ruled.skull.as_ref().map(named::skull).unwrap_or_default(),
            against: against(ruled, unknown, &objections),
            missing: missing.iter().map(typed::typed).collect(),
            skulls: 1,
            seal: private::can_be_sealed(typed, ruled, &objections),
            rest: String::new(),
        });
        let rulings = objections.iter().filter_map(|objection| ruling(objection)).collect();
        let shown = objections.iter().map(|o| Shown::of(o)).chain(unknown.map(Shown::unknown));
        let unruled = objections.iter().filter(|o| o.script.is_empty()).map(|o| o.words.clone());
        let meant = ruled.meant.as_ref().map(read::<Skull>).transpose()?;
        let unknown_tag = (!ruled.unknown.is_empty()).then(|| Name::clipped("unknown-tag"));
        let rules = objections.iter().map(|objection| Name::clipped(&objection.rule));
        let rules = unknown_tag.into_iter().chain(rules).collect();
        let note = left_off(typed, meant.and_then(|skull| skull.job), rules);
        Ok(Self {
            shown: shown.collect(),
            unruled: unruled.collect(),
            draft,
            question,
            missing,
            rulings,
            price: None,
            note,
            what: typed::what(typed),
            tag: tag(typed),
        })
    }

    /// Whether one answer can stand for both: the same remark on the same thing done to another skull,
    /// settled by the same steps.
    fn is_like(&self, other: &Self) -> bool {
        let steps = |asked: &Self| asked.missing.iter().map(typed::what).collect::<Vec<_>>();
        match (&self.question, &other.question) {
            (Some(one), Some(two)) => {
                let tagged = !self.tag.is_empty() && !other.tag.is_empty();
                tagged
                    && one.against == two.against
                    && self.what == other.what
                    && steps(self) == steps(other)
            }
            (_, _) => false,
        }
    }

    /// Adds what is to be said of it, and the steps that it needs first.
    fn chosen(
        self,
        choice: Option<Choice>,
        weighed: &mut Weighed,
        said: &mut Said,
    ) -> Result<(), Error> {
        let Self { mut draft, question, missing, rulings, shown, price, note, .. } = self;
        let (Some(question), Some(choice)) = (question, choice) else {
            said.talk.extend(price);
            weighed.drafts.push(draft);
            return Ok(());
        };
        let mut why = question.against;
        match choice {
            Choice::Done if !missing.is_empty() => {
                said.talk.extend(price);
                let said = draft.said;
                let first = |verb: Verb| Draft { not_seen: true, said, ..verb.into() };
                let first = missing.into_iter().map(first);
                for draft in first {
                    // Two pieces of one skull may miss the same step.
                    if !weighed.first.iter().any(|before| before.verb == draft.verb) {
                        weighed.first.push(draft);
                    }
                }
                draft.shown.extend(shown);
                weighed.drafts.push(draft);
                return Ok(());
            }
            Choice::Anyway(reason) => {
                said.talk.extend(price);
                let reason = match &draft.anyway {
                    Some(before) if before.as_str() != reason => format!("{before}; {reason}"),
                    Some(_) | None => reason,
                };
                draft.anyway = Some(Phrase::read(&reason)?);
                draft.rulings.extend(rulings);
                draft.shown.extend(shown);
                weighed.drafts.push(draft);
                return Ok(());
            }
            Choice::Seal if question.seal => {
                said.talk.extend(price);
                draft.shown.extend(shown);
                weighed.drafts.extend(private::sealed(draft)?);
                return Ok(());
            }
            Choice::Done | Choice::Seal | Choice::Without | Choice::LeaveOff | Choice::Each => {
                said.left_off.push(note);
            }
            Choice::Nobody => why.push(if missing.is_empty() {
                "to do it all the same, add --anyway REASON".to_owned()
            } else {
                format!(
                    "if it was done and not recorded ({}), add --yes-done; else --anyway REASON",
                    question.missing.join(", ")
                )
            }),
        }
        said.answers.push(Answer::LeftOff { line: question.line, why });
        Ok(())
    }

    /// Leaves it off with the rest of its line, or of what the line says of its skull.
    fn left(self, choice: Option<Choice>, said: &mut Said) {
        let (line, why) = match self.question {
            Some(question) => (question.line, question.against),
            None => (typed::typed(&self.draft.verb), vec!["left off with the line".to_owned()]),
        };
        // Only what the hand was asked about is noted.
        if choice.is_some() {
            said.left_off.push(self.note);
        }
        said.answers.push(Answer::LeftOff { line, why });
    }
}

/// An answer for each of the drafts that something is said against; the same remark on several skulls
/// of a line is asked once.
fn choices(
    asked: &[Asked],
    common: &Common,
    parts: bool,
    answerer: &mut (dyn Answerer + Send),
) -> Vec<Option<Choice>> {
    let mut choices: Vec<Option<Choice>> = Vec::with_capacity(asked.len());
    let mut settled: Vec<(&Asked, Choice)> = Vec::new();
    for (n, one) in asked.iter().enumerate() {
        let Some(question) = &one.question else {
            choices.push(None);
            continue;
        };
        // Nothing of the line is to be recorded: nothing more is asked of it.
        if parts && choices.iter().flatten().any(|choice| *choice == Choice::LeaveOff) {
            choices.push(None);
            continue;
        }
        let with_rest = |mut question: Question, alike: &[&Asked]| {
            if parts {
                question.rest = partly::rest(asked, &choices, alike);
            }
            question
        };
        let alone = with_rest(question.clone(), &[one]);
        let before = settled.iter().find(|(other, _)| other.is_like(one)).map(|(_, c)| c.clone());
        let choice = match &common.anyway {
            _ if common.done && !one.missing.is_empty() => Choice::Done,
            Some(reason) => Choice::Anyway(reason.clone()),
            None => match before {
                Some(Choice::Each) => answerer.answer(&alone),
                Some(choice) => choice,
                None => {
                    let alike: Vec<&Asked> =
                        asked.iter().skip(n).filter(|other| other.is_like(one)).collect();
                    let choice = match together(question, &alike) {
                        Some(question) => answerer.answer(&with_rest(question, &alike)),
                        None => answerer.answer(&alone),
                    };
                    settled.push((one, choice.clone()));
                    if choice == Choice::Each { answerer.answer(&alone) } else { choice }
                }
            },
        };
        choices.push(Some(choice));
    }
    choices
}

/// One question for several skulls; none if there is only one.
fn together(first: &Question, alike: &[&Asked]) -> Option<Question> {
    let [one, _, ..] = alike else { return None };
    let tags: Vec<&str> = alike.iter().map(|asked| asked.tag.as_str()).collect();
    let tags = tags.join(" ");
    let skulls: Vec<&str> =
        alike.iter().filter_map(|asked| Some(asked.question.as_ref()?.skull.as_str())).collect();
    let missing = one.missing.iter().map(|verb| format!("{} {tags}", typed::what(verb)));
    Some(Question {
        line: format!("{} {tags}", one.what),
        skull: skulls.join(", "),
        against: first.against.clone(),
        missing: missing.collect(),
        skulls: alike.len(),
        seal: first.seal,
        rest: String::new(),
    })
}

/// The tag as typed; empty if the line names its skull otherwise, or none.
fn tag(verb: &Verb) -> String {
    let tag = verb.skull().and_then(|skull| skull.tag.as_ref());
    tag.map(|tag| tag.as_typed().to_owned()).unwrap_or_default()
}

/// Puts into the verb what only the shop knew: the job that is meant, the plan, the price. Gives the
/// price of a head that is taken in, in words.
fn fill(verb: &mut Verb, ruled: &v1::Ruled) -> Result<Option<String>, Error> {
    if let Some(meant) = &ruled.meant {
        set_skull(verb, read::<Skull>(meant)?);
    }
    let plan = || ruled.plan.iter().map(read::<PlanStep>).collect::<Result<Vec<_>, _>>();
    #[allow(clippy::wildcard_enum_match_arm, reason = "the shop completes these verbs alone")]
    match verb {
        Verb::TakeIn(take_in) => {
            if take_in.plan.is_empty() {
                take_in.plan = plan()?;
            }
            if !ruled.total.is_empty() {
                return Ok(Some(price(&take_in.skull, ruled)));
            }
        }
        Verb::Replan(replan) if replan.plan.is_empty() => replan.plan = plan()?,
        Verb::ByWay(by_way) if by_way.plan.is_empty() => by_way.plan = plan()?,
        Verb::Agree(agree) if agree.quote.is_none() => {
            agree.quote = ruled.heard.as_ref().map(read::<EntryName>).transpose()?;
            let tag = agree.skull.tag.as_ref().map(ToString::to_string).unwrap_or_default();
            let told = format!("{tag}: agreed to {}", ruled.heard_total);
            return Ok(agree.quote.map(|quote| format!("{told}, heard in {quote}")));
        }
        Verb::Charge(charge) => {
            if let Some(what) = plus_tax(charge.what.as_ref()) {
                charge.amount = Money::read(&ruled.with_tax)
                    .map_err(|_| Error::Refused("charge: the shop gave no tax for it".into()))?;
                charge.what =
                    Some(what).filter(|what| !what.is_empty()).map(|what| Phrase::clipped(&what));
            }
        }
        Verb::Quote(quote) if !quote.lines.is_empty() && quote.total.is_none() => {
            quote.total = Money::read(&ruled.with_tax).ok();
        }
        // Said by hand and as the list has it: its lines go with it.
        Verb::Quote(quote)
            if quote.lines.is_empty()
                && quote.total.is_some_and(|total| Money::read(&ruled.total) == Ok(total)) =>
        {
            quote.lines = ruled.price.iter().map(read::<PriceLine>).collect::<Result<_, _>>()?;
            quote.script = ruled.price_script.as_slice().try_into().ok().map(Digest);
        }
        Verb::Quote(quote) if quote.total.is_none() && quote.lines.is_empty() => {
            if ruled.total.is_empty() && ruled.unknown.is_empty() {
                return Err(Error::Refused(
                    "quote: no pricing script gives a price; say it with --total".into(),
                ));
            }
            quote.lines = ruled.price.iter().map(read::<PriceLine>).collect::<Result<_, _>>()?;
            let total = Some(ruled.total.as_str()).filter(|total| !total.is_empty());
            quote.total = total.map(Typed::read).transpose()?;
            quote.script = ruled.price_script.as_slice().try_into().ok().map(Digest);
        }
        _ => {}
    }
    Ok(None)
}

/// Whether it is a price that only the shop can name.
pub(super) fn is_bare_quote(verb: &Verb) -> bool {
    matches!(verb, Verb::Quote(quote) if quote.total.is_none() && quote.lines.is_empty())
}

/// Whether it is a charge whose tax only the shop can add.
fn adds_tax(verb: &Verb) -> bool {
    matches!(verb, Verb::Charge(charge) if plus_tax(charge.what.as_ref()).is_some())
}

/// Whether a rule says no, as opposed to remarking something or not working.
const fn objects(objection: &v1::Objection) -> bool {
    !objection.remark_only && !objection.not_checked
}

/// The steps to say first; none if they would not settle everything that is said against it.
fn missing(unknown: Option<&str>, objections: &[&v1::Objection]) -> Result<Vec<Verb>, Error> {
    let mut missing: Vec<Verb> = Vec::new();
    if unknown.is_some() {
        return Ok(missing);
    }
    for objection in objections {
        if objection.missing.is_empty() {
            return Ok(Vec::new());
        }
        for verb in &objection.missing {
            let verb = Verb::try_from(verb).map_err(|e| Error::Nonsense(e.to_string()))?;
            if !missing.contains(&verb) {
                missing.push(verb);
            }
        }
    }
    Ok(missing)
}

fn against(ruled: &v1::Ruled, unknown: Option<&str>, objections: &[&v1::Objection]) -> Vec<String> {
    let near: Vec<String> = ruled.near.iter().map(named::skull_and_place).collect();
    let unknown = unknown.map(|words| {
        // The shop may have said already what is near.
        let said = near.is_empty() || words.contains("did you mean");
        if said {
            words.to_owned()
        } else {
            format!("{words}; did you mean {}", near.join(", or "))
        }
    });
    unknown.into_iter().chain(objections.iter().map(|o| o.words.clone())).collect()
}

/// What a script said; what the shop itself objects to has no script, and only its reason travels.
fn ruling(objection: &v1::Objection) -> Option<Ruling> {
    Some(Ruling {
        rule: Name::clipped(&objection.rule),
        script: Digest(objection.script.as_slice().try_into().ok()?),
        words: Phrase::clipped(&objection.words),
    })
}

fn read<T: Wire>(item: &T::Item) -> Result<T, Error> {
    T::from_item(item).map_err(|e| Error::Nonsense(e.to_string()))
}
/// What is to be typed of a price that was only reckoned.
pub const ONCE_HEARD: &str = "once the customer has heard it:";

/// "0417 price: 185.00 (cleaning 150.00, whitening 35.00)".
fn price(skull: &Skull, ruled: &v1::Ruled) -> String {
    let tag = skull.tag.as_ref().map(ToString::to_string).unwrap_or_default();
    let mut lines: Vec<String> =
        ruled.price.iter().map(|line| format!("{} {}", line.what, line.amount)).collect();
    if ruled.tax.chars().any(|c| c.is_ascii_digit() && c != '0') {
        lines.push(format!("tax {}", ruled.tax));
    }
    if ruled.cent.chars().any(|c| c.is_ascii_digit() && c != '0') {
        lines.push(format!("rounding over the visit {}", ruled.cent));
    }
    format!(
        "{tag} price: {} ({}); {ONCE_HEARD} burrline quote {tag}",
        ruled.total,
        lines.join(", ")
    )
}
