//! `reckon tax`, `round`, `split`, `cash` and `storage`.

use burrline_domain::house::{
    storage::StorageRule,
    tax::{TaxBy, TaxRule},
};
use burrline_reckon::{Absurd, Working, taxes, till};
use burrline_terms::{Day, Money, Typed as _, currency::Currency, rounding::Rounding};
use rust_decimal::Decimal;

use super::{Choice, Topic, asked::Asked, when};
use crate::Error;

const ROUNDING: Choice = Choice {
    name: "rounding",
    help: "What becomes of halves",
    values: &["half-up", "half-even", "half-down", "down"],
};

/// What becomes of a payment half way between two coins: where the place has no one rule it is asked.
const CASH_HALVES: Choice = Choice {
    name: "rounding",
    help: "What becomes of halves; without it, as is usual in the place, and asked where shops differ",
    values: &["usual", "half-up", "half-even", "half-down", "down"],
};

const BY: Choice =
    Choice { name: "by", help: "Where tax is rounded", values: &["invoice", "line"] };

const AS: &str = "as";

/// Lines with their tax.
pub(super) static TAX: Topic = Topic {
    name: "tax",
    about: "Reckon the tax on a price, by line or by invoice",
    more: "Takes the lines before tax, then the rate or rates after `at`, then, if it is not US dollars, \
           the currency after `as`. Several rates are each on the price. After `including` instead of \
           `at` the lines hold the tax already.",
    examples: &[
        "tax 12.95 7.49 150.00 15.50 at 8.25%",
        "tax 12.95 7.49 150.00 15.50 at 8.25% --by line",
        "tax 150.00 at 6.25% 2%",
        "tax 108.25 including 8.25%",
        "tax 12000 at 10% as JPY",
    ],
    choices: &[BY, ROUNDING],
    run: run_tax,
};

/// An amount to the coin.
pub(super) static ROUND: Topic = Topic {
    name: "round",
    about: "Round an amount to a currency's smallest unit",
    more: "Takes an exact amount and, if it is not US dollars, the currency after `as`.",
    examples: &["round 2.675", "round 10.125 --rounding half-even", "round 10.12345 as KWD"],
    choices: &[ROUNDING],
    run: run_round,
};

/// An amount shared.
pub(super) static SPLIT: Topic = Topic {
    name: "split",
    about: "Split an amount without losing a cent",
    more: "Takes an amount, then how many equal shares after `over` or `in`, or a weight for each share \
           after `by`.",
    examples: &["split 100.00 over 3", "split 200.00 by 150 120 135", "split 1000 over 3 as JPY"],
    choices: &[],
    run: run_split,
};

/// What is paid in cash.
pub(super) static CASH: Topic = Topic {
    name: "cash",
    about: "Round a payment in cash where small coins are gone",
    more: "Takes the price and, after `to`, the smallest coin, or after `as` a currency whose small coins \
           are gone. The price itself stays. Half way between two coins it asks where each shop decides.",
    examples: &[
        "cash 10.02 to 0.05",
        "cash 10.03 as CAD",
        "cash 23.05 as NZD --rounding half-down",
    ],
    choices: &[CASH_HALVES],
    run: run_cash,
};

/// The storage clock.
pub(super) static STORAGE: Topic = Topic {
    name: "storage",
    about: "Say where the storage clock of a finished skull stands",
    more: "Takes the shop's rule, the day of the notice that counts after `notice`, and the day to \
           look at after `today`, which is today where it is not said.",
    examples: &[
        "storage 5.00 a month after 30 days notice 2026-01-01 today 2026-03-15",
        "storage 1.50 a day after 30 days up to 90.00 notice 2026-01-01 today 2026-03-15",
    ],
    choices: &[],
    run: run_storage,
};

fn rounding(asked: &Asked) -> Result<Rounding, Error> {
    Ok(Rounding::read(asked.option("rounding"))?)
}

/// A rate of tax: `8.25%` or `8.25`.
struct Percent(Decimal);

impl burrline_terms::Typed for Percent {
    const HINT: &'static str = "RATE";

    fn read(word: &str) -> Result<Self, burrline_terms::BadWord> {
        let bare = word.trim().trim_end_matches('%');
        Decimal::read(bare)
            .map(Self)
            .map_err(|_| burrline_terms::BadWord::new(word, "a rate of tax such as 8.25%"))
    }

    fn show(&self) -> String {
        format!("{}%", self.0)
    }
}

/// An exact amount that may be finer than any coin, or below nothing.
struct Exact(Decimal);

impl burrline_terms::Typed for Exact {
    const HINT: &'static str = "AMOUNT";

    fn read(word: &str) -> Result<Self, burrline_terms::BadWord> {
        let wrong = || burrline_terms::BadWord::new(word, "an exact amount such as 2.675");
        let (bare, below) = word.trim().strip_prefix('-').map_or((word, false), |b| (b, true));
        let plain = bare.trim().replace(',', "");
        if !plain.chars().all(|c| c.is_ascii_digit() || c == '.') {
            return Err(wrong());
        }
        let amount = Decimal::from_str_exact(&plain).map_err(|_| wrong())?;
        if amount > Decimal::from(1_000_000_000_000_i64) {
            return Err(wrong());
        }
        Ok(Self(if below { Decimal::ZERO.saturating_sub(amount) } else { amount }))
    }

