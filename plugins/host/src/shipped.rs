//! The scripts that come with the program, so that a new shop has rules and an example price list.

use std::sync::Arc;

use crate::failure::ScriptFailure;
use crate::sandbox::Sandbox;
use crate::script::{Kind, Script};

/// A script that comes with the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shipped {
    /// What it is for.
    pub kind: Kind,
    /// The name it is installed under.
    pub name: &'static str,
    /// Its source.
    pub source: &'static str,
}

macro_rules! shipped {
    ($($kind:ident $folder:literal $name:literal,)*) => {
        const SHIPPED: &[Shipped] = &[$(Shipped {
            kind: Kind::$kind,
            name: $name,
            source: include_str!(concat!("../../", $folder, "/", $name, ".rhai")),
        },)*];
    };
}

shipped! {
    Pricing "pricing" "example-prices",
    Stages "stages" "plan",
    Stages "stages" "papers-first",
    Stages "stages" "on-hold",
    Stages "stages" "condition-first",
    Stages "stages" "wrap-first",
    Stages "stages" "brain-out",
    Stages "stages" "one-water",
    Stages "stages" "not-too-long",
    Stages "stages" "white-last",
    Stages "stages" "safe-water",
    Stages "stages" "dry-before-coat",
    Stages "stages" "before-hand-over",
}

/// The shipped scripts, stage rules in the order in which they are meant to be asked.
pub fn shipped() -> &'static [Shipped] {
    SHIPPED
}

/// Compiles every shipped script.
///
/// # Errors
///
/// A shipped script does not compile, which the tests rule out.
pub fn compile_shipped(sandbox: &Arc<Sandbox>) -> Result<Vec<Script>, ScriptFailure> {
    SHIPPED.iter().map(|one| Script::compile(sandbox, one.kind, one.name, one.source)).collect()
}
