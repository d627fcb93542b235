//! The desk: calls, takings, ends and who collects.

use burrline_proto::v1;
use burrline_terms::{Day, counted};
use serde_json::json;

use super::{Look, Page, Table, lines::skull_json, look::Ink, skull};

/// Whom to call, and why.
pub fn calls(answer: &v1::CallsResponse, look: &Look) -> Page {
    let mut page = Page::default();
    for (n, call) in (1_usize..).zip(&answer.lines) {
        let who = match (call.name.as_str(), call.phone.as_str()) {
            ("", "") if call.sealed => "a customer whose name is sealed here".to_owned(),
            ("", "") => "nobody was named".to_owned(),
            ("", phone) => phone.to_owned(),
            (name, "") => format!("{name}, no number"),
            (name, phone) => format!("{name}, {phone}"),
        };
        let tried = match (call.tries, call.last.as_str()) {
            (_, "") => String::new(),
            (0, last) => format!("  (last {} {last})", look.time(call.last_ms)),
            (1, last) => format!("  (tried once: {} {last})", look.time(call.last_ms)),
            (n, last) => format!("  (tried {n} times, last {} {last})", look.time(call.last_ms)),
        };
        page.text.push(look.ink(Ink::Heading, &format!("{n}  {who}{tried}")));
        for why in &call.whys {
            page.text.push(format!("   {:<6} {:<9} {}", why.tag, why.kind, why.words));
        }
        let whys: Vec<_> = call
            .whys
            .iter()
            .map(|why| {
                json!({"tag": why.tag, "job": super::entry(why.job.as_ref()), "kind": why.kind,
                       "words": why.words})
            })
            .collect();
        page.json.push(json!({
            "name": call.name, "phone": call.phone, "sealed": call.sealed,
            "urgency": call.urgency, "whys": whys, "tries": call.tries,
            "last": (call.last_ms != 0).then(|| look.stamp(call.last_ms)), "how": call.last,
        }));
    }
    if page.text.is_empty() {
        page.text.push("nobody to call".to_owned());
    }
    page
}

/// What was taken from one day to another.
pub fn takings(answer: &v1::TakingsResponse, from: Day, to: Day, look: &Look) -> Page {
    let when = if from == to { from.to_string() } else { format!("{from} to {to}") };
    let mut text = vec![format!("takings {when}"), String::new()];
    let line = |what: &str, amount: &str| format!("{what:<38}{amount:>12}");
    for means in &answer.by_means {
        if means.payments > 0 {
            let what = format!("{}, {}", means.means, counted(means.payments, "payment"));
            text.push(line(&what, &means.taken));
        }
        if means.refunds > 0 {
            let what = format!("{}, {}", means.means, counted(means.refunds, "refund"));
            text.push(line(&what, &format!("-{}", means.given_back)));
        }
    }
    text.push(line("taken less given back", &answer.net));
    text.push(String::new());
    text.push(line("held for work not handed over, before", &answer.held_before));
    text.push(line("no longer held: its job has ended", &less(&answer.settled)));
    text.push(line("held for work not handed over, now", &answer.held_after));
    if nonzero(&answer.on_no_job) {
        text.push(line("on no job yet; see `burrline clashes`", &answer.on_no_job));
    }
    text.push(String::new());
    text.push(line(&format!("earned: {} handed over or sent", answer.handed_over), &answer.earned));
    text.push(line("  tax in it", &answer.earned_tax));
    text.push(line("owed on what was handed over or sent", &answer.owed_after));
    if nonzero(&answer.kept_otherwise) {
        text.push(line("kept of jobs that ended otherwise", &answer.kept_otherwise));
    }
    text.extend(by_others(answer, look));
    if !answer.otherwise.is_empty() {
        text.push(String::new());
        text.push("ended otherwise:".to_owned());
        text.extend(answer.otherwise.iter().map(|words| format!("  {words}")));
    }
    text.push(String::new());
    text.push(
        "Whether tax is owed on what was taken or on what was earned: ask the tax office."
            .to_owned(),
    );
    let by_means: Vec<_> = answer
        .by_means
        .iter()
        .map(|m| {
            json!({"means": m.means, "payments": m.payments, "taken": m.taken,
                   "refunds": m.refunds, "given_back": m.given_back})
        })
        .collect();
    let by_others: Vec<_> = answer
        .by_others
        .iter()
        .map(|paid| {
            let tag = paid.skull.as_ref().map(|skull| skull.tag.clone());
            json!({"tag": tag, "name": paid.name, "amount": paid.amount, "means": paid.means,
                   "at_ms": paid.at_ms})
        })
        .collect();
    let object = json!({
        "from": from.to_string(), "to": to.to_string(), "by_means": by_means,
        "taken": answer.taken, "given_back": answer.given_back, "net": answer.net,
        "held_before": answer.held_before, "settled": answer.settled,
        "held_after": answer.held_after, "on_no_job": answer.on_no_job,
        "earned": answer.earned, "earned_tax": answer.earned_tax,
        "handed_over": answer.handed_over, "owed_after": answer.owed_after,
        "by_others": by_others,
        "otherwise": answer.otherwise, "kept_otherwise": answer.kept_otherwise,
    });
    Page { text, json: vec![object] }
}

