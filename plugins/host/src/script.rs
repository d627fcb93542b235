//! A compiled source with its digest.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::Arc;

use rhai::{AST, Dynamic, Position, ScriptFnMetadata};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::advice::ADVICE;
use crate::asked::left_out;
use crate::failure::{ScriptFailure, SourceProblem};
use crate::reads::Reads;
use crate::sandbox::Sandbox;
use crate::unknown::{self, Unknown};

/// What a script is for, and so which functions it must have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Kind {
    /// `price(job)`, or `adjust(job, lines)`
    Pricing,
    /// `plan(job)`, `check(job, act)`, or both
    Stages,
}

/// A script that compiled. Cheap to clone; its syntax tree is shared.
#[derive(Debug, Clone)]
pub struct Script {
    kind: Kind,
    name: String,
    digest: String,
    source: Arc<str>,
    ast: Arc<AST>,
    /// Its functions, each with the number of its arguments: asked at every call.
    functions: Arc<[(String, usize)]>,
    reads: Arc<Reads>,
    sandbox: Arc<Sandbox>,
}

impl Script {
    /// Compiles a source for the given use. Nothing of it runs.
    ///
    /// # Errors
    ///
    /// The source does not parse, is too long, has statements outside functions, or lacks the
    /// functions its kind needs.
    pub fn compile(
        sandbox: &Arc<Sandbox>,
        kind: Kind,
        name: &str,
        source: &str,
    ) -> Result<Self, ScriptFailure> {
        let digest = digest_of(source.as_bytes());
        let ast = sandbox
            .compile(source)
            .and_then(|ast| has_its_functions(kind, &ast).map(|()| ast))
            .map_err(|problem| problem.of(name, &digest))?;
        let functions = ast.iter_functions().map(|f| (f.name.to_owned(), f.params.len())).collect();
        Ok(Self {
            kind,
            name: name.to_owned(),
            digest,
            source: source.into(),
            reads: Arc::new(Reads::of(&ast)),
            ast: Arc::new(ast),
            functions,
            sandbox: Arc::clone(sandbox),
        })
    }

    /// As [`Script::compile`], for bytes from a file or the wire.
    ///
    /// # Errors
    ///
    /// Also where the bytes are not UTF-8.
    pub fn from_bytes(
        sandbox: &Arc<Sandbox>,
        kind: Kind,
        name: &str,
        bytes: &[u8],
    ) -> Result<Self, ScriptFailure> {
        match std::str::from_utf8(bytes) {
            Ok(source) => Self::compile(sandbox, kind, name, source),
            Err(why) => Err(SourceProblem::nowhere(format!("the script is not UTF-8 text: {why}"))
                .of(name, &digest_of(bytes))),
        }
    }

    /// A script of the same name and kind with another source.
    pub(crate) fn with_source(&self, source: &str) -> Result<Self, ScriptFailure> {
        Self::compile(&self.sandbox, self.kind, &self.name, source)
    }

    /// What the script is for.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// Its name as installed.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// SHA-256 of its source, lower-case hex.
    pub fn digest(&self) -> &str {
        &self.digest
    }

    /// Its source.
    pub fn source(&self) -> &str {
        &self.source
    }

    pub(crate) fn ast(&self) -> &AST {
        &self.ast
    }

    /// Whether the script has this function with so many arguments.
    pub fn has(&self, function: &str, arguments: usize) -> bool {
        self.functions.iter().any(|(name, count)| name == function && *count == arguments)
    }

    /// Whether it can read a fact of this name of a job. What it says no to is never read.
    pub fn may_read(&self, name: &str) -> bool {
        self.reads.may_read(name)
    }

    /// The first of `words` that its rules name as a text though `but` leaves it out, and where.
    pub(crate) fn left_out<'a>(
        &self,
        words: &[&'a str],
        but: &BTreeSet<String>,
    ) -> Option<(&'a str, Position)> {
        left_out(&self.ast, &self.source, words, but)
    }

