//! Amounts as they are typed and said.

use super::*;

fn read(kind: Kind, line: &str, mark: Option<DecimalMark>) -> String {
    let words: Vec<&str> = line.split(' ').collect();
    match amount(kind, &words, mark) {
        Amount::No => "no".to_owned(),
        Amount::Is { value, used } => format!("{value} ({used})"),
        Amount::Doubt { readings, .. } => format!("{}?", readings.join(" | ")),
        Amount::Comma { decimal, thousands, .. } => {
            let text = |one: Option<String>| one.unwrap_or_else(|| "-".to_owned());
            format!("{} or {}?", text(decimal), text(thousands))
        }
    }
}

#[test]
fn units_are_read_as_they_are_typed() {
    for (kind, line, value) in [
        (Kind::Mass, "1420 g", "1420g (2)"),
        (Kind::Mass, "2 lb 3 oz 0418", "2lb3oz (4)"),
        (Kind::Mass, "2lb 3oz", "2lb3oz (2)"),
        (Kind::Mass, "2.5 lbs", "2.5lb (2)"),
        (Kind::Volume, "1/2 gal", "0.5gal (2)"),
        (Kind::Volume, "1 1/2 gallons", "1.5gal (3)"),
        (Kind::Volume, "8 fl oz", "8floz (3)"),
        (Kind::Volume, "3 gal.", "3gal (2)"),
        (Kind::Volume, "2 imp gal", "2impgal (3)"),
        (Kind::Volume, "1 cup", "1cup (2)"),
        (Kind::Strength, "12 percent", "12% (2)"),
        (Kind::Strength, "12 per cent", "12% (3)"),
        (Kind::Strength, "40 Vol", "40vol (2)"),
        (Kind::Strength, "35 % w/w", "35%w/w (3)"),
        (Kind::Strength, "35% w/w", "35%w/w (2)"),
        (Kind::Temperature, "190F", "190F (1)"),
        (Kind::Temperature, "190 \u{b0}F", "190F (2)"),
        (Kind::Temperature, "-18 C", "-18C (2)"),
        (Kind::Length, "21 7/8", "21 7/8in (2)"),
        (Kind::Length, "13 9/16 in", "13 9/16in (3)"),
        (Kind::Length, "21.5 cm", "21.5cm (2)"),
        (Kind::Span, "2 h 30 min", "150min (4)"),
        (Kind::Span, "6 hours", "6h (2)"),
        (Kind::Mass, "0417 wash", "no"),
        (Kind::Volume, "1/3 cup", "16tsp (2)"),
        (Kind::Mass, "2lb3oz", "2lb3oz (1)"),
        (Kind::Mass, "2 lb 3 1/2 oz", "2lb3.5oz (5)"),
        (Kind::Mass, "2 pounds and 3 ounces", "2lb3oz (5)"),
        (Kind::Mass, "3 lb 18 oz", "4lb2oz?"),
        (Kind::Mass, "2-3/4 lb", "2.75lb (2)"),
        (Kind::Mass, "about 2 lb", "2lb (3)"),
        (Kind::Mass, "3#", "3lb (1)"),
        (Kind::Volume, "half a gallon", "0.5gal (3)"),
        (Kind::Volume, "two quarts", "2qt (2)"),
        (Kind::Volume, "1-2 gal", "1gal | 1.5gal | 2gal?"),
        (Kind::Volume, "a g", "no"),
        (Kind::Temperature, "- 4 F", "-4F (3)"),
        (Kind::Temperature, "180-190 F", "180F | 185F | 190F?"),
        (Kind::Strength, "between 3 and 4 %", "3% | 3.5% | 4%?"),
        (Kind::Length, "217/8", "21 7/8in?"),
        (Kind::Length, "1 ft 5 in", "17in (4)"),
        (Kind::Length, "1' 5 1/2\"", "17 1/2in (3)"),
        (Kind::Length, "17'", "17in | 204in?"),
        (Kind::Length, "17-4/8", "17 4/8in (1)"),
        (Kind::Length, "17 1/2\"", "17 1/2in (2)"),
        (Kind::Span, "2h30", "150min (1)"),
        (Kind::Span, "2 h 30 fleshing", "150min (3)"),
        (Kind::Span, "an hour and a half", "1.5h (5)"),
    ] {
        assert_eq!(read(kind, line, None), value, "{line}");
    }
}

#[test]
fn a_comma_is_asked_about_until_the_shop_has_settled_it() {
    let all = |line: &str, kind: Kind| {
        [None, Some(DecimalMark::Point), Some(DecimalMark::Comma)]
            .map(|mark| read(kind, line, mark))
    };
    assert_eq!(all("1,402 kg", Kind::Mass), ["1.402kg or 1402kg?", "1402kg (2)", "1.402kg (2)"]);
    assert_eq!(all("3,0 %", Kind::Strength), ["3.0% or -?", "3.0% or -?", "3.0% (2)"]);
    assert_eq!(all("1,402.5 g", Kind::Mass)[0], "1402.5g (2)");
    assert_eq!(all("1.402 kg", Kind::Mass)[2], "1.402kg or 1402kg?");
    assert_eq!(all("2.5 kg", Kind::Mass)[2], "2.5kg (2)");
}
