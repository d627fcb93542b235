//! How long each text and each list of each request may be: one table.
//!
//! A message of the transport has a limit of its own. Within it a request could still carry a text or a list
//! that costs the shop more than any bench has a use for; such a request is refused before anything is done
//! with it. A test walks the schema, so that no field is left out.

use burrline_proto::v1::{self, Reason};
use prost::Message as _;
use tonic::{Request, Status};

use super::status;

/// A request whose fields have limits.
pub(super) trait Limited {
    /// Whether it is within them.
    ///
    /// # Errors
    /// Names the field and what would be right.
    fn limited(&self) -> Result<(), Status>;
}

/// What a call was made with, if it is within its limits.
pub(super) fn within<T: Limited>(request: Request<T>) -> Result<T, Status> {
    let request = request.into_inner();
    request.limited()?;
    Ok(request)
}

/// A field of a request: how many bytes each of its values has at most, and how many values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Limit {
    field: &'static str,
    bytes: usize,
    items: usize,
}

/// More than the longest name of anything, spelled as bytes.
const NAME: usize = 256;
/// More than the longest free text of a line.
const TEXT: usize = 4 * 1024;
/// A key, or a digest.
const KEY: usize = 32;
/// One line with all that it says.
const LINE: usize = 64 * 1024;
/// A signed note: a head of the log, or a proof.
const NOTE: usize = 16 * 1024;
/// The source of a script, and more.
const SOURCE: usize = 256 * 1024;
/// A part of a photo.
const PART: usize = 1024 * 1024;
/// A whole question of a reading.
const QUESTION: usize = 16 * 1024;

/// Something that is as long as it is.
trait Long {
    fn bytes(&self) -> usize;
}

impl Long for String {
    fn bytes(&self) -> usize {
        self.len()
    }
}

impl Long for Vec<u8> {
    fn bytes(&self) -> usize {
        self.len()
    }
}

impl Long for v1::Verb {
    fn bytes(&self) -> usize {
        self.encoded_len()
    }
}

/// Numbers are as long as they are.
macro_rules! numbers {
    ($($ty:ty),+) => {$(
        impl Long for $ty {
            fn bytes(&self) -> usize {
                size_of::<Self>()
            }
        }
    )+};
}

numbers!(u32, u64, v1::CarriedContact, v1::SealKey);

fn check<'a, T: Long + 'a>(
    limit: Limit,
    values: impl ExactSizeIterator<Item = &'a T>,
) -> Result<(), Status> {
    let Limit { field, bytes, items } = limit;
    if values.len() > items {
        let words = format!("{field}: {items} at most at once");
        return Err(status(Reason::TooMuch, words));
    }
    for value in values {
        if value.bytes() > bytes {
            let words = format!("{field}: {bytes} bytes at most");
            return Err(status(Reason::TooMuch, words));
        }
    }
    Ok(())
}

/// Makes the table, and the checks from it. Each row: a field, how often, and how many bytes.
macro_rules! limits {
    ($($Message:ident { $($field:ident $many:tt $bytes:expr;)* })+) => {
        /// Every text, every list and every run of bytes of a request.
        #[cfg(test)]
        const LIMITS: &[Limit] = &[$($(limits!(@row $Message $field $many $bytes)),*),+];

        $(impl Limited for v1::$Message {
            fn limited(&self) -> Result<(), Status> {
                $(limits!(@check self $Message $field $many $bytes);)*
                Ok(())
            }
        })+
    };
    (@row $Message:ident $field:ident one $bytes:expr) => {
        limits!(@limit $Message $field $bytes, 1)
    };
    (@row $Message:ident $field:ident $items:literal $bytes:expr) => {
        limits!(@limit $Message $field $bytes, $items)
    };
    (@limit $Message:ident $field:ident $bytes:expr, $items:expr) => {
        Limit {
            field: concat!(stringify!($Message), ".", stringify!($field)),
            bytes: $bytes,
            items: $items,
        }
    };
    (@check $self:ident $Message:ident $field:ident one $bytes:expr) => {
        check(
            limits!(@limit $Message $field $bytes, 1),
            std::iter::once(&$self.$field),
        )?
    };
    (@check $self:ident $Message:ident $field:ident $items:literal $bytes:expr) => {
        check(limits!(@limit $Message $field $bytes, $items), $self.$field.iter())?
    };
}

limits! {
    JoinRequest { code one NAME; public_key one NAME; bench_name one NAME; }
    InviteRequest { bench_name one NAME; }
    AskRequest { hand one NAME; verbs 1000 LINE; before 1000 LINE; }
    SignedEntry { entry one SOURCE; signature one NAME; }
    SealKey { key_id one KEY; key one KEY; }
    BenchClock { boot one KEY; }
    CarriedClocks { contacts 10_000 NAME; }
    PutScriptRequest { name one NAME; source one SOURCE; }
    GetScriptRequest { digest one KEY; }
    ProveRequest { positions 1000 NAME; }
    RestoreHello { notes 10_000 NOTE; earlier 10_000 NAME; proofs 10_000 NOTE; }
    KeptKey { key_id one KEY; closed one NAME; }
    ScriptFactsRequest { hand one NAME; }
    BacktestRequest { name one NAME; source one SOURCE; }
    PhotoComing { digest one KEY; }
    GetPhotoRequest { digest one KEY; asked_by one TEXT; }
    LackedPhotosRequest { digests 1000 KEY; }
}

