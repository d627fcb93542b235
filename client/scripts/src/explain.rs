//! Why a price was what it was: explained by the very script that made it, however long ago.

use burrline_bench::{Ending, Error};
use burrline_domain::{
    VerbSpec,
    house::{
        brackets::Brackets,
        sold::{Sold, TaxedKinds},
        tax::{Part, TaxBy},
        taxation::{Beside, Taxation, Taxed},
    },
};
use burrline_host::{JobFacts, Quote, ScriptFailure, WhyPrice, why_price};
use burrline_line as line;
use burrline_present::named;
use burrline_proto::{Wire as _, v1};
use burrline_screen::{Page, Shows};
use burrline_terms::{Typed as _, rounding::Rounding};
use clap::{Arg, ArgAction, ArgMatches, Command};
use rust_decimal::Decimal;
use serde_json::json;

use super::{attempt, local::Source};

/// The command of `quote`, which can explain too.
pub fn with_explain(quote: Command) -> Command {
    quote.arg(
        Arg::new("explain")
            .long("explain")
            .action(ArgAction::SetTrue)
            .help("Say nothing new: explain the last price, by the script that made it"),
    )
}

/// Explains the last price that the customer heard.
///
/// # Errors
/// If there is none, or the shop is out of reach.
pub async fn explain(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    shows: &(impl Shows + ?Sized),
) -> Result<Ending, Error> {
    let bench = shows.bench()?;
    let utterance = line::from_matches(spec, matches, &bench.lexicon())?;
    let look = shows.look(bench.zone());
    let skull = utterance.verbs.first().and_then(burrline_domain::Verb::skull);
    let skull = skull.ok_or_else(|| Error::usage("say which skull: quote 0417 --explain"))?;
    let request = v1::ScriptFactsRequest {
        skull: Some(skull.to_item()),
        when_quoted: true,
        ..v1::ScriptFactsRequest::default()
    };
    let seen = bench.connection().script_facts(request).await?;
    let heard = seen.heard.clone().ok_or_else(|| Error::Refused("no price was said yet".into()))?;
    let what = seen.skull.as_ref().map(named::skull).unwrap_or_default();
    let said_by =
        if heard.hand.is_empty() { String::new() } else { format!(" from {}", heard.hand) };
    let agreed = if heard.agreed { ", and agreed" } else { "" };
    let mut text = vec![format!(
        "{what}: on {} the customer heard {}{said_by}{agreed}  [{}]",
        look.stamp(heard.at_ms).replace('T', " "),
        heard.total,
        named::entry(heard.entry.as_ref()),
    )];
    text.extend(heard.lines.iter().map(|line| format!("  {:>10}  {}", line.amount, line.what)));
    let mut json = json!({
        "skull": what,
        "entry": named::entry(heard.entry.as_ref()),
        "at": look.stamp(heard.at_ms),
        "heard": heard.total,
        "script": heard.script_name,
        "digest": hex::encode(&heard.script),
    });
    if heard.script.is_empty() {
        text.push(
            "It was said without a script, so there is nothing to work out again.".to_owned(),
        );
        shows.page(&Page { text, json: vec![json] });
        return Ok(Ending::Done);
    }
    let sources = Source::of_price(&heard.script, &heard.script_name, &bench).await?;
    match again(&sources, &seen)? {
        Ok((whys, quote)) => {
            let taxed = taxed(&seen, &quote);
            let total = taxed.as_ref().map_or(quote.total, |taxed| taxed.total);
            text.extend(differs(&heard, &quote, total));
            text.extend(taxed.iter().flat_map(|taxed| how_taxed(taxed, seen.tax_included)));
            let mut pages = Vec::new();
            for (source, why) in sources.iter().zip(&whys) {
                let source = Source { name: source.named(), ..source.clone() };
                let what = "The same job, as it was known then,";
                let page = attempt::price(&source, what, why, seen.minor_digits);
                text.extend(page.text);
                pages.extend(page.json);
            }
            if let Some(json) = json.as_object_mut() {
                let one =
                    if pages.len() == 1 { pages.pop().unwrap_or_default() } else { json!(pages) };
                json.insert("again".to_owned(), one);
            }
        }
        Err((source, failure)) => text.extend(source.tell(&failure)),
    }
    shows.page(&Page { text, json: vec![json] });
    Ok(Ending::Done)
}

/// The answers of the scripts, one after the other, and the whole price; or which of them failed.
type Again = Result<(Vec<WhyPrice>, Quote), (Source, ScriptFailure)>;

