//! Catching up with the shop while nobody types.

use std::path::{Path, PathBuf};

use burrline_bench::{Bench, Error, SystemClock};
use burrline_proto::v1;
use tokio::task::JoinHandle;

/// After how many ticks it asks the shop again.
const EVERY: u32 = 5;

/// One conversation with the shop at a time.
#[derive(Debug, Default)]
pub struct Beside {
    ticks: u32,
    talking: Option<JoinHandle<Heard>>,
    /// Whether the shop was in reach; nothing before the first time.
    reach: Option<bool>,
}

/// What came of one.
#[derive(Debug, Default)]
struct Heard {
    reach: bool,
    told: Vec<String>,
}

impl Beside {
    /// One tick: begins a conversation when it is time, or tells what came of one that has ended.
    pub async fn turn(&mut self, folder: &Path) -> Option<Vec<String>> {
        let Some(talking) = &self.talking else {
            self.ticks = self.ticks.saturating_add(1);
            if self.ticks >= EVERY || self.reach.is_none() {
                self.ticks = 0;
                self.talking = Some(tokio::spawn(talk(folder.to_owned())));
            }
            return None;
        };
        if !talking.is_finished() {
            return None;
        }
        let heard = match self.talking.take() {
            Some(ended) => ended.await.unwrap_or_default(),
            None => return None,
        };
        let mut told = Vec::new();
        match (self.reach.replace(heard.reach), heard.reach) {
            (Some(true) | None, false) => {
                told.push("the shop is out of reach; what is said is kept here".to_owned());
            }
            (Some(false), true) => told.push("the shop is in reach again".to_owned()),
            (Some(true) | None, true) | (Some(false), false) => {}
        }
        told.extend(heard.told);
        Some(told)
    }
}

/// Sends what waits and catches up, with a bench of its own.
async fn talk(folder: PathBuf) -> Heard {
    match in_touch(&folder).await {
        Ok(told) => Heard { reach: true, told },
        Err(Error::Away { .. }) => Heard::default(),
        Err(error) => Heard { reach: true, told: vec![error.to_string()] },
    }
}

async fn in_touch(folder: &Path) -> Result<Vec<String>, Error> {
    let bench = Bench::open(folder)?;
    match bench.connection().greet(v1::GreetRequest { life: bench.life() }).await {
        Ok(_) => Ok(bench.in_touch(&SystemClock).await),
        Err(away @ Error::Away { .. }) => {
            bench.is_away()?;
            Err(away)
        }
        Err(error) => Err(error),
    }
}
