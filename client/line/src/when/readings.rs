//! What a said time can mean now, in the shop's zone.

use burrline_terms::{Moment, SaidTime};
use jiff::{
    SignedDuration, Timestamp, ToSpan as _, ZonedDateTime,
    civil::{Date, DateTime, Time},
    tz::{AmbiguousOffset, TimeZone},
};

use super::{
    Meant, Reading,
    phrase::{Clock, DaySaid, End, Part, Phrase, What},
};
use crate::Error;

/// How far either side of a time "about" reaches: half an hour; common practice, no source.
const ABOUT_MINUTES: i64 = 30;

/// A time that is no further ahead than this was read off a clock that is fast: it means now, and
/// never the same time yesterday. Common practice, no source.
const FAST_MINUTES: i64 = 10;

/// An hour before this, said without `am`, is as likely one of the afternoon: nobody works at night.
const NIGHT_ENDS: i8 = 6;

/// A time that may be meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Candidate {
    from: Timestamp,
    until: Timestamp,
    /// Its end is cut at now without a question: nobody said an end of the clock.
    loose: bool,
}

/// What is meant by a phrase that was typed now; `typed` are its words.
pub(super) fn meant(typed: &str, phrase: &Phrase, here: &ZonedDateTime) -> Result<Meant, Error> {
    let sought = Sought { typed, here, zone: here.time_zone() };
    match &phrase.what {
        What::Ago(ms, about) => sought.ago(*ms, *about),
        What::Exact(from, until) => sought.exact(*from, *until),
        What::Clock(..) | What::About(..) | What::Range(..) | What::Part(_) | What::Day => {
            sought.on_days(&phrase.what, &phrase.day)
        }
    }
}

struct Sought<'a> {
    typed: &'a str,
    here: &'a ZonedDateTime,
    zone: &'a TimeZone,
}

