//! The names that a shop knows: what a script may compare with.

use std::collections::BTreeMap;

use crate::facts::TableFacts;
use crate::plain::nearest;
use crate::reference::JUDGED;

/// Names of one kind.
#[derive(Debug, Clone, Default)]
pub struct Names {
    /// What one of them is, as in "species".
    pub what: &'static str,
    /// The names.
    pub all: Vec<String>,
    /// They are all there are. Where they are not, only what is a slip away from one looks odd.
    pub complete: bool,
}

/// The names that a shop knows, for [`lint_for`](crate::lint_for).
#[derive(Debug, Clone)]
pub struct Known {
    /// Verbs.
    pub verbs: Names,
    /// Animals, by all their names.
    pub species: Names,
    /// Places.
    pub places: Names,
    /// Tables of the shop's own, with their rows.
    pub tables: BTreeMap<String, TableFacts>,
    /// They are all there are.
    pub all_tables: bool,
}

impl Default for Known {
    /// What is known without a shop: the verbs that rules are asked about.
    fn default() -> Self {
        let judged = JUDGED.iter().flat_map(|(_, verbs)| verbs.iter().copied());
        let verbs = judged.chain(["take-in", "papers"]).map(str::to_owned).collect();
        Self {
            verbs: Names { what: "verb", all: verbs, complete: false },
            species: Names { what: "animal", ..Names::default() },
            places: Names { what: "place", ..Names::default() },
            tables: BTreeMap::new(),
            all_tables: false,
        }
    }
}

impl Known {
    /// What is odd about a table that a script asks for; nothing if the shop may well have it.
    pub(crate) fn odd_table(&self, name: &str) -> Option<String> {
        if !self.all_tables || self.tables.contains_key(name) {
            return None;
        }
        let near = nearest(name, self.tables.keys().map(String::as_str));
        Some(match near {
            Some(near) => format!("the shop has no table \"{name}\"; did you mean \"{near}\"?"),
            None => format!(
                "the shop has no table \"{name}\"; begin it with `burrline add-table {name} money`"
            ),
        })
    }

    /// The names that a fact can be, if the shop knows them.
    pub(crate) fn of(&self, fact: &str) -> Option<&Names> {
        match fact {
            "verb" => Some(&self.verbs),
            "species" => Some(&self.species),
            "place" => Some(&self.places),
            _ => None,
        }
    }
}

impl Names {
    /// What is odd about a name that a script writes; nothing if there may well be one like it.
    pub(crate) fn odd(&self, name: &str) -> Option<String> {
        if name.is_empty() || self.all.iter().any(|known| known == name) {
            return None;
        }
        match nearest(name, self.all.iter().map(String::as_str)) {
            Some(near) => {
                Some(format!("the shop has no {} \"{name}\"; did you mean \"{near}\"?", self.what))
            }
            None if self.complete => {
                Some(format!("the shop has no {} \"{name}\", so this is never so", self.what))
            }
            None => None,
        }
    }
}
