//! Entries and records, to and from their messages and bytes.
//!
//! An entry is encoded once, at its bench, and from then on its bytes are kept as they are: the
//! signature is over them, and protobuf promises no second encoding that is the same.

use burrline_domain::{
    BenchClock, Entry, FactsRead, FirstLook, OnJob, Outcome, Record, Refusal, Remark, Ruling,
    ScriptNotes, Verb,
};
use burrline_terms::{Happened, Moment, SaidTime};
use prost::Message as _;

use crate::{
    malformed::{Malformed, Wrong},
    v1,
    wire::{Wire, WireField, fixed, required},
};

/// The most bytes an entry may have, so that it fits the log with all that the shop adds.
pub const MAX_ENTRY_BYTES: usize = 40 * 1024;

/// The bytes of a bench's Ed25519 signature.
pub const SIGNATURE_BYTES: usize = 64;

/// The bytes of an entry, for its bench to sign.
///
/// The shop takes at most [`MAX_ENTRY_BYTES`]; [`decode_entry`] tells.
pub fn encode_entry(entry: &Entry) -> Vec<u8> {
    entry.to_item().encode_to_vec()
}

/// Reads an entry from the bytes that were signed.
///
/// # Errors
/// [`Malformed`] if there are more than [`MAX_ENTRY_BYTES`], they are no entry, or a field of it is
/// wrong.
pub fn decode_entry(bytes: &[u8]) -> Result<Entry, Malformed> {
    if bytes.len() > MAX_ENTRY_BYTES {
        return Err(Wrong::TooLong { got: bytes.len(), most: MAX_ENTRY_BYTES }.into());
    }
    Entry::from_item(&v1::Entry::decode(bytes)?)
}

/// The message of a record, with its entry as the bytes that were signed; `record.entry` is not
/// encoded again.
pub fn record_message(record: &Record, entry_bytes: &[u8], signature: &[u8]) -> v1::Record {
    v1::Record {
        position: record.position,
        shop_time_ms: record.shop_time.to_item(),
        happened: Some(record.happened.to_item()),
        outcome: Some(record.outcome.to_item()),
        entry: entry_bytes.to_vec(),
        signature: signature.to_vec(),
        contact: record.contact.as_ref().map(Wire::to_item),
        doubted_ms: record.doubted.map(|at| at.0),
        notes: (!record.notes.is_empty()).then(|| record.notes.to_item()),
        on_jobs: record.on_jobs.to_field(),
    }
}

/// The bytes of a record: a leaf of the log.
pub fn encode_record(record: &Record, entry_bytes: &[u8], signature: &[u8]) -> Vec<u8> {
    record_message(record, entry_bytes, signature).encode_to_vec()
}

/// Reads a record's bytes into the record and what its bench signed.
///
/// # Errors
/// [`Malformed`] if they are no record, or a field of it or of its entry is wrong.
pub fn decode_record(bytes: &[u8]) -> Result<(Record, v1::SignedEntry), Malformed> {
    read_record(v1::Record::decode(bytes)?)
}

/// Reads a record's message into the record and what its bench signed.
///
/// # Errors
/// [`Malformed`] if a field of it or of its entry is wrong.
pub fn read_record(message: v1::Record) -> Result<(Record, v1::SignedEntry), Malformed> {
    let record = Record {
        position: message.position,
        shop_time: Moment(message.shop_time_ms),
        happened: required(message.happened.as_ref(), "happened")?,
        outcome: required(message.outcome.as_ref(), "outcome")?,
        contact: message
            .contact
            .as_ref()
            .map(|clock| BenchClock::from_item(clock).map_err(|e| e.within("contact")))
            .transpose()?,
        doubted: message.doubted_ms.map(Moment),
        notes: message
            .notes
            .as_ref()
            .map(|notes| ScriptNotes::from_item(notes).map_err(|e| e.within("notes")))
            .transpose()?
            .unwrap_or_default(),
        on_jobs: Vec::from_field(&message.on_jobs, "on_jobs")?,
        entry: decode_entry(&message.entry).map_err(|e| e.within("entry"))?,
    };
    let length = message.signature.len();
    // Only the shop's own entries go without: the shop signs the log's head instead.
    if length != SIGNATURE_BYTES && !(length == 0 && record.entry.name.life == 0) {
        let why = Wrong::Length { got: length, want: SIGNATURE_BYTES };
        return Err(Malformed::field("signature", why));
    }
    Ok((record, v1::SignedEntry { entry: message.entry, signature: message.signature }))
}

