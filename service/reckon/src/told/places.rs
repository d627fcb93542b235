//! The line before several like places: how many wait, how long, and how many places it takes.

use crate::{
    queues::{Arrivals, Finishes, Line, NoQueue},
    working::{Absurd, Known, Value, Working, six},
};

use super::{absurd, percent};

/// How many places there are, or what they are to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Places {
    /// So many.
    Are(u32),
    /// As few as let no more than this share of arrivals wait, above 0 and below 1.
    ForWaiting(f64),
}

/// The line. `unit` is one unit of time, such as `week`.
///
/// # Errors
/// If a figure is not above 0, or the places cannot keep up.
pub fn places(
    places: Places,
    come: Arrivals,
    finish: Finishes,
    unit: &str,
) -> Result<Working, Absurd> {
    let (count, line) = match places {
        Places::Are(count) => (count, Line::before(count, come, finish).map_err(|e| wrong(&e))?),
        Places::ForWaiting(share) if share > 0.0 && share < 1.0 => {
            Line::places_for(come, finish, share).map_err(|e| wrong(&e))?
        }
        Places::ForWaiting(share) => {
            return Err(Absurd::new(
                format!("{} of arrivals cannot be asked for", percent(share)),
                "say more than 0 and less than 100 %, such as 10%",
            ));
        }
    };
    let answer = match places {
        Places::Are(_) => format!(
            "{} of arrivals wait, {} {unit}s on average over all; {} wait and {} are here at a time",
            percent(line.waits),
            six(line.wait.0),
            six(line.waiting),
            six(line.here)
        ),
        Places::ForWaiting(share) => format!(
            "{count} places: {} of arrivals wait, no more than {}",
            percent(line.waits),
            percent(share)
        ),
    };
    let mut working = steps(Working::new().answer(answer), count, come, finish, line, unit).value(
        "places",
        Value::Count(count.into()),
        "",
    );
    for (name, value) in [
        ("busy", line.busy),
        ("load", line.load),
        ("empty", line.empty),
        ("waits", line.waits),
        ("waiting", line.waiting),
        ("here", line.here),
    ] {
        working = working.value(name, Value::Number(value), "");
    }
    let units = format!("{unit}s");
    Ok(working
        .value("wait", Value::Number(line.wait.0), &units)
        .value("stay", Value::Number(line.stay.0), &units)
        .caution("for how many places to have, never for a customer's date: a season is not steady")
        .source(
            "several places with one line, arrivals and stays by chance, as in R. Bronson, \
             Operations Research (1982)",
            Known::Memory,
        ))
}

fn steps(
    working: Working,
    count: u32,
    come: Arrivals,
    finish: Finishes,
    line: Line,
    unit: &str,
) -> Working {
    let (busy, load, waits) = (six(line.busy), six(line.load), six(line.waits));
    working
        .step(
            "places busy",
            format!("a = {} a {unit} / {} a {unit} = {busy}", six(come.0), six(finish.0)),
        )
        .step("load of each", format!("{busy} / {count} = {load}, which must be below 1"))
        .step(
            "nothing in hand",
            format!(
                "1 / (sum of a^n / n! for n below {count} + a^{count} / ({count}! (1 - {load}))) = {}",
                six(line.empty)
            ),
        )
        .step(
            "share that waits",
            format!(
                "a^{count} / ({count}! (1 - {load})) x {} = {waits}",
                six(line.empty)
            ),
        )
        .step(
            "waiting at a time",
            format!("{waits} x {load} / (1 - {load}) = {}", six(line.waiting)),
        )
        .step("here at a time", format!("{} + {busy} = {}", six(line.waiting), six(line.here)))
        .step(
            "wait on average",
            format!("{} / {} a {unit} = {} {unit}s", six(line.waiting), six(come.0), six(line.wait.0)),
        )
        .step(
            "stay on average",
            format!("{} / {} a {unit} = {} {unit}s", six(line.here), six(come.0), six(line.stay.0)),
        )
}

fn wrong(error: &NoQueue) -> Absurd {
    absurd(error)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_working_ends_where_the_answer_is() {
        let said = places(Places::Are(3), Arrivals(300.0), Finishes(182.5), "year").unwrap();
        assert_eq!(said.steps.last().unwrap().sum, "1.99626 / 300 a year = 0.00665421 years");
        assert!(said.answer.contains("0.352426 wait"), "{}", said.answer);
    }

    #[test]
    fn too_few_places_say_how_many_it_takes() {
        let wrong = places(Places::Are(2), Arrivals(10.0), Finishes(4.0), "week").unwrap_err();
        let words = "2 places cannot keep up with work for 2.50 of them; it takes at least 3";
        assert_eq!(wrong.to_string(), words);
        let enough =
            places(Places::ForWaiting(0.1), Arrivals(10.0), Finishes(4.0), "week").unwrap();
        assert!(enough.answer.starts_with("6 places: "), "{}", enough.answer);
        assert!(places(Places::ForWaiting(0.0), Arrivals(1.0), Finishes(4.0), "week").is_err());
    }
}
