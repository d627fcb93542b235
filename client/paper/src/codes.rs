//! Words as codes that a scanner reads into the prompt: Code 128 and QR, and the sheet that shows
//! them.
//!
//! A scanner is a keyboard: it types the word and a line's end. So a code holds the word alone, as a
//! hand would type it.

use barcoders::sym::code128::Code128;
use burrline_domain::verb::spec;
use burrline_terms::words::{Flame, Piece, Tissue, WaterLook};
use maud::{Markup, html};
use qrcode::{Color, EcLevel, QrCode, render::unicode::Dense1x2};

use crate::{Error, document::document};

/// A text as a code for a camera, drawn with letters of a terminal; none if it is too long for one.
pub fn drawn(text: &str) -> Option<String> {
    let code = QrCode::with_error_correction_level(text, EcLevel::L).ok()?;
    Some(code.render::<Dense1x2>().build())
}

/// Verbs that are said at the pots with nothing but places, tags and closed words.
const VERBS: &[&str] = &[
    "in",
    "out",
    "look",
    "wash",
    "flesh",
    "wrap",
    "unwrap",
    "bag",
    "glue",
    "whiten",
    "coat",
    "inspect",
    "heat",
    "change",
    "dump",
    "roll-call",
];

/// Words of the prompt itself.
const CLOSING: &[(&str, &str)] = &[
    ("GO", "say what was collected"),
    ("SAME", "the last line again"),
    ("STRIKE", "take back the last line, or drop what was collected"),
    ("HEARD", "stop ringing"),
];

/// The narrowest bar on paper: a third of a millimetre is read by common scanners at arm's length.
const MODULE_MM: f64 = 0.38;

/// White on both sides of a bar code: ten modules, ISO/IEC 15417.
const QUIET: usize = 10;

/// A word on the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Code {
    /// What the scanner types.
    pub word: String,
    /// What it means to a hand; empty where the word says it.
    pub means: String,
}

/// Words that go together, under a heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// The heading.
    pub heading: &'static str,
    /// The words.
    pub codes: Vec<Code>,
}

/// All that is on the sheet; places are those of the shop.
pub fn groups(places: &[String]) -> Vec<Group> {
    let bare = |word: &str| Code { word: word.to_owned(), means: String::new() };
    let mut groups = vec![
        Group {
            heading: "What was done",
            codes: VERBS
                .iter()
                .filter_map(|word| spec(word))
                .map(|spec| Code { word: spec.word.to_owned(), means: spec.help.to_owned() })
                .collect(),
        },
        Group { heading: "Where", codes: places.iter().map(|place| bare(place)).collect() },
        Group {
            heading: "How it looks",
            codes: Tissue::ALL.iter().map(|tissue| bare(tissue.word())).collect(),
        },
        Group {
            heading: "The heat",
            codes: Flame::ALL.iter().map(|flame| bare(flame.word())).collect(),
        },
        Group {
            heading: "How the old water looked",
            codes: WaterLook::ALL.iter().map(|look| bare(look.word())).collect(),
        },
        Group {
            heading: "Which piece, after its tag",
            codes: Piece::ALL.iter().map(|piece| bare(piece.word())).collect(),
        },
        Group {
            heading: "To close a line",
            codes: CLOSING
                .iter()
                .map(|(word, means)| Code { word: (*word).to_owned(), means: (*means).to_owned() })
                .collect(),
        },
    ];
    groups.retain(|group| !group.codes.is_empty());
    groups
}

/// The bars of a word in Code 128, set B: true is black. Check character and stop are in it.
///
/// # Errors
/// [`Error::Usage`] if the word has a character that the code has not.
pub fn bars(word: &str) -> Result<Vec<bool>, Error> {
    let code = Code128::new(format!("\u{181}{word}"));
    let code = code.map_err(|_| {
        Error::usage(format!("\u{201c}{word}\u{201d} cannot be a bar code; rename the place"))
    })?;
    Ok(code.encode().into_iter().map(|module| module == 1).collect())
}

