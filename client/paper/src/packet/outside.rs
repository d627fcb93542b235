//! What somebody has from outside a packet: the shop's key, or a slip with the key and a signed head.

use burrline_evidence::note::{Note, NoteKey};

/// What was shown from outside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outside {
    /// The shop's key.
    pub key: NoteKey,
    /// The signed head of the log, word for word; a key that was copied out has none, and neither has
    /// a slip on narrow paper.
    pub head: Option<String>,
}

/// Why a text is no slip to check by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoSlip {
    /// The bench alone signed it.
    #[error(
        "this slip was signed by a bench alone, while the shop was out of reach; ask for a new one"
    )]
    ByABench,
    /// There is no key in it.
    #[error(
        "there is no shop's key in it; give the text of its code, or a slip printed with --evidence"
    )]
    NoKey,
}

impl Outside {
    /// Reads a slip, as text or as the page that was printed.
    ///
    /// # Errors
    /// [`NoSlip`] if nothing can be checked by it.
    pub fn of_slip(text: &str) -> Result<Self, NoSlip> {
        // On the page the shop's word stands between two marks of its own.
        let word = text.split_once("<pre>").and_then(|(_, rest)| rest.split_once("</pre>"));
        let text = word.map_or(text, |(word, _)| word);
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        let key = lines
            .iter()
            .flat_map(|line| line.split_whitespace())
            .find_map(|word| word.parse().ok());
        let Some(key): Option<NoteKey> = key else {
            let by_a_bench = text.contains("burrline.v1/bench/");
            return Err(if by_a_bench { NoSlip::ByABench } else { NoSlip::NoKey });
        };
        // A head is a note whose first line is the name of the log.
        let from = lines.iter().position(|line| *line == key.name());
        let head = from.and_then(|from| lines.get(from..)).and_then(|lines| {
            let last = lines.iter().position(|line| line.starts_with("\u{2014} "))?;
            let note = lines.get(..=last)?.join("\n") + "\n";
            Note::read(&note).is_ok().then_some(note)
        });
        Ok(Self { key, head })
    }
}

impl From<NoteKey> for Outside {
    fn from(key: NoteKey) -> Self {
        Self { key, head: None }
    }
}

#[cfg(test)]
mod tests {
    use burrline_evidence::{
        checkpoint::{Checkpoint, key_of},
        merkle::Hash,
        note,
        sign::BenchKey,
    };

    use super::*;

    #[test]
    fn a_slip_gives_its_key_and_its_head_among_all_else_that_is_on_it() {
        let shop = BenchKey::from_seed([1; 32]);
        let head = Checkpoint::of(shop.public(), 7, Hash([5; 32])).sign(&shop).unwrap();
        let key = key_of(shop.public());
        let whole = Outside { key: key.clone(), head: Some(head.clone()) };
        for slip in [
            format!("Skull Shed\n\njob 1\n\n{key}\n{head}\n\u{2588}\u{2580} \u{2588}\n"),
            format!("  {key}\r\n{}", head.replace('\n', "\r\n")),
            format!("<h1>Skull Shed</h1><pre>{key}\n{head}</pre><svg></svg>"),
        ] {
            assert_eq!(Outside::of_slip(&slip), Ok(whole.clone()), "{slip}");
        }
        let narrow = Outside::of_slip(&format!("job 1\n{key}\n"));
        assert_eq!(narrow, Ok(Outside { key, head: None }));
    }

    #[test]
    fn what_is_no_shops_slip_says_what_to_ask_for() {
        assert_eq!(Outside::of_slip("job 1\nprice: 120.00\n"), Err(NoSlip::NoKey));
        let bench = BenchKey::from_seed([2; 32]);
        let away = note::sign("the slip\n", "burrline.v1/bench/3", &bench).unwrap();
        assert_eq!(Outside::of_slip(&away), Err(NoSlip::ByABench));
    }
}
