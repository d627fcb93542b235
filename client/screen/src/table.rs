//! Aligned plain columns, two blanks apart.

use burrline_paper::fit::{cut, padded, parts, width};

use super::look::{Ink, Look};

/// Rows under headings.
#[derive(Debug, Clone, Default)]
pub struct Table {
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with these headings and no rows.
    pub fn new(heads: &[&str]) -> Self {
        Self { heads: heads.iter().map(|head| (*head).to_owned()).collect(), rows: Vec::new() }
    }

    /// Adds a row.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.into());
    }

    /// Adds a row of as many cells as there are.
    pub fn cells(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// The lines; a column that is empty in every row is left out, and without rows there are none.
    pub fn lines(&self, look: &Look) -> Vec<String> {
        let count = |cell: &String| width(cell);
        let widths: Vec<usize> = (0..self.heads.len())
            .map(|column| {
                let cells = self.rows.iter().filter_map(|row| row.get(column));
                let widest = cells.map(count).max().unwrap_or(0);
                if widest == 0 { 0 } else { widest.max(self.heads.get(column).map_or(0, count)) }
            })
            .collect();
        if self.rows.is_empty() {
            return Vec::new();
        }
        let head = look.ink(Ink::Heading, &fit(&self.heads, &widths, look.width));
        let rows = self.rows.iter().flat_map(|row| folded(row, &widths, look.width));
        std::iter::once(head).chain(rows).collect()
    }
}

/// How narrow a last column may become before a line is cut instead.
const LEAST: usize = 24;

/// A row whose last cell goes on under itself where the terminal is too narrow for it.
fn folded(cells: &[String], widths: &[usize], most: Option<usize>) -> Vec<String> {
    let shown = || cells.iter().zip(widths).filter(|(_, width)| **width > 0);
    let before: usize = shown().map(|(_, width)| width.saturating_add(2)).sum();
    let (Some(most), Some((last, width))) = (most, shown().next_back()) else {
        return vec![fit(cells, widths, most)];
    };
    let before = before.saturating_sub(*width).saturating_sub(2);
    let room = most.saturating_sub(before);
    if self::width(last) <= room || room < LEAST {
        return vec![fit(cells, widths, Some(most))];
    }
    let mut parts = parts(last, room).into_iter();
    let heads = shown().map(|(cell, _)| cell.clone()).collect::<Vec<_>>();
    let mut heads: Vec<String> = heads;
    let narrow: Vec<usize> = shown().map(|(_, width)| *width).collect();
    if let Some(cell) = heads.last_mut() {
        *cell = parts.next().unwrap_or_default();
    }
    let indent = " ".repeat(before);
    std::iter::once(fit(&heads, &narrow, Some(most)))
        .chain(parts.map(|part| format!("{indent}{part}")))
        .collect()
}

fn fit(cells: &[String], widths: &[usize], most: Option<usize>) -> String {
    let shown = cells.iter().zip(widths).filter(|(_, width)| **width > 0);
    let padded: Vec<String> = shown.map(|(cell, width)| padded(cell, *width)).collect();
    cut(padded.join("  ").trim_end(), most)
}

#[cfg(test)]
mod tests {
    use burrline_terms::Moment;
    use jiff::tz::TimeZone;

    use super::*;

    #[test]
    fn a_last_column_goes_on_under_itself() {
        let mut table = Table::new(&["WHEN", "WHAT"]);
        table.row(["17:53".to_owned(), "weigh it on a finer scale, for it cannot tell".to_owned()]);
        let look = |width| Look { zone: TimeZone::UTC, now: Moment(0), width, color: false };
        assert_eq!(
            table.lines(&look(Some(34))),
            ["WHEN   WHAT", "17:53  weigh it on a finer scale,", "       for it cannot tell"]
        );
        assert_eq!(table.lines(&look(None)).len(), 2);
    }
}
