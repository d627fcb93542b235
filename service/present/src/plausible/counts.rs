//! Counts: points, years, teeth and hours that no head and no day has, and what comes in at once.

use burrline_domain::{State, Verb, fold::Job, verb::TakeIn};
use burrline_terms::{
    Name,
    units::Amount,
    words::{Group, Headgear, Sex},
};
use rust_decimal::Decimal;

use super::{Doubts, Line, figure, usual, with_article};

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let group = line.job.map_or(Group::Other, |job| line.state.group_of(job));
    let animal = line.job.and_then(Job::species).map(ToString::to_string);
    let animal = animal.unwrap_or_else(|| "head".to_owned());
    match line.verb {
        Verb::TakeIn(take_in) => {
            points(line.state, take_in, out);
            age(line.state, take_in, out);
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

fn points(state: &State, take_in: &TakeIn, out: &mut Doubts) {
    let points = take_in.points.unwrap_or(0);
    if points == 0 {
        return;
    }
    let said = take_in.species.as_ref().map(Name::as_str);
    let animal = said.unwrap_or("head");
    let group = said.map_or(Group::Other, |said| state.species().group(said));
    let head = said.and_then(|said| state.species().one(said)).map(|species| species.head);
    let most = usual::points(group);
    let without = match head {
        Some(Headgear::Antlers) => None,
        Some(Headgear::Horns) => Some("has horns, no antlers"),
        Some(Headgear::Tusks | Headgear::Bare) => Some("has no antlers"),
        None => (most == 0).then_some("has no antlers"),
    };
    if let Some(without) = without {
        out.add("points", format!("{points} points: {animal} {without}"));
    } else if points > most {
        out.add("points", format!("{points} points: {most} is the most for {animal}"));
    }
    let rare = take_in.sex == Some(Sex::Female) && matches!(group, Group::Deer | Group::Moose);
    if rare {
        out.add("points", format!("{points} points on a female {animal}"));
    }
}

/// An age that no such animal comes to.
fn age(state: &State, take_in: &TakeIn, out: &mut Doubts) {
    let Some(age) = &take_in.age else { return };
    let said = take_in.species.as_ref().map(Name::as_str);
    let most = usual::years(said.map_or(Group::Other, |said| state.species().group(said)));
    if years(age.as_str()).is_some_and(|years| years > Decimal::from(most)) {
        let animal = with_article(said.unwrap_or("head"));
        out.add("age", format!("age {age}: {animal} is {most} years old at most"));
    }
}

/// The most years that an age says: "35 years old", "100", "18 months", "3-4".
fn years(age: &str) -> Option<Decimal> {
    let numbers = age.split(|c: char| !(c.is_ascii_digit() || c == '.'));
    let most = numbers.filter_map(|number| number.parse::<Decimal>().ok()).max()?;
    let a_year = if age.contains("month") {
        12
    } else if age.contains("week") {
        52
    } else if age.contains("day") {
        365
    } else {
        1
    };
    most.checked_div(Decimal::from(a_year))
}
