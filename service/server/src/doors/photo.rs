//! Photos in and out. A photo comes in only if an entry on the log names it, so that nobody fills
//! the disk with what nobody signed for; and one that tells place or device goes out only to a bench
//! that signs for it and may.

use std::{sync::Arc, time::Duration};

use burrline_domain::State;
use burrline_evidence::{
    note::{Note, NoteKey},
    sign::PublicKey,
};
use burrline_present::{
    looks::{AS_TAKEN, COPY},
    photos,
};
use burrline_proto::v1::{self, put_photo_request::What};
use burrline_terms::{Digest, EntryName, words::Role};
use tokio::sync::mpsc;
use tokio_stream::wrappers::ReceiverStream;
use tonic::{Status, Streaming};

use super::{
    Answers, blocking, caller::Caller, limits::Limited as _, malformed, status,
    status::photo_status,
};
use crate::{photos::Limits, shop::Shop};

/// How long the next part of a photo may take to come.
const PATIENCE: Duration = Duration::from_secs(10);
/// The bytes of one part of a photo that goes out.
const PART: usize = 256 * 1024;
/// How many parts may wait for who asked.
const WAITING: usize = 4;

/// Keeps a photo.
pub(super) async fn put(
    shop: Arc<Shop>,
    mut parts: Streaming<v1::PutPhotoRequest>,
) -> Result<v1::PutPhotoResponse, Status> {
    let Some(What::Coming(coming)) = next(&mut parts).await? else {
        return Err(malformed("say first which photo is coming"));
    };
    let digest = digest(&coming.digest)?;
    let owned = Arc::clone(&shop);
    let limits = blocking(move || wanted(&owned, &digest)).await??;
    if shop.photos().has(&digest) {
        return Ok(v1::PutPhotoResponse { had_it: true });
    }
    let _turn = turn(&shop).await?;
    let owned = Arc::clone(&shop);
    let begin = move || owned.photos().begin(digest, coming.size, limits);
    let mut photo = blocking(begin).await?.map_err(|error| photo_status(&error))?;
    while let Some(what) = next(&mut parts).await? {
        let What::Part(part) = what else {
            return Err(malformed("one photo at a time"));
        };
        if part.is_empty() || part.len() > photos::MOST_PART {
            return Err(malformed("a part has 1 to 1,048,576 bytes"));
        }
        let write = move || photo.part(&part).map(|()| photo);
        photo = blocking(write).await?.map_err(|error| photo_status(&error))?;
    }
    blocking(move || photo.finish()).await?.map_err(|error| photo_status(&error))?;
    tracing::info!(%digest, "a photo was kept");
    Ok(v1::PutPhotoResponse { had_it: false })
}

/// How large a photo may be that a line on the log names.
fn wanted(shop: &Shop, digest: &Digest) -> Result<Limits, Status> {
    let state = shop.published();
    if !photos::named(&state).contains(digest) {
        let words = "no line on the log names this photo; send the line first";
        return Err(status(v1::Reason::Unnamed, words));
    }
    let settings = state.settings();
    Ok(Limits { one: settings.photo_bytes(), all: settings.photos_bytes() })
}

/// Gives a photo.
pub(super) async fn get(
    shop: Arc<Shop>,
    caller: Caller,
    request: v1::GetPhotoRequest,
) -> Result<Answers<v1::GetPhotoResponse>, Status> {
    let digest = digest(&request.digest)?;
    let turn = turn(&shop).await?;
    let owned = Arc::clone(&shop);
    let bytes = blocking(move || {
        let bytes = owned.photos().read(&digest).map_err(|error| photo_status(&error))?;
        let bytes = bytes
            .ok_or_else(|| status(v1::Reason::NoSuchPhoto, "the shop does not have this photo"))?;
        if !burrline_photo::is_stripped(&bytes) {
            let life = may_see_originals(&owned, &digest, &request.asked_by)?;
            let about = photos::jobs_of(&owned.published(), &digest);
            owned.looks().note(life, owned.now(), AS_TAKEN, &about);
        } else if caller.role() == Some(Role::Viewer) {
            let about = photos::jobs_of(&owned.published(), &digest);
            owned.looks().note(caller.life(0), owned.now(), COPY, &about);
        }
        Ok::<_, Status>(bytes)
    });
    let bytes = bytes.await??;
    let (out, stream) = mpsc::channel(WAITING);
    tokio::spawn(async move {
        let _turn = turn;
        for part in bytes.chunks(PART) {
            let part = v1::GetPhotoResponse { part: part.to_vec() };
            let sent = tokio::time::timeout(PATIENCE, out.send(Ok(part))).await;
            if !matches!(sent, Ok(Ok(()))) {
                return;
            }
        }
    });
    Ok(Box::pin(ReceiverStream::new(stream)))
}

