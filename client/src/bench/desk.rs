//! The readings of the desk, from the shop or by the bench's own copy.

use burrline_present::desk::{self, Days};
use burrline_proto::v1;
use burrline_terms::Day;
use burrline_terms::Typed as _;

use super::{
    Bench,
    alone::{Alone, Then},
    contact::Reading,
};
use crate::{Error, clock::Clock};

impl Bench {
    /// Whom to call, and why.
    ///
    /// # Errors
    /// As [`Bench::read`].
    pub async fn calls(
        &self,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<v1::CallsResponse>, Error> {
        let life = self.life();
        let asked = self.connection().calls(v1::CallsRequest { life });
        let by_copy = |alone: &Alone| Ok(desk::calls(alone.state(), alone.eyes(life), alone.now()));
        self.read(asked, clock, Then::default(), by_copy).await
    }

    /// What was taken from one day to another, both counted in.
    ///
    /// # Errors
    /// As [`Bench::read`]; and if money is not for this bench.
    pub async fn takings(
        &self,
        from: Day,
        to: Day,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<v1::TakingsResponse>, Error> {
        let life = self.life();
        let (from_day, to_day) = (from.show(), to.show());
        let asked = self.connection().takings(v1::TakingsRequest { life, from_day, to_day });
        let by_copy = |alone: &Alone| {
            if !desk::sees(alone.state(), life) {
                return Err(Error::Refused(desk::NO_MONEY.to_owned()));
            }
            Ok(desk::takings(alone.state(), alone.eyes(life), from, to))
        };
        self.read(asked, clock, Then::default(), by_copy).await
    }

    /// What was left off after a question, and what was refused.
    ///
    /// # Errors
    /// As [`Bench::read`]; and if a day is none.
    pub async fn refused(
        &self,
        request: v1::RefusedRequest,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<v1::RefusedResponse>, Error> {
        let asked = self.connection().refused(request.clone());
        let by_copy = |alone: &Alone| {
            burrline_present::refused::refused(alone.state(), &request).map_err(Error::Usage)
        };
        self.read(asked, clock, Then::default(), by_copy).await
    }

    /// The register of the heads that came in on these days.
    ///
    /// # Errors
    /// As [`Bench::read`].
    pub async fn register(
        &self,
        days: Days,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<v1::RegisterResponse>, Error> {
        let life = self.life();
        let (from_day, to_day) = on_wire(days);
        let asked = self.connection().register(v1::RegisterRequest { life, from_day, to_day });
        let by_copy = |alone: &Alone| Ok(desk::register(alone.state(), alone.eyes(life), days));
        self.read(asked, clock, Then::default(), by_copy).await
    }

    /// How jobs ended on these days, other than by hand-over.
    ///
    /// # Errors
    /// As [`Bench::read`].
    pub async fn ends(
        &self,
        days: Days,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<v1::EndsResponse>, Error> {
        let life = self.life();
        let (from_day, to_day) = on_wire(days);
        let asked = self.connection().ends(v1::EndsRequest { life, from_day, to_day });
        let by_copy = |alone: &Alone| Ok(desk::ends(alone.state(), alone.eyes(life), days));
        self.read(asked, clock, Then::default(), by_copy).await
    }

    /// What to see to before a skull leaves.
    ///
    /// # Errors
    /// As [`Bench::read`]; and if there is no such job.
    pub async fn collect(
        &self,
        skull: v1::Skull,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<v1::CollectResponse>, Error> {
        let life = self.life();
        let request = v1::CollectRequest { life, skull: Some(skull.clone()) };
        let asked = self.connection().collect(request);
        let by_copy = |alone: &Alone| {
            Ok(desk::collect(alone.state(), alone.which(&skull)?, alone.eyes(life)))
        };
        self.read(asked, clock, Then::default(), by_copy).await
    }
}

fn on_wire(days: Days) -> (String, String) {
    let text = |day: Option<Day>| day.map(|day| day.show()).unwrap_or_default();
    (text(days.from), text(days.to))
}
