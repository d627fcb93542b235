//! Bugs that can be put in on purpose. Each must be caught, or the simulation proves nothing.

/// A bug.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bug {
    /// The shop answers before the disk has it.
    AnswerBeforeSync,
    /// The bench takes for received what the shop says it holds, without a look at it.
    TrustWhatIsHeld,
    /// The bench tells the hand before the disk has it.
    ConfirmBeforeSync,
    /// After a crash the bench counts on from its last receipt.
    ForgetTheNumber,
    /// The bench resumes one entry too far.
    ResumeOneTooFar,
    /// The shop believes the bench's wall clock.
    TrustTheClock,
    /// The shop takes an entry to have happened as it arrives, and reads its tag as of then.
    ResolveAtArrival,
    /// The bench records what a bath comes to, rather than what went in.
    StoreTheResult,
    /// The shop drops a fact that is on no job yet.
    DropTheUnplaced,
    /// The bench says again under new numbers what it had no receipt for.
    DoubleOnReconnect,
    /// The copy passes over a position, and nobody compares roots.
    SkipAPosition,
    /// What is said again under a new life still names the old one.
    KeepOldNames,
    /// A shop that was put back takes new lines before it has heard all of its benches.
    OpenTooSoon,
    /// What a shop that was put back is given back it records anew, as if it had just happened.
    RecordAnew,
    /// A shop goes on without what it lost, and does not say so.
    HideTheLoss,
    /// An outbox that is mended goes on with the number of what was lost.
    GiveTheNumberAgain,
    /// A bench whose file was carried says all of it again.
    SayAgainWhatWasCarried,
    /// The shop takes a file's clocks for those of a bench that is in touch.
    TrustTheFile,
}

impl Bug {
    /// All of them.
    pub(crate) const ALL: [Self; 18] = [
        Self::AnswerBeforeSync,
        Self::TrustWhatIsHeld,
        Self::ConfirmBeforeSync,
        Self::ForgetTheNumber,
        Self::ResumeOneTooFar,
        Self::TrustTheClock,
        Self::ResolveAtArrival,
        Self::StoreTheResult,
        Self::DropTheUnplaced,
        Self::DoubleOnReconnect,
        Self::SkipAPosition,
        Self::KeepOldNames,
        Self::OpenTooSoon,
        Self::RecordAnew,
        Self::HideTheLoss,
        Self::GiveTheNumberAgain,
        Self::SayAgainWhatWasCarried,
        Self::TrustTheFile,
    ];

    /// Whether it shows only where outboxes are damaged or carried.
    pub(crate) fn is_about_damage(self) -> bool {
        matches!(self, Self::GiveTheNumberAgain | Self::SayAgainWhatWasCarried | Self::TrustTheFile)
    }

    /// Its name on the command line.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::AnswerBeforeSync => "answer-before-sync",
            Self::TrustWhatIsHeld => "trust-what-is-held",
            Self::ConfirmBeforeSync => "confirm-before-sync",
            Self::ForgetTheNumber => "forget-the-number",
            Self::ResumeOneTooFar => "resume-one-too-far",
            Self::TrustTheClock => "trust-the-clock",
            Self::ResolveAtArrival => "resolve-at-arrival",
            Self::StoreTheResult => "store-the-result",
            Self::DropTheUnplaced => "drop-the-unplaced",
            Self::DoubleOnReconnect => "double-on-reconnect",
            Self::SkipAPosition => "skip-a-position",
            Self::KeepOldNames => "keep-old-names",
            Self::OpenTooSoon => "open-too-soon",
            Self::RecordAnew => "record-anew",
            Self::HideTheLoss => "hide-the-loss",
            Self::GiveTheNumberAgain => "give-the-number-again",
            Self::SayAgainWhatWasCarried => "say-again-what-was-carried",
            Self::TrustTheFile => "trust-the-file",
        }
    }
}
