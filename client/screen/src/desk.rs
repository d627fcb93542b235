//! The desk: takings, the tax return, ends and who collects.

use burrline_present::{cautions::Danger, named::skull};
use burrline_proto::v1;
use burrline_terms::counted;

use super::{Look, Table, Told, books::brief};

impl Told for v1::TakingsResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "takings day",
        "takings yesterday",
        "takings day --on 2026-11-14",
        "takings month --on 2026-11 --json",
    ];

    fn more() -> String {
        "Held is what was paid for work that has not left: it is the customers' until then. Earned is what \
         the jobs that were handed over or sent were charged, with the tax in it. Whether tax is owed on \
         what was taken or on what was earned is for the tax office to say. For a counter and for the \
         owner."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        takings(self, look)
    }
}

/// What was taken from one day to another.
fn takings(answer: &v1::TakingsResponse, look: &Look) -> Vec<String> {
    let (from, to) = (&answer.from_day, &answer.to_day);
    let when = if from == to { from.clone() } else { format!("{from} to {to}") };
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
    text.extend(tills(answer, look));
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
    if nonzero(&answer.tips) {
        text.push(line("tips with it, the hands' and no sale", &answer.tips));
    }
    if nonzero(&answer.old_balances) {
        text.push(line("old balances with it, sold before", &answer.old_balances));
    }
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
    text
}

/// What the tills of these days have, where that is not what happened in them.
fn tills(answer: &v1::TakingsResponse, look: &Look) -> Vec<String> {
    let (away, from) = (&answer.in_other_tills, &answer.of_other_days);
    if away.is_empty() && from.is_empty() {
        return Vec::new();
    }
    let mut text = vec![format!("{:<38}{:>12}", "in the tills of these days", answer.in_tills)];
    if !away.is_empty() {
        text.extend([String::new(), "in the till of another day:".to_owned()]);
        text.extend(away.iter().map(|m| format!("  {}  in the till of {}", brief(m, look), m.day)));
    }
    if !from.is_empty() {
        text.extend([String::new(), "in these tills, but it happened on another day:".to_owned()]);
        text.extend(from.iter().map(|m| format!("  till of {}: {}", m.day, brief(m, look))));
    }
    text
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

impl Told for v1::TaxReturnResponse {
    const EXAMPLES: &'static [&'static str] =
        &["tax-return", "tax-return 2026-11", "tax-return 2026-10-01..2026-12-31 --json"];

    fn more() -> String {
        "Sold is what was handed over or sent, less what was given back of it, as in `takings`. The tax of a \
         price is what the customer heard; only how it is shared over the parts of the rate is reckoned. A \
         charge or a price that was said as one sum is tax and all. Rates: `set-shop tax-rate`, by county \
         `set-shop tax-rate.COUNTY`; lines that are taxed: `set-shop taxed`; exempt customers: `taxed-as`. \
         What is taxed, at which rate, and whether a return goes by what was sold or by what was taken, is \
         the law of the place: ask the tax office. For a counter and for the owner."
            .to_owned()
    }

    fn text(&self, _: &Look) -> Vec<String> {
        tax_return(self)
    }
}

