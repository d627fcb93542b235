//! The program: one file a family of commands.
//!
//! * [`say`](mod@say): every verb
//! * [`clear`](mod@clear): a line read until it is clear
//! * [`reading`]: every reading, from the one table
//! * [`follow`](mod@follow): records as they come
//! * [`compare`](mod@compare): two jobs, or two moments
//! * [`dispute`]: a dispute with its hold
//! * [`outbox`]: what waits
//! * [`rejoin`]: a new life
//! * [`correct`]: strike, amend and assign
//! * [`sync`]: sending and catching up
//! * [`packet`](mod@packet): a job laid open, and checked
//! * [`bench`](mod@bench): the standing prompt
//! * [`gather`]: what a packet needs, asked of the shop
//! * [`page`](mod@page): the bench as a page in the browser
//! * [`photo`], [`photos`]: photos in and out
//! * [`join`](mod@join): enrolment
//! * [`invite`](mod@invite): codes that benches join with
//! * [`potful`]: what to take out of the freezer
//! * [`visit`]: take-in as one talk
//! * [`hand_over`]: who collects, asked first
//! * `aside`: a line of its own, typed at a question
//! * [`help`]: screens of help, by use
//! * [`import`]: an old ledger
//! * [`register`]: the inspector's page as a file
//! * [`roll_call`]: tags read at a place, and moves that nobody said
//! * [`calls`]: whom to call, and texts sent one by one
//! * [`tally`]: March's questions as a file
//! * [`export`](mod@export): open forms
//! * [`slip`]: the paper of a visit
//! * [`sheet`]: paper for the yard
//! * [`latest`](mod@latest): the newest photos of a folder

//! * [`near`]: what may have been meant by a wrong number
//! * [`script`]: price and stage scripts
//! * [`reckon`]: the trade's arithmetic, without a shop
//! * [`watch`]: the wall
//! * `person`: the one at the terminal, asked
//! * [`terminal`]: where words go, and who answers

mod aside;
pub mod bench;
pub mod calls;
pub mod checkpoint;
pub mod clear;
pub mod compare;
pub mod correct;
pub mod dispute;
pub mod export;
pub mod follow;
pub mod gather;
pub mod hand_over;
pub mod help;
pub mod import;
pub mod invite;
pub mod join;
pub mod latest;
mod man;
pub mod near;
pub mod outbox;
pub mod packet;
pub mod page;
mod person;
pub mod photo;
pub mod photos;
pub mod potful;
pub mod reading;
pub mod reckon;
pub mod register;
pub mod rejoin;
pub mod roll_call;
pub mod say;
pub mod script;
pub mod settings;
pub mod sheet;
pub mod slip;
pub mod sync;
pub mod tally;
pub mod terminal;
pub mod visit;
mod visit_begins;
mod visits;
pub mod watch;

use std::{ffi::OsString, path::PathBuf};

use burrline_bench::{Bench, Ending, Error, folder::Folder};
use burrline_domain::verb;
use burrline_line as line;
use clap::{
    Arg, ArgAction, ArgMatches, Command,
    builder::PossibleValuesParser,
    error::{ContextKind, ContextValue, ErrorKind},
};
use clap_complete::Shell;

use self::{terminal::Terminal, visit_begins::Begins};

const ABOUT: &str = "Say what was done to a skull, and read what the shop knows";

