//! Days: promised, and of the kill.

use super::{DEER, Told};

#[test]
fn a_promise_in_the_past_far_away_or_on_a_closed_day_is_asked_about() {
    let told = Told::given(&[
        "set-shop setting=open-days value=mon-sat",
        "set-shop setting=closed-days value=2026-12-10,12-25",
        DEER,
    ]);
    for (day, words) in [
        ("2026-11-20", vec!["2026-11-20 is past: 9 days ago"]),
        ("2026-12-06", vec!["2026-12-06 is a Sunday: the shop is closed on Sundays"]),
        ("2026-12-10", vec!["2026-12-10: the shop is closed on that day"]),
        ("2026-12-25", vec!["2026-12-25: the shop is closed on that day"]),
        ("2031-12-01", vec!["2031-12-01 is 5 years away"]),
        ("2026-12-07", vec![]),
    ] {
        assert_eq!(told.when(&format!("promise 0417 by={day}")), words, "{day}");
    }
    let open = Told::given(&[DEER]);
    assert!(open.when("promise 0417 by=2026-12-06").is_empty(), "nobody said when it is closed");
}

#[test]
fn a_kill_that_is_still_to_come_is_asked_about() {
    let told = Told::given(&[DEER]);
    assert_eq!(
        told.when("papers 0417 killed_on=2026-12-05"),
        ["killed on 2026-12-05: that day is still to come"]
    );
    assert_eq!(
        told.when("papers 0417 killed_on=2016-11-28"),
        ["killed on 2016-11-28: 10 years ago"]
    );
    assert!(told.when("papers 0417 killed_on=2026-11-28").is_empty());
}
