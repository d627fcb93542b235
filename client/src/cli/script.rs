//! Price and stage scripts: the source goes to the shop, then the decisions to install and use it.

use std::path::Path;

use burrline_domain::{
    Digest, Name, Typed as _,
    verb::{ActivateScript, InstallScript, Verb},
    words::ScriptKind,
};
use burrline_proto::v1;
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{say, terminal::Terminal};
use crate::{
    Ending, Error,
    line::{Common, Details, Utterance},
};

/// The command.
pub fn command() -> Command {
    let install = Command::new("install")
        .about("Install a script")
        .after_help(
            "Examples:\n  burrline script install winter.rhai --kind pricing\n  \
             burrline script install house.rhai --kind stages --activate",
        )
        .args([
            Arg::new("file").value_name("FILE").required(true).help("The script"),
            Arg::new("kind")
                .long("kind")
                .value_name("KIND")
                .required(true)
                .help("What it is for: pricing or stages"),
            Arg::new("name")
                .long("name")
                .value_name("NAME")
                .help("Its name [default: the name of the file]"),
            Arg::new("activate")
                .long("activate")
                .action(ArgAction::SetTrue)
                .help("Use it from now on"),
        ]);
    Command::new("script")
        .about("Install price and stage scripts")
        .subcommand_required(true)
        .arg_required_else_help(true)
        .subcommand(install)
}

/// Installs a script.
///
/// # Errors
/// If the file cannot be read, or the shop is out of reach or does not take it.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let Some(("install", matches)) = matches.subcommand() else {
        return Err(Error::usage("script: say `burrline script install FILE --kind KIND`"));
    };
    let text = |id: &str| matches.get_one::<String>(id).cloned();
    let kind = ScriptKind::read(&text("kind").unwrap_or_default())?;
    let path = text("file").unwrap_or_default();
    let path = Path::new(&path);
    let source = std::fs::read(path).map_err(|e| Error::file(path, e))?;
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    let name = Name::read(&text("name").or(stem).unwrap_or_default())?;
    let bench = super::open(matches)?;
    let request = v1::PutScriptRequest { kind: kind.number(), name: name.to_string(), source };
    let digest = bench.connection().put_script(request).await?.digest;
    let digest = Digest(
        digest.try_into().map_err(|_| Error::Nonsense("a digest of a wrong length".into()))?,
    );
    let install = decision(InstallScript { kind, name, digest }.into());
    let ending = say::utter(&bench, install, terminal).await?;
    // A script that is installed already is refused as such and can still be put to use.
    if !matches.get_flag("activate") {
        return Ok(ending);
    }
    say::utter(&bench, decision(ActivateScript { digest }.into()), terminal).await
}

fn decision(verb: Verb) -> Utterance {
    let (common, details) = (Common::default(), Details::default());
    Utterance { spec: verb.spec(), common, details, verbs: vec![verb] }
}
