//! What the program `burrline-shop` does, one subcommand a module.
//!
//! * [`command`]: the command line
//! * [`serve`], [`invite`], [`check`], [`accept`], [`restored`]: a shop's folder, served and looked after
//! * `demo`: an invented season, played by real benches; left out of a shop built without it
//! * [`config`]: where the settings of `serve` come from
//! * [`log`](mod@log): what the program says of itself

pub mod accept;
pub mod check;
pub mod command;
pub mod config;
#[cfg(feature = "demo")]
pub mod demo;
pub mod invite;
pub mod log;
pub mod restored;
pub mod serve;
