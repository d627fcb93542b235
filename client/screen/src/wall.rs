//! The wall on a screen: sections under headings, over all the rows and columns that there are.

use burrline_paper::fit::cut;
use burrline_present::{
    named::skull,
    view::minutes,
    wall::{Next, Wall, Water},
};
use burrline_proto::v1;
use serde_json::json;

use super::{
    Look, Page,
    columns::{Line, Section, lay_out},
    lines::strength_how,
};

/// The wall; without a height all of it. `head` is the first line.
pub fn wall(wall: &Wall, head: &str, look: &Look, height: Option<usize>) -> Page {
    let mut sections = sections(wall, look);
    sections.retain(|section| !section.lines.is_empty());
    let mut text = vec![cut(head, look.width)];
    let besides = besides(wall, look);
    let rows = height.map(|height| height.saturating_sub(1));
    text.extend(lay_out(&sections, &besides, look, rows));
    if sections.is_empty() {
        text.push("nothing rings, no water stands, everything fits".to_owned());
    }
    Page { text, json: vec![as_json(wall, look)] }
}

fn sections(wall: &Wall, look: &Look) -> Vec<Section> {
    let section = |heading: &str, lines: Vec<Line>| Section {
        heading: heading.to_owned(),
        lines,
        detailed: Vec::new(),
    };
    let plain = |lines: Vec<String>| lines.into_iter().map(Line::from).collect::<Vec<_>>();
    let next = wall.next.iter().map(|next| {
        let why = if next.why.is_empty() { String::new() } else { format!("  ({})", next.why) };
        format!("{}  {}{why}", next.place, next.tags.join(" "))
    });
    let promised = wall.promised.iter();
    let promised = promised.map(|(day, tags)| format!("{day}  {}", tags.join(" ")));
    let holds = wall.holds.iter().map(|(tag, why)| format!("{tag}  {why}"));
    let silent = wall.silent.iter().map(|(bench, heard)| match heard {
        Some(heard) => format!("{bench}  nothing since {}", look.time(heard.0)),
        None => format!("{bench}  nothing yet"),
    });
    vec![
        section("RINGS", wall.rings.iter().map(|line| ring(line, look)).collect()),
        Section {
            detailed: wall.waters.iter().flat_map(|water| in_full(water, look)).collect(),
            ..section("WATERS", wall.waters.iter().map(|water| water_line(water, look)).collect())
        },
        Section {
            detailed: wall.next.iter().flat_map(next_in_full).map(Line::from).collect(),
            ..section("NEXT POTFUL", plain(next.collect()))
        },
        section("DOES NOT FIT", plain(folded(&wall.clashes))),
        section("PROMISED THIS WEEK", plain(promised.collect())),
        section("HELD", plain(holds.collect())),
        section("NOT HEARD FROM", plain(silent.collect())),
    ]
}

/// What a screen with room to spare shows too.
fn besides(wall: &Wall, look: &Look) -> Vec<Section> {
    let later = wall.later.iter().map(|line| ring(line, look)).collect();
    let tags = |place: &v1::PlaceLine| {
        let tags: Vec<&str> = place.here.iter().map(|line| line.tag.as_str()).collect();
        Line::from(format!("{}  {}", place.name, tags.join(" ")))
    };
    let whole = |place: &v1::PlaceLine| {
        let here = place.here.iter().map(|line| {
            let doing =
                if line.doing.is_empty() { String::new() } else { format!(", {}", line.doing) };
            Line::from(format!("  {}  since {}{doing}", skull(line), look.time(line.since_ms)))
        });
        std::iter::once(Line::from(place.name.clone())).chain(here).collect::<Vec<_>>()
    };
    let mut sections = vec![
        Section { heading: "LATER".to_owned(), lines: later, detailed: Vec::new() },
        Section {
            heading: "ELSEWHERE".to_owned(),
            lines: wall.dry.iter().map(tags).collect(),
            detailed: wall.dry.iter().flat_map(whole).collect(),
        },
    ];
    sections.retain(|section| !section.lines.is_empty());
    sections
}

/// "10:40  pot-1: 0417 whitetail 8 pt: look at it", with "NOW" before what rings already.
fn ring(line: &v1::DueLine, look: &Look) -> Line {
    let alarm = line.at_ms <= look.now.0;
    let when = if alarm {
        let late = look.now.0.saturating_sub(line.at_ms).checked_div(60_000).unwrap_or(0);
        format!("NOW, {} over", over(late))
    } else {
        look.time(line.at_ms)
    };
    let mut words = vec![format!("{when} ")];
    let named = line.place.is_empty() || line.what.contains(&line.place);
    words.extend((!named).then(|| format!("{}:", line.place)));
    words.extend(line.skull.as_ref().map(|about| format!("{}:", skull(about))));
    words.push(line.what.clone());
    Line { text: words.join(" "), alarm }
}

/// So many minutes over; after two days nobody counts the hours.
fn over(late: i64) -> String {
    const DAY: i64 = 24 * 60;
    match late.checked_div(DAY).unwrap_or(0) {
        0 | 1 => minutes(late),
        days => format!("{days} days"),
    }
}

