//! Photos at the bench: the photo as taken and the copy without place and device are on its
//! disk before the line that names them is in its outbox.
//!
//! The bench sends what the shop lacks after every command that reaches it. What waits lies in
//! `photos`. What the shop has lies in `photos/sent`, the last 500 MB of it, so that `sync` can
//! give it again to a shop that was put back from a backup.

use std::{fs, path::PathBuf, time::Duration};

use burrline_evidence::note;
use burrline_photo::{Kind, small, strip};
use burrline_present::photos as named;
use burrline_proto::v1;
use burrline_terms::{Digest, Moment, Typed as _};
use sha2::{Digest as _, Sha256};

use super::{Bench, folder::Folder, patience::PHOTOS_BESIDE};
use crate::Error;

/// The folder of what waits.
const WAITING: &str = "photos";
/// The folder of what the shop has.
const SENT: &str = "photos/sent";
/// How much of what the shop has is kept all the same.
const SENT_BYTES: u64 = 500_000_000;
/// Holds how large a photo the shop takes, as it last said.
const MOST: &str = "photo-bytes";
/// How large one may be where the shop never said.
const USUAL_MOST: u64 = 25_000_000;

/// A photo that is on the bench's disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The photo as taken.
    pub original: Digest,
    /// The copy without place and device.
    pub stripped: Option<Digest>,
    /// Why there is no copy.
    pub no_copy: Option<String>,
    /// The files that were not there before.
    new: Vec<String>,
}

/// What became of the photos that waited.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sent {
    /// How many the shop has now.
    pub sent: usize,
    /// How many still wait.
    pub waiting: usize,
    /// What the shop did not take, and why.
    pub refused: Vec<String>,
}

impl Bench {
    /// Keeps a photo and its copy on this bench's disk, before a line names them.
    ///
    /// # Errors
    /// If it is no photo, is too large, or the disk fails.
    pub fn keep_photo(&self, name: &str, photo: &[u8]) -> Result<Kept, Error> {
        let kind = Kind::of(photo).map_err(|error| Error::usage(format!("{name}: {error}")))?;
        let most = self.folder.number(MOST);
        let most = if most == 0 { USUAL_MOST } else { most };
        let size = u64::try_from(photo.len()).unwrap_or(u64::MAX);
        if size > most {
            return Err(Error::usage(format!(
                "{name} has {size} bytes, and this shop keeps no photo above {most}: save it \
                 smaller, or have the owner say `burrline set-shop photo-megabytes NUMBER`"
            )));
        }
        let mut new = Vec::new();
        let original = self.keep_bytes(photo, kind, &mut new)?;
        // A copy that cannot be shown proves nothing; the photo as taken is kept all the same.
        let copy = small::look(photo).and_then(|_| strip(photo));
        let (stripped, no_copy) = match copy {
            Ok(copy) => (Some(self.keep_bytes(&copy, kind, &mut new)?), None),
            Err(why) => (None, Some(why.to_string())),
        };
        Ok(Kept { original, stripped, no_copy, new })
    }

    /// Lets go of a photo that no line came to name.
    ///
    /// # Errors
    /// If it cannot be removed.
    pub fn drop_photo(&self, kept: &Kept) -> Result<(), Error> {
        let folder = self.folder.inside(WAITING)?;
        kept.new.iter().try_for_each(|name| folder.remove(name))
    }

    /// How many photos wait.
    ///
    /// # Errors
    /// If their folder cannot be read.
    pub fn photos_waiting(&self) -> Result<usize, Error> {
        if !self.folder.path(WAITING).is_dir() {
            return Ok(0);
        }
        Ok(photos_in(&self.folder.inside(WAITING)?)?.len())
    }

