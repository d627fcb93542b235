//! The present by the bench's own copy, kept up to date beside the requests.
//!
//! What is asked all the time (places, what rings, the wall) is read from here without asking anybody, so
//! that it is there at once and with the shop out of reach.

use std::{
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
    time::Duration,
};

use burrline_bench::{Bench, Error, SystemClock, alone::Alone, follow::Follow, patience::RECEIPT};
use burrline_present::wall::Wall;
use burrline_screen::Look;
use burrline_talk::{
    beside::Beside,
    standing::{
        Known,
        rings::{self, Rings},
    },
};
use burrline_terms::words::Role;
use serde::Serialize;
use tokio::sync::broadcast;

/// How often it looks whether something changed.
const TICK: Duration = Duration::from_secs(1);

/// After how many ticks the wall is made anew, if nothing changed.
const WHOLE_EVERY: u32 = 30;

/// What is told to every page that is open.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum News {
    /// The present has changed, or how old it is.
    Changed,
    /// Something rings: the lines.
    Rings(Vec<String>),
    /// Something happened at the shop meanwhile.
    Told(Vec<String>),
}

/// The present, and who is told of changes.
#[derive(Debug)]
pub(crate) struct Engine {
    folder: PathBuf,
    live: Mutex<Live>,
    news: broadcast::Sender<News>,
}

/// What is known now.
#[derive(Debug)]
pub(crate) struct Live {
    pub(crate) bench: Bench,
    /// None before the bench has a copy.
    pub(crate) present: Option<Alone>,
    /// The words that short lines are read by.
    pub(crate) known: Known,
    follow: Follow,
    folded: Option<(u64, u64)>,
    rings: Rings,
    wall: Option<Wall>,
}

/// How things stand, for the head of each page.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Stand {
    /// The shop's name.
    pub(crate) shop: String,
    /// The bench's name.
    pub(crate) bench: String,
    /// Who works here. Empty: nobody said.
    pub(crate) hand: String,
    /// Who can work here.
    pub(crate) hands: Vec<String>,
    /// How old what is shown is, where the shop is out of reach.
    pub(crate) away: Option<String>,
    /// How many lines wait for the shop.
    pub(crate) waiting: usize,
    /// What the bench may read and decide.
    pub(crate) role: Option<Role>,
}

impl Stand {
    /// Whether names and money are for this bench.
    pub(crate) const fn is_counter(&self) -> bool {
        matches!(self.role, Some(Role::Counter | Role::Owner))
    }

    /// Whether it is the owner's.
    pub(crate) const fn is_owner(&self) -> bool {
        matches!(self.role, Some(Role::Owner))
    }
}

impl Engine {
    /// Stands at a bench that has joined.
    ///
    /// # Errors
    /// If its folder is damaged.
    pub(crate) fn open(folder: &Path) -> Result<Self, Error> {
        let bench = Bench::open(folder)?;
        let live = Live {
            bench,
            present: None,
            known: Known::default(),
            follow: Follow::default(),
            folded: None,
            rings: Rings::of(""),
            wall: None,
        };
        let (news, _) = broadcast::channel(64);
        let engine = Self { folder: folder.to_owned(), live: Mutex::new(live), news };
        engine.locked().refresh();
        Ok(engine)
    }

    /// Brings the copy up to the shop before the first page is shown, as far as it comes in a moment: an
    /// empty yard would be taken for the truth. Away, the page says how old it is.
    pub(crate) async fn catch_up_first(&self) {
        let Ok(bench) = self.bench() else { return };
        // What is sent and caught up beside this goes on when the page stands.
        let caught = bench.catch_up(&SystemClock, None);
        let _ = tokio::time::timeout(RECEIPT, caught).await;
        self.locked().refresh();
    }

    /// A bench for one line, as a command opens its own.
    ///
    /// # Errors
    /// If its folder is damaged.
    pub(crate) fn bench(&self) -> Result<Bench, Error> {
        Bench::open(&self.folder)
    }

    /// What is known now; nobody waits while it is held.
    pub(crate) fn locked(&self) -> MutexGuard<'_, Live> {
        self.live.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What is told from now on.
    pub(crate) fn news(&self) -> broadcast::Receiver<News> {
        self.news.subscribe()
    }

