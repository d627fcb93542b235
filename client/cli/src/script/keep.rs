//! Putting a script to use: the source goes to the shop, then the decisions.

use burrline_bench::{Bench, Ending, Error, patience::READING};
use burrline_domain::verb::{ActivateScript, InstallScript, RetireScript, ShadowScript, Verb};
use burrline_line::{Common, Utterance};
use burrline_present::readings::Scripts;
use burrline_proto::v1;
use burrline_scripts::{
    file, kind,
    local::{self, Source},
    numbers,
};
use burrline_terms::{Digest, Name, Span, Typed as _, words::ScriptKind};
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::text;
use crate::{say, terminal::Terminal};

/// The commands.
pub(super) fn commands() -> [Command; 5] {
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
        Command::new("set")
            .about("Set a number of a script in use: a price, a limit, a number of days")
            .long_about(
                "Set a number of a script in use: a price, a limit, a number of days. `numbers` lists \
                 them by name, with their ranges. The script with the new number is checked, installed and put to \
                 use; what was priced and ruled before keeps the script that it had. Where a file \
                 is named, only that file is changed, and nothing is installed.",
            )
            .after_help(
                "Examples:\n  burrline script set not-too-long look-every 30 min\n  \
                 burrline script set deer-family cleaning.deer 135\n  \
                 burrline script set house.rhai rush-days 2 weeks",
            )
            .arg(which("The script, or a file").value_name("SCRIPT"))
            .args([
                Arg::new("number").value_name("NUMBER").required(true).help("Which number, by its name"),
                Arg::new("value")
                    .value_name("VALUE")
                    .required(true)
                    .num_args(1..)
                    .allow_negative_numbers(true)
                    .help("The value, with its unit"),
                Arg::new("anyway")
                    .long("anyway")
                    .value_name("REASON")
                    .help("Why it is right although something looks wrong; goes on the log"),
            ]),
        Command::new("activate")
            .about("Use an installed script from now on, an older version too")
            .after_help(
                "Examples:\n  burrline script activate winter\n  \
                 burrline script activate 3f2a91c4",
            )
            .arg(which("Its name, or the beginning of its digest")),
        Command::new("shadow")
            .about("Record for a week what a rule would say, without its being asked")
            .long_about(
                "Record for a week what a rule would say, without its being asked. Nobody is stopped or \
                 questioned by it. All that `burrline script check` does is done first. `burrline shadow` \
                 tells what the rule would have said so far, and `burrline end-shadow NAME` ends it.",
            )
            .after_help(
                "Examples:\n  burrline script shadow strict.rhai\n  \
                 burrline script shadow strict.rhai --lasts 14d\n  burrline script shadow most-heat",
            )
            .arg(which("A file, an installed rule's name, or the beginning of its digest"))
            .args([
                Arg::new("lasts")
                    .long("lasts")
                    .value_name("SPAN")
                    .help("For how long, from 1 h to 90 days [default: 7 days]"),
                Arg::new("anyway")
                    .long("anyway")
                    .value_name("REASON")
                    .help("Why it is right although something looks wrong; goes on the log"),
            ]),
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
    let anyway = text(matches, "anyway");
    let here = super::Here { terminal, matches };
    burrline_scripts::before_install(&source, anyway.as_deref(), &here)?;
    let bench = super::super::open(matches)?;
    keep(&bench, name, source, anyway, matches.get_flag("activate"), terminal).await
}

/// Sends a source to the shop, installs it, and puts it to use if that is wanted.
pub(super) async fn keep(
    bench: &Bench,
    name: Name,
    source: Source,
    anyway: Option<String>,
    activate: bool,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let source = Source { name: name.to_string(), ..source };
    for line in burrline_scripts::replaced(&source, bench).await? {
        terminal.tell(&line);
    }
    let there = local::is_installed(&source, bench).await?;
    let kind = source.script_kind();
    let request =
        v1::PutScriptRequest { kind: kind.number(), name: source.name, source: source.bytes };
    let digest = digest(&bench.connection().put_script(request).await?.digest)?;
    let mut ending = Ending::Done;
    // An older version is installed already, and can be put to use again.
    if there {
        terminal.tell(&format!("{name} is installed already, as it is"));
    } else {
        let mut install = decision(InstallScript { kind, name, digest }.into());
        install.common.anyway = anyway;
        ending = say::utter(bench, install, terminal).await?;
    }
    if !activate {
        return Ok(ending);
    }
    use_from_now_on(bench, kind, digest, terminal).await
}

/// Sets a number of a script in use, or in a file.
pub(super) async fn set(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let which = text(matches, "which").unwrap_or_default();
    let number = text(matches, "number").unwrap_or_default();
    let value = matches.get_many::<String>("value").into_iter().flatten();
    let value = value.map(String::as_str).collect::<Vec<_>>().join(" ");
    let path = std::path::Path::new(&which);
    let bench = if path.is_file() { None } else { Some(super::super::open(matches)?) };
    let source = match &bench {
        Some(bench) => numbers::in_use(&which, bench).await?.0,
        None => Source::read(path, None)?,
    };
    let (changed, words) = numbers::set(&source, &number, &value)?;
    let anyway = text(matches, "anyway");
    burrline_scripts::before_install(
        &changed,
        anyway.as_deref(),
        &super::Here { terminal, matches },
    )?;
    for line in &words {
        terminal.tell(line);
    }
    let Some(bench) = bench else {
        changed.write(path)?;
        return Ok(Ending::Done);
    };
    let name = Name::read(&changed.name)?;
    keep(&bench, name, changed, anyway, true, terminal).await
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

/// Begins to record what a rule would say.
pub(super) async fn shadow(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let which = text(matches, "which").unwrap_or_default();
    let lasts = text(matches, "lasts").map(|span| Span::read(&span)).transpose()?;
    let path = std::path::Path::new(&which);
    let (bench, of) = if path.is_file() {
        let source = Source::read(path, None)?;
        if source.kind != burrline_host::Kind::Stages {
            return Err(Error::usage(
                "only a rule is shadowed; `burrline script backtest` tries a price list",
            ));
        }
        let anyway = text(matches, "anyway");
        burrline_scripts::before_install(
            &source,
            anyway.as_deref(),
            &super::Here { terminal, matches },
        )?;
        let bench = super::super::open(matches)?;
        let of = digest(&hex::decode(burrline_host::digest_of(&source.bytes)).unwrap_or_default())?;
        let name = Name::read(&source.name)?;
        let kept = keep(&bench, name, source, anyway, false, terminal).await?;
        if kept != Ending::Done {
            return Ok(kept);
        }
        (bench, of)
    } else {
        let bench = super::super::open(matches)?;
        let line = local::find(&which, &bench).await?;
        (bench, digest(&line.digest)?)
    };
    let ending =
        say::utter(&bench, decision(ShadowScript { digest: of, lasts }.into()), terminal).await?;
    if ending == Ending::Done {
        terminal.tell("What it would have said so far: burrline shadow");
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
