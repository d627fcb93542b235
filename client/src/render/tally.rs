//! A tally: a table, and what must be known to read it.

use burrline_proto::v1;
use serde_json::{Map, Value};

use super::{Look, Page, Table};
use crate::Error;

/// The table as a person reads it, with its sentences below.
pub fn tally(answer: &v1::TallyResponse, look: &Look) -> Page {
    let heads: Vec<String> = answer.columns.iter().map(|head| head.to_uppercase()).collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let mut table = Table::new(&heads);
    let mut page = Page::default();
    for row in &answer.rows {
        table.cells(row.cells.clone());
        let pairs =
            answer.columns.iter().cloned().zip(row.cells.iter().cloned().map(Value::String));
        page.json.push(Value::Object(pairs.collect::<Map<String, Value>>()));
    }
    page.text = table.lines(look);
    if page.text.is_empty() {
        page.text.push("nothing was counted".to_owned());
    }
    page.text.push(String::new());
    page.text.extend(answer.notes.iter().cloned());
    page
}

/// The table for a spreadsheet.
///
/// # Errors
/// [`Error::Bug`] if a row cannot be written.
pub fn csv(answer: &v1::TallyResponse) -> Result<Page, Error> {
    let rows = answer.rows.iter().map(|row| row.cells.clone());
    let text = super::csv::csv(answer.columns.iter().cloned(), rows)?;
    Ok(Page { text: text.lines().map(str::to_owned).collect(), json: Vec::new() })
}
