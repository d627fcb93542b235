//! Settings, as a line names them: a name that is a slip away from one of the table is asked about.

use burrline_domain::{
    settings::{Setting, TABLE},
    verb::SetShop,
};
use burrline_terms::Typed as _;

use super::{LineChoice, Unclear, near::near};
use crate::Error;

/// The names that may be typed, a family's up to what it is about: `holds.`.
pub fn names() -> impl Iterator<Item = &'static str> {
    TABLE.iter().map(|row| row.family().map_or(row.name, |(start, _)| start))
}

/// Asks about a name that no setting has and one nearly has. Any other name goes to the shop, which
/// may know more settings than this bench.
pub(super) fn known(set: &SetShop) -> Result<(), Error> {
    let typed = set.setting.as_str();
    if Setting::of(typed).is_some() {
        return Ok(());
    }
    let choices: Vec<LineChoice> = meant(typed)
        .into_iter()
        .map(|name| LineChoice {
            label: format!("did you mean {name}?"),
            words: vec!["set-shop".to_owned(), name, set.value.show()],
        })
        .collect();
    if choices.is_empty() {
        return Ok(());
    }
    let about = format!("there is no setting {typed}; see `burrline set-shop`");
    Err(Error::Unclear(Unclear { about, choices }))
}

/// The names a slip away. What a family is about stays as it was typed: `hold.pot-1`.
fn meant(typed: &str) -> Vec<String> {
    let (start, one) = match typed.split_once('.') {
        Some((start, one)) => (format!("{start}."), one),
        None => (typed.to_owned(), ""),
    };
    let of_kind = names().filter(|name| name.ends_with('.') != one.is_empty());
    near(&start, of_kind).into_iter().map(|name| format!("{name}{one}")).collect()
}