/// The whole command line.
pub fn command() -> Command {
    let global = |arg: Arg| arg.global(true).help_heading("Everywhere");
    Command::new("burrline")
        .about(ABOUT)
        .version(env!("CARGO_PKG_VERSION"))
        .override_help(burrline_screen::help::screen("burrline "))
        .disable_help_subcommand(true)
        .arg_required_else_help(true)
        .args([
            global(Arg::new("bench").long("bench").value_name("DIR").env("BURRLINE_BENCH"))
                .help("The bench folder [default: ~/.local/share/burrline]"),
            global(Arg::new("color").long("color").value_name("WHEN").default_value("auto"))
                .value_parser(PossibleValuesParser::new(["auto", "always", "never"]))
                .help("Whether to use colour; NO_COLOR turns it off too"),
            global(Arg::new("more").long("more").action(ArgAction::SetTrue))
                .help("Show all of an answer, not only what is needed to go on"),
            global(Arg::new("json").long("json").action(ArgAction::SetTrue))
                .help("Print what is read as one JSON object; see `burrline help json`"),
        ])
        .subcommands(reading::commands())
        .subcommand(follow::command())
        .subcommands(invite::commands())
        .subcommands([join::command(), outbox::command(), sync::command(), bench::command()])
        .subcommands([watch::command(), page::command()])
        .subcommand(rejoin::command())
        .subcommand(script::command())
        .subcommands([reckon::command(), completions()])
        .subcommands(packet::commands())
        .subcommands(slip::commands())
        .subcommand(checkpoint::command())
        .subcommand(sheet::command())
        .subcommands([export::command(), import::command()])
        .subcommands(line::command::commands())
        .subcommands([say::lines_command(), help::command()])
        .mut_subcommand("compare", compare::with_sides)
        .mut_subcommand("calls", calls::with_send)
        .mut_subcommand("next", potful::with_tomorrow)
        .mut_subcommand("tally", tally::with_csv)
        .mut_subcommand("register", register::with_out)
        .mut_subcommand("photos", photos::with_out)
        .mut_subcommand("quote", script::with_explain)
        .mut_subcommand("strike", correct::with_short_ways)
        .mut_subcommand("amend", correct::with_short_ways)
        .mut_subcommand("assign", correct::with_short_ways)
        .mut_subcommand("take-in", visit::explained)
        .mut_subcommand("set-shop", settings::explained)
        .mut_subcommand("photograph", photo::with_files)
        .mut_subcommand("dispute", dispute::with_hold)
        .mut_subcommand("close-dispute", dispute::with_release)
        .mut_subcommand("roll-call", roll_call::with_moved)
}

/// Runs the program and says how it ended; everything that was to be said has been printed.
pub async fn run(args: impl Iterator<Item = OsString>) -> Ending {
    let args: Vec<String> = args.map(|arg| arg.to_string_lossy().into_owned()).collect();
    let matches = match command().try_get_matches_from(arranged(&args)) {
        Ok(matches) => matches,
        Err(error) => {
            let error = no_command(&error).unwrap_or(error);
            // Nothing is left to be done if even this cannot be printed.
            let _ = error.print();
            return if error.use_stderr() { Ending::Usage } else { Ending::Done };
        }
    };
    let mut terminal = Terminal::new(&matches);
    match Box::pin(dispatch(&matches, &mut terminal)).await {
        Ok(ending) => ending,
        Err(error) => {
            terminal.tell(&burrline_paper::visible::told(&format!("burrline: {error}")));
            error.ending()
        }
    }
}

/// A first word that begins nothing, told without a list of everything that there is.
fn no_command(error: &clap::Error) -> Option<clap::Error> {
    if error.kind() != ErrorKind::InvalidSubcommand {
        return None;
    }
    let said = |kind| match error.get(kind) {
        Some(ContextValue::String(word)) => word.clone(),
        Some(ContextValue::Strings(words)) => words.join(", "),
        Some(_) | None => String::new(),
    };
    let typed = said(ContextKind::InvalidSubcommand);
    let near = match said(ContextKind::SuggestedSubcommand) {
        near if near.is_empty() => near,
        near => format!(" What is near it: {near}."),
    };
    let said = format!("\u{201c}{typed}\u{201d} begins nothing that is known here.{near}");
    let said = burrline_paper::visible::told(&said);
    Some(clap::Error::raw(error.kind(), format!("{said}\nSee `burrline help`.\n")))
}

/// The bench that the options name.
///
/// # Errors
/// If it has not joined, or its folder is damaged.
pub fn open(matches: &ArgMatches) -> Result<Bench, Error> {
    Bench::open(&folder(matches)?)
}

