//! Telephone numbers and mail addresses in a text, by their shape alone.
//!
//! The shapes of numbers are common practice, no source: seven or ten digits as North America groups
//! them, a plus with a country's number, and a nought in front as Europe dials at home.

/// What a part of a text reads like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A telephone number.
    Phone,
    /// A mail address.
    Mail,
}

/// A part of a text that has such a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shaped<'a> {
    /// What it reads like.
    pub shape: Shape,
    /// The part, as typed.
    pub words: &'a str,
}

/// Every telephone number and mail address in a text.
pub fn shapes(text: &str) -> Vec<Shaped<'_>> {
    let mails = text.split_whitespace().map(bare).filter(|word| is_mail(word));
    let mut found: Vec<Shaped<'_>> =
        mails.map(|words| Shaped { shape: Shape::Mail, words }).collect();
    for run in runs(text) {
        found.extend(numbers(text, &run).map(|words| Shaped { shape: Shape::Phone, words }));
    }
    found
}

/// A word without the marks around it.
fn bare(word: &str) -> &str {
    word.trim_matches(|c: char| !c.is_alphanumeric())
}

/// `ada@fenn.example`: something, an at sign, and a name with a dot whose last part is of letters.
fn is_mail(word: &str) -> bool {
    let Some((local, domain)) = word.split_once('@') else { return false };
    let plain = |c: char| c.is_alphanumeric() || "._%+-".contains(c);
    let Some((host, top)) = domain.rsplit_once('.') else { return false };
    let named = !host.is_empty() && host.chars().all(|c| c.is_alphanumeric() || ".-".contains(c));
    let top = top.chars().count() >= 2 && top.chars().all(char::is_alphabetic);
    !local.is_empty() && local.chars().all(plain) && named && top
}

/// A group of digits, and how it hangs together with the one before.
#[derive(Debug, Clone, Copy)]
struct Group {
    start: usize,
    end: usize,
    /// Nothing but a blank is between it and the one before.
    apart: bool,
}

impl Group {
    fn len(self) -> usize {
        self.end.saturating_sub(self.start)
    }
}

/// Groups of digits that follow each other with one mark or blank between them.
fn runs(text: &str) -> Vec<Vec<Group>> {
    let mut runs: Vec<Vec<Group>> = Vec::new();
    let mut group: Option<Group> = None;
    let mut between = String::new();
    // One more than the text has closes the last group.
    for (at, c) in text.char_indices().chain([(text.len(), 'x')]) {
        if c.is_ascii_digit() {
            let end = at.saturating_add(1);
            match &mut group {
                Some(group) => group.end = end,
                None => group = Some(Group { start: at, end, apart: between == " " }),
            }
            continue;
        }
        if let Some(done) = group.take() {
            let joins =
                matches!(between.as_str(), " " | "-" | "." | "/" | ") " | ")" | " (" | "-(");
            match runs.last_mut().filter(|_| joins) {
                Some(run) => run.push(done),
                None => runs.push(vec![done]),
            }
            between.clear();
        }
        between.push(c);
    }
    runs
}

/// The telephone numbers among the groups of a run.
fn numbers<'a>(text: &'a str, run: &[Group]) -> impl Iterator<Item = &'a str> {
    let mut found = Vec::new();
    let mut at = 0_usize;
    while let Some(rest) = run.get(at..).filter(|rest| !rest.is_empty()) {
        let taken = number_at(text, rest, at > 0);
        if let (Some(first), Some(last)) = (rest.first(), rest.get(taken.saturating_sub(1)))
            && taken > 0
        {
            let before = text.get(..first.start).unwrap_or_default();
            let start = first.start.saturating_sub(
                before.len().saturating_sub(before.trim_end_matches(['+', '(']).len()),
            );
            found.extend(text.get(start..last.end));
        }
        at = at.saturating_add(taken.max(1));
    }
    found.into_iter()
}

