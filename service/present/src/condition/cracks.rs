//! What is cracked or broken: by the words of a closed list, in what a hand said of the condition.
//!
//! The words are common practice, no source. Where they are denied ("no cracks", "not broken") they
//! count for nothing; what they cannot tell is not guessed.
//!
//! The words are English. What is said in other words asks for no photo.

use burrline_domain::{
    State, Verb,
    fold::{Job, Key},
};
use burrline_terms::{
    EntryName,
    words::{PartState, Piece},
};

use super::{Said, by_whom, counting, part_in, said};

/// Beginnings of words that say that something is cracked.
const CRACKED: &[&str] = &["crack", "split", "fissure"];

/// Beginnings of words that say that something is broken, or that a piece of it is off.
const BROKEN: &[&str] = &["broke", "break", "fractur", "shatter", "snapp", "smash"];

/// Beginnings of words for what is worth a photo, and no call: it was so when it came.
const CHIPPED: &[&str] = &["chip", "nick", "scratch"];

/// Words that deny what follows in the same clause.
const DENIES: &[&str] =
    &["no", "not", "nothing", "none", "never", "without", "nor", "free", "isn't"];

/// Something that is cracked, broken or damaged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Crack {
    /// The line that said so, and when.
    pub key: Key,
    /// The piece.
    pub piece: Piece,
    /// What was said.
    pub words: String,
    /// Whether a photo was named since.
    pub photographed: bool,
    /// Whether the same was said before, so that it is nothing new.
    pub again: bool,
    /// Whether it is no more than a chip.
    pub small: bool,
}

impl Crack {
    /// "nose cracked (tom at yard-1, Sat 08 Nov 09:31)".
    pub fn told(&self, state: &State) -> String {
        format!("{} ({})", self.words, by_whom(state, self.key))
    }
}

/// What is cracked, broken or damaged, in the order in which it was said. A part that was said to be
/// whole since is none any more.
pub fn cracks(state: &State, job: &Job) -> Vec<Crack> {
    let mut cracks: Vec<Crack> = Vec::new();
    let photos: Vec<Key> = counting(state, job)
        .filter(|(_, verb)| matches!(verb, Verb::Photograph(_)))
        .map(|(key, _)| key)
        .collect();
    for (key, verb) in counting(state, job) {
        for piece in [Piece::Nose, Piece::Jaw] {
            if matches!(verb, Verb::Condition(_)) && part_in(verb, piece) == Some(PartState::Whole)
            {
                cracks.retain(|crack| crack.piece != piece);
            }
        }
        for (piece, words, small) in of(verb) {
            let again = cracks.iter().any(|other| {
                other.piece == piece && other.words.to_lowercase() == words.to_lowercase()
            });
            let photographed = photos.iter().any(|photo| *photo > key);
            cracks.push(Crack { key, piece, words, photographed, again, small });
        }
    }
    cracks
}

/// What to do at once after a line that says that something is cracked or broken: "photo it now". Said
/// where it is said first, and not any more once a photo was named or the skull has left.
pub fn photo_now(state: &State, job: &Job, line: EntryName) -> Option<String> {
    if job.ended.is_some() {
        return None;
    }
    let cracks = cracks(state, job);
    let new = cracks.iter().filter(|c| c.key.name == line && !c.photographed && !c.again);
    let words: Vec<&str> = new.map(|crack| crack.words.as_str()).collect();
    let tag = state.tag_of(job.id).map_or_else(|| job.id.job_number(), ToString::to_string);
    (!words.is_empty())
        .then(|| format!("photo it now: {}; photograph {tag} latest 1", words.join(", ")))
}

/// The same for a line that is not on the log yet, beside what is known of its job, if anything is.
pub fn photo_soon(state: &State, job: Option<&Job>, verb: &Verb) -> Option<String> {
    let known = job.map(|job| cracks(state, job)).unwrap_or_default();
    let is_known = |piece: Piece, words: &str| {
        let same = |c: &Crack| c.piece == piece && c.words.to_lowercase() == words.to_lowercase();
        known.iter().any(same)
    };
    let new = of(verb).into_iter().filter(|(piece, words, _)| !is_known(*piece, words));
    let words: Vec<String> = new.map(|(_, words, _)| words).collect();
    let tag = verb.skull()?.tag.as_ref().map(ToString::to_string);
    let tag = tag.or_else(|| job.map(|job| job.id.job_number()))?;
    (!words.is_empty())
        .then(|| format!("photo it now: {}; photograph {tag} latest 1", words.join(", ")))
}

