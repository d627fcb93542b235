//! The register as text, as a table for spreadsheets, and as a page that prints well.

use burrline_paper::{Error, document::document};
use burrline_proto::v1;
use burrline_terms::counted;
use maud::{Markup, html};

use super::{Look, Table, Told};

/// A column: its heading, its name among the blanks, and what stands in it.
type Column = (&'static str, &'static str, fn(&v1::RegisterLine) -> &String);

const COLUMNS: [Column; 15] = [
    ("IN", "in_day", |l| &l.in_day),
    ("TAG", "tag", |l| &l.tag),
    ("HUNTER", "hunter", |l| &l.hunter),
    ("ADDRESS", "address", |l| &l.address),
    ("PHONE", "phone", |l| &l.phone),
    ("SPECIES", "species", |l| &l.species),
    ("SEX", "sex", |l| &l.sex),
    ("LICENCE", "licence", |l| &l.licence),
    ("KILL TAG", "papers", |l| &l.papers),
    ("COUNTY", "county", |l| &l.county),
    ("KILLED", "killed", |l| &l.killed),
    ("PLACE", "place", |l| &l.place),
    ("OUT", "out_day", |l| &l.out_day),
    ("HOW", "how", |l| &l.how),
    ("TO WHOM", "to_whom", |l| &l.to_whom),
];

/// The column of what came after a first leaving: a head that came back keeps that.
const LATER: &str = "LATER";

/// What stands where something is missing.
const BLANK: &str = "____";

/// What stands where something is there and sealed to this bench.
const SEALED: &str = "(sealed)";

/// What stands in a column of a line.
fn cell(line: &v1::RegisterLine, column: &Column, blank: &str) -> String {
    let (_, name, of) = column;
    let is = |columns: &[String]| columns.iter().any(|column| column == name);
    match of(line).as_str() {
        "" if is(&line.sealed) => SEALED.to_owned(),
        "" if is(&line.blanks) => blank.to_owned(),
        text => text.to_owned(),
    }
}

impl Told for v1::RegisterResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "register",
        "register gaps",
        "register --from 2026-09-01 --to 2027-06-30 --out register.html",
        "register --out register.csv",
    ];

    fn more() -> String {
        "With hunter, address, species, sex, licence and tag, county, day of the kill, and to whom it went. \
         Blanks are shown, no money is. `gaps` lists what is missing first, job by job, with the line to \
         type.\n\nNames are shown to a counter and to the owner while the shop is in reach; from a bench's \
         own copy they read \u{201c}(sealed)\u{201d}. Which columns a state asks for differs: ask your \
         agency."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        if self.gaps {
            return gaps(self);
        }
        let mut heads = COLUMNS.map(|(head, _, _)| head).to_vec();
        heads.push(LATER);
        let mut table = Table::new(&heads);
        for line in &self.lines {
            let mut cells = COLUMNS.map(|column| cell(line, &column, BLANK)).to_vec();
            cells.push(line.later.join("; "));
            table.cells(cells);
        }
        let mut text = table.lines(look);
        if text.is_empty() {
            text.push("no head came in on these days".to_owned());
        }
        text.push(String::new());
        text.extend(self.cautions.iter().cloned());
        text
    }
}

/// What is missing, job by job, with the line to type.
fn gaps(answer: &v1::RegisterResponse) -> Vec<String> {
    let mut text = Vec::new();
    for line in &answer.lines {
        let gone = match (line.out_day.as_str(), line.later.last()) {
            ("", _) => String::new(),
            (day, None) => format!(", left {day}"),
            (day, Some(last)) => format!(", left {day}, {last}"),
        };
        let head = format!("{} {}", line.tag, line.species);
        let columns = line.blanks.iter().map(|blank| heading(blank)).collect::<Vec<_>>();
        let missing = [columns, line.untold.clone()].concat().join(", ");
        text.push(format!("{} (came {}{gone}): {missing}", head.trim(), line.in_day));
        text.extend(line.say.iter().map(|say| format!("  burrline {say}")));
    }
    let all = counted(answer.heads, "head");
    let blank = answer.lines.iter().filter(|line| !line.blanks.is_empty());
    text.push(match blank.count() {
        0 => format!("no blanks in the register of {all}"),
        1 => format!("1 of {all} has blanks"),
        count => format!("{count} of {all} have blanks"),
    });
    text
}

fn heading(name: &str) -> String {
    let column = COLUMNS.iter().find(|(_, column, _)| *column == name);
    column.map_or(name, |(head, _, _)| head).to_lowercase()
}

/// The register as a table for spreadsheets (RFC 4180); blanks are empty cells.
///
/// # Errors
/// [`Error::Bug`] if a row cannot be written.
pub fn csv(answer: &v1::RegisterResponse) -> Result<String, Error> {
    let mut columns = COLUMNS.map(|(head, _, _)| head.to_lowercase()).to_vec();
    columns.push(LATER.to_lowercase());
    let rows = answer.lines.iter().map(|line| {
        let mut cells = COLUMNS.map(|column| cell(line, &column, "")).to_vec();
        cells.push(line.later.join("; "));
        cells
    });
    burrline_paper::csv::csv(columns, rows)
}

/// Columns whose numbers and days are never broken.
const WHOLE: &[&str] = &["in_day", "tag", "phone", "licence", "killed", "out_day", "place"];

/// Empty rows at the end.
const EMPTY: usize = 6;

