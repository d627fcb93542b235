//! What the shop says before a line is said, and what the hand makes of it.

use burrline_domain::{Digest, Name, Phrase, PlanStep, PriceLine, Ruling, Skull, Typed, Verb};
use burrline_proto::{Wire, v1};

use super::{
    answer::{Answer, Answerer, Choice, Question, Said},
    draft::{Draft, set_skull},
};
use crate::{Error, line::Common, render};

/// Puts the shop's answers to the hand and gives what is to be said; without answers, all of it.
pub(super) fn weigh(
    drafts: Vec<Draft>,
    ruled: Option<Vec<v1::Ruled>>,
    common: &Common,
    answerer: &mut (dyn Answerer + Send),
    said: &mut Said,
) -> Result<Vec<Draft>, Error> {
    let Some(ruled) = ruled else {
        if let Some(draft) = drafts.iter().find(|draft| is_bare_quote(&draft.verb)) {
            let what = draft.verb.spec().word;
            return Err(Error::usage(format!(
                "{what}: the shop is out of reach, so there is no price; say it with --total"
            )));
        }
        let anyway = common.anyway.as_deref().map(Phrase::read).transpose()?;
        return Ok(drafts
            .into_iter()
            .map(|draft| Draft { anyway: anyway.clone(), ..draft })
            .collect());
    };
    let mut asked = Vec::with_capacity(drafts.len());
    for (mut draft, ruled) in drafts.into_iter().zip(ruled) {
        let typed = draft.verb.clone();
        fill(&mut draft.verb, &ruled, said)?;
        said.talk.extend(ruled.objections.iter().filter(|o| !objects(o)).map(|o| o.words.clone()));
        asked.push(Asked::of(draft, &typed, &ruled)?);
    }
    let choices = choices(&asked, common, answerer);
    let mut weighed = Vec::new();
    for (asked, choice) in asked.into_iter().zip(choices) {
        weighed.extend(asked.chosen(choice, said)?);
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
    /// The line without its skull, to ask about several at once.
    what: String,
    tag: String,
}

impl Asked {
    fn of(draft: Draft, typed: &Verb, ruled: &v1::Ruled) -> Result<Self, Error> {
        let objections: Vec<&v1::Objection> =
            ruled.objections.iter().filter(|o| objects(o)).collect();
        let missing = missing(ruled, &objections)?;
        let question = (!objections.is_empty() || !ruled.unknown.is_empty()).then(|| Question {
            line: render::said::typed(typed),
            skull: ruled.skull.as_ref().map(render::skull).unwrap_or_default(),
            against: against(ruled, &objections),
            missing: missing.iter().map(render::said::typed).collect(),
            skulls: 1,
        });
        let rulings = objections.iter().filter_map(|objection| ruling(objection)).collect();
        Ok(Self {
            draft,
            question,
            missing,
            rulings,
            what: render::said::what(typed),
            tag: tag(typed),
        })
    }

    /// Whether one answer can stand for both: the same remark on the same thing done to another skull,
    /// settled by the same steps.
    fn is_like(&self, other: &Self) -> bool {
        let steps = |asked: &Self| asked.missing.iter().map(render::said::what).collect::<Vec<_>>();
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

    /// What is to be said of it, with the steps that it needs first.
    fn chosen(self, choice: Option<Choice>, said: &mut Said) -> Result<Vec<Draft>, Error> {
        let Self { mut draft, question, missing, rulings, .. } = self;
        let (Some(question), Some(choice)) = (question, choice) else { return Ok(vec![draft]) };
        let mut why = question.against;
        match choice {
            Choice::Done if !missing.is_empty() => {
                let first = missing.into_iter().map(|verb| Draft { not_seen: true, ..verb.into() });
                return Ok(first.chain([draft]).collect());
            }
            Choice::Anyway(reason) => {
                draft.anyway = Some(Phrase::read(&reason)?);
                draft.rulings = rulings;
                return Ok(vec![draft]);
            }
            Choice::Done | Choice::LeaveOff | Choice::Each => {}
            Choice::Nobody => why.push(if missing.is_empty() {
                "to do it all the same, add --anyway REASON".to_owned()
            } else {
                format!(
                    "if it was done and not said ({}), add --yes-done; else --anyway REASON",
                    question.missing.join(", ")
                )
            }),
        }
        said.answers.push(Answer::LeftOff { line: question.line, why });
        Ok(Vec::new())
    }
}

/// An answer for each of the drafts that something is said against; the same remark on several skulls
/// of a line is asked once.
fn choices(
    asked: &[Asked],
    common: &Common,
    answerer: &mut (dyn Answerer + Send),
) -> Vec<Option<Choice>> {
    let mut choices: Vec<Option<Choice>> = Vec::with_capacity(asked.len());
    let mut settled: Vec<(&Asked, Choice)> = Vec::new();
    for (n, one) in asked.iter().enumerate() {
        let Some(question) = &one.question else {
            choices.push(None);
            continue;
        };
        let before = settled.iter().find(|(other, _)| other.is_like(one)).map(|(_, c)| c.clone());
        let choice = match &common.anyway {
            _ if common.done && !one.missing.is_empty() => Choice::Done,
            Some(reason) => Choice::Anyway(reason.clone()),
            None => match before {
                Some(Choice::Each) => answerer.answer(question),
                Some(choice) => choice,
                None => {
                    let alike: Vec<&Asked> =
                        asked.iter().skip(n).filter(|other| other.is_like(one)).collect();
                    let choice = match together(question, &alike) {
                        Some(question) => answerer.answer(&question),
                        None => answerer.answer(question),
                    };
                    settled.push((one, choice.clone()));
                    if choice == Choice::Each { answerer.answer(question) } else { choice }
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
    let missing = one.missing.iter().map(|verb| format!("{} {tags}", render::said::what(verb)));
    Some(Question {
        line: format!("{} {tags}", one.what),
        skull: skulls.join(", "),
        against: first.against.clone(),
        missing: missing.collect(),
        skulls: alike.len(),
    })
}

/// The tag as typed; empty if the line names its skull otherwise, or none.
fn tag(verb: &Verb) -> String {
    let tag = verb.skull().and_then(|skull| skull.tag.as_ref());
    tag.map(|tag| tag.as_typed().to_owned()).unwrap_or_default()
}

/// Puts into the verb what only the shop knew: the job that is meant, the plan, the price.
fn fill(verb: &mut Verb, ruled: &v1::Ruled, said: &mut Said) -> Result<(), Error> {
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
                said.talk.push(render::price(&take_in.skull, ruled));
            }
        }
        Verb::Replan(replan) if replan.plan.is_empty() => replan.plan = plan()?,
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
    Ok(())
}

fn is_bare_quote(verb: &Verb) -> bool {
    matches!(verb, Verb::Quote(quote) if quote.total.is_none() && quote.lines.is_empty())
}

/// Whether a rule says no, as opposed to remarking something or not working.
const fn objects(objection: &v1::Objection) -> bool {
    !objection.remark_only && !objection.not_checked
}

/// The steps to say first; none if they would not settle everything that is said against it.
fn missing(ruled: &v1::Ruled, objections: &[&v1::Objection]) -> Result<Vec<Verb>, Error> {
    let mut missing: Vec<Verb> = Vec::new();
    if !ruled.unknown.is_empty() {
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

fn against(ruled: &v1::Ruled, objections: &[&v1::Objection]) -> Vec<String> {
    let unknown = Some(ruled.unknown.clone()).filter(|words| !words.is_empty());
    let near: Vec<String> = ruled.near.iter().map(render::skull_and_place).collect();
    let unknown = unknown.map(|words| {
        // The shop may have said already what is near.
        let said = near.is_empty() || words.contains("did you mean");
        if said { words } else { format!("{words}; did you mean {}", near.join(", or ")) }
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
