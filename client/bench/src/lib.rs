//! The bench's engine: a folder, an outbox and a way to the shop. It knows no command line, no paper
//! and no screen.
//!
//! * [`folder`]: what is on disk
//! * [`outbox`]: what was said, and is never lost; `mend` and `lost`: damage to it
//! * [`amended`]: a correction changes what it names, and no more
//! * [`connection`]: the shop's questions, one method each
//! * [`answer`]: the question whether something may be done, and who answers it
//! * [`copy`]: the shop's log, as far as this bench has it
//! * [`alone`]: the present by the copy and the outbox, when the shop is out of reach
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
//! * `complete`, `settle`, `weigh`, `send`: from a line to its receipt; [`receipt`]: what that says
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
mod tidings;
pub mod together;
mod undecided;
mod unshown;
pub mod vocabulary;
mod way;
mod weigh;
#[cfg(test)]
mod weigh_tests;
pub mod witness;

pub use answer::{Answerer, Choice, Nobody, Said, Scripted};
pub use clock::{Clock, SystemClock};
pub use connection::Connection;
pub use error::{Ending, Error, Silence};
pub use weigh::ONCE_HEARD;

use std::{path::Path, sync::Arc};

use burrline_domain::Verb;
use burrline_line as line;
use burrline_line::Lexicon;
use burrline_present::view;
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Name, SaidTime, Typed as _, words::Role};
use jiff::tz::TimeZone;

