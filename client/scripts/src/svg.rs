//! Old against new, drawn as bars in an SVG file (SVG 1.1, W3C).

use std::fmt::Write as _;

use rust_decimal::{Decimal, prelude::ToPrimitive as _};

/// One pair of bars.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Pair {
    pub(crate) label: String,
    pub(crate) old: Decimal,
    pub(crate) new: Decimal,
}

const WIDTH: u32 = 900;
const LEFT: u32 = 150;
const BAR: u32 = 14;
const ROW: u32 = 42;
const HEAD: u32 = 70;

/// Draws charts one under the other, each with a title.
pub(crate) fn drawn(title: &str, charts: &[(&str, Vec<Pair>)]) -> String {
    let rows: u32 = charts.iter().map(|(_, pairs)| HEAD.saturating_add(rows_of(pairs))).sum();
    let height = rows.saturating_add(70);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH}\" height=\"{height}\" \
         viewBox=\"0 0 {WIDTH} {height}\" font-family=\"sans-serif\" font-size=\"13\">\n\
         <title>{0}</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n\
         <text x=\"16\" y=\"28\" font-size=\"18\">{0}</text>\n\
         <rect x=\"16\" y=\"40\" width=\"12\" height=\"12\" fill=\"#8a8f98\"/>\
         <text x=\"34\" y=\"51\">heard</text>\n\
         <rect x=\"96\" y=\"40\" width=\"12\" height=\"12\" fill=\"#1f6f8b\"/>\
         <text x=\"114\" y=\"51\">by the new script</text>\n",
        escaped(title)
    );
    let mut top = 60_u32;
    for (name, pairs) in charts {
        chart(&mut svg, name, pairs, top);
        top = top.saturating_add(HEAD).saturating_add(rows_of(pairs));
    }
    svg.push_str("</svg>\n");
    svg
}

fn rows_of(pairs: &[Pair]) -> u32 {
    u32::try_from(pairs.len()).unwrap_or(u32::MAX).saturating_mul(ROW)
}

fn chart(svg: &mut String, name: &str, pairs: &[Pair], top: u32) {
    let most = pairs.iter().map(|pair| pair.old.max(pair.new)).max().unwrap_or_default();
    let y = top.saturating_add(36);
    let _ = writeln!(svg, "<text x=\"16\" y=\"{y}\" font-size=\"15\">{}</text>", escaped(name));
    for (at, pair) in (0_u32..).zip(pairs) {
        let y = top.saturating_add(50).saturating_add(at.saturating_mul(ROW));
        let middle = y.saturating_add(BAR).saturating_add(4);
        let label = escaped(&pair.label);
        let _ = writeln!(
            svg,
            "<text x=\"{}\" y=\"{middle}\" text-anchor=\"end\">{label}</text>",
            LEFT.saturating_sub(10)
        );
        bar(svg, y, pair.old, most, "#8a8f98");
        bar(svg, y.saturating_add(BAR).saturating_add(2), pair.new, most, "#1f6f8b");
    }
}

fn bar(svg: &mut String, y: u32, amount: Decimal, most: Decimal, fill: &str) {
    let room = Decimal::from(WIDTH.saturating_sub(LEFT).saturating_sub(130));
    let width = amount.saturating_mul(room).checked_div(most).unwrap_or_default();
    let width = width.round().to_u32().unwrap_or(0);
    let (text_x, text_y) =
        (LEFT.saturating_add(width).saturating_add(6), y.saturating_add(BAR).saturating_sub(3));
    let _ = writeln!(
        svg,
        "<rect x=\"{LEFT}\" y=\"{y}\" width=\"{width}\" height=\"{BAR}\" fill=\"{fill}\"/>\
         <text x=\"{text_x}\" y=\"{text_y}\" font-size=\"11\">{amount}</text>"
    );
}

fn escaped(text: &str) -> String {
    text.chars().fold(String::with_capacity(text.len()), |mut out, c| {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_as_long_as_their_amounts_and_labels_are_escaped() {
        let pair = |label: &str, old: i64, new: i64| Pair {
            label: label.to_owned(),
            old: Decimal::from(old),
            new: Decimal::from(new),
        };
        let svg =
            drawn("a < b", &[("by month", vec![pair("2026-11", 100, 50), pair("R&D", 25, 0)])]);
        assert!(svg.contains("<title>a &lt; b</title>") && svg.contains("R&amp;D"), "{svg}");
        let widths: Vec<&str> = svg
            .split("height=\"14\"")
            .filter_map(|part| part.rsplit_once("width=\"").map(|(_, width)| width))
            .filter_map(|width| width.split('"').next())
            .take(4)
            .collect();
        assert_eq!(widths, ["620", "310", "155", "0"]);
        assert!(svg.trim_end().ends_with("</svg>"));
    }
}
