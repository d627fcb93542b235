//! `plan(job)` and `check(job, act)`: what comes next, and all that a rule thinks of it.
//!
//! All active stage scripts are asked, in the order of their names.

use std::collections::BTreeSet;
use std::sync::Arc;

use rhai::Dynamic;
use serde::{Deserialize, Serialize};

use crate::asked::{asked_about, listed_at};
use crate::facts::{JobFacts, VerbFacts};
use crate::failure::ScriptFailure;
use crate::plain::{kind_in_words, nearest};
use crate::script::{Kind, Script};
use crate::shown::{Share, Shown};
use crate::unknown;
use crate::value::{ScriptValue, map_from, nothing_left, take_text};

/// One stage script, ready to plan or to rule.
#[derive(Debug, Clone)]
pub struct Stages {
    script: Script,
    checks: bool,
    /// The verbs it is asked about; nothing if it is asked about all of them.
    verbs: Option<Arc<BTreeSet<String>>>,
}

/// One step a job is expected to take.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanStep {
    /// The step in the shop's words ("simmer").
    pub step: String,
    /// How long it is expected to take, minutes, waiting in the bath or on the rack included.
    pub expect_minutes: i64,
}

/// One thing that a script thinks of an act.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ruling {
    /// Nothing to say.
    Fine {
        /// The script's name.
        rule: String,
        /// SHA-256 of its source.
        digest: String,
    },
    /// Worth saying, and may be done.
    Remark {
        /// The script's name.
        rule: String,
        /// SHA-256 of its source.
        digest: String,
        /// One short line that says what to do instead.
        words: String,
    },
    /// Should not be done as things stand.
    No {
        /// The script's name.
        rule: String,
        /// SHA-256 of its source.
        digest: String,
        /// One short line that says what to do instead.
        words: String,
    },
    /// The script gave no usable answer, or went by something that nobody said, so nobody knows.
    NotChecked(ScriptFailure),
}

/// Several stage scripts in a stated order.
#[derive(Debug, Clone, Default)]
pub struct Rules {
    in_order: Vec<Stages>,
}

/// More characters than this do not fit a phone.
const LONGEST_WORDS: usize = 160;
/// More objections than this to one act are a mistake in the script.
const MOST_WORDS: usize = 12;
/// More steps than this are a mistake in the script.
const MOST_STEPS: usize = 40;
/// A step of more than two years is a mistake in the script.
const LONGEST_STEP_MINUTES: i64 = 2 * 366 * 24 * 60;

impl Stages {
    /// Takes a stage script.
    ///
    /// # Errors
    ///
    /// The script is of another kind, or its `verbs()` does not give a list of texts.
    pub fn new(script: Script) -> Result<Self, ScriptFailure> {
        if script.kind() != Kind::Stages {
            return Err(script.failure("this is not a stage script"));
        }
        let verbs = asked_about(&script)?.map(Arc::new);
        Ok(Self { checks: script.has("check", 2), script, verbs })
    }

    /// Holds `verbs()` against the verbs that there are.
    ///
    /// # Errors
    ///
    /// It lists something that is no verb, or leaves out a verb that the rules name: such a rule
    /// would be silent without anybody knowing.
    pub fn verbs_fit(&self, known: &[&str]) -> Result<(), ScriptFailure> {
        let Some(verbs) = &self.verbs else { return Ok(()) };
        if let Some(unknown) = verbs.iter().find(|verb| !known.contains(&verb.as_str())) {
            let near = nearest(unknown, known.iter().copied());
            let near = near.map(|near| format!("; did you mean \"{near}\"?")).unwrap_or_default();
            let words = format!("verbs: there is no verb \"{unknown}\"{near}");
            return Err(self.script.failure_at(listed_at(self.script.ast(), unknown), &words));
        }
        match self.script.left_out(known, verbs) {
            Some((verb, at)) => Err(self.script.failure_at(
                at,
                &format!(
                    "verbs: the rules name \"{verb}\", so add it to the list, or they never see it"
                ),
            )),
            None => Ok(()),
        }
    }

    /// Whether the script is asked about a verb. Where it has no `verbs()` it is asked about all.
    pub fn is_asked_about(&self, verb: &str) -> bool {
        self.checks && self.verbs.as_ref().is_none_or(|verbs| verbs.contains(verb))
    }

    /// The script.
    pub fn script(&self) -> &Script {
        &self.script
    }

