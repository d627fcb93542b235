//! The reference for owners and the definition file for editors, made from the code itself.

use std::fmt::Write as _;

use serde_json::json;

use crate::advice::ABOUT;
use crate::facts::{FACTS_VERSION, Field, Group, JobFacts, VerbFacts};
use crate::helpers::{Function, helpers};
use crate::language::language;
use crate::numbers::Unit;
use crate::pricing::LINE_KINDS;
use crate::sandbox::Limits;
use crate::source::in_words;

const BEFORE: &str = "\
<!-- Made from the code by `burrline script reference`; a test holds it against the code. -->
# What a price or stage script sees

A script is a text file of small functions. It gets values, reads them, and answers. It changes nothing and
reaches nothing else. This page lists everything that it can read and call. [README.md](README.md) says how you
write a script, try it and put it to use.

`()` is a number that nobody said, `\"\"` a text that nobody said. A name that is not on this page is an error,
never an empty value. That holds for `job[\"name\"]` and `job.get(\"name\")` too. `\"name\" in job` asks whether there
is such a name. What a script writes into a value, such as `job.group = \"elk\"`, only that script sees.

Amounts of money and all other numbers with a point are exact. Two whole numbers are divided without a
remainder: `7 / 2` is 3. Write `7.0 / 2` or 110.00 where a part counts.

A number that nobody said is never more or less than another: `() > 30` is false. So ask `!= ()` first. A rule
that compares such a number is shown as \"not checked\" beside its other answers. So is a rule that reads `job.owed`
or `job.charged` before a price was said. \"Not checked\" means that the rule had no answer: look for yourself.
A number and a text are never alike: `30 > \"20\"` is false. `burrline script check` says where that happens.
";

const ANSWERS: &str = "
## What a script answers

| function | answers |
| --- | --- |
| `fn price(job)` | a list of lines, `[#{ what: \"lower jaw\", amount: 25.00 }]`; a discount is a minus; 60 lines at most, and never below nothing in all. A line may say its `kind`, for adjustments to go by: KINDS |
| `fn adjust(job, lines)` | instead of `price`: further lines for what a price list gives, a rush or a discount; `lines` is what is there already, each `#{ what, amount, kind }`, with `\"\"` where a list said no kind |
| `fn deposit(job, total)` | the amount to ask for at once, between nothing and the total; leave it out if there is none |
| `fn check(job, act)` | `()` if it is fine, `#{ remark: \"...\" }` to have something said, `#{ no: \"...\" }` to object; one plain line of at most 160 characters. For several reasons a list of these: the hand sees all of them in one question |
| `fn verbs()` | the verbs that `check` has something to say about, `[\"in\", \"whiten\"]`; leave it out to be asked about every act |
| `fn plan(job)` | a list of steps, `[#{ step: \"simmer\", expect_minutes: hours(2) }]`; 40 at most |
| `fn remind(job)` | what somebody should remember of an open head: `()` for nothing, a text, or `#{ remind: \"call about the jaw\", in_days: 3 }`; a list for several, 12 at most. `burrline due` shows it |
| `fn first_look(job, act)` | after how many minutes a head is first looked at once `act`, an `in`, has put it into `act.place`; `()` for the usual time. It goes on the record of the `in`, and the bench rings by it |
| `fn ready_by(job)` | in how many days from today a head is ready: `45`, or `#{ days: 45, says: \"ready for the holidays\" }` with a sentence for the customer; `()` for what the shop's own trails say |
| `fn fits(job, act)` | how many heads such as this one fit into `act.place`, this one counted; `()` for the usual number. `burrline next` fills no place beyond it |
| `fn message(job, about)` | what a customer is told, with blanks such as `{name}`; `about` is ABOUT; `()` for the shop's own text |
| `fn numbers()` | the numbers that `burrline script set` changes, see the end of this page |
| `fn cases()` | examples that must hold, see the end of this page |

Of several price lists (`fn price`) only the one that was activated last is in force. After it every active
script with `fn adjust` adds its lines, in the order of their names. Each sees the lines of all before it. The
deposit is that of the last script which has a `deposit`. It is of the total with all adjustments in it. The shop
rounds each line and the deposit half up to its smallest coin, and adds the lines up.

Of several stage scripts every `check` is asked, in the order of their names. The first `plan` that gives steps is
the plan. The names of a plan's steps are the shop's own. A plan of no steps, `[]`, means that this script has none
for such a job.