use self::{
    alone::{Then, decides},
    answer::Answer,
    copy::file::CopyFile,
    draft::Draft,
    folder::{Folder, Settings},
    joining::Joining,
    outbox::Outbox,
    own_key::OwnKey,
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
        let key = OwnKey::of(&folder, &format!("bench.key{}", settings.files));
        let connection = Connection::to(&settings.way(&folder, key.shown())?)?;
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

    /// Says a line such as `in pot-1 0612`: asks the shop, answers its questions, keeps what is
    /// said, sends it and waits for the receipt.
    ///
    /// # Errors
    /// If the line cannot be read, or it is a decision and the shop is out of reach. A fact that
    /// only cannot be sent is no error: it is kept.
    pub async fn say(
        &self,
        line: &str,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<Said, Error> {
        let words = line::split(line)?;
        let mut utterance = self.read_line(&words, clock, answerer).await?;
        let told = self.amended(&mut utterance, clock)?;
        let mut said = self.utter(utterance, clock, answerer).await?;
        said.talk.splice(0..0, told);
        Ok(said)
    }

    /// Reads the words of a line. Before anybody is asked about it, the words of the shop are looked
    /// at anew; then the answerer is asked until it is clear.
    ///
    /// # Errors
    /// [`Error::Unclear`] if nobody makes it clear; as [`line::parse`].
    pub async fn read_line(
        &self,
        words: &[String],
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<line::Utterance, Error> {
        self.clear(clock, answerer, words.to_vec(), |lexicon| line::parse_words(words, lexicon))
            .await
    }

    /// Reads a line with `read`; where it is not clear, as above.
    ///
    /// # Errors
    /// As for [`Bench::read_line`].
    pub async fn clear(
        &self,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
        typed: Vec<String>,
        read: impl Fn(&Lexicon) -> Result<line::Utterance, line::Error>,
    ) -> Result<line::Utterance, Error> {
        let lexicon = self.lexicon();
        // Without the shop's words any word could be a place.
        match read(&lexicon) {
            Err(line::Error::Unclear(_)) => {}
            Ok(_) if !lexicon.known => {}
            clear => return Ok(clear?),
        }
        let lexicon = self.fresh_lexicon(clock).await;
        let mut reading = read(&lexicon);
        let mut line = typed;
        // Each answer settles one word, so that there are no more questions than words.
        for _ in 0..=line.len() {
            let Err(line::Error::Unclear(unclear)) = &reading else { return Ok(reading?) };
            match answerer.choose(&line, unclear) {
                Some(words) => line = words,
                None => break,
            }
            reading = line::parse_words(&line, &lexicon);
        }
        Ok(reading?)
    }

    /// Says a line that was read already.
    ///
    /// # Errors
    /// As for [`Bench::say`].
    pub async fn utter(
        &self,
        utterance: line::Utterance,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<Said, Error> {
        let typed = clock.now();
        let mut said = Said::default();
        let common = utterance.common.clone();
        let at = common.at.as_deref();
        let said_at = at.map(|words| self.time_of(words, &typed, &mut said.talk)).transpose()?;
        let hand = self.stick(common.hand.as_deref())?;
        let now = self.shop_now(&typed)?;
        self.look_up_named(&utterance.verbs, clock, &mut said.talk).await?;
        let bare = utterance.verbs.iter().any(complete::takes_in_bare);
        let open = self.open_ticket(now).filter(|_| bare);
        let drafts = self.complete(utterance, now, &mut said.talk)?;
        let visits = drafts.iter().any(|draft| draft.customer_before);
        let paid = drafts.iter().any(|draft| matches!(draft.verb, Verb::Pay(_)));
        let asking = settle::Asking {
            common: &common,
            hand: hand.as_ref(),
            when: said_at,
            said_at,
            typed: &typed,
            clock,
            before: Vec::new(),
        };
        // What is asked and answered is the largest part of a line's future.
        let settled = Box::pin(self.settle(drafts, &asking, answerer, &mut said)).await?;
        let settle::Settled { drafts, seen, alone, in_reach, why, renewed } = settled;
        let this = renewed.as_ref().unwrap_or(self);
        let beside = alone.as_ref();
        let drafts = this.reasons_looked_at(drafts, &asking, beside, answerer, &mut said).await?;
        let drafts = if visits { complete::without_lone_customers(drafts) } else { drafts };
        // Said alone with `person` it is kept, as anything that is said.
        let drafts = if paid { complete::without_lone_givers(drafts) } else { drafts };
        if drafts.is_empty() {
            let noted = this.keep_left_off(&mut said, hand, seen, &typed)?;
            this.send_left_off(noted, in_reach, clock).await?;
            said.drop_repeats();
            return Ok(said);
        }
        let verbs: Vec<Verb> = drafts.iter().map(|draft| draft.verb.clone()).collect();
        let kept = this.keep_alive(drafts, hand.clone(), said_at, seen, &typed, &mut said.talk)?;
        let (first, me) = (kept.first, kept.renewed.as_ref().unwrap_or(this));
        me.keep_left_off(&mut said, hand, seen, &typed)?;
        me.remember_visit(first, &verbs, now)?;
        if in_reach {
            me.answers(first, verbs, clock, &mut said).await?;
        } else {
            let photos = alone.iter().flat_map(|a| verbs.iter().filter_map(|v| a.photo_soon(v)));
            said.talk.extend(photos);
            me.kept(first, verbs, clock, why.as_ref(), &mut said)?;
        }
        if bare {
            me.whose(open, alone.as_ref(), &mut said).await;
        }
        said.drop_repeats();
        Ok(said)
    }

    /// Asks the shop about drafts; none if it does not answer in time, with why.
    async fn ask(
        &self,
        drafts: &[Draft],
        before: &[Verb],
        hand: Option<&Name>,
        said_at: Option<SaidTime>,
        clock: &(dyn Clock + Sync),
    ) -> Result<(Option<v1::AskResponse>, Option<Error>), Error> {
        let request = v1::AskRequest {
            life: self.life(),
            hand: hand.map(ToString::to_string).unwrap_or_default(),
            said_ms: said_at.map(|said| said.middle().0),
            verbs: drafts.iter().map(|draft| v1::Verb::from(&draft.verb)).collect(),
            before: before.iter().map(v1::Verb::from).collect(),
        };
        let mut answer = self.connection.ask(request.clone()).await;
        // Of lines that still wait here the shop knew nothing as it answered. A bench without its key
        // says nothing more, so it has nothing to ask anew for.
        if answer.is_ok() && self.key().is_ok() && !self.waiting()?.is_empty() {
            answer = match self.own_lines_first(clock).await? {
                Some(away) => Err(away),
                None => self.connection.ask(request).await,
            };
        }
        match answer {
            Ok(answer) if answer.ruled.len() == drafts.len() => Ok((Some(answer), None)),
            Ok(_) => Err(Error::Nonsense("one answer a line was expected".into())),
            Err(away @ Error::Away { .. }) => {
                self.help(&away).await;
                Ok((None, Some(away)))
            }
            Err(error) => Err(error),
        }
    }

    /// Sends what was kept and turns the receipts into answers.
    async fn answers(
        &self,
        first: u64,
        verbs: Vec<Verb>,
        clock: &(dyn Clock + Sync),
        said: &mut Said,
    ) -> Result<(), Error> {
        let sent = self.send_from(Some(first), clock).await;
        let receipts = match sent {
            Ok(receipts) => receipts,
            Err(error) => return self.kept(first, verbs, clock, Some(&error), said),
        };
        for (n, verb) in (first..).zip(verbs) {
            let (entry, verb) = (EntryName::new(self.life(), n), Box::new(verb));
            let receipt = receipts.iter().find(|receipt| receipt.entry == Some(entry.to_item()));
            match receipt.cloned().map(Box::new) {
                Some(receipt) => {
                    if decides(&verb) {
                        self.decided(n)?;
                    }
                    said.answers.push(Answer::Receipt { verb, receipt });
                }
                None => self.kept(n, vec![*verb], clock, None, said)?,
            }
        }
        Ok(())
    }

    /// Answers for what is on disk and goes to the shop later, with what the copy can tell of it; of a
    /// decision nobody knows.
    fn kept(
        &self,
        first: u64,
        verbs: Vec<Verb>,
        clock: &dyn Clock,
        why: Option<&Error>,
        said: &mut Said,
    ) -> Result<(), Error> {
        let waiting = self.waiting()?.len();
        // Told once as the shop is lost; from then on it stands in the prompt.
        let lost = matches!(why, Some(Error::Away { .. }));
        let silent = lost && why.is_some_and(|why| !why.is_restoring());
        let told = silent && self.away();
        let words = why.map(Error::for_a_hand).unwrap_or_default();
        let kept_here =
            if silent { "; what is said is kept here and goes out by itself" } else { "" };
        if lost {
            self.is_away()?;
        }
        // With the lines themselves, which are in the outbox by now.
        let alone = self.alone(clock, Then::default())?;
        for (n, verb) in (first..).zip(verbs) {
            if decides(&verb) {
                self.not_known(n, verb, &words, said);
                continue;
            }
            let entry = EntryName::new(self.life(), n);
            let skull = alone.as_ref().and_then(|alone| alone.what(&verb)).unwrap_or_default();
            let figures = alone
                .as_ref()
                .map(|alone| view::brief_figures(alone.state(), entry))
                .unwrap_or_default();
            let why = if told { String::new() } else { format!("{words}{kept_here}") };
            let verb = Box::new(verb);
            said.answers.push(Answer::Kept { entry, verb, skull, figures, waiting, why });
        }
        Ok(())
    }

    /// The hand that is said, which sticks; else the one that stuck.
    fn stick(&self, said: Option<&str>) -> Result<Option<Name>, Error> {
        let Some(word) = said else { return Ok(self.hand()) };
        let hand = Name::read(word)?;
        self.folder.keep_text("hand", hand.as_str())?;
        Ok(Some(hand))
    }
}
