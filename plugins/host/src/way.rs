//! The names by which a value of a script is reached, and what kind of fact it is.

#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "a few forms are picked out of a tree that has many, and may get more"
)]

use std::collections::BTreeMap;

use rhai::{AST, ASTNode, Expr, Position, Stmt, StmtBlock};

use crate::facts::{Field, Group, JobFacts, VerbFacts};

/// One function of a script.
pub(crate) struct Function {
    pub(crate) name: String,
    pub(crate) params: Vec<String>,
    pub(crate) body: StmtBlock,
}

impl Function {
    /// All functions of a script.
    pub(crate) fn all(ast: &AST) -> Vec<Self> {
        let one = |f: rhai::ScriptFnMetadata<'_>| {
            let mut alone = ast.clone();
            alone.retain_functions(|_, _, name, count| name == f.name && count == f.params.len());
            let mut statements = Vec::new();
            alone.walk(&mut |path| {
                if let [ASTNode::Stmt(stmt)] = path {
                    statements.push((*stmt).clone());
                }
                true
            });
            Self {
                name: f.name.to_owned(),
                params: f.params.iter().map(|name| (*name).to_owned()).collect(),
                body: StmtBlock::new(statements, Position::NONE, Position::NONE),
            }
        };
        ast.iter_functions().map(one).collect()
    }

    /// Whether it is neither the examples nor the list of verbs.
    pub(crate) fn is_a_rule(&self) -> bool {
        crate::source::is_a_rule(&self.name)
    }
}

/// Goes through a block and all that is in it.
pub(crate) fn walk(block: &StmtBlock, on_node: &mut dyn FnMut(&[ASTNode<'_>])) {
    for stmt in block.statements() {
        stmt.walk(&mut Vec::new(), &mut |path: &[ASTNode<'_>]| {
            on_node(path);
            true
        });
    }
}

/// `job.wishes.jaw`, `x`, `list[0]`: nothing for what is worked out.
pub(crate) fn way(expr: &Expr) -> Option<String> {
    match expr {
        Expr::Variable(x, ..) => Some(x.1.to_string()),
        Expr::Property(x, _) => Some(x.2.to_string()),
        Expr::Dot(x, ..) => Some(format!("{}.{}", way(&x.lhs)?, way(&x.rhs)?)),
        Expr::Index(x, ..) => Some(format!("{}[{}]", way(&x.lhs)?, literal(&x.rhs)?)),
        _ => None,
    }
}

/// A value as it is written, if it is one.
pub(crate) fn literal(expr: &Expr) -> Option<String> {
    match expr {
        Expr::StringConstant(text, _) => Some(format!("\"{text}\"")),
        Expr::IntegerConstant(number, _) => Some(number.to_string()),
        Expr::BoolConstant(truth, _) => Some(truth.to_string()),
        Expr::DynamicConstant(value, _) if value.is_decimal() => Some(value.to_string()),
        _ => None,
    }
}

/// What a name stands for.
#[derive(Clone, Copy)]
enum Kind {
    Group(&'static Group),
    Field(&'static Field),
}

/// What the names of a function stand for, as far as they are facts.
pub(crate) struct Kinds(BTreeMap<String, Kind>);

/// The names under which scripts are handed facts.
const HANDED: [&str; 2] = ["job", "act"];

impl Kinds {
    /// Those of one function: what it is handed, and what it goes through or gives a name.
    pub(crate) fn of(function: &Function) -> Self {
        let mut kinds = Self(BTreeMap::new());
        for name in function.params.iter().filter(|name| HANDED.contains(&name.as_str())) {
            let group = if name == "job" { JobFacts::group() } else { VerbFacts::group() };
            kinds.0.insert(name.clone(), Kind::Group(group));
        }
        walk(&function.body, &mut |path| match path.last() {
            Some(ASTNode::Stmt(Stmt::For(x, _))) => kinds.gives(&x.0.name, &x.2.expr),
            Some(ASTNode::Stmt(Stmt::Var(x, ..))) => kinds.gives(&x.0.name, &x.1),
            _ => {}
        });
        kinds
    }

    fn gives(&mut self, name: &str, value: &Expr) {
        let kind = match self.kind_of(value) {
            Some(Kind::Field(field)) => field.group.map_or(Kind::Field(field), Kind::Group),
            Some(group) => group,
            None => {
                // Another value of the same name: nothing is known of it.
                self.0.remove(name);
                return;
            }
        };
        self.0.insert(name.to_owned(), kind);
    }

    /// Whether it is a name under which this function is handed facts.
    pub(crate) fn are_handed(&self, name: &str) -> bool {
        HANDED.contains(&name) && self.0.contains_key(name)
    }

    /// The name of the fact that is read.
    pub(crate) fn name_of(&self, expr: &Expr) -> Option<&'static str> {
        let Some(Kind::Field(field)) = self.kind_of(expr) else { return None };
        // The name of a place is not the name of anything else.
        let place = VerbFacts::group().fields.iter().find(|one| one.name == "place");
        let of_a_place = place.and_then(|place| place.group).is_some_and(|group| {
            group.fields.iter().any(|one| std::ptr::eq(one, field) && one.name == "name")
        });
        Some(if of_a_place { "place" } else { field.name })
    }

    /// Whether it is a text, and no list of texts.
    pub(crate) fn is_text(&self, expr: &Expr) -> bool {
        match expr {
            Expr::StringConstant(..) | Expr::InterpolatedString(..) => true,
            _ => matches!(self.kind_of(expr), Some(Kind::Field(field))
                if (field.kind)().starts_with("text")),
        }
    }

    fn kind_of(&self, expr: &Expr) -> Option<Kind> {
        match expr {
            Expr::Variable(x, ..) => self.0.get(x.1.as_str()).copied(),
            Expr::Dot(x, ..) => within(self.kind_of(&x.lhs)?, &x.rhs),
            Expr::Index(x, ..) => match &x.rhs {
                Expr::Dot(rest, ..) => within(self.kind_of(&x.lhs)?, &rest.rhs),
                _ => None,
            },
            _ => None,
        }
    }
}

/// What is reached from facts by the names after a point.
fn within(kind: Kind, rhs: &Expr) -> Option<Kind> {
    let group = match kind {
        Kind::Group(group) => group,
        Kind::Field(field) => field.group?,
    };
    let named = |name: &str| group.fields.iter().find(|field| field.name == name).map(Kind::Field);
    match rhs {
        Expr::Property(x, _) => named(&x.2),
        Expr::Dot(x, ..) => match &x.lhs {
            Expr::Property(name, _) => within(named(&name.2)?, &x.rhs),
            // `list[0].name`
            Expr::Index(inner, ..) => match &inner.lhs {
                Expr::Property(name, _) => within(named(&name.2)?, &x.rhs),
                _ => None,
            },
            _ => None,
        },
        _ => None,
    }
}
