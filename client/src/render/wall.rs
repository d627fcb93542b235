//! The wall on a screen: sections under headings, cut to the screen's size.

use burrline_present::{
    view::minutes,
    wall::{Wall, Water},
};
use burrline_proto::v1;
use serde_json::json;

use super::{Look, Page, look::Ink, skull, table::cut};

/// A section: a heading, and its lines.
struct Section {
    heading: String,
    lines: Vec<String>,
}

/// The wall; without a height all of it. `head` is the first line.
pub fn wall(wall: &Wall, head: &str, look: &Look, height: Option<usize>) -> Page {
    let mut sections = sections(wall, look);
    sections.retain(|section| !section.lines.is_empty());
    if let Some(height) = height {
        fit(&mut sections, height.saturating_sub(1));
    }
    let mut text = vec![cut(head, look.width)];
    for section in &sections {
        text.push(look.ink(Ink::Heading, &cut(&section.heading, look.width)));
        text.extend(section.lines.iter().map(|line| cut(&format!("  {line}"), look.width)));
    }
    if sections.is_empty() {
        text.push("nothing rings, no water stands, everything fits".to_owned());
    }
    Page { text, json: vec![as_json(wall, look)] }
}

fn sections(wall: &Wall, look: &Look) -> Vec<Section> {
    let section = |heading: &str, lines| Section { heading: heading.to_owned(), lines };
    let clashes = wall.clashes.iter().map(clash_line).collect();
    let next = wall.next.iter().map(|next| {
        let why = if next.why.is_empty() { String::new() } else { format!("  ({})", next.why) };
        format!("{}  {}{why}", next.place, next.tags.join(" "))
    });
    let promised = wall.promised.iter();
    let promised = promised.map(|(day, tags)| format!("{day}  {}", tags.join(" "))).collect();
    let holds = wall.holds.iter().map(|(tag, why)| format!("{tag}  {why}")).collect();
    let silent = wall.silent.iter().map(|(bench, heard)| match heard {
        Some(heard) => format!("{bench}  since {}", look.time(heard.0)),
        None => format!("{bench}  never"),
    });
    vec![
        section("RINGS", wall.rings.iter().map(|line| ring(line, look)).collect()),
        section("WATERS", wall.waters.iter().map(|water| water_line(water, look)).collect()),
        section("NEXT POTFUL", next.collect()),
        section("DOES NOT FIT", clashes),
        section("PROMISED THIS WEEK", promised),
        section("HELD", holds),
        section("NOT HEARD FROM", silent.collect()),
    ]
}

/// "10:40  pot-1: 0417 whitetail 8 pt: look at it", with "NOW" before what rings already.
fn ring(line: &v1::DueLine, look: &Look) -> String {
    let when = if line.at_ms <= look.now.0 {
        let late = look.now.0.saturating_sub(line.at_ms).checked_div(60_000).unwrap_or(0);
        format!("NOW, {} over", minutes(late))
    } else {
        look.time(line.at_ms)
    };
    let mut words = vec![format!("{when} ")];
    let named = line.place.is_empty() || line.what.contains(&line.place);
    words.extend((!named).then(|| format!("{}:", line.place)));
    words.extend(line.skull.as_ref().map(|about| format!("{}:", skull(about))));
    words.push(line.what.clone());
    words.join(" ")
}

/// "tub-1  3.2 % (mixed), since 09:00, change 21:00: 0417 0418".
fn water_line(water: &Water, look: &Look) -> String {
    let mut words = Vec::new();
    if let Some(bath) = &water.line.bath {
        let how = if bath.measured { "measured" } else { "mixed" };
        let strength = Some(&bath.peroxide_wv).filter(|percent| !percent.is_empty());
        words.extend(strength.map(|percent| format!("{percent} % ({how})")));
        words.extend(Some(bath.heat.clone()).filter(|heat| !heat.is_empty()));
        words.push(format!("since {}", look.time(bath.since_ms)));
        words.extend(water.change.map(|at| {
            if at <= look.now {
                format!("CHANGE, due since {}", look.time(at.0))
            } else {
                format!("change {}", look.time(at.0))
            }
        }));
    } else {
        words.push("no water said".to_owned());
    }
    let tags: Vec<String> = water
        .line
        .here
        .iter()
        .map(|line| {
            let piece = Some(&line.piece).filter(|p| !p.is_empty() && *p != "skull");
            let piece = piece.map(|piece| format!("/{piece}")).unwrap_or_default();
            format!("{}{piece}", line.tag)
        })
        .collect();
    let tags = if tags.is_empty() { "empty".to_owned() } else { tags.join(" ") };
    format!("{}  {}: {tags}", water.line.name, words.join(", "))
}