/// Prices a job again by the scripts that priced it.
fn again(sources: &[Source], seen: &v1::ScriptFactsResponse) -> Result<Again, Error> {
    let job: JobFacts = attempt::read(&seen.facts)?;
    let mut whys: Vec<WhyPrice> = Vec::new();
    for source in sources {
        let before = whys.last().map(|why| why.quote.lines.clone()).unwrap_or_default();
        match why_price(&source.name, &source.bytes, seen.minor_digits, &job, Some(before)) {
            Ok(why) => whys.push(why),
            Err(failure) => return Ok(Err((source.clone(), failure))),
        }
    }
    let last = whys.last().map(|why| why.quote.clone());
    Ok(Ok((whys, last.ok_or_else(|| Error::Nonsense("a list of no scripts".into()))?)))
}

/// What a script's price comes to by the tax of that day, in all its parts.
fn taxed(seen: &v1::ScriptFactsResponse, quote: &Quote) -> Option<Taxed> {
    let amount = |text: &str| text.parse::<Decimal>().unwrap_or_default();
    let named = || vec![Part::of(String::new(), amount(&seen.tax_percent))];
    let parts = seen.tax_parts.iter().filter_map(|part| Part::read(part).ok()).collect::<Vec<_>>();
    let sold = seen.sold_as.iter().filter_map(|words| {
        let (word, sold) = words.rsplit_once(' ')?;
        Some((word.to_owned(), Sold::read(sold).ok()?))
    });
    let taxation = Taxation {
        // A shop of an earlier release tells the sum of them alone.
        parts: if parts.is_empty() { named() } else { parts },
        by: TaxBy::read(&seen.tax_by).unwrap_or_default(),
        rounding: Rounding::read(&seen.rounding).unwrap_or_default(),
        brackets: Brackets::read(&seen.tax_brackets).ok(),
        digits: seen.minor_digits,
        included: seen.tax_included,
        kinds: TaxedKinds::read(&seen.taxed).unwrap_or_default(),
        sold_as: sold.collect(),
        exempt: seen.tax_exempt,
        beside: Beside {
            base: amount(&seen.visit_base),
            exact: amount(&seen.visit_exact),
            tax: amount(&seen.visit_tax),
        },
    };
    let lines: Vec<(&str, Decimal)> =
        quote.lines.iter().map(|line| (line.what.as_str(), line.amount)).collect();
    taxation.tax(&lines)
}

/// How the tax came about: each part of the rate, and the cent of the visit.
fn how_taxed(taxed: &Taxed, included: bool) -> Vec<String> {
    if taxed.tax.is_zero() {
        return Vec::new();
    }
    let within = if included { ", within the prices" } else { "" };
    let mut lines = vec![format!("Tax {}{within}:", taxed.tax)];
    for of in &taxed.parts {
        let name = if of.part.name.is_empty() { "rate" } else { &of.part.name };
        let rate = Part { name: String::new(), ..of.part.clone() }.show();
        lines.push(format!("  {:>10}  {name} {rate}, on {}", of.tax, of.base));
    }
    if !taxed.cent.is_zero() {
        lines.push(format!(
            "  {} of it because tax is rounded once over the heads of the visit",
            taxed.cent
        ));
    }
    lines
}

/// Where what was heard and what the script gives are not the same; what was heard stands.
fn differs(heard: &v1::HeardPrice, quote: &Quote, total: Decimal) -> Vec<String> {
    let amount = |text: &str| text.parse::<Decimal>().ok();
    let mut lines = Vec::new();
    if total != quote.total {
        lines.push(format!("With tax the script gives {total}."));
    }
    if amount(&heard.total) != Some(total) {
        lines.push(format!(
            "Heard {}, the script gives {total}: what was heard stands.",
            heard.total
        ));
    }
    for line in &quote.lines {
        let same = |heard: &&v1::PriceLine| heard.what == line.what;
        match heard.lines.iter().find(same) {
            Some(heard) if amount(&heard.amount) == Some(line.amount) => {}
            Some(heard) => lines.push(format!(
                "  {}: heard {}, the script gives {}",
                line.what, heard.amount, line.amount
            )),
            None if heard.lines.is_empty() => {}
            None => lines.push(format!("  {} {}: not heard", line.what, line.amount)),
        }
    }
    let gone = heard.lines.iter().filter(|heard| !quote.lines.iter().any(|l| l.what == heard.what));
    lines.extend(
        gone.map(|gone| format!("  {} {}: heard, and not by the script", gone.what, gone.amount)),
    );
    lines
}
