//! A ledger's bytes as rows.

use std::collections::BTreeMap;

/// What a column is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// The number on the tag.
    Tag,
    /// The customer's name.
    Name,
    /// Their telephone number.
    Phone,
    /// Their address.
    Address,
    /// The number of their hunting licence.
    Licence,
    /// The animal.
    Species,
    /// Its sex.
    Sex,
    /// Antler points.
    Points,
    /// Kill tag or confirmation number.
    KillTag,
    /// County of the kill.
    County,
    /// The day on which it came in.
    DateIn,
    /// How far it is.
    Step,
    /// Where it is.
    Place,
    /// The day on which it left.
    DateOut,
    /// The price, tax and all.
    Price,
    /// What was paid.
    Paid,
    /// What is still owed.
    Due,
}

/// Headings that each column goes by, in small letters and without blanks and signs.
pub const HEADINGS: &[(Column, &[&str])] = &[
    (Column::Tag, &["tag", "tagno", "tagnumber", "tagnr", "no", "number", "nr"]),
    (Column::Name, &["name", "customer", "client", "who"]),
    (Column::Phone, &["phone", "telephone", "tel", "mobile", "cell"]),
    (Column::Address, &["address", "street"]),
    (Column::Licence, &["licence", "license", "huntinglicence", "huntinglicense", "licenceno"]),
    (Column::Species, &["species", "animal", "kind"]),
    (Column::Sex, &["sex"]),
    (Column::Points, &["points", "pts", "pt"]),
    (Column::KillTag, &["killtag", "confirmation", "confirmationno", "permit"]),
    (Column::County, &["county"]),
    (Column::DateIn, &["datein", "in", "received", "takenin", "dayin", "arrived", "date"]),
    (Column::Step, &["step", "stage", "status", "progress"]),
    (Column::Place, &["place", "where", "location"]),
    (Column::DateOut, &["dateout", "out", "pickedup", "returned", "collected", "dayout", "left"]),
    (Column::Price, &["price", "total", "charge", "charged", "cost", "fee"]),
    (Column::Paid, &["paid", "deposit", "downpayment", "down", "prepaid"]),
    (Column::Due, &["due", "owed", "owes", "balance", "balancedue", "open"]),
];

/// A row, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Row {
    /// The line of the file that it begins on, from 1.
    pub line: u64,
    /// What stands in its columns; empty cells are left out.
    pub cells: BTreeMap<Column, String>,
    /// How many cells it has beyond the first line's, up to the last with anything in it.
    pub beyond: usize,
}

impl Row {
    /// What stands in a column; empty if nothing does.
    pub fn cell(&self, column: Column) -> &str {
        self.cells.get(&column).map_or("", String::as_str)
    }
}

/// A ledger.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Table {
    /// Its rows; those without anything in them are left out.
    pub rows: Vec<Row>,
    /// Headings that nothing is known by.
    pub unknown: Vec<String>,
}

impl Table {
    /// Reads a ledger: comma, semicolon or tab between cells, quotes as in RFC 4180, any line ends,
    /// with or without a byte order mark or a first line that says the delimiter.
    ///
    /// # Errors
    /// The words to tell, if it is no UTF-8, has no heading for tag or day, or a quote never ends.
    pub fn read(bytes: &[u8]) -> Result<Self, String> {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let before = bytes.get(..error.valid_up_to()).unwrap_or_default();
            let line = before.split(|byte| *byte == b'\n').count();
            format!("line {line} is not in UTF-8; save the file again as CSV UTF-8")
        })?;
        // Lines are counted by their last sign, so all of them end alike.
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        // Some spreadsheets say their delimiter on a line before the headings.
        let (before, text) = match text.strip_prefix("sep=").and_then(|rest| rest.split_once('\n'))
        {
            Some((_, rest)) => (1, rest),
            None => (0, text.as_str()),
        };
        let delimiter = delimiter(text.lines().next().unwrap_or_default());
        if let Some(line) = never_ends(text, delimiter) {
            return Err(format!(
                "line {}: a quote begins a cell there and never ends; close it, or write it twice",
                line.saturating_add(before)
            ));
        }
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut records = reader.records();
        let wrong = |error: csv::Error| format!("it cannot be read: {error}");
        let head = records.next().ok_or("the file is empty")?.map_err(wrong)?;
        let columns: Vec<Option<Column>> = head.iter().map(column).collect();
        for wanted in [Column::Tag, Column::DateIn] {
            if !columns.contains(&Some(wanted)) {
                return Err(no_heading(wanted));
            }
        }
        let mut table = Self::default();
        let named =
            head.iter().zip(&columns).filter(|(name, column)| column.is_none() && !name.is_empty());
        table.unknown.extend(named.map(|(name, _)| name.to_owned()));
        for record in records {
            let record = record.map_err(wrong)?;
            let line = record.position().map_or(0, csv::Position::line).saturating_add(before);
            let last = (1..).zip(record.iter()).filter(|(_, cell)| !cell.is_empty()).last();
            let beyond = last.map_or(0, |(count, _): (usize, _)| count.saturating_sub(head.len()));
            let cells = columns.iter().zip(record.iter());
            let cells = cells.filter_map(|(column, cell)| Some(((*column)?, cell.to_owned())));
            let cells: BTreeMap<_, _> = cells.filter(|(_, cell)| !cell.is_empty()).collect();
            if !cells.is_empty() || beyond > 0 {
                table.rows.push(Row { line, cells, beyond });
            }
        }
        Ok(table)
    }
}

