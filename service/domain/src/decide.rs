//! Which decisions are done and which are refused. Facts are never refused, but for one that is on
//! the log already under another name.

use std::fmt;

use burrline_terms::{
    field::Typed as _,
    name::{Digest, Name, Phrase},
    parts::{PlanStep, Skull},
    time::Day,
    words::{Role, ScriptKind},
};

use crate::{
    entry::Entry,
    fold::{State, shadows::minutes},
    settings::{self, TABLE, Unfit},
    tables::{MOST_TABLES, row_name},
    verb::{Decision, ShadowScript},
};

/// Why a decision was refused; part of the contract, and on the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// The bench's role may not decide this.
    RoleMayNot {
        /// The bench's role.
        role: Role,
        /// The least role that may.
        needs: Role,
    },
    /// No open job is meant.
    NoSuchJob,
    /// The named thing does not exist.
    NoSuch(Name),
    /// The named thing exists already.
    Already(Name),
    /// The job is not on hold.
    NotOnHold,
    /// The customer is not known, or is already forgotten.
    NoSuchCustomer,
    /// There is no such setting.
    NoSuchSetting(Phrase),
    /// The setting may not have that value, or there is nothing that it could be about: why, and what
    /// to type.
    BadSetting(Phrase),
    /// The bench was retired; what it did still counts, but it decides nothing more.
    Retired,
    /// No bench has that life.
    NoSuchBench(u32),
    /// No script with that digest is installed.
    NoSuchScript(Digest),
    /// The script is installed and cannot be used: why.
    UnusableScript(Phrase),
    /// The bench took the decision back before the shop had it.
    Withdrawn,
    /// Those lines cannot have reached the shop then.
    NotThen,
    /// The till of that day is closed already.
    TillClosed(Day),
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::RoleMayNot { role, needs } => {
                write!(f, "this bench is for {role} work; ask at one that is for {needs} work")
            }
            Self::NoSuchJob => f.write_str("no open job is meant; find it with `burrline find`"),
            Self::NoSuch(name) => write!(f, "there is no {name}"),
            Self::Already(name) => write!(f, "{name} is there already"),
            Self::NotOnHold => f.write_str("the job is not on hold"),
            Self::NoSuchCustomer => f.write_str("no such customer, or already forgotten"),
            Self::NoSuchSetting(name) => {
                let names: Vec<&str> = TABLE.iter().map(|row| row.name).collect();
                write!(f, "there is no setting {name}; there are {}", names.join(", "))
            }
            Self::BadSetting(words) => f.write_str(words.as_str()),
            Self::Retired => f.write_str("this bench was retired; decide it at another one"),
            Self::NoSuchBench(life) => write!(f, "there is no bench with the life {life}"),
            Self::NoSuchScript(digest) => {
                let digest: String = digest.show().chars().take(12).collect();
                write!(f, "no script with the digest {digest} is installed; install it first")
            }
            Self::UnusableScript(why) => write!(f, "it cannot be used: {why}"),
            Self::Withdrawn => f.write_str(
                "withdrawn by its bench, as the line broke before the shop answered; say it again \
                 if it is still wanted",
            ),
            Self::TillClosed(day) => write!(
                f,
                "the till of {day} is closed; what is said of that day now is in the till of the day on \
                 which it is said"
            ),
            Self::NotThen => f.write_str(
                "those lines cannot have come then: the first must be before the last, and its time \
                 between the line before it and the end of the log",
            ),
        }
    }
}

/// Decides an entry of a bench that has this role, against the present.
///
/// # Errors
/// The [`Refusal`], for decisions only: what has happened has happened. A line that is said again
/// under a new life, and by then is on the log, is there already.
pub fn decide(state: &State, role: Role, entry: &Entry) -> Result<(), Refusal> {
    let spec = entry.verb.spec();
    if let Some(known) = state.said_already(entry) {
        return Err(Refusal::Already(Name::clipped(&known.to_string())));
    }
    match entry.verb.as_decision() {
        None => Ok(()),
        Some(_) if !spec.may(role) => Err(Refusal::RoleMayNot { role, needs: spec.role }),
        Some(decided) => decision(state, decided),
    }
}