    /// Takes up what was said here, and tells every page.
    pub(crate) fn said(&self) {
        self.locked().refresh();
        self.tell(News::Changed);
    }

    pub(crate) fn tell(&self, news: News) {
        // Nobody may be looking.
        let _ = self.news.send(news);
    }

    /// Catches up with the shop, and rings, until it is dropped.
    pub(crate) async fn go_on(&self) {
        let mut tick = tokio::time::interval(TICK);
        tick.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
        let mut beside = Beside::default();
        let mut ticks = 0_u32;
        loop {
            tick.tick().await;
            ticks = ticks.wrapping_add(1);
            if let Some(told) = beside.turn(&self.folder).await {
                if !told.is_empty() {
                    self.tell(News::Told(told));
                }
                self.said();
            }
            if ticks.is_multiple_of(WHOLE_EVERY) {
                self.locked().wall = None;
                self.tell(News::Changed);
            }
            let ringing = self.locked().ring();
            if !ringing.is_empty() {
                self.tell(News::Rings(ringing));
            }
        }
    }
}

impl Live {
    /// Takes up what the copy and the outbox have by now; what cannot be read is told by a reading.
    fn refresh(&mut self) {
        if let Ok(Some(new)) = self.bench.renewed() {
            (self.bench, self.folded) = (new, None);
        }
        let (Ok(edge), Ok(said)) = (self.bench.copied(), self.bench.said()) else { return };
        let far = (edge.size(), said);
        // Its age goes on as well, so that it is folded anew where the shop is away.
        if self.folded == Some(far) && !self.bench.away() {
            return;
        }
        if let Ok(Some(present)) = self.follow.present(&self.bench, &SystemClock) {
            if self.folded != Some(far) {
                self.known = Known::of(present.state());
                self.wall = None;
            }
            self.present = Some(present);
            self.folded = Some(far);
        }
    }

    /// What rings now and did not before.
    fn ring(&mut self) -> Vec<String> {
        let Some(present) = &self.present else { return Vec::new() };
        let now = present.time(&SystemClock);
        let ringing = self.rings.ring(&present.rings(now), now);
        if ringing.is_empty() { Vec::new() } else { rings::lines(&ringing, &self.look()) }
    }

    /// What was rung is heard.
    pub(crate) fn hear(&mut self) -> usize {
        let Some(present) = &self.present else { return 0 };
        let now = present.time(&SystemClock);
        let heard = self.rings.hear(&present.rings(now), now);
        // That it was heard is a courtesy; a disk that is full must not keep it from being silent.
        let _ = self.bench.folder().keep_text("heard", &self.rings.heard());
        heard
    }

    /// How moments look here.
    pub(crate) fn look(&self) -> Look {
        let now = self.present.as_ref().map(|present| present.time(&SystemClock));
        let now = now.unwrap_or_else(|| burrline_bench::Clock::now(&SystemClock).wall);
        Look { zone: self.bench.zone(), now, width: None, color: false }
    }

    /// The wall, made anew where something changed.
    pub(crate) fn wall(&mut self) -> Option<Wall> {
        let present = self.present.as_ref()?;
        if self.wall.is_none() {
            self.wall = Some(present.wall(present.time(&SystemClock)));
        }
        self.wall.clone()
    }

    /// How things stand.
    pub(crate) fn stand(&self) -> Stand {
        let settings = self.bench.settings();
        let state = self.present.as_ref().map(Alone::state);
        let life = self.bench.life();
        let role = state.and_then(|state| state.shop().benches.get(&life)).map(|bench| bench.role);
        let away = self.bench.away().then(|| {
            let how_old = self.present.as_ref().map(Alone::how_old);
            how_old.unwrap_or_else(|| crate::words::WORDS.no_copy.to_owned())
        });
        Stand {
            shop: state
                .and_then(|state| state.settings().shop_name())
                .unwrap_or(&settings.shop_name)
                .to_owned(),
            bench: settings.name.clone(),
            hand: self.bench.hand().map(|hand| hand.to_string()).unwrap_or_default(),
            hands: self.known.hands.clone(),
            away,
            waiting: self.bench.waiting().map_or(0, |waiting| waiting.len()),
            role,
        }
    }
}