impl Sought<'_> {
    fn now(&self) -> Timestamp {
        self.here.timestamp()
    }

    fn to_come(&self) -> Error {
        Error::usage(format!("{} is still to come; say when it happened", self.typed))
    }

    fn out_of_range(&self) -> Error {
        Error::usage(format!("\u{201c}{}\u{201d} is out of all range", self.typed))
    }

    fn ago(&self, ms: i64, about: bool) -> Result<Meant, Error> {
        let at = self.moved(self.now(), ms.saturating_neg())?;
        if !about {
            return Ok(Meant::Sure(said(at, at)));
        }
        let about = self.about(at, at)?;
        Ok(Meant::Sure(said(about.from, about.until.min(self.now()))))
    }

    fn exact(&self, from: End, until: Option<End>) -> Result<Meant, Error> {
        let ends = |end: End| match end {
            End::Stamp(stamp) => Ok((stamp, stamp)),
            End::Local(local) => self.moments(local),
        };
        let (first, again) = ends(from)?;
        let Some(until) = until else {
            return self.chosen(points(&[(first, again)]), Vec::new(), None);
        };
        let (_, until) = ends(until)?;
        let (from, until) = (first.min(until), first.max(until));
        if until > self.now() {
            return Err(self.to_come());
        }
        Ok(Meant::Sure(said(from, until)))
    }

    fn on_days(&self, what: &What, said: &DaySaid) -> Result<Meant, Error> {
        let today = self.here.date();
        let back = |days: i64| today.checked_sub(days.days()).map_err(|_| self.out_of_range());
        let (days, instead): (Vec<Date>, Option<(Date, &str)>) = match said {
            DaySaid::Unsaid => (vec![today], Some((back(1)?, "today"))),
            DaySaid::Today => (vec![today], None),
            DaySaid::Yesterday => (vec![back(1)?], None),
            DaySaid::Weekday { day, last } => {
                let ago = i64::from(today.weekday().since(*day));
                match (ago, last) {
                    (0, true) => (vec![back(7)?], None),
                    // Of a day of the week that is today, this one and the last may be meant.
                    (0, false) => {
                        let begun =
                            self.on(what, said, today)?.iter().all(|one| one.from <= self.now());
                        let both = if begun { vec![today, back(7)?] } else { vec![today] };
                        (both, Some((back(7)?, "today")).filter(|_| !begun))
                    }
                    (ago, _) => (vec![back(ago)?], None),
                }
            }
            DaySaid::Dates(dates) => (dates.clone(), None),
            DaySaid::InYear(dates) => return self.in_year(what, dates),
        };
        let mut found = Vec::new();
        for date in days {
            found.extend(self.on(what, said, date)?);
        }
        let instead = match instead {
            Some((date, which)) => Some((self.on(what, said, date)?, which)),
            None => None,
        };
        let (instead, which) =
            instead.map_or_else(Default::default, |(on, which)| (on, Some(which)));
        self.chosen(found, instead, which)
    }

    /// The last day of this name that there was.
    fn in_year(&self, what: &What, dates: &[(i8, i8)]) -> Result<Meant, Error> {
        let year = self.here.year();
        let before = year.checked_sub(1).ok_or_else(|| self.out_of_range())?;
        let on = |year: i16| -> Result<Vec<Candidate>, Error> {
            let days = dates.iter().filter_map(|(month, day)| Date::new(year, *month, *day).ok());
            let mut found = Vec::new();
            for date in days {
                found.extend(self.on(what, &DaySaid::InYear(Vec::new()), date)?);
            }
            Ok(found)
        };
        let (this_year, last_year) = (on(year)?, on(before)?);
        if this_year.is_empty() && last_year.is_empty() {
            return Err(Error::usage(format!(
                "\u{201c}{}\u{201d}: there is no such day",
                self.typed
            )));
        }
        self.chosen(this_year, last_year, Some("this year"))
    }

    /// The times on one day that can be meant.
    fn on(&self, what: &What, day: &DaySaid, date: Date) -> Result<Vec<Candidate>, Error> {
        match what {
            What::Clock(clock, part) => Ok(points(&self.at(clock, *part, date)?)),
            What::About(clock, part) => {
                let at = self.at(clock, *part, date)?;
                at.into_iter().map(|(first, again)| self.about(first, again)).collect()
            }
            What::Range(from, until) => self.range(from, until, date, *day == DaySaid::Unsaid),
            What::Part(part) => {
                let (from, until, next_day) = bounds(*part);
                let end = if next_day { self.next(date)? } else { date };
                let from = self.loosely(date.to_datetime(from))?;
                let until = self.loosely(end.to_datetime(until))?;
                Ok(vec![Candidate { from, until, loose: true }])
            }
            What::Day => {
                let from = self.loosely(date.to_datetime(Time::midnight()))?;
                let last = Time::new(23, 59, 0, 0).map_err(|_| self.out_of_range())?;
                let until = self.loosely(date.to_datetime(last))?;
                Ok(vec![Candidate { from, until, loose: true }])
            }
            What::Ago(..) | What::Exact(..) => Ok(Vec::new()),
        }
    }

    /// A time of the clock on a day, as often as it can be meant; each with the moment when the clocks
    /// showed it again, if they did.
    fn at(
        &self,
        clock: &Clock,
        part: Option<Part>,
        date: Date,
    ) -> Result<Vec<(Timestamp, Timestamp)>, Error> {
        let times = times(clock).into_iter().filter(|time| part.is_none_or(|p| within(*time, p)));
        let mut found = Vec::new();
        for time in times {
            found.push(self.moments(date.to_datetime(time))?);
        }
        if found.is_empty() {
            return Err(Error::usage(format!(
                "\u{201c}{}\u{201d}: that hour is not in that part of the day; say it like 16:10",
                self.typed
            )));
        }
        Ok(found)
    }

    fn about(&self, first: Timestamp, again: Timestamp) -> Result<Candidate, Error> {
        let half = ABOUT_MINUTES.saturating_mul(60_000);
        let (from, until) = (self.moved(first, half.saturating_neg())?, self.moved(again, half)?);
        Ok(Candidate { from, until, loose: true })
    }

    /// From one time of the clock until another. Where nobody said the half of the day, the end is the
    /// first such time after the beginning, and nothing lasts longer than half a day.
    fn range(
        &self,
        from: &Clock,
        until: &Clock,
        date: Date,
        day_unsaid: bool,
    ) -> Result<Vec<Candidate>, Error> {
        let half_a_day = SignedDuration::from_hours(12);
        let next = self.next(date)?;
        let mut found: Vec<Candidate> = Vec::new();
        for begins in times(from) {
            let start = date.to_datetime(begins);
            let ends = [date, next]
                .into_iter()
                .flat_map(|day| times(until).into_iter().map(move |time| day.to_datetime(time)));
            let Some(end) = ends.filter(|end| *end > start).min() else { continue };
            let (first, _) = self.moments(start)?;
            let (_, last) = self.moments(end)?;
            let guessed = from.open || until.open;
            if guessed && last.duration_since(first) > half_a_day {
                continue;
            }
            found.push(Candidate { from: first, until: last, loose: false });
        }
        // `9 to 1 pm`: of two beginnings the one before it, and the nearer one.
        if from.open && until.halved && found.len() > 1 {
            found.sort_by_key(|one| one.until.duration_since(one.from));
            found.truncate(1);
        }
        // `22:00..01:00`, typed at two: it began the day before.
        if day_unsaid && found.iter().all(|one| one.until > self.now()) {
            let before = date.checked_sub(1.day()).map_err(|_| self.out_of_range())?;
            let over_night = self.range(from, until, before, false)?;
            let ends_today = |one: &&Candidate| {
                one.until <= self.now()
                    && one.until.to_zoned_datetime(self.zone.clone()).date() == date
            };
            let over_night: Vec<Candidate> =
                over_night.iter().filter(ends_today).copied().collect();
            if !over_night.is_empty() {
                return Ok(over_night);
            }
        }
        Ok(found)
    }

    /// Chooses among what can be meant: what has begun by now, else what could be meant instead.
    fn chosen(
        &self,
        found: Vec<Candidate>,
        instead: Vec<Candidate>,
        which: Option<&str>,
    ) -> Result<Meant, Error> {
        let now = self.now();
        let begun = |all: &[Candidate]| -> Vec<Candidate> {
            all.iter().filter(|one| one.from <= now).copied().collect()
        };
        let (fit, earlier) = (begun(&found), begun(&instead));
        let today = which == Some("today");
        if today && found.iter().any(|one| self.is_fast(one)) {
            let why = format!(
                "{} is still to come; it is {} by the shop's clock",
                self.typed,
                self.here.strftime("%H:%M")
            );
            let minute = now.as_second().saturating_sub(now.as_second().rem_euclid(60));
            let minute = Timestamp::from_second(minute).map_err(|_| self.out_of_range())?;
            let this_minute = Candidate { from: minute, until: minute, loose: false };
            let all =
                std::iter::once(this_minute).chain(fit).map(|one| self.reading(one)).collect();
            return Ok(Meant::Asked { why, readings: all });
        }
        let (why, fit) = match (fit.as_slice(), which) {
            ([], Some(of)) if !earlier.is_empty() => {
                (format!("{} is still to come {of}", self.typed), earlier)
            }
            ([], _) => return Err(self.to_come()),
            ([one], _) if one.until > now && !one.loose => {
                let why = format!("the end of {} is still to come", self.typed);
                (why, fit.iter().chain(earlier.iter().filter(|_| today)).copied().collect())
            }
            // Of 4:10 at two o'clock, the night is the less likely one.
            ([one], _) if today && found.len() > 1 && self.at_night(one) && !one.loose => {
                let afternoon = earlier.iter().filter(|other| !self.at_night(other));
                let why = format!("{} can be at night or in the afternoon", self.typed);
                (why, fit.iter().chain(afternoon).copied().collect())
            }
            ([one], _) => return Ok(Meant::Sure(said(one.from, one.until.min(now)))),
            (_, _) => (format!("{} can be more than one time", self.typed), fit),
        };
        let readings = fit.into_iter().map(|one| self.reading(one)).collect();
        Ok(Meant::Asked { why, readings })
    }

    /// Whether a clock that is a little fast shows this now.
    fn is_fast(&self, one: &Candidate) -> bool {
        let ahead = one.from.duration_since(self.now());
        let so_much = SignedDuration::ZERO..=SignedDuration::from_mins(FAST_MINUTES);
        !one.loose && !ahead.is_zero() && so_much.contains(&ahead)
    }

    fn at_night(&self, one: &Candidate) -> bool {
        one.from.to_zoned_datetime(self.zone.clone()).hour() < NIGHT_ENDS
    }

    fn reading(&self, one: Candidate) -> Reading {
        let until = one.until.min(self.now());
        let (from, to) = (
            one.from.to_zoned_datetime(self.zone.clone()),
            until.to_zoned_datetime(self.zone.clone()),
        );
        let today = self.here.date();
        let day = if from.date() == today {
            "today".to_owned()
        } else if today.yesterday().is_ok_and(|day| day == from.date()) {
            from.strftime("yesterday, %a %Y-%m-%d").to_string()
        } else {
            from.strftime("%a %Y-%m-%d").to_string()
        };
        let twice =
            |at: &ZonedDateTime| self.zone.to_ambiguous_timestamp(at.datetime()).is_ambiguous();
        let clock = |at: &ZonedDateTime| {
            let form = if twice(at) { "%H:%M (%:z)" } else { "%H:%M" };
            at.strftime(form).to_string()
        };
        let typed = |at: &ZonedDateTime| {
            let form = if twice(at) { "%Y-%m-%dT%H:%M%:z" } else { "%Y-%m-%dT%H:%M" };
            at.strftime(form).to_string()
        };
        let (shown, say) = if one.from == until {
            (format!("{day} {}", clock(&from)), typed(&from))
        } else {
            let shown = format!("{day} {} to {}", clock(&from), clock(&to));
            (shown, format!("{}..{}", typed(&from), typed(&to)))
        };
        Reading { time: said(one.from, until), shown, say }
    }

    /// When the shop's clocks showed a time: the first and the last moment, which differ only where the
    /// clocks were put back.
    fn moments(&self, at: DateTime) -> Result<(Timestamp, Timestamp), Error> {
        let found = self.zone.to_ambiguous_timestamp(at);
        if let AmbiguousOffset::Gap { .. } = found.offset() {
            return Err(Error::usage(format!(
                "there was no {} on {}: the clocks were put forward over it; say a time before or \
                 after",
                at.strftime("%H:%M"),
                at.strftime("%Y-%m-%d"),
            )));
        }
        let (first, last) = (found.earlier(), found.later());
        Ok((first.map_err(|_| self.out_of_range())?, last.map_err(|_| self.out_of_range())?))
    }

    /// The same for an end that nobody said: a gap is stepped over.
    fn loosely(&self, at: DateTime) -> Result<Timestamp, Error> {
        self.zone.to_ambiguous_timestamp(at).compatible().map_err(|_| self.out_of_range())
    }

    fn next(&self, date: Date) -> Result<Date, Error> {
        date.tomorrow().map_err(|_| self.out_of_range())
    }

    fn moved(&self, at: Timestamp, ms: i64) -> Result<Timestamp, Error> {
        at.checked_add(SignedDuration::from_millis(ms)).map_err(|_| self.out_of_range())
    }
}

