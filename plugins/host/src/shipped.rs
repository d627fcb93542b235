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
    /// A new shop has it in use from the beginning; the others are there to begin with.
    pub in_use: bool,
}

macro_rules! shipped {
    ($($kind:ident $folder:literal $name:literal $in_use:literal,)*) => {
        const SHIPPED: &[Shipped] = &[$(Shipped {
            kind: Kind::$kind,
            name: $name,
            source: include_str!(concat!("../../", $folder, "/", $name, ".rhai")),
            in_use: $in_use,
        },)*];
    };
}

shipped! {
    Pricing "pricing" "example-prices" true,
    Stages "stages" "plan" true,
    Stages "stages" "papers-first" true,
    Stages "stages" "on-hold" true,
    Stages "stages" "condition-first" true,
    Stages "stages" "wrap-first" true,
    Stages "stages" "brain-out" true,
    Stages "stages" "parts-at-risk" true,
    Stages "stages" "one-water" true,
    Stages "stages" "not-too-long" true,
    Stages "stages" "white-last" true,
    Stages "stages" "by-its-way" true,
    Stages "stages" "sheaths-and-tusks" true,
    Stages "stages" "colony-and-baths" true,
    Stages "stages" "safe-water" true,
    Stages "stages" "dry-before-coat" true,
    Stages "stages" "before-hand-over" true,
    Stages "stages" "disease-area" false,
    Stages "stages" "fragile-bones" false,
    Stages "stages" "most-heat" false,
    Stages "stages" "new-price" false,
    Stages "stages" "peroxide-limits" false,
    Stages "stages" "our-habits" false,
    Pricing "pricing" "deer-family" false,
    Pricing "pricing" "mixed-shop" false,
    Pricing "pricing" "outfitters" false,
    Pricing "pricing" "rush" false,
    Pricing "pricing" "several-heads" false,
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
