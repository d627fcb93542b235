//! Numbers as people write them.

use rust_decimal::Decimal;

/// The most figures behind the point.
const MAX_SCALE: u32 = 6;

/// A number of 0 or more, below 10^9, with at most six figures behind the point, as [`of_any_size`]
/// reads it.
pub fn read(word: &str) -> Option<Decimal> {
    of_any_size(word).filter(|number| *number < Decimal::from(1_000_000_000_u64))
}

/// A number of 0 or more with at most six figures behind the point.
///
/// A comma parts thousands only where it cannot be a decimal comma: in groups of three before a
/// point, or more than once. `12,95` and `1,402` are not read.
pub fn of_any_size(word: &str) -> Option<Decimal> {
    let word = word.trim();
    let bare = if word.contains(',') { without_groups(word)? } else { word.to_owned() };
    let number = Decimal::from_str_exact(&bare).ok()?.normalize();
    let fits = !number.is_sign_negative() || number.is_zero();
    (fits && number.scale() <= MAX_SCALE).then_some(number)
}

/// A number without the commas that part its thousands; none if they do not surely do that.
fn without_groups(word: &str) -> Option<String> {
    let (whole, part) = word.split_once('.').map_or((word, None), |(w, p)| (w, Some(p)));
    let groups: Vec<&str> = whole.split(',').collect();
    let sure = part.is_some() || groups.len() > 2;
    let whole = grouped(&groups)?;
    if !sure || part.is_some_and(|part| !all_digits(part)) {
        return None;
    }
    Some(part.map_or_else(|| whole.clone(), |part| format!("{whole}.{part}")))
}

/// The digits of a number whose thousands are parted: one to three, then threes.
fn grouped(groups: &[&str]) -> Option<String> {
    let (first, rest) = groups.split_first()?;
    let fits = (1..=3).contains(&first.len())
        && all_digits(first)
        && rest.iter().all(|group| group.len() == 3 && all_digits(group));
    fits.then(|| groups.concat())
}

/// What a number with a comma could be, where a comma could be either.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CommaReadings {
    /// With the comma as the decimal mark: `12,95` is 12.95.
    pub decimal: Option<String>,
    /// With the comma between thousands: `1,402` is 1402.
    pub thousands: Option<String>,
}

/// Both readings of a number with one comma that [`read`] leaves alone; none for anything else.
pub fn comma(word: &str) -> Option<CommaReadings> {
    let word = word.trim();
    let (whole, part) = word.split_once(',')?;
    let plain = !whole.is_empty() && all_digits(whole) && !part.is_empty() && all_digits(part);
    if !plain {
        return None;
    }
    let decimal = format!("{whole}.{part}");
    Some(CommaReadings {
        decimal: read(&decimal).map(|_| decimal),
        thousands: grouped(&[whole, part]),
    })
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comma_parts_thousands_only_where_it_cannot_be_a_decimal_comma() {
        for (word, number) in
            [("1,402.5", "1402.5"), ("1,234,567", "1234567"), ("12.95", "12.95"), ("0", "0")]
        {
            assert_eq!(read(word).unwrap().to_string(), number, "{word}");
        }
        for word in ["12,95", "1,402", "3,0", "1,40,2.5", ",5", "1,", "-1", "1e3", "1.2345678"] {
            assert_eq!(read(word), None, "{word}");
        }
    }

    #[test]
    fn both_readings_of_a_comma_are_there_to_choose_from() {
        let both = |word| comma(word).map(|both| (both.decimal, both.thousands));
        let some = |text: &str| Some(text.to_owned());
        assert_eq!(both("1,402"), Some((some("1.402"), some("1402"))));
        assert_eq!(both("12,95"), Some((some("12.95"), None)));
        assert_eq!(both("1,402.5"), None);
        assert_eq!(both("a,5"), None);
    }
}
