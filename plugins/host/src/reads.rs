//! Which facts of a job a script can read, so that what costs much is only gathered for those who ask.
//!
//! It errs on one side alone. A name is read if it stands in the script as a name or as a text.
//! Where a job goes another way than by a name, such as into a list or a text, or is asked by a
//! name that is worked out, anything may be read.

use std::collections::{BTreeMap, BTreeSet};

use rhai::{AST, ASTNode, Expr, Position};

/// What a script reads.
#[derive(Debug, Default)]
pub(crate) struct Reads {
    names: BTreeSet<String>,
    anything: bool,
    /// It compares which of two is more.
    orders: bool,
    /// Where each name is first read.
    places: BTreeMap<String, Position>,
}

/// A function by its name and the number of its arguments.
type Function = (String, usize);

/// The functions that are handed a job, as their first argument.
const HANDED: [(&str, usize); 10] = [
    ("price", 1),
    ("adjust", 2),
    ("deposit", 2),
    ("check", 2),
    ("plan", 1),
    ("remind", 1),
    ("first_look", 2),
    ("ready_by", 1),
    ("fits", 2),
    ("message", 2),
];

impl Reads {
    /// Reads through a script.
    pub(crate) fn of(ast: &AST) -> Self {
        let functions: BTreeMap<Function, Vec<String>> = ast
            .iter_functions()
            .map(|f| {
                let names: Vec<String> = f.params.iter().map(|name| (*name).to_owned()).collect();
                ((f.name.to_owned(), names.len()), names)
            })
            .collect();
        let mut reads = Self::default();
        ast.walk(&mut |path| {
            match path.last() {
                Some(ASTNode::Expr(Expr::Property(name, at))) => {
                    reads.names.insert(name.2.to_string());
                    let first = reads.places.entry(name.2.to_string()).or_insert(*at);
                    *first = (*first).min(*at);
                }
                Some(ASTNode::Expr(Expr::FnCall(call, _))) => {
                    reads.orders |= matches!(call.name.as_str(), "<" | "<=" | ">" | ">=");
                }
                Some(ASTNode::Expr(Expr::StringConstant(text, _))) => {
                    reads.names.insert(text.to_string());
                }
                Some(ASTNode::Expr(_) | ASTNode::Stmt(_) | _) | None => {}
            }
            true
        });
        let mut handed: BTreeMap<Function, BTreeSet<usize>> = HANDED
            .iter()
            .map(|(name, count)| ((*name).to_owned(), *count))
            .filter(|function| functions.contains_key(function))
            .map(|function| (function, BTreeSet::from([0])))
            .collect();
        let mut to_look_at: Vec<Function> = handed.keys().cloned().collect();
        while let Some(function) = to_look_at.pop() {
            let Some(parameters) = functions.get(&function) else { continue };
            let jobs: BTreeSet<&str> = handed
                .get(&function)
                .into_iter()
                .flatten()
                .filter_map(|at| parameters.get(*at).map(String::as_str))
                .collect();
            for (callee, at) in reads.follow(ast, &function, &jobs, &functions) {
                if handed.entry(callee.clone()).or_default().insert(at) {
                    to_look_at.push(callee);
                }
            }
        }
        reads
    }

    /// Whether a script that this is of can read a fact of this name.
    pub(crate) fn may_read(&self, name: &str) -> bool {
        self.anything || self.names.contains(name)
    }

    /// Whether it compares which of two is more.
    pub(crate) fn orders(&self) -> bool {
        self.orders
    }

    /// Where the first of these names is read.
    pub(crate) fn place_of(&self, names: &[&str]) -> Position {
        let places = names.iter().filter_map(|name| self.places.get(*name)).copied();
        places.min().unwrap_or(Position::NONE)
    }

    /// Follows the names of jobs through one function: the functions that are handed one, and where.
    fn follow(
        &mut self,
        ast: &AST,
        (name, count): &Function,
        jobs: &BTreeSet<&str>,
        functions: &BTreeMap<Function, Vec<String>>,
    ) -> Vec<(Function, usize)> {
        let mut one = ast.clone();
        one.retain_functions(|_, _, other, arguments| other == name && arguments == *count);
        let mut next = Vec::new();
        one.walk(&mut |path| {
            let Some((ASTNode::Expr(job @ Expr::Variable(at, ..)), above)) = path.split_last()
            else {
                return true;
            };
            if !jobs.contains(at.1.as_str()) {
                return true;
            }
            match above.last() {
                Some(ASTNode::Expr(Expr::Dot(dot, ..)))
                    if std::ptr::eq(*job, &raw const dot.lhs) && is_name(&dot.rhs) => {}
                Some(ASTNode::Expr(Expr::Index(index, ..)))
                    if std::ptr::eq(*job, &raw const index.lhs) && is_text(&index.rhs) => {}
                Some(ASTNode::Expr(Expr::FnCall(call, _))) => {
                    let callee = (call.name.to_string(), call.args.len());
                    let here = call.args.iter().position(|arg| std::ptr::eq(*job, arg));
                    match here.filter(|_| functions.contains_key(&callee)) {
                        Some(at) => next.push((callee, at)),
                        None => self.anything = true,
                    }
                }
                Some(ASTNode::Expr(_) | ASTNode::Stmt(_) | _) | None => self.anything = true,
            }
            true
        });
        next
    }
}

/// The first of what stands after a point is a name, and no function.
fn is_name(rhs: &Expr) -> bool {
    matches!(first(rhs), Expr::Property(..))
}

/// The first of what stands in brackets is a text as written.
fn is_text(rhs: &Expr) -> bool {
    matches!(first(rhs), Expr::StringConstant(..))
}

/// The first part of a way of names.
fn first(rhs: &Expr) -> &Expr {
    if let Expr::Dot(rest, ..) | Expr::Index(rest, ..) = rhs { &rest.lhs } else { rhs }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sandbox::Sandbox;

    fn reads(source: &str) -> Reads {
        Reads::of(&Sandbox::default().compile(source).unwrap())
    }

    #[test]
    fn a_name_is_read_that_stands_in_the_script_and_no_other() {
        let reads = reads(
            r#"fn check(job, act) { if nose(job) == "" || job["jaw"] == "" { return; } }
               fn nose(one) { one.nose }"#,
        );
        for name in ["nose", "jaw"] {
            assert!(reads.may_read(name), "{name}");
        }
        assert!(!reads.may_read("waters") && !reads.may_read("season"));
    }

    #[test]
    fn a_table_of_the_script_s_own_may_be_asked_by_any_name() {
        let reads = reads(
            "fn most() { #{ deer: 1, other: 2 } }
             fn price(job) { let m = most(); if job.group in m { m[job.group] } else { 0 } }",
        );
        assert!(!reads.may_read("waters"));
    }

    #[test]
    fn where_a_name_is_worked_out_anything_may_be_read() {
        for body in [
            r#"let n = "wat" + "ers"; job[n]"#,
            r#"let j = job; j["wat" + "ers"]"#,
            r#"[job].map(|j| j["wat" + "ers"])"#,
            r#"other("x", job)"#,
            "job.keys()",
            "`${job}`",
            "job == job",
            "job",
        ] {
            let source =
                format!("fn plan(job) {{ {body} }} fn other(a, b) {{ b[\"wat\" + \"ers\"] }}");
            assert!(reads(&source).may_read("waters"), "{body}");
        }
    }
}
