//! `burrline-shop status`: how a shop is, for a person. What a running server measures it reads from the
//! metrics that the server writes; the rest from the folder and its disk, also where no server runs.

use std::{
    fs::{File, TryLockError},
    path::{Path, PathBuf},
    process::ExitCode,
};

use burrline_server::{
    backup::LastCopy,
    shop::{Clock as _, Folder, MachineClock, size},
};
use burrline_terms::Typed as _;
use clap::Args;
use serde_json::{Map, Value, json};

use crate::told::Told;

/// The name of the metrics in a shop's folder, unless a setting says another place.
pub const METRICS: &str = "metrics";

/// A copy that is older than this is told.
const OLD_COPY_MS: i64 = 2 * 86_400_000;
/// Metrics that are older than this are not of a server that runs.
const OLD_METRICS_S: f64 = 60.0;

/// Which shop.
#[derive(Debug, Args)]
pub struct StatusArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    pub data: PathBuf,
    /// The file of metrics, where the server was told another than the one in the folder; or set
    /// `BURRLINE_METRICS`
    #[arg(long, env = "BURRLINE_METRICS", value_name = "FILE")]
    pub metrics: Option<PathBuf>,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
}

/// One line of the metrics.
struct Sample {
    name: String,
    labels: Vec<(String, String)>,
    value: f64,
}

