//! Lines that show how a verb is said, made from the one table.

use burrline_domain::{Class, VerbSpec, verb::FieldSpec};
use burrline_terms::Arity;

use super::{
    closed::{self, list},
    purpose,
};

/// One to three lines that show how the verb is said.
pub fn lines(spec: &VerbSpec) -> Vec<String> {
    if spec.word == "amend" {
        return vec!["amend 3:41 weigh 0417 3 lb 2 oz".to_owned()];
    }
    let sealed = spec.fields.iter().any(|f| f.hint == "SEALED");
    let needed: Vec<String> = spec.fields.iter().filter_map(|f| needed(spec, f)).collect();
    let mut first = format!("{} {}", spec.word, needed.join(" ")).trim_end().to_owned();
    if purpose::taken_by(spec) {
        first.push_str(" ready");
    }
    if sealed {
        first.push_str(" --name \"Ada Fenn\" --phone 555-0142");
    }
    let mut lines = vec![first.clone()];
    let shows = |f: &&FieldSpec| {
        let optional = matches!(f.arity, Arity::Maybe | Arity::Many);
        // Tags that stand in the line already are not said again.
        let again = f.name == "tags" || first.contains(f.name);
        optional && !again && !value(spec, f).is_empty()
    };
    // The name of an entry says less than a word of the trade.
    let mut optional = spec.fields.iter().filter(shows);
    let optional = optional.clone().find(|f| f.hint != "ENTRY").or_else(|| optional.next());
    if let Some(field) = optional {
        lines.push(format!("{first} --{} {}", field.name.replace('_', "-"), value(spec, field)));
    }
    // Of a flame and of a reading the place alone says nothing.
    if matches!(spec.word, "heat" | "reading") {
        lines.remove(0);
    }
    if spec.class == Class::Fact && spec.fields.iter().any(|f| f.name == "skull") && !sealed {
        lines.push(format!("at 10:40 {first}"));
    }
    lines
}

/// The examples as help shows them.
pub fn help(spec: &VerbSpec) -> String {
    let lines: Vec<String> = lines(spec).iter().map(|line| format!("  burrline {line}")).collect();
    format!("Examples:\n{}\n\n{}", lines.join("\n"), status(spec))
}

fn status(spec: &VerbSpec) -> &'static str {
    match spec.class {
        Class::Fact => {
            "Exit status: 0 done, 1 refused or left off, 2 typed wrong, 3 kept here and sent once the \
             server is in reach"
        }
        Class::Decision => {
            "Exit status: 0 done, 1 refused, 2 typed wrong, 3 not done, as it needs the server"
        }
    }
}

fn needed(spec: &VerbSpec, field: &FieldSpec) -> Option<String> {
    let many_tags = field.arity == Arity::Many && field.hint == "TAG";
    // A top-up of nothing is asked about.
    let topped = spec.word == "top-up" && field.name == "add";
    (field.arity == Arity::One || many_tags || topped)
        .then(|| value(spec, field))
        .filter(|v| !v.is_empty())
}

/// A value that the field takes, as an example.
fn value(spec: &VerbSpec, field: &FieldSpec) -> String {
    let word = match (field.name, field.hint) {
        ("tags", _) => "0417 0418",
        ("tag", _) => "0512",
        (_, "TAG") if closed::OF_PIECES.contains(&spec.word) => "0417/nose",
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
        ("agency", _) => "\"wildlife office\"",
        ("class", _) => "outfitter",
        ("mark", _) => "A3",
        ("recipe", _) => "bear-soak",
        ("way", _) => "beetles",
        ("usual" | "steps", _) => "beetles=5d",
        ("never_after", _) => "whiten",
        ("act", _) => "\"dig it up\"",
        ("care", _) => "\"thin nasal bones\"",
        (_, "NAME") => name(spec.word),
        (_, "WORDS") => words(spec.word),
        (_, "ENTRY") => "3:41",
        (_, "MONEY") => "185.00",
        (_, "DAY") => "2026-12-18",
        (_, "TIME") => "2026-11-29T08:02:11Z",
        (_, "MASS") => "3 lb 2 oz",
        (_, "LENGTH") => "21 7/8in",
        (_, "SPAN") => "90min",
        (_, "VOLUME") => "5gal",
        (_, "STRENGTH") => "3%",
        (_, "TEMP") => "190F",
        ("grease", _) => "2",
        (_, "COUNT") => "8",
        (_, "NUMBER") => "7.5",
        (_, "WHAT=AMOUNT[@STRENGTH]") => "peroxide=1qt@12%",
        (_, "WHAT=MONEY") => "cleaning=150.00",
        (_, "COUNTxMONEY") => "7x20",
        (_, "STEP=SPAN") => "simmer=120min",
        (_, "DIGEST" | "KEY") => "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
        _ => list(spec, field).and_then(|list| list.first().copied()).unwrap_or_default(),
    };
    word.to_owned()
}

/// A name as the verb takes it.
fn name(verb: &str) -> &'static str {
    match verb {
        "add-place" | "retire-place" => "pot-2",
        "measure" => "beam-r",
        "add-hand" | "retire-hand" | "identify" | "recognize" => "ines",
        "tie" => "wire",
        "coat" => "wax",
        "stain" => "walnut",
        "glue" => "epoxy",
        "mount" | "extra" => "plaque",
        "ship" => "post",
        "recipe" => "bear-soak",
        "papers" => "K-1042",
        "add-species" => "nilgai",
        "way" => "house",
        "way-step" => "polish",
        "receive-stock" | "count-stock" | "spent" => "L-77",
        "install-script" | "retire-script" => "prices",
        "end-shadow" => "strict",
        "add-table" | "set-row" | "drop-row" | "retire-table" => "county-fee",
        _ => "yard-2",
    }
}

/// Words as a hand would say them with the verb.
fn words(verb: &str) -> &'static str {
    match verb {
        "note" => "\"brass plate wanted\"",
        "damage" => "\"tip chipped\"",
        "condition" => "\"left beam broken\"",
        "charge" => "rush",
        "pay-in" | "pay-out" => "\"small change\"",
        "spent" => "\"goggles\"",
        "ticket" => "\"comes again on Friday\"",
        "tell" => "\"ready on Friday\"",
        "hand-over" => "\"his brother came\"",
        "bring-back" => "\"coat came off\"",
        "dispute" => "\"a tine is missing\"",
        "stray" => "\"small buck, 6 pt\"",
        "identify" | "recognize" => "\"chip on the left\"",
        "visit" => "\"looked at the register\"",
        "photograph" => "\"left side\"",
        "repair" => "\"filled a crack\"",
        "inspect" => "\"yellow at the base\"",
        "hours" => "\"fleshing\"",
        "swap-tag" => "torn",
        "hold" => "papers",
        "release" => "\"papers came\"",
        "give-back" => "\"too rotten\"",
        "write-off" => "\"unclaimed work act\"",
        "refund" => "\"tine broken by us\"",
        "promise" => "\"for Christmas\"",
        "extra" => "oak",
        _ => "\"as agreed\"",
    }
}
