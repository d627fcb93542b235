//! In touch again: what waits goes out, the copy catches up, and what happened meanwhile is
//! told.
//!
//! A reading sends what waits first (`Bench::own_lines_first`), and so do the rules' questions.
//! So the shop never answers without what this bench recorded.
//!
//! The file `away` says how far the copy went when the shop was lost.

use std::time::Duration;

use burrline_present::readings::{self, Asked, Asks, Question, Unreadable};
use burrline_proto::v1;

use super::{
    Bench,
    alone::{Alone, Own, Then, lines},
    catch_up::Caught,
    copy::Verdict,
    patience::{BACK, BESIDE, READING},
};
use crate::{Error, Silence, clock::Clock};

/// Holds how far the copy went when the shop was first out of reach.
const AWAY: &str = "away";

/// A reading, and what to say of where it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading<T> {
    /// What was read.
    pub answer: T,
    /// How old it is, if it came from the bench's own copy.
    pub how_old: Option<String>,
}

impl<T> Reading<T> {
    /// The reading with something else made of its answer.
    pub fn map<U>(self, make: impl FnOnce(T) -> U) -> Reading<U> {
        Reading { answer: make(self.answer), how_old: self.how_old }
    }
}

impl Bench {
    /// Reads from the shop, or by the bench's own copy if the shop is out of reach: the same answer from
    /// what is there to see.
    ///
    /// # Errors
    /// As [`Bench::ask_for`].
    pub async fn read<R: Asks>(
        &self,
        reading: R,
        then: Then,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<R::Response>, Error> {
        let Reading { answer, how_old } = self.ask_for(reading.into(), then, clock).await?;
        let answer = R::told(answer).ok_or_else(Unreadable::other)?;
        Ok(Reading { answer, how_old })
    }

    /// The same for a reading of whatever kind.
    ///
    /// # Errors
    /// [`Error::Unread`] if it has no answer; [`Error::Away`] if the shop is out of reach and there is no
    /// copy either.
    pub async fn ask_for(
        &self,
        asked: Asked,
        then: Then,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<v1::ReadResponse>, Error> {
        let question = Question { asked, life: self.life(), then };
        let by_copy = |alone: &Alone| {
            let own = Own { alone, bench: Some((self, clock)) };
            Ok(readings::read(&question, &own)?)
        };
        if question.asked.of_own_copy() {
            let alone = self.alone(clock, Then::default())?.ok_or_else(|| {
                let words = "this bench has no copy of the shop's log yet; run `burrline sync`";
                Error::Refused(words.to_owned())
            })?;
            return Ok(Reading { answer: by_copy(&alone)?, how_old: Some(alone.how_old()) });
        }
        let what = question.asked.spec().word;
        let asked = self.connection.read(what, v1::ReadRequest::from(&question), READING);
        // What is read is the largest part of a reading's future.
        Box::pin(self.here_or_there(asked, clock, by_copy)).await
    }

    /// Reads from the shop alone, and sends nothing first.
    ///
    /// # Errors
    /// What the shop says; [`Error::Away`] if there is no answer in time.
    pub async fn read_at_shop<R: Asks>(
        &self,
        reading: R,
        limit: Duration,
    ) -> Result<R::Response, Error> {
        let (life, then) = (self.life(), Then::default());
        let question = Question { asked: reading.into(), life, then };
        let request = v1::ReadRequest::from(&question);
        let answer = self.connection.read(question.asked.spec().word, request, limit).await?;
        Ok(R::told(answer).ok_or_else(Unreadable::other)?)
    }

    /// Asks the shop, or the bench's own copy if the shop is out of reach. What waits here goes out first,
    /// so that a reading never lacks what this bench said.
    async fn here_or_there<T>(
        &self,
        asked: impl Future<Output = Result<T, Error>>,
        clock: &(dyn Clock + Sync),
        by_copy: impl FnOnce(&Alone) -> Result<T, Error>,
    ) -> Result<Reading<T>, Error> {
        let answer = match self.own_lines_first(clock).await? {
            Some(away) => Err(away),
            None => match self.in_pause() {
                // Without a copy only the shop can answer.
                Some(away) if self.copy.edge()?.mark().is_some() => Err(away),
                Some(_) | None => self.unless_it_hangs(asked).await,
            },
        };
        match answer {
            Ok(answer) => Ok(Reading { answer, how_old: None }),
            Err(away @ Error::Away { .. }) => {
                self.help(&away).await;
                self.is_away()?;
                let Some(alone) = self.alone(clock, Then::default())? else { return Err(away) };
                Ok(Reading { answer: by_copy(&alone)?, how_old: Some(alone.how_old()) })
            }
            Err(error) => Err(error),
        }
    }

    /// Sends what waits; gives why, if the shop is out of reach, or breaks off in the middle of it.
    ///
    /// # Errors
    /// If the outbox cannot be read.
    pub async fn own_lines_first(
        &self,
        clock: &(dyn Clock + Sync),
    ) -> Result<Option<Error>, Error> {
        if self.waiting()?.is_empty() {
            return Ok(None);
        }
        if let Some(away) = self.in_pause() {
            return Ok(Some(away));
        }
        match self.send(clock).await {
            Ok(receipts) if receipts.is_empty() => Ok(None),
            Ok(receipts) => {
                self.tidings.tell(sent(receipts.len()));
                Ok(None)
            }
            Err(away @ Error::Away { .. }) => Ok(Some(away)),
            // What the shop does not take is told after the answer, and keeps nobody from reading.
            Err(_) => Ok(None),
        }
    }

    /// Why the shop is not asked just now: it was waited for in vain a moment ago.
    pub fn in_pause(&self) -> Option<Error> {
        let left = self.connection.paused()?;
        let seconds = left.as_secs().saturating_add(1);
        Some(Error::Away {
            what: "ask",
            url: self.connection.url().to_owned(),
            why: format!("it is asked again in {seconds} s, or now with `burrline sync`"),
            silence: Silence::Silent,
        })
    }

    /// Waits for an answer, but not for one of a shop that does not even greet, where there is a copy to
    /// read instead.
    async fn unless_it_hangs<T>(
        &self,
        asked: impl Future<Output = Result<T, Error>>,
    ) -> Result<T, Error> {
        let greeted = self.connection.greet(v1::GreetRequest { life: self.life() });
        let (mut asked, mut greeted) = (std::pin::pin!(asked), std::pin::pin!(greeted));
        tokio::select! {
            answer = &mut asked => return answer,
            greeted = &mut greeted => match greeted {
                Err(away @ Error::Away { .. }) if self.copy.edge()?.mark().is_some() => {
                    return Err(away);
                }
                Ok(_) | Err(_) => {}
            },
        }
        asked.await
    }

    /// Notes that the shop is out of reach; what others say from now on is news later.
    ///
    /// # Errors
    /// If it cannot be noted.
    pub fn is_away(&self) -> Result<(), Error> {
        if self.folder.text(AWAY).is_some() {
            return Ok(());
        }
        self.folder.keep_text(AWAY, &self.copy.edge()?.size().to_string())
    }

    /// Whether the shop was out of reach when it was last asked.
    pub fn away(&self) -> bool {
        self.folder.text(AWAY).is_some()
    }

    /// After a word with the shop: sends what waits, catches up for a moment, and says what is to
    /// be told. What goes wrong is told too; it undoes nothing.
    pub async fn in_touch(&self, clock: &(dyn Clock + Sync)) -> Vec<String> {
        let mut talk = Vec::new();
        let limit = if self.folder.text(AWAY).is_some() { BACK } else { BESIDE };
        let limit = self.connection.patience().of(limit);
        let told = async {
            if !self.waiting()?.is_empty() {
                let receipts = self.send(clock).await?;
                // What was sent beside this meanwhile is told where it was sent.
                if !receipts.is_empty() {
                    talk.push(sent(receipts.len()));
                }
            }
            talk.extend(self.put_holds(clock).await?);
            talk.extend(self.back(self.catch_up(clock, Some(limit)).await?)?);
            self.photos_beside().await
        };
        match told.await {
            Ok(more) => talk.extend(more),
            // It was in reach a moment ago; the next command tells.
            Err(Error::Away { .. }) => {}
            Err(error) => talk.push(error.to_string()),
        }
        self.tidings().into_iter().chain(talk).collect()
    }

    /// What to tell after catching up; from now on the bench is not away any more.
    ///
    /// # Errors
    /// If the copy cannot be read.
    pub fn back(&self, caught: Option<Caught>) -> Result<Vec<String>, Error> {
        let Some(caught) = caught else { return Ok(Vec::new()) };
        match caught.verdict {
            Some(Verdict::Same) => {}
            Some(Verdict::ShopLost) => {
                return Ok(vec![format!(
                    "the shop had fewer records than the {} that this bench has copied, as it was \
                     put back from a backup: it was given back what it lost and this bench has",
                    caught.now
                )]);
            }
            Some(Verdict::Differs) => {
                return Ok(vec![
                    "the shop's log is not the one that this bench has copied: tell the owner; the \
                     old copy was put aside in the bench folder, and the next command begins a new \
                     one"
                    .to_owned(),
                ]);
            }
            None => return Ok(Vec::new()),
        }
        let Some(since) = self.folder.text(AWAY) else { return Ok(Vec::new()) };
        let news = self.news(since.parse().unwrap_or(caught.before))?;
        self.folder.remove(AWAY)?;
        if news.is_empty() {
            return Ok(Vec::new());
        }
        let head = "what happened while this bench was away:".to_owned();
        Ok(std::iter::once(head).chain(news.into_iter().map(|line| format!("  {line}"))).collect())
    }
}

fn sent(count: usize) -> String {
    format!("{} sent that waited here", lines(count))
}