impl Wire for Moment {
    type Item = i64;

    fn to_item(&self) -> i64 {
        self.0
    }

    fn from_item(item: &i64) -> Result<Self, Malformed> {
        Ok(Self(*item))
    }
}

impl Wire for Verb {
    type Item = v1::Verb;

    fn to_item(&self) -> v1::Verb {
        self.into()
    }

    fn from_item(message: &v1::Verb) -> Result<Self, Malformed> {
        Self::try_from(message)
    }
}

impl Wire for Entry {
    type Item = v1::Entry;

    fn to_item(&self) -> v1::Entry {
        v1::Entry {
            name: self.name.to_field(),
            hand: self.hand.to_field(),
            clock: Some(self.clock.to_item()),
            said_ms: self.said.map(|said| said.from.0),
            said_until_ms: self.said.filter(|said| !said.is_point()).map(|said| said.until.0),
            seen: self.seen,
            together: self.together.to_field(),
            anyway: self.anyway.to_field(),
            rulings: self.rulings.to_field(),
            not_seen: self.not_seen,
            formerly: self.formerly.to_field(),
            verb: Some(self.verb.to_item()),
        }
    }

    fn from_item(message: &v1::Entry) -> Result<Self, Malformed> {
        let entry = Self {
            name: WireField::from_field(&message.name, "name")?,
            hand: WireField::from_field(&message.hand, "hand")?,
            clock: required(message.clock.as_ref(), "clock")?,
            said: said(message.said_ms, message.said_until_ms)?,
            seen: message.seen,
            together: WireField::from_field(&message.together, "together")?,
            anyway: WireField::from_field(&message.anyway, "anyway")?,
            rulings: WireField::from_field(&message.rulings, "rulings")?,
            not_seen: message.not_seen,
            formerly: WireField::from_field(&message.formerly, "formerly")?,
            verb: required(message.verb.as_ref(), "verb")?,
        };
        if entry.name.n == 0 {
            return Err(Malformed::field("name.n", Wrong::Missing));
        }
        Ok(entry)
    }
}

/// The said time: the first moment, and the last one where they are not the same.
fn said(from: Option<i64>, until: Option<i64>) -> Result<Option<SaidTime>, Malformed> {
    match (from, until) {
        (None, None) => Ok(None),
        (Some(from), None) => Ok(Some(SaidTime::at(Moment(from)))),
        (Some(from), Some(until)) if from < until => {
            Ok(Some(SaidTime { from: Moment(from), until: Moment(until) }))
        }
        (_, Some(_)) => Err(Malformed::field("said_until_ms", Wrong::Bounds)),
    }
}

impl Wire for BenchClock {
    type Item = v1::BenchClock;

    fn to_item(&self) -> v1::BenchClock {
        v1::BenchClock {
            wall_ms: self.wall.to_item(),
            boot: self.boot.to_vec(),
            uptime_ms: self.uptime_ms,
        }
    }

    fn from_item(message: &v1::BenchClock) -> Result<Self, Malformed> {
        Ok(Self {
            wall: Moment(message.wall_ms),
            boot: fixed(&message.boot).map_err(|e| e.within("boot"))?,
            uptime_ms: message.uptime_ms,
        })
    }
}

impl Wire for Ruling {
    type Item = v1::Ruling;

    fn to_item(&self) -> v1::Ruling {
        v1::Ruling {
            rule: self.rule.to_field(),
            script: self.script.to_field(),
            words: self.words.to_field(),
        }
    }

    fn from_item(message: &v1::Ruling) -> Result<Self, Malformed> {
        Ok(Self {
            rule: WireField::from_field(&message.rule, "rule")?,
            script: WireField::from_field(&message.script, "script")?,
            words: WireField::from_field(&message.words, "words")?,
        })
    }
}

impl Wire for OnJob {
    type Item = v1::OnJob;

    fn to_item(&self) -> v1::OnJob {
        v1::OnJob { job: Some(self.job.to_item()), nth: self.nth }
    }