fn clash_line(clash: &v1::ClashLine) -> String {
    let tag = if clash.tag.is_empty() { String::new() } else { format!("{}  ", clash.tag) };
    format!("{tag}{}", clash.words)
}

/// Cuts the longest sections until all of them fit, each with at least one line and how many there are
/// in its heading; a screen too low for that loses the last sections.
fn fit(sections: &mut Vec<Section>, height: usize) {
    let mut keep: Vec<usize> = sections.iter().map(|section| section.lines.len()).collect();
    let total = |keep: &[usize]| {
        keep.iter().fold(0_usize, |sum, kept| sum.saturating_add(*kept).saturating_add(1))
    };
    while !keep.is_empty() && total(&keep) > height {
        let Some(longest) = keep.iter_mut().max_by_key(|kept| **kept).filter(|kept| **kept > 1)
        else {
            keep.pop();
            continue;
        };
        *longest = longest.saturating_sub(1);
    }
    sections.truncate(keep.len());
    for (section, kept) in sections.iter_mut().zip(keep) {
        let all = section.lines.len();
        if kept < all {
            section.heading = format!("{}, {kept} of {all}", section.heading);
            section.lines.truncate(kept);
        }
    }
}

fn as_json(wall: &Wall, look: &Look) -> serde_json::Value {
    let rings = wall.rings.iter().map(|line| {
        json!({"at": look.stamp(line.at_ms), "what": line.what, "place": line.place,
            "skull": line.skull.as_ref().map(skull)})
    });
    let waters = wall.waters.iter().map(|water| {
        let bath = water.line.bath.as_ref();
        json!({"place": water.line.name, "since": bath.map(|bath| look.stamp(bath.since_ms)),
            "peroxide_wv": bath.map(|bath| bath.peroxide_wv.clone()),
            "heat": bath.map(|bath| bath.heat.clone()),
            "change": water.change.map(|at| look.stamp(at.0)),
            "tags": water.line.here.iter().map(|line| line.tag.clone()).collect::<Vec<_>>()})
    });
    let clashes = wall.clashes.iter().map(|c| json!({"tag": c.tag, "words": c.words}));
    let promised = wall.promised.iter().map(|(d, t)| json!({"day": d.to_string(), "tags": t}));
    let holds = wall.holds.iter().map(|(tag, why)| json!({"tag": tag, "why": why}));
    let silent = wall.silent.iter().map(
        |(bench, heard)| json!({"bench": bench, "heard": heard.map(|heard| look.stamp(heard.0))}),
    );
    json!({
        "rings": rings.collect::<Vec<_>>(), "waters": waters.collect::<Vec<_>>(),
        "next": wall.next.iter().map(|n| json!({"place": n.place, "tags": n.tags, "why": n.why}))
            .collect::<Vec<_>>(),
        "clashes": clashes.collect::<Vec<_>>(), "promised": promised.collect::<Vec<_>>(),
        "holds": holds.collect::<Vec<_>>(), "silent": silent.collect::<Vec<_>>(),
    })
}

#[cfg(test)]
mod tests {
    use burrline_domain::Moment;
    use jiff::tz::TimeZone;

    use super::*;

    #[test]
    fn a_wall_fits_its_screen_and_says_what_is_missing() {
        let look = Look { zone: TimeZone::UTC, now: Moment(0), width: Some(24), color: false };
        let holds = (0..40).map(|n| (format!("{n:04}"), "papers".to_owned())).collect();
        let silent = vec![("yard-2, which has a long name".to_owned(), None)];
        let full = Wall { holds, silent, ..Wall::default() };
        let page = wall(&full, "shed", &look, Some(10));
        assert_eq!(page.text.len(), 10, "{:?}", page.text);
        assert_eq!(page.text.first().map(String::as_str), Some("shed"));
        assert!(page.text.contains(&"HELD, 6 of 40".to_owned()), "{:?}", page.text);
        assert_eq!(
            wall(&full, "shed", &look, Some(4)).text.len(),
            3,
            "the last section is left out"
        );
        assert!(page.text.iter().all(|line| line.chars().count() <= 24), "{:?}", page.text);
        assert!(page.text.iter().any(|line| line.starts_with("  yard-2")));
        assert_eq!(wall(&full, "shed", &look, None).text.len(), 44);
    }
}
