//! The reference for owners and the definition file for editors, made from the code itself.

use std::fmt::Write as _;

use serde_json::json;

use crate::facts::{FACTS_VERSION, Field, Group, JobFacts, VerbFacts};
use crate::helpers::{Function, helpers};
use crate::language::language;
use crate::sandbox::Limits;
use crate::source::in_words;

const BEFORE: &str = "\
<!-- Made from the code by `burrline script reference`; a test holds it against the code. -->
# What a price or stage script sees

A script is a text file of small functions. It is handed values, reads them, and answers; it changes
nothing and reaches nothing else. This page is everything that it can read and call. [README.md](README.md)
says how a script is written, tried and put to use.

`()` is a number that nobody said, `\"\"` a text that nobody said. A name that is not on this page is an error,
never an empty value, also where it is asked with `job[\"name\"]` or `job.get(\"name\")`; `\"name\" in job` asks
whether there is one. What a script writes into a value, such as `job.group = \"elk\"`, it alone sees.

Amounts of money and all other numbers with a point are exact. Two whole numbers are
divided without a rest, `7 / 2` is 3: write `7.0 / 2` or 110.00 where a part counts.

A number that nobody said is never more or less than another: `() > 30` is false, so ask `!= ()` first. A rule
that compares it all the same is shown as \"not checked\" beside its other answers; so is one that reads `job.owed`
or `job.charged` before a price was said. \"Not checked\" means that the rule had no answer: look for yourself.
A number and a text are never alike, `30 > \"20\"` is false. `burrline script check` says where that happens.
";

const ANSWERS: &str = "
## What a script answers

| function | answers |
| --- | --- |
| `fn price(job)` | a list of lines, `[#{ what: \"lower jaw\", amount: 25.00 }]`; a discount is a minus; 60 lines at most, and never below nothing in all |
| `fn adjust(job, lines)` | instead of `price`: further lines for what a price list gives, a rush or a discount; `lines` is what is there already, each `#{ what, amount }` |
| `fn deposit(job, total)` | the amount to ask for at once, between nothing and the total; leave it out if there is none |
| `fn check(job, act)` | `()` if it is fine, `#{ remark: \"...\" }` to have something said, `#{ no: \"...\" }` to object; one plain line of at most 160 characters. For several reasons a list of these: the hand sees all of them in one question |
| `fn verbs()` | the verbs that `check` has something to say about, `[\"in\", \"whiten\"]`; leave it out to be asked about every act |
| `fn plan(job)` | a list of steps, `[#{ step: \"simmer\", expect_minutes: hours(2) }]`; 40 at most |
| `fn cases()` | examples that must hold, see the end of this page |

Of several price lists (`fn price`) the one that was activated last is in force, alone. After it every active
script with `fn adjust` adds its lines, in the order of their names, and sees the lines of all before it; the
deposit is that of the last one which has a `deposit`. Of several stage scripts every `check` is asked, in the order of their names, and the first `plan` that gives steps is the plan. The host
rounds each line half up to the shop's smallest coin, and adds the lines up.

`[]` in a name below stands for each of a list: `job.damage[].whose` is read with
`for one in job.damage { one.whose }`.

The names of a plan's steps are the shop's own; a plan of no steps, `[]`, means that this script has none for
such a job. A deposit is of the total with all adjustments in it, and is rounded like a line.
";

const ASKED: &str = "
## What rules are asked about, and when

A rule is asked when somebody is about to do something, and never in between: it can say at the `look`, the
`out` or the next `in` that a skull was in hot water too long, not ring while it is there.

";

const ASKED_AFTER: &str = "
A verb of a place (fill, top-up, heat and so on) has an empty job: do not look at the job there. `act.place` is
the place with what is in it before the act. For `in` the bath that a skull would go into is `act.place.bath`;
for `fill`, `top-up` and `change` the strength that there would be afterwards is `act.strength_wv`, and the
temperature of a bath is known once somebody has said it with `reading` or `heat`. `job.heat_minutes` and the
hours in baths count the go that is not over yet. Hands are written as the shop wrote them, in small letters
unless it used others; `act.hand` is `\"\"` where nobody said.
";

