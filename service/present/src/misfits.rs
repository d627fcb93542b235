//! What does not fit, in words: the one place where a clash is worded.
//!
//! The fold keeps what does not fit as data. No digest and no branch rests on these words.

use burrline_domain::{
    State,
    fold::{
        Candidate, CannotCorrect, Cause, Clash, JobClash, Kind, Misfit, Reason, TagWas, Uncorrected,
    },
};
use burrline_terms::name::{EntryName, Name};

/// What does not fit.
pub fn words(state: &State, clash: &Clash) -> String {
    match &clash.cause {
        Cause::Unplaced { verb, .. } => format!("{verb}: {}", why(state, clash)),
        Cause::Job(clash) => of_job(clash),
        Cause::TwoOpen { first, second } => format!(
            "{} is on two open jobs, {} and {}; swap the tag on one of them",
            clash.tag.as_ref().map(ToString::to_string).unwrap_or_default(),
            first.job_number(),
            second.job_number()
        ),
        Cause::NobodyFilled { place, verb } => {
            format!("{place}: {verb}, but nobody filled it; say the fill at its time")
        }
        Cause::Correction { verb, why } => format!("{verb}: {}", uncorrected(why)),
        Cause::OldRecipe { place, recipe } => format!(
            "{place}: filled by {}, which had been changed before this bench knew; the new one \
             counts: amend the fill to what went in, or read its strength",
            recipe.as_ref().map(ToString::to_string).unwrap_or_default()
        ),
        Cause::StrayOfTwo { words, first, last } => format!(
            "stray \u{201c}{words}\u{201d} was said to be of {} and of {}; the later one counts: \
             strike the one that is wrong",
            state.called(*first),
            state.called(*last)
        ),
        Cause::WhoseStray { stray, words, place, could_be } => {
            whose(state, *stray, words.as_str(), place.as_ref(), could_be)
        }
        Cause::StrayUnknown { stray } => {
            format!("identify: the line {stray}, which noted the stray, has not arrived")
        }
        Cause::NotForRole { verb, role, needs } => format!(
            "{verb}: said at a bench for {role} work, and it is for {needs} work; it counts: amend it at a \
             bench that may say it, or strike it"
        ),
        Cause::Short { kind, by } => short(kind, &by.normalize().to_string()),
    }
}

/// The same without the word of a line that is on no job.
pub fn why(state: &State, clash: &Clash) -> String {
    match &clash.cause {
        Cause::Unplaced { misfit, was, .. } => unplaced(state, misfit, was.as_ref()),
        Cause::Job(_)
        | Cause::TwoOpen { .. }
        | Cause::NobodyFilled { .. }
        | Cause::Correction { .. }
        | Cause::OldRecipe { .. }
        | Cause::StrayOfTwo { .. }
        | Cause::WhoseStray { .. }
        | Cause::StrayUnknown { .. }
        | Cause::NotForRole { .. }
        | Cause::Short { .. } => words(state, clash),
    }
}

/// Why a fact is on no job, and what to do.
pub fn misfit(misfit: &Misfit) -> String {
    let to_do = match misfit {
        Misfit::TwoJobs(_) | Misfit::TagDisagrees { .. } => "; assign it to one",
        Misfit::NoName => "; assign it",
        Misfit::UnknownTag(_) | Misfit::UnknownJob(_) => "",
    };
    format!("{}{to_do}", why_on_no_job(misfit))
}

/// Why a fact is on no job.
pub fn why_on_no_job(misfit: &Misfit) -> String {
    match misfit {
        Misfit::UnknownTag(tag) => format!("no open job had tag {tag} then"),
        Misfit::TwoJobs(tag) => format!("two jobs had tag {tag} then"),
        Misfit::UnknownJob(job) => format!("job {} has not arrived yet", job.job_number()),
        Misfit::TagDisagrees { tag, meant, worn } => {
            let worn: Vec<String> = worn.iter().map(|job| job.job_number()).collect();
            format!(
                "{tag} was on job {} then, and the bench meant job {}",
                worn.join(" and "),
                meant.job_number()
            )
        }
        Misfit::NoName => "neither tag nor job was said".to_owned(),
    }
}

/// What speaks for a job.
pub fn reason(reason: &Reason) -> String {
    match reason {
        Reason::WasThere(place) => format!("was in {place} then"),
        Reason::HadBeenThere(place) => format!("had been in {place}"),
        Reason::WasNear(place) => format!("was in {place} then, near by"),
        Reason::PartIsOff(piece) => format!("its {piece} is off"),
        Reason::Points(points) => format!("{points} points"),
        Reason::Sex(sex) => sex.to_string(),
        Reason::Young(age) => age.to_string(),
        Reason::Marks(words) => words.join(", "),
        Reason::NotReadSince => "not read since".to_owned(),
    }
}

