//! The way to the shop: one method a question.

use std::{error::Error as _, time::Duration};

use burrline_evidence::sign::PublicKey;
use burrline_present::readings::Unreadable;
use burrline_proto::v1::{self, put_photo_request::What, shop_client::ShopClient};
use burrline_terms::Digest;
use burrline_tls::client::ConnectError;
use tokio::time::Instant;
use tokio_stream::{Stream, StreamExt as _};
use tonic::{Code, Response, Status, transport::Channel};
use tonic_types::StatusExt as _;

use super::{
    patience::{ASK, FELT, READING, Times, WHOLE_LOG},
    pause::Pause,
    way::{Made, Own, Way},
};
use crate::{Error, error::Silence};

/// How many bytes of a photo go at once.
const PHOTO_PART: usize = 256 * 1024;

/// More than any shop keeps of one photo.
const MOST_OF_A_PHOTO: usize = 256 * 1024 * 1024;

/// How long so many bytes take on the slowest line that is waited for: 50 kB a second.
fn slowest(bytes: usize) -> Duration {
    let seconds = bytes.checked_div(50_000).and_then(|seconds| u64::try_from(seconds).ok());
    Duration::from_secs(seconds.unwrap_or(0))
}

/// A connection that is made when it is first used, and made again when it breaks.
#[derive(Debug, Clone)]
pub struct Connection {
    url: String,
    made: Made,
    /// What it means that there is no connection.
    own_silence: Silence,
    shop: ShopClient<Channel>,
    /// How long anything is waited for.
    patience: Times,
    /// Where a wait in vain is noted; nowhere before there is a bench.
    pause: Option<Pause>,
}