const CASES: &str = "
## Examples in a script

`cases()` gives a list. Each example begins with a whitetail buck in order, ready to hand over, and
changes what it names:

    #{ name: \"hide on\", job: #{ arrival: \"skin-on\" }, total: \"150.00\", line: \"hide on\" }
    #{ name: \"a rush\", job: #{ promise_days: 10 }, lines: [#{ what: \"cleaning\", amount: 100 }], total: 150 }
    #{ name: \"half now\", deposit: \"60.00\", total: \"120.00\" }
    #{ name: \"no papers, knife\", job: #{ papers: false }, act: #{ verb: \"flesh\" }, expect: \"no\", words: \"licence\" }
    #{ name: \"a bear\", job: #{ group: \"bear\", antlered: false }, plan_minutes: 66120 }
    #{ name: \"the steps\", plan_minutes: 66120, plan: [\"simmer\", \"degrease\", \"dry\"] }

`lines` is for `adjust` alone: what the price list gave; left out, it is `cleaning, KIND` for 120.00, and
`total` is all of it together. `expect` is \"fine\", \"remark\" or \"no\". A script with an example that does not hold is not taken.
";

/// The page that an owner reads, in Markdown.
pub fn reference() -> String {
    let mut page = BEFORE.to_owned();
    let _ =
        writeln!(page, "\nVersion {FACTS_VERSION} of what scripts see. A version only adds names.");
    page.push_str(ANSWERS);
    asked(&mut page);
    group(&mut page, "job", JobFacts::group());
    group(&mut page, "act", VerbFacts::group());
    functions(&mut page);
    phrases(&mut page);
    limits(&mut page, &Limits::default());
    page.push_str(CASES);
    in_order(&mut page);
    page
}

/// The verbs that rules are asked about: of a skull or a piece, and of a place.
pub const JUDGED: [(&str, &[&str]); 2] = [
    (
        "of a skull or a piece",
        &[
            "flesh",
            "wrap",
            "unwrap",
            "in",
            "out",
            "look",
            "wash",
            "rinse",
            "bag",
            "glue",
            "damage",
            "whiten",
            "coat",
            "stain",
            "repair",
            "tie",
            "found-in",
            "gone",
            "mount",
            "inspect",
            "grade",
            "weigh",
            "measure",
            "photograph",
            "note",
            "condition",
            "clip-tag",
            "swap-tag",
            "identify",
            "hand-over",
            "ship",
            "give-back",
            "officer-takes",
            "write-off",
        ],
    ),
    (
        "of a place",
        &["fill", "heat", "reading", "observe", "top-up", "change", "dump", "roll-call"],
    ),
];

fn asked(page: &mut String) {
    page.push_str(ASKED);
    for (what, verbs) in JUDGED {
        let verbs: Vec<String> = verbs.iter().map(|verb| format!("`{verb}`")).collect();
        let _ = writeln!(page, "- {what}: {}", verbs.join(", "));
    }
    page.push_str(ASKED_AFTER);
}

/// What the whitetail that every example begins with has, so that nobody has to print it.
fn in_order(page: &mut String) {
    page.push_str(
        "\nThe whitetail that an example begins with; what is not here is `()`, `\"\"`, 0, false or an empty list:\n\n",
    );
    let (found, empty) = (json!(JobFacts::in_order()), json!(JobFacts::default()));
    let Some(found) = found.as_object() else { return };
    for (name, value) in found {
        if empty.get(name) != Some(value) {
            let _ = writeln!(page, "    {name}: {}", in_words(value));
        }
    }
}

/// The definition file that editors for the script language read.
pub fn definitions() -> String {
    let mut file = String::from(
        "// What a price or stage script may call; made from the code, for editors alone.\n\
         // The values `job` and `act` are maps; REFERENCE.md lists the names in them.\n\
         module static;\n",
    );
    for function in helpers() {
        let _ = writeln!(file, "\n/// {}", function.about.trim());
        for (call, gives) in function.examples {
            let _ = writeln!(file, "///\n/// `{call}` gives `{gives}`");
        }
        let parameters = function.call.trim_start_matches(function.name());
        let typed =
            parameters.trim_matches(['(', ')']).split(", ").map(|name| format!("{name}: ?"));
        let typed: Vec<String> = typed.collect();
        let gives = definition_kind(function);
        let _ = writeln!(file, "fn {}({}) -> {gives};", function.name(), typed.join(", "));
    }
    file
}

