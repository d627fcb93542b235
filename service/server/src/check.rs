//! Everything in a folder is read, on a private copy.

use std::{collections::BTreeMap, path::Path, sync::Arc};

use burrline_domain::{
    Record, State,
    fold::{Fact, Numbering, Records},
};
use burrline_evidence::{
    merkle::leaf_hash,
    proof::WholeTree,
    sign::{PublicKey, Signature},
};
use burrline_host::digest_of;
use burrline_ledger::Engine;
use burrline_present::{
    photos::named,
    view::{self, Zone},
};
use burrline_proto::{decode_record, v1::SignedEntry};
use burrline_terms::Digest;
use thiserror::Error;

use crate::{
    folded::{self, Folded},
    heads,
    photos::{self, Looked},
    shop::{
        Folder, FolderError, NoKey,
        files::{self, Finding, Grade},
        own_key::{self, OwnKey},
    },
};

/// Why a folder could not even be looked at.
#[derive(Debug, Error)]
pub enum CheckError {
    /// The log.
    #[error(transparent)]
    Log(#[from] burrline_ledger::check::CheckError),
    /// The log is not in the folder.
    #[error("the log of this shop is not in its folder: say --ledger {kept}")]
    Elsewhere {
        /// Where it is.
        kept: String,
    },
    /// The shop's key.
    #[error(transparent)]
    Key(#[from] FolderError),
    /// The photos.
    #[error(transparent)]
    Photos(#[from] photos::PhotoError),
}

/// What was found in a folder.
#[derive(Debug)]
pub struct Found {
    /// What the log says of itself.
    pub report: burrline_ledger::check::Report,
    /// The digest of the present, rebuilt from the records.
    pub digest: Digest,
    /// How many jobs there are.
    pub jobs: usize,
    /// How many things do not fit.
    pub clashes: usize,
    /// How many entries carry a signature that fits the bench that was enrolled by then.
    pub signed: u64,
    /// How many of the shop's own lines could not be checked, for its key is not in the folder.
    pub unchecked: u64,
    /// How many scripts have the source that was installed.
    pub scripts: usize,
    /// How many signed heads that were given out agree with the log.
    pub heads: usize,
    /// The photos: how many, and how many are awaited.
    pub photos: Looked,
    /// What the shop says that it lost, a line each.
    pub losses: Vec<String>,
    /// The present, rebuilt from the records.
    pub state: State,
    /// The tree over the records.
    pub tree: WholeTree,
    /// Records that cannot be understood, signatures that do not fit, scripts that were altered.
    pub strange: Vec<String>,
    /// Every other file, and how it was found.
    pub files: Vec<Finding>,
}

/// What a script is to make of it; each has an exit status of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing is wrong.
    Sound,
    /// The log, or what is proved by it, is not whole: restore.
    LogNotSound,
    /// The log is whole, and a file beside it is not.
    BesideNotSound,
}

impl Found {
    /// Whether nothing is wrong with the log and what is named by its digest there.
    pub fn is_sound(&self) -> bool {
        self.report.is_sound() && self.strange.is_empty()
    }

    /// Whether all of the folder is as it was written.
    pub fn verdict(&self) -> Verdict {
        if !self.is_sound() {
            Verdict::LogNotSound
        } else if self.files.iter().any(|found| found.grade == Grade::Wrong) {
            Verdict::BesideNotSound
        } else {
            Verdict::Sound
        }
    }
}

/// Reads the log of a shop's folder on a private copy and rebuilds the present from it.
///
/// # Errors
/// [`CheckError`] if the folder cannot be looked at.
pub fn read(data: &Path) -> Result<Found, CheckError> {
    read_telling(data, |_| {})
}

/// The same; `tell` hears how many records were read so far.
///
/// # Errors
/// As for [`read`].
pub fn read_telling(data: &Path, tell: impl FnMut(u64)) -> Result<Found, CheckError> {
    read_on(data, None, tell)
}

/// The same, with the log on an engine if there is one.
///
/// # Errors
/// As for [`read`].
pub fn read_on(
    data: &Path,
    engine: Option<&dyn Engine>,
    mut tell: impl FnMut(u64),
) -> Result<Found, CheckError> {
    if let Some(kept) = Folder::at(data).elsewhere()?.filter(|_| engine.is_none()) {
        return Err(CheckError::Elsewhere { kept });
    }
    let mut state = State::new();
    let mut strange: Vec<String> = Vec::new();
    // Known once the shop's first line is, which tells the key from another.
    let mut own_key: Option<Result<OwnKey, NoKey>> = None;
    let mut shop_key = None;
    let (mut signed, mut unchecked) = (0_u64, 0_u64);
    let mut tree = WholeTree::new();
    let mut numbering = Numbering::default();
    let kept = Folded::read(data);
    let mut then = None;
    let mut each = |position, bytes: &[u8]| {
        tree.append(leaf_hash(bytes));
        tell(tree.size());
        match decode_record(bytes) {
            Ok((record, said)) if record.position == position => {
                if record.entry.name.life == 0 && own_key.is_none() {
                    let found = own_key::find(data, Some(&said));
                    shop_key = public(&found);
                    own_key = Some(found);
                }
                match by_its_bench(&state, shop_key, &record, &said) {
                    Some(true) => signed = signed.saturating_add(1),
                    Some(false) => strange.push(format!(
                        "record {position}: the signature of entry {} is not by its bench",
                        record.entry.name
                    )),
                    None => unchecked = unchecked.saturating_add(1),
                }
                if let Err(error) = numbering.check(&record) {
                    strange.push(error.to_string());
                }
                state.apply(record);
                if kept.as_ref().is_some_and(|kept| kept.size() == state.records()) {
                    then = Some(state.clone());
                }
            }
            Ok((record, _)) => {
                strange.push(format!("record {position} says it is {}", record.position));
            }
            Err(error) => strange.push(format!("record {position} cannot be understood: {error}")),
        }
    };
    let report = match engine {
        Some(engine) => engine.check(&mut each)?,
        None => burrline_ledger::check(&data.join("log"), each)?,
    };
    let own_key = own_key.unwrap_or_else(|| own_key::find(data, None));
    let shop_key = public(&own_key);
    let mut files = files::look(data, &files::Known { state: &state, key: &own_key })?;
    if data.join(folded::FILE).exists() {
        files.push(kept_fold(kept.as_ref(), then.as_ref(), &tree));
    }
    let heads = given_heads(data, shop_key, &tree, &state, &mut strange);
    let zone = Zone::of(&state);
    let losses = state.shop().losses.values().map(|loss| view::loss(&zone, loss)).collect();
    let scripts = scripts(data, &state, &mut strange);
    let mut photos = photos::look(&Folder::photos_in(data), &named(&state))?;
    strange.append(&mut photos.strange);
    Ok(Found {
        report,
        digest: state.digest(),
        jobs: state.jobs().len(),
        clashes: state.clashes().len(),
        signed,
        unchecked,
        scripts,
        heads,
        photos,
        losses,
        state,
        tree,
        strange,
        files,
    })
}

/// Whether what was kept of the fold is what the log's own records give.
fn kept_fold(kept: Option<&Folded>, then: Option<&State>, tree: &WholeTree) -> Finding {
    let finding = |grade, words: String| Finding { file: folded::FILE.to_owned(), grade, words };
    let Some((kept, then)) = kept.zip(then) else {
        let words = "of another version, damaged, or of more records: the next start folds the log";
        return finding(Grade::Note, words.to_owned());
    };
    if tree.root_at(kept.size()).ok() != Some(kept.tree.root()) {
        return finding(Grade::Note, "of another log: the next start folds the log".to_owned());
    }
    let refolded: Arc<dyn Records> = Arc::new(Refolded::of(then));
    let restored = kept.state(&refolded);
    if restored
        .is_some_and(|kept| kept.digest() == then.digest() && kept.clashes() == then.clashes())
    {
        let words = format!("the present of {} records, the same as folded anew", kept.size());
        return finding(Grade::Sound, words);
    }
    let words = "it gives another present than the log: remove it while the shop is stopped; this is a bug, \
                 please report it";
    finding(Grade::Wrong, words.to_owned())
}

/// The records that a fold has, as they are on the log.
struct Refolded(BTreeMap<u64, Record>);

impl Refolded {
    fn of(state: &State) -> Self {
        let as_stamped = |fact: &Fact| {
            let stamped = fact.was_stamped();
            let mut record = Record::clone(&fact.record);
            (record.shop_time, record.happened) = (stamped.shop_time, stamped.happened);
            (record.position, record)
        };
        Self(state.facts().map(as_stamped).collect())
    }
}

impl Records for Refolded {
    #[expect(clippy::expect_used, reason = "the kept file was held against this very fold")]
    fn record(&self, position: u64) -> Record {
        self.0.get(&position).cloned().expect("every position of the kept file is in the fold")
    }
}

fn public(key: &Result<OwnKey, NoKey>) -> Option<PublicKey> {
    key.as_ref().ok().map(|own| own.key().public())
}

/// How many heads that were given out agree with the log; what is wrong with the others.
fn given_heads(
    data: &Path,
    shop_key: Option<PublicKey>,
    tree: &WholeTree,
    state: &State,
    strange: &mut Vec<String>,
) -> usize {
    // Without the key nothing can be said of them; the lines of the shop are counted above.
    let Some(key) = shop_key else { return 0 };
    let given = match heads::look(data, key) {
        Ok(found) => heads::given_in(&found, key),
        Err(error) => {
            strange.push(format!("the checkpoints that were given out cannot be read: {error}"));
            return 0;
        }
    };
    let mut agree = 0_usize;
    for one in &given {
        let size = one.head.size;
        let lost = state.shop().losses.values().any(|loss| loss.excuses(size));
        match tree.root_at(size) {
            Ok(root) if root == one.head.root => agree = agree.saturating_add(1),
            _ if lost => {}
            Ok(_) => strange.push(format!(
                "the log contradicts the checkpoint over {size} records that was given out: it was \
                 changed"
            )),
            Err(_) => strange.push(format!(
                "a checkpoint over {size} records was given out, and the log has {}: records are \
                 missing",
                tree.size()
            )),
        }
    }
    agree
}

/// Whether an entry is signed by the key that its life was enrolled with by then; none if the
/// shop's own key is not there to check its own lines with.
fn by_its_bench(
    state: &State,
    shop_key: Option<PublicKey>,
    record: &Record,
    said: &SignedEntry,
) -> Option<bool> {
    let key = match record.entry.name.life {
        0 => shop_key?,
        life => match state.shop().benches.get(&life) {
            Some(bench) => PublicKey(bench.key.0),
            None => return Some(false),
        },
    };
    let signature: Result<[u8; 64], _> = said.signature.as_slice().try_into();
    Some(signature.is_ok_and(|bytes| key.check_entry(&said.entry, &Signature(bytes)).is_ok()))
}

/// How many installed scripts have the source that was installed; what is wrong with the others.
fn scripts(data: &Path, state: &State, strange: &mut Vec<String>) -> usize {
    let mut sound = 0_usize;
    for (digest, script) in &state.shop().scripts {
        let path = Folder::script_in(data, &digest.to_string());
        match std::fs::read(&path) {
            Ok(source) if digest_of(&source) == digest.to_string() => {
                sound = sound.saturating_add(1);
            }
            Ok(_) => strange.push(format!(
                "script {}: {} is not what was installed; put it back from a backup, or install \
                 and activate what it is now",
                script.name,
                path.display()
            )),
            Err(error) => {
                strange.push(format!("script {}: {}: {error}", script.name, path.display()));
            }
        }
    }
    sound
}
