//! What is written for each reading, and for it alone: its text, and what its command says of itself.

use burrline_bench::Error;
use burrline_present::{readings, with_readings};
use burrline_proto::v1::{self, read_response::Answer};

use super::{Look, Page, json};

/// An answer as a hand reads it.
pub trait Told {
    /// Lines that show how.
    const EXAMPLES: &'static [&'static str];

    /// What help says of the command beside its one line; empty if that says it all.
    fn more() -> String {
        String::new()
    }

    /// The lines that a person reads, as far as they are needed to go on.
    fn text(&self, look: &Look) -> Vec<String>;

    /// The rest of the answer, for `--more`.
    fn behind(&self, _: &Look) -> Vec<String> {
        Vec::new()
    }
}

macro_rules! tell_readings {
    ($($group:literal $reader:ident $when:ident $Name:ident $Request:ident $Response:ident
        $word:literal $help:literal { $($field:ident: $ty:ty = $fhelp:literal),* $(,)? })*) => {
        /// The page of an answer.
        ///
        /// # Errors
        /// [`Error::Nonsense`] if it is none.
        pub fn page(response: &v1::ReadResponse, look: &Look) -> Result<Page, Error> {
            match &response.answer {
                $(Some(Answer::$Name(answer)) => {
                    Ok(Page { text: answer.text(look), json: vec![json::object(answer)] })
                })*
                None => Err(readings::Unreadable::other().into()),
            }
        }

        /// The rest of an answer, which is not needed to go on.
        pub fn behind(response: &v1::ReadResponse, look: &Look) -> Vec<String> {
            match &response.answer {
                $(Some(Answer::$Name(answer)) => answer.behind(look),)*
                None => Vec::new(),
            }
        }

        /// What help says of a reading's command, and lines that show how.
        pub fn help(word: &str) -> (String, &'static [&'static str]) {
            match word {
                $($word => (<v1::$Response as Told>::more(), <v1::$Response as Told>::EXAMPLES),)*
                _ => (String::new(), &[]),
            }
        }
    };
}

with_readings!(tell_readings);