/// What was sold in some days, and its tax.
fn tax_return(answer: &v1::TaxReturnResponse) -> Vec<String> {
    let line = |what: &str, amount: &str| format!("{what:<38}{amount:>12}");
    let (from, to) = (&answer.from_day, &answer.to_day);
    let mut text = vec![format!("sold {from} to {to}"), String::new()];
    text.push(line("sold, tax and all", &answer.sold));
    text.push(line("  tax in it", &answer.tax));
    text.push(line("  taxed, before tax", &answer.taxed));
    text.push(line("  bought by exempt customers", &answer.exempt));
    text.push(line("  not taxed", &answer.untaxed));
    if nonzero(&answer.no_sale) {
        text.push(line("tips and old balances: no sale", &answer.no_sale));
    }
    if !answer.lines.is_empty() {
        text.extend([String::new(), format!("{:<26}{:>12}{:>12}", "BY RATE", "TAXED", "TAX")]);
    }
    for part in &answer.lines {
        let rate = format!("{} {} %", part.name, part.percent);
        text.push(format!("{:<26}{:>12}{:>12}", rate.trim(), part.taxed, part.tax));
    }
    if !answer.exempt_sales.is_empty() {
        text.extend([String::new(), "exempt:".to_owned()]);
    }
    for sale in &answer.exempt_sales {
        let whose = sale.skull.as_ref().map(skull).unwrap_or_default();
        let certificate = match sale.certificate.as_str() {
            "" => "no certificate was noted",
            words => words,
        };
        text.push(format!("  {whose}: {}, {certificate}", sale.amount));
    }
    text.push(String::new());
    text.push("What is taxed, and by which day a sale counts: ask the tax office.".to_owned());
    text
}

/// The amount with its other sign.
fn less(amount: &str) -> String {
    match amount.strip_prefix('-') {
        Some(more) => more.to_owned(),
        None if nonzero(amount) => format!("-{amount}"),
        None => amount.to_owned(),
    }
}

pub(crate) fn nonzero(amount: &str) -> bool {
    amount.chars().any(|c| c.is_ascii_digit() && c != '0')
}

impl Told for v1::EndsResponse {
    const EXAMPLES: &'static [&'static str] = &["ends", "ends --from 2026-11-01"];

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["DAY", "SKULL", "HOW", "WORDS", "STILL HERE"]);
        for line in &self.lines {
            let whose = line.skull.as_ref().map(skull).unwrap_or_default();
            let here = line.left_here.join(", ");
            table.row([line.day.clone(), whose, line.how.clone(), line.words.clone(), here]);
        }
        let text = table.lines(look);
        if text.is_empty() {
            return vec!["every job that ended was handed over, whole".to_owned()];
        }
        text
    }
}

impl Told for v1::SalesResponse {
    const EXAMPLES: &'static [&'static str] =
        &["sales", "sales --from 2026-11-01", "sell 0417 250 cash --name \"Ida Brook\""];

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["SOLD", "SKULL", "PRICE", "OWED", "TO WHOM", "PAPERS"]);
        for line in &self.sold {
            let whose = line.skull.as_ref().map(skull).unwrap_or_default();
            table.row([
                line.day.clone(),
                whose,
                line.price.clone(),
                line.owed.clone(),
                line.buyer.clone(),
                line.papers.clone(),
            ]);
        }
        let mut text = table.lines(look);
        text.push(format!("sold: {}, {} in all, tax and all", self.sold.len(), self.sum));
        text.push(format!("of the shop's own, here: {}", self.here.len()));
        text.extend(self.here.iter().map(|own| format!("  {}", skull(own))));
        text.push(String::new());
        text.push(Danger::Sale.words().to_owned());
        text
    }
}

impl Told for v1::CollectResponse {
    const EXAMPLES: &'static [&'static str] =
        &["collect 0417", "person 0417 collector --name \"Bo Tarn\""];

    fn more() -> String {
        "Who may collect it, what is owed, pieces that are not with it, what else keeps it here, and \
         damage to show. Its measures, points, marks and photos of before the work are compared with now, so \
         that no other head goes home: look at it beside its photo, and say `recognize 0417 yes`. \
         `hand-over` asks the same before it is said."
            .to_owned()
    }

    fn text(&self, _: &Look) -> Vec<String> {
        collect(self)
    }
}

/// What to see to before a skull leaves.
fn collect(answer: &v1::CollectResponse) -> Vec<String> {
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
    for words in &answer.money {
        line("money", words);
    }
    line("not with it", &answer.parts_away.join(", "));
    for words in &answer.against {
        line("first", words);
    }
    for words in &answer.damage {
        line("show the damage", words);
    }
    for words in &answer.as_it_came {
        line("is it the head", words);
    }
    for other in &answer.others {
        line("still here on the ticket", &skull(other));
    }
    text
}
