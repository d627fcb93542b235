//! A script tried on what has happened: what it would have cost, or what it would have objected to.

use std::collections::BTreeMap;

use burrline_bench::{
    Ending, Error,
    clock::{Clock as _, SystemClock},
};
use burrline_host::Kind;
use burrline_line::when;
use burrline_present::named;
use burrline_proto::v1::{self, backtest_response::What};
use burrline_screen::{Look, Page, Shows, Table};
use burrline_terms::{Day, Moment, Typed as _};
use clap::{Arg, ArgAction, ArgMatches, Command};
use jiff::{ToSpan as _, tz::TimeZone};
use rust_decimal::Decimal;
use serde_json::json;
use tokio_stream::StreamExt as _;

use super::{
    bar::Bar,
    file, kind,
    local::Source,
    svg::{self, Pair},
    text,
};

/// So many jobs or acts are shown, unless all are asked for.
const MOST_SHOWN: usize = 10;

pub(crate) fn command() -> Command {
    Command::new("backtest")
        .about("Try a script on what has happened")
        .long_about(
            "Try a script on what has happened; nothing is recorded. A pricing script tells what \
             each job that ended would have cost, as it was known at its end: totals by month and \
             species beside what the customers heard, and the jobs that change most. A stage script \
             tells which recorded acts it would have objected to.",
        )
        .after_help(
            "Examples:\n  burrline script backtest house.rhai --from 2025-09-01 --to 2026-02-28\n  \
             burrline script backtest house.rhai --svg house.svg\n  \
             burrline script backtest dry.rhai --all --json",
        )
        .arg(file())
        .arg(kind())
        .arg(day("from", "The first day [default: a year ago]"))
        .arg(day("to", "The last day [default: today]"))
        .arg(
            Arg::new("svg")
                .long("svg")
                .value_name("FILE")
                .help("Draw old against new into a file, by month and species"),
        )
        .arg(
            Arg::new("all")
                .long("all")
                .action(ArgAction::SetTrue)
                .help("Show every job that changes, or every act"),
        )
}

fn day(name: &'static str, help: &'static str) -> Arg {
    Arg::new(name).long(name).value_name("DAY").help(help)
}

pub(crate) async fn run(
    matches: &ArgMatches,
    shows: &(impl Shows + ?Sized),
) -> Result<Ending, Error> {
    let source = Source::of(matches)?;
    let bench = shows.bench()?;
    let (look, zone) = (shows.look(bench.zone()), bench.zone());
    let today = when::day(SystemClock.now().wall, &zone);
    let read = |name: &str| text(matches, name).map(|word| Day::read(&word)).transpose();
    let year_ago = || today.0.checked_sub(1.year()).map_or(today, Day);
    let (from, to) = (read("from")?.unwrap_or_else(year_ago), read("to")?.unwrap_or(today));
    let after = to.0.checked_add(1.day()).map_or(to, Day);
    let request = v1::BacktestRequest {
        kind: source.script_kind().number(),
        name: source.name.clone(),
        source: source.bytes.clone(),
        from_ms: begins(from, &zone)?.0,
        until_ms: begins(after, &zone)?.0,
    };
    let mut stream = std::pin::pin!(bench.connection().backtest(request).await?);
    let mut bar = Bar::begin(shows.is_watched());
    let (mut prices, mut acts, mut last) =
        (Vec::new(), Vec::new(), v1::BacktestProgress::default());
    while let Some(next) = stream.next().await {
        match next?.what {
            Some(What::Progress(progress)) => {
                bar.at(progress.done, progress.total);
                last = progress;
            }
            Some(What::Price(price)) => prices.push(price),
            Some(What::Act(act)) => acts.push(act),
            None => {}
        }
    }
    bar.end();
    let most = if matches.get_flag("all") { usize::MAX } else { MOST_SHOWN };
    let head = format!("{} from {from} to {to}", source.name);
    let stopped = stopped(last, source.kind);
    if source.kind == Kind::Stages {
        let ending = if stopped.is_some() { Ending::Refused } else { Ending::Done };
        shows.page(&led_by(stopped, acts_page(&head, &acts, last, most, &look)));
        return Ok(ending);
    }
    let failed = prices.iter().any(|price: &v1::BacktestPrice| !price.failure.is_empty());
    let tried = Tried::of(&prices, &zone);
    if let Some(path) = text(matches, "svg") {
        let charts = [
            ("by month", Tried::pairs(&tried.months)),
            ("by species", Tried::pairs(&tried.species)),
        ];
        let path = std::path::Path::new(&path);
        std::fs::write(path, svg::drawn(&head, &charts)).map_err(|e| Error::file(path, e))?;
        shows.tell(&format!("drawn: {}", path.display()));
    }
    shows.page(&led_by(stopped, prices_page(&head, &prices, &tried, most, &look)));
    Ok(if failed { Ending::Refused } else { Ending::Done })
}

