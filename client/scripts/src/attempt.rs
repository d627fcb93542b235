//! A script tried on one job, with the reason of everything it answers.

use std::sync::Arc;

use burrline_bench::{Bench, Ending, Error};
use burrline_host::{
    JobFacts, Kind, PlanStep, Prices, QuoteLine, Ran, Sandbox, Script, ScriptFailure, Stages,
    VerbFacts, WhyPrice, why_price, why_ruling,
};
use burrline_line as line;
use burrline_proto::{Wire, v1};
use burrline_screen::{Page, Shows};
use burrline_terms::Money;
use clap::{Arg, ArgMatches, Command};
use serde_json::{Value, json};

use super::{
    advice::advised,
    file, kind,
    local::{Source, skull},
    text,
};

pub(crate) fn command() -> Command {
    Command::new("try")
        .about("Try a script on a job, and say line by line why")
        .long_about(
            "Try a script on a job of the shop, or on an invented one, and say line by line why it \
             answers as it does. Nothing is recorded. An invented job begins as a whitetail buck in \
             order and changes what the JSON names: {\"arrival\": \"skin-on\"}, or \
             {\"job\": {...}, \"act\": {\"verb\": \"coat\"}} for a stage script, and for a script with \
             `adjust` also what the price list gave: {\"lines\": [{\"what\": \"cleaning\", \"amount\": \
             \"110.00\"}]}. Without an act a script with `plan` shows the plan.",
        )
        .after_help(
            "Examples:\n  burrline script try house.rhai --job 0417\n  \
             burrline script try house.rhai --act \"in pot-1 0417\"\n  \
             burrline script try house.rhai --facts invented.json",
        )
        .arg(file())
        .arg(kind())
        .arg(Arg::new("job").long("job").value_name("TAG").help("A tag or a job number of the shop"))
        .arg(
            Arg::new("act")
                .long("act")
                .value_name("LINE")
                .help("What would be done, as it is typed at a bench; for a stage script"),
        )
        .arg(
            Arg::new("facts")
                .long("facts")
                .value_name("FILE")
                .conflicts_with_all(["job", "act"])
                .help("An invented job, as JSON"),
        )
}

pub(crate) async fn run(
    matches: &ArgMatches,
    shows: &(impl Shows + ?Sized),
) -> Result<Ending, Error> {
    let source = Source::of(matches)?;
    let seen = match text(matches, "facts") {
        Some(path) => invented(&path)?,
        None if matches.contains_id("job") || matches.contains_id("act") => {
            of_the_shop(&shows.bench()?, matches, &source).await?
        }
        None => Seen { what: "a plain whitetail".into(), ..Seen::default() },
    };
    let (page, good) = match source.kind {
        Kind::Pricing => match tried(&source, &seen) {
            Ok(why) => (price(&source, &seen.what, &why, seen.places), true),
            Err(failure) => (
                Page { text: source.tell(&failure), json: vec![json!({ "failure": failure })] },
                false,
            ),
        },
        Kind::Stages => ruling(&source, &seen)?,
    };
    shows.page(&page);
    Ok(if good { Ending::Done } else { Ending::Refused })
}

/// What the script is shown.
pub(crate) struct Seen {
    pub what: String,
    pub job: JobFacts,
    pub act: Option<VerbFacts>,
    pub places: u32,
    /// The price scripts of the shop that the one on trial would price with.
    pub prices: Prices,
    /// The lines that an invented price list gave, for an adjustment.
    before: Option<Vec<QuoteLine>>,
}

impl Default for Seen {
    fn default() -> Self {
        Self {
            what: String::new(),
            job: JobFacts::in_order(),
            act: None,
            places: 2,
            prices: Prices::default(),
            before: None,
        }
    }
}

async fn of_the_shop(bench: &Bench, matches: &ArgMatches, source: &Source) -> Result<Seen, Error> {
    let act =
        text(matches, "act").map(|typed| line::parse(&typed, &bench.lexicon())).transpose()?;
    let act = act.and_then(|utterance| utterance.verbs.into_iter().next());
    let named = text(matches, "job").map(|word| skull(&word)).transpose()?;
    let of_act = act.as_ref().and_then(|verb| verb.skull().map(Wire::to_item));
    let meant = named
        .or(of_act)
        .ok_or_else(|| Error::usage("that line is about no skull; say which with --job TAG"))?;
    let hand = bench.hand().map(|hand| hand.to_string()).unwrap_or_default();
    let request = v1::ScriptFactsRequest {
        skull: Some(meant),
        when_quoted: false,
        act: act.as_ref().map(v1::Verb::from),
        hand,
    };
    let seen = bench.connection().script_facts(request).await?;
    let what = seen.skull.as_ref().map(burrline_present::named::skull).unwrap_or_default();
    let act = if seen.act.is_empty() { None } else { Some(read(&seen.act)?) };
    let mut prices = Prices::default();
    if source.kind == Kind::Pricing && !seen.pricing.is_empty() {
        let in_force = Source::of_price(&seen.pricing, &seen.pricing_name, bench).await?;
        prices = together(&in_force).map_err(|failure| Error::Refused(failure.to_string()))?;
    }
    Ok(Seen { what, job: read(&seen.facts)?, act, places: seen.minor_digits, prices, before: None })
}

