//! Asking: may I? No number, no signature, no record.

mod amended;
mod in_a_row;

use self::in_a_row::InARow;
use crate::{
    by_hand, extra,
    judge::{By, Judge, Priced, job_facts},
    other_price,
    plausible::{self, Line},
    season::{self, Basis},
    taxes::{taxation, taxation_after},
    view,
};
use burrline_domain::{
    State, Verb,
    fold::Job,
    verb::{self, On},
};
use burrline_host::{JobFacts, Ruling, ScriptFailure, Step};
use burrline_proto::{Wire, v1};
use burrline_reckon::habits;
use burrline_terms::{Happened, Moment, Name, Skull, words::Piece};

/// What is said of a verb by the story so far and by the rules in force.
pub fn ruled<'a>(
    judge: &Judge,
    state: &State,
    verb: &Verb,
    by: impl Into<By<'a>>,
    now: Moment,
) -> v1::Ruled {
    ruled_after(judge, state, verb, &[], by, now)
}

/// The same of a verb that others are said right before: money knows of their prices.
pub fn ruled_after<'a>(
    judge: &Judge,
    state: &State,
    verb: &Verb,
    before: &[Verb],
    by: impl Into<By<'a>>,
    now: Moment,
) -> v1::Ruled {
    let mut out = v1::Ruled {
        refused: plausible::refused(Some(state), verb).unwrap_or_default(),
        ..v1::Ruled::default()
    };
    let by = by.into();
    if let Verb::Amend(amend) = verb {
        out.objections = amended::objections(judge, state, amend, by, now);
        return out;
    }
    let job = match verb.spec().on {
        // Said together with the take-in: there is no job yet, and nothing to ask about.
        On::Skull if comes_in_with(verb, before) => None,
        On::Skull => resolve(state, verb, now, &mut out),
        On::TakeIn => {
            propose(judge, state, verb, before, now, &mut out);
            None
        }
        On::Place | On::Shop => None,
    };
    nowhere(state, verb, &mut out);
    no_recipe(state, verb, &mut out);
    let in_a_row = job.map(|job| InARow::of(state, job, before, now)).unwrap_or_default();
    if let Some(job) = job {
        left(state, job, verb, now, &mut out);
        still_there(job, verb, &in_a_row, &mut out);
        paid_again(state, job, verb, now, &mut out);
        promised(state, job, verb, now, &mut out);
        if let Verb::Extra(said) = verb {
            let words = extra::words(judge, state, job, said, now);
            out.objections.extend(words.map(|words| v1::Objection {
                rule: "price-list".to_owned(),
                words,
                remark_only: true,
                ..v1::Objection::default()
            }));
        }
        if matches!(verb, Verb::Quote(_)) {
            told(state, quoted(judge, state, job, before, now), &mut out);
            out.objections.extend(plausible::far_from_the_list(state, verb, &out.total));
            not_as_told(judge, state, job, verb, before, now, &mut out);
        }
        by_hand::tell(state, job, (verb, before), now, &mut out);
        if matches!(verb, Verb::Agree(_)) {
            heard_last(state, job, verb, before, now, &mut out);
        }
        if matches!(verb, Verb::Replan(_)) {
            plan(judge, state, job, now, &mut out);
        }
        if let Verb::ByWay(said) = verb {
            by_way(state, job, said, &mut out);
            if out.plan.is_empty() {
                plan(judge, state, job, now, &mut out);
            }
        }
    }
    let line = Line { state, verb, before, job, now };
    let rulings = judge.rulings(state, verb, by, 0, now);
    let doubts = plausible::doubts(&line).into_iter();
    out.objections.extend(doubts.filter(|doubt| !is_said_by_a_rule(&line, doubt, &rulings)));
    for ruling in rulings {
        out.objections.push(v1::Objection {
            rule: ruling.rule().to_owned(),
            script: hex::decode(ruling.digest()).unwrap_or_default(),
            words: match &ruling {
                Ruling::NotChecked(failure) => format!("not checked: {failure}"),
                Ruling::Fine { .. } | Ruling::Remark { .. } | Ruling::No { .. } => {
                    ruling.words().unwrap_or_default().to_owned()
                }
            },
            remark_only: !matches!(ruling, Ruling::No { .. }),
            not_checked: matches!(ruling, Ruling::NotChecked(_)),
            missing: missing(state, ruling.rule(), verb, now),
        });
    }
    out.objections.retain(|objection| !in_a_row.says_all(&objection.missing));
    out
}

