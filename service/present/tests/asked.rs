//! What the page for owners says of rules, held against the table of verbs.
#![cfg(test)]

use std::collections::BTreeSet;

use burrline_domain::{
    Class,
    verb::{On, VERBS},
};
use burrline_host::JUDGED;
use burrline_terms::words::Role;

/// The reference for owners lists the verbs that a rule is asked about; the table of verbs says
/// which they are.
#[test]
fn the_reference_lists_the_verbs_that_rules_are_asked_about() {
    let listed = |at: usize| -> BTreeSet<&str> { JUDGED[at].1.iter().copied().collect() };
    let facts = || VERBS.iter().filter(|spec| spec.class == Class::Fact);
    let ends = ["hand-over", "ship", "give-back", "officer-takes", "write-off"];
    let of_a_skull = facts().filter(|spec| spec.on == On::Skull && spec.role == Role::Bench);
    let of_a_skull: BTreeSet<&str> = of_a_skull.map(|spec| spec.word).chain(ends).collect();
    assert_eq!(listed(0), of_a_skull);
    let of_a_place: BTreeSet<&str> =
        facts().filter(|spec| spec.on == On::Place).map(|spec| spec.word).collect();
    assert_eq!(listed(1), of_a_place);
}