fn decision(state: &State, decision: Decision<'_>) -> Result<(), Refusal> {
    let shop = state.shop();
    match decision {
        Decision::EnrolBench(v) => free(shop.bench_named(&v.name).is_some(), &v.name),
        Decision::RetireBench(v) => match shop.benches.get(&v.life) {
            Some(bench) if !bench.retired => Ok(()),
            Some(bench) => Err(Refusal::Already(bench.name.clone())),
            None => Err(Refusal::NoSuchBench(v.life)),
        },
        Decision::PutClockRight(v) => {
            if state.can_put_clock_right(v) {
                Ok(())
            } else {
                Err(Refusal::NotThen)
            }
        }
        Decision::CloseTill(v) => {
            let closed = closed_through(state).is_some_and(|last| v.day <= last);
            if closed || shop.closed_tills.contains_key(&v.day) {
                Err(Refusal::TillClosed(v.day))
            } else {
                Ok(())
            }
        }
        Decision::AddHand(v) => free(shop.hands.contains(&v.name), &v.name),
        Decision::RetireHand(v) => known(shop.hands.contains(&v.name), &v.name),
        Decision::AddPlace(v) => free(shop.places.contains_key(&v.name), &v.name),
        Decision::RetirePlace(v) => known(shop.places.contains_key(&v.name), &v.name),
        Decision::AddSpecies(v) => shop.species.may_add(v).map_err(Refusal::Already),
        Decision::AboutSpecies(v) => {
            known(shop.species.one(v.species.as_str()).is_some(), &v.species)
                .and_then(|()| steps(state, &v.usual))
        }
        Decision::WayStep(v) => steps_named(state, &v.never_after),
        Decision::Way(v) if v.steps.is_empty() => {
            Err(Refusal::BadSetting(Phrase::clipped(&format!(
                "a way has steps, as in: way \"{}\" flesh=30min beetles=5d freeze=8d degrease=3d dry=1d",
                v.name
            ))))
        }
        Decision::Way(v) => steps(state, &v.steps),
        Decision::SetShop(v) => setting(state, v.setting.as_str(), v.value.as_str()),
        // A recipe is always its next version.
        Decision::Recipe(_) => Ok(()),
        Decision::InstallScript(v) => free(shop.scripts.contains_key(&v.digest), &v.name),
        Decision::ActivateScript(v) => {
            let installed = shop.scripts.contains_key(&v.digest);
            if installed { Ok(()) } else { Err(Refusal::NoSuchScript(v.digest)) }
        }
        Decision::RetireScript(v) => {
            known(shop.active.contains_key(&(v.kind, v.name.clone())), &v.name)
        }
        Decision::ShadowScript(v) => may_shadow(state, v),
        Decision::EndShadow(v) => {
            let now = state.last_shop_time();
            known(shop.shadows.get(&v.name).is_some_and(|shadow| now < shadow.until), &v.name)
        }
        Decision::AddTable(v) => {
            if shop.tables.len() >= MOST_TABLES {
                return Err(bad(&format!("there are {MOST_TABLES} tables, and that is the most")));
            }
            free(shop.tables.get(&v.name).is_some(), &v.name)
        }
        Decision::SetRow(v) => shop.tables.may_set(v).map_err(|why| bad(&why)),
        Decision::DropRow(v) => match shop.tables.get(&v.table) {
            Some(table) => known(table.rows.contains_key(&row_name(&v.row)), &v.row),
            None => Err(bad(&shop.tables.no_such(&v.table))),
        },
        Decision::RetireTable(v) => match shop.tables.get(&v.name) {
            Some(_) => Ok(()),
            None => Err(bad(&shop.tables.no_such(&v.name))),
        },
        Decision::Replan(v) => job(state, &v.skull).and_then(|_| steps(state, &v.plan)),
        Decision::Hold(v) => job(state, &v.skull).map(drop),
        Decision::Release(v) if job(state, &v.skull)? => Ok(()),
        Decision::Release(_) => Err(Refusal::NotOnHold),
        Decision::MergeCustomer(v) => {
            let both = shop.customers.contains_key(&v.customer)
                && shop.customers.contains_key(&v.other)
                && v.customer != v.other;
            if both { Ok(()) } else { Err(Refusal::NoSuchCustomer) }
        }
        Decision::ForgetCustomer(v) => match shop.customers.get(&v.customer) {
            Some(customer) if !customer.forgotten => Ok(()),
            // Struck, but sealed on the log all the same.
            None if state.was_added(v.customer) => Ok(()),
            Some(_) | None => Err(Refusal::NoSuchCustomer),
        },
    }
}

