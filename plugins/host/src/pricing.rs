//! `price(job)` and `adjust(job, lines)`: lines of a quote, and who made them.

use rhai::{Array, Dynamic, Map};
use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Deserialize, Serialize};

use crate::facts::JobFacts;
use crate::failure::ScriptFailure;
use crate::plain::kind_in_words;
use crate::script::{Kind, Script};
use crate::shown::{Share, Shown};
use crate::value::{decimal_from, map_from, nothing_left, take_text};

/// A pricing script, ready to price: a price list, or an adjustment of one.
#[derive(Debug, Clone)]
pub struct Pricing {
    script: Script,
    places: u32,
}

/// What a pricing script says a job costs, before tax.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Quote {
    /// The lines, in the script's order.
    pub lines: Vec<QuoteLine>,
    /// Exact sum of the lines; never negative.
    pub total: Decimal,
    /// What to ask for at once, from nothing to the total; none if the script has no `deposit`.
    pub deposit: Option<Decimal>,
    /// The script's name.
    pub script: String,
    /// SHA-256 of the script's source, lower-case hex.
    pub digest: String,
}

/// One line of a quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct QuoteLine {
    /// What it is for.
    pub what: String,
    /// Money, rounded half up to the shop's smallest coin; a discount is negative.
    pub amount: Decimal,
    /// What kind of line it is, one of [`LINE_KINDS`], or empty: an adjustment goes by it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub kind: String,
}

/// The kinds of lines that a price list tells apart.
pub const LINE_KINDS: [&str; 9] = [
    "cleaning",
    "degreasing",
    "repair",
    "extra",
    "discount",
    "rush",
    "storage",
    "shipping",
    "other",
];

/// More lines than this are a mistake in the script.
const MOST_LINES: usize = 60;
/// More characters than this do not fit a slip.
const LONGEST_LINE: usize = 80;

impl Pricing {
    /// Takes a pricing script, with two decimal places of money.
    ///
    /// # Errors
    ///
    /// The script is of another kind.
    pub fn new(script: Script) -> Result<Self, ScriptFailure> {
        if script.kind() != Kind::Pricing {
            return Err(script.failure("this is not a pricing script"));
        }
        Ok(Self { script, places: 2 })
    }

    /// The same with another number of decimal places (0 for yen, 3 for dinars).
    #[must_use]
    pub fn with_places(self, places: u32) -> Self {
        Self { places, ..self }
    }

    /// The script.
    pub fn script(&self) -> &Script {
        &self.script
    }

    /// Whether it adds to what a price list gives, instead of being one.
    pub fn is_adjustment(&self) -> bool {
        !self.script.has("price", 1)
    }

    /// Prices a job by this script alone; an adjustment then has nothing to go by but the job.
    ///
    /// # Errors
    ///
    /// The script fails, answers in another shape than a list of `#{what, amount}`, or comes to
    /// less than nothing.
    pub fn price(&self, job: &impl Share<JobFacts>) -> Result<Quote, ScriptFailure> {
        self.price_after(job, Vec::new())
    }

    /// Prices a job: what is there already, and the lines that this script adds to it. A price list
    /// does not look at what is there.
    ///
    /// # Errors
    ///
    /// As [`Pricing::price`].
    pub fn price_after(
        &self,
        job: &impl Share<JobFacts>,
        before: Vec<QuoteLine>,
    ) -> Result<Quote, ScriptFailure> {
        let job = &Shown::whole(job.share());
        let (lines, total) = self.lines_after(job, before)?;
        Ok(Quote {
            lines,
            total,
            deposit: self.deposit(job, total)?,
            script: self.script.name().to_owned(),
            digest: self.script.digest().to_owned(),
        })
    }

