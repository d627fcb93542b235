//! Watching over a shop while it serves: what its health says, the room that is set aside on its disk,
//! and its metrics as OpenMetrics text in a file.

use std::{fmt::Write as _, path::Path, sync::Arc, time::Duration};

use burrline_ledger::keep_reserve;
use burrline_proto::v1::shop_server::ShopServer;
use tokio::sync::watch;
use tonic_health::{ServingStatus, server::HealthReporter};

use crate::{
    backup::LastCopy,
    doors::Door,
    metrics::{CLASSES, Metrics},
    off_thread::off_thread,
    shop::{Level, Shop},
};

/// Health of recording alone: it is not served while the disk is full, failed or being proved.
pub const RECORDING: &str = "recording";
/// Health of the disk: it is not served as soon as there is little room.
pub const DISK: &str = "disk";

const BETWEEN: Duration = Duration::from_secs(5);

/// Keeps health, reserve and metrics up to date until the shop closes; then health says so.
pub(crate) async fn watch_over(
    shop: Arc<Shop>,
    health: HealthReporter,
    mut stop: watch::Receiver<bool>,
) {
    let mut ticks = tokio::time::interval(BETWEEN);
    loop {
        tokio::select! {
            _ = ticks.tick() => {}
            _ = stop.wait_for(|stop| *stop) => break,
        }
        look_once(&shop, &health).await;
    }
    tell(&health, false, false, false).await;
}

/// Looks, and says how the shop is.
pub(crate) async fn look_once(shop: &Arc<Shop>, health: &HealthReporter) {
    let owned = Arc::clone(shop);
    if let Ok((answers, records, roomy)) = off_thread(move || look(&owned)).await {
        tell(health, answers, records, roomy).await;
    }
}

/// Says how a shop is; answering, recording, and room on the disk.
async fn tell(health: &HealthReporter, answers: bool, records: bool, roomy: bool) {
    let status = |is: bool| if is { ServingStatus::Serving } else { ServingStatus::NotServing };
    if answers {
        health.set_serving::<ShopServer<Door>>().await;
    } else {
        health.set_not_serving::<ShopServer<Door>>().await;
    }
    health.set_service_status(RECORDING, status(records)).await;
    health.set_service_status(DISK, status(roomy)).await;
}

/// Looks at the disk, keeps its reserve, and writes the metrics.
fn look(shop: &Shop) -> (bool, bool, bool) {
    let is_restoring = shop.restoring().is_some();
    let takes = shop.disk().why_not().is_none();
    let (level, _) = shop.disk().look();
    if let Some(file) = shop.metrics().file() {
        // A shop that reads a copy, or whose log is elsewhere, has none of its own to set room aside for.
        let has_own = shop.folder().has_own_log().is_ok_and(|has| has);
        if has_own && shop.disk().reading_only().is_none() && level == Level::Enough {
            let kept = keep_reserve(&shop.folder().log(), shop.disk().limits().warn);
            if let Err(error) = kept {
                tracing::warn!(%error, "no room can be set aside on the disk");
            }
        }
        let text = text(shop);
        if let Err(error) = write(file, &text) {
            tracing::warn!(%error, "the metrics cannot be written");
        }
    }
    (!is_restoring, !is_restoring && takes, level == Level::Enough)
}

/// Put in place whole, and not synced: they are of this moment alone.
fn write(file: &Path, text: &str) -> std::io::Result<()> {
    let draft = file.with_extension("draft");
    std::fs::write(&draft, text)?;
    std::fs::rename(&draft, file)
}

/// A table of metrics in the making.
struct Text(String);

impl Text {
    /// One metric with its samples: labels and value.
    fn metric(
        &mut self,
        (name, kind, help): (&str, &str, &str),
        samples: impl IntoIterator<Item = (String, String)>,
    ) {
        // Writing to a text does not fail.
        let _ = writeln!(self.0, "# TYPE {name} {kind}\n# HELP {name} {help}");
        let end = if kind == "counter" { "_total" } else { "" };
        for (labels, value) in samples {
            let labels = if labels.is_empty() { labels } else { format!("{{{labels}}}") };
            let _ = writeln!(self.0, "{name}{end}{labels} {value}");
        }
    }

    fn gauge(&mut self, name: &str, help: &str, value: impl ToString) {
        self.metric((name, "gauge", help), [(String::new(), value.to_string())]);
    }

    fn counter(&mut self, name: &str, help: &str, value: impl ToString) {
        self.metric((name, "counter", help), [(String::new(), value.to_string())]);
    }
}

/// A value of a label.
fn label(name: &str, value: impl ToString) -> String {
    let value = value.to_string().replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n");
    format!("{name}=\"{value}\"")
}

fn seconds(ms: i64) -> String {
    format!("{}.{:03}", ms.div_euclid(1000), ms.rem_euclid(1000))
}

