//! What the shop and the bench do, what they answered for by any moment, and whether it is all there.

use std::{
    path::Path,
    sync::{Arc, Mutex, PoisonError},
    time::Duration,
};

use burrline_bench::outbox::Outbox;
use burrline_domain::{
    Record,
    verb::{AddCustomer, ForgetCustomer},
};
use burrline_evidence::seal::SealKey;
use burrline_server::{
    check::{self, Verdict},
    photos::Limits,
    shop::{Asked, Clock, Frozen, Shop},
};
use burrline_terms::{Digest, EntryName, Moment, Sealed, words::Role};
use burrline_tls::code::Secret;
use sha2::Digest as _;

/// What was answered for.
#[derive(Debug, Clone, Default)]
pub(crate) struct Answered {
    shop_key: Option<[u8; 32]>,
    records: u64,
    customers: Vec<(SealKey, EntryName)>,
    forgotten: Vec<SealKey>,
    heads: Vec<String>,
    photos: Vec<Digest>,
    codes: Vec<Secret>,
    frozen: Vec<u32>,
    bench: usize,
}

/// Told as it happens, to whoever takes a picture of the disk.
pub(crate) type Told = Arc<Mutex<Answered>>;

/// Where it is told.
struct Notes<'a>(&'a Told);

impl Notes<'_> {
    fn note(&self, change: impl FnOnce(&mut Answered)) {
        change(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner));
    }
}

/// A clock that goes on by two seconds a look, so that each checkpoint is a new one.
#[derive(Debug, Default)]
struct Ticking(std::sync::atomic::AtomicI64);

impl Clock for Ticking {
    fn now(&self) -> Moment {
        Moment(self.0.fetch_add(2000, std::sync::atomic::Ordering::SeqCst))
    }
}

async fn open(dir: &Path) -> Result<Arc<Shop>, String> {
    let opened = Shop::open(dir, "UTC", Arc::new(Ticking::default()), || {}).await;
    opened.map_err(|error| error.to_string())
}

/// Runs something to its end, and waits until no thread of it is left: the next may open the folder.
fn alone<T>(work: impl Future<Output = T>) -> T {
    let runtime =
        tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_time().build();
    runtime.unwrap().block_on(work)
}

/// The run; it ends where something fails, as the programs do.
///
/// # Errors
/// What failed.
pub(crate) fn run(dir: &Path, told: &Told) -> Result<(), String> {
    let words = |error: &dyn std::fmt::Display| error.to_string();
    let tell = Notes(told);
    for round in 0..2_u8 {
        if round > 0 {
            // As the shop does it when two machines speak under one enrollment.
            let (frozen, _) = Frozen::open(&dir.join("shop")).map_err(|e| words(&e))?;
            frozen.keep_at(EntryName::new(7, 41)).map_err(|e| words(&e))?;
            tell.note(|all| all.frozen.push(7));
        }
        alone(async {
            let shop = open(&dir.join("shop")).await?;
            let outcome = serve(&shop, dir, round, &tell).await;
            shop.close();
            outcome
        })?;
    }
    Ok(())
}

async fn serve(shop: &Arc<Shop>, dir: &Path, round: u8, tell: &Notes<'_>) -> Result<(), String> {
    let words = |error: &dyn std::fmt::Display| error.to_string();
    let (key, records) = (shop.key().0, shop.reader().head().size);
    tell.note(|all| {
        all.shop_key.get_or_insert(key);
        all.records = all.records.max(records);
    });
    let durable = |record: &Record| {
        let size = record.position + 1;
        tell.note(|all| all.records = all.records.max(size));
    };
    let code = shop.folder().invites().make(Asked::of(Role::Bench, 9), Moment(i64::MAX));
    let code = code.map_err(|e| words(&e))?;
    tell.note(|all| all.codes.push(code.clone()));
    let outbox = Outbox::at(&dir.join("outbox"));
    for n in 1..4_u8 {
        let key = SealKey([round * 16 + n; 32]);
        shop.keyring().keep(&[(key.id().0, key.0)]).map_err(|e| words(&e))?;
        let details = Sealed { key_id: key.id().0, nonce: vec![1; 24], ciphertext: vec![2; 20] };
        let added = shop.decide(AddCustomer { details, class: None }.into()).await;
        let added = added.map_err(|e| words(&e))?;
        durable(&added);
        let name = added.entry.name;
        tell.note(|all| all.customers.push((key.clone(), name)));

        let head = shop.newest_head().map_err(|e| words(&e))?;
        tell.note(|all| all.heads.push(head.note.clone()));
        outbox.append(0, |_| Ok(vec![b"wash 0417".to_vec()])).map_err(|e| words(&e))?;
        tell.note(|all| all.bench += 1);

        let photo = [&[0xFF, 0xD8, 0xFF, round, n], [7_u8; 60].as_slice()].concat();
        let digest = Digest(sha2::Sha256::digest(&photo).into());
        let limits = Limits { one: 1000, all: 100_000 };
        let mut coming = shop.photos().begin(digest, 65, limits).map_err(|e| words(&e))?;
        coming.part(&photo).map_err(|e| words(&e))?;
        coming.finish().map_err(|e| words(&e))?;
        tell.note(|all| all.photos.push(digest));
    }
    // The first of this round is forgotten.
    let first = SealKey([round * 16 + 1; 32]);
    let customer = shop.published().shop().customers.keys().nth(usize::from(round) * 3).copied();
    let customer = customer.ok_or("a customer is not there")?;
    tell.note(|all| all.customers.retain(|(_, name)| *name != customer));
    let forgot = shop.decide(ForgetCustomer { customer }.into()).await.map_err(|e| words(&e))?;
    durable(&forgot);
    tell.note(|all| all.forgotten.push(first.clone()));
    Ok(())
}