/// The line on which a quote begins that never ends, as RFC 4180 has quotes: one that begins a cell, and
/// two for one within.
fn never_ends(text: &str, delimiter: u8) -> Option<u64> {
    let (mut line, mut begun) = (1_u64, None);
    let mut at_begin = true;
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        if sign == '\n' {
            line = line.saturating_add(1);
        }
        match (begun, sign) {
            (None, '"') if at_begin => begun = Some(line),
            (Some(_), '"') if signs.peek() == Some(&'"') => {
                signs.next();
            }
            (Some(_), '"') => begun = None,
            _ => {}
        }
        at_begin = sign == '\n' || sign == char::from(delimiter);
    }
    begun
}

/// What a heading stands for.
fn column(heading: &str) -> Option<Column> {
    let bare: String = heading.chars().filter(|c| c.is_alphanumeric()).collect();
    let bare = bare.to_lowercase();
    let mut known = HEADINGS.iter();
    known.find(|(_, names)| names.contains(&bare.as_str())).map(|(column, _)| *column)
}

/// The delimiter that the first line has most of, outside of quotes.
fn delimiter(head: &str) -> u8 {
    let mut quoted = false;
    let (mut commas, mut semicolons, mut tabs) = (0_usize, 0_usize, 0_usize);
    for c in head.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => commas = commas.saturating_add(1),
            ';' if !quoted => semicolons = semicolons.saturating_add(1),
            '\t' if !quoted => tabs = tabs.saturating_add(1),
            _ => {}
        }
    }
    if tabs > commas.max(semicolons) {
        b'\t'
    } else if semicolons > commas {
        b';'
    } else {
        b','
    }
}

fn no_heading(wanted: Column) -> String {
    let names = HEADINGS.iter().find(|(column, _)| *column == wanted);
    let names = names.map(|(_, names)| names.join(", ")).unwrap_or_default();
    let what = if wanted == Column::Tag { "the tag" } else { "the day it came in" };
    format!("the first line has no heading for {what}; call that column one of: {names}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(bytes: &[u8]) -> Vec<(u64, String, String, String)> {
        let rows = Table::read(bytes).unwrap().rows;
        let of = |row: &Row, column| row.cell(column).to_owned();
        rows.iter()
            .map(|r| (r.line, of(r, Column::Tag), of(r, Column::Name), of(r, Column::DateIn)))
            .collect()
    }

    #[test]
    fn delimiters_line_ends_quotes_and_marks_make_no_difference() {
        let wanted = vec![
            (2, "0417".to_owned(), "Fenn, Ada".to_owned(), "2025-11-08".to_owned()),
            (4, "0418".to_owned(), "Bo \"B\" Tarn".to_owned(), "2025-11-09".to_owned()),
        ];
        for text in [
            "Tag,Name,Date in\n0417,\"Fenn, Ada\",2025-11-08\n,,\n0418,\"Bo \"\"B\"\" Tarn\",2025-11-09\n",
            "TAG No.;customer;received\r\n0417;Fenn, Ada;2025-11-08\r\n;;\r\n0418;\"Bo \"\"B\"\" Tarn\";2025-11-09\r\n",
            "tag\twho\tin\n0417\tFenn, Ada\t2025-11-08\n\t\t\n0418\t\"Bo \"\"B\"\" Tarn\"\t2025-11-09",
        ] {
            assert_eq!(cells(text.as_bytes()), wanted, "{text}");
            let marked = [b"\xef\xbb\xbf", text.as_bytes()].concat();
            assert_eq!(cells(&marked), wanted, "{text}");
        }
    }

    #[test]
    fn what_is_wrong_with_a_file_is_said() {
        let wrong = |bytes: &[u8]| Table::read(bytes).unwrap_err();
        assert!(wrong(b"name,in\n").contains("no heading for the tag"));
        assert!(wrong(b"tag,name\n").contains("no heading for the day it came in"));
        assert_eq!(wrong(b""), "the file is empty");
        assert_eq!(
            wrong(b"tag,in\n0417,x\n\xff,x\n"),
            "line 3 is not in UTF-8; save the file again as CSV UTF-8"
        );
        assert_eq!(Table::read(b"tag,in,Shelf life\n").unwrap().unknown, ["Shelf life"]);
        // One quote too few would swallow every row after it.
        let unclosed = b"tag,name,in\n0417,\"Ada \"\"F\"\"\",2025-11-08\n0418,\"Bo,2025-11-08\n0419,x,2025-11-08\n";
        assert!(
            wrong(unclosed).starts_with("line 3: a quote begins a cell"),
            "{}",
            wrong(unclosed)
        );
    }

    #[test]
    fn quotes_over_lines_inches_and_a_line_for_the_delimiter_are_read() {
        let text = "sep=;\r\ntag;name;in\r\n0417;\"Ada\r\nFenn\";2025-11-08\r\n0418;Bo 21\" Tarn;2025-11-09\r\n";
        let wanted = [
            (3, "0417".to_owned(), "Ada\nFenn".to_owned(), "2025-11-08".to_owned()),
            (5, "0418".to_owned(), "Bo 21\" Tarn".to_owned(), "2025-11-09".to_owned()),
        ];
        assert_eq!(cells(text.as_bytes()), wanted);
        let rows = Table::read(b"tag,in,name\n0417,2025-11-08,Fenn, Ada\n0418,2025-11-08,x,,\n")
            .unwrap()
            .rows;
        assert_eq!(rows.iter().map(|row| row.beyond).collect::<Vec<_>>(), [1, 0]);
    }
}