fn together(sources: &[Source]) -> Result<Prices, ScriptFailure> {
    sources.iter().map(Source::pricing).collect::<Result<Vec<_>, _>>().map(Prices::of)
}

/// A price list by itself, an adjustment after what it would find.
fn tried(source: &Source, seen: &Seen) -> Result<WhyPrice, ScriptFailure> {
    let pricing = source.pricing()?;
    let before = if seen.prices.list().is_some() && pricing.is_adjustment() {
        let digest = pricing.script().digest().to_owned();
        let prices = seen.prices.trying(pricing).with_places(seen.places);
        Some(prices.before(&digest, &seen.job)?)
    } else {
        seen.before.clone()
    };
    why_price(&source.name, &source.bytes, seen.places, &seen.job, before)
}

/// Facts that the shop sent; a newer shop may send names that this program does not know.
pub(crate) fn read<T: serde::de::DeserializeOwned>(facts: &str) -> Result<T, Error> {
    serde_json::from_str(facts).map_err(|why| {
        Error::Nonsense(format!("the shop sent facts that this program is too old for ({why})"))
    })
}

fn invented(path: &str) -> Result<Seen, Error> {
    let path = std::path::Path::new(path);
    let bytes = std::fs::read(path).map_err(|e| Error::file(path, e))?;
    let wrong = |why: serde_json::Error| Error::usage(format!("{}: {why}", path.display()));
    let given: Value = serde_json::from_slice(&bytes).map_err(wrong)?;
    let parts = ["job", "act", "lines"];
    let both = parts.iter().any(|part| given.get(part).is_some_and(|part| !part.is_null()));
    let Some(named) = given.as_object() else {
        return Err(Error::usage(format!("{}: wants {{\"job\": {{...}}}}", path.display())));
    };
    if let Some(odd) = named.keys().find(|key| both && !parts.contains(&key.as_str())) {
        let words = format!("{}: there is no `{odd}` beside {}", path.display(), parts.join(", "));
        return Err(Error::usage(words));
    }
    let lines = given.get("lines").cloned().map(serde_json::from_value::<Vec<QuoteLine>>);
    let before = lines.transpose().map_err(wrong)?;
    let part = |name: &str| given.get(name).cloned().unwrap_or_else(|| json!({}));
    let (job, act) = if both { (part("job"), given.get("act").cloned()) } else { (given, None) };
    let over = |mut base: Value, changes: Value| {
        merge(&mut base, changes);
        base
    };
    let job = over(json!(JobFacts::in_order()), job);
    let act = act.map(|act| over(json!(VerbFacts::of("")), act));
    Ok(Seen {
        what: "an invented job".to_owned(),
        job: serde_json::from_value(job).map_err(wrong)?,
        act: act.map(serde_json::from_value).transpose().map_err(wrong)?,
        before,
        ..Seen::default()
    })
}

/// Puts what is given over what is there; a list replaces a list.
fn merge(base: &mut Value, changes: Value) {
    match (base, changes) {
        (Value::Object(base), Value::Object(changes)) => {
            for (name, value) in changes {
                merge(base.entry(name).or_insert(Value::Null), value);
            }
        }
        (base, changes) => *base = changes,
    }
}

/// A price with its reasons.
pub(crate) fn price(source: &Source, what: &str, why: &WhyPrice, places: u32) -> Page {
    let quote = &why.quote;
    let money = |amount| Money::new(amount).written(places);
    let mut text = vec![format!("{what} by {}: {}", source.name, money(quote.total))];
    for line in &quote.lines {
        let made = why.ran.iter().find(|ran| ran.made.contains(&line.what));
        let at = made.map(|ran| format!("   line {}", ran.line)).unwrap_or_default();
        text.push(
            format!("  {:>10}  {:<40}{at}", money(line.amount), line.what).trim_end().to_owned(),
        );
    }
    text.extend(
        quote.deposit.map(|deposit| format!("  {:>10}  to ask for at once", money(deposit))),
    );
    text.push("Line by line:".to_owned());
    text.extend(ran(&why.ran));
    let json = json!({
        "skull": what,
        "script": source.name,
        "digest": quote.digest,
        "total": quote.total.to_string(),
        "deposit": quote.deposit.map(|deposit| deposit.to_string()),
        "lines": quote
            .lines
            .iter()
            .map(|line| json!({ "what": line.what, "amount": line.amount.to_string() }))
            .collect::<Vec<_>>(),
        "ran": ran_json(&why.ran),
    });
    Page { text, json: vec![json] }
}

