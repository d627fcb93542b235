//! Enrolment of this bench at a shop.

use burrline_bench::{
    Bench, Ending, Error, SystemClock,
    nearby::{self, Near},
};
use burrline_screen::Page;
use burrline_terms::{Typed as _, words::Role};
use burrline_tls::code::JoinCode;
use clap::{Arg, ArgMatches, Command};
use serde_json::json;

use super::terminal::{Chosen, Terminal};

/// The command.
pub fn command() -> Command {
    Command::new("join")
        .about("Join a shop with a join code")
        .long_about(
            "Join a shop with a join code, which `burrline invite` at the owner's bench gives, or \
             `burrline-shop invite` at the server. Alone, it looks for the shop in this network, shows \
             the fingerprint of its key as words, and asks for the rest.",
        )
        .after_help(
            "Examples:\n  burrline join\n  burrline join 192.168.1.20:7417 --code CODE\n  \
             burrline join shop.local --code CODE --name yard-1",
        )
        .args([
            Arg::new("url").value_name("ADDRESS").requires("code").help("The shop's address"),
            Arg::new("code").long("code").value_name("CODE").help("The join code, as it was given"),
            Arg::new("name")
                .long("name")
                .value_name("NAME")
                .help("What the bench is called, where its code does not say so"),
            Arg::new("role")
                .long("role")
                .value_name("ROLE")
                .help("What it may say: viewer, bench, counter or owner; without it, as its code says"),
        ])
}

/// Joins.
///
/// # Errors
/// If the folder is a bench already, the shop is out of reach, or it refuses the code.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let text = |id: &str| matches.get_one::<String>(id).cloned();
    let role = text("role").map(|role| Role::read(&role)).transpose()?;
    let dir = super::folder(matches)?;
    let (url, code) = match (text("url"), text("code")) {
        (Some(url), Some(code)) => (url, code),
        (_, code) => found(code, terminal).await?,
    };
    let name = text("name");
    let joined = Bench::join_as(&dir, &url, &code, name.as_deref(), role).await;
    let mut bench = match joined {
        // The one thing that neither the line nor the code said.
        Err(Error::NameWanted(words)) => {
            let named = terminal.ask("What is this bench called, such as yard-1?");
            let Some(named) = named else { return Err(Error::NameWanted(words)) };
            Bench::join_as(&dir, &url, &code, Some(&named), role).await?
        }
        joined => joined?,
    };
    terminal.watch(&mut bench);
    // Without a copy it has joined all the same, and the next command fetches it.
    if let Err(error) = bench.catch_up(&SystemClock, None).await {
        terminal.tell(&format!("no copy of the shop yet: {error}"));
    }
    let settings = bench.settings();
    terminal.page(&Page {
        text: vec![format!("{} joined {}", settings.name, settings.shop_name)],
        json: vec![json!({
            "bench": settings.name, "shop": settings.shop_name, "life": settings.life,
            "zone": settings.zone, "folder": dir.display().to_string(),
        })],
    });
    Ok(Ending::Done)
}

/// The shop that is meant of those in this network, and the whole code for it.
async fn found(code: Option<String>, terminal: &Terminal) -> Result<(String, String), Error> {
    let code = code.map(|code| code.parse::<JoinCode>()).transpose();
    let code = code.map_err(|bad| Error::usage(bad.to_string()))?;
    terminal.tell("looking for a shop in this network ...");
    let mut near = nearby::shops().await?;
    // A whole code says which shop is meant, and it proved to be that one.
    if let Some(shop) = code.as_ref().and_then(|code| code.shop) {
        near.retain(|near| near.key == shop);
    }
    let none = || {
        Error::Refused(
            "no shop answers in this network. Is the server on, does it `--listen` on 0.0.0.0:7417, and is \
             this the same network? Else type its address: burrline join ADDRESS --code CODE"
                .to_owned(),
        )
    };
    let one = match near.as_slice() {
        [] => return Err(none()),
        [one] => one.clone(),
        several => chosen(several, terminal)?,
    };
    if let Some(code) = code.clone().filter(|code| code.shop.is_some()) {
        return Ok((one.address.to_string(), code.to_string()));
    }
    let question = format!(
        "{} answers at {}. The fingerprint of its key is\n  {}\nDoes `burrline invite` or `burrline-shop \
         invite` show the same five words?",
        one.name,
        one.address,
        one.key.spoken()
    );
    match terminal.sure(&question) {
        Some(true) => {}
        Some(false) => {
            let words = "not joined: whoever answers there is another shop, or somebody in between. Ask the \
                         owner, and type the whole code: burrline join ADDRESS --code CODE";
            return Err(Error::Refused(words.to_owned()));
        }
        None => {
            let words =
                "nobody is here to compare the fingerprint: type burrline join ADDRESS --code CODE";
            return Err(Error::usage(words));
        }
    }
    let code = if let Some(code) = code {
        code
    } else {
        let typed = terminal.ask("The join code (its first 12 letters are enough):");
        let typed = typed.ok_or_else(|| Error::usage("without a join code nobody joins"))?;
        typed.parse().map_err(|bad| Error::usage(format!("{bad}")))?
    };
    let code = JoinCode { shop: Some(code.shop.unwrap_or(one.key)), ..code };
    Ok((one.address.to_string(), code.to_string()))
}

/// Which of several is meant.
fn chosen(several: &[Near], terminal: &Terminal) -> Result<Near, Error> {
    let lines: Vec<String> = several
        .iter()
        .map(|near| format!("{} at {}, {}", near.name, near.address, near.key.spoken()))
        .collect();
    match terminal.which("Which shop?", &lines) {
        Some(Chosen::This(at)) => several.get(at).cloned(),
        Some(Chosen::LeaveOff) | None => None,
    }
    .ok_or_else(|| {
        let all = lines.join("\n  ");
        Error::usage(format!("several shops answer; type the address of yours:\n  {all}"))
    })
}
