//! Aligned plain columns, two blanks apart.

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
        let count = |cell: &String| cell.chars().count();
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
        let rows = self.rows.iter().map(|row| fit(row, &widths, look.width));
        std::iter::once(head).chain(rows).collect()
    }
}

fn fit(cells: &[String], widths: &[usize], most: Option<usize>) -> String {
    let shown = cells.iter().zip(widths).filter(|(_, width)| **width > 0);
    let padded: Vec<String> = shown.map(|(cell, width)| format!("{cell:<width$}")).collect();
    cut(padded.join("  ").trim_end(), most)
}

/// Cuts a line to a width, with an ellipsis where something is missing.
pub fn cut(line: &str, most: Option<usize>) -> String {
    match most {
        Some(most) if line.chars().count() > most => {
            let mut short: String = line.chars().take(most.saturating_sub(1)).collect();
            short.push('\u{2026}');
            short
        }
        _ => line.to_owned(),
    }
}