    fn from_item(message: &v1::OnJob) -> Result<Self, Malformed> {
        if message.nth == 0 {
            return Err(Malformed::field("nth", Wrong::Missing));
        }
        Ok(Self { job: required(message.job.as_ref(), "job")?, nth: message.nth })
    }
}

impl Wire for Happened {
    type Item = v1::Happened;

    fn to_item(&self) -> v1::Happened {
        v1::Happened {
            at_ms: self.at.to_item(),
            not_before_ms: self.not_before.to_item(),
            not_after_ms: self.not_after.to_item(),
            typed_ms: self.typed.to_item(),
            said: self.said,
        }
    }

    fn from_item(message: &v1::Happened) -> Result<Self, Malformed> {
        if message.not_before_ms > message.at_ms || message.at_ms > message.not_after_ms {
            return Err(Wrong::Bounds.into());
        }
        Ok(Self {
            at: Moment(message.at_ms),
            not_before: Moment(message.not_before_ms),
            not_after: Moment(message.not_after_ms),
            typed: Moment(message.typed_ms),
            said: message.said,
        })
    }
}

impl Wire for Remark {
    type Item = v1::Remark;

    fn to_item(&self) -> v1::Remark {
        v1::Remark {
            rule: self.rule.to_field(),
            script: self.script.to_field(),
            words: self.words.to_field(),
            objected: self.objected,
            not_checked: self.not_checked,
        }
    }

    fn from_item(message: &v1::Remark) -> Result<Self, Malformed> {
        Ok(Self {
            rule: WireField::from_field(&message.rule, "rule")?,
            script: WireField::from_field(&message.script, "script")?,
            words: WireField::from_field(&message.words, "words")?,
            objected: message.objected,
            not_checked: message.not_checked,
        })
    }
}

/// The most bytes of facts that a record holds.
pub const MAX_FACTS_BYTES: usize = 24_000;

impl Wire for ScriptNotes {
    type Item = v1::ScriptNotes;

    fn to_item(&self) -> v1::ScriptNotes {
        v1::ScriptNotes {
            shadow: self.shadow.to_field(),
            first_look: self.first_look.as_ref().map(Wire::to_item),
            read: self.read.as_ref().map(Wire::to_item),
        }
    }

    fn from_item(message: &v1::ScriptNotes) -> Result<Self, Malformed> {
        let read = message.read.as_ref().map(FactsRead::from_item).transpose();
        let look = message.first_look.as_ref().map(FirstLook::from_item).transpose();
        Ok(Self {
            first_look: look.map_err(|e| e.within("first_look"))?,
            shadow: WireField::from_field(&message.shadow, "shadow")?,
            read: read.map_err(|e| e.within("read"))?,
        })
    }
}

impl Wire for FirstLook {
    type Item = v1::FirstLook;

    fn to_item(&self) -> v1::FirstLook {
        v1::FirstLook {
            minutes: self.minutes,
            rule: self.rule.to_field(),
            script: self.script.to_field(),
        }
    }

    fn from_item(message: &v1::FirstLook) -> Result<Self, Malformed> {
        if message.minutes == 0 {
            return Err(Malformed::field("minutes", Wrong::Missing));
        }
        Ok(Self {
            minutes: message.minutes,
            rule: WireField::from_field(&message.rule, "rule")?,
            script: WireField::from_field(&message.script, "script")?,
        })
    }
}

impl Wire for FactsRead {
    type Item = v1::FactsRead;

    fn to_item(&self) -> v1::FactsRead {
        v1::FactsRead {
            version: self.version,
            host: self.host.to_field(),
            facts: self.facts.clone(),
            customer: self.customer.to_field(),
        }
    }

    fn from_item(message: &v1::FactsRead) -> Result<Self, Malformed> {
        let got = message.facts.len();
        if got > MAX_FACTS_BYTES {
            let why = Wrong::TooLong { got, most: MAX_FACTS_BYTES };
            return Err(Malformed::field("facts", why));
        }
        Ok(Self {
            version: message.version,
            host: WireField::from_field(&message.host, "host")?,
            facts: message.facts.clone(),
            customer: WireField::from_field(&message.customer, "customer")?,
        })
    }
}

impl Wire for Outcome {
    type Item = v1::Outcome;

