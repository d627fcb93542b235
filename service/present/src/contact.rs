//! How customers do not want to be reached: said with any of their heads, and true of all of them.

use std::collections::BTreeMap;

use burrline_domain::{
    State, Verb,
    fold::{Job, Key},
};
use burrline_terms::{
    EntryName,
    words::{Means, ReachWish},
};

use crate::desk::people::customer_of;

/// The wishes of all customers, looked up once.
#[derive(Debug, Default)]
pub struct Wishes(BTreeMap<EntryName, BTreeMap<Means, (Key, ReachWish)>>);

/// Whose wish it is: the customer's, or that of a job whose customer nobody named.
fn whose(state: &State, job: &Job) -> EntryName {
    customer_of(state, job).map_or(job.id, |(name, _)| name)
}

impl Wishes {
    /// Every wish that counts; of two about the same means the later one.
    pub fn of(state: &State) -> Self {
        let mut wishes = Self::default();
        for job in state.jobs().values() {
            for (key, _) in job.facts().filter(|(_, counts)| *counts) {
                let Some(Verb::Contact(contact)) = state.meaning(key.name) else { continue };
                let of_customer = wishes.0.entry(whose(state, job)).or_default();
                let wish = of_customer.entry(contact.means).or_insert((key, contact.wish));
                if key > wish.0 {
                    *wish = (key, contact.wish);
                }
            }
        }
        wishes
    }

    /// By what the customer of a job does not want to be reached.
    pub fn not_by(&self, state: &State, job: &Job) -> Vec<Means> {
        let wishes = self.0.get(&whose(state, job)).into_iter().flatten();
        wishes.filter(|(_, (_, wish))| *wish == ReachWish::Never).map(|(means, _)| *means).collect()
    }
}

/// By what the customer of one job does not want to be reached.
pub fn not_by(state: &State, job: &Job) -> Vec<Means> {
    Wishes::of(state).not_by(state, job)
}

/// The same in words, as it stands beside their name.
pub fn words(not_by: &[Means]) -> String {
    let words: Vec<&str> = not_by.iter().map(|means| means.word()).collect();
    if words.is_empty() { String::new() } else { format!("not by {}", words.join(" or ")) }
}