    /// The steps this script plans for a job; nothing if it plans none.
    ///
    /// # Errors
    ///
    /// The script fails or answers in another shape than a list of `#{step, expect_minutes}`.
    pub fn plan(&self, job: &impl Share<JobFacts>) -> Result<Vec<PlanStep>, ScriptFailure> {
        if !self.script.has("plan", 1) {
            return Ok(Vec::new());
        }
        let job = Shown::whole(job.share());
        let answer = self.script.call("plan", || vec![job.clone()])?;
        steps_from(answer).map_err(|why| self.script.failure(format!("plan: {why}")))
    }

    /// What this script thinks of an act, all in one: a "no" if any of its answers is one, with the
    /// words of all of that kind. A failing script is a ruling too; one that is not asked about the
    /// verb has nothing to say.
    pub fn check(&self, job: &impl Share<JobFacts>, act: &impl Share<VerbFacts>) -> Ruling {
        self.all_in_one(self.check_all(job, act))
    }

    /// Every answer of this script to an act, in its order; a single "fine" if it has none.
    pub fn check_all(
        &self,
        job: &impl Share<JobFacts>,
        act: &impl Share<VerbFacts>,
    ) -> Vec<Ruling> {
        if self.is_asked_about(&act.borrow().verb) {
            self.check_values(&job.share(), &Shown::whole(act.share()))
        } else {
            vec![self.fine()]
        }
    }

    fn check_values(&self, job: &Arc<JobFacts>, act: &Dynamic) -> Vec<Ruling> {
        let values = || vec![Shown::whole(Arc::clone(job)), act.clone()];
        let (answer, noted) = unknown::noted(|| self.script.call("check", values));
        let rulings = answer.and_then(|answer| {
            let rulings = self.rulings_from(answer);
            rulings.map_err(|why| self.script.failure(format!("check: {why}")))
        });
        let mut rulings = match rulings {
            Ok(rulings) => rulings,
            Err(failure) => return vec![Ruling::NotChecked(failure)],
        };
        // What a rule went by and nobody said is told beside its answer.
        let not_known = self.script.not_known("check", &noted, job.price_said, values);
        if !not_known.is_empty() {
            rulings.retain(|ruling| !matches!(ruling, Ruling::Fine { .. }));
            rulings.extend(not_known.into_iter().map(Ruling::NotChecked));
        }
        rulings
    }

    fn all_in_one(&self, rulings: Vec<Ruling>) -> Ruling {
        let (rule, digest) = (self.script.name().to_owned(), self.script.digest().to_owned());
        let words_of = |wanted: fn(&Ruling) -> bool| {
            let words: Vec<&str> =
                rulings.iter().filter(|r| wanted(r)).filter_map(Ruling::words).collect();
            (!words.is_empty()).then(|| words.join(" "))
        };
        if let Some(words) = words_of(|ruling| matches!(ruling, Ruling::No { .. })) {
            return Ruling::No { rule, digest, words };
        }
        if let Some(failed) = rulings.iter().find(|r| matches!(r, Ruling::NotChecked(_))) {
            return failed.clone();
        }
        match words_of(|ruling| matches!(ruling, Ruling::Remark { .. })) {
            Some(words) => Ruling::Remark { rule, digest, words },
            None => self.fine(),
        }
    }

    fn fine(&self) -> Ruling {
        Ruling::Fine {
            rule: self.script.name().to_owned(),
            digest: self.script.digest().to_owned(),
        }
    }

    /// One answer, or a list of them; the same words twice count once.
    fn rulings_from(&self, answer: Dynamic) -> Result<Vec<Ruling>, String> {
        if !answer.is_array() {
            return Ok(vec![self.ruling_from(answer)?]);
        }
        let list = answer.into_array().unwrap_or_default();
        if list.len() > MOST_WORDS {
            return Err(format!("{} answers; at most {MOST_WORDS} are taken", list.len()));
        }
        let mut rulings = Vec::with_capacity(list.len());
        for one in list {
            let ruling = self.ruling_from(one)?;
            if !matches!(ruling, Ruling::Fine { .. }) && !rulings.contains(&ruling) {
                rulings.push(ruling);
            }
        }
        Ok(if rulings.is_empty() { vec![self.fine()] } else { rulings })
    }

