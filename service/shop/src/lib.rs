//! What the program `burrline-shop` does, one subcommand a module.
//!
//! * [`command`]: the command line
//! * [`serve`], [`invite`], [`check`], [`accept`], [`restored`], [`backup`]: a shop's folder, served and looked after
//! * `demo`: an invented season, played by real benches; left out of a shop built without it
//! * [`config`]: where the settings of `serve` come from
//! * [`status`]: how the shop is, for a person
//! * [`ledger`]: where the log is, if it is not in the folder
//! * [`move_log`]: the log, from the folder to there and back
//! * [`manual`]: manual pages and completions, from the command line itself
//! * [`notify`]: a word to the service manager
//! * `own_door`: the door of a shop, for a command at the server
//! * [`owner`]: root goes on as the user whose folder it is
//! * [`progress`]: how far a long command has come
//! * [`told`]: an answer, as text and as JSON
//! * [`log`](mod@log): what the program says of itself

pub mod accept;
pub mod backup;
pub mod check;
pub mod command;
pub mod config;
#[cfg(feature = "demo")]
pub mod demo;
pub mod invite;
pub mod ledger;
pub mod log;
pub mod manual;
pub mod move_log;
pub mod notify;
mod own_door;
pub mod owner;
pub mod progress;
pub mod restored;
pub mod serve;
pub mod status;
pub mod told;