    /// Sends the photos that wait and that the shop lacks; begins none once the time is up.
    /// Another process that is at it already is left to it.
    ///
    /// # Errors
    /// If the shop is out of reach or a file cannot be read; what was not sent goes on waiting.
    pub async fn send_photos(&self, limit: Option<Duration>) -> Result<Sent, Error> {
        let mut done = Sent { waiting: self.photos_waiting()?, ..Sent::default() };
        if done.waiting == 0 {
            return Ok(done);
        }
        let lock = self.folder.open_lock("photos.lock")?;
        if lock.try_lock().is_err() {
            return Ok(done);
        }
        let folder = self.folder.inside(WAITING)?;
        let all = photos_in(&folder)?;
        let (lacked, unnamed) = self.lacked(&all).await?;
        let time_is_up = async {
            match limit {
                Some(limit) => tokio::time::sleep(limit).await,
                None => std::future::pending().await,
            }
        };
        let mut time_is_up = std::pin::pin!(time_is_up);
        let mut is_up = false;
        let of = u64::try_from(all.len()).unwrap_or(u64::MAX);
        for (digest, name) in &all {
            if unnamed.contains(digest) {
                self.unnamed(name)?;
                continue;
            }
            if lacked.contains(digest) {
                is_up = is_up || is_over(time_is_up.as_mut()).await;
                if is_up {
                    continue;
                }
                let bytes = read(&folder, name)?;
                match self.connection.put_photo(*digest, bytes).await {
                    Ok(()) => {}
                    Err(Error::Refused(why)) => {
                        done.refused.push(format!("photo {name}: {why}"));
                        continue;
                    }
                    Err(error) => return Err(error),
                }
            }
            self.has_been_sent(name)?;
            done.sent = done.sent.saturating_add(1);
            self.progress("photos sent", u64::try_from(done.sent).unwrap_or(0), Some(of));
        }
        self.forget_oldest_sent()?;
        done.waiting = self.photos_waiting()?;
        Ok(done)
    }

    /// Puts photos that the shop once had and lacks now back to those that wait: it may have been
    /// put back from a backup.
    ///
    /// # Errors
    /// If the shop is out of reach, or a file cannot be moved.
    pub async fn give_photos_back(&self) -> Result<usize, Error> {
        if !self.folder.path(SENT).is_dir() {
            return Ok(0);
        }
        let all = photos_in(&self.folder.inside(SENT)?)?;
        let (lacked, _) = self.lacked(&all).await?;
        let again = all.iter().filter(|(digest, _)| lacked.contains(digest));
        let mut count = 0_usize;
        for (_, name) in again {
            self.move_photo(SENT, WAITING, name)?;
            count = count.saturating_add(1);
        }
        Ok(count)
    }

    /// The bytes of a photo: from this bench's disk, or from the shop. One that tells place or
    /// device is asked for in this bench's name.
    ///
    /// # Errors
    /// If neither has it, or the shop does not give it to this bench.
    pub async fn photo(&self, digest: Digest, as_taken: bool) -> Result<Vec<u8>, Error> {
        for folder in [WAITING, SENT] {
            for kind in [Kind::Jpeg, Kind::Png] {
                let name = format!("{folder}/{digest}.{}", kind.ending());
                if let Ok(bytes) = fs::read(self.folder.path(&name))
                    && Sha256::digest(&bytes).as_slice() == digest.0
                {
                    return Ok(bytes);
                }
            }
        }
        let asked_by = if as_taken {
            let greeting = v1::GreetRequest { life: self.life() };
            let now = Moment(self.connection.greet(greeting).await?.now_ms);
            let text = named::asking(&digest.to_string(), now);
            note::sign(&text, &named::asker(self.life()), self.key()?)
                .map_err(|error| Error::Bug(error.to_string()))?
        } else {
            String::new()
        };
        let request = v1::GetPhotoRequest { digest: digest.0.to_vec(), asked_by };
        let bytes = self.connection.get_photo(request).await?;
        if Sha256::digest(&bytes).as_slice() == digest.0 {
            Ok(bytes)
        } else {
            Err(Error::Nonsense(format!("photo {digest} came with other bytes")))
        }
    }

    /// A small picture of a photo, no side longer than so many pixels; made once, and made again
    /// whenever it is gone. None if the photo cannot be shown.
    pub fn small_photo(&self, digest: Digest, photo: &[u8], side: u32) -> Option<Vec<u8>> {
        let name = format!("{digest}-{side}.jpg");
        let folder = self.folder.inside("small").ok()?;
        if let Ok(made) = fs::read(folder.path(&name)) {
            return Some(made);
        }
        let made = small::small(photo, side).ok()?;
        // Without a place to keep it, it is made again the next time.
        let _ = folder.replace(&name, &made);
        Some(made)
    }

    /// After a word with the shop: photos that wait go up for a moment, and what became of them.
    pub(super) async fn photos_beside(&self) -> Result<Vec<String>, Error> {
        Ok(self.send_photos(Some(PHOTOS_BESIDE)).await?.words())
    }

