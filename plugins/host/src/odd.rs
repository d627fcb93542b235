//! What is odd in a script as it is written: seen in its tree, with no job to try it on.

#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "a few forms are picked out of a tree that has many, and may get more"
)]

use std::collections::{BTreeMap, BTreeSet};

use rhai::{AST, ASTNode, Expr, Position, Stmt, StmtBlock};

use crate::advice::ABOUT;
use crate::known::Known;
use crate::lint::Lint;
use crate::way::{Function, Kinds, literal, walk, way};

/// What looks odd, in the order of the source.
pub(crate) fn odd(ast: &AST, known: &Known) -> Vec<Lint> {
    let mut found = Found { known, about: None, lints: Vec::new() };
    for function in Function::all(ast).iter().filter(|function| function.is_a_rule()) {
        found.look_at(function);
    }
    found.lints
}

struct Found<'a> {
    known: &'a Known,
    /// In `message`, the name of what it is about.
    about: Option<String>,
    lints: Vec<Lint>,
}

impl Found<'_> {
    fn tell(&mut self, at: Position, words: impl Into<String>) {
        self.lints.push(Lint::at(at, words));
    }

    fn look_at(&mut self, function: &Function) {
        let body = &function.body;
        self.forgotten(body, true);
        let kinds = Kinds::of(function);
        self.about =
            (function.name == "message").then(|| function.params.get(1).cloned()).flatten();
        let mut uses = Uses::default();
        walk(body, &mut |path| {
            match path.last() {
                Some(ASTNode::Stmt(stmt)) => self.statement(stmt, &kinds),
                Some(ASTNode::Expr(expr)) => self.expression(expr, &kinds),
                _ => {}
            }
            uses.note(path);
        });
        let unused = uses.set.into_iter().filter(|(name, _)| !uses.read.contains(name));
        for (name, at) in unused.filter(|(name, _)| !name.starts_with('_')) {
            self.tell(at, format!("`{name}` is set and then never used"));
        }
    }

    /// Values that are worked out in a statement, and that nobody takes. `used` is whether the
    /// last value of the block is taken.
    fn forgotten(&mut self, block: &StmtBlock, used: bool) {
        let count = block.statements().len();
        for (at, stmt) in (1_usize..).zip(block.statements()) {
            let used = used && at == count;
            match stmt {
                Stmt::If(x, _) | Stmt::TryCatch(x, _) => {
                    self.forgotten(&x.body, used);
                    self.forgotten(&x.branch, used);
                }
                Stmt::While(x, _) | Stmt::Do(x, ..) => self.forgotten(&x.body, false),
                Stmt::For(x, _) => self.forgotten(&x.2.body, false),
                Stmt::Block(inner) => self.forgotten(inner, used),
                Stmt::Expr(expr) if !used && is_pure(expr) => {
                    let compares = matches!(&**expr, Expr::FnCall(call, _) if call.name == "==");
                    self.tell(begin(expr), if compares { COMPARED } else { FORGOTTEN });
                }
                _ => {}
            }
        }
    }

    fn statement(&mut self, stmt: &Stmt, kinds: &Kinds) {
        match stmt {
            Stmt::If(x, _) => self.condition(&x.expr),
            // `while true` is a loop that is left otherwise.
            Stmt::While(x, _) if !matches!(x.expr, Expr::BoolConstant(true, _)) => {
                self.condition(&x.expr);
            }
            Stmt::Assignment(x) => {
                let (to, from) = (way(&x.1.lhs), way(&x.1.rhs));
                if !x.0.is_op_assignment() && to.is_some() && to == from {
                    self.tell(begin(&x.1.lhs), "this sets a value to itself");
                }
                if let Expr::Dot(dot, ..) | Expr::Index(dot, ..) = &x.1.lhs
                    && let Expr::Variable(name, ..) = &dot.lhs
                    && kinds.are_handed(&name.1)
                {
                    let words = format!(
                        "what is written into `{}` is seen by this script alone, and changes \
                         nothing at the shop",
                        name.1
                    );
                    self.tell(begin(&x.1.lhs), words);
                }
            }
            _ => {}
        }
    }

    /// A condition that is the same for every job.
    fn condition(&mut self, expr: &Expr) {
        if is_constant(expr) {
            let words = "this condition is the same for every job, so it makes no difference";
            self.tell(begin(expr), words);
        }
    }

    fn expression(&mut self, expr: &Expr, kinds: &Kinds) {
        match expr {
            Expr::And(parts, _) => self.joined(parts, "=="),
            Expr::Or(parts, _) => self.joined(parts, "!="),
            Expr::FnCall(call, _) => match (call.name.as_str(), call.args.as_slice()) {
                (operator, [a, b]) if is_comparison(operator) => {
                    if way(a).is_some_and(|a| Some(a) == way(b)) {
                        let words = "both sides are the same, so it makes no difference";
                        self.tell(begin(a), words);
                    }
                    for (asked, value) in [(a, b), (b, a)] {
                        self.of_a_message(asked, value);
                        self.values(kinds.name_of(asked), &[value]);
                    }
                }
                ("contains", [list, value]) => {
                    if kinds.is_text(list) {
                        let words = "`in` finds parts of words as well: \"deer\" is in \"reindeer\". For the \
                                     whole word use `==`, or `in [\"...\"]`; if a part is meant, write \
                                     `.contains(...)`";
                        self.tell(begin(value), words);
                    }
                    if let Expr::Array(values, _) = list {
                        let values: Vec<&Expr> = values.iter().collect();
                        self.values(kinds.name_of(value), &values);
                    }
                }
                _ => {}
            },
            // A call after a point is of another form than a bare one.
            Expr::MethodCall(call, _) => {
                if let ("row", [Expr::StringConstant(table, at), _]) =
                    (call.name.as_str(), call.args.as_slice())
                    && let Some(words) = self.known.odd_table(table)
                {
                    self.tell(*at, words);
                }
            }
            _ => {}
        }
    }

    /// What a message is said to be about, and never is.
    fn of_a_message(&mut self, asked: &Expr, value: &Expr) {
        let Expr::Variable(name, ..) = asked else { return };
        if self.about.as_deref() != Some(name.1.as_str()) {
            return;
        }
        if let Expr::StringConstant(text, at) = value
            && !ABOUT.contains(&text.as_str())
        {
            let all = ABOUT.join(", ");
            self.tell(*at, format!("no message is about \"{text}\"; there are {all}"));
        }
    }

    /// Parts of a condition that settle it, alone or together.
    fn joined(&mut self, parts: &[Expr], settles: &str) {
        let mut compared: BTreeMap<String, String> = BTreeMap::new();
        for part in parts {
            if is_constant(part) {
                let words = "this part is the same for every job, so it makes no difference";
                self.tell(begin(part), words);
            }
            let Expr::FnCall(call, _) = part else { continue };
            let [a, b] = call.args.as_slice() else { continue };
            let (Some(asked), Some(value)) = (way(a), literal(b)) else { continue };
            if call.name.as_str() != settles {
                continue;
            }
            let before = compared.entry(asked.clone()).or_insert_with(|| value.clone());
            if *before != value {
                let (is, other) =
                    if settles == "==" { ("never", "|| (or)") } else { ("always", "&& (and)") };
                let words = format!(
                    "this is {is} true, as `{asked}` cannot be {before} and {value} at once: is `{other}` \
                     meant?"
                );
                self.tell(begin(part), words);
            }
        }
    }

    /// Texts that a fact is compared with, where the shop knows all that it can be.
    fn values(&mut self, fact: Option<&'static str>, values: &[&Expr]) {
        let Some(names) = fact.and_then(|fact| self.known.of(fact)) else { return };
        for value in values {
            if let Expr::StringConstant(text, at) = value
                && let Some(words) = names.odd(text)
            {
                self.tell(*at, words);
            }
        }
    }
}

