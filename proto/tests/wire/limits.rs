//! What is no entry is refused, with the field that is wrong.

use burrline_domain::{Verb, verb};
use burrline_proto::{
    MAX_ENTRY_BYTES, Malformed, Wire, Wrong, decode_entry, decode_record, encode_entry,
    encode_record, v1,
};
use burrline_terms::{EntryName, Skull, Tag, Typed};
use prost::Message as _;

use crate::samples::{Dice, entry_sample, record_sample, verb_sample};

/// The message of a filled entry, bent by `bend`, read again.
fn bent(word: &str, bend: impl FnOnce(&mut v1::Entry)) -> Malformed {
    let dice = &mut Dice::full();
    let mut message = entry_sample(verb_sample(word, dice), dice).to_item();
    bend(&mut message);
    decode_entry(&message.encode_to_vec()).unwrap_err()
}

fn kind(entry: &mut v1::Entry) -> &mut v1::verb::Kind {
    entry.verb.as_mut().unwrap().kind.as_mut().unwrap()
}

#[test]
fn a_missing_part_is_named() {
    let wrong = bent("wash", |entry| entry.clock = None);
    assert_eq!(wrong.to_string(), "malformed clock: it is missing");
    assert_eq!(bent("wash", |entry| entry.name.as_mut().unwrap().n = 0).field, "name.n");
    let wrong = bent("wash", |entry| {
        let v1::verb::Kind::Wash(wash) = kind(entry) else { panic!("not a wash") };
        wash.skull.as_mut().unwrap().piece = 0;
    });
    assert_eq!(wrong, Malformed::field("verb.wash.skull.piece", Wrong::Missing));
    let wrong = bent("take-in", |entry| {
        let v1::verb::Kind::TakeIn(take_in) = kind(entry) else { panic!("not a take-in") };
        take_in.plan[1].expected = None;
    });
    assert_eq!(wrong, Malformed::field("verb.take-in.plan[1].expected", Wrong::Missing));
}

#[test]
fn a_word_of_a_newer_list_is_named_with_its_number() {
    let wrong = bent("take-in", |entry| {
        let v1::verb::Kind::TakeIn(take_in) = kind(entry) else { panic!("not a take-in") };
        take_in.sex = Some(77);
    });
    assert_eq!(wrong, Malformed::field("verb.take-in.sex", Wrong::UnknownNumber(77)));
    assert!(wrong.to_string().contains("upgrade"), "{wrong}");
}

#[test]
fn a_verb_of_a_newer_version_is_not_skipped() {
    let wrong = bent("wash", |entry| entry.verb = Some(v1::Verb { kind: None }));
    assert_eq!(wrong, Malformed::field("verb", Wrong::UnknownVerb));
}

#[test]
fn a_value_that_could_not_be_typed_is_refused() {
    for number in ["-1", "1e3", "", "1000000000", "0.0000001", "ten"] {
        let wrong = bent("weigh", |entry| {
            let v1::verb::Kind::Weigh(weigh) = kind(entry) else { panic!("not a weigh") };
            number.clone_into(&mut weigh.mass.as_mut().unwrap().number);
        });
        assert!(wrong.field.starts_with("verb.weigh.mass"), "{number}: {wrong}");
    }
    let wrong = bent("wash", |entry| entry.hand = Some("x".repeat(49)));
    assert_eq!(wrong.field, "hand");
}

#[test]
fn a_head_without_a_tag_goes_over_the_wire() {
    let untagged = Skull::read("untagged").unwrap();
    assert_eq!(Skull::from_item(&untagged.to_item()), Ok(untagged));
}

#[test]
fn an_amendment_of_an_amendment_is_refused() {
    let wash = verb::Wash { skull: Skull::tagged(Tag::read("0417").unwrap()), brain: false };
    let amend = |verb: Verb| verb::Amend { entry: EntryName::new(3, 1), verb: Box::new(verb) };
    let once = Verb::from(amend(wash.into()));
    let twice = Verb::from(amend(once.clone()));
    assert_eq!(Verb::try_from(&v1::Verb::from(&once)), Ok(once));
    let wrong = Verb::try_from(&v1::Verb::from(&twice)).unwrap_err();
    assert_eq!(wrong, Malformed::field("amend.verb", Wrong::NestedAmend));
}

#[test]
fn an_entry_may_have_40_kib_and_not_a_byte_more() {
    let dice = &mut Dice::full();
    let mut entry = entry_sample(verb_sample("add-customer", dice), dice);
    let mut pad = |size: usize| {
        let Verb::AddCustomer(customer) = &mut entry.verb else { panic!("not a customer") };
        customer.details.ciphertext = vec![0; size];
        encode_entry(&entry)
    };
    let around = MAX_ENTRY_BYTES - (pad(MAX_ENTRY_BYTES).len() - MAX_ENTRY_BYTES);
    let (most, over) = (pad(around), pad(around + 1));
    assert_eq!(most.len(), MAX_ENTRY_BYTES);
    assert!(decode_entry(&most).is_ok());
    let why = Wrong::TooLong { got: MAX_ENTRY_BYTES + 1, most: MAX_ENTRY_BYTES };
    assert_eq!(decode_entry(&over), Err(Malformed::new(why)));
}

#[test]
fn only_the_shop_itself_goes_unsigned() {
    let dice = &mut Dice::full();
    let entry = entry_sample(verb_sample("wash", dice), dice);
    let mut record = record_sample(entry, dice);
    let bytes = encode_entry(&record.entry);
    let wrong = decode_record(&encode_record(&record, &bytes, &[])).unwrap_err();
    assert_eq!(wrong, Malformed::field("signature", Wrong::Length { got: 0, want: 64 }));
    record.entry.name.life = 0;
    let bytes = encode_entry(&record.entry);
    assert!(decode_record(&encode_record(&record, &bytes, &[])).is_ok());
}

#[test]
fn bounds_out_of_order_are_refused() {
    let dice = &mut Dice::full();
    let entry = entry_sample(verb_sample("wash", dice), dice);
    let mut record = record_sample(entry, dice);
    record.happened.not_before = record.happened.at.plus(1);
    let bytes = encode_entry(&record.entry);
    let wrong = decode_record(&encode_record(&record, &bytes, &[5; 64])).unwrap_err();
    assert_eq!(wrong, Malformed::field("happened", Wrong::Bounds));
}
