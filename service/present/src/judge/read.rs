//! What scripts read of a job and of an act, to lie with the price or the remark that came of it.
//!
//! Not what a script happened to read, but what it can read: another branch of it is explained as well.

use burrline_host::{FACTS_VERSION, JobFacts, Script, VerbFacts};
use burrline_terms::EntryName;
use serde_json::{Map, Value, json};

/// What of a job is its customer's: it is sealed under the customer's key.
const OF_CUSTOMER: [&str; 4] = ["customer_class", "customer_heads", "customer_tickets", "paid_by"];

/// What scripts read, with what is the customer's apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gathered {
    /// The version of what scripts see.
    pub version: u32,
    /// One JSON object with `job` and, for a remark, `act`.
    pub facts: String,
    /// What of the job is the customer's, as one JSON object, and whose it is.
    pub customer: Option<(EntryName, String)>,
}

impl Gathered {
    /// What some scripts can read of a job and of an act.
    pub(super) fn of<'a>(
        scripts: impl Iterator<Item = &'a Script> + Clone,
        job: &JobFacts,
        act: Option<&VerbFacts>,
        customer: Option<EntryName>,
    ) -> Self {
        let read = |facts: Value| -> Map<String, Value> {
            let Value::Object(facts) = facts else { return Map::new() };
            let wanted = facts
                .into_iter()
                .filter(|(name, _)| scripts.clone().any(|script| script.may_read(name)));
            wanted.collect()
        };
        let (theirs, job): (Map<_, _>, Map<_, _>) = read(json!(job))
            .into_iter()
            .partition(|(name, _)| OF_CUSTOMER.contains(&name.as_str()));
        let mut facts = json!({ "job": job });
        if let (Some(act), Some(all)) = (act, facts.as_object_mut()) {
            all.insert("act".to_owned(), Value::Object(read(json!(act))));
        }
        let customer = customer.filter(|_| !theirs.is_empty());
        Self {
            version: FACTS_VERSION,
            facts: facts.to_string(),
            customer: customer.map(|customer| (customer, Value::Object(theirs).to_string())),
        }
    }
}
