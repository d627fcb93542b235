//! The command of each verb, made from the one table, for the command line and the prompt alike.

use burrline_domain::{
    Arity, Class, VerbSpec,
    verb::{FieldSpec, VERBS},
};
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{Common, details, details::Details, sort::Given};

const WORDS: &str = "line-words";

/// The command of a verb.
pub fn command(spec: &'static VerbSpec) -> Command {
    let mut command =
        Command::new(spec.word).about(spec.help).after_help(examples(spec)).arg(words(spec));
    for field in spec.fields.iter().filter(|f| f.hint != "SEALED" && f.hint != "LINE") {
        command = command.arg(option(field));
    }
    if spec.fields.iter().any(|field| field.hint == "SEALED") {
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
        hand: text("said-hand"),
        anyway: text("said-anyway"),
        done: matches.get_flag("said-done"),
    }
}

/// Keeps a negative number, such as the temperature of a freezer, from being read as an option.
pub fn shield(word: &str) -> String {
    match word.strip_prefix('-') {
        Some(rest) if rest.starts_with(|c: char| c.is_ascii_digit()) => format!("\u{2212}{rest}"),
        _ => word.to_owned(),
    }
}

fn unshield(word: &str) -> String {
    word.strip_prefix('\u{2212}').map_or_else(|| word.to_owned(), |rest| format!("-{rest}"))
}

fn words(spec: &VerbSpec) -> Arg {
    let wanted: Vec<&str> = spec
        .fields
        .iter()
        .filter(|f| matches!(f.arity, Arity::One | Arity::Many) && f.hint != "SEALED")
        .map(|f| f.hint)
        .collect();
    let words = Arg::new(WORDS).num_args(0..).value_name("WORD");
    if spec.word == "amend" {
        words
            .num_args(2..)
            .trailing_var_arg(true)
            .allow_hyphen_values(true)
            .help("Name of the entry, and the line as it should have been")
    } else if wanted.is_empty() {
        words.help("Sorted by what they look like; or use the options")
    } else {
        words.help(format!("Sorted by what they look like: {}", wanted.join(", ")))
    }
}

fn option(field: &FieldSpec) -> Arg {
    let arg = Arg::new(field.name).long(field.name.replace('_', "-")).help(field.help);
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
    let text = |id: &'static str, long: &'static str, hint: &'static str, help: &'static str| {
        Arg::new(id).long(long).value_name(hint).help(help).help_heading("How it is said")
    };
    command.args([
        text(
            "said-at",
            "at",
            "TIME",
            "When it happened, in the shop's zone: 10:40, or 2026-11-24T17:00",
        ),
        text("said-hand", "hand", "NAME", "Who did it; sticks at this bench until changed"),
        text("said-anyway", "anyway", "REASON", "Do it although a rule says no, for this reason"),
        text("said-done", "yes-done", "", "A missing step was done and not said: say it first")
            .action(ArgAction::SetTrue),
    ])
}

/// One to three lines that show how the verb is said.
pub fn example_lines(spec: &VerbSpec) -> Vec<String> {
    if spec.word == "amend" {
        return vec!["amend 3:41 weigh 0417 1240 g".to_owned()];
    }
    let sealed = spec.fields.iter().any(|f| f.hint == "SEALED");
    let needed: Vec<String> = spec.fields.iter().filter_map(|f| needed(spec, f)).collect();
    let mut first = format!("{} {}", spec.word, needed.join(" ")).trim_end().to_owned();
    if sealed {
        first.push_str(" --name \"Ada Fenn\" --phone 555-0142");
    }
    let mut lines = vec![first.clone()];
    let optional = spec.fields.iter().find(|f| {
        matches!(f.arity, Arity::Maybe | Arity::Many)
            && !lines.concat().contains(f.name)
            && !value(spec, f).is_empty()
    });
    if let Some(field) = optional {
        lines.push(format!("{first} --{} {}", field.name.replace('_', "-"), value(spec, field)));
    }
    if spec.class == Class::Fact && spec.fields.iter().any(|f| f.name == "skull") && !sealed {
        lines.push(format!("at 10:40 {first}"));
    }
    lines
}

fn examples(spec: &VerbSpec) -> String {
    let lines: Vec<String> =
        example_lines(spec).iter().map(|line| format!("  burrline {line}")).collect();
    format!("Examples:\n{}", lines.join("\n"))
}

fn needed(spec: &VerbSpec, field: &FieldSpec) -> Option<String> {
    let many_tags = field.arity == Arity::Many && field.hint == "TAG";
    (field.arity == Arity::One || many_tags).then(|| value(spec, field)).filter(|v| !v.is_empty())
}

/// A value that the field takes, as an example.
fn value(spec: &VerbSpec, field: &FieldSpec) -> String {
    let word = match (field.name, field.hint) {
        ("tags", _) => "0417 0418",
        ("tag", _) => "0512",
        (_, "TAG") => "0417",
        ("place", _) => {
            if spec.number == 48 || spec.number == 51 {
                "tub-1"
            } else {
                "pot-1"
            }
        }
        ("species", _) => "whitetail",
        ("setting", _) => "zone",
        ("value", _) => "America/Denver",
        (_, "NAME") if spec.word == "add-place" => "pot-2",
        (_, "NAME") if spec.word == "measure" => "beam-r",
        (_, "NAME") => "yard-2",
        ("kind", _) if spec.word == "install-script" => "pricing",
        (_, "STATE") if spec.word == "condition" => "whole",
        (_, "WORDS") => "\"as agreed\"",
        (_, "ENTRY") => "3:41",
        (_, "MONEY") => "185.00",
        (_, "DAY") => "2026-12-18",
        (_, "MASS") => "1420g",
        (_, "LENGTH") => "21.5cm",
        (_, "SPAN") => "90min",
        (_, "VOLUME") => "18L",
        (_, "STRENGTH") => "2.0%",
        (_, "TEMP") => "88C",
        (_, "COUNT") => "8",
        (_, "NUMBER") => "7.5",
        (_, "WHAT=AMOUNT[@STRENGTH]") => "peroxide=2L@12%",
        (_, "WHAT=MONEY") => "cleaning=150.00",
        (_, "STEP=SPAN") => "simmer=120min",
        (_, "DIGEST" | "KEY") => "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
        // A closed list: its first word is the first in the help, or the list reads it.
        (_, hint) => first_of(hint),
    };
    word.to_owned()
}

fn first_of(hint: &str) -> &'static str {
    use burrline_domain::{
        Typed, with_word_lists,
        words::{
            Arrival, Firmness, Flame, Material, Means, Method, Obtained, PartState, Piece,
            PlaceKind, Reached, Role, ScriptKind, Sex, TestResult, Tissue, WaterLook, Whose, Wish,
            WriteOffAs, YesNo,
        },
    };
    macro_rules! first {
        ($ty:ident) => {
            if hint == <$ty as Typed>::HINT {
                return <$ty>::ALL.first().map_or("", |word| word.word());
            }
        };
    }
    with_word_lists!(first);
    ""
}
