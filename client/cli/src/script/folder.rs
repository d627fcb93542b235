//! All scripts in use as a folder of files, and such a folder installed as a whole: for another shop, or
//! for a repository of the owner's.

use std::path::{Path, PathBuf};

use burrline_bench::{Ending, Error};
use burrline_host::Kind;
use burrline_scripts::{local::Source, numbers};
use burrline_terms::{Name, Typed as _};
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{keep, text};
use crate::terminal::Terminal;

/// The subfolders, each with the kind of what is in it.
const KINDS: [(&str, Kind); 2] = [("pricing", Kind::Pricing), ("stages", Kind::Stages)];

/// The commands.
pub(super) fn commands() -> [Command; 2] {
    let folder = || Arg::new("folder").value_name("FOLDER").required(true);
    [
        Command::new("export")
            .about("Write all scripts in use into a folder")
            .long_about(
                "Write all scripts in use into a folder, price lists under pricing/ and rules under \
                 stages/. Where one of the files is there already, nothing is written.",
            )
            .after_help("Examples:\n  burrline script export our-scripts")
            .arg(folder().help("Where to")),
        Command::new("import")
            .about("Install all scripts of a folder")
            .long_about(
                "Install all scripts of a folder, as `export` writes one. All of them are checked first: \
                 where one fails its check, none is sent. Without --activate they are installed and not \
                 yet in use.",
            )
            .after_help(
                "Examples:\n  burrline script import our-scripts\n  \
                 burrline script import our-scripts --activate",
            )
            .arg(folder().help("Where from"))
            .args([
                Arg::new("activate")
                    .long("activate")
                    .action(ArgAction::SetTrue)
                    .help("Use them from now on"),
                Arg::new("anyway")
                    .long("anyway")
                    .value_name("REASON")
                    .help("Why they are right although something looks wrong; goes on the log"),
            ]),
    ]
}

/// Writes all scripts in use.
pub(super) async fn export(matches: &ArgMatches, terminal: &Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let folder = PathBuf::from(text(matches, "folder").unwrap_or_default());
    let mut files = Vec::new();
    for source in numbers::all_in_use(&bench).await? {
        files.push((file_of(&folder, &source)?, source));
    }
    // Nothing is written where something is in the way.
    if let Some((there, _)) = files.iter().find(|(file, _)| file.exists()) {
        return Err(Error::usage(format!(
            "{} is there already: name another folder, or move it away",
            there.display()
        )));
    }
    for (file, source) in &files {
        let dir = file.parent().unwrap_or(&folder);
        std::fs::create_dir_all(dir).map_err(|e| Error::file(dir, e))?;
        source.write(file)?;
    }
    terminal.tell(&format!("{} scripts are in {}", files.len(), folder.display()));
    Ok(Ending::Done)
}

/// Installs all scripts of a folder.
pub(super) async fn import(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let folder = PathBuf::from(text(matches, "folder").unwrap_or_default());
    let sources = sources(&folder)?;
    let anyway = text(matches, "anyway");
    for source in &sources {
        Name::read(&source.name)?;
        let here = super::Here { terminal, matches };
        burrline_scripts::before_install(source, anyway.as_deref(), &here)?;
    }
    let bench = super::super::open(matches)?;
    let activate = matches.get_flag("activate");
    let mut worst = Ending::Done;
    for source in sources {
        let name = Name::read(&source.name)?;
        let kept = keep::keep(&bench, name, source, anyway.clone(), activate, terminal).await?;
        worst = worst.max(kept);
    }
    Ok(worst)
}

/// The scripts of a folder, price lists first.
fn sources(folder: &Path) -> Result<Vec<Source>, Error> {
    let mut all = Vec::new();
    for (within, kind) in KINDS {
        let dir = folder.join(within);
        if !dir.is_dir() {
            continue;
        }
        let listed = std::fs::read_dir(&dir).map_err(|e| Error::file(&dir, e))?;
        let mut files = Vec::new();
        for entry in listed {
            let path = entry.map_err(|e| Error::file(&dir, e))?.path();
            files.extend(path.extension().is_some_and(|end| end == "rhai").then_some(path));
        }
        files.sort();
        for file in files {
            all.push(Source { kind, ..Source::read(&file, None)? });
        }
    }
    if all.is_empty() {
        return Err(Error::usage(format!(
            "{} holds no scripts: they lie under pricing/ and stages/, as NAME.rhai",
            folder.display()
        )));
    }
    Ok(all)
}

/// Where a script is written to.
fn file_of(folder: &Path, source: &Source) -> Result<PathBuf, Error> {
    let within = KINDS.iter().find(|(_, kind)| *kind == source.kind).map_or("", |(name, _)| *name);
    // A name may have any sign in it; a file's may not.
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | ' ' | '.');
    if !source.name.chars().all(plain) || source.name.starts_with('.') {
        return Err(Error::usage(format!(
            "{} cannot be the name of a file: write it with `burrline script show {} > FILE`",
            source.name, source.name
        )));
    }
    Ok(folder.join(within).join(format!("{}.rhai", source.name)))
}