    fn ruling_from(&self, answer: Dynamic) -> Result<Ruling, String> {
        if answer.is_unit() {
            return Ok(self.fine());
        }
        let wanted = "(), #{remark: ...}, #{no: ...} or a list of these as the answer";
        let mut map = map_from(answer, wanted)?;
        let is_no = map.contains_key("no");
        let words = take_text(&mut map, if is_no { "no" } else { "remark" })?.to_string();
        nothing_left(&map)?;
        if words.trim().is_empty() || words.chars().count() > LONGEST_WORDS {
            return Err(format!("an objection wants 1 to {LONGEST_WORDS} characters"));
        }
        if words.chars().any(char::is_control) {
            return Err("an objection wants a single plain line".to_owned());
        }
        let (rule, digest) = (self.script.name().to_owned(), self.script.digest().to_owned());
        Ok(if is_no {
            Ruling::No { rule, digest, words }
        } else {
            Ruling::Remark { rule, digest, words }
        })
    }
}

impl Rules {
    /// Takes the scripts in the order in which they are asked.
    pub fn new(in_order: Vec<Stages>) -> Self {
        Self { in_order }
    }

    /// The scripts in order.
    pub fn scripts(&self) -> &[Stages] {
        &self.in_order
    }

    /// Whether any of them is asked about a verb, so that facts need to be put together for it.
    pub fn are_asked_about(&self, verb: &str) -> bool {
        self.in_order.iter().any(|stages| stages.is_asked_about(verb))
    }

    /// Every ruling of every script that is asked about the verb, in order, the fine ones too.
    pub fn check(&self, job: &impl Share<JobFacts>, act: &impl Share<VerbFacts>) -> Vec<Ruling> {
        let verb = &act.borrow().verb;
        let mut asked = self.in_order.iter().filter(|s| s.is_asked_about(verb)).peekable();
        if asked.peek().is_none() {
            return Vec::new();
        }
        let (job, act) = (job.share(), Shown::whole(act.share()));
        asked.flat_map(|stages| stages.check_values(&job, &act)).collect()
    }

    /// The steps of the first script that plans any, with that script.
    ///
    /// # Errors
    ///
    /// A script that plans fails; a plan from a later one would be another plan, so none is given.
    pub fn plan(
        &self,
        job: &impl Share<JobFacts>,
    ) -> Result<Option<(Vec<PlanStep>, &Script)>, ScriptFailure> {
        let job = job.share();
        for stages in &self.in_order {
            let steps = stages.plan(&job)?;
            if !steps.is_empty() {
                return Ok(Some((steps, stages.script())));
            }
        }
        Ok(None)
    }
}

impl Ruling {
    /// One short line, for a remark or a "no".
    pub fn words(&self) -> Option<&str> {
        match self {
            Self::Fine { .. } | Self::NotChecked(_) => None,
            Self::Remark { words, .. } | Self::No { words, .. } => Some(words),
        }
    }

    /// The script that was asked.
    pub fn rule(&self) -> &str {
        match self {
            Self::Fine { rule, .. } | Self::Remark { rule, .. } | Self::No { rule, .. } => rule,
            Self::NotChecked(failure) => &failure.script,
        }
    }

    /// SHA-256 of that script's source.
    pub fn digest(&self) -> &str {
        match self {
            Self::Fine { digest, .. } | Self::Remark { digest, .. } | Self::No { digest, .. } => {
                digest
            }
            Self::NotChecked(failure) => &failure.digest,
        }
    }
}

fn steps_from(answer: Dynamic) -> Result<Vec<PlanStep>, String> {
    let list = answer.into_array().map_err(|found| {
        format!("wants a list of steps as the answer, not {}", kind_in_words(found))
    })?;
    if list.len() > MOST_STEPS {
        return Err(format!("{} steps; at most {MOST_STEPS} are taken", list.len()));
    }
    list.into_iter().map(step_from).collect()
}

fn step_from(step: Dynamic) -> Result<PlanStep, String> {
    let mut map = map_from(step, "a step #{step: ..., expect_minutes: ...}")?;
    let name = take_text(&mut map, "step")?;
    let minutes = map.remove("expect_minutes").ok_or("`expect_minutes` is missing")?;
    let minutes = i64::from_script(minutes).map_err(|why| format!("`expect_minutes` {why}"))?;
    nothing_left(&map)?;
    if name.trim().is_empty() || name.chars().count() > 40 || name.chars().any(char::is_control) {
        return Err("`step` wants 1 to 40 plain characters".to_owned());
    }
    if !(0..=LONGEST_STEP_MINUTES).contains(&minutes) {
        return Err(format!("`expect_minutes` wants 0 to {LONGEST_STEP_MINUTES}"));
    }
    Ok(PlanStep { step: name.to_string(), expect_minutes: minutes })
}
