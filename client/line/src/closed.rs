//! The closed lists of words: those of the domain, and the usual words of fields that are open.

use burrline_domain::{VerbSpec, verb::FieldSpec};
use burrline_terms::Kind;

use super::pieces::sided;

/// Other words for a verb, and the verb.
pub const SYNONYMS: &[(&str, &str)] = &[
    ("put", "in"),
    ("move", "in"),
    ("undo", "strike"),
    ("swap", "swap-tag"),
    ("pull", "out"),
    ("pulled", "out"),
    ("drain", "dump"),
    ("into", "in"),
    ("bought", "receive-stock"),
    ("count", "count-stock"),
];

/// What was done is as often said in the past, and some verbs are written in other ways.
const PAST: &[(&str, &str)] = &[
    ("agreed", "agree"),
    ("brought-back", "bring-back"),
    ("changed", "change"),
    ("charged", "charge"),
    ("clipped", "clip-tag"),
    ("counted", "count-stock"),
    ("damaged", "damage"),
    ("drained", "dump"),
    ("dumped", "dump"),
    ("filled", "fill"),
    ("gave-back", "give-back"),
    ("given-back", "give-back"),
    ("giveback", "give-back"),
    ("handed-over", "hand-over"),
    ("handover", "hand-over"),
    ("heated", "heat"),
    ("looked-at", "look"),
    ("noted", "note"),
    ("photo", "photograph"),
    ("photographed", "photograph"),
    ("picked-up", "hand-over"),
    ("pressure-wash", "wash"),
    ("pressure-washed", "wash"),
    ("promised", "promise"),
    ("receive", "receive-stock"),
    ("received", "receive-stock"),
    ("released", "release"),
    ("rollcall", "roll-call"),
    ("sold", "sell"),
    ("swapped", "swap-tag"),
    ("taken-in", "take-in"),
    ("told", "tell"),
    ("took-in", "take-in"),
    ("took-out", "out"),
    ("top-off", "top-up"),
    ("topped-off", "top-up"),
    ("topped-up", "top-up"),
    ("weighs", "weigh"),
    ("writeoff", "write-off"),
    ("wrote-off", "write-off"),
    ("bagged", "bag"),
    ("coated", "coat"),
    ("fleshed", "flesh"),
    ("glued", "glue"),
    ("inspected", "inspect"),
    ("measured", "measure"),
    ("mounted", "mount"),
    ("moved", "in"),
    ("paid", "pay"),
    ("quoted", "quote"),
    ("read", "reading"),
    ("refunded", "refund"),
    ("repaired", "repair"),
    ("rinsed", "rinse"),
    ("shipped", "ship"),
    ("stained", "stain"),
    ("tied", "tie"),
    ("unwrapped", "unwrap"),
    ("washed", "wash"),
    ("sealed", "coat"),
    ("weighed", "weigh"),
    ("worked", "hours"),
    ("whitened", "whiten"),
    ("wrapped", "wrap"),
    ("checked", "look"),
    ("closed-dispute", "close-dispute"),
    ("collected", "hand-over"),
    ("emptied", "dump"),
    ("lifted", "out"),
    ("power-wash", "wash"),
    ("power-washed", "wash"),
    ("pulled-out", "out"),
    ("retagged", "swap-tag"),
    ("retag", "swap-tag"),
    ("lift", "out"),
    ("thaw", "out"),
    ("wt", "weigh"),
    ("weight", "weigh"),
    ("qc", "inspect"),
    ("pd", "pay"),
    ("payed", "pay"),
    ("topped", "top-up"),
];

/// The verb of a word that says what was done and is a value of it: `lit pot-1`.
pub fn state_of(word: &str) -> Option<&'static str> {
    let lit =
        matches!(word.to_lowercase().as_str(), "lit" | "boiled" | "fired" | "fire" | "started");
    lit.then_some("heat")
}

