//! Help by use: one screen to begin with, and one for each group of words.
//!
//! A screen has 80 columns and 24 lines, as the smallest terminal has.

use burrline_paper::fit;
use burrline_present::readings::READINGS;
use clap::Command;

/// Words that belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Group {
    /// Its name, as in `help pots`.
    pub name: &'static str,
    /// What it is for.
    pub about: &'static str,
    /// Lines that show how, each with what it says.
    pub examples: &'static [(&'static str, &'static str)],
    /// Its words that are no readings, in the order in which they are used.
    pub words: &'static [&'static str],
}

impl Group {
    /// All its words: the readings of its name stand behind the others, in the order of their table.
    pub fn all(&self) -> impl Iterator<Item = &'static str> {
        let readings = READINGS.iter().filter(|spec| spec.group == self.name);
        self.words.iter().copied().chain(readings.map(|spec| spec.word))
    }
}

/// Every group, in the order of the day.
pub const GROUPS: &[Group] = &[
    Group {
        name: "pots",
        about: "in, out, look, wash, and the water",
        examples: &[
            ("out pot-2 0422 more, 0426 clean", "0422 needs more, 0426 is clean"),
            ("fill tub-1 5 gal water 1 qt peroxide 12 %", "water and peroxide"),
        ],
        words: &[
            "in", "out", "look", "flesh", "wrap", "unwrap", "wash", "rinse", "fill", "heat",
            "reading", "top-up", "change", "dump",
        ],
    },
    Group {
        name: "parts",
        about: "condition, damage, bags: what is cracked, loose or away",
        examples: &[
            ("422 ok, 417 nose cracked as-found", "how each skull is"),
            ("bag 0417 nose mark A3", "a part in its own bag"),
        ],
        words: &["condition", "damage", "bag", "tie", "glue", "repair", "photograph"],
    },
    Group {
        name: "finish",
        about: "whiten, dry, weigh, measure, coat, mount, inspect",
        examples: &[
            ("weigh 0417 2 lb 3 oz", "says whether it is dry"),
            ("measure 0417 beam-r 21 7/8", "inches by the tape"),
        ],
        words: &[
            "whiten", "weigh", "measure", "stain", "coat", "mount", "inspect", "note", "hours",
        ],
    },
    Group {
        name: "tags",
        about: "tags that change, strays, and reading a whole place",
        examples: &[
            ("swap-tag 0417 0512 witness tom", "the old one comes off"),
            ("roll-call rack-1 0417 0418", "every tag at rack-1"),
        ],
        words: &[
            "clip-tag",
            "swap-tag",
            "roll-call",
            "found-in",
            "gone",
            "stray",
            "identify",
            "recognize",
        ],
    },
    Group {
        name: "counter",
        about: "a visit: heads, papers, prices, money, hand-over",
        examples: &[("take-in 3 phone 555-0142", "three heads, asked step by step")],
        words: &[
            "take-in",
            "ticket",
            "papers",
            "person",
            "extra",
            "quote",
            "agree",
            "charge",
            "pay",
            "refund",
            "promise",
            "tell",
            "purpose",
            "contact",
            "hand-over",
            "ship",
            "bring-back",
            "slip",
        ],
    },
    Group {
        name: "till",
        about: "what is in the drawer, what was spent, what was left over",
        examples: &[
            ("count-till 7x20 18x0.25", "coins and notes; says over or short"),
            ("spent 38.50 peroxide 4 gal", "cash of the till, and stock in one line"),
        ],
        words: &["float", "pay-in", "pay-out", "spent", "card-batch", "count-till", "close-till"],
    },
    Group {
        name: "desk",
        about: "whom to call, the register, customers",
        examples: &[("calls", "whom to call, the most urgent first")],
        words: &[
            "sell",
            "give-back",
            "write-off",
            "officer-takes",
            "visit",
            "add-customer",
            "amend-customer",
            "taxed-as",
            "merge-customer",
            "forget-customer",
            "receipt",
            "statement",
            "notice",
            "sheet",
            "import",
        ],
    },
    Group {
        name: "look-up",
        about: "what is where, what is due, what happened",
        examples: &[("pot-1 look softening", "at the prompt: a place goes first")],
        words: &["follow", "watch"],
    },
    Group {
        name: "wrong",
        about: "take back, correct, and what was refused",
        examples: &[
            ("amend 0417 weigh 2 lb 1 oz", "its last weighing, corrected"),
            ("undo", "this bench's last line"),
        ],
        words: &[
            "strike",
            "amend",
            "assign",
            "outbox",
            "hold",
            "release",
            "dispute",
            "answer",
            "close-dispute",
        ],
    },
    Group {
        name: "ways",
        about: "by which way a head is cleaned; animals and ways of your own",
        examples: &[
            ("take-in 0417 roe way beetles", "its steps become its plan"),
            ("by-way 0417 warm bath", "said later, or another way"),
            ("observe colony-1 26C", "how a colony or a bath is"),
            ("grade 0417 grease fair", "how it came out, now or later"),
            ("add-species takin horns both", "an animal of your own"),
            ("about-species takin huge", "what the shop knows of it"),
            ("way-step sun --takes 21d", "a step of your own"),
            ("way house flesh=1h sun=21d", "a way of your own"),
        ],
        words: &["by-way", "observe", "grade", "about-species", "way-step", "way", "replan"],
    },
    Group {
        name: "shop",
        about: "places, hands, animals, settings, stock, scripts",
        examples: &[("set-shop units us", "answers in gallons and pounds")],
        words: &[
            "add-place",
            "retire-place",
            "add-hand",
            "retire-hand",
            "add-species",
            "set-shop",
            "recipe",
            "receive-stock",
            "count-stock",
            "script",
            "install-script",
            "activate-script",
            "retire-script",
            "shadow-script",
            "end-shadow",
            "add-table",
            "set-row",
            "drop-row",
            "retire-table",
        ],
    },
    Group {
        name: "proof",
        about: "a job laid open, checked by a stranger; open forms",
        examples: &[("packet 0417 --out 0417-packet", "all that is known of it")],
        words: &["packet", "verify", "checkpoint", "export"],
    },
    Group {
        name: "setup",
        about: "joining a shop, the standing prompt, the trade's arithmetic",
        examples: &[("bench", "a prompt for the whole day")],
        words: &[
            "enrol-bench",
            "retire-bench",
            "put-clock-right",
            "join",
            "invite",
            "invites",
            "rejoin",
            "sync",
            "bench",
            "page",
            "reckon",
            "completions",
        ],
    },
];

