//! Gathering a packet: the shop names the records, proves them, and the bench puts them together.

use burrline_bench::{Bench, Error};
use burrline_evidence::{
    checkpoint::{Checkpoint, key_of},
    merkle::{Hash, leaf_hash},
    proof::check_inclusion,
    sign::PublicKey,
    tlog_proof::TlogProof,
};
use burrline_paper::packet::{
    Files, MOST_BYTES, README, leaves, manifest, names, page, pictures,
    story::{self, Story},
    verify,
};
use burrline_photo::small::look;
use burrline_proto::{OF_RECORDS, Wire as _, v1};
use burrline_terms::{EntryName, Skull};

/// How many records the shop proves at once.
const AT_ONCE: usize = 1000;

/// How many leaves the shop gives at once.
const LEAVES_AT_ONCE: u64 = 65_536;

/// Asks the shop for all that a packet about this skull holds, checks it, and makes the files.
///
/// # Errors
/// If the shop is out of reach, or what it sends does not prove what it should.
pub async fn gather(bench: &Bench, skull: &Skull) -> Result<(String, Files), Error> {
    let shop = bench.connection();
    let request = v1::EvidenceRequest { skull: Some(skull.to_item()) };
    let named = shop.evidence(request).await?;
    let job = named.job.as_ref().map(EntryName::from_item).transpose();
    let job = job.ok().flatten().ok_or_else(|| nonsense("no job was named"))?;
    let key: [u8; 32] =
        named.shop_key.try_into().map_err(|_| nonsense("the shop's key has not 32 bytes"))?;
    let key = PublicKey(key);

    let (note, proved) = proved(bench, &named.positions).await?;
    let head = Checkpoint::check(&note, key).map_err(|error| nonsense(&error.to_string()))?;
    let mut files = Files::new();
    for one in &proved {
        let path = hashes(&one.inclusion)?;
        check_inclusion(leaf_hash(&one.record), one.position, head.size, &path, head.root)
            .map_err(|error| nonsense(&format!("record {}: {error}", one.position)))?;
        let proof = TlogProof { index: one.position, path, checkpoint: note.clone() };
        files.insert(format!("records/{:08}.record", one.position), one.record.clone());
        files.insert(
            format!("proofs/{:08}.tlog-proof", one.position),
            proof.to_string().into_bytes(),
        );
    }
    let story = Story::of(job, proved.iter().map(|one| one.record.as_slice()))
        .map_err(|error| nonsense(&error.to_string()))?;
    for digest in story::price_scripts(&story) {
        let request = v1::GetScriptRequest { digest: digest.to_vec() };
        let source = shop.get_script(request).await?.source;
        // A price by several scripts names the list of them.
        for (digest, _) in burrline_host::Prices::read_list(&source).unwrap_or_default() {
            let named = hex::decode(&digest).map_err(|error| nonsense(&error.to_string()))?;
            let one = shop.get_script(v1::GetScriptRequest { digest: named }).await?.source;
            files.insert(format!("scripts/{digest}.rhai"), one);
        }
        files.insert(format!("scripts/{}.rhai", hex::encode(digest)), source);
    }
    photos(bench, &story, &mut files).await?;
    files.insert(names::LEAVES.to_owned(), all_leaves(bench, &head).await?);
    let number = job.job_number();
    files.insert(names::CHECKPOINT.to_owned(), note.into_bytes());
    files.insert(names::KEY.to_owned(), format!("{}\n", key_of(key)).into_bytes());
    files.insert(
        names::PAGE.to_owned(),
        page::page(&story, &head, &pictures::pictures(&story, &files)).into_bytes(),
    );
    files.insert(names::README.to_owned(), README.as_bytes().to_vec());
    for (name, text) in OF_RECORDS {
        files.insert(format!("{}{name}", names::SCHEMA), text.as_bytes().to_vec());
    }
    let signed = manifest::sign(&number, bench.life(), &files, bench.key()?)
        .map_err(|error| Error::Bug(error.to_string()))?;
    files.insert(names::MANIFEST.to_owned(), signed.into_bytes());
    // Whoever is given it checks it so, and an honest one must hold.
    match verify::verify(&files, &[]).problems().as_slice() {
        [] => Ok((number, files)),
        problems => Err(nonsense(&format!("what came does not hold: {}", problems.join("; ")))),
    }
}

/// The copies of the job's photos, as far as the shop or this bench has them.
async fn photos(bench: &Bench, story: &Story, files: &mut Files) -> Result<(), Error> {
    for (_, digest) in burrline_present::photos::copies(&story.state, story.job) {
        let photo = match bench.photo(digest, false).await {
            Ok(photo) => photo,
            Err(away @ Error::Away { .. }) => return Err(away),
            // The page says that it is not in the folder.
            Err(error) => {
                tracing::warn!(%digest, %error, "a photo is not in the packet");
                continue;
            }
        };
        // One that cannot be read back is no use, and one that cannot be shown has no place.
        let fits = u64::try_from(photo.len()).is_ok_and(|size| size <= MOST_BYTES);
        if fits && look(&photo).is_ok() {
            pictures::put(files, digest, photo);
        }
    }
    Ok(())
}

/// Asks the shop for the leaves of the log of a head.
///
/// # Errors
/// If the shop is out of reach, or they do not lead to the head.
async fn all_leaves(bench: &Bench, head: &Checkpoint) -> Result<Vec<u8>, Error> {
    let mut leaves = Vec::new();
    let mut from = 0;
    while from < head.size {
        let until = from.saturating_add(LEAVES_AT_ONCE).min(head.size);
        let request = v1::LeavesRequest { from, until };
        leaves.extend(bench.connection().leaves(request).await?.hashes);
        from = until;
    }
    match leaves::root_of_first(&leaves, head.size) {
        Some(root) if root == head.root => Ok(leaves),
        Some(_) | None => Err(Error::Nonsense("its leaves do not lead to its head".to_owned())),
    }
}

/// Records with their proofs, all of them under one head.
async fn proved(
    bench: &Bench,
    positions: &[u64],
) -> Result<(String, Vec<v1::ProvedRecord>), Error> {
    // The log may grow between two askings: then all are asked for again, under the newer head.
    for _ in 0..5 {
        let mut note: Option<String> = None;
        let mut records = Vec::new();
        let mut same = true;
        for positions in positions.chunks(AT_ONCE) {
            let request = v1::ProveRequest { positions: positions.to_vec() };
            let answer = bench.connection().prove(request).await?;
            same = same && note.as_ref().is_none_or(|note| *note == answer.note);
            note = Some(answer.note);
            records.extend(answer.records);
        }
        if let Some(note) = note.filter(|_| same) {
            return Ok((note, records));
        }
    }
    Err(Error::Refused("the log grows too fast just now; try again in a minute".to_owned()))
}

fn hashes(path: &[Vec<u8>]) -> Result<Vec<Hash>, Error> {
    let hash = |bytes: &Vec<u8>| bytes.as_slice().try_into().map(Hash).ok();
    path.iter().map(hash).collect::<Option<_>>().ok_or_else(|| nonsense("a hash has not 32 bytes"))
}

fn nonsense(words: &str) -> Error {
    Error::Nonsense(words.to_owned())
}
