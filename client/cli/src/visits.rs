//! Which of the visits that were begun is gone on with.

use std::ops::ControlFlow;

use burrline_bench::Error;
use burrline_talk::visit::kept::{Begun, called};

use super::terminal::Terminal;

/// Which of several is gone on with, none for a new one; a break if nobody says.
pub(super) fn choose(
    all: &[Begun],
    terminal: &Terminal,
) -> Result<ControlFlow<(), Option<usize>>, Error> {
    terminal.tell("visits that were begun:");
    for (n, begun) in (1..).zip(all) {
        terminal.tell(&format!("  {n}  {}", called(&begun.visit)));
    }
    loop {
        let typed = terminal.hand().line("which, by number or name [Enter: 1; new]> ");
        let typed = typed.map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
        let Some(typed) = typed else { return Ok(ControlFlow::Break(())) };
        match chosen(typed.trim(), all) {
            Ok(choice) => return Ok(ControlFlow::Continue(choice)),
            Err(words) => terminal.tell(&words),
        }
    }
}

fn chosen(typed: &str, all: &[Begun]) -> Result<Option<usize>, String> {
    let typed = typed.to_lowercase();
    match typed.as_str() {
        "" => return Ok(Some(0)),
        "new" => return Ok(None),
        _ => {}
    }
    if let Some(n) = typed.parse::<usize>().ok().filter(|n| (1..=all.len()).contains(n)) {
        return Ok(n.checked_sub(1));
    }
    let is_it = |(_, begun): &(usize, &Begun)| called(&begun.visit).to_lowercase().contains(&typed);
    let found: Vec<usize> = all.iter().enumerate().filter(is_it).map(|(n, _)| n).collect();
    match found.as_slice() {
        [one] => Ok(Some(*one)),
        [] => Err(format!("nobody here is called so; say a number up to {}, or new", all.len())),
        _ => Err("that could be several of them; say the number".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use burrline_talk::visit::{Step, Visit};

    use super::*;

    fn of(who: &str, file: &str) -> Begun {
        let answers = vec![(Step::Who, who.to_owned())];
        Begun { file: file.to_owned(), visit: Visit { answers, ..Visit::default() } }
    }

    #[test]
    fn a_visit_is_chosen_by_number_or_by_name_and_nobody_guesses() {
        let all =
            [of("Ada Fenn", "visit"), of("Bo Tarn 555-0177", "visit-2"), of("Bo Elm", "visit-3")];
        assert_eq!(chosen("", &all), Ok(Some(0)));
        assert_eq!(chosen("2", &all), Ok(Some(1)));
        assert_eq!(chosen("fenn", &all), Ok(Some(0)));
        assert_eq!(chosen("0177", &all), Ok(Some(1)));
        assert_eq!(chosen("new", &all), Ok(None));
        assert!(chosen("bo", &all).unwrap_err().contains("several"));
        assert!(chosen("9", &all).unwrap_err().contains("a number up to 3"));
    }
}
