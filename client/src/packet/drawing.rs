//! The job's time-line as a drawing: where each piece was, in which water, and what happened when.

use burrline_domain::{Moment, fold::Until};
use burrline_present::view::Zone;
use maud::{Markup, html};

use super::story::Story;

const WIDTH: i64 = 960;
const LEFT: i64 = 150;
const ROW: i64 = 22;
const TOP: i64 = 34;

/// A bar: a piece in a place.
struct Bar {
    label: String,
    from: Moment,
    until: Moment,
    wet: bool,
    words: String,
}

/// Draws the story; nothing if it has no length.
pub fn timeline(story: &Story) -> Markup {
    let zone = Zone::of(&story.state);
    let trail = story.state.trail(story.job);
    let moments: Vec<Moment> = trail.iter().map(|item| item.fact.key.at).collect();
    let (Some(first), Some(last)) = (moments.iter().min().copied(), moments.iter().max().copied())
    else {
        return html! {};
    };
    if first == last {
        return html! {};
    }
    let x = |at: Moment| {
        let span = last.since(first).max(1);
        let room = WIDTH.saturating_sub(LEFT).saturating_sub(10);
        let way = at.since(first).clamp(0, span);
        LEFT.saturating_add(way.saturating_mul(room).checked_div(span).unwrap_or(0))
    };
    let bars = bars(story, &zone, last);
    let height = row(bars.len()).saturating_add(ROW.saturating_mul(2));
    let marks: Vec<(i64, String)> = trail
        .iter()
        .filter(|item| item.struck_by.is_none())
        .map(|item| {
            let at = item.fact.key.at;
            (x(at), format!("{} {}", zone.time(at, None), item.verb.spec().word))
        })
        .collect();
    html! {
        svg viewBox=(format!("0 0 {WIDTH} {height}")) role="img" aria-label="Time-line of the job" {
            text x="0" y="16" { (zone.time(first, None)) }
            text x=(WIDTH) y="16" text-anchor="end" { (zone.time(last, None)) }
            @for (i, bar) in bars.iter().enumerate() {
                @let y = row(i);
                text x="0" y=(y.saturating_add(14)) { (bar.label) }
                rect x=(x(bar.from)) y=(y)
                    width=(x(bar.until).saturating_sub(x(bar.from)).max(2)) height="16"
                    class=(if bar.wet { "wet" } else { "dry" }) {
                    title { (bar.words) }
                }
            }
            @let y = row(bars.len()).saturating_add(8);
            line x1=(LEFT) x2=(WIDTH.saturating_sub(10)) y1=(y) y2=(y) {}
            @for (x, words) in &marks {
                circle cx=(x) cy=(y) r="4" { title { (words) } }
            }
            text x="0" y=(y.saturating_add(5)) { "said" }
        }
    }
}

fn bars(story: &Story, zone: &Zone, last: Moment) -> Vec<Bar> {
    let Some(job) = story.job() else { return Vec::new() };
    let bar = |stay: &burrline_domain::fold::Stay| {
        let until = match stay.until {
            Until::Now => last,
            Until::Said(h) | Until::Unsaid(h) => h.at,
        };
        let left = match stay.until {
            Until::Now => "still there".to_owned(),
            Until::Said(h) => format!("until {}", zone.time(h.at, None)),
            Until::Unsaid(h) => format!("gone by {}, nobody said when", zone.time(h.at, None)),
        };
        let water = story.state.waters().get(&stay.place);
        Bar {
            label: format!("{} in {}", stay.piece, stay.place),
            from: stay.from.at,
            until,
            wet: water.is_some_and(|water| water.bath_at(stay.from.at).is_some()),
            words: format!(
                "{} in {} from {} {left}",
                stay.piece,
                stay.place,
                zone.time(stay.from.at, None)
            ),
        }
    };
    job.stays.iter().map(bar).collect()
}

fn row(i: usize) -> i64 {
    TOP.saturating_add(ROW.saturating_mul(i64::try_from(i).unwrap_or(i64::MAX)))
}
