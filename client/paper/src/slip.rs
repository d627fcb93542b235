//! The paper of a visit: what was agreed, what to be careful about, and the shop's word for it.
//!
//! A slip carries the head of the shop's log that covers its own records. With it in hand, the
//! customer can later hold the shop to its word: a packet is checked against the key on the slip.

use burrline_present::{cautions::Danger, evidence::Slip};
use maud::{PreEscaped, html};
use qrcode::{EcLevel, QrCode, render::unicode::Dense1x2};

use crate::{document::document, fit::under};

/// The shop's word, or that of the bench where the shop is out of reach.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Word {
    /// The shop's key, and its signed head that covers the slip's records.
    Shop {
        /// The key, as tools for signed notes read it.
        key: String,
        /// The head, a signed note.
        head: String,
    },
    /// The bench's own signed note over the slip; to be printed anew once the shop has it.
    Bench(String),
}

impl Word {
    /// What stands in the code, and in plain text beside it.
    pub fn text(&self) -> String {
        match self {
            Self::Shop { key, head } => format!("{key}\n{head}"),
            Self::Bench(note) => note.clone(),
        }
    }

    const fn heading(&self) -> &'static str {
        match self {
            Self::Shop { .. } => {
                "The shop's key and a checkpoint, its signed head of the log. Keep them: with them \
                 anybody can check later what the shop shows of this job."
            }
            Self::Bench(_) => {
                "The shop was out of reach: signed by the bench alone. Ask for a new slip later."
            }
        }
    }
}

/// What every slip warns of, for what goes home with it.
const CAUTIONS: [&str; 2] = [
    "A finished skull keeps traces of peroxide and sealer for a while: no food near it, hands washed \
     after. The labels of what was used decide.",
    "Law on wildlife decides what may be kept, sold or carried over a border: ask the agency, keep \
     the papers with it.",
];

/// The slip's body in lines, without the shop's word.
pub fn body(slip: &Slip) -> Vec<String> {
    let mut lines = vec![slip.shop.clone()];
    lines.extend(slip.ticket.map(|ticket| format!("ticket {ticket}")));
    for job in &slip.jobs {
        lines.push(String::new());
        lines.push(job.heading.clone());
        lines.extend(job.lines.iter().map(|line| format!("  {line}")));
    }
    if !slip.in_all.is_empty() {
        lines.push(String::new());
        lines.extend(slip.in_all.iter().cloned());
    }
    lines.push(String::new());
    lines.push(Danger::Disease.words().to_owned());
    lines.extend(CAUTIONS.map(str::to_owned));
    lines
}

/// The whole slip as text, the code drawn with blocks; for a slip printer or a terminal.
pub fn text(slip: &Slip, word: &Word, width: Option<usize>) -> Vec<String> {
    let mut lines: Vec<String> = body(slip).iter().flat_map(|line| under(line, width)).collect();
    lines.push(String::new());
    lines.push(word.heading().to_owned());
    lines.push(String::new());
    // The word stands by itself and is never broken, so that it can be read back.
    lines.extend(word.text().lines().map(str::to_owned));
    if let Some(drawn) = drawn(slip, word, width) {
        lines.push(String::new());
        lines.extend(drawn);
    }
    lines
}

const STYLE: &str = "
body{font:15px/1.4 sans-serif;max-width:22rem;margin:1rem auto;padding:0 .5rem}
pre{white-space:pre-wrap;word-break:break-all;font-size:10px}h2{font-size:1rem;margin:.8rem 0 0}
ul{margin:0;padding-left:1.1rem}.c{font-size:12px}
";

