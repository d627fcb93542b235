//! Slip, receipt, statement and pick-up notice, laid out for a paper: as text and as a page.
//!
//! The face of each has no key on it but one code. The code holds the shop's key and a checkpoint, its
//! signed head of the log, that covers what the paper tells; the same in text comes with the evidence
//! alone. With it in hand, the customer can later hold the shop to its word.
//!
//! * [`head`](mod@head): a checkpoint by itself, to keep or to pin up
//! * [`text`](mod@text): for a slip printer or a terminal, so many columns wide
//! * [`page`](mod@page): HTML for 58 and 80 mm rolls, letter and A4; a browser prints it, to PDF too

pub mod head;
pub mod page;
pub mod text;

use base64::Engine as _;
use burrline_present::{cautions::Danger, handout::Kind};
use qrcode::{EcLevel, QrCode};

use crate::{Error, slip::Word};

/// The most bytes of a logo.
const LOGO: usize = 1_000_000;

/// A logo as a `data:` address, so that the page loads nothing.
///
/// # Errors
/// [`Error::Usage`] if its name ends like no picture, or it is too large.
pub fn logo(name: &str, bytes: &[u8]) -> Result<String, Error> {
    let ending = name.rsplit_once('.').map(|(_, ending)| ending.to_lowercase()).unwrap_or_default();
    let kind = match ending.as_str() {
        "png" => "png",
        "jpg" | "jpeg" => "jpeg",
        "svg" => "svg+xml",
        _ => return Err(Error::usage(format!("{name}: a logo is a PNG, JPEG or SVG file"))),
    };
    if bytes.len() > LOGO {
        return Err(Error::usage(format!("{name}: a logo has 1 MB at most")));
    }
    let text = base64::engine::general_purpose::STANDARD.encode(bytes);
    Ok(format!("data:image/{kind};base64,{text}"))
}

/// The paper that something is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Paper {
    /// A roll of 58 mm.
    Roll58,
    /// A roll of 80 mm.
    Roll80,
    /// A sheet of 8.5 by 11 in.
    Letter,
    /// A sheet of 210 by 297 mm.
    A4,
}

impl Paper {
    /// The words for the papers, in order.
    pub const WORDS: [&'static str; 4] = ["58mm", "80mm", "letter", "a4"];

    /// The paper of a word; none if it is none.
    pub fn of(word: &str) -> Option<Self> {
        match word {
            "58mm" => Some(Self::Roll58),
            "80mm" => Some(Self::Roll80),
            "letter" => Some(Self::Letter),
            "a4" => Some(Self::A4),
            _ => None,
        }
    }

    /// The columns of text that a printer of it has. Of rolls it is the usual font of slip printers, 12
    /// dots of 8 to a millimeter (common practice, no source).
    pub const fn columns(self) -> usize {
        match self {
            Self::Roll58 => 32,
            Self::Roll80 => 42,
            Self::Letter | Self::A4 => 80,
        }
    }

    /// Whether it is a roll, which is cut where the print ends.
    pub const fn is_roll(self) -> bool {
        matches!(self, Self::Roll58 | Self::Roll80)
    }

    /// How wide a code may be on it, in millimeters. A roll of 58 prints 48 (common practice, no source).
    const fn code_mm(self) -> f64 {
        match self {
            Self::Roll58 => 48.0,
            Self::Roll80 => 58.0,
            Self::Letter | Self::A4 => 52.0,
        }
    }
}

/// Dots of a thermal printer to a millimeter (common practice, no source).
const DOTS: f64 = 8.0;

/// The fewest dots of a module that a telephone is trusted to read off a thermal print (common practice,
/// no source).
const LEAST_DOTS: f64 = 3.0;

/// White around a code, in modules (ISO/IEC 18004).
const QUIET: u32 = 4;

/// A code, and how wide it is printed.
struct Printed {
    code: QrCode,
    mm: f64,
}

/// The code of a word for a paper, with as much of it to spare as the paper has room for; none if it
/// would be too fine to read even with the least. Its modules are whole dots, so that all are alike.
fn code(word: &Word, paper: Paper) -> Option<Printed> {
    // A slip is folded and gets wet: with Q a quarter of the code may be gone, with L 7 per cent.
    [EcLevel::Q, EcLevel::M, EcLevel::L].into_iter().find_map(|level| {
        let code = QrCode::with_error_correction_level(word.text(), level).ok()?;
        let modules = u32::try_from(code.width()).ok()?.checked_add(QUIET.checked_mul(2)?)?;
        let modules = f64::from(modules);
        let dots = (paper.code_mm() * DOTS / modules).floor();
        (dots >= LEAST_DOTS).then_some(Printed { code, mm: dots / DOTS * modules })
    })
}

/// What the code is for, above it.
fn beside_code(word: &Word) -> &'static str {
    match word {
        Word::Shop { .. } => {
            "Keep this code: with it anybody can check later what the shop shows of this work."
        }
        Word::Bench(_) => {
            "The shop was out of reach: this is signed by the bench alone. Ask for a new paper later."
        }
    }
}

