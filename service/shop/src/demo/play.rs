//! Playing: blocks in order, the benches of a block at once.

use std::{collections::BTreeMap, sync::Arc};

use burrline_bench::{
    Bench, Choice, Ending, Error, Scripted,
    answer::{Answer, Question, Said},
};
use burrline_domain::Verb;
use burrline_line as line;
use burrline_present::named;
use burrline_proto::v1;
use burrline_screen as render;
use burrline_screen::Look;
use burrline_terms::Moment;
use tokio::task::JoinSet;

use super::{
    DemoError,
    benches::{Benches, Station},
    page::Page,
    reading,
    season::{Line, Part, Season},
    time::SharedClock,
};

/// The names of entries that lines further down use.
type Labels = BTreeMap<String, String>;

/// A line that was said.
struct Done {
    line: Line,
    words: String,
    shown: Vec<String>,
    missed: Vec<String>,
}

/// What a season came to.
#[derive(Default)]
pub(super) struct Played {
    /// What did not come out as expected.
    pub(super) missed: Vec<String>,
    /// Benches, and what to go on with at them.
    pub(super) tries: Vec<(String, String)>,
}

/// Plays a whole season.
///
/// # Errors
/// [`DemoError`] if a line cannot be said at all.
pub(super) async fn all(
    season: &Season,
    benches: &mut Benches,
    clock: &Arc<SharedClock>,
    page: &mut Page,
) -> Result<Played, DemoError> {
    let mut played = Played::default();
    let mut labels = Labels::new();
    let mut shows = false;
    for part in &season.parts {
        match part {
            Part::Day(words) => page.heading(words, "=")?,
            Part::Heading(words) => {
                page.heading(words, "-")?;
                shows = true;
            }
            Part::Quiet => shows = false,
            Part::Talk(words) => page.talk(words)?,
            Part::Try(bench, words) => {
                played.tries.push((bench.clone(), named(words, &labels)));
            }
            Part::Block(lines) => {
                let until = lines.iter().map(|line| line.when).max().unwrap_or(clock.shows());
                clock.set(until);
                let look = page.look(until);
                for done in block(lines, benches, &mut labels, &look).await? {
                    if shows || !done.missed.is_empty() {
                        page.said(&done.line, &done.words, &done.shown)?;
                    }
                    played.missed.extend(done.missed);
                }
            }
        }
    }
    Ok(played)
}

/// Says the lines of a block, all benches at once, and gives them back in the order of time.
async fn block(
    lines: &[Line],
    benches: &mut Benches,
    labels: &mut Labels,
    look: &Look,
) -> Result<Vec<Done>, DemoError> {
    let mut by_bench: BTreeMap<&str, Vec<Line>> = BTreeMap::new();
    for line in lines {
        by_bench.entry(&line.bench).or_default().push(line.clone());
    }
    let mut tasks = JoinSet::new();
    for (name, lines) in by_bench {
        let Some(mut station) = benches.take(name) else { continue };
        let (name, mut labels, look) = (name.to_owned(), labels.clone(), look.clone());
        tasks.spawn(async move {
            let mut all = Vec::new();
            for line in lines {
                let at = line.at;
                let done = one(&mut station, line, &mut labels, &look).await;
                all.push(done.map_err(|source| DemoError::Bench { line: at, source })?);
            }
            Ok::<_, DemoError>((name, station, all, labels))
        });
    }
    let mut all = Vec::new();
    while let Some(done) = tasks.join_next().await {
        let (name, station, done, named) = done??;
        benches.put(name, station);
        labels.extend(named);
        all.extend(done);
    }
    all.sort_by_key(|done| (done.line.when, done.line.at));
    Ok(all)
}

/// Says one line.
async fn one(
    station: &mut Station,
    line: Line,
    labels: &mut Labels,
    look: &Look,
) -> Result<Done, Error> {
    let words = named(&line.words, labels);
    let mut shown = Vec::new();
    let mut ended_well = true;
    match words.as_str() {
        "away" => {
            station.carry(true)?;
            shown.push("out of the shop's reach from here on".to_owned());
        }
        "back" => {
            station.carry(false)?;
            let receipts = station.bench.send(&station.clock(line.when, look.now)).await?;
            let lines = if receipts.len() == 1 { "line" } else { "lines" };
            shown.push(format!("back in reach: {} {lines} sent", receipts.len()));
        }
        _ if reading::is_one(&words) => {
            shown = reading::read(&station.bench, &words, look).await?;
        }
        _ => {
            let (said, lines) = say(station, &line, &words, look.now).await?;
            shown.extend(lines);
            let rendered = render::said::said(&said, look);
            shown.extend(rendered.out);
            if !station.away {
                // Away, every line would only tell again that nobody answers.
                shown.extend(rendered.err);
            }
            shown.extend(price(&station.bench, &said).await?);
            let away = station.away;
            ended_well = said.ending() == if away { Ending::Away } else { Ending::Done };
            if let (Some(label), Some(answer)) = (&line.label, said.answers.first()) {
                label_it(label, answer, labels);
            }
        }
    }
    let missed = missed(&line, &words, &shown, ended_well);
    Ok(Done { line, words, shown, missed })
}

