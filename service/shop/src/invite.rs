//! `burrline-shop invite`: a code that a bench joins with; `burrline-shop invites`: those that are good.

use std::{path::PathBuf, process::ExitCode};

use anyhow::ensure;
use burrline_server::shop::{Asked, Clock as _, Folder, Listed, MachineClock};
use burrline_terms::{Name, Typed as _, words::Role};
use burrline_tls::{code::JoinCode, fingerprint::Fingerprint};
use clap::Args;
use qrcode::{EcLevel, QrCode, render::unicode::Dense1x2};
use serde_json::json;

use crate::{owner, told::Told};

/// What a code is for.
#[derive(Debug, Args)]
pub struct InviteArgs {
    /// What the bench is to be called; without it, the bench says so itself
    pub name: Option<String>,
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    pub data: PathBuf,
    /// What the bench may say: viewer, bench, counter or owner
    #[arg(long, default_value = "bench")]
    pub role: String,
    /// How many benches the code is for
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000),
        conflicts_with = "name")]
    pub benches: u32,
    /// How many hours the code is good for
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=720))]
    pub hours: u16,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
}

/// The codes of a folder.
#[derive(Debug, Args)]
pub struct InvitesArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    pub data: PathBuf,
    /// Take back the code with this number of the list
    #[arg(long, value_name = "NUMBER")]
    pub withdraw: Option<u32>,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
}

/// Makes a code and prints it with what to type; the server may be running.
///
/// # Errors
/// If there is no such role, or the folder holds no shop or cannot be written.
pub fn invite(args: &InviteArgs) -> anyhow::Result<ExitCode> {
    owner::become_owner_of(&args.data)?;
    let role = Role::read(&args.role)?;
    let name = args.name.as_deref().map(Name::read).transpose()?;
    let folder = Folder::of_shop(&args.data)?;
    let until = MachineClock.now().plus(i64::from(args.hours).saturating_mul(3_600_000));
    let shop = Fingerprint::of(Folder::shop_key_in(&args.data)?);
    let asked = Asked { role, benches: args.benches, name: name.clone() };
    let secret = folder.invites().make(asked, until)?;
    let code = JoinCode { secret, shop: Some(shop) };
    let addresses = folder.addresses();
    let whom = whom(role, name.as_ref(), args.benches);
    let address = addresses.first().map_or("ADDRESS", String::as_str);
    let called = if name.is_some() { "" } else { " --name NAME" };
    let bare = format!("burrline join {address} --code {code}");
    let line = format!("{bare}{called}");
    let mut words = vec![
        code.to_string(),
        format!("For {whom}, for {} h. At the bench:\n  {line}", args.hours),
    ];
    if addresses.len() > 1 {
        words.push(format!(
            "The shop is also at {}",
            addresses.get(1..).unwrap_or_default().join(", ")
        ));
    }
    words.push(format!(
        "Or `burrline join` alone, which looks for the shop. The shop's fingerprint, to compare, is\n  {}\nand the short code is \
         {}",
        shop.spoken(),
        code.secret
    ));
    if let Some(drawn) = drawn(&bare).filter(|_| !args.json) {
        words.push(drawn);
    }
    let json = json!({
        "code": code.to_string(), "role": role.to_string(), "name": name.map(|name| name.to_string()),
        "benches": args.benches, "until": until.show(), "addresses": addresses,
        "fingerprint": shop.to_string(), "spoken": shop.spoken(),
    });
    Told::new(words.join("\n"), json).print(args.json)?;
    Ok(ExitCode::SUCCESS)
}

/// Lists the codes that are good, and takes one back.
///
/// # Errors
/// If the folder holds no shop, cannot be read or written, or there is no such code.
pub fn invites(args: &InvitesArgs) -> anyhow::Result<ExitCode> {
    owner::become_owner_of(&args.data)?;
    let invites = Folder::of_shop(&args.data)?.invites();
    if let Some(number) = args.withdraw {
        let there_was = invites.withdraw(number)?;
        ensure!(
            there_was,
            "there is no code {number} any more; `burrline-shop invites` lists them"
        );
    }
    let all = invites.list(MachineClock.now())?;
    let words = if all.is_empty() {
        "there are no open join codes".to_owned()
    } else {
        all.iter().map(in_words).collect::<Vec<_>>().join("\n")
    };
    let json = all.iter().map(|one| {
        json!({
            "number": one.number, "role": one.asked.role.to_string(), "benches": one.asked.benches,
            "name": one.asked.name.as_ref().map(ToString::to_string), "until": one.until.show(),
        })
    });
    Told::new(&words, json!({ "invites": json.collect::<Vec<_>>() })).print(args.json)?;
    Ok(ExitCode::SUCCESS)
}

fn in_words(one: &Listed) -> String {
    let Asked { role, benches, name } = &one.asked;
    let whom = whom(*role, name.as_ref(), *benches);
    format!("{:>7}  for {whom}, until {}", one.number, one.until.show())
}

/// For whom a code is.
fn whom(role: Role, name: Option<&Name>, benches: u32) -> String {
    match (name, benches) {
        (Some(name), _) => format!("{name}, role {role}"),
        (None, 1) => format!("one bench, role {role}"),
        (None, count) => format!("{count} benches, role {role}"),
    }
}

/// A code for a camera, as letters of a terminal; none if it is too long for one.
fn drawn(text: &str) -> Option<String> {
    let code = QrCode::with_error_correction_level(text, EcLevel::L).ok()?;
    Some(code.render::<Dense1x2>().build())
}