/// Whether a rule of the shop says already that money is owed: once is enough.
fn is_said_by_a_rule(line: &Line<'_>, doubt: &v1::Objection, rulings: &[Ruling]) -> bool {
    let Some(owed) = plausible::owed_on_leaving(line).filter(|_| doubt.rule == "owed") else {
        return false;
    };
    let bare = owed.trim_end_matches('0').trim_end_matches('.');
    rulings.iter().filter(|ruling| matches!(ruling, Ruling::No { .. })).any(|ruling| {
        let words = ruling.words().unwrap_or_default();
        words.split_whitespace().any(|word| word == owed || word == bare)
    })
}

fn resolve<'a>(state: &'a State, verb: &Verb, now: Moment, out: &mut v1::Ruled) -> Option<&'a Job> {
    let skull = verb.skull()?;
    if let Some(job) = state.find_job_at(skull, now) {
        out.skull = Some(view::skull_line(state, job));
        let tag = state.tag_of(job.id).cloned().or_else(|| skull.tag.clone());
        let tag = if skull.tag.is_some() { tag } else { None };
        out.meant = Some(Skull { tag, job: Some(job.id), piece: skull.piece }.to_item());
        Some(job)
    } else {
        let then = skull.tag.as_ref().and_then(|tag| view::tag_then(state, tag, now));
        // Of a tag that is known, what it was says more than what is near it.
        if then.is_none() {
            out.near = skull.tag.as_ref().map(|tag| view::near(state, tag)).unwrap_or_default();
        }
        out.unknown = match (&skull.tag, skull.job) {
            (Some(tag), _) => then.unwrap_or_else(|| format!("no open job has tag {tag}")),
            (None, Some(job)) => format!("there is no job {}", job.job_number()),
            (None, None) => "say which skull: its tag or its job number".to_owned(),
        };
        None
    }
}

/// A price of the list that is not the one that was told. One that is said by hand is what was heard.
fn not_as_told(
    judge: &Judge,
    state: &State,
    job: &Job,
    verb: &Verb,
    before: &[Verb],
    now: Moment,
    out: &mut v1::Ruled,
) {
    let Verb::Quote(quote) = verb else { return };
    if quote.total.is_some() || !quote.lines.is_empty() {
        return;
    }
    let today = quoted(judge, state, job, before, now).ok().flatten();
    let words = today.and_then(|today| other_price::words(judge, state, job, &today, now));
    out.objections.extend(words.map(|words| v1::Objection {
        rule: "other-price".to_owned(),
        words,
        ..v1::Objection::default()
    }));
}

/// The price that an agreement is to, unless one is said right before it.
fn heard_last(
    state: &State,
    job: &Job,
    verb: &Verb,
    before: &[Verb],
    now: Moment,
    out: &mut v1::Ruled,
) {
    let Verb::Agree(agree) = verb else { return };
    let of_this = |other: &Verb| {
        let skull = other.skull().and_then(|skull| state.find_job_at(skull, now));
        matches!(other, Verb::Quote(_)) && skull.is_some_and(|other| other.id == job.id)
    };
    let Some(quoted) = job.quoted.as_ref().filter(|_| agree.quote.is_none()) else { return };
    if !before.iter().any(of_this) {
        out.heard = Some(quoted.entry.to_item());
        out.heard_total = state.settings().shown(quoted.total);
    }
}

/// What the scripts plan and price for the new one.
fn propose(
    judge: &Judge,
    state: &State,
    verb: &Verb,
    before: &[Verb],
    now: Moment,
    out: &mut v1::Ruled,
) {
    let Verb::TakeIn(take_in) = verb else { return };
    let job = Job::proposed(take_in.clone(), Happened::exactly(now));
    plan(judge, state, &job, now, out);
    let mut facts = job_facts(state, &job, now);
    // Those that come in right before it are on its ticket too.
    let with_it = before.iter().filter(|other| {
        matches!(other, Verb::TakeIn(other) if take_in.ticket.is_some() && other.ticket == take_in.ticket)
    });
    let with_it = i64::try_from(with_it.count()).unwrap_or(0);
    facts.jobs_on_ticket = facts.jobs_on_ticket.saturating_add(with_it);
    told(state, judge.price_of(&facts, &taxation(state, &job, now)), out);
}

/// A place that nobody added: most often a slip of the finger. A shop that has added no place at
/// all, or goes by a place that it has used before, is not asked.
fn nowhere(state: &State, verb: &Verb, out: &mut v1::Ruled) {
    let Some(place) = verb.place() else { return };
    let places = &state.shop().places;
    let used = state.waters().contains_key(place) || state.here(place).next().is_some();
    if places.is_empty() || places.contains_key(place) || used {
        return;
    }
    let known: Vec<&str> = places.keys().map(Name::as_str).take(8).collect();
    out.objections.push(v1::Objection {
        rule: "place".to_owned(),
        words: format!("no place is called {place}; there are {}", known.join(", ")),
        ..v1::Objection::default()
    });
}