/// "tub-1  3.2 % (mixed), since 09:00, change 21:00: 0417 0418"; "LIT" before all else.
fn water_line(water: &Water, look: &Look) -> Line {
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
    let text = format!("{}  {}: {tags}", water.line.name, state_of(water, look));
    Line { text, alarm: is_alarm(water, look) }
}

/// The same with a line for each that is in it.
fn in_full(water: &Water, look: &Look) -> Vec<Line> {
    if water.line.here.is_empty() {
        return vec![water_line(water, look)];
    }
    let text = format!("{}  {}", water.line.name, state_of(water, look));
    let head = Line { text, alarm: is_alarm(water, look) };
    let here = water.line.here.iter().map(|line| {
        let mut words = vec![format!("since {}", look.time(line.since_ms))];
        words.extend(Some(line.heat.clone()).filter(|heat| !heat.is_empty()));
        Line::from(format!("  {}  {}", skull(line), words.join(", ")))
    });
    std::iter::once(head).chain(here).collect()
}

fn state_of(water: &Water, look: &Look) -> String {
    let Some(bath) = &water.line.bath else { return "no water said".to_owned() };
    let mut words = Vec::new();
    if let Some(lit) = &water.lit {
        words.push(format!("LIT since {}", look.time(lit.since_ms)));
    }
    let how = strength_how(bath);
    let strength = Some(&bath.peroxide_wv).filter(|percent| !percent.is_empty());
    words.extend(strength.map(|percent| format!("{percent} % ({how})")));
    // "lit" is said above already; whether it boils or was turned down is not.
    let heat = bath.heat.strip_prefix("lit").unwrap_or(&bath.heat);
    let heat = if water.lit.is_some() { heat } else { &bath.heat };
    words.extend(Some(heat.trim_start_matches(", ").to_owned()).filter(|heat| !heat.is_empty()));
    words.push(format!("water of {}", look.time(bath.since_ms)));
    words.extend(water.change.map(|at| {
        if at <= look.now {
            format!("CHANGE, due since {}", look.time(at.0))
        } else {
            format!("change {}", look.time(at.0))
        }
    }));
    words.join(", ")
}

fn is_alarm(water: &Water, look: &Look) -> bool {
    water.lit.is_some() || water.change.is_some_and(|at| at <= look.now)
}

/// A potful with the reasons for each head.
fn next_in_full(next: &Next) -> Vec<String> {
    let heads = next.tags.iter().zip(&next.reasons).map(|(tag, why)| format!("  {tag}  {why}"));
    std::iter::once(format!("{}  {}", next.place, next.tags.join(" "))).chain(heads).collect()
}

/// What does not fit, the same words once: "0417 0418  never said out (3 lines)".
fn folded(clashes: &[v1::ClashLine]) -> Vec<String> {
    let mut folded: Vec<(&str, Vec<&str>, usize)> = Vec::new();
    for clash in clashes {
        let (words, tag) = (clash.words.as_str(), clash.tag.as_str());
        let Some((_, tags, count)) = folded.iter_mut().find(|(same, ..)| *same == words) else {
            folded.push((words, vec![tag], 1));
            continue;
        };
        *count = count.saturating_add(1);
        if !tags.contains(&tag) {
            tags.push(tag);
        }
    }
    let line = |(words, tags, count): (&str, Vec<&str>, usize)| {
        let tags: Vec<&str> = tags.into_iter().filter(|tag| !tag.is_empty()).collect();
        let tags = if tags.is_empty() { String::new() } else { format!("{}  ", tags.join(" ")) };
        let times = if count == 1 { String::new() } else { format!("{count} times: ") };
        format!("{tags}{times}{words}")
    };
    folded.into_iter().map(line).collect()
}

fn as_json(wall: &Wall, look: &Look) -> serde_json::Value {
    let ring = |line: &v1::DueLine| {
        json!({"at": look.stamp(line.at_ms), "what": line.what, "place": line.place,
            "skull": line.skull.as_ref().map(skull)})
    };
    let waters = wall.waters.iter().map(|water| {
        let bath = water.line.bath.as_ref();
        json!({"place": water.line.name, "since": bath.map(|bath| look.stamp(bath.since_ms)),
            "peroxide_wv": bath.map(|bath| bath.peroxide_wv.clone()),
            "heat": bath.map(|bath| bath.heat.clone()), "lit": water.lit.is_some(),
            "change": water.change.map(|at| look.stamp(at.0)),
            "tags": water.line.here.iter().map(|line| line.tag.clone()).collect::<Vec<_>>()})
    });
    let dry = wall.dry.iter().map(|place| {
        json!({"place": place.name,
            "tags": place.here.iter().map(|line| line.tag.clone()).collect::<Vec<_>>()})
    });
    let clashes = wall.clashes.iter().map(|c| json!({"tag": c.tag, "words": c.words}));
    let promised = wall.promised.iter().map(|(d, t)| json!({"day": d.to_string(), "tags": t}));
    let holds = wall.holds.iter().map(|(tag, why)| json!({"tag": tag, "why": why}));
    let silent = wall.silent.iter().map(
        |(bench, heard)| json!({"bench": bench, "heard": heard.map(|heard| look.stamp(heard.0))}),
    );
    json!({
        "rings": wall.rings.iter().map(ring).collect::<Vec<_>>(),
        "later": wall.later.iter().map(ring).collect::<Vec<_>>(), "waters": waters.collect::<Vec<_>>(),
        "elsewhere": dry.collect::<Vec<_>>(),
        "next": wall.next.iter().map(|n| json!({"place": n.place, "tags": n.tags, "why": n.why,
                "reasons": n.reasons}))
            .collect::<Vec<_>>(),
        "clashes": clashes.collect::<Vec<_>>(), "promised": promised.collect::<Vec<_>>(),
        "holds": holds.collect::<Vec<_>>(), "silent": silent.collect::<Vec<_>>(),
    })
}

