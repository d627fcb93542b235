//! Sections under headings, laid out over the rows and columns that a screen has.
//!
//! A wide screen gets several columns side by side. Where rows are left over, lines are wrapped rather
//! than cut, and sections say more; where rows are missing, the longest sections are shortened and
//! their headings say by how much.

use burrline_paper::fit::{self, cut, parts};

use super::{Look, look::Ink};

/// A section: a heading, its lines, and the lines that say more where there is room.
#[derive(Debug, Clone, Default)]
pub struct Section {
    /// The heading.
    pub heading: String,
    /// Its lines.
    pub lines: Vec<Line>,
    /// The lines that say more; empty if there is no more to say.
    pub detailed: Vec<Line>,
}

/// One line of a section.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Line {
    /// The words.
    pub text: String,
    /// Whether it wants a person now.
    pub alarm: bool,
}

impl From<String> for Line {
    fn from(text: String) -> Self {
        Self { text, alarm: false }
    }
}

/// From how many columns of text on a screen is parted into two, and so on.
const COLUMN: usize = 90;

/// Blanks between two columns.
const GAP: usize = 3;

/// A row on the screen.
#[derive(Debug, Clone)]
struct Row {
    text: String,
    ink: Option<Ink>,
}

/// How much of a section is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Level {
    /// Its lines, cut.
    Cut,
    /// Its lines, wrapped.
    Wrapped,
    /// The lines that say more, wrapped.
    Detailed,
}

/// The lines of a screen of this height; without a height, all of it one below the other. The sections
/// of `besides` are shown where all others are there whole.
pub fn lay_out(
    sections: &[Section],
    besides: &[Section],
    look: &Look,
    height: Option<usize>,
) -> Vec<String> {
    let Some(height) = height else {
        let shown = sections
            .iter()
            .chain(besides)
            .map(|section| rows(section, Level::Detailed, look.width, None));
        return shown.flatten().map(|row| inked(&row, look)).collect();
    };
    let count = look.width.unwrap_or(COLUMN).checked_div(COLUMN).unwrap_or(1).max(1);
    let gaps = GAP.saturating_mul(count.saturating_sub(1));
    let width =
        look.width.map(|width| width.saturating_sub(gaps).checked_div(count).unwrap_or(width));
    // As many of them as there is room for.
    let whole = (0..=besides.len()).rev().find_map(|n| {
        let all: Vec<Section> =
            sections.iter().chain(besides.get(..n).unwrap_or_default()).cloned().collect();
        let rows: Vec<Vec<Row>> =
            all.iter().map(|section| rows(section, Level::Cut, width, None)).collect();
        pack(&rows, count, height, 0).map(|_| all)
    });
    let packed = best(whole.as_deref().unwrap_or(sections), width, count, height);
    beside(&packed, width, look)
}

/// The fullest layout that fits.
fn best(sections: &[Section], width: Option<usize>, count: usize, height: usize) -> Vec<Vec<Row>> {
    // More than the whole screen holds need not be tried.
    let most = count.saturating_mul(height);
    let mut keep: Vec<usize> =
        sections.iter().map(|section| section.lines.len().min(most)).collect();
    let shown = |keep: &[usize], levels: &[Level]| -> Vec<Vec<Row>> {
        let each = sections.iter().zip(keep).zip(levels);
        each.map(|((section, keep), level)| rows(section, *level, width, Some(*keep))).collect()
    };
    let mut levels = vec![Level::Cut; sections.len()];
    loop {
        if let Some(mut packed) = pack(&shown(&keep, &levels), count, height, 0) {
            let whole =
                sections.iter().zip(&keep).all(|(section, kept)| section.lines.len() == *kept);
            if whole && keep.len() == sections.len() {
                for level in [Level::Wrapped, Level::Detailed] {
                    for n in 0..levels.len() {
                        let mut more = levels.clone();
                        if let Some(one) = more.get_mut(n) {
                            *one = level;
                        }
                        if let Some(fuller) = pack(&shown(&keep, &more), count, height, 0) {
                            (packed, levels) = (fuller, more);
                        }
                    }
                }
                // What is left over parts the sections.
                packed = pack(&shown(&keep, &levels), count, height, 1).unwrap_or(packed);
            }
            return packed;
        }
        let longest = keep.iter_mut().max_by_key(|kept| **kept).filter(|kept| **kept > 1);
        match longest {
            Some(longest) => *longest = longest.saturating_sub(1),
            // Too low for one line of each: the last sections are left out.
            None => {
                if keep.pop().is_none() {
                    return Vec::new();
                }
            }
        }
    }
}

