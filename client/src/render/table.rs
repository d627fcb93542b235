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
    if last.chars().count() <= room || room < LEAST {
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

/// A text in lines of so many columns, broken between words.
pub(super) fn parts(text: &str, columns: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let Some(last) = lines.last_mut() else { break };
        let with = last.chars().count().saturating_add(word.chars().count()).saturating_add(1);
        if last.is_empty() {
            last.push_str(word);
        } else if with > columns {
            lines.push(word.to_owned());
        } else {
            last.push(' ');
            last.push_str(word);
        }
    }
    lines
}

fn fit(cells: &[String], widths: &[usize], most: Option<usize>) -> String {
    let shown = cells.iter().zip(widths).filter(|(_, width)| **width > 0);
    let padded: Vec<String> = shown.map(|(cell, width)| format!("{cell:<width$}")).collect();
    cut(padded.join("  ").trim_end(), most)
}

/// A line that is too long for a width, broken between words; what follows is indented by so many
/// blanks. Nothing is left out.
pub fn wrap(line: &str, most: Option<usize>, indent: usize) -> Vec<String> {
    let Some(most) = most.filter(|most| line.chars().count() > *most) else {
        return vec![line.to_owned()];
    };
    let before: String = line.chars().take_while(|c| *c == ' ').collect();
    // On a terminal that is hardly wider than the indent, that is given up first.
    let indent = indent.min(most.checked_div(3).unwrap_or(0));
    let mut lines = vec![before];
    let mut begun = false;
    for word in pieces(line.trim_start(), most.saturating_sub(indent).max(1)) {
        let Some(last) = lines.last_mut() else { break };
        let (gap, word) = word;
        let with =
            last.chars().count().saturating_add(gap.len()).saturating_add(word.chars().count());
        if begun && with > most {
            lines.push(format!("{}{word}", " ".repeat(indent)));
        } else {
            if begun {
                last.push_str(gap);
            }
            last.push_str(&word);
        }
        begun = true;
    }
    lines
}

/// The words of a line with the blanks before each; a word that is longer than a line is cut in
/// several, such as a digest.
fn pieces(line: &str, longest: usize) -> Vec<(&str, String)> {
    let mut pieces = Vec::new();
    let mut rest = line;
    while !rest.is_empty() {
        let blanks = rest.find(|c: char| c != ' ').unwrap_or(rest.len());
        let (gap, more) = rest.split_at_checked(blanks).unwrap_or((rest, ""));
        let end = more.find(' ').unwrap_or(more.len());
        let (word, after) = more.split_at_checked(end).unwrap_or((more, ""));
        let letters: Vec<char> = word.chars().collect();
        for (n, part) in letters.chunks(longest).enumerate() {
            pieces.push((if n == 0 { gap } else { "" }, part.iter().collect()));
        }
        rest = after;
    }
    pieces
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

    #[test]
    fn a_long_line_is_wrapped_between_words_and_nothing_is_lost() {
        let line = "09:31  3:5  yard-1/tom  condition 0417: nose cracked along the left side";
        assert_eq!(wrap(line, None, 4), [line]);
        assert_eq!(wrap(line, Some(200), 4), [line]);
        let wrapped = wrap(line, Some(40), 4);
        assert_eq!(
            wrapped,
            ["09:31  3:5  yard-1/tom  condition 0417:", "    nose cracked along the left side"]
        );
        let deep = wrap("    remark: the antlers were not wrapped at all", Some(24), 8);
        assert_eq!(deep, ["    remark: the antlers", "        were not wrapped", "        at all"]);
        let digest = "a".repeat(50);
        let wrapped = wrap(&format!("photo {digest}"), Some(20), 4);
        assert!(wrapped.iter().all(|line| line.chars().count() <= 20), "{wrapped:?}");
        let letters = wrapped.join("").chars().filter(|c| *c == 'a').count();
        assert_eq!(letters, 50);
    }
}
