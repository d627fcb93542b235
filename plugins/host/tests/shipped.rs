//! Every shipped script compiles, carries cases, and all of them hold.
#![cfg(test)]

use std::sync::Arc;

use burrline_host::{Sandbox, compile_shipped, run_cases};

#[test]
fn every_case_of_every_shipped_script_holds() {
    let sandbox = Arc::new(Sandbox::default());
    let scripts = compile_shipped(&sandbox).unwrap_or_else(|failure| panic!("{failure}"));
    let mut wrong = Vec::new();
    for script in &scripts {
        let results = run_cases(script).unwrap_or_else(|failure| panic!("{failure}"));
        assert!(results.len() >= 3, "{} carries too few cases", script.name());
        for result in results {
            if let Some(why) = result.wrong {
                wrong.push(format!("{}: {}: {why}", script.name(), result.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
