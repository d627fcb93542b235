//! What the committing thread does when the disk, or it itself, fails.

use std::sync::{
    Arc, Mutex, RwLock,
    atomic::{AtomicUsize, Ordering},
};

use burrline_domain::{
    BenchClock, Entry, ScriptNotes, Verb,
    verb::{AddCustomer, ForgetCustomer},
};
use burrline_evidence::{merkle::Tree, seal::SealKey};
use burrline_ledger::{AppendError, Head, Ledger, MAX_BATCH_BYTES, MemoryLedger, Reader};
use burrline_proto::encode_entry;
use burrline_terms::{EntryName, Moment, Sealed};
use tempfile::TempDir;
use tokio::sync::{oneshot, watch};

use super::{Committer, Present, StoreFailed, at_once};
use crate::{
    folded::Keeper,
    keyring::Keyring,
    recorder::{Recorded, Recorder, Submission},
    shop::fatal::Fatal,
};

/// The key of what is sealed in these tests; its id is a digest of it.
const KEY: SealKey = SealKey([9; 32]);

/// A log that appends, fails or breaks down.
struct Log(MemoryLedger, How);

#[derive(Clone, Copy, PartialEq)]
enum How {
    Appends,
    Fails,
    BreaksDown,
}

impl Ledger for Log {
    fn append(&mut self, expected: u64, records: &[Vec<u8>]) -> Result<Head, AppendError> {
        match self.1 {
            How::Appends => self.0.append(expected, records),
            How::Fails => Err(AppendError::BatchTooLarge { bytes: 0 }),
            How::BreaksDown => panic!("on purpose"),
        }
    }

    fn reader(&self) -> Reader {
        self.0.reader()
    }

    fn tree(&self) -> Tree {
        self.0.tree()
    }
}

/// A committing thread, what it knows, and how often the shop came to its end.
struct Play {
    decided: Arc<RwLock<Recorder>>,
    committer: Committer,
    keyring: Arc<Mutex<Keyring>>,
    ended: Arc<AtomicUsize>,
    dir: TempDir,
}

impl Play {
    fn with(how: How) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let mut keyring = Keyring::open(dir.path()).unwrap();
        keyring.keep(&[(KEY.id().0, KEY.0)]).unwrap();
        let keyring = Arc::new(Mutex::new(keyring));
        let ended = Arc::new(AtomicUsize::new(0));
        let count = Arc::clone(&ended);
        let fatal = Fatal::new(move |_| {
            count.fetch_add(1, Ordering::SeqCst);
        });
        let decided = Arc::new(RwLock::new(Recorder::new()));
        let log = Log(MemoryLedger::new(), how);
        let keeper = Keeper::start(dir.path().to_owned(), log.reader(), None, 1).unwrap();
        let present = Present {
            decided: Arc::clone(&decided),
            published: Arc::default(),
            keyring: Arc::clone(&keyring),
            durable: watch::channel(0).0,
            metrics: Arc::default(),
            keeper: Arc::new(keeper),
        };
        let committer = Committer::start(log, present, fatal).unwrap();
        Self { decided, committer, keyring, ended, dir }
    }

    /// Queues a customer and that they are forgotten, and waits for the answers. Whether a thread
    /// that failed at the first still takes the second is a matter of time; both are unanswered.
    fn forgets(&self) -> Vec<Result<(), StoreFailed>> {
        let mut head = self.decided.write().unwrap();
        let recorded = said(&mut head).into_iter();
        let told: Vec<_> = recorded.map(|recorded| self.committer.queue(recorded)).collect();
        drop(head);
        let answer = |told: oneshot::Receiver<()>| told.blocking_recv().map_err(|_| StoreFailed);
        told.into_iter().map(|told| told.and_then(answer)).collect()
    }

    fn keys_on_disk(&self) -> String {
        std::fs::read_to_string(self.dir.path().join("keyring")).unwrap()
    }
}