/// A recipe that nobody wrote; a bare number stood for litres.
fn no_recipe(state: &State, verb: &Verb, out: &mut v1::Ruled) {
    let Verb::Fill(fill) = verb else { return };
    let Some(recipe) = fill.recipe.as_ref().filter(|r| !state.shop().recipes.contains_key(*r))
    else {
        return;
    };
    let hint = if recipe.as_str().parse::<f64>().is_ok() {
        format!("; if it is how much water, give a unit, such as {recipe}L")
    } else {
        String::new()
    };
    out.objections.push(v1::Objection {
        rule: "recipe".to_owned(),
        words: format!("no recipe is called {recipe}{hint}"),
        ..v1::Objection::default()
    });
}

/// A skull that is not here any more.
fn left(state: &State, job: &Job, verb: &Verb, now: Moment, out: &mut v1::Ruled) {
    out.objections.extend(view::has_left(state, job, verb, now).map(|words| v1::Objection {
        rule: "left".to_owned(),
        words,
        ..v1::Objection::default()
    }));
}

/// A skull that nobody said out: the commonest thing that is forgotten.
fn still_there(job: &Job, verb: &Verb, in_a_row: &InARow<'_>, out: &mut v1::Ruled) {
    let Some(skull) = verb.skull() else { return };
    if !(verb.leaves_place() || matches!(verb, Verb::In(_))) {
        return;
    }
    let stay = job.stays.iter().rev().find(|stay| stay.piece == skull.piece && stay.open());
    if let Some(place) = in_a_row.place(skull.piece, stay.map(|stay| &stay.place)) {
        let said_out: Verb = verb::Out { skull: skull.clone() }.into();
        out.objections.push(v1::Objection {
            rule: "out".to_owned(),
            words: format!("it is in {place} and nobody said it out"),
            missing: vec![v1::Verb::from(&said_out)],
            ..v1::Objection::default()
        });
    }
}

/// What the shop's own trails say of a promised day.
fn promised(state: &State, job: &Job, verb: &Verb, now: Moment, out: &mut v1::Ruled) {
    let Verb::Promise(promise) = verb else { return };
    let outlook = season::outlook(state, job, habits::ready_share(state.settings()), now);
    if outlook.basis == Basis::Nothing {
        return;
    }
    let early = outlook.day.is_some_and(|day| promise.by < day);
    let early = if early { format!("; {} is earlier", promise.by) } else { String::new() };
    out.objections.push(v1::Objection {
        rule: "ready-by".to_owned(),
        words: format!("{}{early}", outlook.sentence),
        remark_only: true,
        ..v1::Objection::default()
    });
}

/// The same payment typed twice is the commonest slip at the till.
fn paid_again(state: &State, job: &Job, verb: &Verb, now: Moment, out: &mut v1::Ruled) {
    const SOON_MS: i64 = 10 * 60_000;
    let Verb::Pay(pay) = verb else { return };
    let jobs = job.ticket().map_or_else(|| vec![job.id], |ticket| state.jobs_of_ticket(ticket));
    let facts = jobs.iter().filter_map(|id| state.job(*id)).flat_map(Job::facts);
    let soon = facts.filter(|(key, active)| *active && now.since(key.at).abs() <= SOON_MS);
    let before = soon
        .filter_map(|(key, _)| Some((state.meaning(key.name)?, state.fact(key.name)?)))
        .find(|(meaning, _)| matches!(meaning, Verb::Pay(p) if p.amount == pay.amount));
    if let Some((_, fact)) = before {
        let at = view::Zone::of(state).time(fact.happened().at, Some(now));
        out.objections.push(v1::Objection {
            rule: "again".to_owned(),
            words: format!(
                "{} was paid on this ticket at {at}: again?",
                state.settings().shown(pay.amount)
            ),
            ..v1::Objection::default()
        });
    }
}

/// The price of the list, beside those that are told right before it.
fn quoted(
    judge: &Judge,
    state: &State,
    job: &Job,
    before: &[Verb],
    now: Moment,
) -> Result<Option<Priced>, ScriptFailure> {
    let taxation = taxation_after(Some(judge), state, job, before, now);
    judge.price_of(&job_facts(state, job, now), &taxation)
}

