//! A paper as text, so many columns wide: lines aligned, amounts at the right.

use burrline_present::handout::{Handout, Row};
use qrcode::{EcLevel, QrCode, render::unicode::Dense1x2};

use super::{beside_code, cautions};
use crate::{
    fit::{padded, parts, under, width},
    slip::Word,
};

/// A paper as text; with the evidence also the shop's word in letters.
pub fn text(handout: &Handout, word: &Word, columns: usize, evidence: bool) -> Vec<String> {
    laid_out(handout, word, columns, evidence, true)
}

/// The same without its code, to see how long it is.
pub(super) fn face(handout: &Handout, word: &Word, columns: usize, evidence: bool) -> Vec<String> {
    laid_out(handout, word, columns, evidence, false)
}

fn laid_out(
    handout: &Handout,
    word: &Word,
    columns: usize,
    evidence: bool,
    code: bool,
) -> Vec<String> {
    let rule = "-".repeat(columns);
    let mut lines: Vec<String> = Vec::new();
    for line in std::iter::once(&handout.shop).chain(&handout.about) {
        lines.extend(parts(line, columns).iter().map(|part| centered(part, columns)));
    }
    lines.push(String::new());
    lines.extend(pair(handout.kind.title(), &handout.day, columns));
    if !handout.customer.is_empty() {
        lines.extend(under(&format!("for {}", handout.customer), Some(columns)));
    }
    if let Some(visit) = handout.visit {
        lines.push(format!("visit {visit}"));
    }
    lines.push(rule.clone());
    for head in &handout.heads {
        lines.extend(pair(&head.title, &format!("job {}", head.number), columns));
        let about = head.lines.iter().flat_map(|line| under(&format!("  {line}"), Some(columns)));
        lines.extend(about);
        lines.extend(head.rows.iter().flat_map(|row| amount(row, "  ", columns)));
    }
    lines.push(rule.clone());
    lines.extend(handout.money.iter().flat_map(|row| amount(row, "", columns)));
    lines.push(rule);
    let mut paragraph = |words: &[String]| {
        if !words.is_empty() {
            lines.extend(words.iter().flat_map(|line| under(line, Some(columns))));
            lines.push(String::new());
        }
    };
    paragraph(&handout.next);
    paragraph(&handout.terms);
    paragraph(&cautions(handout.kind).into_iter().map(str::to_owned).collect::<Vec<_>>());
    if handout.signature {
        let room = columns.saturating_sub("signed ".len());
        lines.extend([String::new(), format!("signed {}", "_".repeat(room)), String::new()]);
    }
    if code {
        lines.extend(drawn(handout, word, columns));
    }
    if evidence {
        lines.extend([word.heading().to_owned(), String::new()]);
        // The word stands by itself and is never broken, so that it can be read back.
        lines.extend(word.text().lines().map(str::to_owned));
    }
    while lines.last().is_some_and(String::is_empty) {
        lines.pop();
    }
    lines
}

fn centered(text: &str, columns: usize) -> String {
    let before = columns.saturating_sub(width(text)).checked_div(2).unwrap_or(0);
    format!("{}{text}", " ".repeat(before))
}

/// Two words at the ends of a line; one under the other where the line is too short.
fn pair(left: &str, right: &str, columns: usize) -> Vec<String> {
    let room = columns.saturating_sub(width(right).saturating_add(1));
    if width(left) <= room {
        return vec![format!("{} {right}", padded(left, room))];
    }
    let mut lines = under(left, Some(columns));
    lines.push(format!("{}{right}", " ".repeat(columns.saturating_sub(width(right)))));
    lines
}

/// What something is, broken between words, and its amount at the right of the last line.
fn amount(row: &Row, before: &str, columns: usize) -> Vec<String> {
    if row.amount.is_empty() {
        return under(&format!("{before}{}", row.what), Some(columns));
    }
    // A blank is left between them at least; an amount is never broken.
    let room = columns.saturating_sub(width(&row.amount).saturating_add(2));
    let mut lines = under(&format!("{before}{}", row.what), Some(room.max(8)));
    if let Some(last) = lines.last_mut() {
        let room = columns.saturating_sub(width(&row.amount));
        *last = format!("{}{}", padded(last, room), row.amount);
    }
    lines
}

/// The code in blocks where it is narrow enough; else one that holds the number of the visit, so that a
/// scanner finds it again when the skull is collected.
fn drawn(handout: &Handout, word: &Word, columns: usize) -> Vec<String> {
    let draw = |code: QrCode| -> Vec<String> {
        code.render::<Dense1x2>().build().lines().map(str::to_owned).collect()
    };
    let fits = |drawn: &Vec<String>| drawn.iter().all(|line| line.chars().count() <= columns);
    let whole = QrCode::with_error_correction_level(word.text(), EcLevel::L).ok().map(draw);
    if let Some(code) = whole.filter(fits) {
        let mut lines = under(beside_code(word), Some(columns));
        lines.extend(code);
        return lines;
    }
    let number = handout.visit.map(|visit| visit.to_string());
    let visit = number.and_then(|n| QrCode::with_error_correction_level(n, EcLevel::Q).ok());
    visit.map(draw).filter(fits).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use burrline_present::handout::Kind;

    use super::{super::tests, *};

    #[test]
    fn a_roll_of_58_has_its_lines_aligned_and_no_key() {
        let text = text(&tests::handout(Kind::Slip), &tests::word(), 32, false);
        assert!(text.iter().all(|line| width(line) <= 32), "{text:#?}");
        assert!(!text.iter().any(|line| line.contains("burrline.v1")), "{text:#?}");
        insta::assert_snapshot!("roll_58", text.join("\n"));
    }

    #[test]
    fn a_sheet_of_letters_reads_as_it_was_written() {
        let text = text(&tests::handout(Kind::Receipt), &tests::word(), 80, false);
        insta::assert_snapshot!("letter", text.join("\n"));
    }

    #[test]
    fn with_the_evidence_the_word_stands_there_whole() {
        let text = text(&tests::handout(Kind::Slip), &tests::word(), 32, true).join("\n");
        assert!(text.contains(tests::word().text().trim_end()), "{text}");
        let bench = Word::Bench("a note\n\nof the bench\n".to_owned());
        let text = self::text(&tests::handout(Kind::Slip), &bench, 80, true).join("\n");
        assert!(
            text.contains("signed by the bench alone") && text.contains("of the bench"),
            "{text}"
        );
    }
}
