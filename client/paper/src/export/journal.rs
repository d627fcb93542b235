//! The shop's books as a plain-text accounting journal (hledger's syntax), and as CSV with a row for
//! each posting.
//!
//! Amounts are whole units of the currency's smallest coin, so that every transaction adds up to
//! nothing exactly. A day in the books that is not the day on which it happened has that one behind
//! it (`2026-11-16=2026-11-14`). Where the till was counted, the journal asserts what was in it.

use burrline_domain::State;
use burrline_present::desk::journal::{Account, Posting, Transaction, journal as transactions};
use burrline_terms::Money;

use crate::{Error, csv::csv};

/// The books as a journal.
pub fn journal(state: &State) -> String {
    let settings = state.settings();
    let currency = settings.currency().to_string();
    let digits = settings.minor_digits();
    let example =
        if digits == 0 { "1000.".to_owned() } else { Money::new(1000.into()).written(digits) };
    let shop = plain(settings.shop_name().unwrap_or("the shop"));
    let mut text = format!(
        "; The books of {shop}, from its own log. Of each day: what its till has, and what left.\n\
         decimal-mark .\ncommodity {example} {currency}\n\n"
    );
    for account in Account::ALL {
        text.extend(["account ", account.name(), "\n"]);
    }
    for transaction in transactions(state) {
        let t = &transaction;
        let day = if t.day == t.happened {
            t.day.to_string()
        } else {
            format!("{}={}", t.day, t.happened)
        };
        text.extend(["\n", &day, " * (", &t.entry.to_string(), ") ", &plain(&t.words), "\n"]);
        for posting in &t.postings {
            text.push_str(&line(posting, &currency, digits));
        }
    }
    text
}

fn line(posting: &Posting, currency: &str, digits: u32) -> String {
    let amount = format!("{} {currency}", posting.amount.written(digits));
    let counted =
        posting.counted.map(|counted| format!(" = {} {currency}", counted.written(digits)));
    format!("    {:<32}  {amount:>20}{}\n", posting.account.name(), counted.unwrap_or_default())
}

/// Words with nothing that the journal would take for a comment, a note or another line.
fn plain(words: &str) -> String {
    let plain: String = words
        .chars()
        .map(|c| if c.is_control() || matches!(c, ';' | '|') { ' ' } else { c })
        .collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The columns of the postings.
const HEAD: [&str; 7] = ["day", "happened", "entry", "account", "amount", "currency", "what"];

/// The books as a table: a row for each posting.
///
/// # Errors
/// [`Error::Bug`] if a row cannot be written.
pub fn postings(state: &State) -> Result<String, Error> {
    let settings = state.settings();
    let currency = settings.currency().to_string();
    let row = |t: &Transaction, posting: &Posting| {
        vec![
            t.day.to_string(),
            t.happened.to_string(),
            t.entry.to_string(),
            posting.account.name().to_owned(),
            settings.shown(posting.amount),
            currency.clone(),
            plain(&t.words),
        ]
    };
    let journal = transactions(state);
    let rows = journal.iter().flat_map(|t| t.postings.iter().map(move |p| row(t, p)));
    csv(HEAD.map(str::to_owned), rows)
}
