//! The job's time-line as a drawing: where each piece was, in which water, and what happened when.

use burrline_domain::{
    Verb,
    fold::{Stay, TrailItem, Until},
};
use burrline_present::view::Zone;
use burrline_terms::Moment;
use maud::{Markup, html};

use super::{
    moments::{self, Label},
    pictures::Pictures,
    story::Story,
};

const WIDTH: i64 = 960;
const LEFT: i64 = 150;
const RIGHT: i64 = 950;
const ROW: i64 = 22;
const TOP: i64 = 40;

/// How high a line of labels is.
const LABEL: i64 = 15;

/// The side of a photo on the drawing.
const PHOTO: i64 = 56;

/// At most so many days are named along the top.
const DAYS: i64 = 8;

/// From when to when the drawing goes, and where each moment is on it.
pub(super) struct Scale {
    first: Moment,
    last: Moment,
}

impl Scale {
    /// From the first line of a trail to its last; none if they are of one moment.
    fn of(trail: &[TrailItem<'_>]) -> Option<Self> {
        let moments = trail.iter().map(|item| item.fact.key.at);
        let (first, last) = (moments.clone().min()?, moments.max()?);
        (first != last).then_some(Self { first, last })
    }

    /// How far to the right a moment is.
    pub(super) fn x(&self, at: Moment) -> i64 {
        let span = self.last.since(self.first).max(1);
        let way = at.since(self.first).clamp(0, span);
        let room = RIGHT.saturating_sub(LEFT);
        LEFT.saturating_add(way.saturating_mul(room).checked_div(span).unwrap_or(0))
    }
}

/// The stays of one piece in one place, in a row.
struct Row {
    label: String,
    bars: Vec<Bar>,
}

struct Bar {
    from: Moment,
    until: Moment,
    wet: bool,
    words: String,
}

/// Draws the story; nothing if it has no length.
pub fn timeline(story: &Story, pictures: &Pictures) -> Markup {
    let zone = Zone::of(&story.state);
    let trail = story.state.trail(story.job);
    let Some(scale) = Scale::of(&trail) else { return html! {} };
    let rows = rows(story, &zone, scale.last);
    let line = row(rows.len()).saturating_add(8);
    let labels = moments::labels(&trail, &scale, RIGHT);
    let deepest = labels.iter().map(|label| label.row.saturating_add(1)).max().unwrap_or(0);
    let below = line.saturating_add(deepest.saturating_mul(LABEL)).saturating_add(LABEL);
    let photos = photos(&trail, pictures, &zone, &scale);
    let stacked = photos.iter().map(|photo| photo.row.saturating_add(1)).max().unwrap_or(0);
    let height = below.saturating_add(stacked.saturating_mul(PHOTO.saturating_add(4)));
    let counting = trail.iter().filter(|item| item.struck_by.is_none());
    html! {
        div.wide {
            svg viewBox=(format!("0 0 {WIDTH} {height}")) role="img" aria-label="Time-line of the job" {
                (days(&zone, &scale, line))
                @for (i, one) in rows.iter().enumerate() {
                    @let y = row(i);
                    text x="0" y=(y.saturating_add(13)) { (moments::shortened(&one.label, LEFT)) title { (one.label) } }
                    @for bar in &one.bars { (drawn(bar, &scale, y)) }
                }
                line x1=(LEFT) x2=(RIGHT) y1=(line) y2=(line) {}
                text x="0" y=(line.saturating_add(5)) { "each line said" }
                @for label in &labels { (labelled(label, line)) }
                @for item in counting { (dot(item, &zone, &scale, line)) }
                @if !photos.is_empty() { text x="0" y=(below.saturating_add(14)) { "photos" } }
                @for photo in &photos {
                    @let top = below.saturating_add(photo.row.saturating_mul(PHOTO.saturating_add(4)));
                    image x=(photo.x.saturating_sub(PHOTO.saturating_div(2))) y=(top)
                        width=(PHOTO) height=(PHOTO) href=(photo.picture) { title { (photo.words) } }
                }
            }
        }
        p.below {
            "Blue: in water. Sand: dry. A bar without an end that anybody said ends where it must have left. "
            "Each dot is a line below; red ones tell of damage or a dispute."
        }
    }
}

/// A thin line where each named day begins.
fn days(zone: &Zone, scale: &Scale, down: i64) -> Markup {
    let of = |at: Moment| {
        let at = jiff::Timestamp::from_millisecond(at.0).ok()?;
        Some(at.to_zoned_datetime(zone.0.clone()).date())
    };
    let (Some(first), Some(last)) = (of(scale.first), of(scale.last)) else { return html! {} };
    let count = last.since(first).map_or(0, |span| i64::from(span.get_days()));
    let step = count.saturating_add(DAYS).saturating_sub(1).checked_div(DAYS).unwrap_or(1).max(1);
    let named = |n: i64| {
        let day = first.checked_add(jiff::Span::new().try_days(n.saturating_mul(step)).ok()?);
        let day = day.ok()?;
        let begins = day.to_zoned_datetime(zone.0.clone()).ok()?.timestamp().as_millisecond();
        let at = Moment(begins.max(scale.first.0));
        (day <= last).then(|| (scale.x(at), day))
    };
    let all: Vec<(i64, jiff::civil::Date)> = (0..=DAYS).filter_map(named).collect();
    html! {
        @for (x, _) in &all { line.day x1=(x) x2=(x) y1="20" y2=(down) {} }
        @for (x, day) in &names(&all) { text x=(x) y="14" { (day) } }
    }
}

/// The days' names where there is room for them; the first of each year says it.
fn names(days: &[(i64, jiff::civil::Date)]) -> Vec<(i64, String)> {
    let mut named: Vec<(i64, String)> = Vec::new();
    let mut free = i64::MIN;
    let mut year = None;
    for (x, day) in days {
        let form = if year == Some(day.year()) { "%-d %b" } else { "%-d %b %Y" };
        let name = day.strftime(form).to_string();
        let until = x.saturating_add(moments::width(&name));
        if *x >= free && until <= WIDTH.saturating_add(moments::width(" ")) {
            (free, year) = (until, Some(day.year()));
            named.push((*x, name));
        }
    }
    named
}

fn drawn(bar: &Bar, scale: &Scale, y: i64) -> Markup {
    let (from, until) = (scale.x(bar.from), scale.x(bar.until));
    html! {
        rect x=(from) y=(y) width=(until.saturating_sub(from).max(2)) height="16"
            class=(if bar.wet { "wet" } else { "dry" }) {
            title { (bar.words) }
        }
    }
}

fn labelled(label: &Label, line: i64) -> Markup {
    let y = line.saturating_add(label.row.saturating_add(1).saturating_mul(LABEL));
    let anchor = if label.to_the_left { "end" } else { "start" };
    let gap = if label.to_the_left { -4 } else { 4 };
    html! {
        line x1=(label.x) x2=(label.x) y1=(line) y2=(y) {}
        text x=(label.x.saturating_add(gap)) y=(y) text-anchor=(anchor) { (label.words) }
    }
}

fn dot(item: &TrailItem<'_>, zone: &Zone, scale: &Scale, line: i64) -> Markup {
    let at = item.fact.key.at;
    let harm = matches!(item.verb, Verb::Damage(_) | Verb::Dispute(_));
    html! {
        circle cx=(scale.x(at)) cy=(line) r=(if harm { 5 } else { 3 }) class=[harm.then_some("harm")] {
            title { (zone.time(at, None)) " " (item.verb.spec().word) }
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
    scale: &Scale,
) -> Vec<Shown<'a>> {
    let mut photos: Vec<Shown<'a>> = Vec::new();
    for item in trail.iter().filter(|item| item.struck_by.is_none()) {
        let Verb::Photograph(photo) = item.verb else { continue };
        let Some(picture) = photo.stripped.and_then(|digest| pictures.get(&digest)) else {
            continue;
        };
        let at = item.fact.key.at;
        let half = PHOTO.saturating_div(2);
        let x = scale.x(at).clamp(LEFT.saturating_add(half), WIDTH.saturating_sub(half));
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

/// A row for each piece and place, in the order in which they were first used.
fn rows(story: &Story, zone: &Zone, last: Moment) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for stay in story.job().into_iter().flat_map(|job| &job.stays) {
        let label = format!("{} in {}", stay.piece, stay.place);
        let bar = bar(story, zone, stay, last);
        match rows.iter_mut().find(|row| row.label == label) {
            Some(row) => row.bars.push(bar),
            None => rows.push(Row { label, bars: vec![bar] }),
        }
    }
    rows
}

fn bar(story: &Story, zone: &Zone, stay: &Stay, last: Moment) -> Bar {
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
    let from = zone.time(stay.from.at, None);
    Bar {
        from: stay.from.at,
        until,
        wet: water.is_some_and(|water| water.bath_at(stay.from.at).is_some()),
        words: format!("{} in {} from {from} {left}", stay.piece, stay.place),
    }
}

fn row(i: usize) -> i64 {
    TOP.saturating_add(ROW.saturating_mul(i64::try_from(i).unwrap_or(i64::MAX)))
}