fn said(from: Timestamp, until: Timestamp) -> SaidTime {
    SaidTime::between(Moment(from.as_millisecond()), Moment(until.as_millisecond()))
}

/// Each moment by itself: of an hour that the clocks showed twice, both.
fn points(moments: &[(Timestamp, Timestamp)]) -> Vec<Candidate> {
    let mut all: Vec<Timestamp> =
        moments.iter().flat_map(|(first, again)| [*first, *again]).collect();
    all.dedup();
    all.into_iter().map(|at| Candidate { from: at, until: at, loose: false }).collect()
}

/// The times that a clock can mean: before and after noon where nobody said which.
fn times(clock: &Clock) -> Vec<Time> {
    let later = clock.time.checked_add(12.hours()).ok().filter(|_| clock.open);
    std::iter::once(clock.time).chain(later).collect()
}

/// When a part of a day begins and ends, and whether that is on the next day.
const fn bounds(part: Part) -> (Time, Time, bool) {
    const fn hour(hour: i8) -> Time {
        Time::constant(hour, 0, 0, 0)
    }
    match part {
        Part::Morning => (hour(5), hour(12), false),
        Part::Afternoon => (hour(12), hour(17), false),
        Part::Evening => (hour(17), hour(22), false),
        Part::Night => (hour(17), hour(5), true),
    }
}

fn within(time: Time, part: Part) -> bool {
    let (from, until, over_night) = bounds(part);
    if over_night { time >= from || time < until } else { (from..=until).contains(&time) }
}
