//! `compare` with two jobs, or two moments; with a tag alone it is a reading like any other.

use burrline_bench::{
    Ending, Error,
    alone::Then,
    clock::{Clock as _, SystemClock},
};
use burrline_line::when;
use burrline_present::readings::{Sides, values::Side};
use burrline_terms::Skull;
use clap::{Arg, ArgMatches, Command};

use super::{reading, terminal::Terminal};

/// Adds the second side.
pub fn with_sides(command: Command) -> Command {
    command.args([
        Arg::new("as-of")
            .long("as-of")
            .value_name("TIME")
            .help("The first moment: what was true at this time"),
        Arg::new("and").long("and").value_name("TIME").help("The second moment [default: now]"),
        Arg::new("as-known")
            .long("as-known")
            .value_name("RECORDS")
            .value_parser(clap::value_parser!(u64))
            .help("The first side by the first so many records alone"),
    ])
}

/// The word for all places, where a tag could stand.
const FLOOR: &str = "floor";

/// Runs it.
///
/// # Errors
/// If there is no such job, or neither the shop nor a copy of its log is there.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let words = reading::words::bare_words(matches);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let moments = ["as-of", "and", "as-known"].iter().any(|arg| matches.contains_id(arg));
    let (one, other) = match words.as_slice() {
        [one] if *one == FLOOR || moments => (*one, None),
        [one, other] => (*one, Some(*other)),
        _ => return reading::run("compare", matches, terminal).await,
    };
    let bench = super::open(matches)?;
    let first = reading::as_of(&bench, matches)?;
    let second = match matches.get_one::<String>("and") {
        Some(and) => {
            let (now, zone) = (bench.shop_now(&SystemClock.now())?, bench.zone());
            Then { of: Some(when::said(and, now, &zone)?), known: None }
        }
        // Two jobs are laid beside each other at one moment.
        None if other.is_some() => first,
        None => Then::default(),
    };
    let skull = |word: &str| -> Result<Option<Skull>, Error> {
        Ok(if word == FLOOR { None } else { Some(reading::skull(word, matches)?) })
    };
    let one = Side { skull: skull(one)?, then: first };
    let other = Side { skull: other.map_or(Ok(one.skull.clone()), skull)?, then: second };
    if one == other {
        return Err(Error::usage(
            "compare: with what? Say a second tag, or a moment with --as-of, as in `burrline compare \
             0417 0418` or `burrline compare floor --as-of 08:00`",
        ));
    }
    if one.skull.is_none() != other.skull.is_none() {
        return Err(Error::usage("compare: the floor can be compared with itself at another time"));
    }
    let sides = Sides { one, other };
    reading::show(&bench, sides.into(), Then::default(), terminal).await
}
