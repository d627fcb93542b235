//! The bench's engine: a folder, an outbox and a way to the shop. It knows no command line, no paper
//! and no screen.
//!
//! * [`folder`]: what is on disk
//! * [`patience`], `pause`: how long anything is waited for, and how soon again
//! * [`outbox`]: what was said, and is never lost; `mend` and `lost`: damage to it
//! * [`amended`]: a correction changes what it names, and no more
//! * [`connection`]: the shop's questions, one method each
//! * [`answer`]: the question whether something may be done, and who answers it
//! * [`copy`]: the shop's log, as far as this bench has it
//! * [`alone`]: the present by the copy and the outbox, when the shop is out of reach
//! * [`whose`]: customers with heads here, by the same
//! * [`follow`]: the same, carried on by who stays
//! * [`carry`]: what waits as a file that is carried by hand
//! * [`contact`], [`catch_up`], [`news`]: coming back
//! * [`restore`], [`heal`]: a shop that was put back from a backup
//! * `kept_keys`: keys of details, kept back for a shop whose disk dies
//! * [`photos`]: photos wait here until the shop has them
//! * `holds`: holds that were wanted while the shop was away
//! * `one_life`: a process that outlives the life that it began under
//! * [`together`]: lines that are said with one write
//! * [`vocabulary`]: the words that lines are read by
//! * [`witness`]: the last head that the shop signed, and whether the next continues it
//! * `left_off`: what a hand left off after a question, noted
//! * `open_visit`: whose ticket a bare take-in joins
//! * `refers`, `private`: entries that are named, and details in clear, looked at before a line is said
//! * `utter`, `complete`, `settle`, `weigh`, `send`: from a line to its receipt; [`receipt`]: what that says
//! * [`cautions`]: what can hurt, told to each hand once a day
//! * [`old_ledger`]: an old ledger, read into lines
//! * [`clock`]: the one place that reads clocks; `clock_doubt`: a shop whose own clock is in doubt
//! * [`Error`] and [`Ending`]: why something was not recorded, and the exit status

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod alone;
pub mod amended;
pub mod answer;
pub mod answered;
#[cfg(test)]
mod away_tests;
pub mod carry;
pub mod catch_up;
pub mod cautions;
mod checked;
pub mod clock;
mod clock_doubt;
mod complete;
pub mod connection;
pub mod contact;
pub mod copy;
pub mod draft;
mod error;
mod folded;
#[cfg(test)]
mod folded_tests;
pub mod folder;
pub mod follow;
mod frame;
pub mod heal;
mod heal_folder;
#[cfg(test)]
mod heal_tests;
mod held_heads;
mod holds;
mod joining;
mod kept_keys;
mod known_customer;
mod left_off;
mod losses;
pub mod lost;
mod mend;
#[cfg(test)]
mod mend_tests;
pub mod nearby;
pub mod news;
pub mod old_ledger;
mod one_life;
mod open_visit;
pub mod outbox;
#[cfg(test)]
mod outbox_tests;
mod own_key;
pub mod patience;
mod pause;
pub mod photos;
pub mod plan;
mod private;
pub mod progress;
mod reached;
pub mod receipt;
mod refers;
pub mod rejoin;
pub mod remains;
pub mod resay;
pub mod restore;
mod said_time;
mod script_files;
mod send;
mod settle;
mod share_owed;
mod tidings;
pub mod together;
mod undecided;
mod unshown;
mod utter;
pub mod vocabulary;
mod way;
mod weigh;
#[cfg(test)]
mod weigh_tests;
pub mod whose;
pub mod witness;

pub use answer::{Answerer, Choice, Nobody, Said, Scripted};
pub use burrline_disk::private::keep_private;
pub use clock::{Clock, SystemClock};
pub use connection::Connection;
pub use error::{Ending, Error, Silence};
pub use weigh::ONCE_HEARD;

use std::{path::Path, sync::Arc};

use burrline_line as line;
use burrline_proto::v1;
use burrline_terms::{Name, Typed as _, words::Role};
use jiff::tz::TimeZone;

use self::{
    copy::file::CopyFile,
    folder::{Folder, Settings},
    joining::Joining,
    outbox::Outbox,
    own_key::OwnKey,
    patience::Times,
    pause::Pause,
    progress::Watch,
    tidings::Tidings,
    undecided::Undecided,
    unshown::Unshown,
    way::Own,
};

/// A bench that has joined a shop.
#[derive(Debug)]
pub struct Bench {
    folder: Folder,
    settings: Settings,
    key: OwnKey,
    outbox: Outbox,
    copy: CopyFile,
    connection: Connection,
    watch: Watch,
    unshown: Unshown,
    undecided: Undecided,
    tidings: Tidings,
}