    /// Which of these the shop lacks, and which no line on its log names.
    async fn lacked(&self, all: &[(Digest, String)]) -> Result<(Vec<Digest>, Vec<Digest>), Error> {
        let (mut lacked, mut unnamed) = (Vec::new(), Vec::new());
        for some in all.chunks(named::MOST_AT_ONCE) {
            let digests = some.iter().map(|(digest, _)| digest.0.to_vec()).collect();
            let answer = self.connection.lacked_photos(v1::LackedPhotosRequest { digests }).await?;
            lacked.extend(answer.lacked.into_iter().filter_map(digest_of));
            unnamed.extend(answer.unnamed.into_iter().filter_map(digest_of));
            self.folder.keep_number(MOST, answer.most_bytes)?;
        }
        Ok((lacked, unnamed))
    }

    /// A photo that no line names: its line may still be on its way. If none is, it was left here
    /// by a line that was never said, and is put aside.
    fn unnamed(&self, name: &str) -> Result<(), Error> {
        if self.waiting()?.is_empty() { self.has_been_sent(name) } else { Ok(()) }
    }

    fn has_been_sent(&self, name: &str) -> Result<(), Error> {
        self.folder.inside(SENT)?;
        self.move_photo(WAITING, SENT, name)
    }

    fn move_photo(&self, from: &str, to: &str, name: &str) -> Result<(), Error> {
        let (from, to) = (format!("{from}/{name}"), format!("{to}/{name}"));
        let (from, to) = (self.folder.path(&from), self.folder.path(&to));
        fs::rename(&from, &to).map_err(|e| Error::file(&from, e))
    }

    fn forget_oldest_sent(&self) -> Result<(), Error> {
        let folder = self.folder.inside(SENT)?;
        let mut files = Vec::new();
        for (_, name) in photos_in(&folder)? {
            let meta = fs::metadata(folder.path(&name)).ok();
            let changed = meta.as_ref().and_then(|meta| meta.modified().ok());
            files.push((changed, meta.map_or(0, |meta| meta.len()), name));
        }
        files.sort();
        let mut sum: u64 = files.iter().map(|(_, size, _)| *size).sum();
        for (_, size, name) in files {
            if sum <= SENT_BYTES {
                break;
            }
            folder.remove(&name)?;
            sum = sum.saturating_sub(size);
        }
        Ok(())
    }

    fn keep_bytes(&self, bytes: &[u8], kind: Kind, new: &mut Vec<String>) -> Result<Digest, Error> {
        let digest = Digest(Sha256::digest(bytes).into());
        let name = format!("{digest}.{}", kind.ending());
        let fresh = !self.folder.path(WAITING).is_dir();
        let folder = self.folder.inside(WAITING)?;
        if fresh {
            self.folder.sync()?;
        }
        if !folder.path(&name).exists() {
            folder.replace(&name, bytes)?;
            new.push(name);
        }
        Ok(digest)
    }
}

impl Sent {
    /// What to tell.
    pub fn words(&self) -> Vec<String> {
        let mut words = self.refused.clone();
        match (self.sent, self.waiting) {
            (0, 0) => {}
            (0, waiting) => words.push(format!("{} here", photos(waiting, "wait"))),
            (sent, 0) => words.push(format!("{} at the shop", photos(sent, "are"))),
            (sent, waiting) => {
                words.push(format!("{} at the shop, {waiting} wait here", photos(sent, "are")));
            }
        }
        words
    }
}

/// "3 photo files are", "1 photo file is": the photo as taken and its copy are a file each.
fn photos(count: usize, verb: &str) -> String {
    let verb = match (count, verb) {
        (1, "are") => "is",
        (1, "wait") => "waits",
        (_, verb) => verb,
    };
    format!("{count} photo {} {verb}", if count == 1 { "file" } else { "files" })
}

/// The photos in a folder, by their names.
fn photos_in(folder: &Folder) -> Result<Vec<(Digest, String)>, Error> {
    let mut found = Vec::new();
    for kind in [Kind::Jpeg, Kind::Png] {
        let end = format!(".{}", kind.ending());
        for stem in folder.names_with(&end)? {
            if let Ok(digest) = Digest::read(&stem) {
                found.push((digest, format!("{stem}{end}")));
            }
        }
    }
    Ok(found)
}

fn read(folder: &Folder, name: &str) -> Result<Vec<u8>, Error> {
    let path: PathBuf = folder.path(name);
    fs::read(&path).map_err(|e| Error::file(&path, e))
}

fn digest_of(bytes: Vec<u8>) -> Option<Digest> {
    bytes.try_into().ok().map(Digest)
}

/// Whether something is over by now.
async fn is_over(mut future: std::pin::Pin<&mut impl Future<Output = ()>>) -> bool {
    std::future::poll_fn(|context| std::task::Poll::Ready(future.as_mut().poll(context).is_ready()))
        .await
}
