use super::*;

/// A skull of 1,380 g dry with 120 g of water and a time of 18 hours; our own figures.
fn mass(hours: f64) -> f64 {
    1380.0 + 120.0 * (-hours / 18.0).exp()
}

fn weighed(hours: &[f64]) -> Vec<Weighing> {
    hours.iter().map(|h| Weighing::at(*h, mass(*h))).collect()
}

#[test]
fn the_curve_is_found_again_from_its_own_points() {
    let curve = Curve::through(&weighed(&[0.0, 24.0, 48.0, 72.0, 96.0]), Grams(0.1)).unwrap();
    assert!((curve.dry.0 - 1380.0).abs() < 1e-3, "{curve:?}");
    assert!((curve.water.0 - 120.0).abs() < 1e-3 && (curve.time.0 - 18.0).abs() < 1e-3);
    let left = curve.left_between(Hours(24.0), Confidence::USUAL);
    assert!((left.value - 31.631_66).abs() < 1e-3 && left.low < left.value);
}

#[test]
fn the_first_weighing_need_not_be_at_nought() {
    let late: Vec<Weighing> =
        [0.0, 20.0, 40.0, 65.0, 90.0].iter().map(|h| Weighing::at(h + 1000.0, mass(*h))).collect();
    let curve = Curve::through(&late, Grams(0.1)).unwrap();
    let from = curve.constant_from(Rule::USUAL, Confidence::USUAL);
    // Over 48 hours: 18 ln(120 (1 - e^(-48/18)) / 1.38) = 79.1 hours after the first.
    let wanted = 1000.0 + 18.0 * (120.0 * (1.0 - (-48.0_f64 / 18.0).exp()) / 1.38).ln();
    assert!((from.value - wanted).abs() < 0.01, "{from:?} {wanted}");
    assert!(from.low < from.value && from.value < from.high);
}

/// Rounded to whole grams the limits still hold the truth, and are wider than those of a fine scale.
#[test]
fn a_coarse_scale_makes_the_doubt_wider() {
    let hours = [0.0, 12.0, 24.0, 36.0, 48.0, 72.0];
    let whole: Vec<Weighing> = hours.iter().map(|h| Weighing::at(*h, mass(*h).round())).collect();
    let coarse = Curve::through(&whole, Grams(1.0)).unwrap().dry_between(Confidence::USUAL);
    let fine =
        Curve::through(&weighed(&hours), Grams(0.01)).unwrap().dry_between(Confidence::USUAL);
    assert!(coarse.low < 1380.0 && 1380.0 < coarse.high, "{coarse:?}");
    assert!(coarse.high - coarse.low > 10.0 * (fine.high - fine.low));
}

#[test]
fn what_the_weighings_cannot_tell_is_said() {
    let through = |points: &[(f64, f64)]| {
        let all: Vec<Weighing> = points.iter().map(|(h, g)| Weighing::at(*h, *g)).collect();
        Curve::through(&all, Grams(1.0)).unwrap_err()
    };
    let few = through(&[(0.0, 1500.0), (24.0, 1411.0), (48.0, 1388.0)]);
    assert_eq!(few, CannotTell::TooFew { weighings: 3 });
    let line = [(0.0, 1500.0), (10.0, 1490.0), (20.0, 1480.0), (30.0, 1470.0)];
    assert_eq!(through(&line), CannotTell::NoBend);
    let faster = [(0.0, 1500.0), (10.0, 1495.0), (20.0, 1480.0), (30.0, 1440.0)];
    assert_eq!(through(&faster), CannotTell::NoBend);
    let flat = [(0.0, 1400.0), (10.0, 1400.0), (20.0, 1400.0), (30.0, 1400.0)];
    assert_eq!(through(&flat), CannotTell::NotFalling);
    let wetted = [
        (0.0, 1500.0),
        (24.0, 1411.0),
        (48.0, 1388.0),
        (60.0, 1430.0),
        (72.0, 1400.0),
        (96.0, 1383.0),
        (120.0, 1381.0),
    ];
    assert!(matches!(through(&wetted), CannotTell::DoesNotFit { .. }), "{:?}", through(&wetted));
    assert!(matches!(through(&[(5.0, 1500.0); 4]), CannotTell::TooFew { .. }));
}
