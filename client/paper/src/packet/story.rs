//! The job as the records of a packet tell it: folded from them, and from nothing else.

use burrline_domain::{Record, State, Verb, fold::Job};
use burrline_proto::{decode_record, v1};
use burrline_terms::EntryName;
use thiserror::Error;

/// Records of a packet, folded.
#[derive(Debug)]
pub struct Story {
    /// The present as these records give it.
    pub state: State,
    /// The job that it is about.
    pub job: EntryName,
    /// The records with what their benches signed, in order of position.
    pub records: Vec<(Record, v1::SignedEntry)>,
}

/// Why records tell no story.
#[derive(Debug, Error)]
pub enum NoStory {
    /// A record cannot be understood.
    #[error("a record cannot be understood: {0}")]
    Malformed(#[from] burrline_proto::Malformed),
    /// The job's take-in is not among them.
    #[error("the take-in of the job is not among the records")]
    NoJob,
}

impl Story {
    /// Folds records, given as their bytes.
    ///
    /// # Errors
    /// [`NoStory`] if one is no record, or the job is not among them.
    pub fn of<'a>(
        job: EntryName,
        records: impl IntoIterator<Item = &'a [u8]>,
    ) -> Result<Self, NoStory> {
        let mut records = records.into_iter().map(decode_record).collect::<Result<Vec<_>, _>>()?;
        records.sort_by_key(|(record, _)| record.position);
        let state = State::replay(records.iter().map(|(record, _)| record.clone()));
        let story = Self { state, job, records };
        if story.state.job(job).is_none() { Err(NoStory::NoJob) } else { Ok(story) }
    }

    /// The job.
    pub fn job(&self) -> Option<&Job> {
        self.state.job(self.job)
    }
}

/// The digests of the price scripts that the story's quotes name.
pub fn price_scripts(story: &Story) -> Vec<[u8; 32]> {
    let mut digests: Vec<[u8; 32]> = story
        .records
        .iter()
        .filter_map(|(record, _)| {
            let Verb::Quote(quote) = &record.entry.verb else { return None };
            quote.script.map(|digest| digest.0)
        })
        .collect();
    digests.sort_unstable();
    digests.dedup();
    digests
}