/// The folder that the options name: flag, else environment, else the default.
///
/// # Errors
/// [`Error::Usage`] if there is no home to put the default in.
pub fn folder(matches: &ArgMatches) -> Result<PathBuf, Error> {
    if let Some(dir) = matches.get_one::<String>("bench") {
        return Ok(PathBuf::from(dir));
    }
    let home = std::env::home_dir()
        .ok_or_else(|| Error::usage("there is no home folder; say where with --bench DIR"))?;
    Ok(home.join(".local/share/burrline"))
}

async fn dispatch(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let ending = Box::pin(dispatched(matches, terminal)).await;
    // What was found damaged and healed on the way, or by a command before.
    if let Ok(dir) = folder(matches) {
        Folder::at(&dir).told().iter().for_each(|line| terminal.tell(line));
    }
    ending
}

async fn dispatched(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let Some((name, matches)) = matches.subcommand() else {
        return Err(Error::usage(
            "say what was done, such as `burrline wash 0417`; or begin the prompt with `burrline bench`",
        ));
    };
    // Scripts are written and tried on machines that have not joined a shop, too.
    if !matches!(name, "join" | "completions" | "reckon" | "verify" | "script" | "help") {
        never_shown(matches, terminal)?;
    }
    match name {
        "join" => join::run(matches, terminal).await,
        "invite" => invite::invite(matches, terminal).await,
        "invites" => invite::invites(matches, terminal).await,
        line::LINES => say::lines(matches, terminal).await,
        "help" => help::run(matches, terminal),
        "outbox" => outbox::run(matches, terminal).await,
        "rejoin" => rejoin::run(matches, terminal).await,
        "sync" => sync::run(matches, terminal).await,
        "script" => script::run(matches, terminal).await,
        "calls" => calls::run(matches, terminal).await,
        "compare" => compare::run(matches, terminal).await,
        "follow" => follow::run(matches, terminal).await,
        "reckon" => reckon::run(matches, terminal).await,
        "bench" => bench::run(matches, terminal).await,
        "tally" => tally::run(matches, terminal).await,
        "next" => potful::run(matches, terminal).await,
        "register" => register::run(matches, terminal).await,
        "import" => import::run(matches, terminal).await,
        "packet" => packet::packet(matches, terminal).await,
        "export" => export::run(matches, terminal).await,
        "sheet" => sheet::run(matches, terminal).await,
        word @ ("slip" | "receipt" | "statement" | "notice") => {
            slip::run(word, matches, terminal).await
        }
        "photos" => photos::run(matches, terminal).await,
        "watch" => watch::run(matches, terminal).await,
        "page" => Box::pin(page::run(matches, terminal)).await,
        "verify" => packet::check(matches, terminal),
        "checkpoint" => checkpoint::run(matches, terminal).await,
        "completions" => complete(matches),
        _ => match verb::spec(name) {
            Some(spec) if name == "set-shop" => match settings::asked(spec, matches) {
                Some(only) => settings::run(only, matches, terminal).await,
                None => say::run(spec, matches, terminal).await,
            },
            Some(spec) if name == "quote" && matches.get_flag("explain") => {
                script::explain(spec, matches, terminal).await
            }
            Some(spec) if matches!(name, "dispute" | "close-dispute") => {
                dispute::run(spec, matches, terminal).await
            }
            Some(spec) if name == "photograph" => photo::photograph(spec, matches, terminal).await,
            Some(spec) if matches!(name, "strike" | "amend" | "assign") => {
                correct::run(spec, matches, terminal).await
            }
            Some(spec) if name == "hand-over" => hand_over::run(spec, matches, terminal).await,
            Some(spec) if name == "roll-call" => roll_call::run(spec, matches, terminal).await,
            Some(spec) if name == "take-in" => match visit_begins::wanted(matches) {
                // The future of a talk holds all that is answered.
                Begins::Talk(heads) => Box::pin(visit::run(heads, matches, terminal)).await,
                Begins::Line => say::run(spec, matches, terminal).await,
            },
            Some(spec) => say::run(spec, matches, terminal).await,
            None => reading::run(name, matches, terminal).await,
        },
    }
}

