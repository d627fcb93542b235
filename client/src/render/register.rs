//! The register as text, as a table for spreadsheets, and as a page that prints well.

use burrline_proto::v1;
use burrline_terms::counted;
use maud::{Markup, html};
use serde_json::json;

use super::{Look, Page, Table, document::document};
use crate::Error;

/// A column: its heading, its name among the blanks, and what stands in it.
type Column = (&'static str, &'static str, fn(&v1::RegisterLine) -> &String);

const COLUMNS: [Column; 14] = [
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
    ("OUT", "out_day", |l| &l.out_day),
    ("HOW", "how", |l| &l.how),
    ("TO WHOM", "to_whom", |l| &l.to_whom),
];

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

/// The register as a table of text.
pub fn text(answer: &v1::RegisterResponse, look: &Look) -> Page {
    let mut table = Table::new(&COLUMNS.map(|(head, _, _)| head));
    for line in &answer.lines {
        table.row(COLUMNS.map(|column| cell(line, &column, BLANK)));
    }
    let mut page =
        Page { text: table.lines(look), json: answer.lines.iter().map(object).collect() };
    if page.text.is_empty() {
        page.text.push("no head came in on these days".to_owned());
    }
    page.text.push(String::new());
    page.text.extend(answer.cautions.iter().cloned());
    page
}

fn object(line: &v1::RegisterLine) -> serde_json::Value {
    json!({
        "number": line.number, "tag": line.tag, "in": line.in_day, "hunter": line.hunter,
        "address": line.address, "phone": line.phone, "species": line.species, "sex": line.sex,
        "licence": line.licence, "papers": line.papers, "county": line.county,
        "killed": line.killed, "out": line.out_day, "how": line.how, "to_whom": line.to_whom,
        "blanks": line.blanks, "sealed": line.sealed, "say": line.say,
    })
}

/// What is missing, job by job, with the line to type.
pub fn gaps(answer: &v1::RegisterResponse) -> Page {
    let mut page = Page::default();
    let with_gaps = answer.lines.iter().filter(|line| !line.blanks.is_empty());
    // What is still here can be asked for; what has left comes after it.
    let (here, left): (Vec<_>, Vec<_>) = with_gaps.partition(|line| line.out_day.is_empty());
    let count = here.len().saturating_add(left.len());
    for line in here.into_iter().chain(left) {
        let gone = if line.out_day.is_empty() {
            String::new()
        } else {
            format!(", left {}", line.out_day)
        };
        let species = if line.species.is_empty() { "" } else { &line.species };
        let head = format!("{} {species}", line.tag);
        let columns = line.blanks.iter().map(|blank| heading(blank)).collect::<Vec<_>>();
        page.text.push(format!(
            "{} (came {}{gone}): {}",
            head.trim(),
            line.in_day,
            columns.join(", ")
        ));
        page.text.extend(line.say.iter().map(|say| format!("  burrline {say}")));
        page.json.push(object(line));
    }
    let all = answer.lines.len();
    page.text.push(match count {
        0 => format!("no blanks in the register of {}", counted(all, "head")),
        1 => format!("1 of {} has blanks", counted(all, "head")),
        count => format!("{count} of {} have blanks", counted(all, "head")),
    });
    page
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
    let columns = COLUMNS.map(|(head, _, _)| head.to_lowercase());
    let rows =
        answer.lines.iter().map(|line| COLUMNS.map(|column| cell(line, &column, "")).to_vec());
    super::csv::csv(columns, rows)
}

const STYLE: &str = "
@page{size:landscape;margin:12mm}
body{font:13px/1.35 'Helvetica Neue',Arial,sans-serif;color:#1c1c1c;margin:1.2rem}
h1{font-size:1.3rem;margin:0}p{margin:.2rem 0}
table{border-collapse:collapse;width:100%;margin:.8rem 0;font-size:11px}
thead{display:table-header-group}tr{break-inside:avoid}
th{text-align:left;border-bottom:2px solid #1c1c1c;padding:.2rem .3rem;font-size:10px;text-transform:lowercase}
td{border-bottom:1px solid #bbb;padding:.3rem;vertical-align:top}
td.blank{background:#f7e3c8;min-width:3.2rem;outline:1px solid #b5532a;outline-offset:-2px}
td.sealed{color:#777;font-style:italic}td.day{white-space:nowrap}
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
                @for line in &answer.lines { tr { @for column in &COLUMNS { (td(line, column)) } } }
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
    } else if name.ends_with("_day") || *name == "killed" {
        Some("day")
    } else {
        None
    };
    html! { td class=[class] { (cell(line, column, "")) } }
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
        v1::RegisterResponse { shop: "Alder <Creek>".into(), lines: vec![line], cautions: vec![] }
    }

    #[test]
    fn no_cell_of_the_table_is_a_formula() {
        let text = csv(&answer()).unwrap();
        let mut rows = csv::ReaderBuilder::new().from_reader(text.as_bytes());
        let row = rows.records().next().unwrap().unwrap();
        assert_eq!(&row[2], "'=HYPERLINK(\"http://x\",\"Ada\")");
        assert_eq!((&row[3], &row[4], &row[7]), ("3 Mill Lane, \"Alder\"", "'+1 555-0142", ""));
        assert_eq!(&row[13], "(sealed)");
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
            gaps(&answer()).text,
            [
                "0417 elk (came 2025-11-08): licence, sex",
                "  burrline papers 0417 --licence NUMBER",
                "1 of 1 head has blanks"
            ]
        );
    }
}
