//! The page of a packet: one file, nothing loaded from elsewhere, made from the records alone.

use burrline_domain::Verb;
use burrline_evidence::checkpoint::Checkpoint;
use burrline_present::{
    evidence::{Finding, counted::count, findings},
    view::{self, Zone},
};
use burrline_proto::v1;
use maud::{Markup, html};

use super::{
    drawing, made_by,
    pictures::Pictures,
    rows::{Kind, Row, Rows},
    story::Story,
    verify::not_known,
};
use crate::{document::document, visible::visible};

const STYLE: &str = "
@page{margin:14mm}
body{font:16px/1.5 Georgia,serif;color:#222;max-width:62rem;margin:2rem auto;padding:0 1rem}
h1{font-size:1.6rem;margin-bottom:0}h2{font-size:1.2rem;margin-top:2rem;border-bottom:1px solid #999;break-after:avoid}
dt{font-weight:bold;margin-top:.8rem;break-after:avoid}dd{margin:0 0 0 1.2rem}dl>div{break-inside:avoid}
.look{border-left:4px solid #b5532a;padding-left:.8rem}
a{color:#2f5d76}ul.asked{columns:2 18rem;padding:0;list-style:none;margin:1rem 0}
ul.asked li{break-inside:avoid;padding:.15rem 0 .15rem .8rem;border-left:4px solid transparent}ul.asked li.look{border-left-color:#b5532a}
tr:target td{background:#fff3c4}
table{border-collapse:collapse;width:100%;font-size:.9rem;table-layout:fixed}
td,th{border-top:1px solid #ccc;padding:.25rem .5rem;text-align:left;vertical-align:top;overflow-wrap:anywhere}
thead{display:table-header-group}.when{width:10.5rem}.who{width:8rem}.no{width:4.2rem}
.struck .said{text-decoration:line-through}.below{color:#555;font-size:.85rem;text-decoration:none;display:block}
.wide{overflow-x:auto}svg{width:100%;min-width:44rem;font:12px sans-serif}
rect.dry{fill:#c9b58b}rect.wet{fill:#6d93ad}line{stroke:#999}line.day{stroke:#ddd}
circle{fill:#555}circle.harm{fill:#b5532a}
td img{max-width:240px;max-height:240px;margin:.3rem 0;display:block}
code{font-size:.8rem;word-break:break-all}
@media (max-width:40rem){thead{display:none}tr,td{display:block}tr{border-top:1px solid #999;padding:.3rem 0}
td{border:0;padding:.05rem 0}td.no{width:auto;font-size:.8rem;color:#555}td.no::before{content:\"record \"}}
@media print{body{margin:0;max-width:none;font-size:11pt}tr{break-inside:avoid}.wide{overflow:visible}svg{min-width:0}
rect,circle{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
";

/// Makes the page. The same story, head and photos always make the same bytes.
pub fn page(story: &Story, head: &Checkpoint, pictures: &Pictures) -> String {
    let Some(job) = story.job() else { return String::new() };
    let line = view::skull_line(&story.state, job);
    let zone = Zone::of(&story.state);
    let title = format!("Job {} · {}", job.id.job_number(), line.species);
    let rows = Rows::of(story, job);
    let found = findings(&story.state, job);
    let body = html! {
        h1 { (title) }
        p { b { (shop_name(story)) } ", tag " b { (line.tag) } (span(story, &zone)) "." }
        p.below {
            "All times are of the zone " (zone_name(story)) ". What is marked with a bar wants a person to look. "
            "A number in brackets is a record: it leads to the line as it was said."
        }
        h2 { "What the records answer" }
        ul.asked { @for (i, finding) in found.iter().enumerate() {
            li class=[finding.alarm.then_some("look")] { a href=(format!("#q{i}")) { (finding.question) } }
        } }
        dl {
            @for (i, finding) in found.iter().enumerate() { (answers(i, finding, &rows)) }
            (what_proves_it(story, head))
        }
        h2 { "Where it was" }
        (drawing::timeline(story, pictures))
        h2 { "What was said of it, in order of happening" }
        (trail(story, &rows, &zone, pictures))
        h2 #proof { "How this can be checked" }
        (proof(story, head))
    };
    visible(&document(&title, STYLE, body)).into_owned()
}

fn zone_name(story: &Story) -> String {
    story.state.settings().zone().unwrap_or("UTC").to_owned()
}

fn shop_name(story: &Story) -> String {
    story.state.settings().shop_name().unwrap_or("The shop").to_owned()
}

/// From which day to which the story goes, with their years.
fn span(story: &Story, zone: &Zone) -> String {
    let trail = story.state.trail(story.job);
    let moments = trail.iter().map(|item| item.fact.key.at);
    let first = moments.clone().min().and_then(|at| zone.day(at));
    let last = moments.max().and_then(|at| zone.day(at));
    match (first, last) {
        (Some(first), Some(last)) if first == last => format!(", {first}"),
        (Some(first), Some(last)) => format!(", from {first} to {last}"),
        (None, _) | (_, None) => String::new(),
    }
}

fn answers(i: usize, finding: &Finding, rows: &Rows<'_>) -> Markup {
    html! {
        div id=(format!("q{i}")) class=[finding.alarm.then_some("look")] {
            dt { (finding.question) }
            @for answer in &finding.answers { dd { (linked(answer, rows)) } }
        }
    }
}

/// Words with each record's number as a link to its line.
fn linked(words: &str, rows: &Rows<'_>) -> Markup {
    let mut rest = words;
    let mut parts: Vec<Markup> = Vec::new();
    while let Some((before, behind)) = rest.split_once('[') {
        let number = behind.split_once(']');
        let is_row = number.and_then(|(n, _)| n.parse().ok()).is_some_and(|n| rows.has(n));
        if let Some((n, after)) = number.filter(|_| is_row) {
            parts.push(html! { (before) a href=(format!("#r{n}")) { "[" (n) "]" } });
            rest = after;
        } else {
            parts.push(html! { (before) "[" });
            rest = behind;
        }
    }
    html! { @for part in parts { (part) } (rest) }
}

fn what_proves_it(story: &Story, head: &Checkpoint) -> Markup {
    html! {
        div {
            dt { "What proves it?" }
            dd {
                "each of the " (story.records.len()) " records in this folder is signed by the bench that said it, "
                "and has a proof that it is on the shop's log of " (head.size) " records; "
                a href="#proof" { "how to check that" }
            }
            dd { "not proved by that: " (not_known(Some(story))) }
        }
    }
}

fn trail(story: &Story, rows: &Rows<'_>, zone: &Zone, pictures: &Pictures) -> Markup {
    let line = |one: &Row<'_>| {
        let item = &one.item;
        let figures = view::known_then(&story.state, item.fact.record.entry.name);
        let line = view::trail_line(&story.state, *item);
        // The words that were said first stay where they were said.
        let verb = if item.amended_by.is_some() { &item.fact.record.entry.verb } else { item.verb };
        row(&Drawn { line, one, verb, figures }, zone, &photo(item.verb, pictures))
    };
    html! {
        table {
            thead { tr { th.when { "When" } th.who { "Who" } th { "What" } th.no { "Record" } } }
            tbody { @for one in rows.0.iter().map(line) { (one) } }
        }
    }
}

/// The photo that a line names, at its moment.
fn photo(verb: &Verb, pictures: &Pictures) -> Markup {
    let Verb::Photograph(photo) = verb else { return html! {} };
    let below = |words: &str| html! { span.below { (words) } };
    let shown = match photo.stripped.map(|digest| pictures.get(&digest)) {
        Some(Some(picture)) => html! {
            a href=(picture) { img src=(picture) alt="the photo"; }
        },
        Some(None) => below("the photo is not in this folder"),
        None => below("there is no copy of the photo that could be shown"),
    };
    html! {
        (shown)
        (below(&format!("as taken, kept by the shop: SHA-256 {}", photo.original)))
        @if let Some(copy) = photo.stripped { (below(&format!("the copy in this folder: SHA-256 {copy}"))) }
    }
}

/// What a line says; of a photo what it shows, for its digests stand below it.
fn told(told: &str, verb: &Verb) -> String {
    let Verb::Photograph(photo) = verb else { return told.to_owned() };
    let head = told.split_once(':').map_or(told, |(head, _)| head);
    photo.words.as_ref().map_or_else(|| head.to_owned(), |words| format!("{head}: {words}"))
}

/// A row as it is drawn.
struct Drawn<'a> {
    line: v1::TrailLine,
    one: &'a Row<'a>,
    verb: &'a Verb,
    figures: Vec<String>,
}

fn row(drawn: &Drawn<'_>, zone: &Zone, photo: &Markup) -> Markup {
    use burrline_proto::Wire as _;
    use burrline_terms::{Happened, Moment};
    let Drawn { line, one, verb, figures } = drawn;
    let first = if line.formerly.is_empty() { &line.told } else { &line.formerly };
    let told = told(first, verb);
    let happened = line.happened.as_ref().and_then(|item| Happened::from_item(item).ok());
    let when = happened.map(|h| zone.time(h.at, None)).unwrap_or_default();
    let doubt = happened.map(|h| zone.doubt(h)).unwrap_or_default();
    // A said time stands above already.
    let doubt =
        doubt.strip_prefix(&when).map_or_else(|| doubt.clone(), |rest| rest.trim().to_owned());
    let arrived = Moment(line.shop_time_ms);
    // A line that came more than ten minutes after it was done was kept at a bench meanwhile.
    let late = happened.filter(|h| arrived.since(h.typed) > 600_000);
    let below = |words: String| html! { @if !words.is_empty() { span.below { (words) } } };
    html! {
        tr id=(format!("r{}", line.position)) class=[line.struck.then_some("struck")] {
            td { (when) (below(doubt))
                @if late.is_some() { (below(format!("reached the shop {}", zone.time(arrived, None)))) }
            }
            td { (line.bench) @if !line.hand.is_empty() { " / " (line.hand) } }
            td.words {
                span.said { (told) } (photo)
                @if line.struck { (below(format!("crossed out by {}", line.corrected))) }
                @if line.not_seen { (below("said on being asked, not seen".to_owned())) }
                @if !line.formerly.is_empty() { (below(format!("amended by {}: since then {}", line.corrected, line.told))) }
                @match one.kind {
                    Kind::OfTheJob => {}
                    Kind::Later => (below("said later of another line; it stands where it was typed".to_owned())),
                    Kind::Beside => (below("said of it, and not on this job".to_owned())),
                }
                @if !line.refused.is_empty() { (below(format!("refused: {}", line.refused))) }
                @for remark in &line.remarks { (below(format!("rule {}: {}", remark.rule, remark.words))) }
                @if !line.anyway.is_empty() { (below(format!("done anyway: {}", line.anyway))) }
                @for figure in figures { (below(figure.clone())) }
            }
            td.no { (line.position) }
        }
    }
}

fn proof(story: &Story, head: &Checkpoint) -> Markup {
    html! {
        p {
            "This page is made from the " (story.records.len()) " records in the folder that it came "
            "in. Each has a proof that it is on the shop's log; README.txt says how to check them, "
            "what that proves and what it does not."
        }
        p {
            (count(story.records.iter().map(|(record, _)| record), story.job))
            " of them are lines of this job. A paper of the shop says how many there were when it was "
            "printed: if it says more, some were left out. The shop also numbers the records of a job as "
            "they arrive, so that none is missing in the middle unseen."
        }
        p { "What no check can tell: " (not_known(Some(story))) "." }
        p { "Log " code { (head.origin) } ", " (head.size) " records, root " code { (head.root) } }
        p.made { "Made by Burrline " (made_by::VERSION) "." }
    }
}
