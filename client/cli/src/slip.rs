//! `burrline slip`, `receipt`, `statement` and `notice`: what is handed out to a customer.

use std::path::{Path, PathBuf};

use burrline_bench::{Bench, Ending, Error};
use burrline_domain::fold::Job;
use burrline_paper::handout::{Paper, logo, page, text};
use burrline_present::{handout::Kind, view};
use burrline_screen::Page;
use burrline_talk::handed::{Handed, handed};
use burrline_terms::{Skull, Typed as _};
use clap::{Arg, ArgAction, ArgMatches, Command, builder::PossibleValuesParser};
use serde_json::json;

use super::terminal::Terminal;

/// The papers, by their commands.
const KINDS: [(&str, Kind, &str, &str); 4] = [
    ("slip", Kind::Slip, "Print the slip of a visit", "condition, price, promise, a place to sign"),
    (
        "receipt",
        Kind::Receipt,
        "Print the receipt of a visit",
        "what was charged, its tax by rate, what was paid and by what means",
    ),
    (
        "statement",
        Kind::Statement,
        "Print the account of a customer over all visits",
        "every visit of the customer of this head, and what is owed",
    ),
    (
        "notice",
        Kind::Notice,
        "Print the notice that heads are ready for pick-up",
        "what is ready, what is to pay, from when storage is charged",
    ),
];

/// The commands.
pub fn commands() -> impl Iterator<Item = Command> {
    KINDS.iter().map(|(word, _, about, what)| command(word, about, what))
}

fn command(word: &'static str, about: &'static str, what: &str) -> Command {
    Command::new(word)
        .about(about)
        .long_about(format!(
            "{about}: {what}; the shop's name, address, licence and terms (`set-shop shop-address`, \
             `shop-phone`, `shop-licence`, `logo`, `terms`), the customer, and one code. The code holds \
             the shop's key and a checkpoint (the shop's signed head of its log) that covers what the \
             paper tells; --evidence prints both in letters too, for `burrline verify --slip`. Where the \
             shop is out of reach the bench signs it; print it anew later.\n\nThe paper is the shop's \
             (`set-shop paper 58mm`), or --paper. --html writes a page of that size: a browser prints \
             it, or makes a PDF of it. On a roll as text the code is too wide, and holds the number of \
             the visit alone."
        ))
        .after_help(format!(
            "Examples:\n  burrline {word} 0417\n  burrline {word} 0417 --paper 58mm --html {word}.html\n  \
             burrline {word} 3-41-7 --evidence"
        ))
        .args([
            Arg::new("skull")
                .value_name("TAG")
                .required(true)
                .help("A tag or a job number of the visit"),
            Arg::new("paper")
                .long("paper")
                .value_name("PAPER")
                .value_parser(PossibleValuesParser::new(Paper::WORDS))
                .help("The paper it is printed on [default: the shop's, else 80mm]"),
            Arg::new("width")
                .long("width")
                .value_name("COLUMNS")
                .value_parser(clap::value_parser!(u16).range(24..=200))
                .help("Columns of the text, 24 to 200 [default: those of the paper]"),
            Arg::new("html")
                .long("html")
                .value_name("FILE")
                .help("Write a page of the paper's size, for a browser to print"),
            Arg::new("evidence")
                .long("evidence")
                .action(ArgAction::SetTrue)
                .help("The shop's key and checkpoint in letters as well"),
        ])
}

/// How it is printed.
#[derive(Default)]
struct How {
    paper: Option<Paper>,
    width: Option<usize>,
    html: Option<PathBuf>,
    evidence: bool,
}

/// Prints one of the papers.
///
/// # Errors
/// If no job is meant, the bench has no copy yet, or the page cannot be written.
pub async fn run(
    word: &str,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let skull = matches.get_one::<String>("skull").map_or("", String::as_str);
    let kind = KINDS.iter().find(|(other, ..)| *other == word);
    let kind = kind.map_or(Kind::Slip, |(_, kind, ..)| *kind);
    let how = How {
        paper: matches.get_one::<String>("paper").and_then(|paper| Paper::of(paper)),
        width: matches.get_one::<u16>("width").map(|width| usize::from(*width)),
        html: matches.get_one::<String>("html").map(PathBuf::from),
        evidence: matches.get_flag("evidence"),
    };
    made(&bench, &Skull::read(skull)?, kind, how, terminal).await
}

/// Prints the slip of a visit on the shop's paper.
///
/// # Errors
/// If no job is meant, or the bench has no copy yet.
pub async fn print(bench: &Bench, skull: &Skull, terminal: &mut Terminal) -> Result<(), Error> {
    made(bench, skull, Kind::Slip, How::default(), terminal).await.map(drop)
}

async fn made(
    bench: &Bench,
    named: &Skull,
    kind: Kind,
    how: How,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let Handed { handout: made, word, body, alone } = handed(bench, named, kind).await?;
    let state = alone.state();
    let settings = state.settings();
    let paper = how.paper.or_else(|| settings.paper().and_then(Paper::of));
    let paper = paper.unwrap_or(Paper::Roll80);
    let columns = how.width.unwrap_or(paper.columns());
    let mut shown = Page {
        text: text::text(&made, &word, columns, how.evidence),
        json: vec![json!({ "lines": body, "word": word.text() })],
    };
    if let Some(file) = &how.html {
        let picture = logo_of(bench, settings.logo(), terminal);
        let page = page::page(&made, &word, paper, picture.as_deref(), how.evidence);
        std::fs::write(file, page).map_err(|e| Error::file(file, e))?;
        shown.text =
            vec![format!("the {} is in {}", made.kind.title().to_lowercase(), file.display())];
    }
    terminal.page(&shown);
    if let Ok(job) = view::which(state, named) {
        for line in view::other_wearers(state, job) {
            terminal.tell(&line);
        }
    }
    let ticket = view::which(alone.state(), named).ok().and_then(Job::ticket);
    ticket.filter(|_| kind == Kind::Slip).map_or(Ok(()), |ticket| bench.slipped(ticket))?;
    Ok(Ending::Done)
}

/// The shop's logo; where its file is not there, that is told and the page has none.
fn logo_of(bench: &Bench, setting: Option<&str>, terminal: &mut Terminal) -> Option<String> {
    let name = setting?;
    let path = if Path::new(name).is_absolute() { name.into() } else { bench.folder().path(name) };
    let read = std::fs::read(&path).map_err(|error| format!("{}: {error}", path.display()));
    match read.and_then(|bytes| logo(name, &bytes).map_err(|error| error.to_string())) {
        Ok(logo) => Some(logo),
        Err(why) => {
            terminal.tell(&format!("printed without the logo; {why}"));
            None
        }
    }
}