/// What a line says is cracked, broken or damaged: the piece, the words, and whether it is a chip.
fn of(verb: &Verb) -> Vec<(Piece, String, bool)> {
    if let Verb::Damage(damage) = verb {
        let said = damage.skull.piece;
        let whole = said == Piece::Skull;
        let piece = if whole { piece_in(damage.what.as_str()) } else { said };
        let words = words_of_damage(damage.skull.piece, damage.what.as_str());
        return vec![(piece, words, false)];
    }
    match said(verb) {
        Some(Said::AtTakeIn(words)) => of_words(&words).into_iter().collect(),
        Some(Said::Later(seen)) => {
            let mut cracks: Vec<(Piece, String, bool)> = Vec::new();
            for (piece, state) in [(Piece::Nose, seen.nose), (Piece::Jaw, seen.jaw)] {
                if let Some(state @ (PartState::Cracked | PartState::Broken | PartState::Missing)) =
                    state
                {
                    cracks.push((piece, format!("{piece} {state}"), false));
                }
            }
            let words = seen.words.as_ref().map(ToString::to_string).unwrap_or_default();
            if let Some((piece, words, small)) = of_words(&words) {
                // The words often say more of the part that is named already.
                match cracks.iter_mut().find(|(named, ..)| *named == piece) {
                    Some((_, told, _)) => *told = format!("{told}, {words}"),
                    None => cracks.push((piece, words, small)),
                }
            }
            cracks
        }
        None => Vec::new(),
    }
}

/// What free words say is cracked, broken or chipped.
fn of_words(words: &str) -> Option<(Piece, String, bool)> {
    if let Some((piece, _)) = clauses(words).first() {
        return Some((*piece, words.to_owned(), false));
    }
    let chipped = clauses_of(words).find(|clause| says(clause, CHIPPED))?;
    Some((piece_in(chipped), words.to_owned(), true))
}

/// "nose: tip off": a damage with its piece, unless it is of the skull at large.
fn words_of_damage(piece: Piece, what: &str) -> String {
    if piece == Piece::Skull || what.to_lowercase().contains(piece.word()) {
        what.to_owned()
    } else {
        format!("{piece}: {what}")
    }
}

/// Each clause that says that something is cracked or broken: which piece, and how bad.
pub(super) fn clauses(words: &str) -> Vec<(Piece, PartState)> {
    clauses_of(words).filter_map(|clause| Some((piece_in(clause), state_in(clause)?))).collect()
}

fn clauses_of(words: &str) -> impl Iterator<Item = &str> {
    words.split([',', ';', '.', '\n']).flat_map(|clause| clause.split(" but "))
}

/// How bad a clause says that it is: cracked, or broken; nothing if it says neither, or denies it.
pub(super) fn state_in(clause: &str) -> Option<PartState> {
    if says(clause, BROKEN) {
        return Some(PartState::Broken);
    }
    says(clause, CRACKED).then_some(PartState::Cracked)
}

/// Whether a clause has a word with one of these beginnings, and does not deny it.
fn says(clause: &str, beginnings: &[&str]) -> bool {
    let lower = clause.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric() && c != '\'');
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.iter().enumerate().any(|(n, word)| {
        let denied = words.iter().take(n).any(|before| DENIES.contains(before))
            || words.get(n.saturating_add(1)).is_some_and(|next| *next == "free");
        beginnings.iter().any(|begin| word.starts_with(begin)) && !denied
    })
}

/// Which piece words are about; the skull if they name none.
pub(super) fn piece_in(words: &str) -> Piece {
    let lower = words.to_lowercase();
    let has = |any: &[&str]| any.iter().any(|word| lower.contains(word));
    let named = [
        (Piece::Nose, has(&["nose", "nasal"])),
        (Piece::Jaw, has(&["jaw", "mandible"])),
        (Piece::Teeth, has(&["tooth", "teeth", "incisor", "molar"])),
        (Piece::Ears, has(&["ear bone", "ear-bone", "bulla"])),
        (Piece::Sheaths, has(&["sheath"])),
    ];
    named.into_iter().find(|(_, named)| *named).map_or(Piece::Skull, |(piece, _)| piece)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_crack_are_known_and_denied_ones_count_for_nothing() {
        for (words, expected) in [
            ("nose bone cracked", vec![(Piece::Nose, PartState::Cracked)]),
            ("Nasals broken, jaw whole", vec![(Piece::Nose, PartState::Broken)]),
            ("left beam broken, one tine chipped", vec![(Piece::Skull, PartState::Broken)]),
            ("one tine chipped", vec![]),
            ("hairline crack in the left mandible", vec![(Piece::Jaw, PartState::Cracked)]),
            ("two incisors broken off", vec![(Piece::Teeth, PartState::Broken)]),
            ("no cracks, nose broken", vec![(Piece::Nose, PartState::Broken)]),
            ("nothing broken but the nose is cracked", vec![(Piece::Nose, PartState::Cracked)]),
            ("no chips or cracks", vec![]),
            ("not broken", vec![]),
            ("crack-free", vec![]),
            ("free of cracks", vec![]),
            ("unbroken", vec![]),
            ("looks whole", vec![]),
            ("", vec![]),
        ] {
            assert_eq!(clauses(words), expected, "{words}");
        }
    }

    #[test]
    fn a_chip_is_worth_a_photo_and_is_no_break() {
        assert_eq!(
            of_words("left brow tine chipped"),
            Some((Piece::Skull, "left brow tine chipped".to_owned(), true))
        );
        assert_eq!(of_words("nose cracked, tine chipped").map(|(.., small)| small), Some(false));
        assert_eq!(of_words("no chips, no nicks"), None);
    }
}