/// Prints how the shop is; status 1 if somebody has to look at something.
///
/// # Errors
/// If the folder holds no shop.
pub fn status(args: &StatusArgs) -> anyhow::Result<ExitCode> {
    let data = &args.data;
    let folder = Folder::of_shop(data)?;
    let file = args.metrics.clone().unwrap_or_else(|| data.join(METRICS));
    let samples = std::fs::read_to_string(file).map(|text| read(&text)).unwrap_or_default();
    let now_ms = MachineClock.now().0;
    let mut alarms = Vec::new();
    let mut told = Told::default();
    let mut json = Map::new();
    let runs = is_held(&data.join("log/lock"));
    let reads_only = is(&samples, "burrline_reading_only") && is_fresh(&samples, now_ms);
    let state = match (runs, reads_only) {
        (_, true) => "answers readings only: its disk is full, failed, or being proved",
        (true, false) => "open",
        (false, false) => "not running",
    };
    if reads_only || !runs {
        alarms.push(format!("the shop is {state}"));
    }
    let door = runs.then(|| folder.door()).flatten();
    told.line(match &door {
        Some(door) => format!("shop     {state} at {door}"),
        None => format!("shop     {state}"),
    });
    json.insert("state".to_owned(), json!(state));
    json.insert("door".to_owned(), json!(door));
    of_copy(data, now_ms, &mut told, &mut json, &mut alarms);
    of_disk(data, &samples, &mut told, &mut json, &mut alarms);
    if data.join("log/copy-afresh").exists() {
        alarms.push("a sync failed; the next start proves the log".to_owned());
    }
    if data.join("put-back").exists() {
        alarms.push("the shop was put back from a backup and takes nothing new yet".to_owned());
    }
    if is(&samples, "burrline_clock_doubt") {
        alarms.push("the shop's clock is in doubt".to_owned());
    }
    if (runs || reads_only) && is_fresh(&samples, now_ms) {
        of_server(&samples, now_ms, &mut told, &mut json);
    } else if runs {
        alarms.push(
            "the server writes no metrics, or another file: say which with --metrics".to_owned(),
        );
    }
    for alarm in &alarms {
        told.line(format!("ALARM    {alarm}"));
    }
    json.insert("alarms".to_owned(), json!(alarms));
    told.json = Value::Object(json);
    told.print(args.json)?;
    Ok(if alarms.is_empty() { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Whether a server holds the lock.
fn is_held(lock: &Path) -> bool {
    let Ok(file) = File::open(lock) else { return false };
    matches!(file.try_lock_shared(), Err(TryLockError::WouldBlock))
}

fn of_copy(
    data: &Path,
    now_ms: i64,
    told: &mut Told,
    json: &mut Map<String, Value>,
    alarms: &mut Vec<String>,
) {
    let Some(copy) = LastCopy::of(data) else {
        alarms.push("no copy of this shop was ever made: burrline-shop backup".to_owned());
        json.insert("lastCopy".to_owned(), Value::Null);
        return;
    };
    let age = now_ms.saturating_sub(copy.at.0);
    told.line(format!("copied   {} ago, {} records, to {}", span(age), copy.records, copy.to));
    if age > OLD_COPY_MS {
        alarms.push(format!("the last good copy is {} old", span(age)));
    }
    let copy = json!({
        "made": copy.at.show(), "ageSeconds": age / 1000, "records": copy.records, "to": copy.to,
    });
    json.insert("lastCopy".to_owned(), copy);
}

fn of_disk(
    data: &Path,
    samples: &[Sample],
    told: &mut Told,
    json: &mut Map<String, Value>,
    alarms: &mut Vec<String>,
) {
    let Ok(room) = burrline_server::shop::room_of(data) else { return };
    let reserve = std::fs::metadata(data.join("log/reserve")).map_or(0, |meta| meta.len());
    told.line(format!(
        "disk     {} free of {}, {} set aside",
        size(room.free),
        size(room.total),
        size(reserve)
    ));
    match value(samples, "burrline_disk_level") {
        Some(level) if level >= 2.0 => {
            alarms.push("the disk is full: nothing new is recorded".to_owned());
        }
        Some(level) if level >= 1.0 => alarms.push("the disk is almost full: make room".to_owned()),
        Some(_) | None => {}
    }
    let disk = json!({"freeBytes": room.free, "sizeBytes": room.total, "reserveBytes": reserve});
    json.insert("disk".to_owned(), disk);
}

/// What the server measures.
fn of_server(samples: &[Sample], now_ms: i64, told: &mut Told, json: &mut Map<String, Value>) {
    let number = |name: &str| value(samples, name).unwrap_or_default();
    told.line(format!("records  {}", number("burrline_records")));
    let (again, unread) = (number("burrline_hashed_records"), number("burrline_unread_records"));
    if again < unread {
        told.line(format!("hashing  {again} of {unread} records that the start did not read"));
    }
    told.line(format!(
        "queue    {} entries between taken and on disk",
        number("burrline_queue_entries")
    ));
    let count = number("burrline_sync_seconds_count");
    if count > 0.0 {
        let mean = number("burrline_sync_seconds_sum") / count * 1000.0;
        told.line(format!(
            "syncs    {count}, {mean:.1} ms each; 50% within {}, 99% within {}",
            within(samples, count, 0.5),
            within(samples, count, 0.99)
        ));
    }
    let failed = number("burrline_rules_failed_total");
    if failed > 0.0 {
        told.line(format!("rules    {failed} could not be checked since the start"));
    }
    let declined = all(samples, "burrline_declined_total");
    for one in declined {
        let reason = label(one, "reason");
        told.line(format!("declined {} entries: {reason}", one.value));
    }
    let memory = value(samples, "process_resident_memory_bytes");
    if let Some(memory) = memory {
        told.line(format!("memory   {:.1} MiB", memory / 1_048_576.0));
    }
    let mut benches = Vec::new();
    for one in all(samples, "burrline_bench_last_contact_timestamp_seconds") {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::as_conversions,
            reason = "milliseconds since 1970, as the server wrote them"
        )]
        let at = (one.value * 1000.0) as i64;
        let age = now_ms.saturating_sub(at);
        let bench = label(one, "bench");
        told.line(format!("bench    {bench}, last in touch {} ago", span(age)));
        benches.push(
            json!({"name": bench, "life": label(one, "life"), "contactAgeSeconds": age / 1000}),
        );
    }
    let metric = |one: &Sample| json!({"name": one.name, "labels": one.labels.iter().cloned().collect::<std::collections::BTreeMap<_, _>>(), "value": one.value});
    json.insert("benches".to_owned(), Value::Array(benches));
    json.insert("metrics".to_owned(), samples.iter().map(metric).collect());
}

/// Under which bound so large a part of the syncs stayed.
fn within(samples: &[Sample], count: f64, part: f64) -> String {
    let bound = all(samples, "burrline_sync_seconds_bucket").find(|one| one.value >= count * part);
    let bound = bound.and_then(|one| label(one, "le").parse::<f64>().ok());
    match bound.filter(|bound| bound.is_finite()) {
        Some(seconds) => format!("{} ms", seconds * 1000.0),
        None => "more than 5 s".to_owned(),
    }
}

fn all<'a>(samples: &'a [Sample], name: &'a str) -> impl Iterator<Item = &'a Sample> {
    samples.iter().filter(move |one| one.name == name)
}

fn value(samples: &[Sample], name: &str) -> Option<f64> {
    all(samples, name).next().map(|one| one.value)
}

fn is(samples: &[Sample], name: &str) -> bool {
    value(samples, name).is_some_and(|value| value > 0.0)
}

fn label(sample: &Sample, name: &str) -> String {
    let found = sample.labels.iter().find(|(label, _)| label == name);
    found.map(|(_, value)| value.clone()).unwrap_or_default()
}

fn is_fresh(samples: &[Sample], now_ms: i64) -> bool {
    #[expect(
        clippy::cast_precision_loss,
        clippy::as_conversions,
        reason = "seconds since 1970 are exact far beyond any clock"
    )]
    let now = now_ms as f64 / 1000.0;
    value(samples, "burrline_metrics_written_timestamp_seconds")
        .is_some_and(|at| (now - at).abs() < OLD_METRICS_S)
}