/// The rows of a section with so many of its lines.
fn rows(section: &Section, level: Level, width: Option<usize>, keep: Option<usize>) -> Vec<Row> {
    let all = section.lines.len();
    let kept = keep.unwrap_or(all);
    let heading = if kept < all {
        format!("{}, {kept} of {all}", section.heading)
    } else {
        section.heading.clone()
    };
    let mut rows = vec![Row { text: cut(&heading, width), ink: Some(Ink::Heading) }];
    let detailed = level == Level::Detailed && !section.detailed.is_empty();
    let lines = if detailed { &section.detailed } else { &section.lines };
    for line in lines.iter().take(if detailed { usize::MAX } else { kept }) {
        let ink = line.alarm.then_some(Ink::Alarm);
        let row = |text| Row { text, ink };
        if level == Level::Cut {
            rows.push(row(cut(&format!("  {}", line.text), width)));
        } else {
            rows.extend(wrapped(&line.text, width).into_iter().map(row));
        }
    }
    rows
}

/// A line, indented, that goes on further in.
fn wrapped(text: &str, width: Option<usize>) -> Vec<String> {
    let deeper = text.chars().take_while(|c| *c == ' ').count();
    let (first, more) =
        (" ".repeat(deeper.saturating_add(2)), " ".repeat(deeper.saturating_add(6)));
    let text = text.trim_start();
    let Some(width) = width else { return vec![format!("{first}{text}")] };
    let room = width.saturating_sub(more.len()).max(1);
    let whole = format!("{first}{text}");
    if fit::width(&whole) <= width {
        return vec![whole];
    }
    let parts = parts(text, room);
    let indented = parts.iter().enumerate().map(|(n, part)| {
        let indent = if n == 0 { &first } else { &more };
        cut(&format!("{indent}{part}"), Some(width))
    });
    indented.collect()
}

/// Sections in columns of as equal a height as can be, none higher than `height`; nothing if they do
/// not fit. `gap` rows part two sections.
fn pack(sections: &[Vec<Row>], count: usize, height: usize, gap: usize) -> Option<Vec<Vec<Row>>> {
    let rows = sections.iter().fold(0_usize, |sum, rows| sum.saturating_add(rows.len()));
    if rows > count.saturating_mul(height) {
        return None;
    }
    let least = rows.div_ceil(count).min(height);
    let whole = (least..=height).find_map(|height| fill(sections, count, height, gap, false));
    whole.or_else(|| (least..=height).find_map(|height| fill(sections, count, height, gap, true)))
}

/// Fills column after column; a section that does not fit goes on in the next one, if it may.
fn fill(
    sections: &[Vec<Row>],
    count: usize,
    height: usize,
    gap: usize,
    split: bool,
) -> Option<Vec<Vec<Row>>> {
    let mut columns: Vec<Vec<Row>> = vec![Vec::new()];
    for section in sections {
        let mut rest: &[Row] = section;
        let mut begun = false;
        while !rest.is_empty() {
            let column = columns.last_mut()?;
            let before = if column.is_empty() || begun { 0 } else { gap };
            let left = height.saturating_sub(column.len()).saturating_sub(before);
            if rest.len() <= left {
                column.extend(std::iter::repeat_n(blank(), before));
                column.extend(rest.iter().cloned());
                rest = &[];
                continue;
            }
            // A heading alone at the foot of a column says nothing.
            if split && left >= 2 && !begun {
                column.extend(std::iter::repeat_n(blank(), before));
                let (here, there) = rest.split_at_checked(left)?;
                column.extend(here.iter().cloned());
                rest = there;
                begun = true;
            } else if split && begun && column.is_empty() && height >= 2 {
                let (here, there) = rest.split_at_checked(height)?;
                column.extend(here.iter().cloned());
                rest = there;
            } else if column.is_empty() {
                return None;
            }
            if columns.len() == count {
                return None;
            }
            columns.push(Vec::new());
        }
    }
    Some(columns)
}

fn blank() -> Row {
    Row { text: String::new(), ink: None }
}

