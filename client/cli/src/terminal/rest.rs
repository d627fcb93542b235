//! What of an answer is kept until it is asked for.

use std::io::{self, IsTerminal as _};

use burrline_paper::visible::visible;
use burrline_screen::more;

use super::{Terminal, print};

impl Terminal {
    /// The rest of an answer: printed with `--more`, else kept until it is asked for.
    pub fn behind(&self, rest: &[String]) {
        if self.asked.json {
            return;
        }
        if self.asked.more {
            print(rest.iter().map(|line| visible(line).into_owned()));
            return;
        }
        if let Some(hint) = more::hint(rest.len(), self.is_prompt())
            && io::stderr().is_terminal()
        {
            self.tell(&hint);
        }
        if let Ok(mut kept) = self.behind.lock() {
            rest.clone_into(&mut kept);
        }
    }

    /// Prints the rest of the last answer.
    pub fn show_behind(&self) {
        let rest =
            self.behind.lock().map(|mut kept| std::mem::take(&mut *kept)).unwrap_or_default();
        if rest.is_empty() {
            self.tell(more::NO_MORE);
        }
        print(rest.iter().map(|line| visible(line).into_owned()));
    }
}