/// How long something is ago, as a person says it.
fn span(ms: i64) -> String {
    let minutes = ms / 60_000;
    match minutes {
        i64::MIN..=-1 => "a clock is wrong: less than 0 min".to_owned(),
        0..=119 => format!("{minutes} min"),
        120..=2_879 => format!("{} h", minutes / 60),
        _ => format!("{} d", minutes / 1440),
    }
}

/// The samples of a text that this program's server wrote.
fn read(text: &str) -> Vec<Sample> {
    text.lines().filter(|line| !line.starts_with('#')).filter_map(sample).collect()
}

fn sample(line: &str) -> Option<Sample> {
    let (what, value) = line.rsplit_once(' ')?;
    let value = value.parse().ok()?;
    let Some((name, rest)) = what.split_once('{') else {
        return Some(Sample { name: what.to_owned(), labels: Vec::new(), value });
    };
    let mut labels = Vec::new();
    let mut rest = rest.strip_suffix('}')?;
    while let Some((label, after)) = rest.split_once("=\"") {
        let mut text = String::new();
        let mut end = None;
        let mut chars = after.char_indices();
        while let Some((at, c)) = chars.next() {
            match c {
                '"' => {
                    end = Some(at);
                    break;
                }
                '\\' => match chars.next()?.1 {
                    'n' => text.push('\n'),
                    other => text.push(other),
                },
                other => text.push(other),
            }
        }
        labels.push((label.trim_start_matches(',').to_owned(), text));
        rest = after.get(end?.saturating_add(1)..)?;
    }
    Some(Sample { name: name.to_owned(), labels, value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sample_is_read_with_its_labels() {
        let one = sample(r#"burrline_x{bench="a \"b\", c",life="3"} 1.5"#).unwrap();
        assert_eq!((one.name.as_str(), one.value.to_string()), ("burrline_x", "1.5".to_owned()));
        assert_eq!((label(&one, "bench"), label(&one, "life")), ("a \"b\", c".into(), "3".into()));
        assert!(sample("burrline_records 12").unwrap().value > 11.9);
        assert!(sample("nothing").is_none());
    }
}