/// How somebody was told, where the word says that they were: `called 0417`.
pub fn reached(word: &str) -> Option<&'static str> {
    let by = [
        ("called", "phone"),
        ("phoned", "phone"),
        ("rang", "phone"),
        ("texted", "text"),
        ("text", "text"),
        ("emailed", "email"),
        ("email", "email"),
        ("e-mailed", "email"),
    ];
    let word = word.to_lowercase();
    by.iter().find(|(other, _)| *other == word).map(|(_, means)| *means)
}

/// The verb that another word for it means.
pub fn synonym(word: &str) -> Option<&'static str> {
    let word = word.to_lowercase();
    SYNONYMS.iter().chain(PAST).find(|(other, _)| *other == word).map(|(_, verb)| *verb)
}

/// The usual words of a field that takes any name, by verb and field. Any other word goes behind the
/// field's name (common practice, no source).
const USUAL: &[(&str, &str, &[&str])] = &[
    (
        "take-in",
        "age",
        &[
            "fawn", "calf", "kid", "lamb", "cub", "young", "juvenile", "yearling", "adult",
            "mature", "old",
        ],
    ),
    (
        "measure",
        "what",
        &[
            "spread",
            "inside-spread",
            "outside-spread",
            "beam-r",
            "beam-l",
            "burr-r",
            "burr-l",
            "g1-r",
            "g1-l",
            "g2-r",
            "g2-l",
            "g3-r",
            "g3-l",
            "g4-r",
            "g4-l",
            "g5-r",
            "g5-l",
            "g6-r",
            "g6-l",
            "h1-r",
            "h1-l",
            "h2-r",
            "h2-l",
            "h3-r",
            "h3-l",
            "h4-r",
            "h4-l",
            "length",
            "width",
            "height",
            "horn-r",
            "horn-l",
            "base-r",
            "base-l",
            "girth-r",
            "girth-l",
            "tusk-r",
            "tusk-l",
            "tip-to-tip",
        ],
    ),
    ("coat", "with", &["wax", "lacquer", "varnish", "clear-coat", "sealer", "oil", "glue-wash"]),
    ("stain", "with", &["walnut", "oak", "coffee", "tea", "permanganate", "wax", "oil"]),
    ("tie", "with", &["string", "twine", "wire", "mesh", "net", "tape", "band"]),
    ("mount", "on", &["plaque", "stand", "board", "panel", "pedestal", "hook"]),
    (
        "extra",
        "what",
        &[
            "plaque",
            "sheaths",
            "stain",
            "shipping",
            "own-price",
            "rush",
            "jaw",
            "teeth",
            "repair",
            "stand",
            "pedestal",
        ],
    ),
    ("add-customer", "class", CLASSES),
    ("amend-customer", "class", CLASSES),
    ("ship", "carrier", &["post", "courier", "freight", "carrier", "bus"]),
];

/// Whether a word is one of the usual words of an animal or a customer's class.
pub fn is_usual(word: &str) -> bool {
    let of_heads = USUAL.iter().filter(|(_, field, _)| matches!(*field, "age" | "class"));
    of_heads.flat_map(|(_, _, words)| *words).any(|usual| *usual == word)
}

/// Classes of customers that prices are usually made for (common practice, no source).
const CLASSES: &[&str] =
    &["outfitter", "guide", "dealer", "regular", "museum", "school", "wholesale", "trade", "staff"];

/// Verbs that are about a piece, never about the whole skull.
pub const OF_PIECES: &[&str] = &["bag", "tie", "glue"];