#[cfg(test)]
mod tests {
    use burrline_terms::{Day, Moment, Typed as _};
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
        // Printed once it is whole: the long name goes on in further lines.
        assert_eq!(wall(&full, "shed", &look, None).text.len(), 46);
    }

    /// A wall with something under nearly every heading.
    fn filled() -> Wall {
        let clash = |tag: &str| v1::ClashLine {
            tag: tag.to_owned(),
            words: "never said out".to_owned(),
            ..v1::ClashLine::default()
        };
        let line = v1::PlaceLine {
            name: "pot-1".to_owned(),
            bath: Some(v1::BathLine { heat: "boil".to_owned(), ..v1::BathLine::default() }),
            here: vec![v1::SkullLine { tag: "0417".to_owned(), ..v1::SkullLine::default() }],
            ..v1::PlaceLine::default()
        };
        let lit = Some(v1::LitLine::default());
        Wall {
            waters: vec![Water { line, change: Some(Moment(7_200_000)), lit }],
            next: vec![Next {
                place: "pot-2".to_owned(),
                tags: vec!["0418".to_owned(), "0419".to_owned()],
                why: "thawed first".to_owned(),
                reasons: vec!["thawed first".to_owned(), "promised Friday".to_owned()],
            }],
            clashes: vec![clash("0431"), clash("0432"), clash("0431")],
            promised: [(Day::read("2025-11-14").unwrap(), vec!["0412".to_owned()])].into(),
            holds: vec![("0417".to_owned(), "papers".to_owned())],
            silent: vec![("yard-2".to_owned(), None), ("yard-1".to_owned(), Some(Moment(60_000)))],
            ..Wall::default()
        }
    }

    #[test]
    fn a_wall_reads_as_it_was_written() {
        let look = |width| Look { zone: TimeZone::UTC, now: Moment(0), width, color: false };
        let shown =
            |width, height| wall(&filled(), "the shed", &look(width), height).text.join("\n");
        insta::assert_snapshot!("a_wide_screen", shown(Some(100), Some(24)));
        insta::assert_snapshot!("a_narrow_screen", shown(Some(40), Some(60)));
        insta::assert_snapshot!("no_screen", shown(None, None));
    }

    #[test]
    fn a_lit_pot_says_so_first_and_loudly() {
        let look = Look { zone: TimeZone::UTC, now: Moment(0), width: None, color: false };
        let bath = |heat: &str| v1::BathLine { heat: heat.to_owned(), ..v1::BathLine::default() };
        let water = |heat: &str, lit: bool| Water {
            line: v1::PlaceLine {
                name: "pot-1".to_owned(),
                bath: Some(bath(heat)),
                ..v1::PlaceLine::default()
            },
            change: None,
            lit: lit.then(v1::LitLine::default),
        };
        let told = |heat: &str, lit: bool| water_line(&water(heat, lit), &look);
        assert_eq!(told("lit", true).text, "pot-1  LIT since 00:00, water of 00:00: empty");
        let down = told("down, 88 \u{b0}C", true);
        assert!(down.text.starts_with("pot-1  LIT since 00:00, down, 88"), "{down:?}");
        assert!(down.alarm);
        let off = told("off", false);
        assert!(off.text.starts_with("pot-1  off, water of") && !off.alarm, "{off:?}");
    }

    #[test]
    fn equal_clashes_are_one_line_with_their_number() {
        let clash = |tag: &str, words: &str| v1::ClashLine {
            tag: tag.to_owned(),
            words: words.to_owned(),
            ..v1::ClashLine::default()
        };
        let lines = folded(&[
            clash("0417", "never said out"),
            clash("0431", "wash: no open job had tag 0431 then"),
            clash("0418", "never said out"),
            clash("0417", "never said out"),
        ]);
        assert_eq!(
            lines,
            ["0417 0418  3 times: never said out", "0431  wash: no open job had tag 0431 then"]
        );
    }

    #[test]
    fn what_is_days_over_is_counted_in_days() {
        assert_eq!(over(90), "1 h 30");
        assert_eq!(over(47 * 60), "47 h");
        assert_eq!(over(9231 * 60 + 43), "384 days");
    }
}