    /// The lines that are there, with those of this script, and their total.
    pub(crate) fn lines_after(
        &self,
        job: &Dynamic,
        before: Vec<QuoteLine>,
    ) -> Result<(Vec<QuoteLine>, Decimal), ScriptFailure> {
        let (function, answer) = if self.is_adjustment() {
            let seen = lines_to_script(&before);
            ("adjust", self.script.call("adjust", || vec![job.clone(), seen.clone()])?)
        } else {
            ("price", self.script.call("price", || vec![job.clone()])?)
        };
        let failed = |why: String| self.script.failure_in(function, &format!("{function}: {why}"));
        let added = self.lines_from(answer).map_err(failed)?;
        let lines: Vec<QuoteLine> = before.into_iter().chain(added).collect();
        if lines.len() > MOST_LINES {
            return Err(failed(format!("{} lines; at most {MOST_LINES} fit a slip", lines.len())));
        }
        let total = lines
            .iter()
            .try_fold(Decimal::ZERO, |sum, line| sum.checked_add(line.amount))
            .ok_or_else(|| failed("the total is too large".to_owned()))?;
        if total < Decimal::ZERO {
            return Err(failed(format!("the total {total} is below nothing")));
        }
        Ok((lines, total))
    }

    /// Whether it says what to ask for at once.
    pub(crate) fn has_deposit(&self) -> bool {
        self.script.has("deposit", 2)
    }

    /// What `deposit(job, total)` says, if the script has it.
    pub(crate) fn deposit(
        &self,
        job: &Dynamic,
        total: Decimal,
    ) -> Result<Option<Decimal>, ScriptFailure> {
        if !self.has_deposit() {
            return Ok(None);
        }
        let answer = self.script.call("deposit", || vec![job.clone(), total.into()])?;
        let amount = decimal_from(&answer)
            .map_err(|why| self.script.failure(format!("deposit: {why}")))?
            .round_dp_with_strategy(self.places, RoundingStrategy::MidpointAwayFromZero);
        if amount < Decimal::ZERO || amount > total {
            let words = format!("deposit: {amount} is not between nothing and the total {total}");
            return Err(self.script.failure(words));
        }
        Ok(Some(amount))
    }

    pub(crate) fn lines_from(&self, answer: Dynamic) -> Result<Vec<QuoteLine>, String> {
        let list = answer.into_array().map_err(|found| {
            format!("wants a list of lines as the answer, not {}", kind_in_words(found))
        })?;
        if list.len() > MOST_LINES {
            return Err(format!("{} lines; at most {MOST_LINES} fit a slip", list.len()));
        }
        list.into_iter()
            .enumerate()
            .map(|(index, line)| {
                self.line_from(line)
                    .map_err(|why| format!("line {} of the quote: {why}", index.saturating_add(1)))
            })
            .collect()
    }

    fn line_from(&self, line: Dynamic) -> Result<QuoteLine, String> {
        let mut map = map_from(line, "a line #{what: ..., amount: ...}")?;
        let what = take_text(&mut map, "what")?;
        let amount = map.remove("amount").ok_or("`amount` is missing")?;
        let amount = decimal_from(&amount).map_err(|why| format!("`amount` {why}"))?;
        let kind = if map.contains_key("kind") { take_text(&mut map, "kind")? } else { "".into() };
        // `""` is what an adjustment sees of a line without one.
        if !kind.is_empty() && !LINE_KINDS.contains(&kind.as_str()) {
            return Err(format!("`kind` is one of {}, not \"{kind}\"", LINE_KINDS.join(", ")));
        }
        nothing_left(&map)?;
        if what.trim().is_empty() || what.chars().count() > LONGEST_LINE {
            return Err(format!("`what` wants 1 to {LONGEST_LINE} characters"));
        }
        if what.chars().any(char::is_control) {
            return Err("`what` wants a single plain line".to_owned());
        }
        let rounded =
            amount.round_dp_with_strategy(self.places, RoundingStrategy::MidpointAwayFromZero);
        Ok(QuoteLine { what: what.to_string(), amount: rounded, kind: kind.to_string() })
    }
}

/// Lines as an adjustment reads them.
fn lines_to_script(lines: &[QuoteLine]) -> Dynamic {
    let line = |line: &QuoteLine| {
        let mut map = Map::new();
        map.insert("what".into(), (&line.what).into());
        map.insert("amount".into(), line.amount.into());
        map.insert("kind".into(), (&line.kind).into());
        Dynamic::from_map(map)
    };
    lines.iter().map(line).collect::<Array>().into()
}
