//! `burrline bench`: the standing prompt, in a terminal or through a pipe.
//!
//! * [`stand`]: one line after the other; the core is [`burrline_talk::standing`]
//! * [`editor`]: keys, and lines printed above them, on a thread of its own
//! * [`completer`]: what Tab completes
//!
//! The history of typed lines is in memory alone, as they may hold a customer's details. The
//! status is drawn when the prompt asks for a line, not while it waits.

pub mod completer;
pub mod editor;
mod stand;
mod times;

use std::{
    collections::VecDeque,
    io::{self, IsTerminal as _},
    sync::PoisonError,
    time::Duration,
};

use clap::{ArgMatches, Command};

use burrline_bench::{Ending, Error};
use burrline_talk::beside::Beside;

use self::{
    completer::Words,
    editor::{Editor, Typed},
    stand::{Stand, Took},
};
use super::terminal::Terminal;

/// How often it looks whether something rings.
const TICK: Duration = Duration::from_secs(1);

/// The command.
pub fn command() -> Command {
    Command::new("bench")
        .about("Stand at the bench: one line after the other, and a bell when something is due")
        .long_about(
            "Stand at the bench: one line after the other, and a bell when something is due.\n\nA \
             line is what would follow `burrline`, shorter: any beginning of a word that begins no \
             other, two digits of a tag where the line names a place. What could be read two ways is \
             asked. A bar code scanner types one word a line: verb, place, tags, then GO (`burrline \
             sheet codes` prints them).\n\nIt rings when a look, a lift, a change or a dry is due, by \
             this bench's own copy, with the shop in reach or not, until someone says `look`, does it, \
             or says `heard`. It catches up with the shop by itself. Say `help` there for one screen \
             of how.\n\nThrough a pipe it takes line after line, asks nothing, rings never, and ends \
             with the status of the worst line.",
        )
        .after_help("Examples:\n  burrline bench\n  burrline bench < morning.txt")
}

/// Takes lines until there are no more.
///
/// # Errors
/// If lines cannot be read; a line that goes wrong is told, and the next one is taken.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let stand = Stand::open(super::folder(matches)?)?;
    if io::stdin().is_terminal() && io::stdout().is_terminal() {
        // From here on Ctrl-C is this program's: between two questions it must not end the prompt.
        let _taken = tokio::signal::unix::signal(tokio::signal::unix::SignalKind::interrupt());
        by_hand(stand, terminal).await
    } else {
        by_pipe(stand, terminal).await
    }
}

async fn by_pipe(mut stand: Stand, terminal: &mut Terminal) -> Result<Ending, Error> {
    if !io::stdin().is_terminal() {
        // A talk that a line begins must not eat the lines behind it.
        terminal.without_answers();
    }
    let mut worst = Ending::Done;
    loop {
        let mut typed = String::new();
        let read = io::stdin().read_line(&mut typed);
        let read = read.map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
        if read == 0 {
            if let Some(dropped) = stand.drop_collected() {
                terminal.tell(&format!("left unsaid, as GO never came: {dropped}"));
                worst = worst.max(Ending::Usage);
            }
            return Ok(worst);
        }
        match stand.take(&typed, terminal).await {
            Took::Ended(ending) => worst = worst.max(ending),
            Took::Edit(line) => terminal.tell(&format!("say it as it should have been: {line}")),
            Took::Leave => return Ok(worst),
        }
    }
}

async fn by_hand(mut stand: Stand, terminal: &mut Terminal) -> Result<Ending, Error> {
    let mut editor = Editor::start()?;
    let lines = editor.lines.clone();
    terminal.at_prompt(lines.clone());
    let mut beside = Beside::default();
    let mut tick = tokio::time::interval(TICK);
    tick.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    terminal.tell(&stand.greeting());
    let mut initial = String::new();
    // Lines of a pasted block that are still to be run.
    let mut pasted: VecDeque<String> = VecDeque::new();
    loop {
        // What was typed at a question comes before what was pasted behind it.
        for line in terminal.kept_lines().into_iter().rev() {
            pasted.push_front(line);
        }
        if initial.is_empty()
            && let Some(line) = pasted.pop_front()
        {
            terminal.tell(&format!("{}{line}", stand.prompt()));
            match stand.take(&line, terminal).await {
                Took::Ended(_) => {}
                Took::Edit(line) => initial = line,
                Took::Leave => return Ok(leave(&mut stand, terminal)),
            }
            continue;
        }
        let words = Words::of(stand.standing(), stand.known());
        *editor.words.lock().unwrap_or_else(PoisonError::into_inner) = words;
        let mut next = std::pin::pin!(lines.line(stand.prompt(), std::mem::take(&mut initial)));
        let typed = loop {
            tokio::select! {
                typed = &mut next => break typed,
                _ = tick.tick() => {
                    if let Some(told) = beside.turn(stand.folder()).await {
                        stand.refresh();
                        for line in &told {
                            editor.above(line);
                        }
                    }
                    if let Some(ring) = stand.ring(terminal) {
                        editor.above(&ring);
                    }
                }
            }
        };
        match typed {
            Typed::End => return Ok(leave(&mut stand, terminal)),
            Typed::Cleared => clear(&mut stand, terminal),
            Typed::Line(block) if block.trim().contains('\n') => {
                let lines = block.lines().map(str::trim).filter(|line| !line.is_empty());
                pasted.extend(lines.map(str::to_owned));
            }
            Typed::Line(line) => match stand.take(&line, terminal).await {
                Took::Ended(_) => {}
                Took::Edit(line) => initial = line,
                Took::Leave => return Ok(leave(&mut stand, terminal)),
            },
        }
    }
}

/// Ctrl-C: what was collected is thrown away only on a yes.
fn clear(stand: &mut Stand, terminal: &Terminal) {
    let collected = stand.collected();
    if collected.is_empty() {
        return;
    }
    if terminal.sure(&format!("drop what was collected? {collected}")) == Some(false) {
        terminal.tell(&format!("kept: {collected} ... GO says it"));
    } else if let Some(dropped) = stand.drop_collected() {
        terminal.tell(&format!("dropped, nothing was said: {dropped}"));
    }
}

fn leave(stand: &mut Stand, terminal: &Terminal) -> Ending {
    if let Some(dropped) = stand.drop_collected() {
        terminal.tell(&format!("left unsaid, as GO never came: {dropped}"));
    }
    Ending::Done
}
