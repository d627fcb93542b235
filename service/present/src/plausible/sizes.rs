//! Sizes and counts: a mass, a length, points, teeth and hours that no head and no day has.

use burrline_domain::{
    SpeciesList, Verb,
    fold::{Job, Key},
    verb::Weigh,
};
use burrline_terms::{
    units::{Amount, Mass, MassUnit},
    words::{Group, Piece, Sex},
};
use rust_decimal::Decimal;

use super::{Doubts, Line, figure, usual};

/// What is unlikely whatever was said before.
pub(super) fn by_itself(line: &Line<'_>, out: &mut Doubts) {
    let group = line.job.map(Job::species).map_or(Group::Other, |species| group_of(species));
    let animal = line.job.and_then(Job::species).map(ToString::to_string);
    let animal = animal.unwrap_or_else(|| "head".to_owned());
    match line.verb {
        Verb::Weigh(weigh) => weighs(weigh, group, &animal, out),
        Verb::Measure(measure) => {
            let length = measure.length.millimetres();
            let most = Decimal::from(usual::millimetres(group));
            if length.is_zero() {
                out.add("length", format!("{} is no length", measure.length));
            } else if length > most {
                out.add(
                    "length",
                    format!(
                        "{} of {} is more than any {animal} has ({} cm)",
                        measure.what,
                        measure.length,
                        figure(most.checked_div(Decimal::TEN).unwrap_or(most))
                    ),
                );
            }
        }
        Verb::TakeIn(take_in) => {
            let group = group_of(take_in.species.as_ref());
            let animal = take_in.species.as_ref().map_or("head", |species| species.as_str());
            points(take_in.points.unwrap_or(0), take_in.sex, group, animal, out);
        }
        Verb::Condition(condition) => {
            let (teeth, most) = (condition.teeth.unwrap_or(0), usual::teeth(group));
            if teeth > most {
                out.add("teeth", format!("{teeth} teeth: a {animal} has {most} at most"));
            }
        }
        Verb::Hours(hours) => {
            let minutes = hours.worked.minutes();
            let most = Decimal::from(usual::HOURS_A_DAY.saturating_mul(60));
            let day = Decimal::from(24 * 60);
            if minutes.is_zero() {
                out.add("hours", format!("{} is no work", hours.worked));
            } else if minutes > day {
                out.add("hours", format!("{} is more than a day has", hours.worked));
            } else if minutes > most {
                out.add(
                    "hours",
                    format!("{} is more than {} h in a day", hours.worked, usual::HOURS_A_DAY),
                );
            }
        }
        Verb::ReceiveStock(stock) => {
            let most = Decimal::from(usual::BOOKED);
            let (number, unit) = match stock.stuff.amount {
                Amount::Volume(volume) => (volume.litres(), "L"),
                Amount::Mass(mass) => {
                    let grams = mass.grams();
                    (grams.checked_div(Decimal::ONE_THOUSAND).unwrap_or(grams), "kg")
                }
                Amount::Count(number) => (number, ""),
            };
            let what = &stock.stuff.what;
            if number.is_zero() {
                out.add("stock", format!("0 {unit} of {what}: nothing came in"));
            } else if number > most && !unit.is_empty() {
                out.add("stock", format!("{} {unit} of {what} at once", figure(number)));
            }
        }
        _ => {}
    }
}

/// What is unlikely after what was said before.
pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let (Verb::Weigh(weigh), Some(job)) = (line.verb, line.job) else { return };
    let Some((key, last)) = last_weighing(line, job, weigh.skull.piece) else { return };
    let (now, before) = (weigh.mass.grams(), last.grams());
    let Some(times) = now.checked_div(before) else { return };
    let lighter = times < usual::ratio(usual::LIGHTER) && !worked_since(line, job, key);
    if times > usual::ratio(usual::HEAVIER) || lighter {
        let before = Mass::new(before, MassUnit::Gram);
        let before = if last.unit == weigh.mass.unit { last } else { before };
        out.add("mass", format!("{} now, {before} at the last weighing", weigh.mass));
    }
}

fn group_of(species: Option<&burrline_terms::Name>) -> Group {
    species.map_or(Group::Other, |species| SpeciesList::builtin().group(species.as_str()))
}

fn weighs(weigh: &Weigh, group: Group, animal: &str, out: &mut Doubts) {
    let grams = weigh.mass.grams();
    let (least, most) = usual::grams(group);
    if grams > Decimal::from(most) {
        let most = figure(Decimal::new(most, 3));
        out.add(
            "mass",
            format!("{}: a {animal} weighs {most} kg at most, hide and all", weigh.mass),
        );
    } else if grams.is_zero() {
        out.add("mass", format!("{} is no mass", weigh.mass));
    } else if grams < Decimal::from(least) && weigh.skull.piece == Piece::Skull {
        out.add("mass", format!("{}: a skull of {animal} weighs {least} g at least", weigh.mass));
    }
}

fn points(points: u32, sex: Option<Sex>, group: Group, animal: &str, out: &mut Doubts) {
    let most = usual::points(group);
    if points == 0 {
        return;
    }
    if most == 0 {
        out.add("points", format!("{points} points: {animal} has no antlers"));
    } else if points > most {
        out.add("points", format!("{points} points: {most} is the most for {animal}"));
    }
    let rare = sex == Some(Sex::Female) && matches!(group, Group::Deer | Group::Moose);
    if rare {
        out.add("points", format!("{points} points on a female {animal}"));
    }
}

/// The last time that the same piece was weighed.
fn last_weighing(line: &Line<'_>, job: &Job, piece: Piece) -> Option<(Key, Mass)> {
    let weighed = job.facts().filter(|(key, active)| *active && key.at <= line.now);
    let masses = weighed.filter_map(|(key, _)| match line.state.meaning(key.name)? {
        Verb::Weigh(weigh) if weigh.skull.piece == piece => Some((key, weigh.mass)),
        _ => None,
    });
    masses.last()
}

/// Whether anything took something off it since.
fn worked_since(line: &Line<'_>, job: &Job, since: Key) -> bool {
    let later = job.facts().filter(|(key, active)| *active && *key > since);
    later.filter_map(|(key, _)| line.state.meaning(key.name)).any(|verb| {
        matches!(
            verb,
            Verb::Flesh(_)
                | Verb::In(_)
                | Verb::Out(_)
                | Verb::Wash(_)
                | Verb::Bag(_)
                | Verb::Unwrap(_)
        )
    })
}