/// Every name a script can see with its kind, one a line, to be held against what was there before.
pub fn facts_listed() -> Vec<String> {
    let mut lines = Vec::new();
    list(&mut lines, "job", JobFacts::group());
    list(&mut lines, "act", VerbFacts::group());
    lines.extend(helpers().iter().map(|f| format!("{} {}", f.call, f.gives)));
    lines
}

fn list(lines: &mut Vec<String>, path: &str, group: &Group) {
    for field in group.fields {
        lines.push(format!("{path}.{} {}", field.name, (field.kind)()));
        if let Some(inner) = field.group {
            list(lines, &format!("{path}.{}", inner_path(field)), inner);
        }
    }
}

/// `damage[]` for what is in a list.
fn inner_path(field: &Field) -> String {
    let list = (field.kind)().starts_with("list");
    format!("{}{}", field.name, if list { "[]" } else { "" })
}

fn group(page: &mut String, path: &str, group: &Group) {
    let _ = writeln!(page, "\n## `{path}`\n\n{}\n", group.about.trim());
    page.push_str("| name | kind | what it is |\n| --- | --- | --- |\n");
    for field in group.fields {
        let (kind, about) = ((field.kind)(), field.about.trim());
        let _ = writeln!(page, "| `{}` | {kind} | {about} |", field.name);
    }
    for field in group.fields {
        if let Some(inner) = field.group {
            self::group(page, &format!("{path}.{}", inner_path(field)), inner);
        }
    }
}

fn functions(page: &mut String) {
    page.push_str("\n## Functions\n\n| call | gives | what it does | for example |\n| --- | --- | --- | --- |\n");
    for function in helpers() {
        let examples: Vec<String> = function
            .examples
            .iter()
            .map(|(call, gives)| match gives.strip_prefix("error: ") {
                Some(words) => format!("`{call}` is an error: {words}"),
                None => format!("`{call}` is `{gives}`"),
            })
            .collect();
        let about = function.about.trim();
        let (call, gives) = (function.call, function.gives);
        let _ = writeln!(page, "| `{call}` | {gives} | {about} | {} |", examples.join("; "));
    }
}

fn phrases(page: &mut String) {
    page.push_str("\n## The language\n\nA line that begins with `//` is only talk. A statement ends with `;`, and the last value of a\nfunction, without one, is its answer. Each of these was run as it stands.\n\n");
    for phrase in language() {
        let _ = writeln!(page, "- {}: `{}` gives `{}`", phrase.about, phrase.code, phrase.gives);
    }
    page.push_str(
        "\nOnly functions may stand in a script, so a table of figures is a function too: `fn rates() {\n\
         #{ deer: 120.00 } }`. A small function written in place, `|part| part.whose == \"ours\"`, sees only\n\
         what it is given. Some words are taken by the language and cannot be names: `go`, `new`, `use`,\n\
         `with`, `is`, `match`, `default`, `eval`, `print`, `curry`, `shared` and a few more; the error says so.\n",
    );
}

fn limits(page: &mut String, limits: &Limits) {
    let _ = write!(
        page,
        "\n## Limits\n\nOne call may take {} ms and {} operations, {} KiB of text, {} list items, {} map entries, {}\n\
         variables, and functions {} deep; a script may have {} functions and {} KiB. There is no clock, file,\n\
         network or other script. A script that goes over is ended, and what it was asked about is \"not\n\
         checked\" or has no price; the shop goes on.\n",
        limits.deadline.as_millis(),
        limits.operations,
        limits.text_bytes.div_ceil(1024),
        limits.list_items,
        limits.map_entries,
        limits.variables,
        limits.call_levels,
        limits.functions,
        limits.source_bytes.div_ceil(1024),
    );
}

fn definition_kind(function: &Function) -> &'static str {
    match function.gives {
        "whole number" => "int",
        "text" => "String",
        _ => "Decimal",
    }
}
