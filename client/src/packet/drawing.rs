//! The job's time-line as a drawing: where each piece was, in which water, and what happened when.

use burrline_domain::{
    Moment, Verb,
    fold::{TrailItem, Until},
};
use burrline_present::view::Zone;
use maud::{Markup, html};

use super::{pictures::Pictures, story::Story};

const WIDTH: i64 = 960;
const LEFT: i64 = 150;
const ROW: i64 = 22;
const TOP: i64 = 34;

/// The side of a photo on the drawing.
const PHOTO: i64 = 56;

/// A bar: a piece in a place.
struct Bar {
    label: String,
    from: Moment,
    until: Moment,
    wet: bool,
    words: String,
}

/// Draws the story; nothing if it has no length.
pub fn timeline(story: &Story, pictures: &Pictures) -> Markup {
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
    let below = row(bars.len()).saturating_add(ROW.saturating_mul(2));
    let photos = photos(&trail, pictures, &zone, x);
    let rows = photos.iter().map(|photo| photo.row.saturating_add(1)).max().unwrap_or(0);
    let height = below.saturating_add(rows.saturating_mul(PHOTO.saturating_add(4)));
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
            @if !photos.is_empty() { text x="0" y=(below.saturating_add(14)) { "photos" } }
            @for photo in &photos {
                @let top = below.saturating_add(photo.row.saturating_mul(PHOTO.saturating_add(4)));
                line x1=(photo.x) x2=(photo.x) y1=(y) y2=(top) {}
                image x=(photo.x.saturating_sub(PHOTO.saturating_div(2))) y=(top)
                    width=(PHOTO) height=(PHOTO) href=(photo.picture) { title { (photo.words) } }
            }
        }
    }
}

/// A photo at its moment; several of one time stand below each other.
struct Shown<'a> {
    x: i64,
    row: i64,
    picture: &'a str,
    words: String,
}

fn photos<'a>(
    trail: &[TrailItem<'_>],
    pictures: &'a Pictures,
    zone: &Zone,
    x: impl Fn(Moment) -> i64,
) -> Vec<Shown<'a>> {
    let mut photos: Vec<Shown<'a>> = Vec::new();
    for item in trail.iter().filter(|item| item.struck_by.is_none()) {
        let Verb::Photograph(photo) = item.verb else { continue };
        let Some(picture) = photo.stripped.and_then(|digest| pictures.get(&digest)) else {
            continue;
        };
        let at = item.fact.key.at;
        let half = PHOTO.saturating_div(2);
        let x = x(at).clamp(LEFT, WIDTH.saturating_sub(half));
        let is_free = |row: i64| {
            let mut same = photos.iter().filter(|photo| photo.row == row);
            same.all(|photo| photo.x.saturating_sub(x).saturating_abs() > PHOTO)
        };
        let row = (0..i64::MAX).find(|row| is_free(*row)).unwrap_or(0);
        let words = photo.words.as_ref().map(|words| format!(": {words}")).unwrap_or_default();
        let words = format!("{} photo{words}", zone.time(at, None));
        photos.push(Shown { x, row, picture, words });
    }
    photos
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
