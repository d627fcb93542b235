//! `--json` is a contract: of each reading one answer is kept, made from a fixed invented shop.
//!
//! A new reading gets a file `golden/json/WORD.json` with what is asked of it, such as
//! `{"asked": "floor pot-1"}`; `RENEW=1 cargo test -p burrline-cli --test json` writes the answer to it.
//! What is there already changes only where the schema's rules let it: a field may be added.
#![cfg(test)]

use std::{collections::BTreeMap, fs, path::PathBuf};

use burrline_cli::reading::{self, words::Known};
use burrline_domain::State;
use burrline_evidence::seal::SealKey;
use burrline_invented::{Season, Writer};
use burrline_line as line;
use burrline_line::Lexicon;
use burrline_present::{
    Opens,
    judge::Judge,
    readings::{
        self, Asked, Present, Question, READINGS, ReadingSpec, Side, Sides, Then, Unreadable,
    },
};
use burrline_screen::{Look, told};
use burrline_terms::{Digest, Moment, Skull, Typed as _};
use jiff::tz::TimeZone;
use serde_json::{Value, json};

/// Few heads, in the middle of their way: so many days after the season began.
const HEADS: usize = 5;
const SEED: u64 = 7;
const MIDDLE: i64 = 82 * 24 * 60 * 60 * 1000;

/// The owner's bench.
const OFFICE: u32 = 1;

struct Keys(BTreeMap<[u8; 16], SealKey>);

impl Opens for Keys {
    fn key(&self, id: &[u8; 16]) -> Option<SealKey> {
        self.0.get(id).cloned()
    }
}

/// A shop that stands still.
struct Fixed {
    state: State,
    judge: Judge,
    keys: Keys,
    now: Moment,
}

impl Fixed {
    fn open() -> Self {
        let season = Season::make(HEADS, SEED);
        let now = Season::begins().plus(MIDDLE);
        let mut records = season.records().unwrap();
        records.retain(|record| record.shop_time <= now);
        let mut writer = Writer::new(SEED, 0);
        let keys = season.said.iter().flat_map(|said| writer.entries(said).unwrap());
        let keys = keys.flat_map(|told| told.keys).map(|(id, key)| (id, SealKey(key)));
        let keys = Keys(keys.collect());
        let judge = Judge::new(PathBuf::from("no such folder"));
        Self { state: State::replay(records), judge, keys, now }
    }

    /// What a line asks.
    fn asked(&self, spec: &'static ReadingSpec, line: &str) -> Asked {
        if spec.word == "sides" {
            let words = line::split(line).unwrap();
            let side = |word: &str| Side { skull: Skull::read(word).ok(), then: Then::default() };
            return Sides { one: side(&words[1]), other: side(&words[2]) }.into();
        }
        let zone = TimeZone::get("America/Denver").unwrap();
        let known = Known { now: self.now, zone, lexicon: Lexicon::default() };
        let matches =
            reading::command(spec).try_get_matches_from(line::split(line).unwrap()).unwrap();
        reading::words::asked(spec, &matches, &known).unwrap()
    }
}

impl Present for Fixed {
    fn state(&self) -> &State {
        &self.state
    }

    fn at(&self, _: Then) -> Result<State, Unreadable> {
        Ok(self.state.clone())
    }

    fn judge(&self) -> &Judge {
        &self.judge
    }

    fn keys(&self) -> &dyn Opens {
        &self.keys
    }

    fn now(&self) -> Moment {
        self.now
    }

    fn has_photo(&self, _: &Digest) -> bool {
        false
    }

    fn is_own(&self) -> bool {
        false
    }
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden/json")
}

#[test]
fn every_reading_is_written_as_it_was_promised() {
    let shop = Fixed::open();
    let look = Look { zone: TimeZone::UTC, now: shop.now, width: None, color: false };
    let mut wrong = Vec::new();
    for spec in READINGS {
        let file = folder().join(format!("{}.json", spec.word));
        let Ok(text) = fs::read_to_string(&file) else {
            wrong.push(format!("{}: write what is asked of it to golden/json", spec.word));
            continue;
        };
        let kept: Value = serde_json::from_str(&text).unwrap();
        let line = kept["asked"].as_str().unwrap();
        let question =
            Question { asked: shop.asked(spec, line), life: OFFICE, then: Then::default() };
        let answer = readings::read(&question, &shop).unwrap();
        let page = told::page(&answer, &look).unwrap();
        assert!(!page.text.is_empty(), "{line} says nothing to a person");
        let [answer] = page.json.as_slice() else { panic!("{line}: {:?}", page.json) };
        let now = json!({ "asked": line, "answer": answer });
        if kept != now {
            wrong.push(format!("{}: see golden/json/{}.json", line, spec.word));
            if std::env::var_os("RENEW").is_some() {
                fs::write(&file, serde_json::to_string_pretty(&now).unwrap() + "\n").unwrap();
            }
        }
    }
    assert!(wrong.is_empty(), "not as promised, or new (RENEW=1 writes it):\n{}", wrong.join("\n"));
}

#[test]
fn there_is_no_file_of_a_reading_that_is_gone() {
    for file in fs::read_dir(folder()).unwrap() {
        let name = file.unwrap().file_name().into_string().unwrap();
        let word = name.strip_suffix(".json").unwrap_or_default();
        assert!(readings::spec(word).is_some(), "{name}");
    }
}

#[test]
fn a_reading_goes_over_the_wire_and_back() {
    let shop = Fixed::open();
    for spec in READINGS {
        let file = folder().join(format!("{}.json", spec.word));
        let kept: Value = serde_json::from_str(&fs::read_to_string(file).unwrap()).unwrap();
        let asked = shop.asked(spec, kept["asked"].as_str().unwrap());
        let then = Then { of: Some(Moment(1)), known: Some(2) };
        let question = Question { asked, life: OFFICE, then };
        let request = burrline_proto::v1::ReadRequest::from(&question);
        assert_eq!(Question::try_from(&request), Ok(question), "{}", spec.word);
    }
}
