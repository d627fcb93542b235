//! `burrline import`: a shop that starts in mid-season, with the ledger it has.

use std::path::Path;

use burrline_bench::{
    Bench, Clock as _, Ending, Error, Nobody, SystemClock,
    alone::Then,
    answer::{Answer, Said},
    old_ledger::{
        Order, Table, Verdict,
        row::{Beside, unknown_species},
        verdicts,
    },
};
use burrline_line::Common;
use burrline_present::private::by_shape;
use burrline_screen::Page;
use burrline_terms::{counted, counted_are};
use clap::{Arg, ArgAction, ArgMatches, Command, builder::PossibleValuesParser};
use serde_json::json;

use super::terminal::Terminal;

/// The command.
pub fn command() -> Command {
    Command::new("import")
        .about("Take heads over from an old ledger, a table in CSV")
        .long_about(
            "Take heads over from an old ledger, a table in CSV. First it only says, row by row, what \
             would be said or what is wrong; with --do-it the rows that are right are said, each with \
             one write, for the days that stand in it (at noon, for a ledger has no times). What is \
             there already is not said again, so a file may be imported as often as it is put right.\n\n\
             Columns go by their headings, in any order: tag and date in, which must be there; name, \
             phone, address, licence (sealed); species, sex, points, kill tag, county; step, place; \
             date out; price, paid and due, of which two make the third: for a head that was taken over \
             before, they are added where nobody said them yet. Comma, semicolon or tab; any line ends. Days like 2026-11-24, 24.11.2026, Nov 24 \
             2026 or 11/24/2026; one that could be two days is asked about.\n\nA step (skinned, wrapped, \
             washed, coated) and a place are said as of now; other words stay as a note. Of what was paid no ledger says the means, so \
             `takings` has it under \"not said\" and it is in no till.",
        )
        .after_help(
            "Examples:\n  burrline import ledger.csv\n  burrline import ledger.csv --dates month-first\n  \
             burrline import ledger.csv --do-it",
        )
        .arg(Arg::new("file").value_name("FILE").required(true).help("The ledger"))
        .arg(
            Arg::new("dates")
                .long("dates")
                .value_name("ORDER")
                .value_parser(PossibleValuesParser::new(["day-first", "month-first"]))
                .help("What comes first in a day that is all numbers"),
        )
        .arg(
            Arg::new("do-it")
                .long("do-it")
                .action(ArgAction::SetTrue)
                .help("Say the rows that are right"),
        )
}

/// Tells the verdicts, and says the rows if that is wanted.
///
/// # Errors
/// If the file cannot be read as a table, or the bench has no copy of the shop's log.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let file = matches.get_one::<String>("file").map_or("", String::as_str);
    let file = Path::new(file);
    let bytes = std::fs::read(file).map_err(|e| Error::file(file, e))?;
    let table = Table::read(&bytes)
        .map_err(|words| Error::usage(format!("{}: {words}", file.display())))?;
    let order = matches.get_one::<String>("dates").map(|order| match order.as_str() {
        "day-first" => Order::DayFirst,
        _ => Order::MonthFirst,
    });
    // What is there already is known by the copy; it is brought up to date as far as can be.
    match bench.catch_up(&SystemClock, None).await {
        Ok(_) | Err(Error::Away { .. }) => {}
        Err(error) => return Err(error),
    }
    let alone = bench.alone(&SystemClock, Then::default())?.ok_or_else(|| {
        Error::Refused("this bench has no copy of the shop's log yet; run `burrline sync`".into())
    })?;
    let (zone, now) = (bench.zone(), SystemClock.now().wall);
    let beside = Beside { state: alone.state(), zone: &zone, now, order };
    let verdicts = verdicts(&table.rows, &beside);
    if !table.unknown.is_empty() {
        terminal.tell(&format!("not taken over: {}", table.unknown.join(", ")));
    }
    let species = unknown_species(&table.rows);
    if !species.is_empty() {
        terminal.tell(&format!(
            "of no kind that the shop has times for, so look for slips of the pen: {}",
            species.join(", ")
        ));
    }
    let do_it = matches.get_flag("do-it");
    let mut counts = Counts::default();
    for (row, verdict) in table.rows.iter().zip(verdicts.into_iter().map(glances)) {
        let told = if do_it { said(&bench, verdict).await? } else { Told::of(&verdict, &zone) };
        counts.add(&told);
        terminal.page(&told.page(row.line));
    }
    terminal.tell(&counts.words(do_it));
    for line in bench.in_touch(&SystemClock).await.iter().filter(|_| do_it) {
        terminal.tell(line);
    }
    Ok(counts.ending(do_it))
}

