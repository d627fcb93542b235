//! A new script, as a copy of a shipped one.

use std::{io::Write as _, path::Path};

use burrline_bench::{Ending, Error};
use burrline_host::{Kind, shipped};
use burrline_screen::{Page, Shows};
use clap::{Arg, ArgMatches, Command};

use super::{file, text};

pub(crate) fn command() -> Command {
    Command::new("new")
        .about("Write a new script to begin with")
        .long_about(
            "Write a new script to begin with: a copy of one that comes with the program, with its \
             examples. A file that is there already is not written over.",
        )
        .after_help(
            "Examples:\n  burrline script new house.rhai --kind pricing\n  \
             burrline script new dry.rhai --from dry-before-coat",
        )
        .arg(file().help("The file to write"))
        .arg(super::kind().help("What it is for [default: pricing]"))
        .arg(
            Arg::new("from")
                .long("from")
                .value_name("NAME")
                .help("Which shipped script to begin with [default: the simplest of its kind]"),
        )
}

pub(crate) fn run(matches: &ArgMatches, shows: &(impl Shows + ?Sized)) -> Result<Ending, Error> {
    let path = text(matches, "file").unwrap_or_default();
    let stages = text(matches, "kind").as_deref() == Some("stages");
    let first = if stages { "wrap-first" } else { "example-prices" };
    let from = text(matches, "from").unwrap_or_else(|| first.to_owned());
    let names = || shipped().iter().map(|one| one.name).collect::<Vec<_>>().join(", ");
    let one = shipped().iter().find(|one| one.name == from);
    let one = one.ok_or_else(|| {
        Error::usage(format!("no shipped script is called {from}; there are {}", names()))
    })?;
    let path = Path::new(&path);
    let mut created = std::fs::File::create_new(path).map_err(|error| {
        if error.kind() == std::io::ErrorKind::AlreadyExists {
            let name = path.display();
            return Error::Refused(format!(
                "{name} is there already, and stays; choose another name"
            ));
        }
        Error::file(path, error)
    })?;
    created.write_all(one.source.as_bytes()).map_err(|e| Error::file(path, e))?;
    let what = match one.kind {
        Kind::Pricing => "prices",
        Kind::Stages => "a stage rule",
    };
    let shown = path.display();
    shows.page(&Page {
        text: vec![
            format!("{shown}: {what}, a copy of {}.", one.name),
            format!("Change it, and look at it with: burrline script check {shown}"),
        ],
        json: vec![serde_json::json!({ "file": shown.to_string(), "from": one.name })],
    });
    Ok(Ending::Done)
}
