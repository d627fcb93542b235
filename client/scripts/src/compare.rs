//! Two versions of a script, in words.

use burrline_bench::{Ending, Error};
use burrline_host::{diff, in_plain_words};
use burrline_screen::{Page, Shows};
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::{local::Source, text};

pub(crate) fn command() -> Command {
    Command::new("diff")
        .about("Tell in words what two versions of a script do differently")
        .long_about(
            "Tell in words what two versions of a script do differently: what was changed in the \
             text, and what that changes in prices or rulings, tried on the same invented jobs. \
             A version is a file, the name of an installed script (the version in use), or the \
             beginning of a digest. With one file alone it is compared with the installed script of \
             the same name.",
        )
        .after_help(
            "Examples:\n  burrline script diff house.rhai\n  \
             burrline script diff 3f2a91c4 house.rhai\n  burrline script diff old.rhai new.rhai",
        )
        .arg(Arg::new("old").value_name("OLD").required(true).help("The older one"))
        .arg(Arg::new("new").value_name("NEW").help("The newer one"))
}

pub(crate) async fn run(
    matches: &ArgMatches,
    shows: &(impl Shows + ?Sized),
) -> Result<Ending, Error> {
    let first = text(matches, "old").unwrap_or_default();
    let (old, new) = match text(matches, "new") {
        // Two files need no shop, and no bench either.
        Some(second) if is_file(&first) && is_file(&second) => {
            (Source::read(first.as_ref(), None)?, Source::read(second.as_ref(), None)?)
        }
        Some(second) => {
            let bench = shows.bench()?;
            (Source::find(&first, &bench).await?, Source::find(&second, &bench).await?)
        }
        None => {
            let new = Source::read(first.as_ref(), None)?;
            let bench = shows.bench()?;
            (Source::find(&new.name, &bench).await?, new)
        }
    };
    if old.kind != new.kind {
        return Err(Error::usage("one is for pricing and the other for stages"));
    }
    let found = match diff(old.kind, (&old.name, &old.bytes), (&new.name, &new.bytes)) {
        Ok(found) => found,
        Err(failure) => {
            let source = if failure.script == old.name { &old } else { &new };
            shows.page(&Page {
                text: source.tell(&failure),
                json: vec![json!({ "failure": failure })],
            });
            return Ok(Ending::Refused);
        }
    };
    let mut lines = vec![format!("{} and {}:", old.name, new.name)];
    if found.text.is_empty() && found.effect.is_empty() {
        lines.push("  no difference".to_owned());
    }
    lines.extend(found.text.iter().map(|words| format!("  {words}")));
    if !found.effect.is_empty() {
        lines.push("What that changes:".to_owned());
        lines.extend(found.effect.iter().map(|words| format!("  {}", in_plain_words(words))));
    } else if !found.text.is_empty() {
        lines.push("No invented job came out otherwise.".to_owned());
    }
    let json =
        json!({ "old": old.name, "new": new.name, "text": found.text, "effect": found.effect });
    shows.page(&Page { text: lines, json: vec![json] });
    Ok(Ending::Done)
}

fn is_file(word: &str) -> bool {
    std::path::Path::new(word).is_file()
}
