//! A bench whose shop is out of reach: what is kept, and what is not.

use burrline_domain::{BenchClock, Entry, Verb};
use burrline_proto::{decode_entry, v1};
use burrline_terms::{EntryName, Moment, words::Piece};
use prost::Message as _;

use super::{
    Bench,
    answer::{Answer, Nobody, Said},
    folder::{Folder, Settings},
    patience::Times,
};
use crate::{Ending, Error, clock::FixedClock};

// 2025-11-25 12:00 in the shop's zone.
pub(super) const NOON: i64 = 1_764_097_200_000;

pub(super) struct Away {
    pub(super) bench: Bench,
    dir: tempfile::TempDir,
}

impl Away {
    /// A bench whose shop's port is closed: it was bound for a moment and let go.
    pub(super) async fn bench() -> Self {
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
        let shop = format!("http://{}", listener.local_addr().unwrap());
        drop(listener);
        let dir = tempfile::tempdir().unwrap();
        let folder = Folder::create(dir.path()).unwrap();
        folder.new_key().unwrap();
        let settings = Settings {
            shop,
            shop_key: None,
            life: 3,
            name: "yard-1".into(),
            shop_name: "Fenn".into(),
            zone: "America/Denver".into(),
            files: String::new(),
            photos: None,
            first: None,
            viewer: false,
            patience: Times::ONCE,
        };
        folder.keep_settings(&settings).unwrap();
        Self { bench: Bench::open(dir.path()).unwrap(), dir }
    }

    /// The process is gone with its locks, and another one comes.
    fn killed(self) -> Self {
        let Self { bench, dir } = self;
        drop(bench);
        Self { bench: Bench::open(dir.path()).unwrap(), dir }
    }

    /// Where its outbox is.
    pub(super) fn outbox(&self) -> std::path::PathBuf {
        self.dir.path().join("outbox")
    }

    /// What the bench has to tell that was never shown.
    fn never_shown(&self) -> Vec<String> {
        let mut told = Vec::new();
        let tell = |n: EntryName, line: &str| told.push(format!("{n} {line}"));
        self.bench.never_shown(tell).unwrap();
        told
    }

    pub(super) fn dir(&self) -> &std::path::Path {
        self.dir.path()
    }

    pub(super) fn clock(at: i64) -> FixedClock {
        FixedClock(BenchClock { wall: Moment(at), boot: [7; 16], uptime_ms: 1000 })
    }

    pub(super) async fn says(&self, line: &str, at: i64) -> Result<Said, Error> {
        let clock = BenchClock { wall: Moment(at), boot: [7; 16], uptime_ms: 1000 };
        self.bench.say(line, &FixedClock(clock), &mut Nobody).await
    }

    fn entries(&self) -> Vec<Entry> {
        let kept = self.bench.waiting().unwrap();
        let read = |bytes: &[u8]| {
            let signed = v1::SignedEntry::decode(bytes).unwrap();
            let signature =
                burrline_evidence::sign::Signature(signed.signature.try_into().unwrap());
            let key = self.bench.key().unwrap().public();
            key.check_entry(&signed.entry, &signature).unwrap();
            decode_entry(&signed.entry).unwrap()
        };
        kept.iter().map(|kept| read(&kept.bytes)).collect()
    }
}

#[tokio::test]
async fn a_potful_is_kept_together_and_signed() {
    let away = Away::bench().await;
    let said = away.says("at 10:40 in tank-1 0615 jaw 0616 --hand Bo", NOON).await.unwrap();
    assert_eq!(said.ending(), Ending::Away);
    assert!(matches!(said.answers.as_slice(), [_, Answer::Kept { waiting: 2, .. }]));
    let entries = away.entries();
    assert_eq!(entries.len(), 2);
    for (entry, n) in entries.iter().zip(1..) {
        assert_eq!((entry.name.life, entry.name.n), (3, n));
        assert_eq!(entry.together.map(|first| first.n), Some(1));
        assert_eq!(entry.said, Some(Moment(NOON - 80 * 60_000).into()));
        assert_eq!(entry.hand.as_ref().map(ToString::to_string).as_deref(), Some("Bo"));
    }
    assert_eq!(entries[0].verb.skull().map(|skull| skull.piece), Some(Piece::Jaw));
    away.says("wash 0615", NOON).await.unwrap();
    let third = away.entries().remove(2);
    assert_eq!(third.hand.map(|hand| hand.to_string()).as_deref(), Some("Bo"), "a hand sticks");
    assert_eq!(third.together, None);
}

