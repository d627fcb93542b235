//! A tally: a table, and what must be known to read it.

use burrline_paper::Error;
use burrline_present::tally::{By, What};
use burrline_proto::v1;

use super::{Look, Page, Table, Told};

impl Told for v1::TallyResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "tally nose-damage by nose",
        "tally days by kind --season 2025",
        "tally earned by species --csv earned.csv",
        "tally skull-days",
        "tally damage by hand --by-hand",
    ];

    fn more() -> String {
        let whats: Vec<String> =
            What::ALL.iter().map(|(_, word, about)| format!("  {word:<13}{about}")).collect();
        format!(
            "WHAT is one of\n{}\n\nWHICH is one of {}; left out, all are taken together.\n\nA tally shows \
             what went together, not what came of what. It says how many it leaves out, how many say \
             nothing, and \u{201c}cannot tell\u{201d} where few were counted. Hands are compared for the \
             owner alone, and only when asked for with --by-hand.",
            whats.join("\n"),
            By::WORDS.join(", ")
        )
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let heads: Vec<String> = self.columns.iter().map(|head| head.to_uppercase()).collect();
        let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
        let mut table = Table::new(&heads);
        for row in &self.rows {
            table.cells(row.cells.clone());
        }
        let mut text = table.lines(look);
        if text.is_empty() {
            text.push("nothing was counted".to_owned());
        }
        text.push(String::new());
        text.extend(self.notes.iter().cloned());
        text
    }
}

/// The table for a spreadsheet.
///
/// # Errors
/// [`Error::Bug`] if a row cannot be written.
pub fn csv(answer: &v1::TallyResponse) -> Result<Page, Error> {
    let rows = answer.rows.iter().map(|row| row.cells.clone());
    let text = burrline_paper::csv::csv(answer.columns.iter().cloned(), rows)?;
    Ok(Page { text: text.lines().map(str::to_owned).collect(), json: Vec::new() })
}