/// A customer who is noted and then forgotten, as the recorder hands it on.
fn said(recorder: &mut Recorder) -> Vec<Recorded> {
    let details = Sealed { key_id: KEY.id().0, nonce: vec![1; 24], ciphertext: vec![2; 20] };
    let customer = EntryName::new(0, 1);
    let verbs: [Verb; 2] =
        [AddCustomer { details, class: None }.into(), ForgetCustomer { customer }.into()];
    let entry = |n, verb| Entry {
        name: EntryName::new(0, n),
        hand: None,
        clock: BenchClock { wall: Moment(0), boot: [0; 16], uptime_ms: 0 },
        said: None,
        seen: 0,
        together: None,
        anyway: None,
        rulings: Vec::new(),
        not_seen: false,
        formerly: None,
        verb,
    };
    let mut record = |n, verb| {
        let entry = entry(n, verb);
        let submission = Submission {
            bytes: encode_entry(&entry),
            entry,
            signature: vec![0; 64],
            sent: None,
            remarks: Vec::new(),
            notes: ScriptNotes::default(),
            refusal: None,
        };
        recorder.record(submission, Moment(1)).unwrap()
    };
    (1..).zip(verbs).map(|(n, verb)| record(n, verb)).collect()
}

#[test]
fn more_than_the_store_takes_at_once_is_cut_in_order_and_nothing_is_left_out() {
    let of = |bytes: usize| vec![u8::try_from(bytes % 251).unwrap(); bytes];
    let half = MAX_BATCH_BYTES / 2;
    let all: Vec<Vec<u8>> = [3, half - 3, 1, half + 9, 2, half].map(of).to_vec();
    let cut: Vec<Vec<Vec<u8>>> = at_once(all.clone()).collect();
    let counts: Vec<usize> = cut.iter().map(Vec::len).collect();
    assert_eq!(counts, [2, 1, 1, 1, 1], "one that is too large by itself goes alone");
    assert_eq!(cut.concat(), all);
    assert_eq!(at_once(Vec::new()).count(), 0);
}

#[test]
fn keys_of_who_is_forgotten_are_off_the_disk_before_the_answer() {
    let play = Play::with(How::Appends);
    assert!(play.keys_on_disk().contains(&hex::encode(KEY.id().0)));
    assert!(play.forgets().iter().all(Result::is_ok));
    assert_eq!(play.keys_on_disk(), "");
    assert_eq!(play.ended.load(Ordering::SeqCst), 0);
}

#[test]
fn a_forgetting_that_never_reached_the_disk_takes_no_key() {
    let play = Play::with(How::Fails);
    assert!(play.forgets().iter().all(Result::is_err), "nothing is answered");
    play.committer.close();
    assert!(play.keys_on_disk().contains(&hex::encode(KEY.id().0)));
    assert_eq!(play.ended.load(Ordering::SeqCst), 1);
}

#[test]
fn keys_that_cannot_be_dropped_end_the_shop_and_nobody_is_told_that_they_are_gone() {
    let play = Play::with(How::Appends);
    // A file cannot be put in the place of a folder.
    let place = play.dir.path().join("keyring");
    std::fs::remove_file(&place).unwrap();
    std::fs::create_dir(&place).unwrap();
    assert!(play.forgets().iter().any(Result::is_err));
    play.committer.close();
    assert_eq!(play.ended.load(Ordering::SeqCst), 1);
}

#[test]
fn a_thread_that_breaks_down_ends_the_shop_and_answers_nothing() {
    let play = Play::with(How::BreaksDown);
    assert!(play.forgets().iter().all(Result::is_err));
    play.committer.close();
    assert_eq!(play.ended.load(Ordering::SeqCst), 1);
    let mut recorder = Recorder::new();
    let late = said(&mut recorder).remove(0);
    assert!(play.committer.queue(late).is_err(), "nothing is taken any more");
    drop(play.keyring.lock().unwrap());
}