/// Opens the shop. What ended in the middle may still have its folder for a moment: a process that is just
/// being started has the locks of the one that starts it, and nothing tells when it lets go.
async fn opened_once_free(dir: &Path) -> Result<Arc<Shop>, String> {
    for _ in 0..100 {
        match open(dir).await {
            Err(words) if words.contains("another server has this folder open") => {
                tokio::time::sleep(Duration::from_millis(50)).await;
            }
            opened => return opened,
        }
    }
    open(dir).await
}

/// What a folder may lack, as it was damaged while nothing ran.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Spared<'a> {
    /// The file.
    pub(crate) file: Option<&'a str>,
}

/// Opens the shop once more and holds it against what was answered for.
///
/// # Errors
/// What is not there.
pub(crate) fn holds(dir: &Path, all: &Answered, spared: Spared<'_>) -> Result<(), String> {
    let may_lack = |file: &str| spared.file == Some(file);
    if all.bench > 0 {
        let kept = Outbox::at(&dir.join("outbox")).after(0, 0).map_err(|e| e.to_string())?;
        if kept.len() < all.bench {
            return Err(format!("the bench kept {} of {} lines", kept.len(), all.bench));
        }
    }
    alone(async {
        let shop = opened_once_free(&dir.join("shop")).await;
        let shop = shop.map_err(|e| format!("it does not open: {e}"))?;
        let result = is_there(&shop, &dir.join("shop"), all, may_lack);
        shop.close();
        result
    })?;
    let found = check::read(&dir.join("shop")).map_err(|e| e.to_string())?;
    if found.verdict() == Verdict::Sound {
        return Ok(());
    }
    let wrong =
        found.files.iter().filter(|one| one.grade == burrline_server::shop::files::Grade::Wrong);
    let wrong: Vec<String> = wrong.map(|one| format!("{}: {}", one.file, one.words)).collect();
    Err(format!("check: {:?} {:?} {wrong:?}", found.report.problems, found.strange))
}

fn is_there(
    shop: &Shop,
    dir: &Path,
    all: &Answered,
    may_lack: impl Fn(&str) -> bool,
) -> Result<(), String> {
    if all.shop_key.is_some_and(|key| key != shop.key().0) {
        return Err("the shop's key is another".to_owned());
    }
    let records = shop.reader().head().size;
    if records < all.records {
        return Err(format!("{records} of {} records are there", all.records));
    }
    let keyring = shop.keyring();
    let lost = all.customers.iter().find(|(key, _)| !keyring.has(&key.id().0));
    if let Some((_, name)) = lost.filter(|_| !may_lack("keyring")) {
        return Err(format!("the key of customer {name} is gone"));
    }
    drop(keyring);
    let given: Vec<String> = shop.heads().given().into_iter().map(|given| given.note).collect();
    if let Some(note) = all.heads.iter().find(|note| !given.contains(note))
        && !may_lack("checkpoints")
    {
        return Err(format!("a checkpoint is gone: {note}"));
    }
    if let Some(digest) = all.photos.iter().find(|digest| !shop.photos().has(digest)) {
        return Err(format!("photo {digest} is gone"));
    }
    for code in all.codes.iter().filter(|_| !may_lack("invites")) {
        let spent = shop.folder().invites().spend(code, Some(Role::Bench), Moment(1));
        spent.map_err(|e| e.to_string())?.map_err(|e| format!("code {code}: {e}"))?;
    }
    let decided = shop.decided();
    let thawed = all.frozen.iter().find(|life| !decided.is_frozen(**life));
    if let Some(life) = thawed.filter(|_| !may_lack("frozen")) {
        return Err(format!("life {life} is not frozen any more"));
    }
    for key in &all.forgotten {
        let (text, raw) = (hex::encode(key.0), key.0);
        for file in ["keyring", "keyring.damaged-1", "keyring.damaged-2"] {
            let bytes = std::fs::read(dir.join(file)).unwrap_or_default();
            let has = |part: &[u8]| bytes.windows(part.len()).any(|one| one == part);
            if has(text.as_bytes()) || has(&raw) {
                return Err(format!("a forgotten key stands in {file}"));
            }
        }
    }
    Ok(())
}
