//! Keys of customers' details in a copy: read, and forgotten there too.
//!
//! The file is read line by line and never opened as the shop opens its own, for that writes.

use std::{collections::BTreeSet, io, path::Path};

use burrline_domain::State;
use burrline_evidence::seal::SealKey;

const FILE: &str = "keyring";

/// The id of a key.
pub(super) type Id = [u8; 16];

/// The keys in a folder that prove themselves: a key's name is its digest.
///
/// # Errors
/// If the keyring cannot be read; one that is not there has none.
pub(super) fn held(folder: &Path) -> io::Result<BTreeSet<Id>> {
    match std::fs::read_to_string(folder.join(FILE)) {
        Ok(text) => Ok(text.lines().filter_map(id_of).collect()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(BTreeSet::new()),
        Err(error) => Err(error),
    }
}

/// The keys that a log needs: of all that is sealed, less what is about somebody who was forgotten.
pub(super) fn wanted(state: &State) -> BTreeSet<Id> {
    let entries = state.sealed().map(|fact| &fact.record.entry);
    let sealed = entries.filter(|entry| !state.is_about_forgotten(entry.name));
    let forgotten = forgotten(state);
    sealed
        .filter_map(|entry| entry.verb.sealed())
        .map(|sealed| sealed.key_id)
        .filter(|id| !forgotten.contains(id))
        .collect()
}

/// The keys that a log says are forgotten.
pub(super) fn forgotten(state: &State) -> BTreeSet<Id> {
    let customers = state.shop().customers.iter();
    let gone = customers.filter(|(_, customer)| customer.forgotten);
    gone.flat_map(|(customer, _)| state.sealed_about(*customer)).collect()
}

/// Drops keys from the keyring of an older copy; says how many went.
///
/// # Errors
/// If the keyring cannot be read or written anew; the old one then still stands.
pub(super) fn forget(copy: &Path, ids: &BTreeSet<Id>) -> io::Result<usize> {
    let place = copy.join(FILE);
    let text = match std::fs::read_to_string(&place) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(0),
        Err(error) => return Err(error),
    };
    let goes = |line: &&str| id_of(line).is_some_and(|id| ids.contains(&id));
    let gone = text.lines().filter(goes).count();
    if gone > 0 {
        let left: String =
            text.split_inclusive('\n').filter(|line| !goes(&line.trim_end())).collect();
        burrline_disk::replace(&place, left.as_bytes(), 0o600)?;
    }
    Ok(gone)
}

/// The id of the key in a line `key-id key`, if the key is the one that the id names.
fn id_of(line: &str) -> Option<Id> {
    let mut words = line.split_whitespace();
    let (mut id, mut key) = ([0; 16], [0; 32]);
    hex::decode_to_slice(words.next()?, &mut id).ok()?;
    hex::decode_to_slice(words.next()?, &mut key).ok()?;
    (SealKey(key).id().0 == id).then_some(id)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(key: [u8; 32]) -> String {
        format!("{} {}\n", hex::encode(SealKey(key).id().0), hex::encode(key))
    }

    #[test]
    fn a_key_that_is_not_what_its_name_says_is_none_and_a_forgotten_one_leaves_the_copy() {
        let dir = tempfile::tempdir().unwrap();
        assert_eq!(held(dir.path()).unwrap().len(), 0, "no keyring");
        let altered = line([3; 32]).replace("03", "13");
        let text = format!("{}{altered}{}", line([1; 32]), line([2; 32]));
        std::fs::write(dir.path().join(FILE), &text).unwrap();
        let (first, second) = (SealKey([1; 32]).id().0, SealKey([2; 32]).id().0);
        assert_eq!(held(dir.path()).unwrap(), BTreeSet::from([first, second]));

        assert_eq!(forget(dir.path(), &BTreeSet::from([first])).unwrap(), 1);
        assert_eq!(forget(dir.path(), &BTreeSet::from([first])).unwrap(), 0);
        let left = std::fs::read_to_string(dir.path().join(FILE)).unwrap();
        assert_eq!(left, format!("{altered}{}", line([2; 32])));
    }
}