/// A row whose words hold a number or a mail address would leave it on the log in clear.
fn glances(verdict: Verdict) -> Verdict {
    if let Verdict::New(lines) = &verdict
        && let Some(found) = lines.iter().find_map(|line| by_shape(&line.verb))
    {
        return Verdict::Wrong(found.words);
    }
    verdict
}

/// What became of a row, in words.
struct Told {
    kind: &'static str,
    words: String,
    lines: Vec<String>,
}

impl Told {
    fn of(verdict: &Verdict, zone: &jiff::tz::TimeZone) -> Self {
        let (kind, words) = match verdict {
            Verdict::New(_) => ("new", "would be said:".to_owned()),
            Verdict::There(words) => ("there", words.clone()),
            Verdict::Wrong(words) => ("wrong", words.clone()),
        };
        Self { kind, words, lines: verdict.lines(zone) }
    }

    fn page(&self, line: u64) -> Page {
        let mut text = vec![format!("line {line}: {}", self.words)];
        text.extend(self.lines.iter().map(|line| format!("  {line}")));
        let object =
            json!({"line": line, "verdict": self.kind, "words": self.words, "lines": self.lines});
        Page { text, json: vec![object] }
    }
}

/// Says a row: all of its lines, or none.
async fn said(bench: &Bench, verdict: Verdict) -> Result<Told, Error> {
    let zone = bench.zone();
    let Verdict::New(lines) = verdict else { return Ok(Told::of(&verdict, &zone)) };
    // What a rule of today says against what was done then is answered with where it comes from.
    let common = Common { anyway: Some("from the old ledger".to_owned()), ..Common::default() };
    match bench.say_of_old(lines, &common, &SystemClock, &mut Nobody).await {
        Ok(said) => Ok(became(&said)),
        Err(error @ (Error::Usage(_) | Error::Word(_) | Error::Refused(_))) => {
            Ok(Told { kind: "wrong", words: error.to_string(), lines: Vec::new() })
        }
        Err(error) => Err(error),
    }
}

fn became(said: &Said) -> Told {
    let left_off = said.answers.iter().find_map(|answer| match answer {
        Answer::LeftOff { why, .. } => Some(why.join("; ")),
        Answer::Receipt { .. } | Answer::Kept { .. } | Answer::NotKnown { .. } => None,
    });
    if let Some(why) = left_off {
        return Told { kind: "wrong", words: why, lines: Vec::new() };
    }
    let kept = said.answers.iter().any(|answer| matches!(answer, Answer::Kept { .. }));
    let words = counted(said.answers.len(), "line");
    let words = if kept { format!("{words} kept here") } else { format!("{words} said") };
    Told { kind: if kept { "kept" } else { "said" }, words, lines: Vec::new() }
}

#[derive(Default)]
struct Counts {
    new: usize,
    there: usize,
    wrong: usize,
    kept: usize,
}

impl Counts {
    fn add(&mut self, told: &Told) {
        let count = match told.kind {
            "there" => &mut self.there,
            "wrong" => &mut self.wrong,
            "kept" => &mut self.kept,
            _ => &mut self.new,
        };
        *count = count.saturating_add(1);
    }

    fn words(&self, do_it: bool) -> String {
        let Self { new, there, wrong, kept } = self;
        if do_it {
            let kept =
                if *kept > 0 { format!(", {kept} kept here for the shop") } else { String::new() };
            let rows = counted(*new, "row");
            return format!("{rows} said{kept}, {there} there already, {wrong} wrong");
        }
        let then = if *new > 0 { "; nothing was said yet: add --do-it" } else { "" };
        let rows = counted_are(*new, "row", "is", "are");
        format!("{rows} new, {there} there already, {wrong} wrong{then}")
    }

    /// A row that is wrong is for a person, and costs the others nothing.
    fn ending(&self, do_it: bool) -> Ending {
        if self.kept > 0 && do_it {
            Ending::Away
        } else if self.wrong > 0 {
            Ending::Refused
        } else {
            Ending::Done
        }
    }
}
