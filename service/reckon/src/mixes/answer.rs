//! The answer in few lines: the worst first with what happens, then what to do, then what else is there.

use super::{Found, Grade, found, read, read::Thing, strength};

/// How many other pairs are named; the rest is counted.
const OTHERS: usize = 3;

/// The answer, line by line.
pub(super) fn lines(all: &[Found], things: &[Thing]) -> Vec<String> {
    let worst = all.first().map_or(Grade::Fine, |found| found.grade);
    let mut lines = Vec::new();
    if let Some(meant) = as_meant(things) {
        let meant_all = found(&meant);
        // A slip of the finger must not hide what kills.
        if meant_all.first().is_some_and(|found| found.grade > worst) {
            let mut told = told(&meant_all, &meant);
            if let Some(first) = told.first_mut() {
                first.insert_str(0, "If that is ");
            }
            lines.append(&mut told);
        }
    }
    lines.extend(told(all, things));
    lines.extend(others(all));
    if worst > Grade::Unknown {
        lines.extend(strange(things));
    }
    lines.extend(strength::sentences(things));
    lines
}

/// The things with each misspelt name as the one that it is near to; none if none is.
fn as_meant(things: &[Thing]) -> Option<Vec<Thing>> {
    if things.iter().all(|thing| read::near(thing).is_none() || !thing.unknown()) {
        return None;
    }
    let right = |thing: &Thing| {
        let name = read::near(thing).filter(|_| thing.unknown());
        name.map_or_else(|| vec![thing.clone()], |name| read::things(&[name.to_owned()]))
    };
    let meant: Vec<Thing> = things.iter().flat_map(right).collect();
    (meant.len() > 1).then_some(meant)
}

/// Things as they were said, in a row.
fn row_of(things: &[Thing]) -> String {
    let said: Vec<&str> = things.iter().map(|thing| thing.said.as_str()).collect();
    match said.as_slice() {
        [first, second] => format!("{first} with {second}"),
        [many @ .., last] if !many.is_empty() => format!("{} and {last}", many.join(", ")),
        few => few.join(""),
    }
}

/// The worst: the verdict and what happens, then what to do.
fn told(all: &[Found], things: &[Thing]) -> Vec<String> {
    let Some(worst) = all.first() else {
        return vec![format!("{}: {}", row_of(things), Grade::Fine.verdict())];
    };
    let verdict = worst.grade.verdict();
    if worst.grade == Grade::Fine {
        // What a listed pair asks for is said too: open air, gloves.
        let mut asked: Vec<&str> = Vec::new();
        for found in all.iter().filter(|found| found.from.is_some()) {
            if !asked.contains(&found.what.as_str()) {
                asked.push(&found.what);
            }
        }
        let mut lines = vec![format!("{}: {verdict}", row_of(things))];
        lines.extend((!asked.is_empty()).then(|| format!("{}.", asked.join("; "))));
        return lines;
    }
    // Of one pair the label decides which of several gases it is: each that is as bad is named.
    let like = |found: &&Found| {
        found.of == worst.of && found.grade == worst.grade && found.act == worst.act
    };
    let whats: Vec<&str> =
        all.iter().filter(like).map(|found| found.what.as_str()).take(2).collect();
    let of = if worst.grade == Grade::Unknown { row_of(things) } else { worst.of.clone() };
    let mut lines = vec![format!("{of}: {verdict}: {}.", whats.join(", or "))];
    lines.extend((!worst.act.is_empty()).then(|| format!("{}.", worst.act)));
    lines
}

/// The other pairs that something is known against, the worst of each.
fn others(all: &[Found]) -> Option<String> {
    let (worst, rest) = all.split_first()?;
    let mut pairs: Vec<&Found> = Vec::new();
    for found in rest.iter().filter(|found| found.grade > Grade::Unknown && found.from.is_some()) {
        if found.of != worst.of && !pairs.iter().any(|pair| pair.of == found.of) {
            pairs.push(found);
        }
    }
    let named: Vec<String> = pairs
        .iter()
        .take(OTHERS)
        .map(|found| format!("{}: {}", found.of, found.grade.verdict()))
        .collect();
    let more = pairs.len().saturating_sub(OTHERS);
    let more = if more == 0 { String::new() } else { format!("; and {more} more") };
    (!named.is_empty()).then(|| format!("Also {}{more}.", named.join("; ")))
}

/// What is not known beside what is.
fn strange(things: &[Thing]) -> Option<String> {
    let strange = things.iter().filter(|thing| thing.unknown() && !read::is_bare_vessel(thing));
    let strange: Vec<&str> = strange.map(|thing| thing.said.as_str()).collect();
    let is = if strange.len() == 1 { "is" } else { "are" };
    (!strange.is_empty()).then(|| {
        format!(
            "And {} {is} not known here: treat as dangerous, read the label and data sheet.",
            strange.join(" and ")
        )
    })
}
