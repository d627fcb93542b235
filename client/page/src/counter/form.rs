//! The fields of a visit as answers to its questions.

use burrline_bench::{Bench, Error};
use burrline_talk::visit::{Known, SAME, Step, Visit, YES};

use crate::route::fields::Fields;

/// The file of a form in the bench's folder; its number stands behind it.
const KEPT: &str = "visit-page-";

/// So many forms are open at most.
const MOST: u32 = 20;

/// The parts of a head's fields, as they are called.
pub(crate) const HEAD: [&str; 11] = [
    "tag",
    "species",
    "points",
    "sex",
    "state",
    "condition",
    "unseen",
    "wishes",
    "kill-tag",
    "killed",
    "county",
];

/// A form that was begun.
#[derive(Debug, Clone, Default)]
pub(crate) struct Draft {
    /// Its number.
    pub(crate) n: u32,
    /// Its fields.
    pub(crate) fields: Fields,
}

impl Draft {
    /// Who it is for, for the list of those that were begun.
    pub(crate) fn called(&self) -> String {
        let who = [self.fields.one("name"), self.fields.one("phone")].join(" ");
        let tags: Vec<&str> = (0..self.heads()).map(|head| self.head(head, "tag")).collect();
        format!("{} {}", who.trim(), tags.join(" ").trim()).trim().to_owned()
    }

    /// How many heads it has fields for.
    pub(crate) fn heads(&self) -> usize {
        let heads = self.fields.one("heads").parse().unwrap_or(1_usize);
        heads.clamp(1, burrline_talk::visit::MOST_HEADS)
    }

    /// A field of a head.
    pub(crate) fn head(&self, head: usize, part: &str) -> &str {
        self.fields.one(&format!("{part}-{head}"))
    }

    /// Whether anything was filled in of a head.
    fn is_begun(&self, head: usize) -> bool {
        HEAD.iter().any(|part| !self.head(head, part).is_empty())
    }

    /// How many heads are meant: empty ones at the end are not.
    pub(crate) fn meant(&self) -> usize {
        (0..self.heads())
            .rev()
            .find(|head| self.is_begun(*head))
            .map_or(1, |last| last.saturating_add(1))
    }

    /// The answer to a question.
    pub(crate) fn answer(&self, step: Step) -> String {
        let one = |name: &str| self.fields.one(name).to_owned();
        let or_none =
            |words: &str| if words.is_empty() { "skip".to_owned() } else { words.to_owned() };
        match step {
            Step::Who if one("same") == YES => SAME.to_owned(),
            Step::Who => [one("name"), one("phone")].join(" ").trim().to_owned(),
            Step::Which => one("which"),
            Step::Phone => one("phone"),
            Step::Name => one("name"),
            Step::Address => one("address"),
            Step::Other(0) if !self.fields.one("other").is_empty() => {
                format!("{} {}", self.fields.one("other-as"), self.fields.one("other"))
            }
            Step::Licence => one("licence"),
            Step::Tag(head) => self.head(head, "tag").to_owned(),
            Step::Kind(head) => or_none(&self.kind(head)),
            Step::State(head) => self.head(head, "state").to_owned(),
            Step::Condition(head) if self.head(head, "unseen") == YES => "hide on".to_owned(),
            Step::Condition(head) => or_none(self.head(head, "condition")),
            Step::Wishes(head) => or_none(self.head(head, "wishes")),
            Step::KillTag(head) => or_none(self.head(head, "kill-tag")),
            Step::Killed(head) => or_none(self.head(head, "killed")),
            Step::County(head) => or_none(self.head(head, "county")),
            Step::Other(_)
            | Step::HunterAddress
            | Step::More(_)
            | Step::Write
            | Step::Heard
            | Step::Deposit => String::new(),
        }
    }

