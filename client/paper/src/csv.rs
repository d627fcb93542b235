//! Tables as CSV (RFC 4180), for a spreadsheet.

use crate::Error;

/// Writes a table: its columns, then its rows. No cell is taken for a formula.
///
/// # Errors
/// [`Error::Bug`] if a row has another number of cells.
pub fn csv(
    columns: impl IntoIterator<Item = String>,
    rows: impl IntoIterator<Item = Vec<String>>,
) -> Result<String, Error> {
    let bug = |error: &dyn std::fmt::Display| Error::Bug(error.to_string());
    let terminator = csv::Terminator::CRLF;
    let mut out = csv::WriterBuilder::new().terminator(terminator).from_writer(Vec::new());
    out.write_record(columns.into_iter().collect::<Vec<_>>()).map_err(|error| bug(&error))?;
    for row in rows {
        let row: Vec<String> = row.into_iter().map(no_formula).collect();
        out.write_record(row).map_err(|error| bug(&error))?;
    }
    let bytes = out.into_inner().map_err(|error| bug(&error))?;
    String::from_utf8(bytes).map_err(|error| bug(&error))
}

/// A cell that a spreadsheet does not take for a formula: an apostrophe goes before what begins like
/// one. OWASP, "CSV Injection": cells that begin with =, +, -, @, tab or carriage return; also the
/// full-width forms of the first four (from memory). A number that is no more than that stays one.
fn no_formula(cell: String) -> String {
    let begins = |c: char| "=+-@\t\r\n\u{ff1d}\u{ff0b}\u{ff0d}\u{ff20}".contains(c);
    let is_number = cell.starts_with('-') && cell.parse::<f64>().is_ok();
    if cell.starts_with(begins) && !is_number { format!("'{cell}") } else { cell }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_is_taken_for_a_formula() {
        for begins in [
            "=1",
            "+1",
            "-1+1",
            "-cmd",
            "@SUM(1)",
            "\t=1",
            "\r=1",
            "\u{ff1d}1",
            "=cmd|\"/C calc\"!A0",
        ] {
            assert_eq!(no_formula(begins.to_owned()), format!("'{begins}"));
        }
        for plain in ["Ada = Fenn", "-1", "-12.50", "0417", ""] {
            assert_eq!(no_formula(plain.to_owned()), plain);
        }
    }

    #[test]
    fn cells_with_commas_quotes_and_lines_are_read_back() {
        let row = vec!["a, \"b\"".to_owned(), "two\nlines".to_owned()];
        let text = csv(["x".to_owned(), "y".to_owned()], [row.clone()]).unwrap();
        assert!(text.starts_with("x,y\r\n"));
        let mut back = csv::Reader::from_reader(text.as_bytes());
        assert_eq!(back.records().next().unwrap().unwrap().iter().collect::<Vec<_>>(), row);
    }
}
