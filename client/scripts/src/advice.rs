//! What else a stage script advises on a job, told where it is tried.

use std::sync::Arc;

use burrline_host::{ABOUT, Kind, Sandbox, Script, ScriptFailure, Stages};
use serde_json::{Value, json};

use super::{attempt::Seen, local::Source};

/// What a script advises, in words and as JSON.
#[derive(Default)]
pub(crate) struct Advised {
    pub text: Vec<String>,
    pub json: Vec<Value>,
    /// Nothing of it failed.
    pub good: bool,
}

/// What a script advises on a job, and on an `in` if that is the act; nothing if it advises nothing.
pub(crate) fn advised(source: &Source, seen: &Seen) -> Option<Advised> {
    let sandbox = Arc::new(Sandbox::default());
    let script = Script::from_bytes(&sandbox, Kind::Stages, &source.name, &source.bytes).ok()?;
    let has = |name: &str, count: usize| script.has(name, count);
    let stages = Stages::new(script.clone()).ok()?;
    let mut told = Advised { good: true, ..Advised::default() };
    if has("remind", 1) {
        let reminders = stages.remind(&seen.job).map(|all| {
            let one = |words: &str, days: i64| match days {
                0 => words.to_owned(),
                days => format!("{words} (in {days} days)"),
            };
            let all = all.iter().map(|one_of| one(&one_of.says.words, one_of.says.in_days));
            Some(all.collect::<Vec<_>>().join("; ")).filter(|words| !words.is_empty())
        });
        told.add(source, "to remember", reminders);
    }
    if has("ready_by", 1) {
        let ready = stages.ready_by(&seen.job).map(|ready| {
            let ready = ready?.says;
            let says = ready.says.map(|says| format!("; {says}")).unwrap_or_default();
            Some(format!("in {} days{says}", ready.days))
        });
        told.add(source, "ready", ready);
    }
    if has("message", 2) {
        for about in ABOUT {
            let text = stages.message(&seen.job, about).map(|text| Some(text?.says));
            told.add(source, &format!("message, {about}"), text);
        }
    }
    if let Some(act) = seen.act.as_ref().filter(|act| act.verb == "in") {
        if has("first_look", 2) {
            let look = stages
                .first_look(&seen.job, act)
                .map(|look| Some(format!("after {}", burrline_present::view::minutes(look?.says))));
            told.add(source, "first look", look);
        }
        if has("fits", 2) {
            let fits = stages.fits(&seen.job, act).map(|fits| Some(fits?.says.to_string()));
            told.add(source, "heads that fit", fits);
        }
    }
    (!told.text.is_empty()).then_some(told)
}

impl Advised {
    fn add(&mut self, source: &Source, what: &str, answer: Result<Option<String>, ScriptFailure>) {
        match answer {
            Ok(answer) => {
                let words = answer.as_deref().unwrap_or("no word");
                self.text.push(format!("  {what}: {words}"));
                self.json.push(json!({ "advice": what, "says": answer }));
            }
            Err(failure) => {
                self.good = false;
                self.text.push(format!("  {what}: not checked"));
                self.text.extend(source.tell(&failure).iter().map(|line| format!("    {line}")));
                self.json.push(json!({ "advice": what, "failure": failure }));
            }
        }
    }
}
