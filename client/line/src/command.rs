//! The command of each verb, made from the one table, for the command line and the prompt alike.

use burrline_domain::{
    VerbSpec,
    verb::{FieldSpec, VERBS},
};
use burrline_terms::{Arity, Typed as _, words::ToldFor};
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{
    Common, by_way, closed,
    details::{self, Details},
    example, purpose,
    read::Given,
};

const WORDS: &str = "line-words";

/// Whether anybody types a verb: what the shop or a bench says by itself is only read, in trails.
pub fn is_typed(verb: &str) -> bool {
    by_itself(verb).is_none()
}

/// What to do instead of typing a verb that the shop or a bench says by itself.
pub fn by_itself(verb: &str) -> Option<&'static str> {
    Some(match verb {
        "lost" => {
            "lost: the shop says that by itself of lines that will never arrive; for a head that \
             cannot be found, ask `burrline find 0417` and write a note"
        }
        "void" => {
            "void: a bench says that by itself when its disk was damaged; to take a line back, say \
             strike"
        }
        "glances" => {
            "glances: the shop says that by itself; to read who looked at what, ask \
             `burrline who-looked`"
        }
        "left-off" => "left-off: a bench says that by itself when a question is answered with n",
        _ => return None,
    })
}

/// The command of a verb.
pub fn command(spec: &'static VerbSpec) -> Command {
    let mut command = Command::new(spec.word)
        .hide(!is_typed(spec.word))
        .about(spec.help)
        .after_help(example::help(spec))
        .arg(words(spec));
    for field in spec.fields.iter().filter(|f| f.hint != "SEALED" && f.hint != "LINE") {
        command = command.arg(option(spec, field));
    }
    if purpose::taken_by(spec) {
        let purpose = Arg::new(purpose::OPTION).long(purpose::OPTION).value_name(ToldFor::HINT);
        command = command.arg(purpose.help(format!("what for: {}", ToldFor::WORDS.join(", "))));
    }
    if by_way::taken_by(spec) {
        let way = Arg::new(by_way::OPTION).long(by_way::OPTION).value_name("WAY");
        command = command.arg(way.help("by which way it is cleaned, such as simmer or beetles"));
    }
    if details::taken_by(spec) {
        for (name, help) in details::OPTIONS {
            let arg = Arg::new(format!("sealed-{name}")).long(*name).value_name("TEXT");
            command = command.arg(arg.help(*help).help_heading("Sealed details"));
        }
    }
    common(command)
}

/// The commands of all verbs.
pub fn commands() -> impl Iterator<Item = Command> {
    VERBS.iter().map(|spec| command(spec))
}

/// What the words and options of a matched command say.
pub fn taken(spec: &'static VerbSpec, matches: &ArgMatches) -> (Vec<String>, Given, Details) {
    let many = |id: &str| -> Vec<String> {
        let found = matches.try_get_many::<String>(id).ok().flatten();
        found.into_iter().flatten().map(|word| unshield(word)).collect()
    };
    let mut given = Given::new();
    for field in spec.fields.iter().filter(|f| f.hint != "SEALED" && f.hint != "LINE") {
        let said = if field.arity == Arity::Switch {
            let on = matches.try_get_one::<bool>(field.name).ok().flatten().copied();
            if on == Some(true) { vec!["yes".to_owned()] } else { Vec::new() }
        } else {
            many(field.name)
        };
        if !said.is_empty() {
            given.insert(field.name, said);
        }
    }
    if purpose::taken_by(spec) {
        let said = many(purpose::OPTION);
        given.extend((!said.is_empty()).then_some((purpose::OPTION, said)));
    }
    if by_way::taken_by(spec) {
        let said = many(by_way::OPTION);
        given.extend((!said.is_empty()).then_some((by_way::OPTION, said)));
    }
    let detail = |name: &str| many(&format!("sealed-{name}")).into_iter().next();
    let details = Details {
        name: detail("name"),
        phone: detail("phone"),
        email: detail("email"),
        address: detail("address"),
        licence: detail("licence"),
    };
    (many(WORDS), given, details)
}

/// What the options that every verb has say.
pub fn common_of(matches: &ArgMatches) -> Common {
    let text = |id: &str| matches.try_get_one::<String>(id).ok().flatten().cloned();
    Common {
        at: text("said-at"),
        hand: text("said-hand").or_else(|| text("said-by")),
        once: text("said-hand").is_none() && text("said-by").is_some(),
        anyway: text("said-anyway"),
        done: matches.get_flag("said-done"),
    }
}

