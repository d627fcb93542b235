//! What rings: a look, a lift, a change or a dry that is due, again and again until it is heard or done.

use std::collections::BTreeMap;

use burrline_present::named;
use burrline_proto::v1;
use burrline_screen::Look;
use burrline_terms::Moment;

/// How long until it rings again.
pub const AGAIN_MS: i64 = 5 * 60_000;

/// How many are told one by one.
const TOLD: usize = 6;

/// About what something rings: the skull or the place, and what is to be done.
type About = (String, String, String);

/// What rang, and what was heard.
#[derive(Debug, Clone, Default)]
pub struct Rings {
    /// When each last rang.
    rang: BTreeMap<About, i64>,
    /// When each was last heard.
    heard: BTreeMap<About, i64>,
}

impl Rings {
    /// With what was heard before, as [`Rings::heard`] gave it; what cannot be read was not heard.
    pub fn of(heard: &str) -> Self {
        let heard: Vec<(About, i64)> = serde_json::from_str(heard).unwrap_or_default();
        Self { rang: BTreeMap::new(), heard: heard.into_iter().collect() }
    }

    /// What was heard, as text.
    pub fn heard(&self) -> String {
        let heard: Vec<(&About, &i64)> = self.heard.iter().collect();
        serde_json::to_string(&heard).unwrap_or_default()
    }

    /// What rings now of what is due: what is new, or was not heard for a while. What is done falls
    /// out of the lines by itself. A clock that jumped, as after sleep, rings for all at once.
    pub fn ring(&mut self, due: &[v1::DueLine], now: Moment) -> Vec<v1::DueLine> {
        let here: Vec<About> = due.iter().map(about).collect();
        self.rang.retain(|about, _| here.contains(about));
        let mut ringing = Vec::new();
        for (line, about) in due.iter().zip(here) {
            let heard = self.heard.get(&about).is_some_and(|heard| line.at_ms <= *heard);
            let soon = self.rang.get(&about).is_some_and(|rang| {
                let since = now.0.saturating_sub(*rang);
                // Set back by hours, the clock says nothing of how long it was.
                (0..AGAIN_MS).contains(&since)
            });
            if line.at_ms <= now.0 && !heard && !soon {
                self.rang.insert(about, now.0);
                ringing.push(line.clone());
            }
        }
        ringing
    }

    /// Everything that is due has been heard; says how many were.
    pub fn hear(&mut self, due: &[v1::DueLine], now: Moment) -> usize {
        let due: Vec<&v1::DueLine> = due.iter().filter(|line| line.at_ms <= now.0).collect();
        // What is due no more need not be remembered.
        let here: Vec<About> = due.iter().map(|line| about(line)).collect();
        self.heard.retain(|about, _| here.contains(about));
        self.heard.extend(here.into_iter().map(|about| (about, now.0)));
        due.len()
    }
}

fn about(line: &v1::DueLine) -> About {
    let job = line.skull.as_ref().map(|skull| skull.number.clone()).unwrap_or_default();
    (job, line.place.clone(), line.what.clone())
}

/// The lines that are shown with the bell.
pub fn lines(ringing: &[v1::DueLine], look: &Look) -> Vec<String> {
    let mut lines: Vec<String> = ringing.iter().take(TOLD).map(|line| one(line, look)).collect();
    let more = ringing.len().saturating_sub(TOLD);
    if more > 0 {
        lines.push(format!("RING  and {more} more: due"));
    }
    lines
}

/// "RING 10:40  pot-1: 0417 whitetail 8 pt: look at it (simmer, 2 h planned)".
fn one(line: &v1::DueLine, look: &Look) -> String {
    let mut words = vec![format!("RING {} ", look.time(line.at_ms))];
    // A line about a water names its place already.
    let named = line.place.is_empty() || line.what.contains(&line.place);
    words.extend((!named).then(|| format!("{}:", line.place)));
    words.extend(line.skull.as_ref().map(|skull| format!("{}:", named::skull(skull))));
    words.push(line.what.clone());
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    const MINUTE: i64 = 60_000;

    fn due(number: &str, at_min: i64) -> v1::DueLine {
        v1::DueLine {
            at_ms: at_min * MINUTE,
            what: "look at it (simmer, 2 h planned)".into(),
            skull: Some(v1::SkullLine { number: number.into(), ..v1::SkullLine::default() }),
            place: "pot-1".into(),
        }
    }

    fn at(minutes: i64) -> Moment {
        Moment(minutes * MINUTE)
    }

    #[test]
    fn it_rings_when_due_and_again_until_it_is_heard() {
        let (mut rings, lines) = (Rings::default(), [due("3-41-7", 100)]);
        let counts = [99, 100, 101, 104, 105, 106, 111].map(|m| rings.ring(&lines, at(m)).len());
        assert_eq!(counts, [0, 1, 0, 0, 1, 0, 1]);
        assert_eq!(rings.hear(&lines, at(112)), 1);
        assert!(rings.ring(&lines, at(200)).is_empty());
        let mut later = Rings::of(&rings.heard());
        assert!(later.ring(&lines, at(201)).is_empty(), "whoever steps up next");
        // The next look at the same skull is another one.
        assert_eq!(rings.ring(&[due("3-41-7", 210)], at(211)).len(), 1);
    }

    #[test]
    fn what_is_done_rings_no_more_and_others_go_on() {
        let mut rings = Rings::default();
        let (a, b) = (due("3-41-7", 100), due("3-42-4", 100));
        assert_eq!(rings.ring(&[a.clone(), b.clone()], at(100)).len(), 2);
        assert!(rings.ring(std::slice::from_ref(&b), at(101)).is_empty());
        assert_eq!(rings.ring(std::slice::from_ref(&b), at(106)).len(), 1);
        assert_eq!(rings.ring(&[a, b], at(107)).len(), 1, "put back in, it is due anew");
    }

    #[test]
    fn after_a_closed_lid_all_ring_at_once_and_a_clock_set_back_keeps_nothing_silent() {
        let mut rings = Rings::default();
        let lines = [due("3-41-7", 100), due("3-42-4", 400)];
        assert!(rings.ring(&lines, at(50)).is_empty());
        assert_eq!(rings.ring(&lines, at(900)).len(), 2, "asleep for half a day");
        assert_eq!(rings.ring(&lines, at(500)).len(), 2, "set back by hours");
    }
}