/// How many of these groups are a telephone number; none if the first of them begins none.
fn number_at(text: &str, groups: &[Group], follows: bool) -> usize {
    let Some(first) = groups.first() else { return 0 };
    // A part of a longer number is none of its own.
    if follows && !first.apart {
        return 0;
    }
    let before = text.get(..first.start).unwrap_or_default();
    let plus = before.ends_with('+');
    let bare = before.trim_end_matches(['+', '(']);
    let hangs = |c: char| c.is_alphanumeric() || matches!(c, '-' | '.' | '/' | ':' | ',' | '#');
    if bare.ends_with(hangs) && !bare.ends_with([':', ',', '.']) && bare.len() == before.len() {
        return 0;
    }
    let ends = |count: usize| {
        let last = count.checked_sub(1).and_then(|n| groups.get(n));
        let next = groups.get(count);
        let after = last.and_then(|last| text.get(last.end..)).unwrap_or_default();
        let runs_on = after.starts_with(|c: char| c.is_alphabetic() || matches!(c, ':' | '%'));
        !runs_on && next.is_none_or(|next| next.apart)
    };
    let most = groups.len().min(5);
    let fits = |count: &usize| {
        let sizes: Vec<usize> = groups.iter().take(*count).map(|group| group.len()).collect();
        let digits: String = groups
            .iter()
            .take(*count)
            .filter_map(|group| text.get(group.start..group.end))
            .collect();
        is_number(&sizes, &digits, plus) && ends(*count)
    };
    (1..=most).rev().find(fits).unwrap_or(0)
}

fn is_number(sizes: &[usize], digits: &str, plus: bool) -> bool {
    if plus {
        return (8..=15).contains(&digits.len());
    }
    // No exchange begins with 0 or 1.
    let exchange = |at: usize| {
        digits.get(at..).is_some_and(|rest| rest.starts_with(|c: char| ('2'..='9').contains(&c)))
    };
    match sizes {
        [7] | [3, 4] => exchange(0),
        [10] | [3, 3, 4] | [3, 7] => exchange(0) && exchange(3),
        [11] | [1, 3, 3, 4] if digits.starts_with('1') => exchange(1) && exchange(4),
        // At home in Europe a nought goes before the town. Tags in a row have four digits each.
        _ if digits.starts_with('0') && (9..=12).contains(&digits.len()) => {
            sizes.iter().any(|size| *size >= 5) || matches!(sizes, [4, 3, 3 | 4] | [3, 3, 4])
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<&str> {
        shapes(text).into_iter().map(|shaped| shaped.words).collect()
    }

    #[test]
    fn numbers_are_found_however_they_are_grouped() {
        for (text, number) in [
            ("555-0142", "555-0142"),
            ("call 555-0142 first", "555-0142"),
            ("ring 555 0142.", "555 0142"),
            ("555.0142", "555.0142"),
            ("tel: 5550142", "5550142"),
            ("303-555-0142", "303-555-0142"),
            ("(303) 555-0142", "(303) 555-0142"),
            ("303.555.0142", "303.555.0142"),
            ("1-303-555-0142", "1-303-555-0142"),
            ("+1 303 555 0142", "+1 303 555 0142"),
            ("3035550142", "3035550142"),
            ("+49 170 1234567", "+49 170 1234567"),
            ("0170 1234567", "0170 1234567"),
            ("0171/1234567", "0171/1234567"),
            ("01701234567", "01701234567"),
            ("his cell,555-0142,after six", "555-0142"),
        ] {
            assert_eq!(found(text), [number], "{text}");
        }
    }

    #[test]
    fn figures_of_the_trade_are_no_numbers_to_call() {
        for text in [
            "0417 0418 0419",
            "0417..0440",
            "kill tag 88-1203",
            "TX-303-555-0142",
            "K5550142",
            "by 2026-11-24",
            "24.11.2026",
            "11/24/2026",
            "from 10:40-12:30",
            "21 7/8 in",
            "1,402 g",
            "120.00 and 65.00",
            "3-41-7",
            "2:64",
            "12345678901234567890",
            "2025-1234567",
            "peroxide=2L@12%",
            "18 L 2 L 12 %",
            "8 pt, 1,240 g, 190 F",
            "2026-11-24T10:00",
        ] {
            assert_eq!(found(text), [""; 0], "{text}");
        }
    }

    #[test]
    fn a_mail_address_has_a_name_a_sign_and_a_place() {
        assert_eq!(found("write to <ada.fenn@mill.example>, please"), ["ada.fenn@mill.example"]);
        for text in ["2L@12%", "2L@12.5%", "@fenn", "ada@fenn", "see @ 10.30"] {
            assert_eq!(found(text), [""; 0], "{text}");
        }
    }
}
