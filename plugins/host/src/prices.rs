//! Several price scripts together: one price list, and what adjusts it.
//!
//! Of several price lists (`price`) the last activated is in force. After it every active
//! adjustment (`adjust`) adds its lines, in the order of their names. A quote by several
//! scripts names the digest of their list. That list is a text that follows from what was
//! activated: `Judge::prices_of` makes it again, and `GetScript` gives it out.

use std::fmt::Write as _;

use rust_decimal::Decimal;

use crate::facts::JobFacts;
use crate::failure::ScriptFailure;
use crate::pricing::{Pricing, Quote, QuoteLine};
use crate::script::digest_of;
use crate::shown::{Share, Shown};

/// The price scripts of a shop in the order in which they price: the price list first, then the
/// adjustments in the order of their names.
#[derive(Debug, Clone, Default)]
pub struct Prices {
    scripts: Vec<Pricing>,
}

/// How the list of several scripts begins; it is talk for the script language, and nothing else.
const HEADING: &str = "// Prices by several scripts, in this order:\n";

impl Prices {
    /// Puts price scripts in order. Of several price lists the last one that is given is in force,
    /// alone.
    pub fn of(scripts: impl IntoIterator<Item = Pricing>) -> Self {
        let (mut adjustments, lists): (Vec<_>, Vec<_>) =
            scripts.into_iter().partition(Pricing::is_adjustment);
        adjustments.sort_by(|a, b| a.script().name().cmp(b.script().name()));
        Self { scripts: lists.into_iter().next_back().into_iter().chain(adjustments).collect() }
    }

    /// What a shop would price by if it used another script: a price list takes the place of the
    /// one in force, an adjustment that of its name.
    #[must_use]
    pub fn trying(&self, script: Pricing) -> Self {
        let takes_its_place = |one: &&Pricing| {
            one.is_adjustment() == script.is_adjustment()
                && (!script.is_adjustment() || one.script().name() == script.script().name())
        };
        let others: Vec<Pricing> =
            self.scripts.iter().filter(|one| !takes_its_place(one)).cloned().collect();
        Self::of(others.into_iter().chain([script]))
    }

    /// The scripts, in the order in which they price.
    pub fn scripts(&self) -> &[Pricing] {
        &self.scripts
    }

    /// The price list in force.
    pub fn list(&self) -> Option<&Pricing> {
        self.scripts.first().filter(|first| !first.is_adjustment())
    }

    /// The same with another number of decimal places.
    #[must_use]
    pub fn with_places(self, places: u32) -> Self {
        let scripts = self.scripts.into_iter().map(|script| script.with_places(places));
        Self { scripts: scripts.collect() }
    }

    /// Their names, `deer-family + rush`.
    pub fn names(&self) -> String {
        let names: Vec<&str> = self.scripts.iter().map(|one| one.script().name()).collect();
        names.join(" + ")
    }

    /// What a quote keeps: the digest of the one script, or of the list of several.
    pub fn digest(&self) -> String {
        match self.scripts.as_slice() {
            [one] => one.script().digest().to_owned(),
            _ => digest_of(self.listed().as_bytes()),
        }
    }

    /// The list of several scripts that a quote's digest stands for: a line of digest and name each.
    pub fn listed(&self) -> String {
        self.scripts.iter().fold(HEADING.to_owned(), |mut list, one| {
            // Writing to a String cannot fail.
            let _ = writeln!(list, "// {} {}", one.script().digest(), one.script().name());
            list
        })
    }

    /// Digests and names out of such a list; nothing if it is none.
    pub fn read_list(source: &[u8]) -> Option<Vec<(String, String)>> {
        let lines = std::str::from_utf8(source).ok()?.strip_prefix(HEADING)?.lines();
        lines
            .map(|line| {
                let (digest, name) = line.strip_prefix("// ")?.split_once(' ')?;
                Some((digest.to_owned(), name.to_owned()))
            })
            .collect()
    }

    /// The lines that one of them finds when it is asked: those of all before it.
    ///
    /// # Errors
    ///
    /// As [`Prices::price`].
    pub fn before(
        &self,
        digest: &str,
        job: &impl Share<JobFacts>,
    ) -> Result<Vec<QuoteLine>, ScriptFailure> {
        let job = &Shown::whole(job.share());
        let earlier = self.scripts.iter().take_while(|one| one.script().digest() != digest);
        earlier.into_iter().try_fold(Vec::new(), |lines, one| Ok(one.lines_after(job, lines)?.0))
    }

    /// Prices a job by all of them; nothing if no price list is in force. The deposit is that of the
    /// last script which has one to say.
    ///
    /// # Errors
    ///
    /// The failure of the first script that fails, as [`Pricing::price`].
    pub fn price(&self, job: &impl Share<JobFacts>) -> Result<Option<Quote>, ScriptFailure> {
        let Some(list) = self.list() else { return Ok(None) };
        let job = &Shown::whole(job.share());
        let (mut lines, mut total) = (Vec::new(), Decimal::ZERO);
        let mut asks = list;
        for script in &self.scripts {
            (lines, total) = script.lines_after(job, lines)?;
            if script.has_deposit() {
                asks = script;
            }
        }
        Ok(Some(Quote {
            lines,
            total,
            deposit: asks.deposit(job, total)?,
            script: self.names(),
            digest: self.digest(),
        }))
    }
}