    /// "whitetail 8 pt male".
    fn kind(&self, head: usize) -> String {
        let points = match self.head(head, "points") {
            "" => String::new(),
            points => format!("{points} pt"),
        };
        let words = [self.head(head, "species"), &points, self.head(head, "sex")];
        words.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Answers as many questions as can be, up to writing it; the first that is wrong, and why.
    pub(crate) fn answers(&self, visit: &mut Visit, known: &Known) -> Result<(), (Step, String)> {
        while let Some(step) = visit.next().filter(|step| *step != Step::Write) {
            visit.take(step, &self.answer(step), known).map_err(|why| (step, why))?;
        }
        Ok(())
    }

    /// Keeps it as it was typed.
    ///
    /// # Errors
    /// If the folder cannot be written.
    pub(crate) fn keep(&self, bench: &Bench) -> Result<(), Error> {
        let kept = self
            .fields
            .0
            .iter()
            .filter(|(name, _)| !matches!(name.as_str(), "token" | "back" | "do"));
        let kept: Vec<&(String, String)> = kept.collect();
        let text = serde_json::to_string(&kept).map_err(|e| Error::Bug(e.to_string()))?;
        bench.folder().keep_text(&format!("{KEPT}{}", self.n), &text)
    }

    /// Lets go of it: it was written, or is not wanted.
    ///
    /// # Errors
    /// If it cannot be removed.
    pub(crate) fn drop_it(&self, bench: &Bench) -> Result<(), Error> {
        bench.folder().remove(&format!("{KEPT}{}", self.n))
    }
}

/// Every form that was begun.
///
/// # Errors
/// If the folder cannot be read.
pub(crate) fn begun(bench: &Bench) -> Result<Vec<Draft>, Error> {
    let mut all = Vec::new();
    for rest in bench.folder().names_from(KEPT)? {
        let Ok(n) = rest.parse::<u32>() else { continue };
        let text = bench.folder().text(&format!("{KEPT}{n}")).unwrap_or_default();
        // One that cannot be read is begun anew; what was written is on the log.
        let fields = Fields(serde_json::from_str(&text).unwrap_or_default());
        all.push(Draft { n, fields });
    }
    all.sort_by_key(|draft| draft.n);
    Ok(all)
}

/// The number of a new form.
pub(crate) fn free(all: &[Draft]) -> u32 {
    (1..=MOST).find(|n| all.iter().all(|draft| draft.n != *n)).unwrap_or(MOST)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn draft(fields: &[(&str, &str)]) -> Draft {
        let fields = fields.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        Draft { n: 1, fields: Fields(fields) }
    }

    #[test]
    fn the_fields_answer_what_a_terminal_asks() {
        let form = draft(&[
            ("name", "Ada Fenn"),
            ("phone", "555-0142"),
            ("heads", "2"),
            ("tag-0", "0417"),
            ("species-0", "whitetail"),
            ("points-0", "8"),
            ("sex-0", "male"),
            ("state-0", "skinned"),
            ("condition-0", "nose chipped"),
            ("kill-tag-0", "KT-1"),
        ]);
        assert_eq!(form.meant(), 1, "the second head was left empty");
        let mut visit = Visit::of(Some(form.meant()));
        form.answers(&mut visit, &Known::default()).unwrap();
        assert_eq!(visit.next(), Some(Step::Write));
        assert!(visit.can_be_priced(0));
        assert_eq!(visit.heads().unwrap().len(), 4, "customer, ticket, head and its papers");
    }

    #[test]
    fn what_is_wrong_is_told_with_the_question_that_it_answers() {
        let form =
            draft(&[("name", "Ada Fenn"), ("tag-0", "0417"), ("species-0", "whitetail 8 elk")]);
        let mut visit = Visit::of(Some(1));
        assert_eq!(form.answers(&mut visit, &Known::default()).unwrap_err().0, Step::Kind(0));
        let nobody = draft(&[("tag-0", "0417")]);
        let mut visit = Visit::of(Some(1));
        assert_eq!(nobody.answers(&mut visit, &Known::default()).unwrap_err().0, Step::Who);
    }
}
