//! The engine's own words, put so that an owner understands them.

use crate::helpers::helpers;
use crate::reference::facts_listed;

/// Says a failure's words again in plain ones, with what to do; other words stay as they are.
pub fn in_plain_words(words: &str) -> String {
    // What stands before the engine's words, such as the script and the line, stays before them.
    let begins = ENGINE.iter().filter_map(|begin| words.find(begin)).min();
    let (before, words) = words.split_at_checked(begins.unwrap_or(0)).unwrap_or(("", words));
    format!("{before}{}", plainly(words))
}

/// How the engine's own messages begin.
const ENGINE: &[&str] = &[
    "Property not found: ",
    "Unknown property '",
    "Undefined variable: ",
    "Variable not found: ",
    "Function not found: ",
    "Expecting ",
    "Script is incomplete",
    "Open string is not terminated",
    "Runtime error: ",
    "Unexpected '",
    "Invalid character",
    "'$' is a reserved symbol",
    "'#' is a reserved symbol",
    "Array index ",
    "Data type incorrect: ",
    "Stack overflow",
];

/// What a spreadsheet writes otherwise.
const HABITS: &str = "a condition is written `if a > 1 && b == 2 { x } else { y }`: and is `&&`, or is `||`, not \
                      is `!`, equal is `==`, unequal is `!=`, and there are no commas";

/// What an unknown value is called.
const UNKNOWN: &str = "something not known, `()`";

fn plainly(words: &str) -> String {
    let after = |begin: &str| words.split_once(begin).map(|(_, rest)| rest);
    if let Some(rest) = after("Property not found: ").or_else(|| after("Unknown property '")) {
        let name = name_in(rest);
        if rest.contains("type '()'") {
            return format!(
                "`{name}` is asked of something that is not known, `()`: ask `!= ()` of it first"
            );
        }
        // Where the name is read, it is known better which other one may be meant.
        let said = rest.split_once("; did you mean `").and_then(|(_, near)| near.split_once('`'));
        let near = said.map_or_else(|| near(name), |(near, _)| format!("; did you mean `{near}`?"));
        return format!("there is nothing called `{name}` in it{near}");
    }
    if let Some(rest) = after("Undefined variable: ").or_else(|| after("Variable not found: ")) {
        let name = name_in(rest);
        match name.to_lowercase().as_str() {
            "what" | "remark" | "no" | "amount" => {
                return format!("`{name}:` stands in a map, and a map begins with `#{{`");
            }
            "elseif" | "elsif" | "elif" | "else" => {
                return format!("`{name}` is written `else if` here");
            }
            "if" | "and" | "or" | "not" | "then" => return HABITS.to_owned(),
            _ => {}
        }
        return format!(
            "nothing is called `{name}` here: a text wants quotes around it, and a name of your own \
             wants a `let {name} = ...;` before{}",
            near(name)
        );
    }
    if let Some(rest) = after("Function not found: ") {
        let (name, given) = rest.split_once('(').unwrap_or((rest, ""));
        let given = given.rsplit_once(')').map_or(given, |(given, _)| given);
        let given: Vec<&str> = given.split(", ").map(kind_in_words).collect();
        let name = name.trim();
        if !name.starts_with(|c: char| c.is_alphabetic() || c == '_') {
            let unknown = given.contains(&UNKNOWN);
            let hint = if unknown { ": ask `!= ()` of it first" } else { "" };
            return format!("`{name}` does not work between {}{hint}", given.join(" and "));
        }
        if let Some(function) = helpers().iter().find(|function| function.name() == name) {
            return format!(
                "`{}` is not meant for {}, for example `{}`",
                function.call,
                given.join(" and "),
                function.examples.first().map(|(call, _)| *call).unwrap_or_default()
            );
        }
        return format!(
            "there is no function `{}` for {}; the reference lists all there are",
            name,
            if given == [""] { "nothing".to_owned() } else { given.join(" and ") }
        );
    }
    if let Some(rest) = after("Runtime error: ") {
        return rest.to_owned();
    }
    as_it_is_written(words)
}

