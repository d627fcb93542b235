use super::*;

/// Wednesday 2026-11-25 in Denver, 11:02.
const NOW: &str = "2026-11-25T18:02:00Z";

fn denver() -> TimeZone {
    TimeZone::get("America/Denver").unwrap()
}

fn moment(text: &str) -> Moment {
    Moment(text.parse::<Timestamp>().unwrap().as_millisecond())
}

fn shown(time: SaidTime) -> String {
    let zone = denver();
    let show = |at: Moment| local(at, &zone).strftime("%m-%d %H:%M").to_string();
    if time.is_point() {
        return show(time.from);
    }
    format!("{} to {}", show(time.from), show(time.until))
}

/// What words mean at a moment: the time, or with a `?` what is asked.
fn at_moment(words: &str, now: &str) -> String {
    match meant(words, moment(now), &denver()) {
        Ok(Meant::Sure(time)) => shown(time),
        Ok(Meant::Asked { readings, .. }) => {
            let all: Vec<String> = readings.iter().map(|one| shown(one.time)).collect();
            format!("? {}", all.join(" | "))
        }
        Err(error) => format!("! {error}"),
    }
}

fn holds(now: &str, lines: &[(&str, &str)]) {
    let wrong: Vec<String> = lines
        .iter()
        .map(|(words, wanted)| (words, wanted, at_moment(words, now)))
        .filter(|(_, wanted, got)| !got.starts_with(**wanted) || wanted.is_empty())
        .map(|(words, wanted, got)| format!("{words}: {got}, and not {wanted}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_time_that_a_fast_clock_shows_means_now_and_never_yesterday() {
    holds(
        NOW,
        &[
            ("11:03", "? 11-25 11:02"),
            ("11:12 am", "? 11-25 11:02"),
            ("11:13 am", "? 11-24 11:13"),
            ("10:59", "11-25 10:59"),
        ],
    );
    // Over midnight, too.
    holds("2026-11-26T06:58:30Z", &[("23:59", "? 11-25 23:58")]);
}

#[test]
fn a_time_of_today_that_has_been_is_taken() {
    holds(
        NOW,
        &[
            ("10:40", "11-25 10:40"),
            ("10:40am", "11-25 10:40"),
            ("10:40 am", "11-25 10:40"),
            ("10:40 A.M.", "11-25 10:40"),
            ("7:05", "11-25 07:05"),
            ("9", "11-25 09:00"),
            ("12:10am", "11-25 00:10"),
            ("today 10:40", "11-25 10:40"),
            ("20 min ago", "11-25 10:42"),
            ("2h ago", "11-25 09:02"),
            ("half an hour ago", "11-25 10:32"),
            ("9 this morning", "11-25 09:00"),
            ("9 in the morning", "11-25 09:00"),
            ("11:02", "11-25 11:02"),
        ],
    );
}

#[test]
fn a_time_that_is_still_to_come_today_is_asked_about_and_never_yesterday_s_in_silence() {
    holds(
        NOW,
        &[
            ("11:03", "? 11-25 11:02"),
            ("17:00", "? 11-24 17:00"),
            ("4 pm", "? 11-24 16:00"),
            ("noon", "? 11-24 12:00"),
            ("today 17:00", "! today 17:00 is still to come"),
            ("2026-11-26T08:00", "! 2026-11-26T08:00 is still to come"),
            ("yesterday 17:00", "11-24 17:00"),
            ("yesterday at 17:00", "11-24 17:00"),
            ("17:00 yesterday", "11-24 17:00"),
        ],
    );
}

#[test]
fn an_hour_without_its_half_of_the_day_is_asked_about_where_it_can_be_either() {
    holds(
        "2026-11-26T00:30:00Z",
        &[
            // It is 17:30.
            ("4:10", "? 11-25 04:10 | 11-25 16:10"),
            ("4:10 pm", "11-25 16:10"),
            ("04:10", "11-25 04:10"),
            ("9:15", "11-25 09:15"),
            ("10:40", "11-25 10:40"),
            ("yesterday 4:10", "? 11-24 04:10 | 11-24 16:10"),
            ("4 this afternoon", "11-25 16:00"),
            ("about 4", "? 11-25 03:30 to 11-25 04:30 | 11-25 15:30 to 11-25 16:30"),
        ],
    );
    // It is 14:00: ten past four has been at night, or yesterday in the afternoon.
    holds("2026-11-25T21:00:00Z", &[("4:10", "? 11-25 04:10 | 11-24 16:10")]);
}

#[test]
fn an_interval_is_said_in_many_ways_and_ends_no_later_than_now() {
    holds(
        NOW,
        &[
            ("09:00..10:30", "11-25 09:00 to 11-25 10:30"),
            ("9-10:30", "11-25 09:00 to 11-25 10:30"),
            ("9 to 10:30 am", "11-25 09:00 to 11-25 10:30"),
            ("between 9 and 10", "11-25 09:00 to 11-25 10:00"),
            ("from 9 until 10", "11-25 09:00 to 11-25 10:00"),
            ("yesterday 9 to 1 pm", "11-24 09:00 to 11-24 13:00"),
            ("yesterday 11..1", "? 11-24 11:00 to 11-24 13:00 | 11-24 23:00 to 11-25 01:00"),
            ("22:00..01:00", "11-24 22:00 to 11-25 01:00"),
            ("about 9", "11-25 08:30 to 11-25 09:30"),
            ("around 9:15", "11-25 08:45 to 11-25 09:45"),
            ("about 11", "11-25 10:30 to 11-25 11:02"),
            ("about 20 min ago", "11-25 10:12 to 11-25 11:02"),
            ("this morning", "11-25 05:00 to 11-25 11:02"),
            ("yesterday morning", "11-24 05:00 to 11-24 12:00"),
            ("yesterday evening", "11-24 17:00 to 11-24 22:00"),
            ("last night", "11-24 17:00 to 11-25 05:00"),
            ("yesterday", "11-24 00:00 to 11-24 23:59"),
            ("today", "11-25 00:00 to 11-25 11:02"),
            ("fri morning", "11-20 05:00 to 11-20 12:00"),
            ("2026-11-24T09:00..2026-11-24T10:30", "11-24 09:00 to 11-24 10:30"),
            ("10:30..11:30", "? 11-25 10:30 to 11-25 11:02 | 11-24 10:30 to 11-24 11:30"),
            ("this afternoon", "! this afternoon is still to come"),
        ],
    );
}

#[test]
fn a_day_is_said_by_its_name_or_in_numbers_and_asked_where_the_order_is_not_clear() {
    holds(
        NOW,
        &[
            ("fri 10:40", "11-20 10:40"),
            ("Friday 10:40", "11-20 10:40"),
            ("wed 10:40", "? 11-25 10:40 | 11-18 10:40"),
            ("wed 17:00", "? 11-18 17:00"),
            ("last wed 10:40", "11-18 10:40"),
            ("11/24 17:00", "11-24 17:00"),
            ("24/11 17:00", "11-24 17:00"),
            ("11/24/2026 17:00", "11-24 17:00"),
            ("11/24/26 17:00", "11-24 17:00"),
            ("nov 24 17:00", "11-24 17:00"),
            ("24 Nov 17:00", "11-24 17:00"),
            ("11/11 17:00", "11-11 17:00"),
            ("11/10 17:00", "? 11-10 17:00 | 10-11 17:00"),
            ("12/24 17:00", "? 12-24 17:00"),
            ("2026-11-24 17:00", "11-24 17:00"),
            ("2026-11-24T17:00", "11-24 17:00"),
            ("2026-11-25T00:00:00Z", "11-24 17:00"),
            ("2/30 17:00", "! "),
        ],
    );
}

/// Source: the zone data of America/Denver in 2026 (clocks forward on March 8 at 02:00, back on
/// November 1 at 02:00), as the tz database has it.
#[test]
fn an_hour_that_the_clocks_leave_out_is_refused_and_one_that_they_double_is_asked() {
    holds(
        "2026-03-08T20:00:00Z",
        &[
            ("2:30", "! there was no 02:30 on 2026-03-08: the clocks were put forward over it"),
            ("03:30", "03-08 03:30"),
        ],
    );
    let twice = meant("1:30 am", moment("2026-11-01T20:00:00Z"), &denver()).unwrap();
    let Meant::Asked { readings, .. } = twice else { panic!("{twice:?}") };
    let said: Vec<&str> = readings.iter().map(|one| one.say.as_str()).collect();
    assert_eq!(said, ["2026-11-01T01:30-06:00", "2026-11-01T01:30-07:00"]);
    let apart = readings[1].time.from.since(readings[0].time.from);
    assert_eq!(apart, 3_600_000);
    for one in &readings {
        let again = said_time(&one.say, moment("2026-11-01T20:00:00Z"), &denver());
        assert_eq!(again.unwrap(), one.time, "{}", one.say);
    }
    // An interval over it holds both.
    holds("2026-11-01T20:00:00Z", &[("00:30..01:30", "11-01 00:30 to 11-01 01:30")]);
}

#[test]
fn what_is_asked_names_words_that_mean_it_and_nothing_else() {
    for words in ["17:00", "11/10 17:00", "10:30..11:30", "wed 17:00"] {
        let Ok(Meant::Asked { readings, .. }) = meant(words, moment(NOW), &denver()) else {
            panic!("{words}")
        };
        for one in readings {
            assert_eq!(
                said_time(&one.say, moment(NOW), &denver()).unwrap(),
                one.time,
                "{}",
                one.say
            );
        }
    }
    let error = said_time("17:00", moment(NOW), &denver()).unwrap_err().to_string();
    assert_eq!(
        error,
        "17:00 is still to come today; say 2026-11-24T17:00 for yesterday, Tue 2026-11-24 17:00"
    );
}

#[test]
fn what_is_no_time_is_told_with_what_is_one() {
    for word in ["25:00", "10:4", "13pm", "0am", "1040", "pm", "", "wash", "10:40 0417", "about"] {
        let error = meant(word, moment(NOW), &denver()).unwrap_err().to_string();
        assert!(error.contains("is no time; say it like 10:40"), "{word}: {error}");
    }
}

#[test]
fn the_words_of_a_time_end_where_the_line_begins() {
    for (line, time) in [
        ("10:40 out 0612", "10:40"),
        ("10:40 am out 0612", "10:40 am"),
        ("4 pm in pot-1 0612", "4 pm"),
        ("9 in pot-1 0612", "9"),
        ("9 in the morning in pot-1 0612", "9 in the morning"),
        ("09:00..10:30 out 0417", "09:00..10:30"),
        ("9 to 10:30 out 0417", "9 to 10:30"),
        ("about 9 wash 0417", "about 9"),
        ("this morning look pot-2", "this morning"),
        ("yesterday 16:00 out 0417", "yesterday 16:00"),
        ("yesterday out 0417", "yesterday"),
        ("11/24 17:00 out 0417", "11/24 17:00"),
        ("20 min ago out 0417", "20 min ago"),
        ("last night out 0417", "last night"),
    ] {
        let words: Vec<String> = line.split(' ').map(str::to_owned).collect();
        let (taken, said) = at_front(&words).unwrap();
        assert_eq!(said, time, "{line}");
        assert_eq!(words[..taken].join(" "), time, "{line}");
    }
    let quoted = ["yesterday 16:00".to_owned(), "out".to_owned()];
    assert_eq!(at_front(&quoted).unwrap(), (1, "yesterday 16:00".to_owned()));
    assert!(at_front(&["wash".to_owned()]).is_err());
    assert!(at_front(&["16:00 out".to_owned()]).is_err());
}