fn bad(words: &str) -> Refusal {
    Refusal::BadSetting(Phrase::clipped(words))
}

/// A rule is shadowed that is installed and not in use.
fn may_shadow(state: &State, v: &ShadowScript) -> Result<(), Refusal> {
    let shop = state.shop();
    let script = shop.scripts.get(&v.digest).ok_or(Refusal::NoSuchScript(v.digest))?;
    if script.kind != ScriptKind::Stages {
        return Err(bad("only a rule is shadowed; try a price list with `script backtest`"));
    }
    if shop.active.get(&(script.kind, script.name.clone())) == Some(&v.digest) {
        return Err(bad(&format!("{} is in use as it is, so it is heard already", script.name)));
    }
    match minutes(v.lasts.as_ref()) {
        Some(_) => Ok(()),
        None => Err(bad("a rule is shadowed for 1 h to 90 days")),
    }
}

/// Steps that no way knows are refused, with those that there are.
fn steps(state: &State, plan: &[PlanStep]) -> Result<(), Refusal> {
    let ways = &state.shop().ways;
    let unknown = ways.unknown(plan).map(|step| ways.no_such_step(step.as_str()));
    unknown.map_or(Ok(()), |words| Err(Refusal::BadSetting(words)))
}

fn steps_named(state: &State, names: &[Name]) -> Result<(), Refusal> {
    let ways = &state.shop().ways;
    let unknown = names.iter().find(|name| ways.step(name.as_str()).is_none());
    unknown.map_or(Ok(()), |step| Err(Refusal::BadSetting(ways.no_such_step(step.as_str()))))
}

/// Whether the open job that is meant is on hold.
fn job(state: &State, skull: &Skull) -> Result<bool, Refusal> {
    match state.open_job(skull) {
        Some(job) => Ok(job.hold.is_some()),
        None => Err(Refusal::NoSuchJob),
    }
}

fn setting(state: &State, setting: &str, value: &str) -> Result<(), Refusal> {
    let is_place = |name: &str| state.shop().places.keys().any(|place| place.as_str() == name);
    settings::check(setting, value, &is_place).map_err(|unfit| match unfit {
        Unfit::Unknown(name) => Refusal::NoSuchSetting(Phrase::clipped(&name)),
        Unfit::Wrong(why) => Refusal::BadSetting(Phrase::clipped(&why)),
    })
}

/// The last day whose till is closed. One that was closed before it came, by a clock that was ahead, is
/// closed as far as that moment's day.
fn closed_through(state: &State) -> Option<Day> {
    let zone = jiff::tz::TimeZone::get(state.settings().zone().unwrap_or("UTC"));
    let zone = zone.unwrap_or(jiff::tz::TimeZone::UTC);
    let closed = state.shop().closed_tills.iter().map(|(day, entry)| {
        let at = state.fact(*entry).map(|fact| fact.record.shop_time);
        let at = at.and_then(|at| jiff::Timestamp::from_millisecond(at.0).ok());
        at.map_or(*day, |at| Day(at.to_zoned_datetime(zone.clone()).date()).min(*day))
    });
    closed.max()
}

fn free(taken: bool, name: &Name) -> Result<(), Refusal> {
    if taken { Err(Refusal::Already(name.clone())) } else { Ok(()) }
}

fn known(there: bool, name: &Name) -> Result<(), Refusal> {
    if there { Ok(()) } else { Err(Refusal::NoSuch(name.clone())) }
}
