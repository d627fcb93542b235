//! What can be sent to a customer, by the shop's own templates (`text.WHY`).
//!
//! Nothing of a text is recorded: a `tell` says by which means they were told what, and the template of
//! that day is on the log as a setting. Name and number are filled in here alone.

use burrline_domain::{
    State,
    house::template::{Blank, Template},
};
use burrline_terms::{
    Moment, Money, Typed as _, counted,
    words::{Means, ToldFor},
};

use super::{
    super::people::Eyes,
    Call,
    whys::{Kind, Why},
};
use crate::{details::Details, judge::Judge};

/// What can be sent.
#[derive(Debug, Default)]
pub(super) struct Sent {
    pub(super) text: String,
    pub(super) sms: String,
    pub(super) mail: String,
    /// The line that says so, without the means.
    pub(super) line: String,
}

/// Which template a reason has, and what the customer is told for by it.
const fn template(kind: Kind) -> Option<(&'static str, ToldFor)> {
    match kind {
        Kind::Ready | Kind::ReadyPaid | Kind::ThirdTry => Some(("ready", ToldFor::Ready)),
        Kind::Storage | Kind::StoragePaid => Some(("storage", ToldFor::Ready)),
        Kind::Late => Some(("delay", ToldFor::Delay)),
        Kind::Dispute | Kind::Damage | Kind::Decision | Kind::Papers => {
            Some(("question", ToldFor::Question))
        }
        Kind::Balance => Some(("balance", ToldFor::Price)),
        // Nobody is told that a day is still to come.
        Kind::Promised => None,
    }
}

/// The text for a customer: about the most urgent reason that has one, and every head that has it.
pub(super) fn text(
    state: &State,
    judge: &Judge,
    eyes: Eyes<'_>,
    call: &Call,
    to: &Details,
    now: Moment,
) -> Option<Sent> {
    let (why, purpose) = call.whys.iter().find_map(|why| template(why.kind))?;
    let of = |other: &&Why| template(other.kind).is_some_and(|(name, _)| name == why);
    let mut about: Vec<&Why> = call.whys.iter().filter(of).collect();
    about.dedup_by_key(|why| why.job);
    let settings = state.settings();
    let worded = about.first().and_then(|first| state.job(first.job)).and_then(|job| {
        // A script that fails, or writes a blank that there is not, leaves the shop's own text.
        let advice = judge.message(state, job, why, now).ok().flatten()?;
        Template::read(&advice.says).ok()
    });
    let template = worded.or_else(|| settings.text_for(why))?;
    let tags: Vec<&str> = about.iter().map(|why| why.tag.as_str()).collect();
    let owed = Money::sum(about.iter().map(|why| why.owed.max(Money::ZERO)));
    let some = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let text = template.filled(|blank| match blank {
        Blank::Name => some(&to.name),
        Blank::Shop => Some(settings.shop_name().unwrap_or("the shop").to_owned()),
        Blank::Phone => settings.shop_phone().and_then(some),
        Blank::Heads => {
            let heads = u32::try_from(tags.len()).unwrap_or(u32::MAX);
            Some(format!("{} ({})", counted(heads, "head"), tags.join(", ")))
        }
        Blank::Owed => Some(settings.shown(owed)).filter(|_| owed > Money::ZERO && eyes.see()),
        Blank::Day => about.iter().find_map(|why| why.day).map(|day| day.to_string()),
    });
    let wanted = |means: Means| !call.not_by.contains(&means);
    let sms = number(&to.phone).filter(|_| wanted(Means::Text));
    let mail = address(&to.email).filter(|_| wanted(Means::Email));
    if sms.is_none() && mail.is_none() {
        return None;
    }
    let body = encoded(&text);
    let shop = encoded(settings.shop_name().unwrap_or("the shop"));
    Some(Sent {
        // RFC 5724, from memory.
        sms: sms.map(|number| format!("sms:{number}?body={body}")).unwrap_or_default(),
        // RFC 6068, from memory.
        mail: mail.map(|to| format!("mailto:{to}?subject={shop}&body={body}")).unwrap_or_default(),
        line: format!("tell {} {}", tags.join(" "), purpose.word()),
        text,
    })
}

/// The digits of a telephone number; none where it is more than one number, or words.
fn number(phone: &str) -> Option<String> {
    let bare: String =
        phone.chars().filter(|c| !matches!(c, ' ' | '-' | '(' | ')' | '.' | '/')).collect();
    let digits = bare.strip_prefix('+').unwrap_or(&bare);
    let right = (5..=15).contains(&digits.len()) && digits.chars().all(|c| c.is_ascii_digit());
    right.then_some(bare)
}

/// A mail address for a link; none where it is none.
fn address(email: &str) -> Option<String> {
    let (who, host) = email.trim().split_once('@')?;
    let right = !who.is_empty() && host.contains('.') && !host.contains('@');
    let whole = !email.trim().contains(char::is_whitespace);
    (right && whole).then(|| format!("{}@{}", encoded(who), encoded(host)))
}

/// Text for a link: RFC 3986 leaves letters, digits and `-._~` as they are.
fn encoded(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push('%');
            out.push_str(&hex::encode_upper([byte]));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_link_has_one_number_and_a_whole_address() {
        assert_eq!(number("(555) 555-0142").as_deref(), Some("5555550142"));
        assert_eq!(number("+1 555 555 0142").as_deref(), Some("+15555550142"));
        for phone in ["", "555-0142 or 555-0199", "ask Ada", "42"] {
            assert_eq!(number(phone), None, "{phone}");
        }
        assert_eq!(
            address("ada+skulls@fenn.example").as_deref(),
            Some("ada%2Bskulls@fenn.example")
        );
        for mail in ["", "ada", "ada@", "a b@fenn.example", "a@b@c.example"] {
            assert_eq!(address(mail), None, "{mail}");
        }
        assert_eq!(encoded("120.00 to pay & go"), "120.00%20to%20pay%20%26%20go");
    }
}