/// Columns side by side.
fn beside(columns: &[Vec<Row>], width: Option<usize>, look: &Look) -> Vec<String> {
    let deepest = columns.iter().map(Vec::len).max().unwrap_or(0);
    let gap = " ".repeat(GAP);
    let line = |n: usize| {
        let mut line = String::new();
        let mut blanks = 0_usize;
        for (c, column) in columns.iter().enumerate() {
            if c > 0 {
                blanks = blanks.saturating_add(gap.len());
            }
            let row = column.get(n);
            let text = row.map_or("", |row| row.text.as_str());
            if let Some(row) = row.filter(|row| !row.text.is_empty()) {
                line.push_str(&" ".repeat(blanks));
                line.push_str(&inked(row, look));
                blanks = 0;
            }
            let rest = width.unwrap_or(0).saturating_sub(fit::width(text));
            blanks = blanks.saturating_add(rest);
        }
        line
    };
    (0..deepest).map(line).collect()
}

fn inked(row: &Row, look: &Look) -> String {
    row.ink.map_or_else(|| row.text.clone(), |ink| look.ink(ink, &row.text))
}

#[cfg(test)]
mod tests {
    use burrline_terms::Moment;
    use jiff::tz::TimeZone;

    use super::*;

    fn look(width: usize) -> Look {
        Look { zone: TimeZone::UTC, now: Moment(0), width: Some(width), color: false }
    }

    fn section(heading: &str, lines: usize) -> Section {
        let lines = (1..=lines).map(|n| Line::from(format!("{heading} {n}"))).collect();
        Section { heading: heading.to_uppercase(), lines, detailed: Vec::new() }
    }

    #[test]
    fn a_wide_screen_has_its_sections_side_by_side() {
        let sections = [section("rings", 3), section("waters", 3)];
        let shown = lay_out(&sections, &[], &look(200), Some(20));
        assert_eq!(shown.len(), 4, "{shown:?}");
        assert!(shown[0].starts_with("RINGS   ") && shown[0].ends_with("WATERS"), "{shown:?}");
        assert!(shown[3].starts_with("  rings 3") && shown[3].ends_with("  waters 3"), "{shown:?}");
        let narrow = lay_out(&sections, &[], &look(80), Some(20));
        assert_eq!(narrow.len(), 9, "one below the other, a blank between: {narrow:?}");
    }

    #[test]
    fn a_section_that_is_longer_than_a_column_goes_on_in_the_next() {
        let shown = lay_out(&[section("rings", 30)], &[], &look(200), Some(20));
        assert_eq!(shown.len(), 16, "{shown:?}");
        assert!(shown[0].starts_with("RINGS") && shown[0].ends_with("  rings 16"), "{shown:?}");
        let all = shown.join(" ");
        for n in 1..=30 {
            assert!(all.contains(&format!("rings {n}")), "{n} of {shown:?}");
        }
    }

    #[test]
    fn rows_that_are_left_over_are_used_to_say_more() {
        let long =
            "NOW  pot-1: 0417 whitetail 8 pt: look at it, for it has been in for long enough";
        let detailed = vec![Line::from("all of it".to_owned()), Line::from("and why".to_owned())];
        let lines = vec![Line::from(long.to_owned())];
        let sections = [Section { heading: "RINGS".into(), lines, detailed }];
        let low = lay_out(&sections, &[], &look(40), Some(2));
        assert!(low.len() == 2 && low[1].ends_with('\u{2026}'), "{low:?}");
        let high = lay_out(&sections, &[], &look(40), Some(10));
        assert_eq!(high, ["RINGS", "  all of it", "  and why"]);
        let plain = [Section { detailed: Vec::new(), ..sections[0].clone() }];
        let wrapped = lay_out(&plain, &[], &look(40), Some(10));
        assert!(wrapped.len() == 4 && wrapped.join(" ").contains("long enough"), "{wrapped:?}");
        assert!(wrapped.iter().all(|line| line.chars().count() <= 40), "{wrapped:?}");
    }

    #[test]
    fn what_is_shown_besides_takes_no_row_from_the_rest() {
        let (sections, besides) = ([section("rings", 3)], [section("later", 2), section("dry", 9)]);
        let shown = |height| lay_out(&sections, &besides, &look(80), Some(height));
        assert_eq!(shown(4), ["RINGS", "  rings 1", "  rings 2", "  rings 3"]);
        assert_eq!(shown(6).len(), 4, "half of it would say less than nothing");
        assert_eq!(shown(7).len(), 7);
        assert!(shown(30).iter().any(|line| line == "  dry 9"), "{:?}", shown(30));
    }
}