    fn to_item(&self) -> v1::Outcome {
        use v1::outcome::Result as Kind;
        let result = match self {
            Self::Done(remarks) => Kind::Done(v1::Done { remarks: remarks.to_field() }),
            Self::Refused(refusal) => Kind::Refused(refusal.to_item()),
        };
        v1::Outcome { result: Some(result) }
    }

    fn from_item(message: &v1::Outcome) -> Result<Self, Malformed> {
        use v1::outcome::Result as Kind;
        match &message.result {
            Some(Kind::Done(done)) => {
                WireField::from_field(&done.remarks, "done.remarks").map(Self::Done)
            }
            Some(Kind::Refused(refusal)) => {
                Refusal::from_item(refusal).map(Self::Refused).map_err(|e| e.within("refused"))
            }
            None => Err(Malformed::field("result", Wrong::Missing)),
        }
    }
}

impl Wire for Refusal {
    type Item = v1::Refusal;

    fn to_item(&self) -> v1::Refusal {
        use v1::refusal::Reason;
        let reason = match self {
            Self::RoleMayNot { role, needs } => Reason::RoleMayNot(v1::RoleMayNot {
                role: role.to_field(),
                needs: needs.to_field(),
            }),
            Self::NoSuchJob => Reason::NoSuchJob(v1::Nothing {}),
            Self::NoSuch(name) => Reason::NoSuch(name.to_field()),
            Self::Already(name) => Reason::Already(name.to_field()),
            Self::NotOnHold => Reason::NotOnHold(v1::Nothing {}),
            Self::NoSuchCustomer => Reason::NoSuchCustomer(v1::Nothing {}),
            Self::BadSetting(words) => Reason::BadSetting(words.to_field()),
            Self::Retired => Reason::Retired(v1::Nothing {}),
            Self::NoSuchSetting(name) => Reason::NoSuchSetting(name.to_field()),
            Self::NoSuchBench(life) => Reason::NoSuchBench(*life),
            Self::NoSuchScript(digest) => Reason::NoSuchScript(digest.to_field()),
            Self::UnusableScript(why) => Reason::UnusableScript(why.to_field()),
            Self::Withdrawn => Reason::Withdrawn(v1::Nothing {}),
            Self::NotThen => Reason::NotThen(v1::Nothing {}),
            Self::TillClosed(day) => Reason::TillClosed(day.to_field()),
        };
        v1::Refusal { reason: Some(reason) }
    }

    fn from_item(message: &v1::Refusal) -> Result<Self, Malformed> {
        use v1::refusal::Reason;
        Ok(match &message.reason {
            Some(Reason::RoleMayNot(roles)) => Self::RoleMayNot {
                role: WireField::from_field(&roles.role, "role")?,
                needs: WireField::from_field(&roles.needs, "needs")?,
            },
            Some(Reason::NoSuchJob(v1::Nothing {})) => Self::NoSuchJob,
            Some(Reason::NoSuch(name)) => Self::NoSuch(WireField::from_field(name, "no_such")?),
            Some(Reason::Already(name)) => Self::Already(WireField::from_field(name, "already")?),
            Some(Reason::NotOnHold(v1::Nothing {})) => Self::NotOnHold,
            Some(Reason::NoSuchCustomer(v1::Nothing {})) => Self::NoSuchCustomer,
            Some(Reason::BadSetting(words)) => {
                Self::BadSetting(WireField::from_field(words, "bad_setting")?)
            }
            Some(Reason::Retired(v1::Nothing {})) => Self::Retired,
            Some(Reason::NoSuchSetting(name)) => {
                Self::NoSuchSetting(WireField::from_field(name, "no_such_setting")?)
            }
            Some(Reason::NoSuchBench(life)) => Self::NoSuchBench(*life),
            Some(Reason::NoSuchScript(digest)) => {
                Self::NoSuchScript(WireField::from_field(digest, "no_such_script")?)
            }
            Some(Reason::UnusableScript(why)) => {
                Self::UnusableScript(WireField::from_field(why, "unusable_script")?)
            }
            Some(Reason::Withdrawn(v1::Nothing {})) => Self::Withdrawn,
            Some(Reason::NotThen(v1::Nothing {})) => Self::NotThen,
            Some(Reason::TillClosed(day)) => {
                Self::TillClosed(WireField::from_field(day, "till_closed")?)
            }
            None => return Err(Malformed::field("reason", Wrong::Missing)),
        })
    }
}