/// What a run that was given up says before all else.
fn stopped(last: v1::BacktestProgress, kind: Kind) -> Option<String> {
    let what = if kind == Kind::Stages { "records" } else { "jobs" };
    (last.done < last.total).then(|| {
        format!(
            "STOPPED EARLY, after {} of {} {what}: the script failed too often; all below is of these alone",
            last.done, last.total
        )
    })
}

fn led_by(line: Option<String>, mut page: Page) -> Page {
    page.text.splice(0..0, line);
    page
}

/// The first moment of a day.
fn begins(day: Day, zone: &TimeZone) -> Result<Moment, Error> {
    let zoned = day.0.to_datetime(jiff::civil::Time::midnight()).to_zoned_datetime(zone.clone());
    let zoned = zoned.map_err(|_| Error::usage(format!("{day} is out of all range")))?;
    Ok(Moment(zoned.timestamp().as_millisecond()))
}

/// How many jobs, what their customers heard, and what the script gives.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    jobs: u64,
    heard: Decimal,
    gives: Decimal,
}

/// Sums over the jobs for which there are both figures.
#[derive(Debug, Default)]
struct Tried {
    months: BTreeMap<String, Sum>,
    species: BTreeMap<String, Sum>,
    all: Sum,
    unpriced: u64,
    failed: u64,
    /// Jobs that change, the most first.
    changed: Vec<(Decimal, usize)>,
}

impl Tried {
    fn of(prices: &[v1::BacktestPrice], zone: &TimeZone) -> Self {
        let mut tried = Self::default();
        for (at, price) in prices.iter().enumerate() {
            let Ok(gives) = price.gives.parse::<Decimal>() else {
                tried.failed = tried.failed.saturating_add(1);
                continue;
            };
            let Ok(heard) = price.heard.parse::<Decimal>() else {
                tried.unpriced = tried.unpriced.saturating_add(1);
                continue;
            };
            let month = when::local(Moment(price.ended_ms), zone).strftime("%Y-%m").to_string();
            let species = if price.species.is_empty() { &price.group } else { &price.species };
            let sums = [
                tried.months.entry(month).or_default(),
                tried.species.entry(species.clone()).or_default(),
                &mut tried.all,
            ];
            for sum in sums {
                sum.jobs = sum.jobs.saturating_add(1);
                sum.heard = sum.heard.saturating_add(heard);
                sum.gives = sum.gives.saturating_add(gives);
            }
            let by = gives.saturating_sub(heard);
            if !by.is_zero() {
                tried.changed.push((by, at));
            }
        }
        tried.changed.sort_by_key(|(by, at)| (std::cmp::Reverse(by.abs()), *at));
        tried
    }

    fn pairs(sums: &BTreeMap<String, Sum>) -> Vec<Pair> {
        let pair = |(label, sum): (&String, &Sum)| Pair {
            label: format!("{label} ({})", sum.jobs),
            old: sum.heard,
            new: sum.gives,
        };
        sums.iter().map(pair).collect()
    }
}

fn signed(amount: Decimal) -> String {
    if amount > Decimal::ZERO { format!("+{amount}") } else { amount.to_string() }
}