/// The sheet as a page that loads nothing and prints on any paper.
///
/// # Errors
/// As for [`bars`].
pub fn page(shop: &str, groups: &[Group]) -> Result<String, Error> {
    let mut drawn = Vec::new();
    for group in groups {
        let cards: Result<Vec<Markup>, Error> = group.codes.iter().map(card).collect();
        drawn.push((group.heading, cards?));
    }
    let body = html! {
        h1 { (shop) }
        p {
            "Scan into " b { "burrline bench" } ": what was done, where, each tag, then GO. "
            "The next thing done says the line before it, too. Print at full size, and laminate."
        }
        @for (heading, cards) in &drawn {
            section {
                h2 { (heading) }
                div.cards { @for card in cards { (card) } }
            }
        }
    };
    Ok(document(&format!("{shop}, codes for the bench"), STYLE, body))
}

const STYLE: &str = "@page{margin:12mm}*{box-sizing:border-box}\
body{font:14px/1.3 sans-serif;margin:0 auto;max-width:190mm;color:#000;background:#fff}\
h1{font-size:20px;margin:4mm 0 1mm}h2{font-size:15px;margin:5mm 0 2mm;break-after:avoid}\
p{margin:0 0 2mm}.cards{display:flex;flex-wrap:wrap;gap:3mm}\
.card{border:1px solid #999;border-radius:2mm;padding:2mm;display:flex;gap:3mm;align-items:center;break-inside:avoid}\
.card b{font-size:18px}.card small{display:block;max-width:62mm}svg{display:block}";

fn card(code: &Code) -> Result<Markup, Error> {
    let (bars, square) = (bar_drawing(&code.word)?, square_drawing(&code.word)?);
    Ok(html! {
        div.card {
            (square)
            div {
                b { (code.word) }
                @if !code.means.is_empty() { small { (code.means) } }
                (bars)
            }
        }
    })
}

/// The bars as a drawing, with their quiet zones.
pub(crate) fn bar_drawing(word: &str) -> Result<Markup, Error> {
    let bars = bars(word)?;
    let width = bars.len().saturating_add(QUIET.saturating_mul(2));
    let runs = runs(&bars, QUIET).into_iter().map(|(x, w)| format!("M{x} 0h{w}v40h-{w}z"));
    Ok(drawing(width, 40, "11mm", &runs.collect::<String>()))
}

/// The QR code as a drawing, with four modules of white around it, as ISO/IEC 18004 has it.
pub(crate) fn square_drawing(word: &str) -> Result<Markup, Error> {
    const WHITE: usize = 4;
    let code = QrCode::with_error_correction_level(word, EcLevel::Q)
        .map_err(|error| Error::Bug(format!("{word} as a QR code: {error}")))?;
    let across = code.width();
    let modules = code.to_colors();
    let mut path = String::new();
    for (y, row) in modules.chunks(across.max(1)).enumerate() {
        let row: Vec<bool> = row.iter().map(|module| *module == Color::Dark).collect();
        let y = y.saturating_add(WHITE);
        let rects = runs(&row, WHITE).into_iter().map(|(x, w)| format!("M{x} {y}h{w}v1h-{w}z"));
        path.extend(rects);
    }
    let side = across.saturating_add(WHITE.saturating_mul(2));
    Ok(drawing(side, side, "17mm", &path))
}

/// Black shapes on white; the width follows from the modules.
fn drawing(width: usize, height: usize, tall: &str, path: &str) -> Markup {
    let wide = if width == height {
        tall.to_owned()
    } else {
        format!("{:.1}mm", f64::from(u32::try_from(width).unwrap_or(0)) * MODULE_MM)
    };
    html! {
        svg xmlns="http://www.w3.org/2000/svg" width=(wide) height=(tall)
            viewBox=(format!("0 0 {width} {height}")) preserveAspectRatio="none"
            shape-rendering="crispEdges" {
            path d=(path) fill="#000" {}
        }
    }
}

/// Where black begins and how wide it is, moved to the right by so many modules.
fn runs(modules: &[bool], by: usize) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (x, _) in modules.iter().enumerate().filter(|(_, black)| **black) {
        let x = x.saturating_add(by);
        match runs.last_mut() {
            Some((start, width)) if start.saturating_add(*width) == x => {
                *width = width.saturating_add(1);
            }
            _ => runs.push((x, 1)),
        }
    }
    runs
}

#[cfg(test)]
pub(crate) mod tests;
