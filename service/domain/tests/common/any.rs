//! Any verb of the table, with words picked by dice: for stories that nobody would write.

use burrline_domain::{
    Verb, VerbSpec,
    verb::{self, VERBS},
};
use burrline_terms::{Arity, EntryName, Sealed};

/// Where words for a field come from: each pick takes the next one.
pub struct Picks {
    picks: Vec<u8>,
    next: usize,
}

impl Picks {
    pub const fn new(picks: Vec<u8>) -> Self {
        Self { picks, next: 0 }
    }

    fn below(&mut self, limit: usize) -> usize {
        let pick = self.picks.get(self.next % self.picks.len().max(1)).copied().unwrap_or(0);
        self.next += 1;
        usize::from(pick) % limit
    }

    fn of<'a>(&mut self, words: &[&'a str]) -> &'a str {
        words[self.below(words.len())]
    }
}

/// One of the verbs of the table, its fields filled from few words, so that lines meet.
pub fn any_verb(picks: &mut Picks) -> Verb {
    let spec = VERBS[picks.below(VERBS.len())];
    let sealed = Sealed { key_id: [7; 16], nonce: vec![1], ciphertext: vec![2] };
    match spec.word {
        // Their details cannot be typed.
        "add-customer" => verb::AddCustomer { details: sealed, class: None }.into(),
        // Whole lines within lines are made by the story itself.
        "amend" => verb::Strike { entries: vec![EntryName::new(1, 1)] }.into(),
        _ => filled(spec, picks),
    }
}

fn filled(spec: &'static VerbSpec, picks: &mut Picks) -> Verb {
    let mut words: Vec<(&str, Vec<String>)> = Vec::new();
    for field in spec.fields {
        let times = match field.arity {
            Arity::One => 1,
            Arity::Maybe | Arity::Switch | Arity::Many => picks.below(2),
        };
        if field.hint == "SEALED" {
            continue;
        }
        let given = (0..times).map(|_| word(field.name, field.hint, picks)).collect();
        words.push((field.name, given));
    }
    let given = |name: &str| {
        words.iter().find(|(field, _)| *field == name).map(|(_, w)| w.clone()).unwrap_or_default()
    };
    Verb::read(spec.word, &given).unwrap_or_else(|bad| panic!("{}: {bad}", spec.word))
}

fn word(name: &str, hint: &str, picks: &mut Picks) -> String {
    if name == "place" || (name == "name" && hint == "NAME") {
        return picks.of(&["pot-1", "tub-1", "tank-1"]).to_owned();
    }
    if name == "life" {
        return picks.of(&["1", "2", "9"]).to_owned();
    }
    match hint {
        "TAG" if name == "skull" => {
            let piece = picks.of(&["", "/jaw", "/nose"]);
            let job = picks.of(&["", "", "/1:1", "/2:2", "/3:1"]);
            format!("{}{job}{piece}", picks.of(&["1", "2", "3"]))
        }
        "TAG" => picks.of(&["1", "2", "3", "4"]).to_owned(),
        "ENTRY" => {
            format!("{}:{}", picks.of(&["1", "2", "3"]), picks.below(12) + 1)
        }
        "NAME" if name == "recipe" => picks.of(&["pot-1", "tub-1"]).to_owned(),
        "NAME" | "WORDS" => picks.of(&["a", "8 pt jaw", "chipped"]).to_owned(),
        "DAY" => picks.of(&["2026-11-25", "2027-01-01"]).to_owned(),
        "TIME" => picks.of(&["1970-01-01T00:00:00.010Z", "1970-01-01T00:00:00.090Z"]).to_owned(),
        "MONEY" => picks.of(&["0.01", "100.00", "-5.00"]).to_owned(),
        "COUNT" => picks.of(&["0", "8"]).to_owned(),
        "VOLUME" => picks.of(&["0L", "10L", "3gal"]).to_owned(),
        "MASS" => picks.of(&["0g", "1420g", "3lb"]).to_owned(),
        "LENGTH" => picks.of(&["10cm", "21/8in"]).to_owned(),
        "SPAN" => picks.of(&["0min", "90min", "2d"]).to_owned(),
        "STRENGTH" => picks.of(&["0%", "3%", "12%"]).to_owned(),
        "TEMP" => picks.of(&["20C", "180F"]).to_owned(),
        "NUMBER" => "7".to_owned(),
        "WHAT=AMOUNT[@STRENGTH]" => {
            picks.of(&["peroxide=1L@12%", "soap=30mL", "soda=100g", "peroxide=0L@12%"]).to_owned()
        }
        "WHAT=MONEY" => "cleaning=120.00".to_owned(),
        "COUNTxMONEY" => picks.of(&["7x20", "0x0.25"]).to_owned(),
        "WHATxTIMES[@ENTRY]" => picks.of(&["showx3", "findx1@2:1"]).to_owned(),
        "STEP=SPAN" => "simmer=120min".to_owned(),
        "DIGEST" | "KEY" => picks.of(&["a", "b"]).repeat(64),
        "" => "yes".to_owned(),
        list => of_list(list, picks),
    }
}

/// A word of a closed list, by what help prints for it.
fn of_list(hint: &str, picks: &mut Picks) -> String {
    use burrline_terms::{Typed, with_word_lists, words::*};
    let mut found = None;
    macro_rules! look {
        ($ty:ident) => {
            if $ty::HINT == hint {
                found = Some($ty::ALL[picks.below($ty::ALL.len())].word().to_owned());
            }
        };
    }
    with_word_lists!(look);
    found.unwrap_or_else(|| panic!("no words for {hint}"))
}
