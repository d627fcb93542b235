//! A paper as a page that loads nothing, laid out for a roll or a sheet.
//!
//! `@page` gives the printer its size, so a browser prints it as it is, and makes a PDF of it.

use burrline_present::handout::{Handout, Row};
use maud::{Markup, PreEscaped, html};
use qrcode::render::svg;

use super::{Paper, Printed, beside_code, cautions, code, text};
use crate::{document::document, slip::Word};

const STYLE: &str = "
*{box-sizing:border-box}@media screen{body{padding:4mm 0}}body{font-family:sans-serif;line-height:1.35;margin:0 auto;color:#000}
h1{margin:0;line-height:1.15}.shop{text-align:center;margin-bottom:.6em}.shop p{margin:0}
.logo{display:block;margin:0 auto .3em;max-width:60%}
.line{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 .8em}.line b+b,.line span+span{white-space:nowrap}
h2{font-size:1em;margin:.7em 0 0;display:flex;justify-content:space-between;gap:.8em}
h2 span{font-weight:normal;white-space:nowrap}
table{width:100%;border-collapse:collapse}td{padding:.06em 0;vertical-align:bottom}
td+td{text-align:right;white-space:nowrap;padding-left:.8em;font-variant-numeric:tabular-nums}
tr.sum td{font-weight:bold;border-top:1px solid #000}
.money{border-top:2px solid #000;margin-top:.7em;padding-top:.3em}.money tr.sum:first-child td{border-top:0}
ul{margin:0;padding:0;list-style:none}.next{font-weight:bold;margin:.5em 0}.small p,p.small{margin:.6em 0}.small{font-size:.82em}
.sign{border-top:1px solid #000;margin-top:2.6em;padding-top:.15em;font-size:.82em}
.code{text-align:center;break-inside:avoid}.code svg{display:block;margin:.3em auto}
pre{white-space:pre-wrap;word-break:break-all;font-size:.7em}
section,tr{break-inside:avoid}
";

/// On a sheet the code stands beside what is small, so that a visit fits on one page.
const SHEET: &str = "
.foot{display:flex;gap:8mm;align-items:flex-start;margin-top:.4em}.foot>div:first-child{flex:1}
.code{width:54mm;font-size:.9em}
";

/// The size of the paper, and of what is on it. A roll has no pages, so its one page is made as long as
/// what is printed on it.
fn size(paper: Paper, handout: &Handout, word: &Word, evidence: bool) -> String {
    let (width, margin, body, points, columns) = match paper {
        Paper::Roll58 => (58, 5, 48, 9, 26),
        Paper::Roll80 => (80, 4, 72, 11, 32),
        Paper::Letter => return sheet("letter", handout),
        Paper::A4 => return sheet("A4", handout),
    };
    // A line of small type is narrower than one of the text that is counted here, and the code comes to it.
    let lines = text::face(handout, word, columns, evidence).len();
    let mm = lines.saturating_mul(points).div_ceil(2).saturating_add(body).saturating_add(28);
    format!(
        "@page{{size:{width}mm {mm}mm;margin:3mm {margin}mm}}body{{width:{body}mm;font-size:{points}pt}}\
         h1{{font-size:1.3em}}"
    )
}

/// A sheet says at its foot whose paper it is, and which page of how many.
fn sheet(name: &str, handout: &Handout) -> String {
    let whose = [handout.shop.as_str(), handout.kind.title(), &handout.customer, &handout.day];
    let whose: Vec<&str> = whose.into_iter().filter(|part| !part.is_empty()).collect();
    let whose = quoted(&whose.join(", "));
    format!(
        "@page{{size:{name};margin:14mm 18mm 16mm;@bottom-left{{content:'{whose}';font:9px sans-serif}}\
         @bottom-right{{content:'page ' counter(page) ' of ' counter(pages);font:9px sans-serif}}}}\
         body{{max-width:174mm;font-size:10pt}}h1{{font-size:18pt}}{SHEET}"
    )
}

/// Words as they may stand in a string of the style: whatever could end it, or the style, is written by
/// its number (CSS Syntax Module Level 3, section 4.3.7).
fn quoted(words: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | ',' | '.' | '-');
    words
        .chars()
        .map(|c| if plain(c) { c.to_string() } else { format!("\\{:x} ", u32::from(c)) })
        .collect()
}

/// A paper as a page; `logo` is a picture as a `data:` address.
pub fn page(
    handout: &Handout,
    word: &Word,
    paper: Paper,
    logo: Option<&str>,
    evidence: bool,
) -> String {
    let title = format!("{} {}", handout.shop, handout.kind.title());
    let style = format!("{STYLE}{}", size(paper, handout, word, evidence));
    let body = html! {
        div.shop {
            @if let Some(logo) = logo { img.logo src=(logo) alt=""; }
            h1 { (handout.shop) }
            @for line in &handout.about { p { (line) } }
        }
        div.line { b { (handout.kind.title()) } b { (handout.day) } }
        div.line {
            span { @if !handout.customer.is_empty() { "for " (handout.customer) } }
            span { @if let Some(visit) = handout.visit { "visit " (visit) } }
        }
        @for head in &handout.heads {
            section {
                h2 { (head.title) span { "job " (head.number) } }
                ul { @for line in &head.lines { li { (line) } } }
                (table(&head.rows))
            }
        }
        section.money { (table(&handout.money)) }
        @for line in &handout.next { p.next { (line) } }
        div.foot {
            div {
                @if !handout.terms.is_empty() {
                    section.small { @for line in &handout.terms { p { (line) } } }
                }
                @for caution in cautions(handout.kind) { p.small { (caution) } }
                @if handout.signature { div.sign { "signed" } }
            }
            div.code { (drawing(word, paper)) }
        }
        @if evidence {
            p.small { (word.heading()) }
            pre { (word.text()) }
        }
    };
    document(&title, &style, body)
}

fn table(rows: &[Row]) -> Markup {
    html! {
        table {
            @for row in rows {
                // A number and its sign are never broken.
                @let what = row.what.replace(" %", "\u{a0}%");
                @if row.amount.is_empty() {
                    tr { td colspan="2" { (what) } }
                } @else {
                    tr.sum[row.sum] { td { (what) } td { (row.amount) } }
                }
            }
        }
    }
}

/// The code as wide as the paper has room for; where it would be too fine, that there is none.
fn drawing(word: &Word, paper: Paper) -> Markup {
    let Some(printed) = code(word, paper) else {
        return html! { p.small { (beside_code(word)) } };
    };
    html! {
        p.small { (beside_code(word)) }
        (PreEscaped(svg_of(&printed)))
    }
}

pub(super) fn svg_of(printed: &Printed) -> String {
    let Printed { code, mm } = printed;
    let svg = code.render::<svg::Color<'_>>().module_dimensions(1, 1).build();
    // The drawing brings the first line of a file of its own, which has no place within a page, and
    // sizes in modules where the paper wants millimeters.
    let from = svg.find("<svg").unwrap_or_default();
    let drawing = svg.get(from..).unwrap_or_default();
    let head = drawing.find("viewBox").unwrap_or_default();
    let rest = drawing.get(head..).unwrap_or_default();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{mm}mm\" height=\"{mm}mm\" role=\"img\" \
         aria-label=\"code\" {rest}"
    )
}

#[cfg(test)]
mod tests {
    use burrline_present::handout::Kind;

    use super::{super::tests, *};

    #[test]
    fn a_page_escapes_loads_nothing_and_has_no_key_on_its_face() {
        let handout = tests::handout(Kind::Receipt);
        let page = page(
            &handout,
            &tests::word(),
            Paper::Roll58,
            Some("data:image/png;base64,AA=="),
            false,
        );
        assert!(page.contains("Alder &lt;Creek&gt;") && page.contains("<svg"));
        assert!(page.contains("size:58mm ") && page.contains("mm\" height="));
        assert!(!page.contains("burrline.v1") && !page.contains("<?xml"));
        assert_eq!(page.matches("<html").count(), 1);
        let others = page.replace("http://www.w3.org/2000/svg", "");
        assert!(!others.contains("http"));
        let evidence = super::page(&handout, &tests::word(), Paper::A4, None, true);
        assert!(evidence.contains("burrline.v1/shop/") && evidence.contains("size:A4"));
        assert!(evidence.contains("content:'Alder \\3c Creek\\3e  Skulls, Receipt, Ada Fenn"));
    }
}
