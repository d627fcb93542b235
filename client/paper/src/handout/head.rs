//! A checkpoint by itself, for whoever keeps one: as text with its code, and as a page to pin up.
//!
//! Everybody who has one is a witness. It says nothing of any customer, so it can hang on the wall and be
//! photographed by whoever comes in.

use maud::{PreEscaped, html};
use qrcode::{EcLevel, QrCode, render::unicode::Dense1x2};

use super::{Paper, code, page::svg_of};
use crate::{document::document, slip::Word};

const STYLE: &str = "
body{font:14pt/1.4 sans-serif;max-width:174mm;margin:0 auto;color:#000;text-align:center}
h1{font-size:26pt;margin:.4em 0}svg{display:block;margin:1em auto}
pre{white-space:pre-wrap;word-break:break-all;font-size:8pt;text-align:left}
p.small{font-size:10pt}
";

/// What it is for, in words that whoever keeps it reads.
const WHAT_FOR: &str = "Keep it, or take a picture of the code. With it anybody can check later that \
                        nothing which this shop had recorded by then was changed, put in or taken away.";

/// A checkpoint with the code that holds it, in lines; the code stands where so many columns hold it. On a
/// screen what is printed is light and the ground dark, so there the code is drawn the other way round.
pub fn text(about: &str, word: &Word, columns: usize, on_screen: bool) -> Vec<String> {
    let mut lines = vec![about.to_owned(), String::new()];
    // The word stands by itself and is never broken, so that it can be read back.
    lines.extend(word.text().lines().map(str::to_owned));
    lines.push(String::new());
    let drawn = QrCode::with_error_correction_level(word.text(), EcLevel::L);
    let (dark, light) = if on_screen {
        (Dense1x2::Light, Dense1x2::Dark)
    } else {
        (Dense1x2::Dark, Dense1x2::Light)
    };
    let draw = |code: QrCode| code.render().dark_color(dark).light_color(light).build();
    let drawn = drawn.map(draw).unwrap_or_default();
    if drawn.lines().all(|line| line.chars().count() <= columns) {
        lines.extend(drawn.lines().map(str::to_owned));
    }
    lines
}

/// A page to pin up.
pub fn page(shop: &str, about: &str, word: &Word) -> String {
    let body = html! {
        h1 { (shop) }
        p { (about) }
        @if let Some(printed) = code(word, Paper::Letter) { (PreEscaped(svg_of(&printed))) }
        p { (WHAT_FOR) }
        p.small { "burrline verify FOLDER --slip FILE, where FILE holds the text of the code:" }
        pre { (word.text()) }
    };
    document(&format!("{shop}: checkpoint"), &format!("@page{{margin:18mm}}{STYLE}"), body)
}

#[cfg(test)]
mod tests {
    use super::{super::tests, *};
    use crate::packet::outside::Outside;

    #[test]
    fn a_checkpoint_is_read_back_from_its_text_and_from_the_page_to_pin_up() {
        let word = tests::word();
        let text = text("checkpoint of 12345 records", &word, 80, false);
        assert!(text.iter().any(|line| line.contains('\u{2588}')), "no code in {text:#?}");
        assert!(text.iter().all(|line| line.chars().count() <= 160), "{text:#?}");
        let page = page("Alder <Creek>", "checkpoint of 12345 records", &word);
        assert!(page.contains("Alder &lt;Creek&gt;") && page.contains("<svg"), "{page}");
        // The sample's letters are no signature; its lines are those of a head all the same.
        for copied in [text.join("\n"), page] {
            let read = Outside::of_slip("head.txt", &copied);
            assert_eq!(read.faults.len() + read.heads.len(), 2, "{read:?}");
        }
        let narrow = super::text("checkpoint", &word, 40, true);
        assert!(!narrow.iter().any(|line| line.contains('\u{2588}')), "{narrow:#?}");
    }
}
