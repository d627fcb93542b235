//! What is about to be said, and how it is signed.

use burrline_domain::{Entry, Ruling, Verb, with_verbs};
use burrline_evidence::{seal::SealKey, sign::BenchKey};
use burrline_present::plausible::shown::Shown;
use burrline_proto::{decode_entry, encode_entry, v1};
use burrline_terms::{EntryName, Phrase, SaidTime, Skull};

use crate::Error;

/// Which of the lines that are said together a line refers to, counted from the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Refers {
    /// The customer.
    pub customer: Option<u64>,
    /// The ticket.
    pub ticket: Option<u64>,
    /// The take-in of the job that it is about.
    pub job: Option<u64>,
}

/// Which potful something belongs to: what is taken back together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Potful {
    /// That of the write that keeps it.
    #[default]
    Own,
    /// It begins one that a later write goes on with.
    Begins,
    /// It goes on with the potful that this entry began.
    GoesOn(EntryName),
}

/// Something that is about to be said.
#[derive(Debug, Clone)]
pub struct Draft {
    /// What.
    pub verb: Verb,
    /// Said on being asked, rather than seen.
    pub not_seen: bool,
    /// Why it is done against a rule.
    pub anyway: Option<Phrase>,
    /// The rules that it is done against.
    pub rulings: Vec<Ruling>,
    /// What the hand was shown against it and answered: an answer covers no more than that.
    pub shown: Vec<Shown>,
    /// Which potful it belongs to.
    pub potful: Potful,
    /// Keys of the details that it seals.
    pub keys: Vec<SealKey>,
    /// The customer of the ticket is the entry right before it.
    pub customer_before: bool,
    /// When it happened, if that is said of this one alone.
    pub said: Option<SaidTime>,
    /// What it refers to among those that are said with it.
    pub refers: Refers,
}

impl From<Verb> for Draft {
    fn from(verb: Verb) -> Self {
        Self {
            verb,
            not_seen: false,
            anyway: None,
            rulings: Vec::new(),
            shown: Vec::new(),
            potful: Potful::Own,
            keys: Vec::new(),
            customer_before: false,
            said: None,
            refers: Refers::default(),
        }
    }
}

impl Draft {
    /// Fills in what could not be known before the entry had its number; `first` is the number of
    /// the first of those that are said together.
    pub(super) fn named(&mut self, name: EntryName, first: u64) {
        let of = |offset: u64| EntryName::new(name.life, first.saturating_add(offset));
        if let (Verb::Ticket(ticket), Some(offset)) = (&mut self.verb, self.refers.customer) {
            ticket.customer = Some(of(offset));
        }
        if let (Verb::TakeIn(take_in), Some(offset)) = (&mut self.verb, self.refers.ticket) {
            take_in.ticket = Some(of(offset));
        }
        if let (Some(skull), Some(offset)) = (self.verb.skull().cloned(), self.refers.job) {
            set_skull(&mut self.verb, Skull { job: Some(of(offset)), ..skull });
        }
        if let Verb::Ticket(ticket) = &mut self.verb
            && self.customer_before
        {
            ticket.customer = Some(EntryName::new(name.life, name.n.saturating_sub(1)));
        }
    }
}

/// Signs an entry with the key of its bench.
///
/// # Errors
/// [`Error::Usage`] if it is too long for an entry.
pub fn sign(key: &BenchKey, entry: &Entry) -> Result<v1::SignedEntry, Error> {
    let bytes = encode_entry(entry);
    decode_entry(&bytes).map_err(|e| Error::usage(format!("that cannot be said: {e}")))?;
    let signature = key.sign_entry(&bytes).0.to_vec();
    Ok(v1::SignedEntry { entry: bytes, signature })
}

/// The field of this name that says which skull, if it is that field.
macro_rules! set_skull {
    ($verb:ident, $to:ident, skull) => {
        $verb.skull = $to;
        return true;
    };
    ($verb:ident, $to:ident, $other:ident) => {};
}

macro_rules! define_set_skull {
    ($($number:literal $class:ident $on:ident $role:ident $Verb:ident $word:literal $help:literal {
        $($field:ident: $ty:ty = $fhelp:literal),* $(,)?
    })*) => {
        fn set_skull_of_line(verb: &mut Verb, to: Skull) -> bool {
            #[allow(
                unused_variables,
                unreachable_code,
                reason = "a verb without a skull has nothing to set, and nothing follows a set one"
            )]
            match verb {
                $(Verb::$Verb(verb) => {
                    $(set_skull!(verb, to, $field);)*
                    false
                })*
            }
        }
    };
}

with_verbs!(define_set_skull);

/// Says which skull a verb is about, in place of what it said; an amendment in its new line.
pub fn set_skull(verb: &mut Verb, to: Skull) -> bool {
    if let Verb::Amend(amend) = verb {
        set_skull_of_line(&mut amend.verb, to)
    } else {
        set_skull_of_line(verb, to)
    }
}
