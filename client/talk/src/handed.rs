//! What is handed out to a customer, with the shop's word on it: for a terminal and for a page.

use burrline_bench::{
    Bench, Clock as _, Error, SystemClock,
    alone::{Alone, Then},
};
use burrline_evidence::{checkpoint::key_of, note};
use burrline_paper::slip::{self, Word};
use burrline_present::{
    handout::{Handout, Kind, handout, is_ready},
    readings::Collect,
    view,
};
use burrline_proto::Wire as _;
use burrline_terms::Skull;

/// A paper that is ready to be printed.
#[derive(Debug)]
pub struct Handed {
    /// What stands on it.
    pub handout: Handout,
    /// The shop's word, or the bench's own.
    pub word: Word,
    /// What that word is about, line by line.
    pub body: Vec<String>,
    /// The present that it tells of.
    pub alone: Alone,
}

/// Makes one of the papers of a visit.
///
/// # Errors
/// If no job is meant, the bench has no copy yet, or nothing is ready for a notice.
pub async fn handed(bench: &Bench, named: &Skull, kind: Kind) -> Result<Handed, Error> {
    let near = match bench.catch_up(&SystemClock, None).await {
        Ok(_) => true,
        Err(Error::Away { .. }) => false,
        Err(error) => return Err(error),
    };
    let alone = bench.alone(&SystemClock, Then::default())?;
    let alone = alone.ok_or_else(|| {
        Error::Refused("this bench has no copy of the shop's log yet; run `burrline sync`".into())
    })?;
    let state = alone.state();
    let job = view::which(state, named).map_err(Error::Refused)?;
    let told = alone.slip(&named.to_item())?;
    let word = word_of(bench, near, &slip::body(&told)).await?;
    let mut customer = job.ticket().map(|ticket| alone.customer_of(ticket)).unwrap_or_default();
    if customer.is_empty() && near {
        // The shop has the keys, and says the name to a counter and to the owner.
        let collect = Collect { skull: named.clone() };
        let told = bench.read(collect, Then::default(), &SystemClock);
        customer = told.await.map(|told| told.answer.customer).unwrap_or_default();
    }
    let of_visit = job.ticket().map(|ticket| state.jobs_of_ticket(ticket)).unwrap_or_default();
    let mut ready = of_visit.iter().filter_map(|id| state.job(*id)).chain([job]);
    if kind == Kind::Notice && !ready.any(|job| is_ready(state, job)) {
        return Err(Error::Refused(
            "nothing of this visit is ready: `inspect` says that a skull is finished; `slip` prints what \
             is promised"
                .to_owned(),
        ));
    }
    let handout = handout(state, job, kind, customer, SystemClock.now().wall);
    drop(ready);
    let body = slip::body(&told);
    Ok(Handed { handout, word, body, alone })
}

/// The shop's word if it is near, else the bench's own.
async fn word_of(bench: &Bench, near: bool, body: &[String]) -> Result<Word, Error> {
    if near {
        bench.witness().await?;
        let head = bench.kept_note()?.unwrap_or_default();
        return Ok(Word::Shop { key: key_of(bench.shop_key().await?).to_string(), head });
    }
    let text: Vec<&str> = body.iter().map(String::as_str).filter(|line| !line.is_empty()).collect();
    let text = format!("burrline.v1/slip\n{}\n", text.join("\n"));
    let name = format!("burrline.v1/bench/{}", bench.life());
    let signed = note::sign(&text, &name, bench.key()?);
    signed.map(Word::Bench).map_err(|error| Error::Bug(error.to_string()))
}