/// What has no text and no list.
macro_rules! nothing_to_limit {
    ($($Message:ident)+) => {
        $(impl Limited for v1::$Message {
            fn limited(&self) -> Result<(), Status> {
                Ok(())
            }
        })+
    };
}

nothing_to_limit! {
    GreetRequest InvitesRequest FollowRequest CheckpointRequest EvidenceRequest ExportedRequest LeavesRequest
}

/// A whole message of a limited length. The values in it have limits of their own where they are read.
fn whole(message: &str, got: usize, most: usize) -> Result<(), Status> {
    let words = || format!("{message}: {most} bytes at most");
    if got > most { Err(status(Reason::TooMuch, words())) } else { Ok(()) }
}

impl Limited for v1::ReadRequest {
    fn limited(&self) -> Result<(), Status> {
        whole("ReadRequest", self.encoded_len(), QUESTION)
    }
}

impl Limited for v1::RecordRequest {
    fn limited(&self) -> Result<(), Status> {
        self.entry.iter().try_for_each(Limited::limited)?;
        let keys = Limit { field: "RecordRequest.keys", bytes: NAME, items: 16 };
        check(keys, self.keys.iter())?;
        self.keys.iter().try_for_each(Limited::limited)?;
        self.now.iter().try_for_each(Limited::limited)?;
        self.carried.iter().try_for_each(Limited::limited)
    }
}

impl Limited for v1::PutPhotoRequest {
    fn limited(&self) -> Result<(), Status> {
        use v1::put_photo_request::What;
        match &self.what {
            Some(What::Coming(coming)) => coming.limited(),
            Some(What::Part(part)) => whole("PutPhotoRequest.part", part.len(), PART),
            None => Ok(()),
        }
    }
}

impl Limited for v1::RestoreRequest {
    fn limited(&self) -> Result<(), Status> {
        use v1::restore_request::What;
        match &self.what {
            Some(What::Hello(hello)) => hello.limited(),
            Some(What::Record(record)) => whole("RestoreRequest.record", record.len(), 2 * LINE),
            Some(What::Script(source)) => whole("RestoreRequest.script", source.len(), SOURCE),
            Some(What::Key(key)) => key.limited(),
            Some(What::KeptKey(key)) => key.limited(),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use prost_types::{
        DescriptorProto, FileDescriptorSet,
        field_descriptor_proto::{Label, Type},
    };

    use super::*;

    /// Limited as a whole, or by hand above: what reads them has limits for each value.
    const BY_HAND: [&str; 4] = [
        "RecordRequest.keys",
        "PutPhotoRequest.part",
        "RestoreRequest.record",
        "RestoreRequest.script",
    ];

    fn schema() -> FileDescriptorSet {
        FileDescriptorSet::decode(burrline_proto::FILE_DESCRIPTOR_SET).unwrap()
    }

    fn last(name: &str) -> &str {
        name.rsplit('.').next().unwrap()
    }

    #[test]
    fn every_text_and_every_list_of_every_request_has_a_limit() {
        let schema = schema();
        let messages: BTreeMap<&str, &DescriptorProto> = schema
            .file
            .iter()
            .flat_map(|file| &file.message_type)
            .map(|message| (message.name(), message))
            .collect();
        let services = schema.file.iter().flat_map(|file| &file.service);
        let mut waiting: Vec<&str> =
            services.flat_map(|one| &one.method).map(|method| last(method.input_type())).collect();
        assert!(waiting.len() > 20);
        let known: BTreeSet<&str> = LIMITS.iter().map(|limit| limit.field).collect();
        let (mut seen, mut missing) = (BTreeSet::new(), Vec::new());
        while let Some(name) = waiting.pop() {
            // A line and a question are limited as a whole, and their values where they are read.
            if name == "Verb" || name == "ReadRequest" || !seen.insert(name) {
                continue;
            }
            for field in &messages[name].field {
                let path = format!("{name}.{}", field.name());
                let is_long = matches!(field.r#type(), Type::String | Type::Bytes);
                let is_limited = known.contains(path.as_str()) || BY_HAND.contains(&path.as_str());
                // Of a skull and of the name of an entry the values have limits where they are read.
                let is_value = matches!(name, "Skull" | "EntryName");
                if (is_long || field.label() == Label::Repeated) && !is_limited && !is_value {
                    missing.push(path);
                }
                if field.r#type() == Type::Message {
                    waiting.push(last(field.type_name()));
                }
            }
        }
        assert!(missing.is_empty(), "no limit in the table: {missing:?}");
    }

    #[test]
    fn what_is_too_long_or_too_many_is_refused_by_the_name_of_its_field() {
        let long = v1::JoinRequest { code: "x".repeat(NAME + 1), ..v1::JoinRequest::default() };
        let words = long.limited().unwrap_err().message().to_owned();
        assert_eq!(words, "JoinRequest.code: 256 bytes at most");
        let many = v1::ProveRequest { positions: vec![1; 1001] };
        let words = many.limited().unwrap_err().message().to_owned();
        assert_eq!(words, "ProveRequest.positions: 1000 at most at once");
        let verbs = vec![v1::Verb::default(); 150_000];
        assert!(v1::AskRequest { verbs, ..v1::AskRequest::default() }.limited().is_err());
        assert!(v1::AskRequest::default().limited().is_ok());
        let find = v1::FindRequest { words: "x".repeat(QUESTION) };
        let reading = Some(v1::read_request::Reading::Find(find));
        assert!(v1::ReadRequest { reading, ..v1::ReadRequest::default() }.limited().is_err());
    }
}