/// The plan of a job; nothing if the script plans none.
fn plan(source: &Source, seen: &Seen) -> Option<(Page, bool)> {
    let sandbox = Arc::new(Sandbox::default());
    let script = Script::from_bytes(&sandbox, Kind::Stages, &source.name, &source.bytes);
    let stages = script.ok().filter(|script| script.has("plan", 1)).map(Stages::new)?.ok()?;
    let steps = match stages.plan(&seen.job) {
        Ok(steps) => steps,
        Err(failure) => {
            let json = vec![json!({ "failure": failure })];
            return Some((Page { text: source.tell(&failure), json }, false));
        }
    };
    let what = &seen.what;
    let mut text = vec![match steps.len() {
        0 => format!("{what} by {}: no plan of this script", source.name),
        count => format!("{what} by {}: {count} steps", source.name),
    }];
    let lasts = |step: &PlanStep| burrline_present::view::minutes(step.expect_minutes);
    text.extend(steps.iter().map(|step| format!("  {:<16} {}", step.step, lasts(step))));
    let json = json!({
        "skull": what,
        "script": source.name,
        "plan": steps
            .iter()
            .map(|step| json!({ "step": step.step, "expect_minutes": step.expect_minutes }))
            .collect::<Vec<_>>(),
    });
    Some((Page { text, json: vec![json] }, true))
}

fn ruling(source: &Source, seen: &Seen) -> Result<(Page, bool), Error> {
    let planned = if seen.act.is_none() { plan(source, seen) } else { None };
    let advised = advised(source, seen);
    let judges = seen.act.is_some();
    let page = match (planned, &advised) {
        (Some(planned), _) => planned,
        (None, Some(_)) if !judges => {
            let text = vec![format!("{} by {}:", seen.what, source.name)];
            (Page { text, json: Vec::new() }, true)
        }
        (None, _) => ruled(source, seen)?,
    };
    Ok(match advised {
        Some(advised) => {
            let (mut page, good) = page;
            page.text.extend(advised.text);
            page.json.extend(advised.json);
            (page, good && advised.good)
        }
        None => page,
    })
}

/// What a rule says of an act.
fn ruled(source: &Source, seen: &Seen) -> Result<(Page, bool), Error> {
    let act = seen.act.as_ref().ok_or_else(|| {
        Error::usage("a stage script judges an act: say it with --act \"coat 0417\", or in --facts")
    })?;
    let why = match why_ruling(&source.name, &source.bytes, &seen.job, act) {
        Ok(why) => why,
        Err(failure) => {
            let json = vec![json!({ "failure": failure })];
            return Ok((Page { text: source.tell(&failure), json }, false));
        }
    };
    let (word, words, good) = match &why.ruling {
        burrline_host::Ruling::Fine { .. } => ("fine", String::new(), true),
        burrline_host::Ruling::Remark { words, .. } => ("remark", words.clone(), true),
        burrline_host::Ruling::No { words, .. } => ("no", words.clone(), true),
        burrline_host::Ruling::NotChecked(failure) => {
            ("not checked", source.tell(failure).join("\n"), false)
        }
    };
    let mut text = vec![
        format!("{} {} by {}: {word} {words}", act.verb, seen.what, source.name)
            .trim_end()
            .to_owned(),
    ];
    text.extend(
        why.answered_at.map(|line| format!("The answer is from line {line}. Line by line:")),
    );
    text.extend(ran(&why.ran));
    let json = json!({
        "skull": seen.what,
        "script": source.name,
        "act": act.verb,
        "ruling": word,
        "words": words,
        "line": why.answered_at,
        "ran": ran_json(&why.ran),
    });
    Ok((Page { text, json: vec![json] }, good))
}

/// The lines that ran, each with what it read and what it made.
pub(crate) fn ran(ran: &[Ran]) -> Vec<String> {
    let mut text = Vec::new();
    for one in ran {
        text.push(format!("{:>4} | {}", one.line, one.code));
        text.extend(one.read.iter().map(|(name, value)| format!("     |   {name} is {value}")));
        text.extend(one.made.iter().map(|what| format!("     |   makes \"{what}\"")));
    }
    text
}

fn ran_json(ran: &[Ran]) -> Vec<Value> {
    let one = |ran: &Ran| json!({ "line": ran.line, "code": ran.code, "read": ran.read, "made": ran.made });
    ran.iter().map(one).collect()
}
