//! Labels for tags and bags: the number as it is shown, as bars and as a square code, one a head and,
//! where they are wanted, one a piece. A code holds the number alone, as a hand would type it.

use burrline_terms::{Tag, Typed as _, words::Piece};
use maud::{Markup, html};
use qrcode::{EcLevel, QrCode, render::unicode::Dense1x2};

use crate::{
    Error,
    codes::{bar_drawing, square_drawing},
    document::document,
};

/// The most labels that are made at once: some thirty sheets.
pub const MOST: usize = 1_000;

/// A label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// The number: `0417`, or `0417-N` for a piece.
    pub number: String,
    /// The piece; none for the tag itself.
    pub piece: Option<Piece>,
}

impl Label {
    fn tag(tag: &Tag) -> Self {
        Self { number: tag.to_string(), piece: None }
    }

    fn piece(tag: &Tag, piece: Piece) -> Self {
        Self { number: format!("{tag}-{}", piece.letters()), piece: Some(piece) }
    }

    /// What stands under the number: the piece, in words.
    pub fn words(&self) -> &'static str {
        self.piece.map_or("", Piece::word)
    }
}

/// The labels of tags, of stretches of them such as `0417..0440`, and of pieces such as `0417-N`; after
/// each tag one for each of the pieces.
///
/// # Errors
/// [`Error::Usage`] if a word is none of these, a stretch runs backwards, or there would be too many.
pub fn labels(words: &[String], pieces: &[Piece]) -> Result<Vec<Label>, Error> {
    let mut labels = Vec::new();
    for word in words {
        if let Some((first, last)) = word.split_once("..") {
            for tag in stretch(word, first, last)? {
                of_tag(&tag, pieces, &mut labels);
            }
        } else if let Some((tag, piece)) = of_piece(word) {
            labels.push(Label::piece(&tag, piece));
        } else {
            let tag = Tag::read(word).map_err(|bad| {
                Error::usage(format!("{bad}; a stretch is 0417..0440, a piece 0417-N"))
            })?;
            of_tag(&tag, pieces, &mut labels);
        }
        if labels.len() > MOST {
            return Err(too_many());
        }
    }
    Ok(labels)
}

fn too_many() -> Error {
    Error::usage(format!("more than {MOST} labels at once; make them in parts"))
}

fn of_tag(tag: &Tag, pieces: &[Piece], labels: &mut Vec<Label>) {
    labels.push(Label::tag(tag));
    labels.extend(pieces.iter().map(|piece| Label::piece(tag, *piece)));
}

/// `0417-N` as the tag and the piece.
fn of_piece(word: &str) -> Option<(Tag, Piece)> {
    let (tag, letters) = word.rsplit_once('-')?;
    Some((Tag::read(tag).ok()?, Piece::from_letters(letters)?))
}

/// Every tag from the first to the last, both counted in; the letter in front, if any, is the same.
fn stretch(word: &str, first: &str, last: &str) -> Result<Vec<Tag>, Error> {
    let wrong = |why: &str| Error::usage(format!("{word}: {why}, as in 0417..0440 or B12..B20"));
    let letter = |text: &str| text.chars().next().filter(char::is_ascii_alphabetic);
    let number = |text: &str| -> Result<u64, Error> {
        let tag = Tag::read(text).map_err(|bad| wrong(&bad.to_string()))?;
        let digits = tag.as_typed().trim_start_matches(|c: char| c.is_ascii_alphabetic());
        digits.parse().map_err(|_| wrong("a stretch goes from tag to tag"))
    };
    let (from, to) = (number(first)?, number(last)?);
    let front = letter(first).map(|c| c.to_ascii_uppercase());
    if front != letter(last).map(|c| c.to_ascii_uppercase()) {
        return Err(wrong("both ends begin with the same letter, or with none"));
    }
    if to < from {
        return Err(wrong("the lower number comes first"));
    }
    if to.saturating_sub(from) >= u64::try_from(MOST).unwrap_or(u64::MAX) {
        return Err(too_many());
    }
    let front = front.map(String::from).unwrap_or_default();
    (from..=to).map(|n| Tag::read(&format!("{front}{n}")).map_err(Error::from)).collect()
}

/// The labels for a printer of so many columns, each with its square code in blocks, and a line to cut
/// along below.
///
/// # Errors
/// [`Error::Bug`] if a number cannot be a code.
pub fn text(shop: &str, labels: &[Label], columns: usize) -> Result<Vec<String>, Error> {
    let mut lines = Vec::new();
    for label in labels {
        let middle = |text: &str| format!("{text:^columns$}").trim_end().to_owned();
        lines.push(middle(&label.number));
        let words: [String; 2] =
            [label.words(), shop].map(|words| words.chars().take(columns).collect());
        lines.extend(words.iter().filter(|w| !w.is_empty()).map(|w| middle(w)));
        let code = QrCode::with_error_correction_level(&label.number, EcLevel::Q)
            .map_err(|error| Error::Bug(format!("{} as a QR code: {error}", label.number)))?;
        let drawn = code.render::<Dense1x2>().build();
        let wide = drawn.lines().map(|line| line.chars().count()).max().unwrap_or(0);
        let left = " ".repeat(columns.saturating_sub(wide).div_euclid(2));
        lines.extend(drawn.lines().map(|line| format!("{left}{line}")));
        lines.push("-".repeat(columns));
    }
    Ok(lines)
}

/// The labels as a page that loads nothing, three across, each with its bars and its square code.
///
/// # Errors
/// [`Error::Usage`] if a number cannot be a bar code.
pub fn page(shop: &str, labels: &[Label]) -> Result<String, Error> {
    let cards: Result<Vec<Markup>, Error> = labels.iter().map(|label| card(shop, label)).collect();
    let cards = cards?;
    let body = html! { div.cards { @for card in &cards { (card) } } };
    Ok(document(&format!("{shop}, labels"), STYLE, body))
}