/// Says a line with its answers, and gives the questions that were put.
async fn say(
    station: &Station,
    line: &Line,
    words: &str,
    sent: Moment,
) -> Result<(Said, Vec<String>), Error> {
    let clock = station.clock(line.when, sent);
    let mut hand = Scripted { answers: line.answers.clone().into(), asked: Vec::new() };
    let mut utterance = station.bench.read_line(&line::split(words)?, &clock, &mut hand).await?;
    utterance.common.hand = Some(line.hand.clone());
    let said = station.bench.utter(utterance, &clock, &mut hand).await?;
    let answers = line.answers.iter().chain(std::iter::repeat(&Choice::LeaveOff));
    let asked = hand.asked.iter().zip(answers).flat_map(|(question, choice)| put(question, choice));
    Ok((said, asked.collect()))
}

/// A question as a terminal shows it, with the answer.
fn put(question: &Question, choice: &Choice) -> Vec<String> {
    let mut lines = vec![format!("{}  ({})", question.line, question.skull)];
    lines.extend(question.against.iter().map(|words| format!("  {words}")));
    if !question.missing.is_empty() {
        lines.push(format!("  w  it was done, not recorded: {}", question.missing.join(", ")));
    }
    lines.push("  a  anyway, with a reason".to_owned());
    if !question.rest.is_empty() {
        lines.push(format!("  r  leave it off, record the rest: {}", question.rest));
    }
    lines.push("  n  record nothing".to_owned());
    if question.skulls > 1 {
        lines.push("  e  ask for each by itself".to_owned());
    }
    lines.push(match choice {
        Choice::Done => "> w".to_owned(),
        Choice::Anyway(reason) => format!("> a {reason}"),
        Choice::Each => "> e".to_owned(),
        Choice::Seal => "> s".to_owned(),
        Choice::Without => "> r".to_owned(),
        Choice::LeaveOff | Choice::Nobody => "> n".to_owned(),
    });
    lines
}

/// What a quote was made of, and the script that made it, as the shop still holds it.
async fn price(bench: &Bench, said: &Said) -> Result<Vec<String>, Error> {
    let mut lines = Vec::new();
    for answer in &said.answers {
        let Answer::Receipt { verb, .. } = answer else { continue };
        let Verb::Quote(quote) = verb.as_ref() else { continue };
        let total = quote.total.iter().map(|total| ("total".to_owned(), total.to_string()));
        let parts = quote.lines.iter().map(|line| (line.what.to_string(), line.amount.to_string()));
        lines.extend(parts.chain(total).map(|(what, amount)| format!("  {what:<30}{amount:>9}")));
        if let Some(digest) = quote.script {
            let request = v1::GetScriptRequest { digest: digest.0.to_vec() };
            let script = bench.connection().get_script(request).await?;
            let digest = digest.to_string();
            let short = digest.get(..12).unwrap_or(&digest);
            lines.push(format!("  priced by the script {}, SHA-256 {short}...", script.name));
        }
    }
    Ok(lines)
}

/// Keeps the name of an entry, and how long the log was with it.
fn label_it(label: &str, answer: &Answer, labels: &mut Labels) {
    match answer {
        Answer::Receipt { receipt, .. } => {
            labels.insert(label.to_owned(), named::entry(receipt.entry.as_ref()));
            let records = receipt.position.saturating_add(1);
            labels.insert(format!("{label}.records"), records.to_string());
        }
        Answer::Kept { entry, .. } => {
            labels.insert(label.to_owned(), entry.to_string());
        }
        Answer::NotKnown { .. } | Answer::LeftOff { .. } => {}
    }
}

/// The words with the names of entries put in.
fn named(words: &str, labels: &Labels) -> String {
    let put = |word: &str| match word.strip_prefix('$').and_then(|label| labels.get(label)) {
        Some(name) => name.clone(),
        None => word.to_owned(),
    };
    words.split(' ').map(put).collect::<Vec<_>>().join(" ")
}

/// What was expected of a line and did not come; a line that expects nothing must be done.
fn missed(line: &Line, words: &str, shown: &[String], ended_well: bool) -> Vec<String> {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let all = plain(&shown.join(" "));
    let mut missed: Vec<String> = Vec::new();
    let mut miss = |what: String| missed.push(format!("line {} ({words}): {what}", line.at));
    for wanted in line.wanted.iter().filter(|wanted| !all.contains(&plain(wanted))) {
        miss(format!("\u{201c}{wanted}\u{201d} was not shown; there was: {all}"));
    }
    for unwanted in line.unwanted.iter().filter(|unwanted| all.contains(&plain(unwanted))) {
        miss(format!("\u{201c}{unwanted}\u{201d} was shown"));
    }
    if !ended_well && line.wanted.is_empty() && line.answers.is_empty() {
        miss(format!("it was not done: {all}"));
    }
    missed
}