/// A price as it is told to a hand.
fn told(state: &State, priced: Result<Option<Priced>, ScriptFailure>, out: &mut v1::Ruled) {
    match priced {
        Ok(Some(priced)) => {
            out.price = priced
                .lines
                .iter()
                .map(|line| v1::PriceLine {
                    what: line.what.to_string(),
                    amount: state.settings().shown(line.amount),
                })
                .collect();
            out.total = state.settings().shown(priced.total);
            let bare = priced.tax.checked_sub(priced.cent).unwrap_or(priced.tax);
            out.tax = state.settings().shown(bare);
            out.cent = state.settings().shown(priced.cent);
            out.deposit = priced.deposit.map(|d| state.settings().shown(d)).unwrap_or_default();
            out.price_script = priced.script.0.to_vec();
            out.price_script_name = priced.name;
        }
        Ok(None) => {}
        Err(failure) => out.objections.push(v1::Objection {
            rule: failure.script.clone(),
            words: format!("no price: {failure}"),
            remark_only: true,
            not_checked: true,
            ..v1::Objection::default()
        }),
    }
}

fn plan(judge: &Judge, state: &State, job: &Job, now: Moment, out: &mut v1::Ruled) {
    match judge.plan(state, job, now) {
        Ok(steps) => out.plan = steps.iter().map(Wire::to_item).collect(),
        Err(failure) => tracing::warn!(%failure, "no plan"),
    }
}

/// Whether the head that a line is about comes in right before it.
fn comes_in_with(verb: &Verb, before: &[Verb]) -> bool {
    let tag = verb.skull().and_then(|skull| skull.tag.as_ref());
    let same =
        |other: &Verb| matches!(other, Verb::TakeIn(other) if other.skull.tag.as_ref() == tag);
    tag.is_some() && before.iter().any(same)
}

/// The plan by a way, with the times of the animal.
fn by_way(state: &State, job: &Job, said: &verb::ByWay, out: &mut v1::Ruled) {
    let ways = &state.shop().ways;
    match ways.way(said.way.as_str()) {
        Some(way) if !ways.has_a_plan_of_its_own(&way) => {}
        Some(way) => {
            let steps = state.plan_by(&way, job);
            out.plan = steps.iter().map(Wire::to_item).collect();
        }
        None => out.objections.push(v1::Objection {
            rule: "way".to_owned(),
            words: ways.no_such_way(said.way.as_str()).to_string(),
            ..v1::Objection::default()
        }),
    }
}

/// What `w` (it was done, not said) would record first, for the shipped rules.
pub(crate) fn missing(state: &State, rule: &str, verb: &Verb, now: Moment) -> Vec<v1::Verb> {
    let Some(typed) = verb.skull() else { return Vec::new() };
    let skull = Skull { piece: Piece::Skull, ..typed.clone() };
    let first: Vec<Verb> = match (rule, verb) {
        ("wrap-first", _) => vec![verb::Wrap { skull }.into()],
        ("brain-out", _) => vec![verb::Wash { skull, brain: true }.into()],
        ("sheaths-and-tusks", Verb::In(_)) => {
            let off = |piece| verb::Bag { skull: Skull { piece, ..skull.clone() }, mark: None };
            [Piece::SheathLeft, Piece::SheathRight].map(|piece| off(piece).into()).to_vec()
        }
        ("parts-at-risk", Verb::In(_)) => {
            let job = state.find_job_at(typed, now);
            let parts = job.map(|job| at_risk(&job_facts(state, job, now))).unwrap_or_default();
            let tie = |piece| verb::Tie { skull: Skull { piece, ..skull.clone() }, with: None };
            parts.into_iter().map(|piece| tie(piece).into()).collect()
        }
        _ => Vec::new(),
    };
    first.iter().map(v1::Verb::from).collect()
}

/// Pieces that are cracked or loose, and neither tied, bagged nor glued, as the shipped rule has it.
fn at_risk(job: &JobFacts) -> Vec<Piece> {
    let hangs = |state: &str| matches!(state, "cracked" | "loose" | "opening" | "open");
    let parts = [
        (Piece::Nose, &job.nose, &job.wishes.nose),
        (Piece::Jaw, &job.jaw, &job.wishes.jaw),
        (Piece::Teeth, &job.teeth, &job.wishes.teeth),
    ];
    let held = |piece: Piece| {
        let holds = |step: &Step| matches!(step.verb.as_str(), "tie" | "bag" | "glue");
        job.steps.iter().any(|step| step.piece == piece.word() && holds(step))
            || job.parts_away.iter().any(|away| away == piece.word())
    };
    let wanted = parts.into_iter().filter(|(_, state, wish)| hangs(state) && *wish != "leave-off");
    wanted.map(|(piece, ..)| piece).filter(|piece| !held(*piece)).collect()
}
