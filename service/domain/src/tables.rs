//! Small tables of the shop's own, such as a fee by county: what its scripts read and an owner sets.

use std::collections::BTreeMap;

use burrline_terms::{
    canon::{Canon, Canonical},
    name::{Name, Phrase},
    words::CellKind,
};
use rust_decimal::Decimal;

use crate::verb::{AddTable, SetRow};

/// So many rows a table has at most; a script could not hold more.
pub const MOST_ROWS: usize = 300;

/// So many tables a shop has at most.
pub const MOST_TABLES: usize = 40;

/// A table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What its values are.
    pub of: CellKind,
    /// What it is for.
    pub says: Option<Phrase>,
    /// Its rows, by their names in small letters.
    pub rows: BTreeMap<Name, Phrase>,
}

/// All tables, by name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tables(BTreeMap<Name, Table>);

impl Tables {
    /// The tables in the order of their names.
    pub fn iter(&self) -> impl Iterator<Item = (&Name, &Table)> {
        self.0.iter()
    }

    /// Whether the shop has none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// The table of a name.
    pub fn get(&self, name: &Name) -> Option<&Table> {
        self.0.get(name)
    }

    /// Whether a row can be written: the table is there, has room, and the value is of its kind.
    ///
    /// # Errors
    /// Why not, and what to type.
    pub fn may_set(&self, row: &SetRow) -> Result<(), String> {
        let name = &row.table;
        let Some(table) = self.get(name) else { return Err(self.no_such(name)) };
        if table.rows.len() >= MOST_ROWS && !table.rows.contains_key(&row_name(&row.row)) {
            return Err(format!("{name} has {MOST_ROWS} rows, and that is the most"));
        }
        fits(table.of, row.value.as_str()).map_err(|why| format!("{name}: {why}"))
    }

    /// What is told of a table that is not there.
    pub fn no_such(&self, name: &Name) -> String {
        let names: Vec<&str> = self.0.keys().map(Name::as_str).collect();
        match names.as_slice() {
            [] => format!(
                "there is no table {name}, and none at all; begin it with: add-table {name} money"
            ),
            names => format!("there is no table {name}; there are {}", names.join(", ")),
        }
    }

    pub(crate) fn add(&mut self, v: &AddTable) {
        let table = Table { of: v.of, says: v.says.clone(), rows: BTreeMap::new() };
        self.0.insert(v.name.clone(), table);
    }

    pub(crate) fn set(&mut self, v: &SetRow) {
        if let Some(table) = self.0.get_mut(&v.table) {
            table.rows.insert(row_name(&v.row), v.value.clone());
        }
    }

    pub(crate) fn drop_row(&mut self, table: &Name, row: &Name) {
        if let Some(table) = self.0.get_mut(table) {
            table.rows.remove(&row_name(row));
        }
    }

    pub(crate) fn retire(&mut self, name: &Name) {
        self.0.remove(name);
    }
}

/// A row goes by small letters, so that "Larimer" on a paper finds "larimer".
pub fn row_name(row: &Name) -> Name {
    Name::clipped(&row.as_str().to_lowercase())
}

/// Whether a value is of a kind.
fn fits(of: CellKind, value: &str) -> Result<(), String> {
    let right = match of {
        CellKind::Text => true,
        CellKind::YesNo => matches!(value, "yes" | "no"),
        CellKind::Whole => number(value).is_some_and(|n| n.scale() == 0),
        CellKind::Number => number(value).is_some(),
        CellKind::Money => number(value).is_some_and(|n| n.scale() <= 4),
    };
    let such = match of {
        CellKind::Text => "a text",
        CellKind::YesNo => "yes or no",
        CellKind::Whole => "a whole number such as 12",
        CellKind::Number => "a number such as 4.55",
        CellKind::Money => "an amount such as 12.50, without a sign for the currency",
    };
    if right { Ok(()) } else { Err(format!("its values are {such}, not \"{value}\"")) }
}

/// Plain digits with a point and perhaps a minus: what else a number may be written like is not guessed.
fn number(value: &str) -> Option<Decimal> {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let bare = value.strip_prefix('-').unwrap_or(value);
    let plain = match bare.split_once('.') {
        Some((whole, part)) => digits(whole) && digits(part),
        None => digits(bare),
    };
    plain.then(|| Decimal::from_str_exact(value).ok()).flatten()
}

impl Canonical for Tables {
    fn canon(&self, out: &mut Canon) {
        out.add(&self.0);
    }
}

impl Canonical for Table {
    fn canon(&self, out: &mut Canon) {
        let Self { of, says, rows } = self;
        out.add(of);
        out.add(says);
        out.add(rows);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_of_the_kind_of_its_table_and_nothing_is_guessed() {
        for (of, right, wrong) in [
            (CellKind::Money, ["12.50", "-3"], ["12,50", "$12"]),
            (CellKind::Number, ["4.55", "0"], ["4.55%", "1e3"]),
            (CellKind::Whole, ["12", "-1"], ["1.5", "a dozen"]),
            (CellKind::YesNo, ["yes", "no"], ["true", "Yes"]),
        ] {
            for value in right {
                assert_eq!(fits(of, value), Ok(()), "{value}");
            }
            for value in wrong {
                let why = fits(of, value).unwrap_err();
                assert!(why.contains(value) && why.starts_with("its values are"), "{why}");
            }
        }
    }
}
