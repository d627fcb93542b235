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
    let mut weighed = Vec::new();
    for (mut draft, ruled) in drafts.into_iter().zip(ruled) {
        let typed = draft.verb.clone();
        fill(&mut draft.verb, &ruled, said)?;
        said.talk.extend(ruled.objections.iter().filter(|o| !objects(o)).map(|o| o.words.clone()));
        weighed.extend(one(draft, typed, &ruled, common, answerer, said)?);
    }
    Ok(weighed)
}

/// What is to be said of one draft, with the steps that it needs first.
fn one(
    mut draft: Draft,
    typed: Verb,
    ruled: &v1::Ruled,
    common: &Common,
    answerer: &mut (dyn Answerer + Send),
    said: &mut Said,
) -> Result<Vec<Draft>, Error> {
    let objections: Vec<&v1::Objection> = ruled.objections.iter().filter(|o| objects(o)).collect();
    if objections.is_empty() && ruled.unknown.is_empty() {
        return Ok(vec![draft]);
    }
    let missing = missing(ruled, &objections)?;
    let question = Question {
        line: render::said::typed(&typed),
        skull: ruled.skull.as_ref().map(render::skull).unwrap_or_default(),
        against: against(ruled, &objections),
        missing: missing.iter().map(render::said::typed).collect(),
    };
    let choice = match &common.anyway {
        _ if common.done && !missing.is_empty() => Choice::Done,
        Some(reason) => Choice::Anyway(reason.clone()),
        None => answerer.answer(&question),
    };
    match choice {
        Choice::Done if !missing.is_empty() => {
            let first = missing.into_iter().map(|verb| Draft { not_seen: true, ..verb.into() });
            Ok(first.chain([draft]).collect())
        }
        Choice::Anyway(reason) => {
            draft.anyway = Some(Phrase::read(&reason)?);
            draft.rulings = objections.iter().filter_map(|objection| ruling(objection)).collect();
            Ok(vec![draft])
        }
        Choice::Done | Choice::LeaveOff => {
            let why = question.against;
            said.answers.push(Answer::LeftOff { line: question.line, why });
            Ok(Vec::new())
        }
        Choice::Nobody => {
            let mut why = question.against;
            why.push(if missing.is_empty() {
                "to do it all the same, add --anyway REASON".to_owned()
            } else {
                format!(
                    "if it was done and not said ({}), add --yes-done; else --anyway REASON",
                    question.missing.join(", ")
                )
            });
            said.answers.push(Answer::LeftOff { line: question.line, why });
            Ok(Vec::new())
        }
    }
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
