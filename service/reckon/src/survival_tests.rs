use super::*;

fn seen(words: &str) -> Vec<Observed> {
    let one = |word: &str| Observed {
        time: word.trim_end_matches('+').parse().unwrap(),
        finished: !word.ends_with('+'),
    };
    words.split_whitespace().map(one).collect()
}

/// Source: Freireich and others, Blood 21 (1963), the treated arm, weeks in remission, as it is
/// reprinted in textbooks; limits as R's survfit gives them with conf.type "log-log".
const TREATED: &str = "6 6 6 7 10 13 16 22 23 6+ 9+ 10+ 11+ 17+ 19+ 20+ 25+ 32+ 32+ 34+ 35+";

fn curve(words: &str) -> Curve {
    Curve::of(&seen(words), Confidence::USUAL).unwrap()
}

#[test]
fn the_treated_arm_gives_the_published_curve() {
    let rows = [
        (6.0, 21, 3, 0.857_143, 0.076_360, 0.619_718, 0.951_552),
        (7.0, 17, 1, 0.806_723, 0.086_935, 0.563_147, 0.922_809),
        (10.0, 15, 1, 0.752_941, 0.096_350, 0.503_200, 0.889_362),
        (13.0, 12, 1, 0.690_196, 0.106_815, 0.431_610, 0.849_066),
        (16.0, 11, 1, 0.627_451, 0.114_054, 0.367_511, 0.804_912),
        (22.0, 7, 1, 0.537_815, 0.128_234, 0.267_779, 0.746_791),
        (23.0, 6, 1, 0.448_179, 0.134_591, 0.188_052, 0.680_143),
    ];
    let curve = curve(TREATED);
    assert_eq!(curve.steps.len(), rows.len());
    for (step, (at, going, finished, longer, error, low, high)) in curve.steps.iter().zip(rows) {
        assert_eq!((step.at, step.going, step.finished), (at, going, finished));
        for (got, wanted) in
            [(step.longer, longer), (step.error, error), (step.low, low), (step.high, high)]
        {
            assert!((got - wanted).abs() < 1e-6, "at {at}: {got} is not {wanted}");
        }
    }
}

#[test]
fn a_share_that_was_never_reached_is_never_dated() {
    let curve = curve(TREATED);
    let half = curve.quantile(0.5).unwrap();
    assert_eq!((half.by, half.low, half.high), (By::Time(23.0), By::Time(13.0), By::NotReached));
    let quarter = curve.quantile(0.25).unwrap();
    assert_eq!(
        (quarter.by, quarter.low, quarter.high),
        (By::Time(13.0), By::Time(6.0), By::Time(22.0))
    );
    assert_eq!(curve.quantile(0.9).unwrap().by, By::NotReached);
    assert!(curve.quantile(1.0).is_err());
}

#[test]
fn the_mean_is_the_area_up_to_its_limit() {
    let curve = curve(TREATED);
    assert!((curve.mean_to(35.0) - 23.287_395).abs() < 1e-6);
    assert!((curve.mean_to(23.0) - 17.909_244).abs() < 1e-6);
}

#[test]
fn at_equal_times_finishing_comes_first() {
    // Were the two that left at 6 gone before the finish, three would be going, not five.
    assert_eq!(curve("6 6+ 6+ 8 9").steps.first().unwrap().going, 5);
}

#[test]
fn when_all_have_finished_the_upper_limit_stays_where_it_was_known() {
    let curve = curve("1 2 3");
    let last = curve.steps.last().unwrap();
    assert!(last.longer.abs() < 1e-12);
    assert!((last.high - curve.steps[1].high).abs() < 1e-12);
    assert_eq!(curve.quantile(0.9).unwrap().by, By::Time(3.0));
    assert_eq!(curve.quantile(0.9).unwrap().high, By::NotReached);
}

#[test]
fn what_has_lasted_already_is_the_same_curve_from_there_on() {
    let all = curve(TREATED);
    let later = Curve::of(&lasting(&seen(TREATED), 10.0), Confidence::USUAL).unwrap();
    for step in &later.steps {
        let whole = all.longer_than(step.at + 10.0) / all.longer_than(10.0);
        assert!((step.longer - whole).abs() < 1e-12);
    }
}

#[test]
fn nothing_and_no_time_are_refused() {
    assert_eq!(Curve::of(&[], Confidence::USUAL), Err(NoCurve::Empty));
    for word in ["0", "-3", "NaN", "inf"] {
        assert!(Curve::of(&seen(word), Confidence::USUAL).is_err(), "{word}");
    }
}
