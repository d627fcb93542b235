//! What somebody asks the shop, in the words of the bench's command line.

use burrline_client::{
    Bench, Error,
    line::when,
    render::{self, Look},
};
use burrline_proto::{Wire as _, v1};
use burrline_terms::Typed as _;
use burrline_terms::{Moment, Skull, Span};
use rust_decimal::prelude::ToPrimitive as _;

/// The words of a reading, sorted.
struct Asked<'a> {
    about: &'a str,
    as_of_ms: Option<i64>,
    as_known: Option<u64>,
    within: Span,
}

/// Whether a line asks something rather than saying it.
pub(super) fn is_one(words: &str) -> bool {
    let first = words.split(' ').next().unwrap_or_default();
    ["find", "show", "trail", "floor", "due", "clashes"].contains(&first)
}

/// Asks, and gives the lines that a person reads.
///
/// # Errors
/// If the words cannot be read or the shop does not answer.
pub(super) async fn read(bench: &Bench, words: &str, look: &Look) -> Result<Vec<String>, Error> {
    let shop = bench.connection();
    let (what, rest) = words.split_once(' ').unwrap_or((words, ""));
    let Asked { about, as_of_ms, as_known, within } = sort(rest, look)?;
    let page = match what {
        "find" => {
            let words = about.to_owned();
            render::lines::found(&shop.find(v1::FindRequest { words, life: 0 }).await?, look)
        }
        "show" => {
            let skull = Some(Skull::read(about)?.to_item());
            let shown = shop.show(v1::ShowRequest { skull, as_of_ms, as_known }).await?;
            render::job::show(&shown.job.unwrap_or_default(), look)
        }
        "trail" => {
            let skull = Some(Skull::read(about)?.to_item());
            let trail = shop.trail(v1::TrailRequest { skull, as_of_ms, as_known }).await?;
            render::job::trail(&trail, look)
        }
        "due" => {
            let minutes = within.minutes().to_i64().unwrap_or(0);
            let until_ms = look.now.plus(minutes.saturating_mul(60_000)).0;
            render::lines::due(&shop.due(v1::DueRequest { until_ms }).await?, look)
        }
        "clashes" => {
            render::lines::clashes(&shop.clashes(v1::ClashesRequest {}).await?.lines, look)
        }
        _ => {
            let request = v1::FloorRequest { as_of_ms, as_known, place: about.to_owned() };
            render::lines::floor(&shop.floor(request).await?, look)
        }
    };
    Ok(page.text)
}

fn sort<'a>(words: &'a str, look: &Look) -> Result<Asked<'a>, Error> {
    let mut asked = Asked { about: "", as_of_ms: None, as_known: None, within: Span::read("1d")? };
    let mut words = words.split_whitespace();
    while let Some(word) = words.next() {
        let value = if word.starts_with("--") { words.next().unwrap_or_default() } else { word };
        match word {
            "--as-of" => {
                let Moment(ms) = when::said(value, look.now, &look.zone)?;
                asked.as_of_ms = Some(ms);
            }
            "--as-known" => {
                let wrong = || Error::Usage(format!("{value} is no number of records"));
                asked.as_known = Some(value.parse().map_err(|_| wrong())?);
            }
            "--within" => asked.within = Span::read(value)?,
            _ => asked.about = word,
        }
    }
    Ok(asked)
}