/// Words that people use for a word of a list.
const MEANT: &[(&str, &str)] = &[
    ("cheque", "check"),
    ("hide-off", "skinned"),
    ("caped", "skinned"),
    ("skinned-out", "skinned"),
    ("found", "found-dead"),
    ("roadkill", "road-kill"),
    ("as-is", "as-found"),
    ("unknown-whose", "not-known"),
    ("by-us", "ours"),
    ("our-fault", "ours"),
    ("our-doing", "ours"),
    ("soft", "softening"),
    ("slip", "slipping"),
    ("boiling", "boil"),
    ("boiled", "boil"),
    ("rolling", "boil"),
    ("rolling-boil", "boil"),
    ("left-msg", "message"),
    ("left-message", "message"),
    ("left-vm", "message"),
    ("left-voicemail", "message"),
    ("light", "lit"),
    ("fired", "lit"),
    ("fired-up", "lit"),
    ("fire", "lit"),
    ("started", "lit"),
    ("no-reply", "no-answer"),
    ("voicemail", "message"),
    ("voice-mail", "message"),
    ("vm", "message"),
    ("left-vm", "message"),
    ("left-voicemail", "message"),
    ("left-message", "message"),
    ("left-a-message", "message"),
    ("credit-card", "card"),
    ("debit-card", "card"),
    ("credit", "card"),
    ("debit", "card"),
    ("bank-transfer", "transfer"),
    ("wire", "transfer"),
    ("wire-transfer", "transfer"),
    ("e-transfer", "transfer"),
    ("negative", "not-detected"),
    ("neg", "not-detected"),
    ("positive", "detected"),
    ("pos", "detected"),
    ("not-done", "not-tested"),
    ("untested", "not-tested"),
    ("waiting", "pending"),
    ("aluminum", "aluminium"),
    ("stainless-steel", "stainless"),
    ("cast-iron", "iron"),
    ("mail", "post"),
    ("mailed", "post"),
    ("stinks", "foul"),
    ("stinky", "foul"),
    ("smelly", "foul"),
    ("smells", "foul"),
    ("frozen-solid", "frozen"),
    ("froze", "frozen"),
    ("skinned-already", "skinned"),
    ("more-time", "more"),
    ("longer", "more"),
    ("potassium-permanganate", "permanganate"),
    ("sample-sent", "pending"),
    ("sample-dropped-off", "pending"),
    ("sample-taken", "pending"),
    ("sample-mailed", "pending"),
    ("sample-submitted", "pending"),
    ("no-antlers", "none"),
    ("no-horns", "none"),
    ("no-headgear", "none"),
    ("both-sexes", "both"),
    ("males-only", "males"),
    ("males-alone", "males"),
    ("called", "phone"),
    ("rang", "phone"),
    ("texted", "text"),
    ("sms", "text"),
    ("e-mail", "email"),
    ("emailed", "email"),
    ("no", "never"),
    ("no-more", "never"),
    ("texts", "text"),
    ("calls", "phone"),
    ("letters", "letter"),
    ("emails", "email"),
];

/// What a field is called beside its own name, by verb.
const FIELDS: &[(&str, &str, &str)] = &[
    ("papers", "killed", "killed_on"),
    ("papers", "kill_date", "killed_on"),
    ("papers", "harvested", "killed_on"),
    ("papers", "tag", "kill_tag"),
    ("papers", "confirmation", "kill_tag"),
    ("papers", "seal", "agency_seal"),
    ("papers", "sealed", "agency_seal"),
    ("papers", "permit", "salvage_permit"),
    ("papers", "salvage", "salvage_permit"),
    ("papers", "cwd", "test"),
    ("papers", "cwd_test", "test"),
    ("papers", "disease_test", "test"),
    ("papers", "disease", "test"),
    ("papers", "paper", "lies"),
    ("ship", "tracking", "parcel"),
    ("ship", "tracking_number", "parcel"),
    ("ship", "number", "parcel"),
    ("condition", "nasal", "nose"),
    ("condition", "nasals", "nose"),
    ("condition", "nasal_bone", "nose"),
    ("condition", "nasal_bones", "nose"),
    ("condition", "nose_bone", "nose"),
    ("condition", "nose_bones", "nose"),
    ("condition", "lower_jaw", "jaw"),
    ("condition", "jawbone", "jaw"),
    ("condition", "mandible", "jaw"),
    ("quote", "price", "total"),
    ("wash", "brains", "brain"),
    ("flesh", "brains", "brain"),
    ("bag", "bag", "mark"),
    ("bag", "label", "mark"),
    ("bag", "marked", "mark"),
    ("swap-tag", "witnessed_by", "witness"),
];

