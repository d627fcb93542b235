//! What was typed, said and recorded comes back as it was.

use std::fmt::Debug;

use burrline_domain::verb::VERBS;
use burrline_proto::{Wire, WireField, decode_entry, decode_record, encode_entry, encode_record};
use burrline_terms::{
    Amount, Coins, Day, EntryName, Length, Mass, Money, Name, Phrase, PlanStep, PriceLine, Skull,
    Span, Strength, Stuff, Tag, Temperature, Typed, Volume,
};
use proptest::{collection::vec, prelude::*};

use crate::samples::{Dice, entry_sample, record_sample, verb_sample};

/// Whatever can be typed goes over the wire, in a field that holds one, in one that holds some, and
/// comes back equal and showing the same. Words that cannot be typed say nothing here.
fn survives<T: Typed + Wire + WireField + PartialEq + Debug + Clone>(word: &str) {
    let Ok(value) = T::read(word) else { return };
    let back = <T as WireField>::from_field(&value.to_field(), "value");
    assert_eq!(back.as_ref(), Ok(&value), "{word}");
    assert_eq!(back.unwrap().show(), value.show());
    let (some, many) = (Some(value.clone()), vec![value.clone(), value]);
    assert_eq!(Option::from_field(&some.to_field(), "value"), Ok(some));
    assert_eq!(Vec::from_field(&many.to_field(), "value"), Ok(many));
}

proptest! {
    #[test]
    fn whatever_can_be_typed_goes_over_the_wire(
        number in r"-?[0-9]{1,9}(\.[0-9]{0,6})?",
        unit in "(L|mL|gal|qt|floz|impgal|g|kg|lb|oz|mm|cm|in|/8in|/16in|min|h|d|%|%w/w|vol|C|F|)",
        tag in "[A-Za-z]?[0-9]{1,12}",
        job in "([0-9]{1,10}:[0-9]{1,20})?",
        piece in "(skull|jaw|nose|ears|teeth|sheaths)",
        text in r"\PC{0,60}",
        day in "[0-9]{4}-[01][0-9]-[0-3][0-9]",
    ) {
        let quantity = format!("{number}{unit}");
        survives::<Volume>(&quantity);
        survives::<Mass>(&quantity);
        survives::<Length>(&quantity);
        survives::<Span>(&quantity);
        survives::<Strength>(&quantity);
        survives::<Temperature>(&quantity);
        survives::<Amount>(&quantity);
        survives::<Money>(&number);
        survives::<rust_decimal::Decimal>(&number);
        survives::<Stuff>(&format!("{text}={quantity}"));
        survives::<Stuff>(&format!("peroxide=2L@{quantity}"));
        survives::<PlanStep>(&format!("{text}={quantity}"));
        survives::<PriceLine>(&format!("{text}={number}"));
        survives::<Coins>(&format!("3x{number}"));
        survives::<Tag>(&tag);
        survives::<EntryName>(&job);
        survives::<Skull>(&format!("{tag}/{job}/{piece}"));
        survives::<Skull>(&format!("{tag}/{piece}"));
        survives::<Skull>(&format!("{job}/{piece}"));
        survives::<Name>(&text);
        survives::<Phrase>(&text);
        survives::<Day>(&day);
    }

    #[test]
    fn entries_and_records_come_back_as_they_were(
        verb in 0..VERBS.len(),
        draws in vec(any::<u16>(), 1..80),
        signature in vec(any::<u8>(), 64),
    ) {
        let dice = &mut Dice::drawn(draws);
        let entry = entry_sample(verb_sample(VERBS[verb].word, dice), dice);
        let bytes = encode_entry(&entry);
        prop_assert_eq!(decode_entry(&bytes), Ok(entry.clone()));

        let record = record_sample(entry, dice);
        let leaf = encode_record(&record, &bytes, &signature);
        let (back, signed) = decode_record(&leaf).unwrap();
        prop_assert_eq!(&back, &record);
        prop_assert_eq!(&signed.entry, &bytes);
        prop_assert_eq!(encode_record(&back, &signed.entry, &signed.signature), leaf);
    }

    /// Bytes from outside either are an entry, which is then read again the same, or are malformed.
    #[test]
    fn bent_bytes_are_told_apart(
        verb in 0..VERBS.len(),
        bends in vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        cut in any::<prop::sample::Index>(),
    ) {
        let dice = &mut Dice::full();
        let mut bytes = encode_entry(&entry_sample(verb_sample(VERBS[verb].word, dice), dice));
        for (at, byte) in bends {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        bytes.truncate(cut.index(bytes.len() * 2));
        if let Ok(entry) = decode_entry(&bytes) {
            prop_assert_eq!(decode_entry(&encode_entry(&entry)), Ok(entry));
        }
    }
}