/// The whole slip as a page that loads nothing.
pub fn page(slip: &Slip, word: &Word) -> String {
    let code = code(word).map(|code| {
        code.render::<qrcode::render::svg::Color<'_>>().min_dimensions(240, 240).build()
    });
    // The drawing brings the first line of a file of its own, which has no place within a page.
    let code =
        code.map(|svg| svg.find("<svg").and_then(|at| svg.get(at..)).unwrap_or("").to_owned());
    let body = html! {
        h1 { (slip.shop) }
        @if let Some(ticket) = slip.ticket { p { "ticket " (ticket) } }
        @for job in &slip.jobs {
            h2 { (job.heading) }
            ul { @for line in &job.lines { li { (line) } } }
        }
        @for line in &slip.in_all { p { b { (line) } } }
        p.c { (Danger::Disease.words()) }
        @for caution in CAUTIONS { p.c { (caution) } }
        p { (word.heading()) }
        pre { (word.text()) }
        @if let Some(code) = &code { (PreEscaped(code)) }
    };
    document(&slip.shop, STYLE, body)
}

/// The code in blocks. Where the paper is too narrow for the shop's word, the code holds the number of
/// the visit alone, so that a scanner finds it again when the skull is collected.
fn drawn(slip: &Slip, word: &Word, width: Option<usize>) -> Option<Vec<String>> {
    let draw = |code: QrCode| -> Vec<String> {
        code.render::<Dense1x2>().build().lines().map(str::to_owned).collect()
    };
    let fits = |drawn: &Vec<String>| {
        let widest = drawn.iter().map(|line| line.chars().count()).max().unwrap_or(0);
        width.is_none_or(|width| widest <= width)
    };
    let whole = code(word).map(draw).filter(fits);
    let visit = || {
        let number = slip.ticket?.to_string();
        QrCode::with_error_correction_level(number, EcLevel::Q).ok().map(draw).filter(fits)
    };
    whole.or_else(visit)
}

/// The code; none if there is more than one holds.
fn code(word: &Word) -> Option<QrCode> {
    // A slip is folded and gets wet: a quarter of the code may be gone.
    QrCode::with_error_correction_level(word.text(), EcLevel::Q).ok()
}

#[cfg(test)]
mod tests {
    use burrline_present::evidence::slip::SlipJob;

    use super::*;

    fn slip() -> Slip {
        Slip {
            shop: "Alder <Creek>".to_owned(),
            ticket: Some(burrline_terms::EntryName::new(2, 6)),
            jobs: vec![SlipJob {
                heading: "job 2-7-8  tag 0412  mule deer".to_owned(),
                lines: vec![
                    "condition: looks whole".to_owned(),
                    "price: 120.00 (agreed)".to_owned(),
                ],
            }],
            in_all: Vec::new(),
            newest: 40,
        }
    }

    fn word() -> Word {
        Word::Shop {
            key: "burrline.v1/shop/00+00000000+AAAA".to_owned(),
            head: "a\n1\nb\n".to_owned(),
        }
    }

    #[test]
    fn a_slip_keeps_to_the_paper_but_never_breaks_the_shops_word() {
        let text = text(&slip(), &word(), Some(32));
        assert!(text.contains(&"burrline.v1/shop/00+00000000+AAAA".to_owned()));
        let body = text.iter().take_while(|line| !line.starts_with("The shop's key"));
        assert!(body.clone().all(|line| line.chars().count() <= 32), "{text:?}");
        // The whole word is too much for 32 columns; the visit's number is not.
        let code: Vec<&String> = text.iter().filter(|line| line.contains('\u{2588}')).collect();
        assert!(!code.is_empty(), "no code was drawn");
        assert!(code.iter().all(|line| line.chars().count() <= 32), "{text:?}");
    }

    #[test]
    fn a_slip_reads_as_it_was_written() {
        insta::assert_snapshot!("narrow_paper", text(&slip(), &word(), Some(32)).join("\n"));
        let bench = Word::Bench("a note\n\nof the bench\n".to_owned());
        insta::assert_snapshot!("out_of_reach", text(&slip(), &bench, Some(80)).join("\n"));
    }

    #[test]
    fn a_page_escapes_and_has_a_code_and_the_cautions() {
        let page = page(&slip(), &word());
        assert!(page.contains("Alder &lt;Creek&gt;") && page.contains("<svg"), "{page}");
        assert!(page.contains("carry disease") && !page.contains("<?xml"), "{page}");
        assert_eq!(page.matches("<html").count(), 1);
    }
}
