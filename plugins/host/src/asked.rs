//! Which verbs a stage script is asked about, as it says in `verbs()`.

use std::collections::BTreeSet;

use rhai::{AST, ASTNode, Expr, Stmt};

use crate::failure::ScriptFailure;
use crate::plain::kind_in_words;
use crate::script::Script;

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

/// The first of `words` that the rules of a script name as a text though `but` leaves it out.
pub(crate) fn left_out<'a>(
    ast: &AST,
    source: &str,
    words: &[&'a str],
    but: &BTreeSet<String>,
) -> Option<&'a str> {
    let mut rules = ast.clone();
    rules.retain_functions(|_, _, name, _| !matches!(name, "cases" | "verbs"));
    let mut named = BTreeSet::new();
    let mut switches = false;
    rules.walk(&mut |path| {
        if let Some(ASTNode::Expr(Expr::StringConstant(text, _))) = path.last() {
            named.insert(text.to_string());
        }
        switches |= matches!(path.last(), Some(ASTNode::Stmt(Stmt::Switch(..))));
        true
    });
    let mut left = words.iter().copied().filter(|word| !but.contains(*word));
    // What a switch compares with is not kept in the tree, so there the source is searched.
    left.find(|word| named.contains(*word) || (switches && source.contains(&format!("\"{word}\""))))
}