const STYLE: &str = "@page{margin:10mm}*{box-sizing:border-box}\
body{font:12px/1.2 sans-serif;margin:0 auto;max-width:192mm;color:#000;background:#fff}\
.cards{display:flex;flex-wrap:wrap}\
.card{min-width:64mm;min-height:35mm;border:1px dashed #999;padding:2mm;break-inside:avoid}\
.top{display:flex;gap:3mm;align-items:center}.top b{font-size:26px;display:block}\
.top small{display:block;color:#444}svg{display:block}";

fn card(shop: &str, label: &Label) -> Result<Markup, Error> {
    let (bars, square) = (bar_drawing(&label.number)?, square_drawing(&label.number)?);
    Ok(html! {
        div.card {
            div.top {
                (square)
                div {
                    b { (label.number) }
                    @if !label.words().is_empty() { (label.words()) }
                    small { (shop) }
                }
            }
            (bars)
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::codes::tests::{read_bars, read_square};

    fn words(words: &[&str]) -> Vec<String> {
        words.iter().map(|word| (*word).to_owned()).collect()
    }

    fn numbers(given: &[&str], pieces: &[Piece]) -> Result<Vec<String>, String> {
        let labels = labels(&words(given), pieces).map_err(|error| error.to_string())?;
        Ok(labels.into_iter().map(|label| label.number).collect())
    }

    #[test]
    fn a_stretch_a_tag_and_a_piece_are_labels_with_the_number_as_it_is_shown() {
        let all = numbers(&["417..0419", "b9..B10", "7", "0512-n"], &[]).unwrap();
        assert_eq!(all, ["0417", "0418", "0419", "B9", "B10", "0007", "0512-N"]);
        let pieces = numbers(&["0417", "0418"], &[Piece::Nose, Piece::Jaw]).unwrap();
        assert_eq!(pieces, ["0417", "0417-N", "0417-J", "0418", "0418-N", "0418-J"]);
    }

    #[test]
    fn what_is_no_label_says_what_to_type() {
        for (word, why) in [
            ("0440..0417", "the lower number comes first"),
            ("A1..B9", "the same letter"),
            ("0417..", "0417..0440"),
            ("..", "0417..0440"),
            ("0417..skull", "0417..0440"),
            ("0417-X", "a piece 0417-N"),
            ("pot-1", "a stretch is 0417..0440"),
            ("1..5000", "in parts"),
            ("1..999999999999", "in parts"),
        ] {
            let said = numbers(&[word], &[]).unwrap_err();
            assert!(said.contains(why), "{word}: {said}");
        }
    }

    #[test]
    fn every_code_of_a_label_reads_back_as_its_number_in_print_and_in_blocks() {
        let all = labels(&words(&["0417", "B12", "999999999999"]), &Piece::ALL[1..]).unwrap();
        assert_eq!(all.len(), 3 * Piece::ALL.len());
        for label in &all {
            assert_eq!(read_bars(&bar_drawing(&label.number).unwrap()), label.number);
            assert_eq!(read_square(&square_drawing(&label.number).unwrap()), label.number);
            let lines = text("Crooked Lantern", std::slice::from_ref(label), 32).unwrap();
            assert!(lines.iter().all(|line| line.chars().count() <= 32), "{lines:?}");
            assert_eq!(lines[0].trim(), label.number);
            assert_eq!(read_blocks(&lines), label.number);
        }
    }

    /// A code drawn in half blocks, read by a decoder that is not ours.
    fn read_blocks(lines: &[String]) -> String {
        let rows: Vec<Vec<char>> = lines
            .iter()
            .filter(|line| line.contains(['\u{2580}', '\u{2584}', '\u{2588}']))
            .map(|line| line.chars().collect())
            .collect();
        let (white, scale) = (4, 4);
        let wide = rows.iter().map(Vec::len).max().unwrap() + 2 * white;
        let tall = rows.len() * 2 + 2 * white;
        let dark = |x: usize, y: usize| {
            let (Some(x), Some(y)) = (x.checked_sub(white), y.checked_sub(white)) else {
                return false;
            };
            let block = rows.get(y / 2).and_then(|row| row.get(x)).copied().unwrap_or(' ');
            let half = if y % 2 == 0 { '\u{2580}' } else { '\u{2584}' };
            block == '\u{2588}' || block == half
        };
        let pixel = |x: usize, y: usize| if dark(x / scale, y / scale) { 0 } else { 255 };
        let mut image =
            rqrr::PreparedImage::prepare_from_greyscale(wide * scale, tall * scale, pixel);
        let grids = image.detect_grids();
        assert_eq!(grids.len(), 1, "{}", lines.join("\n"));
        grids[0].decode().unwrap().1
    }

    #[test]
    fn labels_read_as_they_were_written() {
        let all = labels(&words(&["0417"]), &[Piece::Jaw]).unwrap();
        let lines = text("Crooked Lantern", &all, 32).unwrap();
        insta::assert_snapshot!("a_tag_and_its_jaw", lines.join("\n"));
    }

    #[test]
    fn a_page_has_a_card_a_label_and_loads_nothing() {
        let all = labels(&words(&["0417..0420"]), &[Piece::Jaw]).unwrap();
        let page = page("Crooked <Lantern>", &all).unwrap();
        assert_eq!(page.matches("class=\"card\"").count(), 8);
        assert!(page.contains("Crooked &lt;Lantern&gt;") && page.contains("0420-J"), "{page}");
        assert!(!page.contains("src=") && !page.contains("href="));
    }
}