    pub(crate) fn call(
        &self,
        function: &str,
        arguments: impl Fn() -> Vec<Dynamic>,
    ) -> Result<Dynamic, ScriptFailure> {
        self.sandbox
            .call(&self.ast, function, arguments)
            .map_err(|problem| problem.of(&self.name, &self.digest))
    }

    /// What a function went by that was not known, as far as that can be told: `first` is what was
    /// noted of the call, `priced` whether a price was said for the job.
    pub(crate) fn not_known(
        &self,
        function: &str,
        first: &Unknown,
        priced: bool,
        arguments: impl Fn() -> Vec<Dynamic>,
    ) -> Vec<ScriptFailure> {
        let mut problems = Vec::new();
        if first.has_figures() && self.reads.orders() {
            let run = || self.sandbox.compares(&self.ast, function, arguments());
            let ((), compared) = unknown::noted(run);
            problems = compared.problems(&self.source);
        }
        if first.asked_for_money() && !priced {
            let words = "no price was said for this head, so what is owed is not known";
            problems.push(SourceProblem::at(self.reads.place_of(&unknown::MONEY), words));
        }
        let of_this = |problem: SourceProblem| problem.of(&self.name, &self.digest);
        problems.into_iter().map(of_this).collect()
    }

    /// A failure of this script at a place in its source.
    pub(crate) fn failure_at(&self, at: Position, words: &str) -> ScriptFailure {
        SourceProblem::at(at, words).of(&self.name, &self.digest)
    }

    /// A failure of what a function answered, at the line on which the function begins.
    pub(crate) fn failure_in(&self, function: &str, words: &str) -> ScriptFailure {
        let functions = crate::source::functions(&self.source);
        let line = functions.iter().find(|text| text.name == function).map(|text| text.first);
        let line = line.and_then(|line| u16::try_from(line).ok());
        self.failure_at(line.map_or(Position::NONE, |line| Position::new(line, 1)), words)
    }

    /// A failure of this script that has no place in its source.
    pub(crate) fn failure(&self, words: impl Into<String>) -> ScriptFailure {
        SourceProblem::nowhere(words).of(&self.name, &self.digest)
    }
}

/// SHA-256 of a source, lower-case hex: the name a quote or a ruling keeps.
pub fn digest_of(source: &[u8]) -> String {
    Sha256::digest(source).iter().fold(String::with_capacity(64), |mut hex, byte| {
        // Writing to a String cannot fail.
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

fn has_its_functions(kind: Kind, ast: &AST) -> Result<(), SourceProblem> {
    let (enough, wanted) = match kind {
        Kind::Pricing => (
            has_function(ast, "price", 1) || has_function(ast, "adjust", 2),
            "fn price(job) or fn adjust(job, lines)",
        ),
        Kind::Stages => (
            has_function(ast, "plan", 1)
                || has_function(ast, "check", 2)
                || ADVICE.iter().any(|(name, count)| has_function(ast, name, *count)),
            "fn check(job, act), fn plan(job) or another of the answers of a rule",
        ),
    };
    if enough {
        return Ok(());
    }
    let is = |f: &ScriptFnMetadata<'_>| {
        matches!(f.name, "price" | "adjust" | "check" | "plan")
            || ADVICE.iter().any(|(name, _)| *name == f.name)
    };
    Err(SourceProblem::nowhere(match ast.iter_functions().find(is) {
        Some(f) => {
            let own = crate::advice::written(f.name).filter(|_| kind == Kind::Stages);
            let wanted = own.as_deref().unwrap_or(wanted);
            format!("`fn {}({})` is there, but `{wanted}` is wanted", f.name, f.params.join(", "))
        }
        None => format!("`{wanted}` is missing"),
    }))
}

fn has_function(ast: &AST, name: &str, arguments: usize) -> bool {
    ast.iter_functions().any(|f| f.name == name && f.params.len() == arguments)
}
