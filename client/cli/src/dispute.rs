//! `burrline dispute` and `burrline close-dispute`: a dispute is a fact, and holding the job for it
//! is a decision; here they go together.

use burrline_bench::{Bench, Ending, Error, SystemClock, patience::READING};
use burrline_domain::{
    Verb, VerbSpec,
    verb::{self, Hold, Release},
};
use burrline_line::{Common, Utterance};
use burrline_present::readings::Show;
use burrline_proto::v1;
use burrline_terms::{EntryName, Phrase, Skull};
use clap::{ArgMatches, Command};

use super::{clear, near, say, terminal::Terminal};

/// How the reason of such a hold begins.
const DISPUTED: &str = "disputed";

/// Says what the commands do beyond their verbs.
pub fn with_hold(command: Command) -> Command {
    command
        .long_about(
            "Open a dispute, with what the customer says, and hold the job until it is settled.\n\n\
             Opening it is a fact, and is kept while the shop is out of reach; the hold is a \
             decision, and has to be said again once the shop is there. A job that has ended is not \
             held.",
        )
        .after_help(
            "Examples:\n  burrline dispute 0417 \"that is not my buck\"\n  \
             burrline answer 0417 \"the tag was on from the counter to the box\"\n  \
             burrline packet 0417 --out 0417-packet\n  burrline close-dispute 0417 \"shown the trail\"",
        )
}

/// Says what closing does beyond its verb.
pub fn with_release(command: Command) -> Command {
    command
        .long_about(
            "Close a dispute, with how it was settled, and release the job if it was held for it: \
             it asks.",
        )
        .after_help("Examples:\n  burrline close-dispute 0417 \"the price was lowered\"")
}

/// Opens or closes a dispute.
///
/// # Errors
/// As [`Bench::utter`].
pub async fn run(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    let utterance = clear::utterance(&bench, spec, matches, terminal)
        .await
        .map_err(|e| near::explained(e, matches))?;
    let (common, verbs) = (utterance.common.clone(), utterance.verbs.clone());
    let opens = spec.word == "dispute";
    let mut ending = say::utter(&bench, utterance, terminal).await?;
    for verb in verbs {
        let Some(skull) = verb.skull() else { continue };
        let then = match ending {
            Ending::Done if opens => hold(&bench, skull, &verb, &common, terminal).await,
            Ending::Done => release(&bench, skull, &common, terminal).await,
            Ending::Away if opens => {
                terminal.tell(&still_wanted(skull));
                continue;
            }
            Ending::Refused | Ending::Usage | Ending::Away | Ending::Bug => continue,
        };
        match then {
            Ok(then) => ending = ending.max(then),
            Err(Error::Away { .. } | Error::NeedsShop { .. }) if opens => {
                terminal.tell(&still_wanted(skull));
                ending = ending.max(Ending::Away);
            }
            Err(error) => return Err(error),
        }
    }
    Ok(ending)
}

async fn hold(
    bench: &Bench,
    skull: &Skull,
    opened: &Verb,
    common: &Common,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let line = line_of(bench, skull).await?;
    let what = name(skull);
    if line.ended {
        terminal.tell(&format!("{what} was {}: there is nothing left to hold", line.how_ended));
        return Ok(Ending::Done);
    }
    if !line.hold.is_empty() {
        terminal.tell(&format!("{what} is on hold already ({}); that hold stands", line.hold));
        return Ok(Ending::Done);
    }
    let words = if let Verb::Dispute(dispute) = opened { dispute.words.as_ref() } else { None };
    let why = words.map_or_else(|| DISPUTED.to_owned(), |words| format!("{DISPUTED}: {words}"));
    let verb = Verb::from(Hold { skull: skull.clone(), why: Phrase::clipped(&why) });
    say::utter(bench, utterance("hold", verb, common)?, terminal).await
}

async fn release(
    bench: &Bench,
    skull: &Skull,
    common: &Common,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let line = line_of(bench, skull).await?;
    if !line.hold.starts_with(DISPUTED) {
        return Ok(Ending::Done);
    }
    let what = name(skull);
    if terminal.sure(&format!("{what} is on hold ({}): release it?", line.hold)) == Some(true) {
        let why = Some(Phrase::clipped("the dispute is closed"));
        let verb = Verb::from(Release { skull: skull.clone(), why });
        return say::utter(bench, utterance("release", verb, common)?, terminal).await;
    }
    terminal.tell(&format!("the hold stands: `burrline release {what}` ends it"));
    Ok(Ending::Done)
}

fn utterance(word: &str, verb: Verb, common: &Common) -> Result<Utterance, Error> {
    let spec = verb::spec(word).ok_or_else(|| Error::Bug(format!("{word} is no verb")))?;
    // When the dispute was opened is no word on when the hold is decided.
    let common = Common { at: None, anyway: None, ..common.clone() };
    Ok(Utterance::of(spec, common, vec![verb]))
}

async fn line_of(bench: &Bench, skull: &Skull) -> Result<v1::SkullLine, Error> {
    // What waits here may be the very take-in of it.
    if let Some(away) = bench.own_lines_first(&SystemClock).await? {
        return Err(away);
    }
    let job = bench.read_at_shop(Show { skull: skull.clone() }, READING).await?.job;
    job.and_then(|job| job.line).ok_or_else(|| Error::Nonsense("no job was shown".into()))
}

fn name(skull: &Skull) -> String {
    let number = || skull.job.map(EntryName::job_number).unwrap_or_default();
    skull.tag.as_ref().map_or_else(number, ToString::to_string)
}

fn still_wanted(skull: &Skull) -> String {
    format!(
        "the dispute is kept; the hold is still wanted: say `burrline hold {} {DISPUTED}` once the \
         shop is in reach",
        name(skull)
    )
}
