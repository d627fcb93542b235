//! The benches of a season: real ones, each with its folder, its key and its outbox.

use std::{collections::BTreeMap, path::Path, sync::Arc};

use burrline_bench::{Bench, SystemClock};
use burrline_proto::v1;
use burrline_terms::Moment;

use super::{DemoError, season::Season, time::LineClock};

/// A bench and where it stands.
#[derive(Debug)]
pub struct Station {
    /// The bench.
    pub bench: Arc<Bench>,
    /// Whether it is out of the shop's reach.
    pub away: bool,
    home: String,
    nowhere: String,
    started: Moment,
}

/// All benches, by name.
#[derive(Debug)]
pub struct Benches(BTreeMap<String, Station>);

impl Benches {
    /// Joins every bench of a season, one after the other, each in a folder of its own.
    ///
    /// # Errors
    /// If a bench cannot join.
    pub async fn join(
        folder: &Path,
        url: &str,
        code: &str,
        season: &Season,
    ) -> Result<Self, DemoError> {
        let mut benches = BTreeMap::new();
        // Nobody listens where a listener has just gone away.
        let nowhere = std::net::TcpListener::bind(("127.0.0.1", 0))?.local_addr()?;
        for (name, role) in &season.benches {
            let dir = folder.join("benches").join(name);
            let bench = Bench::join(&dir, url, code, name, *role).await?;
            let station = Station {
                bench: Arc::new(bench),
                away: false,
                home: url.to_owned(),
                nowhere: nowhere.to_string(),
                started: season.begins,
            };
            benches.insert(name.clone(), station);
        }
        Ok(Self(benches))
    }

    /// Takes a bench away to say something with it.
    pub fn take(&mut self, name: &str) -> Option<Station> {
        self.0.remove(name)
    }

    /// Puts it back.
    pub fn put(&mut self, name: String, station: Station) {
        self.0.insert(name, station);
    }

    /// The digests that the shop shows to a bench.
    ///
    /// # Errors
    /// If it does not answer.
    pub async fn digest(&self) -> Result<v1::DigestResponse, DemoError> {
        let Some(station) = self.0.values().next() else {
            return Ok(v1::DigestResponse::default());
        };
        let digest = station.bench.connection().digest(v1::DigestRequest {}).await;
        Ok(digest?)
    }

    /// Brings every bench's copy of the log up to the shop, so that each can go on alone.
    ///
    /// # Errors
    /// If the shop does not answer, or a copy cannot be written.
    pub async fn catch_up(&self) -> Result<(), DemoError> {
        for station in self.0.values().filter(|station| !station.away) {
            station.bench.catch_up(&SystemClock, None).await?;
        }
        Ok(())
    }

    /// Tells every bench where its shop will be from now on.
    ///
    /// # Errors
    /// If a bench folder cannot be written.
    pub fn move_to(&self, url: &str) -> Result<(), DemoError> {
        Ok(self.0.values().try_for_each(|station| settle(&station.bench, url))?)
    }
}

impl Station {
    /// The clock for a line that is typed at one moment and sent at another.
    pub fn clock(&self, typed: Moment, sent: Moment) -> LineClock {
        let life = u8::try_from(self.bench.life()).unwrap_or(u8::MAX);
        LineClock::new(typed, sent, [life; 16], self.started)
    }

    /// Takes the bench out of the shop's reach, or back within it.
    ///
    /// # Errors
    /// If its folder cannot be written or read.
    pub fn carry(&mut self, away: bool) -> Result<(), burrline_bench::Error> {
        settle(&self.bench, if away { &self.nowhere } else { &self.home })?;
        self.bench = Arc::new(Bench::open(&self.bench.folder().path(""))?);
        self.away = away;
        Ok(())
    }
}

fn settle(bench: &Bench, url: &str) -> Result<(), burrline_bench::Error> {
    let mut settings = bench.settings().clone();
    url.clone_into(&mut settings.shop);
    bench.folder().keep_settings(&settings)
}
