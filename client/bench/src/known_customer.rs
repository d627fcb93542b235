//! A customer who is known already, where a line would add one of the same name or number.

use burrline_domain::Verb;
use burrline_line::{self as line, Details, LineChoice, Unclear, command::common_words};
use burrline_present::{alike_names::nearly, readings::Find};
use burrline_proto::{Wire as _, v1};
use burrline_terms::{EntryName, Phrase, Typed as _};

use crate::{Bench, patience::ASK};

/// The verbs that add a customer by their details.
const ADDS: [&str; 2] = ["ticket", "add-customer"];

impl Bench {
    /// What is asked where a line names a person whose name is nearly that of a customer with a head here: Jonson for
    /// Johnson. Nothing where somebody is called as it was typed, or nobody nearly so.
    pub(crate) async fn nearly_known(
        &self,
        typed: &[String],
        said: &line::Utterance,
    ) -> Option<Unclear> {
        let name = said.details.name.as_deref()?;
        if ADDS.contains(&said.spec.word) || self.in_pause().is_some() {
            return None;
        }
        let words = Phrase::read(name).ok()?;
        let found = self.read_at_shop(Find { words }, ASK).await.ok()?.customers;
        let mut known: Vec<String> = Vec::new();
        for one in found.into_iter().filter(|one| nearly(name, &one.name)) {
            if !known.contains(&one.name) {
                known.push(one.name);
            }
        }
        let choices: Vec<LineChoice> = known
            .iter()
            .filter_map(|right| {
                let words = with_name(typed, name, right)?;
                Some(LineChoice { label: right.clone(), words })
            })
            .collect();
        let as_typed = LineChoice { label: format!("{name}, as typed"), words: typed.to_vec() };
        let about = format!("{}: is {name} {}?", said.spec.word, line::words::or(&known));
        (!choices.is_empty())
            .then(|| Unclear { about, choices: choices.into_iter().chain([as_typed]).collect() })
    }

    /// What is asked before a customer is added a second time; nothing where nobody has that name or
    /// number, or the shop does not tell this bench.
    pub(crate) async fn known_customer(&self, said: &line::Utterance) -> Option<Unclear> {
        let adds = said.details.name.is_some() || said.details.phone.is_some();
        let verb = said.verbs.first()?.spec().word;
        if !(adds && ADDS.contains(&said.spec.word) && ADDS.contains(&verb))
            || said.common.anyway.is_some()
            || self.in_pause().is_some()
        {
            return None;
        }
        let mut known: Vec<v1::FoundCustomer> = Vec::new();
        for detail in [&said.details.name, &said.details.phone].into_iter().flatten() {
            let Ok(words) = Phrase::read(detail) else { continue };
            let found = self.read_at_shop(Find { words }, ASK).await.ok()?;
            let same = found.customers.into_iter().filter(|one| is_same(one, said));
            for one in same {
                if !known.iter().any(|other| other.customer == one.customer) {
                    known.push(one);
                }
            }
        }
        let about = format!(
            "{}: is it a customer who is known already, {}?",
            said.spec.word,
            line::words::or(&known.iter().map(called).collect::<Vec<_>>())
        );
        if known.is_empty() {
            return None;
        }
        let choices = known.iter().filter_map(|one| of_known(one, said));
        let another = ["--anyway", "a different person"].map(str::to_owned);
        let another = LineChoice {
            label: "a different person of that name or number".to_owned(),
            words: [line_with(said, None, &said.details)?.as_slice(), another.as_slice()].concat(),
        };
        Some(Unclear { about, choices: choices.chain([another]).collect() })
    }
}

/// The typed words with another name in place of this one, as one word.
fn with_name(typed: &[String], name: &str, right: &str) -> Option<Vec<String>> {
    let bare = |word: &String| word.trim_end_matches([',', ';']).to_owned();
    let parts: Vec<&str> = name.split_whitespace().collect();
    let run = parts.len();
    let at = (0..typed.len()).find(|at| {
        let here = typed.get(*at..at.saturating_add(run)).unwrap_or_default();
        here.len() == run && here.iter().map(bare).eq(parts.iter().map(|part| (*part).to_owned()))
    });
    let (at, run) = match at {
        Some(at) => (at, run),
        None => (typed.iter().position(|word| word == name)?, 1),
    };
    let mut words = typed.get(..at)?.to_vec();
    words.push(right.to_owned());
    words.extend(typed.get(at.saturating_add(run)..)?.iter().cloned());
    Some(words)
}

/// Whether a customer has the name or the number that a line says, or nearly that name.
fn is_same(one: &v1::FoundCustomer, said: &line::Utterance) -> bool {
    let plain = |name: &str| name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let digits = |phone: &str| phone.chars().filter(char::is_ascii_digit).collect::<String>();
    let name = said
        .details
        .name
        .as_deref()
        .is_some_and(|name| plain(name) == plain(&one.name) || nearly(name, &one.name));
    let phone = said.details.phone.as_deref().map(digits);
    let phone = phone.is_some_and(|phone| phone.len() >= 7 && phone == digits(&one.phone));
    name || phone
}

/// A customer as a hand knows them: by name, and by what they have here.
fn called(one: &v1::FoundCustomer) -> String {
    let open = one.jobs.iter().filter(|job| !job.ended && !job.tag.is_empty());
    let tags: Vec<&str> = open.map(|job| job.tag.as_str()).collect();
    let name = if one.name.is_empty() { &one.phone } else { &one.name };
    if tags.is_empty() { name.clone() } else { format!("{name} ({})", tags.join(", ")) }
}

/// A new ticket of a customer who is known, with all else that was said. Where a customer was to be added
/// and no more, there is nothing left to say.
fn of_known(one: &v1::FoundCustomer, said: &line::Utterance) -> Option<LineChoice> {
    let customer = EntryName::from_item(one.customer.as_ref()?).ok()?;
    let [Verb::Ticket(_)] = said.verbs.as_slice() else { return None };
    let words = line_with(said, Some(customer), &Details::default())?;
    Some(LineChoice { label: format!("{}: a new ticket for them", called(one)), words })
}

/// The line with all that was said, of a known customer or of one with these details.
fn line_with(
    said: &line::Utterance,
    customer: Option<EntryName>,
    details: &Details,
) -> Option<Vec<String>> {
    let mut words = vec![said.spec.word.to_owned()];
    let mut option = |name: &str, value: Option<String>| {
        words.extend(value.into_iter().flat_map(|value| [name.to_owned(), value]));
    };
    match said.verbs.as_slice() {
        [Verb::Ticket(ticket)] => {
            let customer = customer.or(ticket.customer);
            option("--customer", customer.map(|name| name.to_string()));
            option("--note", ticket.note.as_ref().map(ToString::to_string));
        }
        [Verb::AddCustomer(add)] => option("--class", add.class.as_ref().map(ToString::to_string)),
        [] | [_, ..] => return None,
    }
    words.extend(common_words(&said.common, details));
    Some(words)
}
