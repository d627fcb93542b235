//! What the shop records that it lost, told once; and whether that explains what this bench
//! holds against the shop.
//!
//! The bench takes the loss from the record itself, with its proof. A loss explains only what
//! lies in the stretch that it names: the log before that must be the one that this bench has
//! copied. Each loss is weighed once. The bench warns, and keeps the checkpoints that it held.

use burrline_domain::{Outcome, Record, Verb, fold::Loss};
use burrline_evidence::{
    checkpoint::Checkpoint,
    merkle::{Hash, Tree, leaf_hash},
    proof::{check_consistency, check_inclusion},
    sign::{PublicKey, Signature},
};
use burrline_present::view::{self, Zone};
use burrline_proto::{decode_record, v1};
use burrline_terms::Moment;

use super::{Bench, alone::lines, copy::Item, witness::hashes};
use crate::Error;

/// How many losses were told.
const TOLD: &str = "losses-told";

/// How many there were when the copy was last the shop's log.
const SETTLED: &str = "losses-settled";

impl Bench {
    /// Tells what the shop says that it lost, each once.
    ///
    /// # Errors
    /// If the shop does not prove that it says so.
    pub(super) async fn hear_losses(&self, greeted: &v1::GreetResponse) -> Result<(), Error> {
        let told = usize::try_from(self.folder.number(TOLD)).unwrap_or(usize::MAX);
        let new = greeted.losses.get(told..).unwrap_or_default();
        if new.is_empty() {
            return Ok(());
        }
        let zone = Zone(self.zone());
        for loss in self.proved_losses(new).await? {
            self.tidings.tell(format!(
                "WARNING: {}. What stood there may be on other benches, on slips and in packets; \
                 ask the owner",
                view::loss(&zone, &loss)
            ));
        }
        let told = u64::try_from(greeted.losses.len()).unwrap_or(u64::MAX);
        self.folder.keep_number(TOLD, told)
    }

    /// Whether what the shop says that it lost explains that it signed, or this bench copied, more
    /// or other records than it has; then both heads are kept, and the bench begins anew with the
    /// shop's log. What it said itself of what was lost is sent again by [`Bench::send`].
    ///
    /// # Errors
    /// If the shop is out of reach, or does not prove what it says.
    pub(super) async fn excused(&self, copy_differs: bool) -> Result<bool, Error> {
        let mut greeted = self.connection.greet(v1::GreetRequest { life: self.life() }).await?;
        // What was known when this bench last had the shop's own log explains nothing that came later.
        let settled = usize::try_from(self.losses_settled()).unwrap_or(usize::MAX);
        let new = greeted.losses.get(settled..).unwrap_or_default();
        if new.is_empty() {
            return Ok(false);
        }
        let against = self.contradicting().await?;
        if against.is_empty() && !copy_differs {
            return Ok(false);
        }
        let items = self.copy.read()?.items;
        let mut losses = self.proved_losses(new).await?;
        if reach_further(&losses, &against) {
            // What was declared without this bench reaches as far as it has come, once the shop sees that.
            self.show_heads().await?;
            greeted = self.connection.greet(v1::GreetRequest { life: self.life() }).await?;
            let new = greeted.losses.get(settled..).unwrap_or_default();
            losses = self.proved_losses(new).await?;
        }
        let excused = |head: &Checkpoint| losses.iter().any(|loss| loss.excuses(head.size));
        let all = against.iter().all(excused);
        let place = |loss: &Loss| usize::try_from(loss.from).unwrap_or(usize::MAX);
        losses.retain(|loss| {
            let copied = copy_differs && items.len() > place(loss);
            copied || against.iter().any(|head| loss.excuses(head.size))
        });
        let first = losses.into_iter().min_by_key(|loss| loss.from).filter(|_| all);
        let explains = match &first {
            Some(loss) => self.continues(&items, place(loss).min(items.len())).await?,
            None => false,
        };
        if let Some(loss) = first.filter(|_| explains) {
            self.begin_anew(&loss).await?;
        }
        // A loss that was weighed and found wanting explains nothing later either.
        self.settled(&greeted)?;
        Ok(explains)
    }

    /// How many losses the shop had said when this bench's copy was last its log.
    pub(super) fn losses_settled(&self) -> u64 {
        self.folder.number(SETTLED)
    }

    /// The heads that this bench holds and that the shop's log does not begin with.
    async fn contradicting(&self) -> Result<Vec<Checkpoint>, Error> {
        let key = self.sound_heads().await?;
        let mut against = Vec::new();
        for note in self.notes()? {
            let head = checked(&note, key)?;
            if head.size > 0 && !self.is_continued(head.size, head.root).await? {
                against.push(head);
            }
        }
        Ok(against)
    }

    /// Whether there is something that the shop says it lost, and this bench has not weighed yet.
    pub(super) fn is_unsettled(&self, greeted: &v1::GreetResponse) -> bool {
        let count = u64::try_from(greeted.losses.len()).unwrap_or(u64::MAX);
        count > self.folder.number(SETTLED)
    }

