//! The one engine every script runs in, its limits and its deadline.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::time::Duration;

use rhai::packages::{
    ArithmeticPackage, BasicArrayPackage, BasicFnPackage, BasicIteratorPackage, BasicMapPackage,
    BasicMathPackage, BasicStringPackage, LogicPackage, MoreStringPackage, Package,
};
use rhai::{
    AST, CallFnOptions, Dynamic, Engine, EvalAltResult, ImmutableString, OptimizationLevel, Scope,
};
use rust_decimal::{Decimal, RoundingStrategy};

use crate::clock::{Clock, MonotonicClock};
use crate::failure::SourceProblem;
use crate::value::decimal_from;

/// What a script may use. The defaults leave a shipped script a factor of fifty or more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Wall time for one call.
    pub deadline: Duration,
    /// Engine operations for one call. This is also what bounds growth that escapes the size limits.
    pub operations: u64,
    /// Functions calling functions.
    pub call_levels: usize,
    /// Nesting of expressions and blocks.
    pub expression_depth: usize,
    /// Bytes of text in one value, all its parts together.
    pub text_bytes: usize,
    /// Elements of lists in one value, all its parts together.
    pub list_items: usize,
    /// Entries of maps in one value, all its parts together.
    pub map_entries: usize,
    /// Variables alive at once.
    pub variables: usize,
    /// Functions in one script.
    pub functions: usize,
    /// Bytes of source.
    pub source_bytes: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            deadline: Duration::from_millis(50),
            operations: 50_000,
            call_levels: 12,
            expression_depth: 32,
            text_bytes: 8 * 1024,
            list_items: 512,
            map_entries: 1024,
            variables: 64,
            functions: 64,
            source_bytes: 64 * 1024,
        }
    }
}

thread_local! {
    /// When the call on this thread must be over. A call never leaves the thread it began on.
    static DEADLINE: Cell<Duration> = const { Cell::new(Duration::MAX) };
}

/// The engine, built once and shared by every script and thread.
pub struct Sandbox {
    engine: Engine,
    limits: Limits,
    clock: Arc<dyn Clock>,
}

impl std::fmt::Debug for Sandbox {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sandbox").field("limits", &self.limits).finish_non_exhaustive()
    }
}

impl Default for Sandbox {
    fn default() -> Self {
        Self::new(Limits::default(), Arc::new(MonotonicClock::start()))
    }
}

impl Sandbox {
    /// Builds the engine.
    pub fn new(limits: Limits, clock: Arc<dyn Clock>) -> Self {
        let mut engine = Engine::new_raw();
        register_packages(&mut engine);
        register_helpers(&mut engine, limits.text_bytes);
        set_limits(&mut engine, &limits);
        let ticking = Arc::clone(&clock);
        engine.on_progress(move |operations| {
            // Reading the clock costs more than an operation does, so not at every one.
            let due = operations.is_multiple_of(16) && ticking.now() > DEADLINE.get();
            due.then(|| Dynamic::from("deadline"))
        });
        Self { engine, limits, clock }
    }

    /// The limits in force.
    pub fn limits(&self) -> &Limits {
        &self.limits
    }

    /// Compiles a source without running any of it.
    pub(crate) fn compile(&self, source: &str) -> Result<AST, SourceProblem> {
        if source.len() > self.limits.source_bytes {
            return Err(SourceProblem::nowhere(format!(
                "the script is {} bytes long; at most {} are taken",
                source.len(),
                self.limits.source_bytes
            )));
        }
        let ast = guarded(|| self.engine.compile(source).map_err(SourceProblem::from))?;
        if let Some(statement) = ast.statements().first() {
            return Err(SourceProblem::at(
                statement.position(),
                "only functions may stand here: a statement outside a function would never run",
            ));
        }
        Ok(ast)
    }

    /// Calls one function of a script under the limits and the deadline.
    pub(crate) fn call(
        &self,
        ast: &AST,
        function: &str,
        arguments: Vec<Dynamic>,
    ) -> Result<Dynamic, SourceProblem> {
        let until = self.clock.now().saturating_add(self.limits.deadline);
        let before = DEADLINE.replace(until);
        let answer = guarded(|| {
            let options = CallFnOptions::new().eval_ast(false);
            let mut scope = Scope::new();
            self.engine
                .call_fn_with_options::<Dynamic>(options, &mut scope, ast, function, arguments)
                .map_err(|error| self.explain(error))
        });
        DEADLINE.set(before);
        answer
    }

    /// Puts the two commonest ends of a runaway script into plain words.
    fn explain(&self, error: Box<EvalAltResult>) -> SourceProblem {
        let mut problem = SourceProblem::from(error.clone_for_words());
        let inner = error.unwrap_inner();
        if matches!(inner, EvalAltResult::ErrorTerminated(..)) {
            problem.words =
                format!("took longer than {} ms; is there a loop that does not end?", {
                    self.limits.deadline.as_millis()
                });
        } else if matches!(inner, EvalAltResult::ErrorTooManyOperations(..)) {
            problem.words = format!(
                "took more than {} operations; is there a loop that does not end?",
                self.limits.operations
            );
        }
        problem
    }
}

/// A panic in native code becomes a problem like any other: the server must not fall over a script.
fn guarded<T>(work: impl FnOnce() -> Result<T, SourceProblem>) -> Result<T, SourceProblem> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        Err(SourceProblem::nowhere("the script engine broke down inside; this is a bug, not yours"))
    })
}
