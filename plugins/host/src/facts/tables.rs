//! The shop's own small tables, such as a fee by county, as scripts read them.

use std::collections::BTreeMap;

use rhai::{Dynamic, Engine, EvalAltResult};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use crate::plain::{kind_in_words, nearest};
use crate::shown::{Facts, Shown, Whole};
use crate::value::{ScriptValue, Way, map_from};

/// A value of a table.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cell {
    /// An amount of money, or a number.
    Number(Decimal),
    /// A whole number.
    Whole(i64),
    /// A text.
    Text(String),
    /// Yes or no.
    YesNo(bool),
}

/// The rows of a table, by their names in small letters.
pub type TableFacts = BTreeMap<String, Cell>;

impl Cell {
    fn to_dynamic(&self) -> Dynamic {
        match self {
            Self::Number(number) => (*number).into(),
            Self::Whole(whole) => (*whole).into(),
            Self::Text(text) => text.as_str().into(),
            Self::YesNo(yes) => (*yes).into(),
        }
    }

    fn from_dynamic(value: Dynamic) -> Result<Self, String> {
        if let Ok(number) = value.as_decimal() {
            return Ok(Self::Number(number));
        }
        if let Ok(whole) = value.as_int() {
            return Ok(Self::Whole(whole));
        }
        if let Ok(yes) = value.as_bool() {
            return Ok(Self::YesNo(yes));
        }
        value.into_string().map(Self::Text).map_err(|found| {
            format!("wants a number, a text, or true or false, not {}", kind_in_words(found))
        })
    }
}

impl Facts for TableFacts {
    fn names(&self) -> Vec<&str> {
        self.keys().map(String::as_str).collect()
    }
    fn read(whole: &Whole<Self>, name: &str) -> Option<Dynamic> {
        whole.facts()?.get(name).map(Cell::to_dynamic)
    }
}

impl Facts for BTreeMap<String, TableFacts> {
    fn names(&self) -> Vec<&str> {
        self.keys().map(String::as_str).collect()
    }
    fn read(whole: &Whole<Self>, name: &str) -> Option<Dynamic> {
        whole.facts()?.get(name)?;
        let name = name.to_owned();
        Some(Shown::part(whole, move |tables: &Self| tables.get(&name)))
    }
}

impl ScriptValue for BTreeMap<String, TableFacts> {
    fn kind() -> String {
        "map of tables".to_owned()
    }
    fn to_script<P: 'static>(whole: &Whole<P>, go: impl Way<P, Self>) -> Dynamic {
        Shown::part(whole, go)
    }
    fn from_script(value: Dynamic) -> Result<Self, String> {
        let table = |(name, rows): (rhai::Identifier, Dynamic)| {
            let rows = map_from(rows, "a map #{...} of rows").and_then(|rows| {
                let row = |(row, value): (rhai::Identifier, Dynamic)| {
                    let cell = Cell::from_dynamic(value).map_err(|why| format!("{row}: {why}"))?;
                    Ok((row.to_lowercase(), cell))
                };
                rows.into_iter().map(row).collect::<Result<TableFacts, String>>()
            });
            Ok((name.to_string(), rows.map_err(|why| format!("{name}: {why}"))?))
        };
        map_from(value, "a map #{...} of tables")?.into_iter().map(table).collect()
    }
}

/// Makes `job.tables.row(table, row)` known to an engine.
pub(crate) fn register(engine: &mut Engine) {
    engine.register_fn("row", |tables: &mut Shown, table: &str, row: &str| {
        row_of(tables, table, row)
    });
}

/// The value of a row, `()` if the table has no such row. A table that the shop does not have is an error:
/// a fee that is never found would be a fee that nobody pays.
fn row_of(tables: &mut Shown, table: &str, row: &str) -> Result<Dynamic, Box<EvalAltResult>> {
    let Some(found) = tables.value(table) else {
        let short: String = table.chars().take(40).collect();
        let words = match nearest(table, tables.all_names().into_iter()) {
            Some(near) => format!("the shop has no table \"{short}\"; did you mean \"{near}\"?"),
            None => format!(
                "the shop has no table \"{short}\"; begin it with `burrline add-table {short} money`"
            ),
        };
        return Err(words.into());
    };
    let Some(found) = found.read_lock::<Shown>() else {
        return Err(
            "`row` is asked of `job.tables`, as in job.tables.row(\"county-fee\", job.county)"
                .into(),
        );
    };
    Ok(found.value(&row.to_lowercase()).unwrap_or(Dynamic::UNIT))
}
