//! The page of a packet: one file, nothing loaded from elsewhere, made from the records alone.

use burrline_domain::{Verb, fold::TrailItem};
use burrline_evidence::checkpoint::Checkpoint;
use burrline_present::{
    evidence::{Finding, counted::count, findings},
    view::{self, Zone},
};
use burrline_proto::v1;
use maud::{Markup, html};

use super::{drawing, made_by, pictures::Pictures, story::Story, verify::NOT_KNOWN};
use crate::{document::document, visible::visible};

const STYLE: &str = "
@page{margin:14mm}
body{font:16px/1.5 Georgia,serif;color:#222;max-width:62rem;margin:2rem auto;padding:0 1rem}
h1{font-size:1.6rem;margin-bottom:0}h2{font-size:1.2rem;margin-top:2rem;border-bottom:1px solid #999;break-after:avoid}
dt{font-weight:bold;margin-top:.8rem;break-after:avoid}dd{margin:0 0 0 1.2rem}dl>div{break-inside:avoid}
.look{border-left:4px solid #b5532a;padding-left:.8rem}
table{border-collapse:collapse;width:100%;font-size:.9rem;table-layout:fixed}
td,th{border-top:1px solid #ccc;padding:.25rem .5rem;text-align:left;vertical-align:top;overflow-wrap:anywhere}
thead{display:table-header-group}.when{width:10.5rem}.who{width:8rem}.no{width:4.2rem}
.struck td.words{text-decoration:line-through}.below{color:#555;font-size:.85rem;text-decoration:none;display:block}
.wide{overflow-x:auto}svg{width:100%;min-width:44rem;font:12px sans-serif}
rect.dry{fill:#c9b58b}rect.wet{fill:#6d93ad}line{stroke:#999}line.day{stroke:#ddd}
circle{fill:#555}circle.harm{fill:#b5532a}
td img{max-width:240px;max-height:240px;margin:.3rem 0;display:block}
code{font-size:.8rem;word-break:break-all}
@media (max-width:40rem){thead{display:none}tr,td{display:block}tr{border-top:1px solid #999;padding:.3rem 0}
td{border:0;padding:.05rem 0}td.no::before{content:\"record \"}}
@media print{body{margin:0;max-width:none;font-size:11pt}tr{break-inside:avoid}.wide{overflow:visible}svg{min-width:0}
rect,circle{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
";

/// Makes the page. The same story, head and photos always make the same bytes.
pub fn page(story: &Story, head: &Checkpoint, pictures: &Pictures) -> String {
    let Some(job) = story.job() else { return String::new() };
    let line = view::skull_line(&story.state, job);
    let zone = Zone::of(&story.state);
    let title = format!("Job {} · {}", job.id.job_number(), line.species);
    let body = html! {
        h1 { (title) }
        p { b { (shop_name(story)) } ", tag " b { (line.tag) } (span(story, &zone)) "." }
        p.below {
            "All times are of the zone " (zone_name(story)) ". What is marked with a bar wants a person to look."
        }
        h2 { "What the records answer" }
        dl { @for finding in &findings(&story.state, job) { (answers(finding)) } }
        h2 { "Where it was" }
        (drawing::timeline(story, pictures))
        h2 { "What was said of it, in order of happening" }
        (trail(story, &zone, pictures))
        h2 { "How this can be checked" }
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

fn answers(finding: &Finding) -> Markup {
    html! {
        div class=[finding.alarm.then_some("look")] {
            dt { (finding.question) }
            @for answer in &finding.answers { dd { (answer) } }
        }
    }
}

fn trail(story: &Story, zone: &Zone, pictures: &Pictures) -> Markup {
    let items = story.state.trail(story.job);
    let line = |item: &TrailItem<'_>| {
        let figures = view::known_then(&story.state, item.fact.record.entry.name);
        let line = view::trail_line(&story.state, *item);
        row(&line, zone, &told(&line, item.verb), &photo(item.verb, pictures), figures)
    };
    html! {
        table {
            thead { tr { th.when { "When" } th.who { "Who" } th { "What" } th.no { "Record" } } }
            tbody { @for one in items.iter().map(line) { (one) } }
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
fn told(line: &v1::TrailLine, verb: &Verb) -> String {
    let Verb::Photograph(photo) = verb else { return line.told.clone() };
    let head = line.told.split_once(':').map_or(line.told.as_str(), |(head, _)| head);
    photo.words.as_ref().map_or_else(|| head.to_owned(), |words| format!("{head}: {words}"))
}

fn row(
    line: &v1::TrailLine,
    zone: &Zone,
    told: &str,
    photo: &Markup,
    figures: Vec<String>,
) -> Markup {
    use burrline_proto::Wire as _;
    use burrline_terms::{Happened, Moment};
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
        tr class=[line.struck.then_some("struck")] {
            td { (when) (below(doubt))
                @if late.is_some() { (below(format!("reached the shop {}", zone.time(arrived, None)))) }
            }
            td { (line.bench) @if !line.hand.is_empty() { " / " (line.hand) } }
            td.words {
                (told) (photo)
                @if line.struck { (below(format!("crossed out by {}", line.corrected))) }
                @if line.not_seen { (below("said on being asked, not seen".to_owned())) }
                @if !line.formerly.is_empty() { (below(format!("first recorded as: {}; amended by {}", line.formerly, line.corrected))) }
                @if !line.refused.is_empty() { (below(format!("refused: {}", line.refused))) }
                @for remark in &line.remarks { (below(format!("rule {}: {}", remark.rule, remark.words))) }
                @if !line.anyway.is_empty() { (below(format!("done anyway: {}", line.anyway))) }
                @for figure in figures { (below(figure)) }
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
            "printed: if it says more, some were left out."
        }
        p { "What no check can tell: " (NOT_KNOWN) "." }
        p { "Log " code { (head.origin) } ", " (head.size) " records, root " code { (head.root) } }
        p.made { "Made by Burrline " (made_by::VERSION) "." }
    }
}