const STYLE: &str = "
@page{size:landscape;margin:12mm 12mm 16mm;@bottom-right{content:'page ' counter(page) ' of ' counter(pages);
font:10px sans-serif}}
body{font:13px/1.35 'Helvetica Neue',Arial,sans-serif;color:#1c1c1c;margin:1.2rem}
h1{font-size:1.3rem;margin:0}p{margin:.2rem 0}
table{border-collapse:collapse;width:100%;margin:.8rem 0;font-size:11px}
thead{display:table-header-group}tr{break-inside:avoid}
th{text-align:left;border-bottom:2px solid #1c1c1c;padding:.2rem .3rem;font-size:10px;text-transform:lowercase}
td{border-bottom:1px solid #bbb;padding:.3rem;vertical-align:top}
td.blank{background:#f7e3c8;min-width:3.2rem;outline:1px solid #b5532a;outline-offset:-2px}
td.sealed{color:#777;font-style:italic}td.whole,td span.whole{white-space:nowrap}tr.empty td{height:1.7rem}
.below{font-size:11px;max-width:60rem}.sign{margin-top:2.2rem;font-size:11px}
.sign span{display:inline-block;border-top:1px solid #1c1c1c;width:16rem;margin-right:2rem;padding-top:.2rem}
@media print{body{margin:0}td.blank{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
";

/// The register as a page that loads nothing and prints well.
pub fn html(answer: &v1::RegisterResponse, how_old: Option<&str>, look: &Look) -> String {
    let title = format!("Register of {}", answer.shop);
    let made = look.stamp(look.now.0);
    let blanks = answer.lines.iter().filter(|line| !line.blanks.is_empty()).count();
    let body = html! {
        h1 { (title) }
        p { (counted(answer.lines.len(), "head")) ", in the order in which they came in; " (blanks)
            " with blanks. Made " (made) "." }
        @if let Some(how_old) = how_old { p { "Made " (how_old) "." } }
        table {
            thead { tr { @for (head, _, _) in COLUMNS { th { (head) } } } }
            tbody {
                @for line in &answer.lines {
                    tr { @for column in &COLUMNS { (td(line, column)) } }
                    @if !line.later.is_empty() {
                        tr { td {} td.later colspan=(COLUMNS.len().saturating_sub(1)) { (line.later.join("; ")) } }
                    }
                }
                // For a pen: what comes in before the page is printed again.
                @for _ in 0..EMPTY { tr.empty { @for _ in &COLUMNS { td {} } } }
            }
        }
        @for words in &answer.cautions { p.below { (words) } }
        p.sign { span { "looked at by, agency" } span { "day" } }
    };
    document(&title, STYLE, body)
}

fn td(line: &v1::RegisterLine, column: &Column) -> Markup {
    let (_, name, of) = column;
    let is = |columns: &[String]| of(line).is_empty() && columns.iter().any(|one| one == name);
    let class = if is(&line.sealed) {
        Some("sealed")
    } else if is(&line.blanks) {
        Some("blank")
    } else if WHOLE.contains(name) {
        Some("whole")
    } else {
        None
    };
    let text = cell(line, column, "");
    if *name == "papers" {
        // Several numbers are broken between them alone.
        return html! {
            td class=[class] {
                @for (n, number) in text.split(", ").enumerate() {
                    @if n > 0 { ", " }
                    span.whole { (number) }
                }
            }
        };
    }
    html! { td class=[class] { (text) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answer() -> v1::RegisterResponse {
        let line = v1::RegisterLine {
            tag: "0417".into(),
            in_day: "2025-11-08".into(),
            hunter: "=HYPERLINK(\"http://x\",\"Ada\")".into(),
            phone: "+1 555-0142".into(),
            address: "3 Mill Lane, \"Alder\"".into(),
            species: "elk".into(),
            blanks: vec!["licence".into(), "sex".into()],
            sealed: vec!["to_whom".into()],
            say: vec!["papers 0417 --licence NUMBER".into()],
            ..v1::RegisterLine::default()
        };
        v1::RegisterResponse {
            shop: "Alder <Creek>".into(),
            lines: vec![line],
            heads: 1,
            ..v1::RegisterResponse::default()
        }
    }

    #[test]
    fn no_cell_of_the_table_is_a_formula() {
        let text = csv(&answer()).unwrap();
        let mut rows = csv::ReaderBuilder::new().from_reader(text.as_bytes());
        let row = rows.records().next().unwrap().unwrap();
        assert_eq!(&row[2], "'=HYPERLINK(\"http://x\",\"Ada\")");
        assert_eq!((&row[3], &row[4], &row[7]), ("3 Mill Lane, \"Alder\"", "'+1 555-0142", ""));
        assert_eq!(&row[14], "(sealed)");
    }

    #[test]
    fn a_page_escapes_marks_blanks_and_loads_nothing() {
        let look = Look {
            zone: jiff::tz::TimeZone::UTC,
            now: burrline_terms::Moment(0),
            width: None,
            color: false,
        };
        let page = html(&answer(), None, &look);
        assert!(page.contains("Alder &lt;Creek&gt;"), "{page}");
        assert_eq!(page.matches("class=\"blank\"").count(), 2);
        assert_eq!(page.matches("class=\"sealed\"").count(), 1);
        assert!(!page.contains("src=") && !page.contains("href="), "{page}");
    }

    #[test]
    fn gaps_say_what_to_type() {
        assert_eq!(
            gaps(&answer()),
            [
                "0417 elk (came 2025-11-08): licence, sex",
                "  burrline papers 0417 --licence NUMBER",
                "1 of 1 head has blanks"
            ]
        );
    }
}
