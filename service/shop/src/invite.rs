//! `burrline-shop invite`: a code that a bench joins with.

use std::{path::PathBuf, process::ExitCode};

use burrline_server::shop::{Clock as _, Folder, MachineClock};
use burrline_terms::{Typed as _, words::Role};
use burrline_tls::{code::JoinCode, fingerprint::Fingerprint};
use clap::Args;
use serde_json::json;

use crate::{owner, told::Told};

/// What a code is for.
#[derive(Debug, Args)]
pub struct InviteArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    pub data: PathBuf,
    /// What the bench may say: viewer, bench, counter or owner
    #[arg(long, default_value = "bench")]
    pub role: String,
    /// How many benches the code is for
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub benches: u32,
    /// How many hours the code is good for
    #[arg(long, default_value_t = 24, value_parser = clap::value_parser!(u16).range(1..=720))]
    pub hours: u16,
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
    let folder = Folder::of_shop(&args.data)?;
    let hours = i64::from(args.hours);
    let until = MachineClock.now().plus(hours.saturating_mul(3_600_000));
    let shop = Some(Fingerprint::of(Folder::shop_key_in(&args.data)?));
    let secret = folder.invites().make(role, args.benches, until)?;
    let code = JoinCode { secret, shop };
    let address = folder.door().unwrap_or_else(|| "ADDRESS".to_owned());
    let benches = match args.benches {
        1 => format!("1 {role} bench"),
        count => format!("{count} {role} benches, each its own"),
    };
    let words = format!(
        "{code}\nFor {benches}, for {hours} h. At the bench:\n  \
         burrline join {address} --code {code} --name NAME --role {role}\n"
    );
    let json = json!({
        "code": code.to_string(), "role": role.to_string(), "benches": args.benches, "until": until.show(),
    });
    Told::new(words.trim_end(), json).print(args.json)?;
    Ok(ExitCode::SUCCESS)
}