/// The metrics of a shop as OpenMetrics text.
pub fn text(shop: &Shop) -> String {
    let mut text = Text(String::new());
    let now = shop.machine_now().0;
    text.gauge(
        "burrline_metrics_written_timestamp_seconds",
        "When this was written, since 1970.",
        seconds(now),
    );
    text.gauge(
        "burrline_clock_doubt",
        "1 while the shop's clock does not agree with its log or its benches.",
        u8::from(shop.clock_doubt().is_some()),
    );
    text.gauge("burrline_records", "Records on the disk.", shop.reader().head().size);
    let (again, unread) = shop.hashed_again();
    text.gauge("burrline_unread_records", "Records that the start did not read.", unread);
    text.gauge("burrline_hashed_records", "Those of them that were hashed since.", again);
    let flag = |is: bool| u8::from(is);
    text.gauge(
        "burrline_restoring",
        "1 while the shop takes back what it lost and takes nothing new.",
        flag(shop.restoring().is_some()),
    );
    text.gauge(
        "burrline_reading_only",
        "1 while the shop answers from a copy, as its disk failed or is being proved.",
        flag(shop.disk().reading_only().is_some()),
    );
    let (level, room) = shop.disk().look();
    let level = match level {
        Level::Enough => 0,
        Level::Low => 1,
        Level::Full => 2,
    };
    text.gauge("burrline_disk_level", "0 enough room, 1 little, 2 too little to record.", level);
    if let Some(room) = room {
        text.gauge("burrline_disk_free_bytes", "Room on the shop's disk.", room.free);
        text.gauge("burrline_disk_size_bytes", "The size of that disk.", room.total);
    }
    let reserve = std::fs::metadata(shop.folder().log().join("reserve")).map_or(0, |m| m.len());
    text.gauge("burrline_reserve_bytes", "Room that is set aside there.", reserve);
    if let Some(bytes) = resident() {
        text.gauge("process_resident_memory_bytes", "Memory of the program.", bytes);
    }
    text.gauge("burrline_queue_entries", "Entries between taken and on disk.", shop.queued());
    of_entries(&mut text, shop.metrics());
    of_benches(&mut text, shop);
    if let Some(copy) = LastCopy::of(shop.folder().root()) {
        text.gauge(
            "burrline_last_backup_timestamp_seconds",
            "When the last whole copy was made, since 1970.",
            seconds(copy.at.0),
        );
        text.gauge("burrline_last_copy_records", "Records in that copy.", copy.records);
    }
    text.0.push_str("# EOF\n");
    text.0
}

fn of_entries(text: &mut Text, metrics: &Metrics) {
    let outcomes = metrics.outcomes();
    let recorded = [("done", outcomes.done), ("refused", outcomes.refused)];
    text.metric(
        ("burrline_recorded", "counter", "Entries recorded since the start, by outcome."),
        recorded.map(|(what, count)| (label("outcome", what), count.to_string())),
    );
    text.counter(
        "burrline_rules_failed",
        "Rules that could not be checked since the start.",
        outcomes.rules_failed,
    );
    let declined = metrics.declined();
    text.metric(
        ("burrline_declined", "counter", "Entries not taken since the start, by reason."),
        declined.iter().map(|(reason, count)| (label("reason", reason), count.to_string())),
    );
    text.counter(
        "burrline_codes_refused",
        "Join codes that opened nothing since the start.",
        metrics.codes_refused(),
    );
    let syncs = metrics.syncs();
    let name = "burrline_sync_seconds";
    let _ = writeln!(
        text.0,
        "# TYPE {name} histogram\n# HELP {name} How long a batch took to be durable."
    );
    let mut below = 0_u64;
    for (bound, count) in CLASSES.iter().zip(&syncs.classes) {
        below = below.saturating_add(*count);
        let bound = seconds(i64::from(*bound));
        let _ = writeln!(text.0, "{name}_bucket{{le=\"{bound}\"}} {below}");
    }
    let (count, total) = (syncs.count, syncs.total.as_secs_f64());
    let _ = writeln!(text.0, "{name}_bucket{{le=\"+Inf\"}} {count}");
    let _ = writeln!(text.0, "{name}_sum {total}\n{name}_count {count}");
}

fn of_benches(text: &mut Text, shop: &Shop) {
    let contacts = shop.metrics().contacts();
    let state = shop.published();
    let benches = &state.shop().benches;
    let known: Vec<_> = contacts
        .iter()
        .filter_map(|(life, at)| Some((*life, *at, benches.get(life)?.name.clone())))
        .collect();
    drop(state);
    let labels = |life: u32, name: &burrline_terms::Name| {
        format!("{},{}", label("bench", name), label("life", life))
    };
    text.metric(
        (
            "burrline_bench_last_contact_timestamp_seconds",
            "gauge",
            "When a bench last said hello, since 1970.",
        ),
        known.iter().map(|(life, at, name)| (labels(*life, name), seconds(*at))),
    );
    let head = shop.decided();
    let held = |life: u32| head.held(life).to_string();
    text.metric(
        ("burrline_bench_entries", "gauge", "Entries of a bench that the shop holds."),
        known.iter().map(|(life, _, name)| (labels(*life, name), held(*life))),
    );
}

/// The memory that the program holds, in bytes; none if the machine does not say.
fn resident() -> Option<u64> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find_map(|line| line.strip_prefix("VmRSS:"))?;
    let kib: u64 = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    kib.checked_mul(1024)
}
