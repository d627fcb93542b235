//! Join codes that an owner's bench gives out.

use burrline_bench::{Bench, Ending, Error};
use burrline_paper::codes::drawn;
use burrline_proto::{Wire as _, v1};
use burrline_screen::Page;
use burrline_terms::{Moment, Typed as _, words::Role};
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::terminal::Terminal;

/// The commands.
pub fn commands() -> [Command; 2] {
    let invite = Command::new("invite")
        .about("Make a code that a new bench joins with")
        .long_about(
            "Make a code that a new bench joins with; for an owner's bench. It is good for one bench, for \
             one role or a lesser one, and for an hour. Its last 16 letters are the fingerprint of the \
             shop's key, by which the new bench knows that nobody stands in between.",
        )
        .after_help(
            "Examples:\n  burrline invite yard-2\n  burrline invite desk --role counter --minutes 30\n  \
             burrline invites\n  burrline invites --withdraw 51422",
        )
        .args([
            Arg::new("name")
                .value_name("NAME")
                .help("What the bench is to be called; without it, the bench says so itself"),
            Arg::new("role")
                .long("role")
                .value_name("ROLE")
                .default_value("bench")
                .help("What it may say: viewer, bench, counter or owner"),
            Arg::new("minutes")
                .long("minutes")
                .value_name("MINUTES")
                .default_value("60")
                .value_parser(clap::value_parser!(u32).range(1..=43_200))
                .help("How long the code is good"),
        ]);
    let invites = Command::new("invites")
        .about("List the join codes that are good; take one back")
        .after_help("Examples:\n  burrline invites\n  burrline invites --withdraw 51422")
        .arg(
            Arg::new("withdraw")
                .long("withdraw")
                .value_name("NUMBER")
                .value_parser(clap::value_parser!(u32).range(1..))
                .help("Take back the code with this number of the list"),
        );
    [invite, invites]
}

/// Makes a code.
///
/// # Errors
/// If the shop is out of reach, or this is no owner's bench.
pub async fn invite(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let text = |id: &str| matches.get_one::<String>(id).cloned().unwrap_or_default();
    let (name, role) = (text("name"), Role::read(&text("role"))?);
    let minutes = matches.get_one("minutes").copied().unwrap_or(60);
    let request =
        v1::InviteRequest { role: role.number(), bench_name: name.clone(), benches: 1, minutes };
    let made = bench.connection().invite(request).await?;
    // Where this bench reaches the shop, another one does.
    let address = made.addresses.first().cloned().unwrap_or_else(|| bench.settings().shop.clone());
    let called = if name.is_empty() { " --name NAME" } else { "" };
    let bare = format!("burrline join {address} --code {}", made.code);
    let line = format!("{bare}{called}");
    let whom = whom(role.as_ref(), &name, 1);
    let short: String = made.code.chars().take(14).collect();
    let mut words = vec![
        made.code.clone(),
        format!("For {whom}, for {minutes} min. At the new bench:"),
        format!("  {line}"),
        "Or `burrline join` alone, which looks for the shop. The shop's fingerprint, to compare, is".to_owned(),
        format!("  {}", made.spoken),
        format!("and the short code is {short}"),
    ];
    words.extend(drawn(&bare).iter().flat_map(|drawn| drawn.lines()).map(str::to_owned));
    terminal.page(&Page {
        text: words,
        json: vec![json!({
            "code": made.code, "role": role.to_string(), "name": name, "line": line,
            "fingerprint": made.code.get(15..), "spoken": made.spoken, "addresses": made.addresses,
            "until": Moment(made.until_ms).show(),
        })],
    });
    Ok(Ending::Done)
}

/// Lists codes, and takes one back.
///
/// # Errors
/// If the shop is out of reach, this is no owner's bench, or there is no such code.
pub async fn invites(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    let withdraw = matches.get_one("withdraw").copied().unwrap_or_default();
    let listed = bench.connection().invites(v1::InvitesRequest { withdraw }).await?.invites;
    let text = if listed.is_empty() {
        vec!["there are no open join codes".to_owned()]
    } else {
        listed.iter().map(|one| in_words(&bench, one)).collect()
    };
    let json = listed.iter().map(|one| {
        json!({
            "number": one.number, "role": role(one), "name": one.bench_name, "benches": one.benches,
            "until": Moment(one.until_ms).show(),
        })
    });
    terminal.page(&Page { text, json: json.collect() });
    Ok(Ending::Done)
}

fn role(one: &v1::Invited) -> String {
    Role::from_item(&one.role).map(|role| role.to_string()).unwrap_or_default()
}

fn in_words(bench: &Bench, one: &v1::Invited) -> String {
    let whom = whom(&role(one), &one.bench_name, one.benches);
    let until = burrline_present::view::Zone(bench.zone()).time(Moment(one.until_ms), None);
    format!("{:>7}  for {whom}, until {until}", one.number)
}

/// For whom a code is.
fn whom(role: &str, name: &str, benches: u32) -> String {
    match (name, benches) {
        ("", 1) => format!("one bench, role {role}"),
        ("", count) => format!("{count} benches, role {role}"),
        (name, _) => format!("{name}, role {role}"),
    }
}