/// What is wrong with an unplaced line, with what became of the tag that it names.
fn unplaced(state: &State, why: &Misfit, was: Option<&TagWas>) -> String {
    let misfit = misfit(why);
    match (why, was) {
        (_, Some(TagWas::Ended { job, how })) => format!(
            "{misfit}; job {} had it and had ended ({how}): bring it back, or assign this \
             line to it",
            job.job_number()
        ),
        (_, Some(TagWas::CameOff { job })) => format!(
            "{misfit}; it had come off job {} (now {}): assign this line to it",
            job.job_number(),
            state.called(*job)
        ),
        (Misfit::UnknownTag(_), None) => {
            format!("{misfit}; it waits for its take-in or clip-tag")
        }
        (_, None) => misfit,
    }
}

fn of_job(clash: &JobClash) -> String {
    match clash {
        JobClash::NeverOut { place, piece, then, .. } => {
            format!("{piece} was in {place}, never said out; it had left by \u{201c}{then}\u{201d}")
        }
        JobClash::InAgain { place, piece, .. } => format!(
            "{piece} put in {place} again, and was in there already; it counts as one stay: say \
             when it was out, or strike one of the two"
        ),
        JobClash::OutNotIn { piece, left: None, .. } => {
            format!("{piece} said out, but it was in no place; say where it was, or strike it")
        }
        JobClash::OutNotIn { piece, left: Some(place), .. } => format!(
            "{piece} said out again; it had left {place} already: say where it was in between, or \
             strike one of the two"
        ),
        JobClash::LeftBehind { place, piece, ended, .. } => format!(
            "{piece} is still in {place} after the job had ended ({ended}); say it out, or bring it \
             to the customer"
        ),
        JobClash::SwappedTwice { tag, first, second, .. } => format!(
            "{tag} was swapped twice, for {first} and for {second}; both find it: swap away the one \
             that is not on it"
        ),
        JobClash::TagNeverOn { tag, .. } => format!(
            "{tag} was taken off, but nobody said that it was on; clip-tag it at its time, or amend \
             this line"
        ),
        JobClash::AfterEnd { what, ended, .. } => format!(
            "\u{201c}{what}\u{201d} after the job had ended ({ended}); it counts, and the job stays \
             ended: bring it back, or strike the line"
        ),
    }
}

fn uncorrected(why: &Uncorrected) -> String {
    let verb = why.verb.map(|verb| format!(" (\u{201c}{verb}\u{201d})")).unwrap_or_default();
    let line = format!("{}{verb}", why.line);
    match why.reason {
        CannotCorrect::NotArrived => format!("the line {line} has not arrived"),
        CannotCorrect::Decision => {
            format!("{line} is a decision; another decision takes it back")
        }
        CannotCorrect::TypedAfter => {
            format!("{line} was typed after it; say the correction again")
        }
        CannotCorrect::OtherBench => {
            format!("{line} is of another bench, which alone strikes it; amend it")
        }
        CannotCorrect::CannotBecome => {
            format!("{line} cannot become that; strike it and say it anew")
        }
        CannotCorrect::NoSkull => format!("{line} is about no skull"),
    }
}

fn whose(
    state: &State,
    stray: EntryName,
    words: &str,
    place: Option<&Name>,
    could_be: &[Candidate],
) -> String {
    let place = place.map(|place| format!(" in {place}")).unwrap_or_default();
    let of = |candidate: &Candidate| {
        let why: Vec<String> = candidate.reasons.iter().map(reason).collect();
        format!("{} ({})", state.called(candidate.job), why.join("; "))
    };
    let told: Vec<String> = could_be.iter().map(of).collect();
    let told = if told.is_empty() {
        ": nobody knows whose it is".to_owned()
    } else {
        format!(": could be {}", told.join(" or "))
    };
    format!("stray \u{201c}{words}\u{201d}{place}{told}; identify TAG --stray {stray}")
}

fn short(kind: &Kind, by: &str) -> String {
    let strength = kind.strength_wv.map(|s| format!(" {} %", s.normalize())).unwrap_or_default();
    format!(
        "{}{strength}: {by} {} more was used than booked in; book it in, or count what is there",
        kind.what,
        kind.measure.unit()
    )
}