/// The same as words again, an option and its value each.
pub fn common_words(common: &Common, details: &Details) -> Vec<String> {
    let all = [
        ("--at", &common.at),
        (if common.once { "--done-by" } else { "--hand" }, &common.hand),
        ("--anyway", &common.anyway),
        ("--name", &details.name),
        ("--phone", &details.phone),
        ("--email", &details.email),
        ("--address", &details.address),
        ("--licence", &details.licence),
    ];
    let said = all.into_iter().filter_map(|(option, value)| Some((option, value.as_ref()?)));
    let mut words: Vec<String> =
        said.flat_map(|(option, value)| [option.to_owned(), value.clone()]).collect();
    words.extend(common.done.then(|| "--yes-done".to_owned()));
    words
}

/// Keeps a negative number, such as the temperature of a freezer, from being read as an option.
pub fn shield(word: &str) -> String {
    match word.strip_prefix('-') {
        Some(rest) if rest.starts_with(|c: char| c.is_ascii_digit() || c == '$') => {
            format!("\u{2212}{rest}")
        }
        _ => word.to_owned(),
    }
}

/// The word as it was typed.
pub fn unshield(word: &str) -> String {
    word.strip_prefix('\u{2212}').map_or_else(|| word.to_owned(), |rest| format!("-{rest}"))
}

/// What may stand among the words of a line beside what it must say.
const OTHERS: &str = "A value may stand without its option where it can be nothing else, or behind the \
                      option's name without hyphens: state CO. Text goes in quotes, or last after a -";

fn words(spec: &VerbSpec) -> Arg {
    let wanted: Vec<&str> = spec
        .fields
        .iter()
        .filter(|f| f.arity == Arity::One || (f.arity == Arity::Many && !f.hint.contains('=')))
        .filter(|f| f.hint != "SEALED")
        // A name of what? The field says it.
        .map(|f| if f.hint == "NAME" { f.name } else { f.hint })
        .collect();
    let wanted: Vec<String> = wanted.into_iter().map(str::to_uppercase).collect();
    let words = Arg::new(WORDS).num_args(0..).value_name("WORD");
    if spec.word == "amend" {
        words
            .num_args(0..)
            .trailing_var_arg(true)
            .allow_hyphen_values(true)
            .help("Name of the entry, and the line as it should have been")
    } else if wanted.is_empty() {
        words.help(OTHERS)
    } else if wanted.iter().filter(|word| *word == "TAG").count() > 1 {
        words.help(format!("the old TAG, then the new TAG. {OTHERS}"))
    } else {
        words.help(format!("{}, in any order. {OTHERS}", wanted.join(", ")))
    }
}

fn option(spec: &VerbSpec, field: &FieldSpec) -> Arg {
    let arg = Arg::new(field.name).long(field.name.replace('_', "-")).help(field.help);
    // `as found` and other spellings of a list's words are read with the line.
    let list = closed::list(spec, field).unwrap_or_default();
    let arg = if list.is_empty() {
        arg
    } else {
        arg.long_help(format!("{}: {}", field.help, list.join(", ")))
    };
    match field.arity {
        Arity::Switch => arg.action(ArgAction::SetTrue),
        Arity::Many => arg.action(ArgAction::Append).value_name(field.hint),
        Arity::One | Arity::Maybe if field.name == "skull" => {
            arg.action(ArgAction::Append).value_name(field.hint)
        }
        Arity::One | Arity::Maybe => arg.action(ArgAction::Set).value_name(field.hint),
    }
}

fn common(command: Command) -> Command {
    // A correction cannot change when something was done; a time beside one is refused in words.
    let corrects = ["amend", "strike", "assign"].contains(&command.get_name());
    let text = |id: &'static str, long: &'static str, hint: &'static str, help: &'static str| {
        Arg::new(id).long(long).value_name(hint).help(help).help_heading("How it is said")
    };
    command.args([
        text(
            "said-at",
            "at",
            "TIME",
            "When it happened, in the shop's zone: 10:40, or 2026-11-24T17:00",
        )
        .hide(corrects),
        text("said-hand", "hand", "NAME", "Who did it; sticks at this bench until changed"),
        text("said-by", "done-by", "NAME", "Who did this line alone").hide(true),
        text("said-anyway", "anyway", "REASON", "Do it although a rule says no, for this reason"),
        text(
            "said-done",
            "yes-done",
            "",
            "A missing step was done and not recorded: record it first",
        )
        .action(ArgAction::SetTrue),
    ])
}
