//! Lines that show how a verb is said, made from the one table.

use burrline_domain::{Arity, Class, VerbSpec, verb::FieldSpec};

use super::reads::list;

/// One to three lines that show how the verb is said.
pub fn lines(spec: &VerbSpec) -> Vec<String> {
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
    let shows = |f: &&FieldSpec| {
        let optional = matches!(f.arity, Arity::Maybe | Arity::Many);
        optional && !first.contains(f.name) && !value(spec, f).is_empty()
    };
    // The name of an entry says less than a word of the trade.
    let mut optional = spec.fields.iter().filter(shows);
    let optional = optional.clone().find(|f| f.hint != "ENTRY").or_else(|| optional.next());
    if let Some(field) = optional {
        lines.push(format!("{first} --{} {}", field.name.replace('_', "-"), value(spec, field)));
    }
    if spec.class == Class::Fact && spec.fields.iter().any(|f| f.name == "skull") && !sealed {
        lines.push(format!("at 10:40 {first}"));
    }
    lines
}

/// The examples as help shows them.
pub fn help(spec: &VerbSpec) -> String {
    let lines: Vec<String> = lines(spec).iter().map(|line| format!("  burrline {line}")).collect();
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
        (_, "WORDS") => "\"as agreed\"",
        (_, "ENTRY") => "3:41",
        (_, "MONEY") => "185.00",
        (_, "DAY") => "2026-12-18",
        (_, "MASS") => "1420g",
        (_, "LENGTH") => "21 7/8in",
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
        _ => list(spec, field).first().copied().unwrap_or_default(),
    };
    word.to_owned()
}
