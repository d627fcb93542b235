//! Why a call was not answered, as a status carries it.

use crate::v1::Reason;

/// The domain of the reasons, in the details of a status.
pub const DOMAIN: &str = "burrline.v1";

const PREFIX: &str = "REASON_";

impl Reason {
    /// The word that a status carries, such as `NO_SUCH_JOB`.
    pub fn word(self) -> &'static str {
        let name = self.as_str_name();
        name.strip_prefix(PREFIX).unwrap_or(name)
    }

    /// The reason of a word; unspecified for one that is not known here.
    pub fn of_word(word: &str) -> Self {
        Self::from_str_name(&format!("{PREFIX}{word}")).unwrap_or(Self::Unspecified)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_goes_over_the_wire_as_a_word() {
        assert_eq!(Reason::NoSuchJob.word(), "NO_SUCH_JOB");
        assert_eq!(Reason::of_word("NO_SUCH_JOB"), Reason::NoSuchJob);
        assert_eq!(Reason::of_word("OF_A_NEWER_SHOP"), Reason::Unspecified);
    }
}