/// The group of a name.
pub fn group(name: &str) -> Option<&'static Group> {
    GROUPS.iter().find(|group| group.name.eq_ignore_ascii_case(name))
}

/// The first screen. `before` is what stands before a line: `burrline `, or nothing at the prompt.
pub fn screen(before: &str) -> String {
    let mut lines = vec![
        "Say what was done, then where, then which tags. What is not clear is asked, and"
            .to_owned(),
        "nothing is recorded before it is clear.".to_owned(),
        String::new(),
    ];
    let examples = [
        ("wash 0417 0418", "two skulls were washed"),
        ("at 10:40 am out 0417", "it happened at 10:40"),
        ("take-in 3", "three heads, asked step by step"),
        ("floor", "what is where"),
    ];
    lines.extend(examples.iter().map(|(line, says)| example(before, line, says)));
    lines.push(String::new());
    lines.push(format!("Each of these is a screen of its own, as in {before}help pots:"));
    for group in GROUPS {
        lines.push(format!("  {:<9} {}", group.name, group.about));
    }
    lines.push(String::new());
    lines.push(if before.is_empty() {
        "help keys: short words and keys here. help wash: one word. Ctrl-D leaves.".to_owned()
    } else {
        format!("{before}help wash: one word. {before}help options, {before}help json.")
    });
    lines.join("\n")
}

/// The screen of a group, with the words of these commands.
pub fn of_group(group: &Group, commands: &Command, before: &str) -> String {
    let mut lines = vec![format!("{}: {}", group.name, group.about), String::new()];
    lines.extend(group.examples.iter().map(|(line, says)| example(before, line, says)));
    lines.push(String::new());
    for word in group.all() {
        let about = commands.find_subcommand(word).and_then(|command| command.get_about());
        let about = about.map(ToString::to_string).unwrap_or_default();
        lines.push(fitted(&format!("  {word:<15} {about}")));
    }
    lines.join("\n")
}

fn example(before: &str, line: &str, says: &str) -> String {
    fitted(&format!("  {:<38} {says}", format!("{before}{line}")))
}

/// A line of help within 80 columns.
fn fitted(line: &str) -> String {
    fit::cut(line, Some(80))
}
