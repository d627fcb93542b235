//! `burrline watch`: the wall, redrawn as it changes; it rings too.

use std::{
    io::{self, IsTerminal as _, Write as _},
    time::Duration,
};

use burrline_bench::{Bench, Ending, Error, SystemClock, alone::Alone, follow::Follow};
use burrline_present::wall::Wall;
use burrline_screen as render;
use burrline_screen::{Look, Page};
use burrline_talk::{beside::Beside, standing::rings::Rings};
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::terminal::Terminal;

/// How often it looks whether something changed.
const TICK: Duration = Duration::from_secs(1);

/// After how many ticks the whole wall is made anew, if nothing changed.
const WHOLE_EVERY: u32 = 30;

/// The other screen of a terminal, without a cursor, and back.
const ENTER: &str = "\u{1b}[?1049h\u{1b}[?25l";
const LEAVE: &str = "\u{1b}[?25h\u{1b}[?1049l";

/// The command.
pub fn command() -> Command {
    Command::new("watch")
        .about("Show the wall: what rings next, every water, what does not fit, what was promised")
        .long_about(
            "Show the wall: what rings next, every water with its tags, since when, how strong and \
             when to change it, what does not fit, what was promised this week, what is held, and \
             benches not heard from for half a day. No names of customers and no money.\n\nIt is drawn \
             anew as things change, fits the terminal, rings when something is due, and catches up \
             with the shop by itself; out of reach it goes on by this bench's own copy. Ctrl-C ends it.",
        )
        .after_help("Examples:\n  burrline watch\n  burrline watch --once\n  burrline watch --once --json")
        .arg(
            Arg::new("once")
                .long("once")
                .action(ArgAction::SetTrue)
                .help("Print it once, all of it, and end"),
        )
}

/// Shows the wall.
///
/// # Errors
/// If the bench has no copy of the shop's log yet, or it cannot be read.
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    let bench = super::open(matches)?;
    match bench.catch_up(&SystemClock, None).await {
        Ok(caught) => bench.back(caught)?.iter().for_each(|line| terminal.tell(line)),
        Err(Error::Away { .. }) => bench.is_away()?,
        Err(error) => return Err(error),
    }
    if matches.get_flag("once") || !io::stdout().is_terminal() {
        let look = terminal.look(bench.zone());
        let alone = present(&bench, &mut Follow::default())?;
        let wall = alone.wall(alone.time(&SystemClock));
        terminal.page(&page(&bench, &alone, &wall, &look, None));
        return Ok(Ending::Done);
    }
    let ended = redraw(&bench, terminal).await;
    draw(LEAVE);
    ended
}

/// Draws until Ctrl-C.
async fn redraw(bench: &Bench, terminal: &Terminal) -> Result<Ending, Error> {
    let mut tick = tokio::time::interval(TICK);
    tick.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    let mut stop = std::pin::pin!(tokio::signal::ctrl_c());
    let (mut beside, mut rings) = (Beside::default(), Rings::default());
    let mut follow = Follow::default();
    let (mut alone, mut drawn) = (present(bench, &mut follow)?, Vec::new());
    // The next potfuls ask the rules about every head, so they are not put together each second.
    let mut wall = alone.wall(alone.time(&SystemClock));
    let mut ticks = 0_u32;
    loop {
        // In this order: the first poll of `stop` is what takes Ctrl-C from the system, and until then
        // it would end the program with the screen left as it is.
        tokio::select! {
            biased;
            _ = &mut stop => return Ok(Ending::Done),
            _ = tick.tick() => {}
        }
        if ticks == 0 {
            draw(ENTER);
        }
        let folder = bench.folder().path("");
        ticks = ticks.wrapping_add(1);
        if beside.turn(&folder).await.is_some() || ticks.is_multiple_of(WHOLE_EVERY) {
            alone = present(bench, &mut follow)?;
            wall = alone.wall(alone.time(&SystemClock));
        }
        let (width, height) = size();
        let look = Look { width: Some(width), ..terminal.look(bench.zone()) };
        let now = alone.time(&SystemClock);
        if !rings.ring(&alone.rings(now), now).is_empty() {
            draw("\u{7}");
        }
        let lines = page(bench, &alone, &wall, &look, Some(height)).text;
        if lines != drawn {
            draw(&screen(&lines));
            drawn = lines;
        }
    }
}

/// Every line over the one before, and nothing after the last.
fn screen(lines: &[String]) -> String {
    let mut bytes = "\u{1b}[H".to_owned();
    for (n, line) in lines.iter().enumerate() {
        bytes.push_str(if n == 0 { "" } else { "\r\n" });
        bytes.push_str(line);
        bytes.push_str("\u{1b}[K");
    }
    bytes.push_str("\u{1b}[J");
    bytes
}

fn page(bench: &Bench, alone: &Alone, wall: &Wall, look: &Look, height: Option<usize>) -> Page {
    let now = alone.time(&SystemClock);
    let reach = if bench.away() { alone.how_old() } else { "shop in reach".to_owned() };
    let shop = &bench.settings().shop_name;
    let head = format!("{shop}  {}  {reach}", look.time(now.0));
    let look = Look { now, ..look.clone() };
    render::wall::wall(wall, &head, &look, height)
}

fn present(bench: &Bench, follow: &mut Follow) -> Result<Alone, Error> {
    follow.present(bench, &SystemClock)?.ok_or_else(|| {
        Error::Refused("this bench has no copy of the shop's log yet; run `burrline sync`".into())
    })
}

fn size() -> (usize, usize) {
    terminal_size::terminal_size().map_or((80, 24), |(width, height)| {
        (usize::from(width.0.max(20)), usize::from(height.0.max(6)))
    })
}

fn draw(bytes: &str) {
    let mut out = io::stdout();
    // A terminal that is gone ends the program by itself.
    let _ = out.write_all(bytes.as_bytes()).and_then(|()| out.flush());
}
