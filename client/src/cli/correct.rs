//! Corrections as easy as the mistake was: strike, amend and assign.

use crate::{Bench, Error, render};

/// The last line of this bench, as the amendment that would say it again.
///
/// # Errors
/// [`Error::Usage`] if nothing was said here.
pub fn last_as_amendment(bench: &Bench) -> Result<String, Error> {
    let last = bench.last_lines("amend", 1)?;
    let [.., (name, verb)] = last.as_slice() else {
        return Err(Error::usage("amend: nothing was said here that could be amended"));
    };
    Ok(format!("amend {name} {}", render::said::typed(verb)))
}
