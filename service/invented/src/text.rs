//! The season as a file of lines, for people to read and edit and for `burrline-shop demo --season`.

use std::fmt::Write as _;

use crate::{
    said::{Desk, Said},
    time::{DayNo, ZONE},
};

/// What stands at the top of the file.
const HEAD: &str = "\
# A whole invented season, made by a program from a seed. Every name, number and share in it is made
# up, and nothing about skulls may be learnt from it. deploy/demo-season.txt says how to read it.
";

/// The file.
pub fn text(said: &[Said], heads: usize, seed: u64) -> String {
    let mut text = HEAD.to_owned();
    let mut add = |line: &str| {
        text.push_str(line);
        text.push('\n');
    };
    add(&format!("# Made with --heads {heads} --seed {seed}."));
    add("");
    add(&format!("zone {ZONE}"));
    for desk in Desk::ALL {
        add(&format!("bench {} {}", desk.name(), desk.role()));
    }
    let mut day: Option<DayNo> = None;
    for line in said {
        if day != Some(line.at.day()) {
            add("");
            add(&format!("day {}", line.at.day().date()));
        }
        day = Some(line.at.day());
        // A block of its own: what is said next may hang on it.
        add("");
        let label = line.label.iter().fold(String::new(), |_, label| format!(" -> {label}"));
        let (desk, hand) = (line.desk.name(), line.desk.hand());
        add(&format!("{} {desk} {hand}  {}{label}", line.at.clock(), typed(line)));
        if line.forgot {
            for _ in &line.skulls {
                add("    > w");
            }
        }
    }
    text
}

/// The line as it is typed.
pub fn typed(said: &Said) -> String {
    let mut line = String::new();
    if let Some(when) = said.when {
        line = format!("at {}T{} ", when.day().date(), when.clock());
    }
    line.push_str(said.verb);
    let place = said.fields.iter().find(|(field, _)| *field == "place");
    if let Some((_, place)) = place {
        let _ = write!(line, " {place}");
    }
    for skull in &said.skulls {
        let _ = write!(line, " {skull}");
    }
    for (field, value) in said.fields.iter().filter(|(field, _)| *field != "place") {
        match (*field, &said.instead) {
            ("entry", Some(_)) => drop(write!(line, " {value}")),
            ("hide_on" | "brain" | "only_this", _) => {
                let _ = write!(line, " --{}", field.replace('_', "-"));
            }
            _ => drop(write!(line, " --{} {}", field.replace('_', "-"), quoted(value))),
        }
    }
    for (detail, value) in &said.details {
        let _ = write!(line, " --{detail} {}", quoted(value));
    }
    if let Some(instead) = &said.instead {
        let _ = write!(line, " {}", typed(instead));
    }
    if let Some(why) = said.anyway {
        let _ = write!(line, " --anyway {}", quoted(why));
    }
    line
}

fn quoted(value: &str) -> String {
    if value.contains(' ') { format!("\"{value}\"") } else { value.to_owned() }
}