/// Makes the methods that ask one thing and get one answer.
macro_rules! asks {
    ($($(#[$doc:meta])* $name:ident($request:ident) -> $response:ident in $limit:ident: $what:literal;)+) => {
        impl Connection {$(
            $(#[$doc])*
            ///
            /// # Errors
            /// [`Error::Away`] if there is no answer in time; else what the shop says.
            pub async fn $name(&self, request: v1::$request) -> Result<v1::$response, Error> {
                let mut shop = self.shop.clone();
                // A call is the largest part of a command's future.
                self.asked($what, $limit, Box::pin(shop.$name(request)), Self::wrong).await
            }
        )+}
    };
}

asks! {
    /// Says who is there and how much each side has.
    greet(GreetRequest) -> GreetResponse in ASK: "greet";
    /// Enrols a bench with the join code.
    join(JoinRequest) -> JoinResponse in READING: "join";
    /// Makes a code that a bench joins with.
    invite(InviteRequest) -> InviteResponse in READING: "invite";
    /// Lists the codes that are still good, and takes one back.
    invites(InvitesRequest) -> InvitesResponse in READING: "invites";
    /// Asks what the rules say; records nothing.
    ask(AskRequest) -> AskResponse in ASK: "ask";
    /// Stores the source of a script.
    put_script(PutScriptRequest) -> PutScriptResponse in READING: "put a script";
    /// Gives the source of a script.
    get_script(GetScriptRequest) -> GetScriptResponse in READING: "get a script";
    /// Gives what scripts see of a job.
    script_facts(ScriptFactsRequest) -> ScriptFactsResponse in READING: "script facts";
    /// Gives the digests that two replays can be compared by.
    digest(DigestRequest) -> DigestResponse in READING: "digest";
    /// Gives a signed head of the log.
    checkpoint(CheckpointRequest) -> CheckpointResponse in READING: "checkpoint";
    /// Gives records with their proofs.
    prove(ProveRequest) -> ProveResponse in READING: "prove";
    /// Gives the hashes of records.
    leaves(LeavesRequest) -> LeavesResponse in READING: "leaves";
    /// Names the records that the story of a job hangs on.
    evidence(EvidenceRequest) -> EvidenceResponse in READING: "evidence";
    /// Says that this bench wrote an export.
    exported(ExportedRequest) -> ExportedResponse in ASK: "say what was exported";
    /// Says which photos the shop lacks.
    lacked_photos(LackedPhotosRequest) -> LackedPhotosResponse in READING: "lacked photos";
}

impl Connection {
    /// The connection to a shop; must be called within a tokio runtime.
    ///
    /// # Errors
    /// If TLS cannot be set up.
    pub fn to(way: &Way) -> Result<Self, Error> {
        let made = way.channel()?;
        let shop = ShopClient::new(made.channel.clone());
        let own_silence = match way.own {
            Own::Lost(_) if !way.address.is_plain() => Silence::NoKey,
            Own::Key(_) | Own::Lost(_) => Silence::Silent,
        };
        Ok(Self {
            url: way.address.to_string(),
            made,
            own_silence,
            shop,
            patience: way.patience,
            pause: None,
        })
    }

    /// The same, which notes a wait in vain.
    pub(super) fn pausing(self, pause: Pause) -> Self {
        Self { pause: Some(pause), ..self }
    }

    /// How long nobody needs to wait for the shop again, as it was waited for in vain.
    pub(super) fn paused(&self) -> Option<Duration> {
        self.pause.as_ref()?.left()
    }

    /// How long anything is waited for.
    pub(super) const fn patience(&self) -> Times {
        self.patience
    }

    /// Waits for one answer; notes whether it came.
    async fn asked<T>(
        &self,
        what: &'static str,
        limit: Duration,
        answer: impl Future<Output = Result<Response<T>, Status>>,
        wrong: impl FnOnce(&Self, &'static str, &Status) -> Error,
    ) -> Result<T, Error> {
        let began = Instant::now();
        let answer = tokio::time::timeout(self.patience.of(limit), answer).await;
        let answer = answer.map_err(|_| self.late(what))?;
        let answer = answer.map_err(|status| wrong(self, what, &status));
        if let Some(pause) = &self.pause {
            match &answer {
                Err(Error::Away { silence: Silence::Silent, .. }) => {
                    if began.elapsed() >= FELT {
                        pause.waited();
                    }
                }
                Ok(_) | Err(_) => pause.answered(),
            }
        }
        answer.map(Response::into_inner)
    }

    /// The key that the shop proved to have; none in the clear, and before the first answer.
    pub fn shown_key(&self) -> Option<PublicKey> {
        self.made.shown()
    }

    /// The shop's address.
    pub fn url(&self) -> &str {
        &self.url
    }

    /// Reads one of the readings.
    ///
    /// # Errors
    /// [`Error::Away`] if there is no answer in time; else what the shop says.
    pub async fn read(
        &self,
        what: &'static str,
        request: v1::ReadRequest,
        limit: Duration,
    ) -> Result<v1::ReadResponse, Error> {
        let mut shop = self.shop.clone();
        self.asked(what, limit, Box::pin(shop.read(request)), Self::unread).await
    }

    /// Records entries, many in flight; the receipts come in the order of the entries.
    ///
    /// # Errors
    /// [`Error::Away`] if the shop does not take the stream; else what the shop says.
    pub async fn record<S>(
        &self,
        entries: S,
    ) -> Result<impl Stream<Item = Result<v1::Receipt, Error>> + Send + use<S>, Error>
    where
        S: Stream<Item = v1::RecordRequest> + Send + 'static,
    {
        let mut shop = self.shop.clone();
        let stream =
            self.asked("record", READING, Box::pin(shop.record(entries)), Self::wrong).await?;
        let this = self.clone();
        Ok(stream.map(move |response| match response {
            Ok(v1::RecordResponse { receipt: Some(receipt) }) => Ok(receipt),
            Ok(_) => Err(Error::Nonsense("a receipt without one".into())),
            Err(status) => Err(this.wrong("record", &status)),
        }))
    }

    /// Gives a shop that was put back from a backup what this bench has.
    ///
    /// # Errors
    /// [`Error::Away`] if there is no answer in time; else what the shop says.
    pub async fn restore<S>(&self, offers: S) -> Result<v1::RestoreResponse, Error>
    where
        S: Stream<Item = v1::RestoreRequest> + Send + 'static,
    {
        let mut shop = self.shop.clone();
        self.asked("restore", WHOLE_LOG, Box::pin(shop.restore(offers)), Self::wrong).await
    }

    /// Waits for the next of a stream, but not for ever.
    ///
    /// # Errors
    /// [`Error::Away`] if it does not come in ten seconds.
    pub async fn in_time<T>(
        &self,
        what: &'static str,
        next: impl Future<Output = T>,
    ) -> Result<T, Error> {
        let limit = self.patience.of(READING);
        tokio::time::timeout(limit, next).await.map_err(|_| self.late(what))
    }

    /// Follows the log from a position on.
    ///
    /// # Errors
    /// [`Error::Away`] if there is no answer in time; else what the shop says.
    pub async fn follow(
        &self,
        request: v1::FollowRequest,
    ) -> Result<impl Stream<Item = Result<v1::FollowResponse, Error>> + Send + use<>, Error> {
        let mut shop = self.shop.clone();
        let stream =
            self.asked("follow", READING, Box::pin(shop.follow(request)), Self::wrong).await?;
        let this = self.clone();
        Ok(stream.map(move |next| next.map_err(|status| this.wrong("follow", &status))))
    }

    /// Tries a script on history; what it finds comes as it is found.
    ///
    /// # Errors
    /// [`Error::Away`] if there is no answer in time; else what the shop says.
    pub async fn backtest(
        &self,
        request: v1::BacktestRequest,
    ) -> Result<impl Stream<Item = Result<v1::BacktestResponse, Error>> + Send + use<>, Error> {
        let mut shop = self.shop.clone();
        let stream =
            self.asked("backtest", READING, Box::pin(shop.backtest(request)), Self::wrong).await?;
        let this = self.clone();
        Ok(stream.map(move |next| next.map_err(|status| this.wrong("backtest", &status))))
    }

    /// Sends a photo; it is on the shop's disk when this returns.
    ///
    /// # Errors
    /// [`Error::Away`] if it does not get through in time; else what the shop says.
    pub async fn put_photo(&self, digest: Digest, bytes: Vec<u8>) -> Result<(), Error> {
        let size = bytes.len();
        let coming = What::Coming(v1::PhotoComing {
            digest: digest.0.to_vec(),
            size: u64::try_from(size).unwrap_or(u64::MAX),
        });
        let parts = bytes.chunks(PHOTO_PART).map(|part| What::Part(part.to_vec()));
        let requests: Vec<_> = std::iter::once(coming)
            .chain(parts)
            .map(|what| v1::PutPhotoRequest { what: Some(what) })
            .collect();
        let mut shop = self.shop.clone();
        let limit = READING.saturating_add(slowest(size));
        let answer = shop.put_photo(tokio_stream::iter(requests));
        self.asked("put a photo", limit, answer, Self::wrong).await.map(drop)
    }

    /// Gets the bytes of a photo.
    ///
    /// # Errors
    /// [`Error::Away`] if there is no answer in time; else what the shop says.
    pub async fn get_photo(&self, request: v1::GetPhotoRequest) -> Result<Vec<u8>, Error> {
        let mut shop = self.shop.clone();
        let what = "get a photo";
        let mut stream =
            self.asked(what, READING, Box::pin(shop.get_photo(request)), Self::wrong).await?;
        let mut bytes = Vec::new();
        while let Some(part) = self.in_time(what, stream.next()).await? {
            bytes.extend(part.map_err(|status| self.wrong(what, &status))?.part);
            if bytes.len() > MOST_OF_A_PHOTO {
                return Err(Error::Nonsense("a photo without an end".into()));
            }
        }
        Ok(bytes)
    }

    /// That no answer came in time; noted, so that the next line need not wait.
    pub(super) fn late(&self, what: &'static str) -> Error {
        if let Some(pause) = &self.pause {
            pause.waited();
        }
        let why = "no answer in time".into();
        Error::Away { what, url: self.url.clone(), why, silence: Silence::Silent }
    }

    /// Why a reading was not answered: its reason is what a bench of its own would give.
    fn unread(&self, what: &'static str, status: &Status) -> Error {
        let wrong = self.wrong(what, status);
        if let Error::Refused(words) = wrong {
            return Error::Unread(Unreadable::new(reason(status), words));
        }
        wrong
    }

    fn wrong(&self, what: &'static str, status: &Status) -> Error {
        if reason(status) == v1::Reason::NameWanted {
            return Error::NameWanted(status.message().to_owned());
        }
        match status.code() {
            Code::Unavailable | Code::DeadlineExceeded | Code::Cancelled | Code::Unknown => {
                let (why, silence) = match (reason(status), connect_error(status)) {
                    // It was reached, and says itself why it takes nothing new.
                    (v1::Reason::Restoring | v1::Reason::Disk, _) => {
                        (cause(status), Silence::Waits)
                    }
                    (_, Some(error)) => (error.to_string(), Silence::NotTheShop),
                    (_, None) => (cause(status), self.own_silence),
                };
                Error::Away { what, url: self.url.clone(), why, silence }
            }
            Code::Internal | Code::DataLoss => Error::Nonsense(status.message().to_owned()),
            Code::Ok
            | Code::InvalidArgument
            | Code::NotFound
            | Code::AlreadyExists
            | Code::PermissionDenied
            | Code::ResourceExhausted
            | Code::FailedPrecondition
            | Code::Aborted
            | Code::OutOfRange
            | Code::Unimplemented
            | Code::Unauthenticated => Error::Refused(status.message().to_owned()),
        }
    }
}

/// The reason that the shop gives; unspecified if it gives none.
fn reason(status: &Status) -> v1::Reason {
    let info = status.get_details_error_info();
    info.map_or(v1::Reason::Unspecified, |info| v1::Reason::of_word(&info.reason))
}

/// That what answers is not the shop, if that is why there is no answer.
fn connect_error(status: &Status) -> Option<&ConnectError> {
    let mut cause = status.source();
    while let Some(error) = cause {
        if let Some(found) = error.downcast_ref::<ConnectError>() {
            return Some(found).filter(|found| !matches!(found, ConnectError::Io(_)));
        }
        cause = error.source();
    }
    None
}

/// The innermost cause, which is the one that says something.
fn cause(status: &Status) -> String {
    let Some(mut cause) = status.source() else { return status.message().to_owned() };
    while let Some(next) = cause.source() {
        cause = next;
    }
    cause.to_string()
}