/// Tells what an earlier command kept and could not show any more.
fn never_shown(matches: &ArgMatches, terminal: &Terminal) -> Result<(), Error> {
    let bench = open(matches)?;
    // An outbox that cannot even be mended must not keep anybody from reading.
    match bench.mended(|line| terminal.tell(line)) {
        Ok(()) => {}
        Err(error) => terminal.tell(&error.to_string()),
    }
    bench.never_shown(|entry, line| {
        terminal.tell(&format!("kept before, and never shown: {line}  [{entry}]"));
    })
}

/// The arguments with `at 10:40 wash` turned around and negative numbers kept from being options.
fn arranged(args: &[String]) -> Vec<String> {
    let [program, rest @ ..] = args else { return Vec::new() };
    std::iter::once(program.clone()).chain(arranged_words(rest)).collect()
}

fn arranged_words(words: &[String]) -> Vec<String> {
    let words: Vec<String> = words.iter().map(|word| line::command::shield(word)).collect();
    let (before, line) = words.split_at_checked(options_before(&words)).unwrap_or_default();
    let turned = line::with_its_verb(&line::at_first(line));
    // What begins with no command is read with what the shop knows: `pot-2 off`, `tom 6 hours`. So are several
    // lines in one: each has options of its own.
    let several = line.iter().any(|word| word == ";");
    let lines = (several || is_said(&turned)).then(|| line::LINES.to_owned());
    let line = if lines.is_some() { line } else { turned.as_slice() };
    before.iter().cloned().chain(lines).chain(line.iter().cloned()).collect()
}

#[cfg(test)]
mod offers_tests;

/// Whether words are a line that begins with none of the commands, and with no slip of one.
fn is_said(words: &[String]) -> bool {
    let [first, _, ..] = words else { return false };
    let command = command();
    let names: Vec<&str> = command.get_subcommands().map(Command::get_name).collect();
    let small = first.to_lowercase();
    let known = names.contains(&small.as_str()) || first.starts_with('-');
    let slip = || !line::near::near(&small, names.iter().copied()).is_empty();
    !known && (first.contains(|c: char| c.is_ascii_digit()) || !slip())
}

/// How many words at the front are options that hold everywhere, with their values.
fn options_before(words: &[String]) -> usize {
    let mut count = 0_usize;
    while let Some(word) = words.get(count).filter(|word| word.starts_with("--")) {
        let takes_value = matches!(word.as_str(), "--bench" | "--color");
        count = count.saturating_add(if takes_value { 2 } else { 1 });
    }
    count.min(words.len())
}

fn completions() -> Command {
    Command::new("completions")
        .about("Print completions for a shell")
        .after_help(
            "Examples:\n  burrline completions bash > ~/.local/share/bash-completion/completions/burrline\n  \
             burrline completions --man ~/.local/share/man/man1",
        )
        .arg(
            Arg::new("shell")
                .required_unless_present("man")
                .value_parser(clap::value_parser!(Shell)),
        )
        .arg(
            Arg::new("man")
                .long("man")
                .value_name("DIR")
                .value_parser(clap::value_parser!(PathBuf))
                .help("Write the manual pages into this folder"),
        )
}

fn complete(matches: &ArgMatches) -> Result<Ending, Error> {
    if let Some(to) = matches.get_one::<PathBuf>("man") {
        man::write(command(), to)?;
    }
    if let Some(shell) = matches.get_one::<Shell>("shell").copied() {
        clap_complete::generate(shell, &mut command(), "burrline", &mut std::io::stdout());
    }
    Ok(Ending::Done)
}

/// Why a paper was not made, as the program says it.
fn of_paper(error: burrline_paper::Error) -> Error {
    use burrline_paper::Error as Paper;
    match error {
        Paper::Usage(words) => Error::Usage(words),
        Paper::Word(word) => Error::Word(word),
        missing @ Paper::Missing(_) => Error::Refused(missing.to_string()),
        Paper::File { path, source } => Error::File { path, source },
        Paper::Bug(words) => Error::Bug(words),
    }
}