fn prices_page(
    head: &str,
    prices: &[v1::BacktestPrice],
    tried: &Tried,
    most: usize,
    look: &Look,
) -> Page {
    let all = tried.all;
    let mut text = vec![format!(
        "{head}: {} jobs ended; of {} with both prices: heard {}, this script {} ({})",
        prices.len(),
        all.jobs,
        all.heard,
        all.gives,
        signed(all.gives.saturating_sub(all.heard))
    )];
    if tried.unpriced > 0 {
        text.push(format!("{} had no price said, and are in no sum", tried.unpriced));
    }
    for (what, sums) in [("month", &tried.months), ("species", &tried.species)] {
        let mut table = Table::new(&[what, "jobs", "heard", "this script", "change"]);
        for (label, sum) in sums {
            table.row([
                label.clone(),
                sum.jobs.to_string(),
                sum.heard.to_string(),
                sum.gives.to_string(),
                signed(sum.gives.saturating_sub(sum.heard)),
            ]);
        }
        text.extend(table.lines(look));
    }
    let mut table =
        Table::new(&["changes most", "species", "ended", "heard", "this script", "change"]);
    for (by, price) in
        tried.changed.iter().take(most).filter_map(|(by, at)| Some((by, prices.get(*at)?)))
    {
        let name = if price.tag.is_empty() { &price.number } else { &price.tag };
        table.row([
            name.clone(),
            price.species.clone(),
            look.time(price.ended_ms),
            price.heard.clone(),
            price.gives.clone(),
            signed(*by),
        ]);
    }
    text.extend(table.lines(look));
    if tried.changed.len() > most {
        text.push(format!(
            "... and {} more that change; --all shows them",
            tried.changed.len().saturating_sub(most)
        ));
    }
    let failures = prices.iter().filter(|price| !price.failure.is_empty());
    for price in failures.take(3) {
        text.push(format!("no price for {} {}: {}", price.tag, price.species, price.failure));
    }
    if tried.failed > 0 {
        text.push(format!("{} have no price by this script, and are in no sum", tried.failed));
    }
    let one = |price: &v1::BacktestPrice| {
        json!({
            "number": price.number,
            "tag": price.tag,
            "species": price.species,
            "ended": look.stamp(price.ended_ms),
            "heard": price.heard,
            "gives": price.gives,
            "failure": price.failure,
        })
    };
    Page { text, json: prices.iter().map(one).collect() }
}

fn acts_page(
    head: &str,
    acts: &[v1::BacktestAct],
    last: v1::BacktestProgress,
    most: usize,
    look: &Look,
) -> Page {
    let count = |fits: &dyn Fn(&&v1::BacktestAct) -> bool| acts.iter().filter(fits).count();
    let mut text = vec![format!(
        "{head}: asked of {} acts; would have objected to {}, remarked on {}, and failed on {}",
        last.asked,
        count(&|act| act.objects),
        count(&|act| !act.objects && !act.not_checked),
        count(&|act| act.not_checked)
    )];
    let mut table = Table::new(&["when", "line", "by", "says", "words"]);
    for act in acts.iter().take(most) {
        let says = match (act.not_checked, act.objects) {
            (true, _) => "failed",
            (false, true) => "no",
            (false, false) => "remark",
        };
        table.row([
            look.time(act.at_ms),
            act.line.clone(),
            act.hand.clone(),
            says.to_owned(),
            act.words.clone(),
        ]);
    }
    text.extend(table.lines(look));
    if acts.len() > most {
        text.push(format!("... and {} more; --all shows them", acts.len().saturating_sub(most)));
    }
    let one = |act: &v1::BacktestAct| {
        json!({
            "at": look.stamp(act.at_ms),
            "entry": named::entry(act.entry.as_ref()),
            "line": act.line,
            "skull": act.skull,
            "hand": act.hand,
            "words": act.words,
            "objects": act.objects,
            "not_checked": act.not_checked,
        })
    };
    Page { text, json: acts.iter().map(one).collect() }
}
