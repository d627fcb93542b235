//! Holds that were wanted while the shop was away: a hold is a decision, so they are put once it is
//! in reach again, by whatever command gets through first.

use super::{
    Bench,
    answer::{Answer, Nobody},
};
use crate::{Error, Silence, clock::Clock, receipt};

/// Lines that are to be said, one a line.
const WANTED: &str = "holds-wanted";

impl Bench {
    /// Remembers a hold that needs the shop.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn remember_hold(&self, line: &str) -> Result<(), Error> {
        let mut lines = self.holds_wanted();
        if !lines.iter().any(|wanted| wanted == line) {
            lines.push(line.to_owned());
        }
        self.folder.keep_text(WANTED, &lines.join("\n"))
    }

    /// The holds that are still to be put.
    pub fn holds_wanted(&self) -> Vec<String> {
        let text = self.folder.text(WANTED).unwrap_or_default();
        text.lines().map(str::to_owned).collect()
    }

    /// Puts the holds that were wanted, and says what became of each.
    ///
    /// # Errors
    /// If the shop is out of reach again; what is left stays wanted.
    pub(super) async fn put_holds(&self, clock: &(dyn Clock + Sync)) -> Result<Vec<String>, Error> {
        let mut told = Vec::new();
        let mut wanted = self.holds_wanted();
        while let Some(line) = wanted.first().cloned() {
            let said = match self.say(&line, clock, &mut Nobody).await {
                Ok(said) => said,
                Err(away @ (Error::NeedsShop { .. } | Error::Away { .. })) => return Err(away),
                Err(error) => {
                    told.push(format!("{line}: {error}"));
                    wanted.remove(0);
                    self.keep_wanted(&wanted)?;
                    continue;
                }
            };
            // It stays wanted: at the next contact the shop says whether it has it.
            let unknown = said.answers.iter().find_map(|answer| match answer {
                Answer::NotKnown { why, .. } => Some(why.clone()),
                Answer::Receipt { .. } | Answer::Kept { .. } | Answer::LeftOff { .. } => None,
            });
            if let Some(why) = unknown {
                return Err(Error::Away {
                    what: "hold",
                    url: self.connection.url().to_owned(),
                    why,
                    silence: Silence::Silent,
                });
            }
            let refused = said.answers.iter().find_map(|answer| match answer {
                Answer::Receipt { receipt, .. } => receipt::refusal(receipt),
                Answer::LeftOff { why, .. } => Some(why.join("; ")),
                Answer::Kept { .. } | Answer::NotKnown { .. } => None,
            });
            told.push(match refused {
                None => format!("put now, as it was wanted while the shop was away: {line}"),
                Some(why) => format!("wanted while the shop was away, and refused: {line}: {why}"),
            });
            wanted.remove(0);
            self.keep_wanted(&wanted)?;
        }
        Ok(told)
    }

    fn keep_wanted(&self, wanted: &[String]) -> Result<(), Error> {
        if wanted.is_empty() {
            return self.folder.remove(WANTED);
        }
        self.folder.keep_text(WANTED, &wanted.join("\n"))
    }
}