#[tokio::test]
async fn a_decision_away_is_not_kept() {
    let away = Away::bench().await;
    let error = away.says("hold 0619 papers", NOON).await.unwrap_err();
    assert!(error.to_string().contains("needs the shop"), "{error}");
    assert_eq!(error.ending(), Ending::Away);
    assert_eq!(away.entries(), []);
}

#[tokio::test]
async fn a_ticket_is_remembered_for_the_day() {
    let away = Away::bench().await;
    away.says("ticket --name \"Ada Fenn\" --phone 555-0142", NOON).await.unwrap();
    away.says("take-in 0417 whitetail", NOON + 60_000).await.unwrap();
    away.says("take-in 0418 elk", NOON + 86_400_000).await.unwrap();
    let entries = away.entries();
    let verbs: Vec<&Verb> = entries.iter().map(|entry| &entry.verb).collect();
    let [
        Verb::AddCustomer(customer),
        Verb::Ticket(ticket),
        Verb::TakeIn(today),
        Verb::TakeIn(tomorrow),
    ] = verbs.as_slice()
    else {
        panic!("{verbs:?}");
    };
    assert_eq!(ticket.customer, Some(entries[0].name));
    assert_eq!(today.ticket, Some(entries[1].name));
    assert_eq!(tomorrow.ticket, None);
    let sealed = String::from_utf8_lossy(&customer.details.ciphertext).into_owned();
    assert!(!sealed.contains("Ada") && !sealed.is_empty());
    let outbox = std::fs::read(away.dir.path().join("outbox")).unwrap();
    assert!(!outbox.windows(3).any(|window| window == b"Ada"));
    assert!(away.dir.path().join("keys-1").exists(), "the key waits beside the entry");
}

#[tokio::test]
async fn strike_goes_back_line_by_line() {
    let away = Away::bench().await;
    away.says("weigh 0417 1420 g", NOON).await.unwrap();
    away.says("wash 0417 0418", NOON).await.unwrap();
    let said = away.says("strike", NOON).await.unwrap();
    assert_eq!(said.talk, ["crossed out: wash 0417", "crossed out: wash 0418"]);
    away.says("strike", NOON).await.unwrap();
    assert!(away.says("strike", NOON).await.is_err(), "nothing is left to cross out");
    let struck: Vec<Vec<u64>> = away
        .entries()
        .into_iter()
        .filter_map(|entry| {
            let Verb::Strike(strike) = entry.verb else { return None };
            Some(strike.entries.iter().map(|name| name.n).collect())
        })
        .collect();
    assert_eq!(struck, [vec![2, 3], vec![1]]);
}

#[tokio::test]
async fn a_quote_away_wants_its_total() {
    let away = Away::bench().await;
    let error = away.says("quote 0417", NOON).await.unwrap_err();
    assert!(error.to_string().contains("--total"), "{error}");
    assert_eq!(away.says("quote 0417 185.00", NOON).await.unwrap().ending(), Ending::Away);
}

#[tokio::test]
async fn a_line_that_was_kept_and_never_shown_is_told_once_by_the_next() {
    let mut away = Away::bench().await;
    away.says("note 0417 library use", NOON).await.unwrap();
    assert_eq!(away.never_shown(), [""; 0], "nobody was there to be shown anything");

    away.bench.for_a_hand();
    away.says("wash 0417 0418", NOON).await.unwrap();
    assert_eq!(away.never_shown(), [""; 0], "the process is still at it");
    // As if it had been killed: its locks are gone, and nothing was shown.
    let mut away = away.killed();
    assert_eq!(away.never_shown(), ["3:2 wash 0417", "3:3 wash 0418"]);
    assert_eq!(away.never_shown(), [""; 0]);

    away.bench.for_a_hand();
    away.says("wash 0419", NOON).await.unwrap();
    away.bench.shown().unwrap();
    let away = away.killed();
    assert_eq!(away.never_shown(), [""; 0]);
}