const FORGOTTEN: &str =
    "this is worked out and then forgotten: is a `let`, a `return` or a `=` missing?";
const COMPARED: &str = "`==` compares, and nobody takes the answer: one `=` sets a value";

/// Which names of a function's own are set, and which are read.
#[derive(Default)]
struct Uses {
    set: BTreeMap<String, Position>,
    read: BTreeSet<String>,
}

impl Uses {
    fn note(&mut self, path: &[ASTNode<'_>]) {
        const FILL: [&str; 5] = ["push", "append", "insert", "set", "pad"];
        if let Some(ASTNode::Stmt(Stmt::Var(x, ..))) = path.last() {
            self.set.entry(x.0.name.to_string()).or_insert(x.0.pos);
        }
        let Some((ASTNode::Expr(here @ Expr::Variable(name, ..)), above)) = path.split_last()
        else {
            return;
        };
        let written = match above {
            [.., ASTNode::Stmt(Stmt::Assignment(x))] => std::ptr::eq(*here, &raw const x.1.lhs),
            // A list that is only ever filled is of no use.
            [.., ASTNode::Stmt(Stmt::Expr(_)), ASTNode::Expr(Expr::Dot(dot, ..))] => {
                let fills = |name: &str| FILL.contains(&name);
                std::ptr::eq(*here, &raw const dot.lhs)
                    && matches!(&dot.rhs, Expr::MethodCall(call, _) if fills(&call.name))
            }
            _ => false,
        };
        if !written {
            self.read.insert(name.1.to_string());
        }
    }
}

fn is_comparison(name: &str) -> bool {
    matches!(name, "==" | "!=" | "<" | "<=" | ">" | ">=")
}

/// Where an expression begins; the place of an operator is between what it works on.
fn begin(expr: &Expr) -> Position {
    match expr {
        // The list or text comes first in the call that `in` is.
        Expr::FnCall(call, at) if is_operator(&call.name) => {
            call.args.iter().map(begin).min().unwrap_or(*at).min(*at)
        }
        Expr::And(parts, at) | Expr::Or(parts, at) => parts.first().map_or(*at, begin),
        _ => expr.start_position(),
    }
}

/// A name that is no word is an operator's; `in` goes by that of a function.
fn is_operator(name: &str) -> bool {
    name == "contains" || !name.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

/// A value without any effect.
fn is_pure(expr: &Expr) -> bool {
    match expr {
        Expr::FnCall(call, _) => is_operator(&call.name) && call.args.iter().all(is_pure),
        Expr::And(parts, _) | Expr::Or(parts, _) | Expr::Coalesce(parts, _) => {
            parts.iter().all(is_pure)
        }
        Expr::Variable(..) | Expr::Property(..) => true,
        Expr::Dot(x, ..) | Expr::Index(x, ..) => is_pure(&x.lhs) && is_pure(&x.rhs),
        _ => literal(expr).is_some(),
    }
}

/// A value that is the same whatever the job.
fn is_constant(expr: &Expr) -> bool {
    match expr {
        Expr::FnCall(call, _) => is_operator(&call.name) && call.args.iter().all(is_constant),
        Expr::And(parts, _) | Expr::Or(parts, _) => parts.iter().all(is_constant),
        _ => literal(expr).is_some(),
    }
}
