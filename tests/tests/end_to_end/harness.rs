//! A shop with a folder of its own, and benches that type lines.

use std::{os::unix::fs::DirBuilderExt as _, path::Path, sync::Arc};

use burrline_bench::{
    Answerer, Bench, Choice, Nobody, Scripted, SystemClock,
    answer::{Answer, Said},
    folder::Settings,
    patience::Times,
};
use burrline_present::readings::{Asks, Clashes, Find, Floor, Show, Then, Trail};
use burrline_proto::{Wire as _, v1};
use burrline_server::shop::Clock;
use burrline_terms::{Name, Phrase, Skull, Typed as _, words::Role};
use burrline_tests::{
    shop::Served,
    wire::{self, Client, WireBench, connect},
};
use tempfile::TempDir;
use tonic::Status;

use crate::sealed::{self, Swept};

/// A shop that is open.
pub(crate) struct Shop {
    /// Read for details in clear before the folder goes.
    _swept: Swept,
    dir: TempDir,
    pub(crate) served: Served,
    pub(crate) wire: Client,
}

impl Shop {
    /// A new shop on a free port.
    pub(crate) async fn start() -> Self {
        Self::open(tempfile::tempdir().unwrap()).await
    }

    /// A new shop whose time another clock tells.
    pub(crate) async fn start_by(clock: Arc<dyn Clock>) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let served = Served::open_by(dir.path(), clock).await.unwrap();
        let wire = connect(&served.plain).await.unwrap();
        Self { _swept: Swept(dir.path().to_owned()), dir, served, wire }
    }

    /// The shop in a folder that is there.
    pub(crate) async fn open(dir: TempDir) -> Self {
        let served = Served::open(dir.path()).await.unwrap();
        let wire = connect(&served.plain).await.unwrap();
        Self { _swept: Swept(dir.path().to_owned()), dir, served, wire }
    }

    /// Shuts down in good order and opens again.
    pub(crate) async fn restart(self) -> Self {
        drop(self.wire);
        self.served.close().await.unwrap();
        Self::open(self.dir).await
    }

    /// The same by a clock that a test turns.
    pub(crate) async fn restart_by(self, clock: Arc<dyn Clock>) -> Self {
        drop(self.wire);
        self.served.close().await.unwrap();
        let served = Served::open_by(self.dir.path(), clock).await.unwrap();
        let wire = connect(&served.plain).await.unwrap();
        Self { served, wire, ..self }
    }

    /// A backup of its folder, made while it was closed for a moment.
    pub(crate) async fn backed_up(self) -> (Self, TempDir) {
        drop(self.wire);
        self.served.close().await.unwrap();
        let backup = tempfile::tempdir().unwrap();
        copy(self.dir.path(), backup.path());
        (Self::open(self.dir).await, backup)
    }

    /// The disk is gone; the backup takes its place.
    pub(crate) async fn put_back(self, backup: TempDir) -> Self {
        drop(self.wire);
        self.served.close().await.unwrap();
        Self::open(backup).await
    }

    /// Closes it, whoever has something open there.
    pub(crate) async fn closes(self) {
        drop(self.wire);
        self.served.close().await.unwrap();
    }

    /// The shop's folder.
    pub(crate) fn data(&self) -> &Path {
        self.dir.path()
    }

    /// A bench of the client, joined.
    pub(crate) async fn bench(&self, name: &str, role: Role) -> Hand {
        self.bench_over(&self.served.url, name, role).await
    }

    /// The same, over a line of its own.
    pub(crate) async fn bench_over(&self, url: &str, name: &str, role: Role) -> Hand {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("bench");
        let bench = Bench::join(&folder, url, &self.served.code, name, role);
        let bench = bench.await.unwrap();
        let hand = Hand { _swept: Swept(dir.path().to_owned()), dir, bench };
        // A machine that builds beside it may stand still for a second: how long is waited is a matter of
        // the tests of hanging shops alone.
        hand.waiting(Times::MOST)
    }

    /// A bench that is nothing but a key, joined.
    pub(crate) async fn wire_bench(&self, name: &str, role: Role) -> WireBench {
        let mut shop = self.wire.clone();
        WireBench::join(&mut shop, &self.served.code, name, role).await.unwrap()
    }

    pub(crate) async fn digest(&self) -> v1::DigestResponse {
        self.wire.clone().digest(v1::DigestRequest {}).await.unwrap().into_inner()
    }

    /// Reads over the wire, as nobody.
    pub(crate) async fn reads<R: Asks>(&self, reading: R) -> R::Response {
        wire::read_now(&self.wire, reading).await.unwrap()
    }

    /// The same as of another moment.
    pub(crate) async fn reads_then<R: Asks>(&self, reading: R, then: Then) -> R::Response {
        wire::read(&self.wire, reading, 0, then).await.unwrap()
    }

    /// Why a reading is not answered.
    pub(crate) async fn refuses<R: Asks>(&self, reading: R) -> Status
    where
        R::Response: std::fmt::Debug,
    {
        wire::read_now(&self.wire, reading).await.unwrap_err()
    }

    /// Reads over the wire as somebody from whom nothing is left out: a counter or an owner, if there is
    /// one.
    async fn reads_all<R: Asks>(&self, reading: R) -> R::Response {
        let sees = |role| matches!(role, Role::Counter | Role::Owner);
        let life = {
            let head = self.served.shop.decided();
            let mut benches = head.state().shop().benches.iter();
            benches.find(|(_, bench)| sees(bench.role) && !bench.retired).map(|(life, _)| *life)
        };
        wire::read(&self.wire, reading, life.unwrap_or(0), Then::default()).await.unwrap()
    }

    pub(crate) async fn show(&self, tag: &str) -> v1::JobView {
        self.reads_all(Show { skull: which(tag) }).await.job.unwrap()
    }

    pub(crate) async fn trail(&self, tag: &str) -> Vec<v1::TrailLine> {
        self.reads_all(Trail { skull: which(tag) }).await.lines
    }

    pub(crate) async fn find(&self, words: &str) -> v1::FindResponse {
        self.reads_all(Find { words: Phrase::read(words).unwrap() }).await
    }

    /// What is where; one place, or all of them.
    pub(crate) async fn floor(&self, place: Option<&str>) -> v1::FloorResponse {
        self.reads(Floor { place: place.map(named) }).await
    }

    pub(crate) async fn clashes(&self) -> Vec<String> {
        self.reads(Clashes {}).await.lines.into_iter().map(|line| line.words).collect()
    }

    /// Every record on disk.
    pub(crate) async fn records(&self) -> Vec<v1::Record> {
        let request = v1::FollowRequest { from: 0, stop_when_caught_up: true, for_copy: false };
        let mut stream = self.wire.clone().follow(request).await.unwrap().into_inner();
        let mut records = Vec::new();
        while let Some(one) = stream.message().await.unwrap() {
            if let Some(v1::follow_response::What::Record(record)) = one.what {
                records.push(record);
            }
        }
        records
    }
}