/// The field that a verb calls so, by its name or another word for it.
pub fn field_called(verb: &str, name: &str) -> Option<&'static str> {
    FIELDS.iter().find(|(of, called, _)| *of == verb && *called == name).map(|(.., field)| *field)
}

/// The verb that calls a field of its own so, where one alone does.
pub fn verb_that_calls(name: &str) -> Option<&'static str> {
    let mut found = FIELDS.iter().filter(|(_, called, _)| *called == name).map(|(verb, ..)| *verb);
    found.next().filter(|_| found.next().is_none())
}

/// What is said of a part at which nothing is broken.
pub const SOUND: &[&str] = &["ok", "okay", "fine", "good", "intact", "sound"];

/// The words that a field takes, if it takes those of a list.
pub fn list(spec: &VerbSpec, field: &FieldSpec) -> Option<Vec<&'static str>> {
    if let Kind::Listed(list) = field.kind() {
        return Some(list.to_vec());
    }
    let usual = USUAL.iter().find(|(verb, name, _)| *verb == spec.word && *name == field.name);
    usual.map(|(_, _, list)| list.to_vec())
}

/// Whether a word answers a question that must have been named.
pub fn is_answer(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "yes" | "no" | "unknown")
}

/// Whether any other word may stand behind the field's name.
pub fn is_open(field: &FieldSpec) -> bool {
    matches!(field.kind(), Kind::Open | Kind::Hand | Kind::Setting)
}

/// The word of a list at the front: capitals do not count, nor a blank for a hyphen.
pub fn word_of(list: &[&'static str], words: &[&str]) -> Option<(String, usize)> {
    for used in [3, 2, 1] {
        let Some(run) = words.get(..used) else { continue };
        // What was in quotes is no word of a list.
        if run.iter().any(|word| word.contains(char::is_whitespace)) {
            continue;
        }
        let typed = run.join("-").to_lowercase();
        let typed = typed.trim_end_matches(['.', ':']);
        if let Some(word) = list.iter().find(|word| **word == typed) {
            return Some(((*word).to_owned(), used));
        }
        if let Some(word) = sided(list, run) {
            return Some((word, used));
        }
        let meant = MEANT.iter().find(|(other, _)| *other == typed).map(|(_, word)| *word);
        if let Some(word) = meant.filter(|word| list.contains(word)) {
            return Some((word.to_owned(), used));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use burrline_domain::verb::spec;
    use burrline_terms::words::{Reached, Whose};

    use super::*;

    #[test]
    fn a_blank_does_for_a_hyphen_and_capitals_do_not_count() {
        let whose = |line: &str| word_of(Whose::WORDS, &line.split(' ').collect::<Vec<_>>());
        assert_eq!(whose("as found"), Some(("as-found".into(), 2)));
        assert_eq!(whose("OURS and"), Some(("ours".into(), 1)));
        assert_eq!(whose("mine"), None);
        assert_eq!(word_of(Reached::WORDS, &["No", "Answer"]), Some(("no-answer".into(), 2)));
    }

    #[test]
    fn every_list_is_of_a_field_that_there_is() {
        for (verb, field, words) in USUAL {
            let spec = spec(verb).unwrap();
            let field = spec.fields.iter().find(|f| f.name == *field).unwrap();
            assert!(is_open(field) && !words.is_empty(), "{verb} {}", field.name);
        }
        for (verb, called, field) in FIELDS {
            let fields = spec(verb).unwrap().fields;
            assert!(fields.iter().any(|f| f.name == *field), "{verb} {field}");
            assert!(fields.iter().all(|f| f.name != *called), "{verb} {called}");
        }
        for (other, verb) in SYNONYMS.iter().chain(PAST) {
            assert!(spec(verb).is_some() && spec(other).is_none(), "{other}");
        }
    }
}
