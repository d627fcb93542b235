//! Putting a script to use: the source goes to the shop, then the decisions.

use burrline_bench::{Bench, Ending, Error, patience::READING};
use burrline_domain::verb::{ActivateScript, InstallScript, RetireScript, Verb};
use burrline_line::{Common, Utterance};
use burrline_present::readings::Scripts;
use burrline_proto::v1;
use burrline_scripts::{
    file, kind,
    local::{self, Source},
};
use burrline_terms::{Digest, Name, Typed as _, words::ScriptKind};
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::text;
use crate::{say, terminal::Terminal};

/// The commands.
pub(super) fn commands() -> [Command; 3] {
    let which = |help: &'static str| Arg::new("which").value_name("NAME").required(true).help(help);
    [
        Command::new("install")
            .about("Install a script")
            .long_about(
                "Install a script: its source goes to the shop, which keeps it for ever under its \
                 digest. It is not used until it is activated. All that `burrline script check` \
                 does is done first; where something looks wrong, a reason is wanted.",
            )
            .after_help(
                "Examples:\n  burrline script install winter.rhai\n  \
                 burrline script install house.rhai --activate\n  \
                 burrline script install house.rhai --anyway \"our own species\"",
            )
            .arg(file())
            .arg(kind())
            .args([
                Arg::new("name")
                    .long("name")
                    .value_name("NAME")
                    .help("Its name [default: the name of the file]"),
                Arg::new("anyway")
                    .long("anyway")
                    .value_name("REASON")
                    .help("Why it is right although something looks wrong; goes on the log"),
                Arg::new("activate")
                    .long("activate")
                    .action(ArgAction::SetTrue)
                    .help("Use it from now on"),
            ]),
        Command::new("activate")
            .about("Use an installed script from now on, an older version too")
            .after_help(
                "Examples:\n  burrline script activate winter\n  \
                 burrline script activate 3f2a91c4",
            )
            .arg(which("Its name, or the beginning of its digest")),
        Command::new("retire")
            .about("Use a script no longer")
            .after_help("Examples:\n  burrline script retire not-too-long")
            .arg(which("Its name, or the beginning of its digest")),
    ]
}

/// Installs a script.
pub(super) async fn install(
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let source = Source::of(matches)?;
    let name = Name::read(&text(matches, "name").unwrap_or_else(|| source.name.clone()))?;
    let kind = source.script_kind();
    let anyway = text(matches, "anyway");
    let here = super::Here { terminal, matches };
    burrline_scripts::before_install(&source, anyway.as_deref(), &here)?;
    let bench = super::super::open(matches)?;
    let request =
        v1::PutScriptRequest { kind: kind.number(), name: name.to_string(), source: source.bytes };
    let digest = digest(&bench.connection().put_script(request).await?.digest)?;
    let mut install = decision(InstallScript { kind, name, digest }.into());
    install.common.anyway = anyway;
    let ending = say::utter(&bench, install, terminal).await?;
    // A script that is installed already is refused as such and can still be put to use.
    if !matches.get_flag("activate") {
        return Ok(ending);
    }
    use_from_now_on(&bench, kind, digest, terminal).await
}

/// Activates an installed script.
pub(super) async fn activate(
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let line = local::find(&text(matches, "which").unwrap_or_default(), &bench).await?;
    let kind = if line.kind == ScriptKind::Pricing.number() {
        ScriptKind::Pricing
    } else {
        ScriptKind::Stages
    };
    use_from_now_on(&bench, kind, digest(&line.digest)?, terminal).await
}

/// Activates a script, and says what prices from now on if that may have changed.
async fn use_from_now_on(
    bench: &Bench,
    kind: ScriptKind,
    digest: Digest,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let ending = say::utter(bench, decision(ActivateScript { digest }.into()), terminal).await?;
    if kind == ScriptKind::Pricing && ending == Ending::Done {
        let mut scripts = bench.read_at_shop(Scripts {}, READING).await?.scripts;
        scripts.retain(|script| script.place > 0);
        scripts.sort_by_key(|script| script.place);
        let names: Vec<&str> = scripts.iter().map(|script| script.name.as_str()).collect();
        terminal.tell(&match names.as_slice() {
            [] => "Nothing prices now: there is no price list in use.".to_owned(),
            [one] => format!("{one} prices from now on."),
            _ => format!("These price from now on, one after the other: {}.", names.join(", ")),
        });
    }
    Ok(ending)
}

/// Retires a script.
pub(super) async fn retire(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::super::open(matches)?;
    let line = local::find(&text(matches, "which").unwrap_or_default(), &bench).await?;
    let kind = if line.kind == ScriptKind::Pricing.number() {
        ScriptKind::Pricing
    } else {
        ScriptKind::Stages
    };
    let retire = RetireScript { kind, name: Name::read(&line.name)? };
    say::utter(&bench, decision(retire.into()), terminal).await
}

fn digest(bytes: &[u8]) -> Result<Digest, Error> {
    let digest = bytes.try_into();
    Ok(Digest(digest.map_err(|_| Error::Nonsense("a digest of a wrong length".into()))?))
}

fn decision(verb: Verb) -> Utterance {
    Utterance::of(verb.spec(), Common::default(), vec![verb])
}
