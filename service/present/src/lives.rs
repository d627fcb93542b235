//! What a bench signs when it speaks for its lives at a shop that was put back from a backup.
//!
//! Such a shop waits for every bench that it knows, so that nothing is recorded in the places of what
//! only one of them has. Whoever could claim another bench's life could have it stop waiting.

use burrline_evidence::{
    note::{self, BadNote, Note, NoteKey},
    sign::{BenchKey, PublicKey},
};
use burrline_terms::Moment;

use crate::photos::asker;

/// How old such a proof may be, by the shop's clock.
const WITHIN_MS: i64 = 10 * 60 * 1000;

const KIND: &str = "burrline.v1/gives-back";

/// The proof that a bench speaks for a life to a shop: a note in the life's name, signed with its key,
/// over the shop's key and the shop's clock as the shop last said it.
///
/// # Errors
/// [`BadNote`] if no note can be made.
pub fn proof(life: u32, key: &BenchKey, shop: PublicKey, now: Moment) -> Result<String, BadNote> {
    note::sign(&format!("{KIND}\n{shop}\n{}\n", now.0), &asker(life), key)
}

/// Whether a note proves that whoever made it has the key of this life, at this shop and now.
pub fn proves(note: &str, life: u32, key: PublicKey, shop: PublicKey, now: Moment) -> bool {
    let Ok(note) = Note::read(note) else { return false };
    let signed = NoteKey::new(&asker(life), key).is_ok_and(|key| note.check(&key).is_ok());
    let mut lines = note.claimed().lines();
    let said = (lines.next(), lines.next(), lines.next(), lines.next());
    let (Some(KIND), Some(to), Some(when), None) = said else { return false };
    let fresh = |at: i64| now.since(Moment(at)).saturating_abs() <= WITHIN_MS;
    signed && to == shop.to_string() && when.parse().is_ok_and(fresh)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_key_of_a_life_speaks_for_it_at_that_shop_and_for_a_while() {
        let key = |seed: u8| BenchKey::from_seed([seed; 32]);
        let (own, shop, now) = (key(1).public(), key(9).public(), Moment(1_000_000_000));
        let made = proof(3, &key(1), shop, now).unwrap();
        assert!(proves(&made, 3, own, shop, now));
        assert!(proves(&made, 3, own, shop, now.plus(WITHIN_MS)));
        assert!(!proves(&made, 3, own, shop, now.plus(WITHIN_MS + 1)), "too old");
        assert!(!proves(&made, 4, own, shop, now), "another life");
        assert!(!proves(&made, 3, own, key(8).public(), now), "another shop");
        let by_another = proof(3, &key(2), shop, now).unwrap();
        assert!(!proves(&by_another, 3, own, shop, now), "another key");
        assert!(!proves(&made.replace("gives", "takes"), 3, own, shop, now), "other words");
        let photo = crate::photos::asking(&shop.to_string(), now);
        let photo = note::sign(&photo, &asker(3), &key(1)).unwrap();
        assert!(!proves(&photo, 3, own, shop, now), "signed for something else");
    }
}
