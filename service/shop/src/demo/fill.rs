//! A whole invented season put into a shop at once: every entry signed, checked, judged and recorded
//! as over the wire, on the season's own days, with no socket and no waiting.

use std::{
    collections::BTreeMap,
    io::Write,
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};

use burrline_bench::{Bench, SystemClock};
use burrline_domain::{BenchClock, Outcome, Verb};
use burrline_invented::{Desk, NotSaid, Season, Told, Writer, entry};
use burrline_proto::encode_entry;
use burrline_server::{
    recorder::Sent,
    serve,
    shop::{Asked, OpenError, RecordError, Shop},
};
use burrline_terms::{Digest, EntryName, Moment, Typed as _, words::Role};
use burrline_tls::address::Address;
use tokio::{net::TcpListener, runtime::Handle, sync::oneshot};

use super::{DEFAULT_URL, DemoError, fresh_folder, time::SharedClock};

/// What came of it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Filled {
    /// How many entries were recorded.
    pub entries: usize,
    /// Decisions that were refused.
    pub refused: Vec<EntryName>,
    /// How often each rule remarked something.
    pub remarks: BTreeMap<String, usize>,
}

/// Puts a season into a new shop that goes by `clock`, and waits until all of it is on disk.
///
/// # Errors
/// [`DemoError`] if the shop is not new, or does not take an entry.
pub async fn fill(
    shop: &Arc<Shop>,
    clock: &Arc<SharedClock>,
    season: Season,
) -> Result<Filled, DemoError> {
    clock.set(Season::begins());
    for desk in Desk::ALL {
        shop.decide(entry::enrol(*desk, season.seed)?.into()).await?;
        if shop.role(desk.life()) != Role::read(desk.role()).ok() {
            return Err(DemoError::NotNew);
        }
    }
    let (shop, clock, handle) = (Arc::clone(shop), Arc::clone(clock), Handle::current());
    tokio::task::spawn_blocking(move || all(&shop, &clock, &season, &handle)).await?
}

fn all(
    shop: &Arc<Shop>,
    clock: &SharedClock,
    season: &Season,
    handle: &Handle,
) -> Result<Filled, DemoError> {
    let (before, prices) = {
        let head = shop.decided();
        (head.state().records(), head.state().shop().prices.last().copied())
    };
    let mut writer = Writer::new(season.seed, before);
    let keys: BTreeMap<Desk, _> =
        Desk::ALL.iter().map(|desk| (*desk, entry::key(*desk, season.seed))).collect();
    let mut filled = Filled::default();
    let mut last = None;
    for told in season.said.iter().map(|said| writer.entries(said)) {
        for mut one in told? {
            name_the_script(&mut one, prices);
            let Some(key) = keys.get(&one.desk) else { continue };
            let bytes = encode_entry(&one.entry);
            let signature = key.sign_entry(&bytes).0.to_vec();
            let sent: BenchClock = one.entry.clock.clone();
            clock.set(sent.wall);
            let permit = handle.block_on(shop.room())?;
            let taken = shop.take(bytes, signature, &one.keys, Some(Sent::Now(sent)), permit)?;
            filled.entries = filled.entries.saturating_add(1);
            match &taken.record.outcome {
                Outcome::Done(remarks) => {
                    for remark in remarks {
                        let count = filled.remarks.entry(remark.rule.to_string()).or_default();
                        *count = count.saturating_add(1);
                    }
                }
                Outcome::Refused(_) => filled.refused.push(one.entry.name),
            }
            last = Some(taken.durable);
        }
    }
    if let Some(durable) = last {
        handle.block_on(durable).map_err(|_| OpenError::Store)?;
    }
    Ok(filled)
}

/// A quote names the list that prices, as a bench would have had it from there.
fn name_the_script(told: &mut Told, prices: Option<Digest>) {
    if let Verb::Quote(quote) = &mut told.entry.verb {
        quote.script = prices;
    }
}

/// Makes a season, writes it to a file if one is named, and else opens a shop with it.
///
/// # Errors
/// [`DemoError`].
pub async fn run(
    data: Option<PathBuf>,
    heads: usize,
    seed: u64,
    write: Option<PathBuf>,
) -> anyhow::Result<ExitCode> {
    let season = Season::make(heads, seed);
    let mut out = std::io::stdout();
    if let Some(path) = write {
        let lines = season.said.len();
        std::fs::write(&path, season.text())
            .map_err(|source| DemoError::Folder { path: path.clone(), source })?;
        writeln!(
            out,
            "{lines} lines of {heads} heads in {path}.\nPlay them: burrline-shop demo --season {path}",
            path = path.display()
        )?;
        return Ok(ExitCode::SUCCESS);
    }
    let (folder, filled) = open(data.as_deref(), season).await?;
    let dir = folder.display();
    let entries = filled.entries;
    writeln!(
        out,
        "A shop with a whole invented season is in {dir}: {heads} heads, {entries} entries, from \
         seed {seed}.\nOpen it, and leave it open:\n\n    burrline-shop serve --data {dir}\n\nIn \
         another window, with the bench that has joined it:\n"
    )?;
    for words in ["floor", "rates", "find elk", "clashes", "export ocel --out season.json"] {
        writeln!(out, "    burrline --bench {dir}/benches/desk {words}")?;
    }
    Ok(ExitCode::SUCCESS)
}

/// Opens a shop in a fresh folder, fills it, lets one more bench join, and closes it.
///
/// # Errors
/// [`DemoError`].
pub async fn open(data: Option<&Path>, season: Season) -> Result<(PathBuf, Filled), DemoError> {
    let folder = fresh_folder(data.unwrap_or(Path::new("burrline-season")))?;
    let clock = Arc::new(SharedClock::at(Season::begins()));
    let shop = Shop::open(&folder, burrline_invented::time::ZONE, clock.clone(), || {}).await?;
    let filled = fill(&shop, &clock, season).await?;
    clock.set(Season::ends());
    let code = shop
        .invite(Asked::of(Role::Owner, 1), Moment(i64::MAX))
        .map_err(OpenError::from)?
        .to_string();
    let listener = TcpListener::bind(("127.0.0.1", 0)).await?;
    let url = Address::of(listener.local_addr()?).to_string();
    let (close, closing) = oneshot::channel::<()>();
    let served = tokio::spawn(serve::serve(shop, listener, serve::Spoken::Tls, async {
        let _ = closing.await;
    }));
    let bench = Bench::join(&folder.join("benches/desk"), &url, &code, "desk", Role::Owner).await?;
    bench.catch_up(&SystemClock, None).await?;
    let mut settings = bench.settings().clone();
    DEFAULT_URL.clone_into(&mut settings.shop);
    bench.folder().keep_settings(&settings)?;
    drop(bench);
    let _ = close.send(());
    served.await??;
    Ok((folder, filled))
}

impl From<NotSaid> for DemoError {
    fn from(source: NotSaid) -> Self {
        Self::Invented(source)
    }
}

impl From<RecordError> for DemoError {
    fn from(source: RecordError) -> Self {
        Self::Open(source.into())
    }
}
