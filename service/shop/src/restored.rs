//! `burrline-shop restored`: a folder was put back from a backup, or its shop goes on without the rest.

use std::{path::PathBuf, process::ExitCode};

use burrline_server::shop::{Folder, Wish};
use burrline_terms::{Phrase, Typed as _};
use clap::Args;
use serde_json::json;

use crate::{owner, told::Told};

/// Which folder, and whether its shop goes on.
#[derive(Debug, Args)]
pub struct RestoredArgs {
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    pub data: PathBuf,
    /// Go on without what nobody could give back, and say so on the log with these words
    #[arg(long, value_name = "WORDS")]
    pub go_on: Option<String>,
    /// How many records the backup had, where other records took the places of what was lost
    #[arg(long, value_name = "N", requires = "go_on")]
    pub from: Option<u32>,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
}

/// Notes that a folder was put back, or that its shop goes on; the server may be running.
///
/// # Errors
/// If the folder holds no shop or cannot be written, or the words cannot be said.
pub fn restored(args: &RestoredArgs) -> anyhow::Result<ExitCode> {
    owner::become_owner_of(&args.data)?;
    let folder = Folder::of_shop(&args.data)?;
    let words = if let Some(words) = &args.go_on {
        Wish { from: args.from, words: Phrase::read(words)? }.leave(folder.root())?;
        "At its start, or when the next bench gets in touch, the shop says on its log what it lost,\n\
         and takes new lines again. Benches that come later are told.\n"
            .to_owned()
    } else {
        folder.mark_put_back()?;
        format!(
            "From its next start the shop takes nothing new until every bench that it knows has been in\n\
             touch and has given back what it has; each does so by itself. Without those that are gone\n\
             for good: burrline-shop restored --data {} --go-on WHY\n",
            args.data.display()
        )
    };
    let json = json!({"data": args.data.display().to_string(), "goesOn": args.go_on.is_some()});
    Told::new(words.trim_end(), json).print(args.json)?;
    Ok(ExitCode::SUCCESS)
}
