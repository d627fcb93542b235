//! The shop's own small tables, which its scripts read.

use burrline_domain::State;
use burrline_proto::v1;

use crate::readings::{self, Reading, Unreadable, View};

impl Reading for readings::Tables {
    type Response = v1::TablesResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::TablesResponse, Unreadable> {
        let tables = &view.state.shop().tables;
        match &self.table {
            Some(name) if tables.get(name).is_none() => {
                Err(Unreadable::malformed(tables.no_such(name)))
            }
            wanted => {
                let mut all = listed(view.state);
                all.retain(|table| wanted.as_ref().is_none_or(|name| name.as_str() == table.name));
                Ok(v1::TablesResponse { tables: all })
            }
        }
    }
}

/// Every table with its rows.
pub(crate) fn listed(state: &State) -> Vec<v1::TableLine> {
    let tables = state.shop().tables.iter();
    tables
        .map(|(name, table)| v1::TableLine {
            name: name.to_string(),
            of: table.of.number(),
            says: table.says.as_ref().map(ToString::to_string).unwrap_or_default(),
            rows: table
                .rows
                .iter()
                .map(|(row, value)| v1::TableRow { row: row.to_string(), value: value.to_string() })
                .collect(),
        })
        .collect()
}