/// What goes home with a skull is warned of.
fn cautions(kind: Kind) -> Vec<&'static str> {
    match kind {
        Kind::Slip => [Danger::Disease.words()].into_iter().chain(crate::slip::CAUTIONS).collect(),
        Kind::Receipt | Kind::Notice => crate::slip::CAUTIONS.to_vec(),
        Kind::Statement => Vec::new(),
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use burrline_present::handout::{Handout, Head, Row};
    use burrline_terms::EntryName;

    use super::*;

    fn row(what: &str, amount: &str, sum: bool) -> Row {
        Row { what: what.to_owned(), amount: amount.to_owned(), sum }
    }

    pub(crate) fn handout(kind: Kind) -> Handout {
        let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
        Handout {
            kind,
            shop: "Alder <Creek> Skulls".to_owned(),
            about: words(&["12 Mill Road", "Alder, CO 80002", "555-0100", "Licence TX-4410"]),
            visit: Some(EntryName::new(2, 6)),
            customer: "Ada Fenn".to_owned(),
            day: "Sat 08 Nov 2025".to_owned(),
            heads: vec![
                Head {
                    title: "tag 0412, mule deer 8 pt".to_owned(),
                    number: "2-7-8".to_owned(),
                    lines: words(&[
                        "came in Sat 08 Nov 2025",
                        "condition: nose bone chipped on the left side",
                    ]),
                    rows: vec![
                        row("cleaning, mule deer", "120.00", false),
                        row("oak plaque with a brass plate, engraved", "40.00", false),
                    ],
                },
                Head {
                    title: "tag 0413, elk".to_owned(),
                    number: "2-9-6".to_owned(),
                    lines: Vec::new(),
                    rows: vec![row("cleaning, elk", "1185.00", false)],
                },
            ],
            money: vec![
                row("before tax", "1345.00", false),
                row("tax 8.25 %", "110.96", false),
                row("total", "1455.96", true),
                row("2025-11-08 paid cash", "-200.00", false),
                row("to pay", "1255.96", true),
            ],
            next: words(&["Ready by Thu 18 Dec 2025."]),
            terms: words(&["Deposits are not given back.", "Fetch your work within 30 days."]),
            signature: true,
        }
    }

    /// As long as a shop's key and head are.
    pub(crate) fn word() -> Word {
        let key = format!("burrline.v1/shop/{}+0a1b2c3d+{}", "0f".repeat(8), "Q".repeat(44));
        let head = format!(
            "burrline.v1/shop/{}\n12345\n{}=\n\n\u{2014} burrline.v1/shop/{} {}\n",
            "0f".repeat(8),
            "R".repeat(43),
            "0f".repeat(8),
            "S".repeat(92)
        );
        Word::Shop { key, head }
    }

    #[test]
    fn the_code_of_the_smallest_paper_holds_the_signed_checkpoint_and_scans() {
        for paper in [Paper::Roll58, Paper::Roll80, Paper::Letter, Paper::A4] {
            let Printed { code, mm } = code(&word(), paper).unwrap();
            let width = code.width();
            // As a thermal printer has it, with white around: on the smallest paper four dots a module.
            let (dots, quiet) = (4, 4);
            let side = (width + 2 * quiet) * dots;
            assert!(mm * 8.0 >= f64::from(u32::try_from(side).unwrap()), "{mm} mm");
            let colors = code.to_colors();
            let mut pixels = vec![255_u8; side * side];
            for (n, color) in colors.iter().enumerate() {
                if *color == qrcode::Color::Dark {
                    for y in 0..dots {
                        let from =
                            ((n / width + quiet) * dots + y) * side + (n % width + quiet) * dots;
                        pixels[from..from + dots].fill(0);
                    }
                }
            }
            let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| {
                pixels[y * side + x]
            });
            let grids = image.detect_grids();
            assert_eq!(grids.len(), 1);
            assert_eq!(grids[0].decode().unwrap().1, word().text());
            let length = u32::try_from(side).unwrap();
            let format = Some(rxing::BarcodeFormat::QR_CODE);
            let mut hints =
                rxing::DecodeHints { TryHarder: Some(true), ..rxing::DecodeHints::default() };
            let read = rxing::helpers::detect_in_luma_with_hints(
                pixels, length, length, format, &mut hints,
            )
            .unwrap();
            assert_eq!(read.getText(), word().text());
            // At 8 dots to a millimeter a roll of 58 has 384 of them.
            if paper == Paper::Roll58 {
                assert!(side <= 384, "{side} dots");
            }
        }
    }
}