`remind` is asked of every stage script that has it. Of `first_look`, `ready_by` and `message` the first script
with an answer gives it, in the order of their names; of `fits` the least number holds. None of them stops
anybody. A blank of a message is filled in by the shop, since a script never sees who the customer is: `{name}`,
`{shop}`, `{phone}`, `{heads}`, `{owed}`, `{day}`. If such a function goes by a number that nobody said, it has no answer.

`[]` in a name below stands for each of a list: `job.damage[].whose` is read with
`for one in job.damage { one.whose }`.
";

const ASKED: &str = "
## What rules are asked about, and when

A rule is asked when somebody is about to do something, and never in between. So a rule cannot ring while a
skull is in hot water. It can say at the `look`, the `out` or the next `in` that the skull was there too long.

";

const ASKED_AFTER: &str = "
A verb of a place (fill, top-up, heat and so on) has an empty job: do not look at the job there. `act.place` is
the place with what is in it before the act. For `in`, `act.place.bath` is the bath that a skull would go into.
For `fill`, `top-up` and `change`, `act.strength_wv` is the strength that there would be afterwards. The
temperature of a bath is known once somebody has said it with `reading` or `heat`.

`job.heat_minutes` and the hours in baths also count the time since the skull went in, if it is still there. Hands
are written as the shop wrote them, in small letters unless it used others. `act.hand` is `\"\"` where nobody said.
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
    #{ name: \"a fawn\", job: #{ age: \"fawn\" }, act: #{ place: #{ kind: \"pot\" } }, first_look: 20 }
    #{ name: \"three fit\", act: #{ place: #{ name: \"pot-1\", kind: \"pot\" } }, fits: 3 }
    #{ name: \"a day\", job: #{ group: \"bear\" }, ready_days: 90 }
    #{ name: \"no word\", job: #{ agreed: false }, reminds: \"price\" }
    #{ name: \"a text\", about: \"ready\", message: \"come by\" }

`lines` is for `adjust` alone: what the price list gave. Left out, it is `cleaning, KIND` for 120.00. `total` is
all of it together. `reminds` and `message` name a part of what is said, `\"\"` where nothing is. `expect` is \"fine\", \"remark\" or \"no\". The shop does not take a script with an example that fails.
";

const TABLES: &str = "
## Tables of the shop's own

