//! From a typed line to its answer: read, asked about, kept, sent, and answered for.

use burrline_domain::Verb;
use burrline_line::{self as line, Lexicon};
use burrline_present::view;
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Name, SaidTime, Typed as _};

use super::{
    Bench,
    alone::{Then, decides},
    amended,
    answer::{Answer, Answerer, Said},
    clock::Clock,
    complete,
    draft::Draft,
    patience::RECEIPT,
    settle,
};
use crate::Error;

impl Bench {
    /// Says a line such as `in pot-1 0612`: asks the shop, answers its questions, keeps what is
    /// said, sends it and waits for the receipt.
    ///
    /// # Errors
    /// If the line cannot be read, or it is a decision and the shop is out of reach. A fact that
    /// only cannot be sent is no error: it is kept.
    pub async fn say(
        &self,
        line: &str,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<Said, Error> {
        let words = line::split(line)?;
        let mut utterance = self.read_line(&words, clock, answerer).await?;
        let told = self.amended(&mut utterance, clock)?;
        let mut said = self.utter(utterance, clock, answerer).await?;
        said.talk.splice(0..0, told);
        Ok(said)
    }

    /// Reads the words of a line. Before anybody is asked about it, the words of the shop are looked
    /// at anew; then the answerer is asked until it is clear.
    ///
    /// # Errors
    /// [`Error::Unclear`] if nobody makes it clear; as [`line::parse`].
    pub async fn read_line(
        &self,
        words: &[String],
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<line::Utterance, Error> {
        self.clear(clock, answerer, words.to_vec(), |lexicon| line::parse_words(words, lexicon))
            .await
    }

    /// Reads a line with `read`; where it is not clear, as above.
    ///
    /// # Errors
    /// As for [`Bench::read_line`].
    pub async fn clear(
        &self,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
        typed: Vec<String>,
        read: impl Fn(&Lexicon) -> Result<line::Utterance, line::Error>,
    ) -> Result<line::Utterance, Error> {
        if let Some(share) = line::shares::share(&typed) {
            let unclear = self.share_owed(&share, clock).await?;
            return match answerer.choose(&typed, &unclear) {
                Some(words) => Ok(line::parse_words(&words, &self.fresh_lexicon(clock).await)?),
                None => Err(line::Error::Unclear(unclear).into()),
            };
        }
        let said = self.clear_words(clock, answerer, typed.clone(), read).await?;
        let unclear = match self.known_customer(&said).await {
            Some(unclear) => unclear,
            None => match self.nearly_known(&typed, &said).await {
                Some(unclear) => unclear,
                None => return Ok(said),
            },
        };
        match answerer.choose(&typed, &unclear) {
            Some(words) => Ok(line::parse_words(&words, &self.fresh_lexicon(clock).await)?),
            None => Err(line::Error::Unclear(unclear).into()),
        }
    }

    /// The same, by the words alone.
    async fn clear_words(
        &self,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
        typed: Vec<String>,
        read: impl Fn(&Lexicon) -> Result<line::Utterance, line::Error>,
    ) -> Result<line::Utterance, Error> {
        let lexicon = self.lexicon();
        // Without the shop's words any word could be a place.
        match read(&lexicon) {
            Err(line::Error::Unclear(_)) => {}
            Ok(_) if !lexicon.known => {}
            clear => return Ok(clear?),
        }
        let lexicon = self.fresh_lexicon(clock).await;
        let mut reading = read(&lexicon);
        let mut line = typed;
        // Each answer settles one word, so that there are no more questions than words.
        for _ in 0..=line.len() {
            let Err(line::Error::Unclear(unclear)) = &reading else { return Ok(reading?) };
            match answerer.choose(&line, unclear) {
                Some(words) => line = words,
                None => break,
            }
            reading = line::parse_words(&line, &lexicon);
        }
        Ok(reading?)
    }

    /// Says a line that was read already.
    ///
    /// # Errors
    /// As for [`Bench::say`].
    pub async fn utter(
        &self,
        utterance: line::Utterance,
        clock: &(dyn Clock + Sync),
        answerer: &mut (dyn Answerer + Send),
    ) -> Result<Said, Error> {
        let typed = clock.now();
        let mut said = Said::default();
        let common = utterance.common.clone();
        let at = common.at.as_deref();
        if let Some(at) = at {
            utterance.verbs.iter().try_for_each(|verb| amended::keeps_its_moment(verb, at))?;
        }
        let said_at = at.map(|words| self.time_of(words, &typed, &mut said.talk)).transpose()?;
        let before = self.hand();
        let hand = self.hand_of(&common)?;
        if let (Some(before), Some(hand)) = (before, &hand)
            && before != *hand
        {
            said.talk.push(if common.once {
                format!("by {hand}; the next lines here are {before}\u{2019}s again")
            } else {
                format!("from now on lines here are {hand}\u{2019}s, not {before}\u{2019}s")
            });
        }
        self.look_up_named(&utterance.verbs, clock, &mut said.talk).await?;
        let bare = utterance.verbs.iter().any(complete::takes_in_bare);
        let today = self.today_by(&typed)?;
        let open = self.open_ticket(today).filter(|_| bare);
        let drafts = self.complete(utterance, open, &mut said.talk)?;
        let visits = drafts.iter().any(|draft| draft.customer_before);
        let paid = drafts.iter().any(|draft| matches!(draft.verb, Verb::Pay(_)));
        let asking = settle::Asking {
            common: &common,
            hand: hand.as_ref(),
            when: said_at,
            said_at,
            typed: &typed,
            clock,
            before: Vec::new(),
            parts: true,
        };
        // What is asked and answered is the largest part of a line's future.
        let settled = Box::pin(self.settle(drafts, &asking, answerer, &mut said)).await?;
        let settle::Settled { drafts, seen, alone, in_reach, why, renewed } = settled;
        let this = renewed.as_ref().unwrap_or(self);
        let beside = alone.as_ref();
        let drafts = this.reasons_looked_at(drafts, &asking, beside, answerer, &mut said).await?;
        let drafts = if visits { complete::without_lone_customers(drafts) } else { drafts };
        // Said alone with `person` it is kept, as anything that is said.
        let drafts = if paid { complete::without_lone_givers(drafts) } else { drafts };
        if drafts.is_empty() {
            let noted = this.keep_left_off(&mut said, hand, seen, &typed)?;
            this.send_left_off(noted, in_reach, clock).await?;
            said.drop_repeats();
            return Ok(said);
        }
        let verbs: Vec<Verb> = drafts.iter().map(|draft| draft.verb.clone()).collect();
        let kept = this.keep_alive(drafts, hand.clone(), said_at, seen, &typed, &mut said.talk)?;
        let (first, me) = (kept.first, kept.renewed.as_ref().unwrap_or(this));
        me.keep_left_off(&mut said, hand, seen, &typed)?;
        me.remember_visit(first, &verbs, today)?;
        if in_reach {
            me.answers(first, verbs, clock, &mut said).await?;
        } else {
            let photos = alone.iter().flat_map(|a| verbs.iter().filter_map(|v| a.photo_soon(v)));
            said.talk.extend(photos);
            me.kept(first, verbs, clock, why.as_ref(), &mut said)?;
        }
        if bare {
            me.whose(open, alone.as_ref(), &mut said).await;
        }
        said.drop_repeats();
        Ok(said)
    }

    /// Asks the shop about drafts; none if it does not answer in time, with why.
    pub(super) async fn ask(
        &self,
        drafts: &[Draft],
        before: &[Verb],
        hand: Option<&Name>,
        said_at: Option<SaidTime>,
        clock: &(dyn Clock + Sync),
    ) -> Result<(Option<v1::AskResponse>, Option<Error>), Error> {
        // A decision needs the shop, and is worth the wait.
        if !drafts.iter().any(|draft| decides(&draft.verb))
            && let Some(away) = self.in_pause()
        {
            return Ok((None, Some(away)));
        }
        let request = v1::AskRequest {
            life: self.life(),
            hand: hand.map(ToString::to_string).unwrap_or_default(),
            said_ms: said_at.map(|said| said.middle().0),
            verbs: drafts.iter().map(|draft| v1::Verb::from(&draft.verb)).collect(),
            before: before.iter().map(v1::Verb::from).collect(),
        };
        let mut answer = self.connection.ask(request.clone()).await;
        // Of lines that still wait here the shop knew nothing as it answered. A bench without its key
        // says nothing more, so it has nothing to ask anew for.
        if answer.is_ok() && self.key().is_ok() && !self.waiting()?.is_empty() {
            answer = match self.own_lines_first(clock).await? {
                Some(away) => Err(away),
                None => self.connection.ask(request).await,
            };
        }
        match answer {
            Ok(answer) if answer.ruled.len() == drafts.len() => Ok((Some(answer), None)),
            Ok(_) => Err(Error::Nonsense("one answer a line was expected".into())),
            Err(away @ Error::Away { .. }) => {
                self.help(&away).await;
                Ok((None, Some(away)))
            }
            Err(error) => Err(error),
        }
    }

    /// Sends what was kept and turns the receipts into answers.
    pub(super) async fn answers(
        &self,
        first: u64,
        verbs: Vec<Verb>,
        clock: &(dyn Clock + Sync),
        said: &mut Said,
    ) -> Result<(), Error> {
        // All that goes on with the shop is the largest part of a line's future.
        let sending = Box::pin(self.send_from(Some(first), clock));
        let sent = if verbs.iter().any(decides) {
            sending.await
        } else {
            // What was sent so far is sent again, and gets its first receipt again.
            let late = || self.connection.late("record");
            let limit = self.connection.patience().of(RECEIPT);
            tokio::time::timeout(limit, sending).await.unwrap_or_else(|_| Err(late()))
        };
        let receipts = match sent {
            Ok(receipts) => receipts,
            Err(error) => return self.kept(first, verbs, clock, Some(&error), said),
        };
        for (n, verb) in (first..).zip(verbs) {
            let (entry, verb) = (EntryName::new(self.life(), n), Box::new(verb));
            let receipt = receipts.iter().find(|receipt| receipt.entry == Some(entry.to_item()));
            match receipt.cloned().map(Box::new) {
                Some(receipt) => {
                    if decides(&verb) {
                        self.decided(n)?;
                    }
                    said.answers.push(Answer::Receipt { verb, receipt });
                }
                None => self.kept(n, vec![*verb], clock, None, said)?,
            }
        }
        Ok(())
    }

    /// Answers for what is on disk and goes to the shop later, with what the copy can tell of it; of a
    /// decision nobody knows.
    pub(super) fn kept(
        &self,
        first: u64,
        verbs: Vec<Verb>,
        clock: &dyn Clock,
        why: Option<&Error>,
        said: &mut Said,
    ) -> Result<(), Error> {
        let waiting = self.waiting()?.len();
        // Told once as the shop is lost; from then on it stands in the prompt.
        let lost = matches!(why, Some(Error::Away { .. }));
        let silent = lost && why.is_some_and(|why| !why.is_restoring());
        let told = silent && self.away();
        let words = why.map(Error::for_a_hand).unwrap_or_default();
        let kept_here =
            if silent { "; what is said is kept here and goes out by itself" } else { "" };
        if lost {
            self.is_away()?;
        }
        // With the lines themselves, which are in the outbox by now.
        let alone = self.alone(clock, Then::default())?;
        for (n, verb) in (first..).zip(verbs) {
            if decides(&verb) {
                self.not_known(n, verb, &words, said);
                continue;
            }
            let entry = EntryName::new(self.life(), n);
            let skull = alone.as_ref().and_then(|alone| alone.what(&verb)).unwrap_or_default();
            let figures = alone
                .as_ref()
                .map(|alone| view::brief_figures(alone.state(), entry))
                .unwrap_or_default();
            let why = if told { String::new() } else { format!("{words}{kept_here}") };
            let verb = Box::new(verb);
            said.answers.push(Answer::Kept { entry, verb, skull, figures, waiting, why });
        }
        Ok(())
    }

    /// The hand of a line. A name among its words counts for that line, where somebody works here already.
    pub(super) fn hand_of(&self, common: &line::Common) -> Result<Option<Name>, Error> {
        match (&common.hand, self.hand()) {
            (Some(word), Some(_)) if common.once => Ok(Some(Name::read(word)?)),
            (said, _) => self.stick(said.as_deref()),
        }
    }

    /// The hand that is said, which sticks; else the one that stuck.
    pub(super) fn stick(&self, said: Option<&str>) -> Result<Option<Name>, Error> {
        let Some(word) = said else { return Ok(self.hand()) };
        let hand = Name::read(word)?;
        self.folder.keep_text("hand", hand.as_str())?;
        Ok(Some(hand))
    }
}