impl Bench {
    /// Joins a shop with its join code and keeps the bench in a folder.
    ///
    /// # Errors
    /// If the folder is a bench already, the shop is out of reach, or it refuses the code.
    pub async fn join(
        dir: &Path,
        url: &str,
        code: &str,
        name: &str,
        role: Role,
    ) -> Result<Self, Error> {
        Self::join_as(dir, url, code, Some(name), Some(role)).await
    }

    /// The same, under the name and with the role that the code says, where they are not said here.
    ///
    /// # Errors
    /// As [`Bench::join`]; [`Error::NameWanted`] if neither says a name.
    pub async fn join_as(
        dir: &Path,
        url: &str,
        code: &str,
        name: Option<&str>,
        role: Option<Role>,
    ) -> Result<Self, Error> {
        let name = name.map(Name::read).transpose()?;
        let joining = Joining::read(url, code)?;
        if let Some(bench) = Self::taken_up(dir, &joining, name.as_ref()).await? {
            return Ok(bench);
        }
        let folder = Folder::create(dir)?;
        let key = Arc::new(folder.new_key()?);
        let public_key = key.public().0.to_vec();
        let connection = Connection::to(&joining.way(Own::Key(key)))?;
        let joined = connection
            .join(v1::JoinRequest {
                code: joining.secret(),
                public_key,
                bench_name: name.map(|name| name.to_string()).unwrap_or_default(),
                role: role.map(Role::number).unwrap_or_default(),
            })
            .await?;
        let shop = connection.greet(v1::GreetRequest { life: joined.life }).await?;
        folder.keep_settings(&Settings {
            shop: joining.address.to_string(),
            shop_key: connection.shown_key().map(|key| hex::encode(key.0)),
            life: joined.life,
            name: joined.bench_name,
            shop_name: joined.shop_name,
            zone: shop.zone,
            files: String::new(),
            photos: None,
            first: None,
            viewer: joined.role == Role::Viewer.number(),
            patience: Times::ONCE,
        })?;
        Self::open(dir)
    }

    /// Opens a bench that has joined; must be called within a tokio runtime. Nothing is sent.
    ///
    /// # Errors
    /// If the folder is no bench, or is damaged.
    pub fn open(dir: &Path) -> Result<Self, Error> {
        let folder = Folder::open(dir)?;
        let settings = folder.settings()?;
        folder.keep_private(&format!("bench.key{}", settings.files))?;
        let key = OwnKey::of(&folder, &format!("bench.key{}", settings.files));
        let pause = Pause::at(folder.path(pause::FILE));
        let connection = Connection::to(&settings.way(&folder, key.shown())?)?.pausing(pause);
        let outbox = Outbox::at(&folder.path(&format!("outbox{}", settings.files)));
        let outbox = match key.public() {
            Some(public) => outbox.signed_by(public, settings.life),
            None => outbox,
        };
        let copy = CopyFile::at(&folder.path("copy"));
        let (watch, unshown, undecided, tidings) = Default::default();
        Ok(Self {
            folder,
            settings,
            key,
            outbox,
            copy,
            connection,
            watch,
            unshown,
            undecided,
            tidings,
        })
    }

    /// What `bench.toml` says.
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The bench folder.
    pub const fn folder(&self) -> &Folder {
        &self.folder
    }

    /// The way to the shop.
    pub const fn connection(&self) -> &Connection {
        &self.connection
    }

    /// How far the copy goes, and its root.
    ///
    /// # Errors
    /// If the copy cannot be read.
    pub fn copied(&self) -> Result<copy::Edge, Error> {
        self.copy.edge()
    }

    /// The shop's time zone.
    pub fn zone(&self) -> TimeZone {
        line::when::zone(&self.settings.zone)
    }

    /// The shop's time zone by its name, such as `America/Denver`.
    pub fn zone_name(&self) -> &str {
        &self.settings.zone
    }

    /// The bench's life.
    pub const fn life(&self) -> u32 {
        self.settings.life
    }

    /// The name of a file that belongs to this life.
    fn of_life(&self, name: &str) -> String {
        format!("{name}{}", self.settings.files)
    }

    /// Up to which number the shop is known to have what was said here.
    fn receipts(&self) -> u64 {
        self.folder.number_if(&self.of_life("receipts"), |n| self.outbox.is_likely(n))
    }

    /// Who works here, as last said with `--hand`.
    pub fn hand(&self) -> Option<Name> {
        self.folder.text("hand").and_then(|text| Name::read(&text).ok())
    }

    /// This hand works here from now on.
    ///
    /// # Errors
    /// If it is no name, or cannot be kept.
    pub fn keep_hand(&self, name: &str) -> Result<(), Error> {
        self.stick(Some(name)).map(|_| ())
    }

    /// The number of the last line said here.
    ///
    /// # Errors
    /// If the outbox cannot be read.
    pub fn said(&self) -> Result<u64, Error> {
        self.outbox.last(self.receipts())
    }
}