    /// Whether only records that no head was signed over are other than this bench has copied: then
    /// the shop has lost and recorded anew what it never gave its word for.
    ///
    /// # Errors
    /// If the shop is out of reach.
    pub(super) async fn only_unsigned_differ(&self) -> Result<bool, Error> {
        let key = self.shop_key().await?;
        let held = self.notes()?.into_iter().map(|note| Checkpoint::check(&note, key));
        let largest = held.filter_map(Result::ok).map(|head| head.size).max().unwrap_or(0);
        let items = self.copy.read()?.items;
        let signed = usize::try_from(largest).unwrap_or(usize::MAX);
        if items.len() <= signed || !self.continues(&items, signed).await? {
            return Ok(false);
        }
        let anew = lines(items.len().saturating_sub(signed));
        self.copy.put_aside()?;
        self.tidings.tell(format!(
            "the shop had lost {anew} that it had never signed a checkpoint over, and has recorded them \
             anew; this bench's copy begins anew"
        ));
        Ok(true)
    }

    /// The copy is the shop's log: what it says that it lost by now is part of it.
    pub(super) fn settled(&self, greeted: &v1::GreetResponse) -> Result<(), Error> {
        let count = u64::try_from(greeted.losses.len()).unwrap_or(u64::MAX);
        if count == self.folder.number(SETTLED) {
            return Ok(());
        }
        self.folder.keep_number(SETTLED, count)
    }

    /// Whether the shop's log begins with the first `from` records of this bench's copy.
    async fn continues(&self, items: &[Item], from: usize) -> Result<bool, Error> {
        let Some(before) = items.get(..from).filter(|before| !before.is_empty()) else {
            return Ok(true);
        };
        let mut tree = Tree::new();
        for item in before {
            tree.append(match item {
                Item::Record(bytes) => leaf_hash(bytes),
                Item::Leaf(hash) => *hash,
            });
        }
        self.is_continued(tree.size(), tree.root()).await
    }

    /// Whether the shop's log begins with the one of so many records that has this root.
    async fn is_continued(&self, size: u64, root: Hash) -> Result<bool, Error> {
        let request = v1::CheckpointRequest { since: size, covering: 0 };
        let answer = match self.connection.checkpoint(request).await {
            // It has not so many.
            Err(Error::Refused(_)) => return Ok(false),
            other => other?,
        };
        let head = checked(&answer.note, self.shop_key().await?)?;
        let path = hashes(&answer.consistency);
        Ok(check_consistency(size, root, head.size, head.root, &path).is_ok())
    }

    /// Keeps both heads and gives the shop's log the place of what this bench had.
    async fn begin_anew(&self, loss: &Loss) -> Result<(), Error> {
        let answer = self.connection.checkpoint(v1::CheckpointRequest::default()).await?;
        let kept = self.notes()?;
        let name = format!("lost-{}-{}.txt", loss.from, loss.to);
        let text = format!(
            "{}\n\nheld before:\n\n{}\ngiven now:\n\n{}",
            view::loss(&Zone(self.zone()), loss),
            kept.join("\n"),
            answer.note
        );
        self.folder.replace(&name, text.as_bytes())?;
        if self.copied()?.size() > u64::from(loss.from) {
            self.give_back().await?;
        } else {
            self.give_earlier_back().await?;
        }
        self.forget_heads()?;
        self.tidings.tell(format!(
            "this bench held records of the stretch that the shop says it lost; the checkpoints \
             that prove them are kept in {}, and its own lines among them are sent again",
            self.folder.path(&name).display()
        ));
        Ok(())
    }

    /// What the shop says it lost, by the records in which it does, each proved.
    async fn proved_losses(&self, positions: &[u64]) -> Result<Vec<Loss>, Error> {
        let request = v1::ProveRequest { positions: positions.to_vec() };
        let answer = self.connection.prove(request).await?;
        let key = self.shop_key().await?;
        let head = checked(&answer.note, key)?;
        let loss = |one: &v1::ProvedRecord| {
            let (leaf, path) = (leaf_hash(&one.record), hashes(&one.inclusion));
            check_inclusion(leaf, one.position, head.size, &path, head.root).ok()?;
            let (record, said) = decode_record(&one.record).ok()?;
            let signature = Signature(said.signature.try_into().ok()?);
            key.check_entry(&said.entry, &signature).ok()?;
            said_lost(&record)
        };
        let losses: Option<Vec<Loss>> = answer.records.iter().map(loss).collect();
        let unproved = || Error::Nonsense("it names a loss and does not prove it".to_owned());
        losses.filter(|losses| losses.len() == positions.len()).ok_or_else(unproved)
    }
}

fn checked(note: &str, key: PublicKey) -> Result<Checkpoint, Error> {
    let wrong =
        |error| Error::Nonsense(format!("its checkpoint is not signed with its key: {error}"));
    Checkpoint::check(note, key).map_err(wrong)
}

/// Whether what this bench holds reaches beyond losses that begin before it.
fn reach_further(losses: &[Loss], against: &[Checkpoint]) -> bool {
    let begins = |size: u64| losses.iter().any(|loss| size > u64::from(loss.from));
    let unexplained: Vec<&Checkpoint> =
        against.iter().filter(|head| !losses.iter().any(|loss| loss.excuses(head.size))).collect();
    !unexplained.is_empty() && unexplained.iter().all(|head| begins(head.size))
}

/// What a record says was lost, if the shop itself says it.
fn said_lost(record: &Record) -> Option<Loss> {
    let Verb::Lost(v) = &record.entry.verb else { return None };
    let own = record.entry.name.life == 0 && matches!(record.outcome, Outcome::Done(_));
    let (at, words): (Moment, _) = (record.happened.at, v.words.clone());
    own.then_some(Loss { at, from: v.from, to: v.to, root: v.root, words })
}
