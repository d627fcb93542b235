//! Whom to call: one line a customer, what costs the shop first; gaps in papers in a list of their own.

use burrline_proto::v1;

use super::{Look, Table, Told};

impl Told for v1::CallsResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "calls",
        "calls --send",
        "tell 0417 phone no-answer",
        "tell 0417 0418 ready text sent",
        "contact 0417 text never",
    ];

    fn more() -> String {
        "Ranked by what it costs the shop: ready and not paid, told and not collected, tried too often, late, \
         in dispute, promised for the next seven days; then damage, a decision, money owed on what has left, \
         and what is ready and paid. One line a customer. Gaps in papers are a list of their own.\n\nSay what \
         came of a call with `tell`. Who was reached is off the list for some days (`set-shop call-again 7`); \
         a try in vain counts, and after three (`set-shop call-tries 3`) a letter is the next thing. Say what \
         they were told for: `ready` for a finished head alone takes it off the list and starts the storage \
         clock, from the first notice that counts (`set-shop notice \"spoke, message, sent\"`, or `\"letter, \
         sent\"`). `--send` goes through the texts one by one: copy one or open its link, and one key says \
         that it was sent; `--more` shows them all. The words are the shop's own (`set-shop text.ready`). Who \
         does not want to be texted: `contact 0417 text never`. Whether storage may be charged, what counts as \
         notice in law, and whom a shop may text, differs by state: ask."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut text = list(&self.lines, look);
        if text.is_empty() {
            text.push("nobody to call".to_owned());
        }
        if !self.papers.is_empty() {
            text.push(String::new());
            text.push(
                "gaps in papers and details, to ask about when they call or come:".to_owned(),
            );
            text.extend(list(&self.papers, look));
        }
        text
    }

    fn behind(&self, _: &Look) -> Vec<String> {
        self.lines.iter().zip(1_usize..).flat_map(|(call, n)| text(n, call)).collect()
    }
}

fn list(calls: &[v1::CallLine], look: &Look) -> Vec<String> {
    let mut table = Table::new(&["", "WHO", "PHONE", "WHY"]);
    for (n, call) in (1_usize..).zip(calls) {
        let mut why = whys(call);
        if !call.owed.is_empty() {
            why.push(format!("{} to pay", call.owed));
        }
        if !call.not_by.is_empty() {
            why.push(format!("not by {}", call.not_by.join(" or ")));
        }
        why.extend(tried(call, look));
        table.row([n.to_string(), who(call), call.phone.clone(), why.join("; ")]);
    }
    table.lines(look)
}

/// Who is called.
pub fn who(call: &v1::CallLine) -> String {
    match call.name.as_str() {
        "" if call.sealed => "sealed here".to_owned(),
        "" if call.phone.is_empty() => "nobody named".to_owned(),
        "" => "no name".to_owned(),
        name => name.to_owned(),
    }
}

/// Each reason once, with all its heads: `ready 0417 0418: not told yet`.
fn whys(call: &v1::CallLine) -> Vec<String> {
    let mut reasons: Vec<(&str, &str, Vec<&str>)> = Vec::new();
    for why in &call.whys {
        let (kind, words) = (why.kind.as_str(), why.words.as_str());
        match reasons.iter_mut().find(|(k, w, _)| (*k, *w) == (kind, words)) {
            Some((_, _, tags)) => tags.push(&why.tag),
            None => reasons.push((kind, words, vec![&why.tag])),
        }
    }
    let told = |(kind, words, tags): (&str, &str, Vec<&str>)| {
        format!("{kind} {}: {words}", tags.join(" "))
    };
    reasons.into_iter().map(told).collect()
}

fn tried(call: &v1::CallLine, look: &Look) -> Option<String> {
    let (last, at) = (call.last.as_str(), look.time(call.last_ms));
    match (call.tries, last) {
        (_, "") => None,
        (0, last) => Some(format!("last {at} {last}")),
        (1, last) => Some(format!("tried once: {at} {last}")),
        (n, last) => Some(format!("tried {n} times, last {at} {last}")),
    }
}

/// What can be sent to one customer: the text, its links, and the line that says it was.
pub fn text(n: usize, call: &v1::CallLine) -> Vec<String> {
    if call.sent.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![format!("{n}  {}", who(call)), format!("   {}", call.text)];
    for (link, means) in [(&call.sms, "text"), (&call.mail, "email")] {
        if !link.is_empty() {
            lines.push(format!("   {link}"));
            lines.push(format!("   once it was sent: burrline {} {means} sent", call.sent));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use burrline_terms::Moment;
    use jiff::tz::TimeZone;

    use super::*;

    #[test]
    fn a_customer_is_one_line_with_all_their_heads() {
        let why = |tag: &str, kind: &str, words: &str| v1::CallWhy {
            tag: tag.to_owned(),
            job: None,
            kind: kind.to_owned(),
            words: words.to_owned(),
        };
        let call = v1::CallLine {
            name: "Ada Fenn".to_owned(),
            phone: "555-0142".to_owned(),
            whys: vec![
                why("0417", "ready", "not told yet"),
                why("0418", "ready", "not told yet"),
                why("0420", "late", "promised for today, and not ready"),
            ],
            owed: "180.00".to_owned(),
            not_by: vec!["text".to_owned()],
            ..v1::CallLine::default()
        };
        let answer = v1::CallsResponse { lines: vec![call], papers: Vec::new() };
        let look = Look { zone: TimeZone::UTC, now: Moment(0), width: None, color: false };
        assert_eq!(
            answer.text(&look).last().map(String::as_str),
            Some(
                "1  Ada Fenn  555-0142  ready 0417 0418: not told yet; late 0420: promised for today, and \
                 not ready; 180.00 to pay; not by text"
            )
        );
        assert!(answer.behind(&look).is_empty());
    }
}