/// What is wrong in how a script is written, rather than in what it asks for.
fn as_it_is_written(words: &str) -> String {
    let after = |begin: &str| words.split_once(begin).map(|(_, rest)| rest);
    if words.contains("Expecting ';' to terminate this statement") {
        return "something is missing before this place: a `;` at the end of the line above, or a \
                comma in a list; or a number is written in a way that is not taken, such as 1e3"
            .to_owned();
    }
    if let Some(found) = after("Expecting a boolean expression, not ") {
        return format!(
            "a condition is wanted here, not {found}: write what is compared on each side, as in \
             `a == 1 || a == 2`"
        );
    }
    if let Some(rest) = after("Data type incorrect: ") {
        let (found, wanted) = rest.split_once(" (expecting ").unwrap_or((rest, ""));
        let (found, wanted) = (kind_in_words(found), wanted.trim_end_matches(')'));
        let ask = if found == UNKNOWN { "; ask `!= ()` of it" } else { "" };
        return format!("{} is wanted here, not {found}{ask}", kind_in_words(wanted));
    }
    if words.contains("Expecting name of a property") {
        return "a name is wanted here; some words belong to the language and cannot be one, see the \
                end of \"The language\" in the reference"
            .to_owned();
    }
    if words.contains("Expecting '=>' in this switch") {
        return "a `=>` is wanted here; in a number the decimal sign is a point, 110.00".to_owned();
    }
    if words.contains("Expecting '{' to start") || words.contains("Unexpected '>'") {
        return HABITS.to_owned();
    }
    if words.contains("Invalid character") || words.contains("Unexpected '\u{201c}'") {
        return "a text stands between straight double quotes, \"skin-on\"".to_owned();
    }
    if words.contains("'$' is a reserved symbol") {
        return "an amount is written bare, 110.00".to_owned();
    }
    if words.contains("'#' is a reserved symbol") {
        return "talk begins with two strokes, `// like this`; a map begins with `#{`".to_owned();
    }
    if words.contains("Array index") && words.contains("out of bounds") {
        return "the list has no such place; ask `.len()` first, and mind that the first is [0]"
            .to_owned();
    }
    if words.contains("Script is incomplete") || words.contains("Expecting '}'") {
        return "the script ends too early: a `}` or a `)` is missing".to_owned();
    }
    if words.contains("Open string is not terminated") {
        return "a text has no closing quote".to_owned();
    }
    if words.contains("Stack overflow") {
        return "functions call each other too deeply, perhaps one calls itself for ever"
            .to_owned();
    }
    words.to_owned()
}

/// The name at the beginning of the rest of a message.
fn name_in(rest: &str) -> &str {
    rest.split(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or(rest)
}

pub(crate) fn kind_in_words(kind: &str) -> &str {
    match kind.trim_start_matches("&mut ") {
        shown if shown.ends_with("::Shown") => "a map",
        "i64" | "INT" => "a whole number",
        "rust_decimal::Decimal" | "decimal" | "Decimal" => "a number",
        "string" | "ImmutableString" | "&str | ImmutableString | String" => "a text",
        "()" => UNKNOWN,
        "map" => "a map",
        "array" => "a list",
        "bool" => "true or false",
        "Fn" => "a function",
        other => other,
    }
}

/// "; did you mean `group`?", if a fact's name is a slip away.
fn near(name: &str) -> String {
    let listed = facts_listed();
    let names = listed.iter().filter_map(|line| line.split([' ', '(']).next());
    let best = nearest(name, names.filter_map(|path| path.rsplit('.').next()));
    best.map(|fact| format!("; did you mean `{fact}`?")).unwrap_or_default()
}

/// The word that is at most two slips away, and fewer than a third of its letters or one.
pub(crate) fn nearest<'a>(word: &str, of: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let close = |other: &str, slips: usize| {
        let most = other.chars().count().checked_div(3).unwrap_or(0).clamp(1, 2);
        slips > 0 && slips <= most && word.chars().count() > 2
    };
    let found = of.map(|other| (strsim::osa_distance(word, other), other));
    found.filter(|(slips, other)| close(other, *slips)).min().map(|(_, other)| other)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_near_that_is_a_slip_or_two_away() {
        let near = |word, other| nearest(word, std::iter::once(other));
        assert_eq!(near("gruop", "group"), Some("group"), "two letters swapped are one slip");
        assert_eq!(near("arival", "arrival"), Some("arrival"));
        assert_eq!(near("ab", "abc"), None, "too short to tell");
        assert_eq!(near("same", "same"), None);
    }

    #[test]
    fn a_mistyped_fact_is_told_with_the_right_one() {
        let told = in_plain_words("Property not found: gruop");
        assert_eq!(told, "there is nothing called `gruop` in it; did you mean `group`?");
        let told = in_plain_words("house, line 45, column 9: Property not found: gruop");
        assert!(told.starts_with("house, line 45, column 9: there is nothing called"), "{told}");
        let told = in_plain_words("Undefined variable: deer");
        assert!(told.contains("a text wants quotes around it"), "{told}");
    }

    #[test]
    fn a_text_where_a_condition_is_wanted_is_told_with_how_it_is_written() {
        let told = in_plain_words("Expecting a boolean expression, not a string");
        assert!(told.starts_with("a condition is wanted here, not a string"), "{told}");
    }

    #[test]
    fn a_function_that_is_not_there_is_told_with_what_it_was_given() {
        let told = in_plain_words("Function not found: half_op (decimal)");
        assert!(told.starts_with("there is no function `half_op` for a number"), "{told}");
    }
}
