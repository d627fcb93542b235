//! Where a script was when it was ended: an engine that notes its steps.

use std::cell::Cell;

use rhai::debugger::{DebuggerCommand, DebuggerEvent};
use rhai::{Engine, Position};

thread_local! {
    /// The last step on this thread. A call never leaves the thread it began on.
    static LAST: Cell<Position> = const { Cell::new(Position::NONE) };
}

/// Makes an engine note every step it takes. That costs a few times what running does, so it is
/// for calls that have failed already.
#[allow(
    deprecated,
    reason = "not deprecated but volatile, as its note says; rhai is pinned by the lock"
)]
pub(crate) fn note_steps(engine: &mut Engine) {
    engine.register_debugger(
        |_, debugger| debugger,
        |_, event, _, _, position| {
            // The way out of a function is no step.
            let steps = matches!(event, DebuggerEvent::Start | DebuggerEvent::Step);
            if steps && !position.is_none() {
                LAST.set(position);
            }
            Ok(DebuggerCommand::StepInto)
        },
    );
}

/// Does something with such an engine, and says where its last step was.
pub(crate) fn last_step<T>(work: impl FnOnce() -> T) -> (T, Position) {
    let before = LAST.replace(Position::NONE);
    let done = work();
    (done, LAST.replace(before))
}