A small table, such as a fee by county, is kept at the shop and not in a script. The owner begins it with
`burrline add-table county-fee money` and writes a row with `burrline set-row county-fee larimer 2.50`. Its values
are all of one kind: money, number, whole, text or yes-no. `burrline tables` lists them. A script asks for a row:

    let fee = job.tables.row(\"county-fee\", job.county);
    if fee != () { lines.push(#{ what: \"county fee\", amount: fee }); }

Capitals do not count in the name of a row. A row that is not there is `()`. A table that is not there is an
error, since a fee that is never found is a fee that nobody pays. An example brings the tables that it needs:
`job: #{ county: \"Larimer\", tables: #{ \"county-fee\": #{ larimer: 2.50 } } }`.
";

const NUMBERS: &str = "
## Numbers that are set without writing a script

A number is what a function without arguments gives: `fn rush_days() { 21 }`. Or it is a value of the map that
such a function gives: `fn cleaning() { #{ deer: 125.00, elk: 215.00 } }`. `numbers()` names those that may be
set. Each has its unit, the least and the most that it may be, and a sentence:

    fn numbers() {
        [
            #{ name: \"rush_days\", unit: \"days\", least: 0, most: 365, says: \"Promised sooner than this is a rush\" },
            #{ name: \"cleaning\", unit: \"money\", least: 0, most: 5000, says: \"Cleaning one skull of this kind\" },
        ]
    }

An entry for a map holds for all values in it. An entry for `extras.rush_days` holds for that value alone.
`unit` is UNITS. On the command line a name has hyphens and dots: `burrline script set house
cleaning.deer 135`, and `rush-days` for `rush_days`. A value may have a greater unit, `2 weeks`, or `122 F`.
`burrline script numbers` lists them all. The first value of a number stays beside it in a comment:
`135.00 /* first 125.00 */`. Examples are run with the first numbers, since they show how the script calculates.
To change a formula, such as `2 * 60`, change the file.
";

/// The page that an owner reads, in Markdown.
pub fn reference() -> String {
    let mut page = BEFORE.to_owned();
    let _ =
        writeln!(page, "\nVersion {FACTS_VERSION} of what scripts see. A version only adds names.");
    let kinds: Vec<String> = LINE_KINDS.iter().map(|kind| format!("\"{kind}\"")).collect();
    let about: Vec<String> = ABOUT.iter().map(|about| format!("\"{about}\"")).collect();
    let answers = ANSWERS.replace("KINDS", &kinds.join(", "));
    page.push_str(&answers.replace("ABOUT", &about.join(", ")));
    asked(&mut page);
    group(&mut page, "job", JobFacts::group());
    group(&mut page, "act", VerbFacts::group());
    functions(&mut page);
    phrases(&mut page);
    limits(&mut page, &Limits::default());
    let units: Vec<String> = Unit::ALL.iter().map(|(_, name)| format!("`{name}`")).collect();
    page.push_str(TABLES);
    page.push_str(&NUMBERS.replace("UNITS", &format!("one of {}", units.join(", "))));
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
            "recognize",
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
        "// What a price or stage script may read and call; made from the code, for editors alone.\n\
         // `job` is a Job and `act` an Act; REFERENCE.md says more of the names in them.\n\
         module static;\n",
    );
    typed_names(&mut file, "Job", JobFacts::group());
    typed_names(&mut file, "Act", VerbFacts::group());
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

/// The names in a group as getters, each with its type, and then those of the groups in it.
fn typed_names(file: &mut String, of: &str, group: &Group) {
    for field in group.fields {
        let about = field.about.trim();
        let inner = format!("{of}{}", in_capitals(field.name));
        let kind = (field.kind)();
        let gives = match field.group {
            Some(_) if kind.starts_with("list") => "Array".to_owned(),
            Some(_) => inner.clone(),
            None => type_of(&kind).to_owned(),
        };
        let _ =
            writeln!(file, "\n/// {about} ({kind})\nfn get {}(of: {of}) -> {gives};", field.name);
        if let Some(group) = field.group {
            typed_names(file, &inner, group);
        }
    }
}

/// `worked_by` as a part of the name of a type.
fn in_capitals(name: &str) -> String {
    let words = name.split('_').filter_map(|word| {
        let (first, rest) = word.split_at_checked(1)?;
        Some(format!("{}{rest}", first.to_uppercase()))
    });
    words.collect()
}

/// The type of a plain value, as editors name it; `?` where it may be `()`.
fn type_of(kind: &str) -> &'static str {
    match kind {
        "text" => "String",
        "whole number" => "int",
        "number" => "Decimal",
        "true or false" => "bool",
        kind if kind.starts_with("list") => "Array",
        kind if kind.starts_with("map") => "Map",
        _ => "?",
    }
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
    page.push_str("\n## The language\n\nA line that begins with `//` is a comment. A statement ends with `;`. The last value of a function,\nwithout a `;`, is its answer. Each of these was run as it stands.\n\n");
    for phrase in language() {
        let _ = writeln!(page, "- {}: `{}` gives `{}`", phrase.about, phrase.code, phrase.gives);
    }
    page.push_str(
        "\nOnly functions may stand in a script, so a table of figures is a function too: `fn rates() {\n\
         #{ deer: 120.00 } }`. A small function written in place, `|part| part.whose == \"ours\"`, sees only\n\
         what it is given. Some words belong to the language and cannot be names. The error says so. Among\n\
         them are `go`, `new`, `use`, `with`, `is`, `match`, `default`, `eval`, `print`, `curry` and `shared`.\n",
    );
}

fn limits(page: &mut String, limits: &Limits) {
    let _ = write!(
        page,
        "\n## Limits\n\nOne call may take {} ms and {} operations. It may use {} KiB of text, {} list items, {} map\n\
         entries, {} variables, and functions {} deep. All rules that one line asks have {} ms together. A script\n\
         may have {} functions and {} KiB. There is no clock, file, network or other script. A script that goes\n\
         over a limit is ended, and one that has no time left is not asked. What it was asked about is\n\
         \"not checked\" or has no price, and the shop goes on.\n",
        limits.deadline.as_millis(),
        limits.operations,
        limits.text_bytes.div_ceil(1024),
        limits.list_items,
        limits.map_entries,
        limits.variables,
        limits.call_levels,
        limits.one_line.as_millis(),
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