/// Payments that somebody else than the customer gave.
fn by_others(answer: &v1::TakingsResponse, look: &Look) -> Vec<String> {
    if answer.by_others.is_empty() {
        return Vec::new();
    }
    let line = |paid: &v1::PaidByAnother| {
        let skull = paid.skull.as_ref().map(skull).unwrap_or_default();
        let who = if paid.name.is_empty() { "somebody whose key is gone" } else { &paid.name };
        let what = format!("{} {}", paid.amount, paid.means);
        format!("  {}  {skull}: {} by {who}", look.time(paid.at_ms), what.trim_end())
    };
    let heading = ["", "paid by somebody else than the customer:"].map(str::to_owned);
    heading.into_iter().chain(answer.by_others.iter().map(line)).collect()
}

/// The amount with its other sign.
fn less(amount: &str) -> String {
    match amount.strip_prefix('-') {
        Some(more) => more.to_owned(),
        None if nonzero(amount) => format!("-{amount}"),
        None => amount.to_owned(),
    }
}

fn nonzero(amount: &str) -> bool {
    amount.chars().any(|c| c.is_ascii_digit() && c != '0')
}

/// How jobs ended, other than by hand-over.
pub fn ends(answer: &v1::EndsResponse, look: &Look) -> Page {
    let mut table = Table::new(&["DAY", "SKULL", "HOW", "WORDS", "STILL HERE"]);
    let mut page = Page::default();
    for line in &answer.lines {
        let whose = line.skull.as_ref().map(skull).unwrap_or_default();
        let here = line.left_here.join(", ");
        table.row([line.day.clone(), whose, line.how.clone(), line.words.clone(), here]);
        page.json.push(json!({
            "skull": line.skull.as_ref().map(|skull| skull_json(skull, look)), "day": line.day,
            "how": line.how, "words": line.words, "left_here": line.left_here,
        }));
    }
    page.text = table.lines(look);
    if page.text.is_empty() {
        page.text.push("every job that ended was handed over, whole".to_owned());
    }
    page
}

/// What to see to before a skull leaves.
pub fn collect(answer: &v1::CollectResponse, look: &Look) -> Page {
    let mut text: Vec<String> = answer.skull.iter().map(skull).collect();
    let mut line = |what: &str, words: &str| {
        if !words.is_empty() {
            text.push(format!("  {what}: {words}"));
        }
    };
    line("customer", &answer.customer);
    line("may collect", &answer.collectors.join(", "));
    line("to pay for it", &answer.owed);
    line("to pay on the whole ticket", &answer.owed_on_ticket);
    line("not with it", &answer.parts_away.join(", "));
    for words in &answer.against {
        line("first", words);
    }
    for words in &answer.damage {
        line("show the damage", words);
    }
    for other in &answer.others {
        line("still here on the ticket", &skull(other));
    }
    let others: Vec<_> = answer.others.iter().map(|line| skull_json(line, look)).collect();
    let object = json!({
        "skull": answer.skull.as_ref().map(|skull| skull_json(skull, look)),
        "customer": answer.customer, "collectors": answer.collectors, "owed": answer.owed,
        "owed_on_ticket": answer.owed_on_ticket, "parts_away": answer.parts_away,
        "against": answer.against, "damage": answer.damage, "others": others,
    });
    Page { text, json: vec![object] }
}