    fn show(&self) -> String {
        self.0.to_string()
    }
}

fn run_tax(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "tax 12.95 7.49 at 8.25%";
    let mut phrases = asked.phrases(&["at", "including", AS], &["and", "plus"])?;
    let mut lines = Vec::new();
    while let Some(line) = phrases.find::<Money>("") {
        lines.push(line);
    }
    let inside = phrases.has("including");
    let key = if inside { "including" } else { "at" };
    let mut rates = vec![phrases.want::<Percent>(key, EXAMPLE)?.0];
    while let Some(Percent(rate)) = phrases.find(key) {
        rates.push(rate);
    }
    let currency: Currency = phrases.maybe(AS, "tax 12000 at 10% as JPY")?.unwrap_or(Currency::USD);
    phrases.done(EXAMPLE)?;
    taxes::of_coins(&lines, currency)?;
    let rule = TaxRule {
        percent: rates.first().copied().unwrap_or_default(),
        by: TaxBy::read(asked.option("by"))?,
        rounding: rounding(asked)?,
        digits: currency.digits(),
    };
    Ok(match (inside, rates.as_slice()) {
        (true, rates) => taxes::included(&lines, rates, rule)?,
        (false, [_]) => till::taxed(&lines, rule)?,
        (false, rates) => taxes::several(&lines, rates, rule)?,
    })
}

fn run_round(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "round 2.675 as USD";
    let mut phrases = asked.phrases(&[AS], &[])?;
    let Exact(amount) = phrases.want("", EXAMPLE)?;
    let currency: Currency = phrases.maybe(AS, EXAMPLE)?.unwrap_or(Currency::USD);
    phrases.done(EXAMPLE)?;
    Ok(till::rounded(amount, rounding(asked)?, currency))
}

fn run_split(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "split 100.00 over 3";
    // `100 in 3`: that `in` is no inch.
    let asked = &asked.with_unit_apart("in");
    let mut phrases = asked.phrases(&["over", "in", "by", AS], &["shares", "parts"])?;
    let amount: Money = phrases.want("", EXAMPLE)?;
    let currency: Currency =
        phrases.maybe(AS, "split 1000 over 3 as JPY")?.unwrap_or(Currency::USD);
    let mut weights: Vec<Decimal> = Vec::new();
    let over = ["over", "in"].into_iter().find(|key| phrases.has(key));
    if let Some(over) = over {
        let shares: u32 = phrases.want(over, EXAMPLE)?;
        let shares = usize::try_from(shares.min(1001)).unwrap_or(1001);
        weights.resize(shares, Decimal::ONE);
    } else {
        weights.push(phrases.want("by", "split 200.00 by 150 120 135")?);
        while let Some(weight) = phrases.find::<Decimal>("by") {
            weights.push(weight);
        }
    }
    phrases.done(EXAMPLE)?;
    Ok(till::split(amount, &weights, currency)?)
}

fn run_cash(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "cash 10.02 to 0.05";
    let mut phrases = asked.phrases(&["to", AS], &[])?;
    let amount: Money = phrases.want("", EXAMPLE)?;
    let said: Option<Currency> = phrases.maybe(AS, "cash 10.03 as CAD")?;
    let currency = said.unwrap_or(Currency::USD);
    let step: Option<Money> = phrases.maybe("to", EXAMPLE)?;
    let step = step.or_else(|| said.and_then(till::smallest_coin)).ok_or_else(|| {
        Absurd::new(
            format!("which coin of {currency} is the smallest is not known here"),
            "say it after `to`, as in `burrline reckon cash 10.02 to 0.05`",
        )
    })?;
    phrases.done(EXAMPLE)?;
    let said = match asked.option("rounding") {
        "" | "usual" => None,
        _ => Some(rounding(asked)?),
    };
    Ok(till::cash(amount, step, said, currency)?)
}

fn run_storage(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "storage 5.00 a month after 30 days notice 2026-01-01 today 2026-03-15";
    let asked = &when::with_days(asked, &["today"])?;
    let mut phrases = asked.phrases(&["notice", "today", AS], &[])?;
    let said = phrases.rest("");
    let rule = StorageRule::read(&said).map_err(|_| {
        Absurd::new(
            format!("\u{201c}{said}\u{201d} is no storage rule: a fee, a day or a month, after so many days"),
            format!("say it like `burrline reckon {EXAMPLE}`"),
        )
    })?;
    let currency: Currency = phrases.maybe(AS, EXAMPLE)?.unwrap_or(Currency::USD);
    let notice: Day = phrases.want("notice", EXAMPLE)?;
    // `today` alone, or nothing, is today.
    let typed = !phrases.words_after("today").is_empty();
    let today: Day = match asked.here().today() {
        Some(today) if !typed => today,
        Some(_) | None => phrases.want("today", EXAMPLE)?,
    };
    phrases.done(EXAMPLE)?;
    Ok(till::storage(rule, notice, today, currency)?)
}
