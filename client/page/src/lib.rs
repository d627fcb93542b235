//! The bench as a page in the browser: another face of the same engine.
//!
//! It says lines through the same talk as a terminal does, reads the same readings, and works by the
//! bench's own copy where the shop is out of reach. Views turn an answer into markup and know no request;
//! routes know requests and no markup.
//!
//! * [`serve`](mod@serve): the door on loopback, its port, and the address that opens it
//! * `gate`: who may come in: host, origin, session, and the headers of every answer
//! * `session`: who came in, and what each was answered last
//! * `counter`: a visit as one form
//! * `engine`: the present by the bench's own copy, kept up to date; what changed, what rings
//! * `talk`: a line said by a person at the page, with the questions on the way
//! * `next`: which steps are likely next
//! * `route`: one file a part of the page
//! * `view`: answers as markup
//! * `words`: every word of the page, in one table

mod app;
mod counter;
mod engine;
mod gate;
mod next;
mod route;
pub mod serve;
mod session;
mod talk;
mod view;
mod words;

pub use serve::{Page, open};
