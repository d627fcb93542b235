//! Which verbs a stage script is asked about, as it says in `verbs()`.

use std::collections::{BTreeMap, BTreeSet};

use rhai::{AST, ASTNode, Expr, Position, Stmt};

use crate::failure::ScriptFailure;
use crate::plain::kind_in_words;
use crate::script::Script;
use crate::source::{functions, is_a_rule};
use crate::way::{Function, walk, way};

/// What a script says in `verbs()`; nothing if it has no such function, and then it is asked about
/// every act.
pub(crate) fn asked_about(script: &Script) -> Result<Option<BTreeSet<String>>, ScriptFailure> {
    if !script.has("verbs", 0) {
        return Ok(None);
    }
    let wrong = |why: &str| script.failure(format!("verbs: {why}"));
    let list = script.call("verbs", Vec::new)?.into_array().map_err(|found| {
        wrong(&format!("wants a list such as [\"in\", \"wash\"], not {}", kind_in_words(found)))
    })?;
    let words = list.into_iter().map(|word| {
        word.into_string().map_err(|found| {
            wrong(&format!("wants texts in its list, not {}", kind_in_words(found)))
        })
    });
    let words: BTreeSet<String> = words.collect::<Result<_, _>>()?;
    if words.is_empty() {
        return Err(wrong("an empty list: this script would never be asked"));
    }
    Ok(Some(words))
}

/// Where `verbs()` lists a word.
pub(crate) fn listed_at(ast: &AST, word: &str) -> Position {
    let mut place = Position::NONE;
    for function in Function::all(ast).iter().filter(|function| function.name == "verbs") {
        walk(&function.body, &mut |path| {
            if let Some(ASTNode::Expr(Expr::StringConstant(text, at))) = path.last()
                && text == word
            {
                place = *at;
            }
        });
    }
    place
}

/// The first of `words` that the rules of a script name as a text though `but` leaves it out, and
/// where. A text that is held against something else, or is a reason, names no verb.
pub(crate) fn left_out<'a>(
    ast: &AST,
    source: &str,
    words: &[&'a str],
    but: &BTreeSet<String>,
) -> Option<(&'a str, Position)> {
    let mut named: BTreeMap<String, Position> = BTreeMap::new();
    let mut switches = false;
    let all = Function::all(ast);
    let own: BTreeSet<&str> = all.iter().map(|function| function.name.as_str()).collect();
    for function in all.iter().filter(|function| function.is_a_rule()) {
        walk(&function.body, &mut |path| {
            if let Some((ASTNode::Expr(Expr::StringConstant(text, at)), above)) = path.split_last()
                && !is_of_something_else(above, *at, &own)
            {
                let first = named.entry(text.to_string()).or_insert(*at);
                *first = (*first).min(*at);
            }
            switches |= matches!(path.last(), Some(ASTNode::Stmt(Stmt::Switch(..))));
        });
    }
    let left = words.iter().copied().filter(|word| !but.contains(*word));
    // What a switch compares with is not kept in the tree, so there the source is searched.
    let found = left.filter_map(|word| {
        let in_switch = || {
            let text = format!("\"{word}\"");
            let there = switches && source.contains(&text);
            there.then(|| place_of(source, &text).unwrap_or(Position::NONE))
        };
        named.get(word).copied().or_else(in_switch).map(|at| (word, at))
    });
    found.min_by_key(|(_, at)| *at)
}

/// Where a text stands in a source, outside of talk and examples.
fn place_of(source: &str, text: &str) -> Option<Position> {
    let functions = functions(source);
    let rules = functions.iter().filter(|f| is_a_rule(f.name));
    rules.flat_map(|function| &function.lines).find_map(|(line, code)| {
        let before = code.split_once(text)?.0.chars().count();
        let column = u16::try_from(before.saturating_add(1)).ok()?;
        Some(Position::new(u16::try_from(*line).ok()?, column))
    })
}

/// Whether a text is compared with something else than the act's verb, such as `step.verb` or
/// `job.way`, is handed to a function of the language, or is what an answer says: `#{ no: "papers" }`.
fn is_of_something_else(above: &[ASTNode<'_>], at: Position, own: &BTreeSet<&str>) -> bool {
    if let Some(ASTNode::Expr(Expr::Map(map, _))) = above.last() {
        let says = |name: &str| matches!(name, "no" | "remark" | "what");
        return map.0.iter().any(|(key, value)| says(&key.name) && value.position() == at);
    }
    let call = above.iter().rev().take(2).find_map(|node| {
        if let ASTNode::Expr(Expr::FnCall(call, _)) = node { Some(call) } else { None }
    });
    let Some(call) = call else { return false };
    if !matches!(call.name.as_str(), "==" | "!=" | "contains") {
        return !own.contains(call.name.as_str());
    }
    let ways = call.args.iter().filter_map(way);
    let mut of = ways.filter_map(|way| {
        let (of, name) = way.rsplit_once('.')?;
        Some((of.to_owned(), name.to_owned()))
    });
    of.next().is_some_and(|(of, name)| name != "verb" || of != "act")
}
