//! The page of a packet: one file, nothing loaded from elsewhere, made from the records alone.

use burrline_domain::{Verb, fold::TrailItem};
use burrline_evidence::checkpoint::Checkpoint;
use burrline_present::{
    evidence::{Finding, findings},
    view::{self, Zone},
};
use burrline_proto::v1;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{drawing, pictures::Pictures, story::Story};
use crate::render::visible::visible;

const STYLE: &str = "
body{font:16px/1.5 Georgia,serif;color:#222;max-width:62rem;margin:2rem auto;padding:0 1rem}
h1{font-size:1.6rem;margin-bottom:0}h2{font-size:1.2rem;margin-top:2rem;border-bottom:1px solid #999}
dt{font-weight:bold;margin-top:.8rem}dd{margin:0 0 0 1.2rem}.look{border-left:4px solid #b5532a;padding-left:.8rem}
table{border-collapse:collapse;width:100%;font-size:.9rem}td,th{border-top:1px solid #ccc;padding:.25rem .5rem;text-align:left;vertical-align:top}
.struck td.words{text-decoration:line-through}.below{color:#555;font-size:.85rem;text-decoration:none;display:block}
svg{width:100%;font:12px sans-serif}rect.dry{fill:#c9b58b}rect.wet{fill:#6d93ad}line{stroke:#999}circle{fill:#b5532a}
td img{max-width:240px;max-height:240px;margin:.3rem 0;display:block}
code{font-size:.8rem;word-break:break-all}@media print{body{margin:0;max-width:none}tr{break-inside:avoid}}
";

/// Makes the page. The same story, head and photos always make the same bytes.
pub fn page(story: &Story, head: &Checkpoint, pictures: &Pictures) -> String {
    let Some(job) = story.job() else { return String::new() };
    let line = view::skull_line(&story.state, job);
    let zone = Zone::of(&story.state);
    let title = format!("Job {} · {}", job.id.job_number(), line.species);
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                h1 { (title) }
                p { "Tag " b { (line.tag) } ". All times are of the zone " (zone_name(story)) "." }
                h2 { "What the records answer" }
                dl { @for finding in &findings(&story.state, job) { (answers(finding)) } }
                h2 { "Where it was" }
                (drawing::timeline(story, pictures))
                h2 { "What was said of it, in order of happening" }
                (trail(story, &zone, pictures))
                h2 { "How this can be checked" }
                (proof(story, head))
            }
        }
    };
    visible(&markup.into_string()).into_owned()
}

fn zone_name(story: &Story) -> String {
    story.state.shop().setting("zone").unwrap_or("UTC").to_owned()
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
        (view::trail_line(&story.state, *item), photo(item.verb, pictures), figures)
    };
    html! {
        table {
            thead { tr { th { "When" } th { "Who" } th { "What" } th { "Record" } } }
            tbody { @for (line, photo, figures) in items.iter().map(line) { (row(&line, zone, &photo, figures)) } }
        }
    }
}

/// The photo that a line names, at its moment.
fn photo(verb: &Verb, pictures: &Pictures) -> Markup {
    let Verb::Photograph(photo) = verb else { return html! {} };
    let below = |words: &str| html! { span.below { (words) } };
    match photo.stripped.map(|digest| pictures.get(&digest)) {
        Some(Some(picture)) => html! {
            a href=(picture) { img src=(picture) alt="the photo"; }
        },
        Some(None) => below("the photo is not in this folder"),
        None => below("there is no copy of the photo that could be shown"),
    }
}

fn row(line: &v1::TrailLine, zone: &Zone, photo: &Markup, figures: Vec<String>) -> Markup {
    use burrline_domain::{Happened, Moment};
    use burrline_proto::Wire as _;
    let happened = line.happened.as_ref().and_then(|item| Happened::from_item(item).ok());
    let when = happened.map(|h| zone.time(h.at, None)).unwrap_or_default();
    let doubt = happened.map(|h| zone.doubt(h)).unwrap_or_default();
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
                (line.told) (photo)
                @if line.struck { (below(format!("crossed out by {}", line.corrected))) }
                @if line.not_seen { (below("said on being asked, not seen".to_owned())) }
                @if !line.formerly.is_empty() { (below(format!("first recorded as: {}; amended by {}", line.formerly, line.corrected))) }
                @if !line.refused.is_empty() { (below(format!("refused: {}", line.refused))) }
                @for remark in &line.remarks { (below(format!("rule {}: {}", remark.rule, remark.words))) }
                @if !line.anyway.is_empty() { (below(format!("done anyway: {}", line.anyway))) }
                @for figure in figures { (below(figure)) }
            }
            td { (line.position) }
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
        p { "Log " code { (head.origin) } ", " (head.size) " records, root " code { (head.root) } }
    }
}