/// Says which photos the shop lacks.
pub(super) fn lacked(
    shop: &Shop,
    request: &v1::LackedPhotosRequest,
) -> Result<v1::LackedPhotosResponse, Status> {
    if request.digests.len() > photos::MOST_AT_ONCE {
        return Err(malformed("ask about 1,000 photos at most"));
    }
    let digests =
        request.digests.iter().map(|bytes| digest(bytes)).collect::<Result<Vec<_>, _>>()?;
    let (named, most_bytes) = {
        let state = shop.published();
        (photos::named(&state), state.settings().photo_bytes())
    };
    let mut answer = v1::LackedPhotosResponse { most_bytes, ..v1::LackedPhotosResponse::default() };
    for digest in digests {
        if !named.contains(&digest) {
            answer.unnamed.push(digest.0.to_vec());
        } else if !shop.photos().has(&digest) {
            answer.lacked.push(digest.0.to_vec());
        }
    }
    Ok(answer)
}

/// The bench that signed an asking, if it may see photos as they were taken and the asking is not old.
fn may_see_originals(shop: &Shop, digest: &Digest, asked_by: &str) -> Result<u32, Status> {
    let no = |words: &str| Err(status(v1::Reason::Original, words));
    if asked_by.is_empty() {
        return no("a photo as it was taken tells place and device: only a counter's or the \
                   owner's bench is given it");
    }
    let Ok(note) = Note::read(asked_by) else { return no("the asking is not signed") };
    let state = shop.published();
    let Some((bench, role)) = signer(&state, &note) else {
        return no("the asking is not signed by a bench that is enrolled");
    };
    if !matches!(role, Role::Counter | Role::Owner) {
        return no("photos as they were taken are for the counter and the owner");
    }
    let asked = photos::asked(note.claimed());
    let fresh = asked.is_some_and(|(what, when)| {
        what == digest.to_string()
            && shop.now().since(when).saturating_abs() <= photos::ASKED_WITHIN_MS
    });
    if !fresh {
        return no("the asking is for another photo, or too old");
    }
    tracing::info!(%digest, life = bench, "a photo was given as it was taken");
    Ok(bench)
}

/// The enrolled bench that signed a note, with its role.
fn signer(state: &State, note: &Note) -> Option<(u32, Role)> {
    state.shop().benches.iter().filter(|(_, bench)| !bench.retired).find_map(|(life, bench)| {
        let key = NoteKey::new(&photos::asker(*life), PublicKey(bench.key.0)).ok()?;
        note.check(&key).ok().map(|_| (EntryName::new(*life, 0).life, bench.role))
    })
}

async fn turn(shop: &Shop) -> Result<tokio::sync::OwnedSemaphorePermit, Status> {
    let closing = || status(v1::Reason::Closing, "the shop is closing");
    let turn = tokio::time::timeout(PATIENCE, shop.photos().turn()).await;
    let busy = status(v1::Reason::Busy, "too many photos at once; ask again");
    turn.map_err(|_| busy)?.ok_or_else(closing)
}

async fn next(parts: &mut Streaming<v1::PutPhotoRequest>) -> Result<Option<What>, Status> {
    let late = status(v1::Reason::Late, "the next part of the photo did not come");
    let next = tokio::time::timeout(PATIENCE, parts.message()).await.map_err(|_| late)??;
    match next {
        Some(next) => {
            next.limited()?;
            next.what.map(Some).ok_or_else(|| malformed("a part of a photo says nothing"))
        }
        None => Ok(None),
    }
}

fn digest(bytes: &[u8]) -> Result<Digest, Status> {
    bytes.try_into().map(Digest).map_err(|_| malformed("a photo's digest has 32 bytes"))
}