/// A bench with a hand at it.
pub(crate) struct Hand {
    /// Read for details in clear before the folder goes.
    _swept: Swept,
    dir: TempDir,
    pub(crate) bench: Bench,
}

/// Copies a folder with all that is in it.
pub(crate) fn copy(from: &Path, to: &Path) {
    // As the programs make them: for their own user alone.
    std::fs::DirBuilder::new().recursive(true).mode(0o700).create(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

impl Hand {
    /// The bench's folder.
    pub(crate) fn folder(&self) -> &Path {
        self.dir.path()
    }

    /// The same bench once more, from a copy of its folder.
    pub(crate) fn copied(&self) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("bench");
        copy(&self.bench.folder().path(""), &folder);
        let bench = Bench::open(&folder).unwrap();
        Self { _swept: Swept(dir.path().to_owned()), dir, bench }
    }

    /// The same bench, with the shop at another address.
    pub(crate) fn at(self, shop: &Shop) -> Self {
        self.set(|settings| settings.shop.clone_from(&shop.served.url))
    }

    /// The same bench, more patient or less.
    pub(crate) fn waiting(self, patience: Times) -> Self {
        self.set(|settings| settings.patience = patience)
    }

    fn set(self, change: impl FnOnce(&mut Settings)) -> Self {
        let folder = self.bench.folder();
        let mut settings = folder.settings().unwrap();
        change(&mut settings);
        folder.keep_settings(&settings).unwrap();
        let bench = Bench::open(&folder.path("")).unwrap();
        Self { bench, ..self }
    }

    /// Reads as this bench does: from the shop if it is in reach.
    pub(crate) async fn reads<R: Asks>(&self, reading: R) -> R::Response {
        self.bench.read(reading, Then::default(), &SystemClock).await.unwrap().answer
    }

    /// Types a line that nobody objects to, and gets a receipt a skull.
    pub(crate) async fn says(&self, line: &str) -> Vec<v1::Receipt> {
        let said = self.types(line, &mut Nobody).await;
        let receipt = |answer| match answer {
            Answer::Receipt { receipt, .. } => *receipt,
            Answer::Kept { .. } | Answer::NotKnown { .. } | Answer::LeftOff { .. } => {
                panic!("{line}: {answer:?}")
            }
        };
        said.answers.into_iter().map(receipt).collect()
    }

    /// Types a line and gives one answer to whatever is asked.
    pub(crate) async fn says_and(&self, line: &str, choice: Choice) -> (Said, Scripted) {
        let mut answerer = Scripted { answers: [choice].into(), asked: Vec::new() };
        let said = self.types(line, &mut answerer).await;
        (said, answerer)
    }

    /// Types a line.
    pub(crate) async fn types(&self, line: &str, answerer: &mut (dyn Answerer + Send)) -> Said {
        sealed::typed_in(&burrline_line::split(line).unwrap_or_default());
        match self.bench.say(line, &SystemClock, answerer).await {
            Ok(said) => said,
            Err(error) => panic!("{line}: {error}"),
        }
    }

    /// Places, and a head with its condition and papers, ready for the pot but for the wrap.
    pub(crate) async fn takes_in(&self, tag: &str) {
        for line in [
            "take-in TAG whitetail 8 pt --condition \"one tine chipped\" --hand ines",
            "papers TAG --kill-tag K-TAG",
            "flesh TAG brain",
            "condition TAG --nose whole --jaw whole",
        ] {
            self.says(&line.replace("TAG", tag)).await;
        }
    }

    pub(crate) async fn adds_places(&self) {
        for line in
            ["add-place pot-1 pot --material stainless", "add-place tank-2 tank --material plastic"]
        {
            self.says(line).await;
        }
    }
}

pub(crate) fn skull(tag: &str) -> v1::Skull {
    which(tag).to_item()
}

pub(crate) fn which(tag: &str) -> Skull {
    Skull::read(tag).unwrap()
}

pub(crate) fn named(name: &str) -> Name {
    Name::read(name).unwrap()
}

/// What was remarked on an entry, none if it was refused.
pub(crate) fn remarks(outcome: Option<&v1::Outcome>) -> Option<Vec<v1::Remark>> {
    match outcome?.result.clone()? {
        v1::outcome::Result::Done(done) => Some(done.remarks),
        v1::outcome::Result::Refused(_) => None,
    }
}
