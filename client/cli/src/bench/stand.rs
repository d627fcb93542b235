//! One line after the other: the core decides what a line is, the command line does it.

use std::path::{Path, PathBuf};

use burrline_bench::{
    Answerer as _, Bench, Ending, Error, SystemClock, alone::Alone, follow::Follow,
};
use burrline_domain::verb::spec;
use burrline_line as line;
use burrline_line::unclear;
use burrline_talk::{
    saying::hands,
    standing::{
        Known, Standing, Step,
        rings::{self, Rings},
        whose::{self, Further},
    },
};
use burrline_terms::{Moment, words::Role};

use super::{
    super::{correct, terminal::Terminal},
    times,
};

/// Commands that have no place in the prompt.
const ELSEWHERE: &[&str] = &["bench", "join", "completions", "watch", "page"];

/// Readings that are of one skull.
const OF_A_SKULL: &[&str] = &["show", "trail", "slip", "receipt", "statement", "notice", "collect"];

/// The file in the bench's folder with what was heard.
const HEARD: &str = "heard";

/// What became of a line.
#[derive(Debug)]
pub(super) enum Took {
    /// It ended so.
    Ended(Ending),
    /// This line is to be edited.
    Edit(String),
    /// The prompt is to be left.
    Leave,
}

/// The prompt with the bench's folder.
pub(super) struct Stand {
    folder: PathBuf,
    bench: Bench,
    standing: Standing,
    known: Known,
    rings: Rings,
    /// The present by the bench's own copy; none before there is one.
    present: Option<Alone>,
    follow: Follow,
    /// How far copy and outbox went when it was folded.
    folded: Option<(u64, u64)>,
}

impl Stand {
    /// Stands at a bench that has joined.
    pub(super) fn open(folder: PathBuf) -> Result<Self, Error> {
        let bench = Bench::open(&folder)?;
        let all = super::super::command();
        let names = all.get_subcommands().map(|command| command.get_name().to_owned());
        let standing = Standing::new(names.filter(|name| !ELSEWHERE.contains(&name.as_str())));
        let standing = standing.without(ELSEWHERE);
        // What was heard is heard, whoever steps up next.
        let heard = bench.folder().text(HEARD).unwrap_or_default();
        let (known, rings) = (Known::default(), Rings::of(&heard));
        let (present, folded, follow) = (None, None, Follow::default());
        let mut stand = Self { folder, bench, standing, known, rings, present, follow, folded };
        stand.refresh();
        Ok(stand)
    }

    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    pub(super) const fn standing(&self) -> &Standing {
        &self.standing
    }

    pub(super) const fn known(&self) -> &Known {
        &self.known
    }

    /// Takes up what the copy and the outbox have by now. A copy that cannot be read is told by the
    /// next reading; the prompt goes on with what it knew.
    pub(super) fn refresh(&mut self) {
        // Given by `rejoin`, here or at another terminal.
        if let Ok(Some(new)) = self.bench.renewed() {
            (self.bench, self.folded) = (new, None);
        }
        let (Ok(edge), Ok(said)) = (self.bench.copied(), self.bench.said()) else { return };
        let far = (edge.size(), said);
        if self.folded == Some(far) {
            return;
        }
        if let Ok(Some(present)) = self.follow.present(&self.bench, &SystemClock) {
            self.known = Known::of(present.state());
            self.present = Some(present);
            self.folded = Some(far);
        }
    }

    /// What is said when the hand steps up.
    pub(super) fn greeting(&self) -> String {
        format!(
            "{}: say what was done; `help` shows how, Ctrl-D leaves",
            self.bench.settings().name
        )
    }

    /// "yard-1 ines pot-1, away 12 min, 2 wait> "
    pub(super) fn prompt(&self) -> String {
        let mut words = self.at_work();
        let mut parts = Vec::new();
        if self.bench.away() {
            let minutes = self.age_ms().checked_div(60_000).unwrap_or(0);
            parts.push(format!("away {}", burrline_present::view::minutes(minutes)));
        }
        parts.extend(match self.waiting() {
            0 => None,
            count => Some(format!("{count} wait")),
        });
        for part in parts {
            words.push_str(", ");
            words.push_str(&part);
        }
        match self.standing.collected().as_str() {
            "" => format!("{words}> "),
            collected => format!("{words} [{collected}]> "),
        }
    }

    fn at_work(&self) -> String {
        let hand = self.bench.hand().map_or_else(|| "no hand".to_owned(), |hand| hand.to_string());
        let place = self.standing.place().map(|place| format!(" {place}")).unwrap_or_default();
        format!("{} {hand}{place}", self.bench.settings().name)
    }

    fn age_ms(&self) -> i64 {
        self.present.as_ref().map_or(0, |present| present.age_ms(&SystemClock))
    }

    fn waiting(&self) -> usize {
        self.bench.waiting().map_or(0, |waiting| waiting.len())
    }

    /// What rings now, with the bell before it.
    pub(super) fn ring(&mut self, terminal: &Terminal) -> Option<String> {
        let present = self.present.as_ref()?;
        let now = present.time(&SystemClock);
        let ringing = self.rings.ring(&present.rings(now), now);
        if ringing.is_empty() {
            return None;
        }
        let look = terminal.look(self.bench.zone());
        Some(format!("\u{7}{}", rings::lines(&ringing, &look).join("\n")))
    }

    /// Before each line: what the prompt knows now tells a line from an answer.
    fn ready(&self, terminal: &mut Terminal) {
        terminal.knows_prompt(&self.standing, &self.known);
    }

    /// What was collected and is not said yet; empty if nothing was.
    pub(super) fn collected(&self) -> String {
        self.standing.collected()
    }

    /// Drops what was collected; says what that was.
    pub(super) fn drop_collected(&mut self) -> Option<String> {
        self.standing.drop_collected()
    }

    /// Takes a line; what goes wrong is told.
    pub(super) async fn take(&mut self, typed: &str, terminal: &mut Terminal) -> Took {
        self.ready(terminal);
        let named = match self.by_name(typed, terminal).await {
            Ok(named) => named,
            Err(error) => return Took::Ended(wrong(typed, &error, terminal)),
        };
        let typed = named.as_deref().unwrap_or(typed);
        let steps = match self.standing.take(typed, &self.known) {
            Ok(steps) => steps,
            Err(error) => return Took::Ended(wrong(typed, &error, terminal)),
        };
        if let Err(error) = times::hold(&self.bench, &steps) {
            return Took::Ended(wrong(typed, &error, terminal));
        }
        let mut worst = Ending::Done;
        for step in steps {
            let ending = match self.step(step, terminal).await {
                Ok(Took::Ended(ending)) => ending,
                Ok(other) => return other,
                Err(error) => wrong(typed, &error, terminal),
            };
            worst = worst.max(ending);
            // What a line says further on rests on what it says before.
            if !matches!(ending, Ending::Done | Ending::Away) {
                break;
            }
        }
        Took::Ended(worst)
    }

    /// The line with tags, where a customer's name was typed for them and the hand says who is meant.
    async fn by_name(&self, typed: &str, terminal: &Terminal) -> Result<Option<String>, Error> {
        let words = line::split(typed)?;
        // Where the line has a question of its own, such as who `Hal` in `hand-over 0417 Hal` is, that is asked.
        if words.len() < 2 || !self.knows_names() || self.reads(&words, Further::MayBeAsked) {
            return Ok(None);
        }
        let names = whose::may_be_names(&words, &self.known);
        let here = self.bench.customers_named(&names).await;
        let asked = whose::meant(&words, &here, |words, further| self.reads(words, further));
        let Some(unclear) = asked else { return Ok(None) };
        let chosen = terminal.hand().choose(&words, &unclear);
        chosen.map(|words| Some(unclear::line(&words))).ok_or(Error::Unclear(unclear))
    }

    /// Whether customers' names are for this bench.
    fn knows_names(&self) -> bool {
        let here = self.present.as_ref().map(|present| &present.state().shop().benches);
        let bench = here.and_then(|benches| benches.get(&self.bench.life()));
        bench.is_some_and(|bench| matches!(bench.role, Role::Counter | Role::Owner))
    }

    /// Whether a line can be taken as it is.
    fn reads(&self, words: &[String], further: Further) -> bool {
        // `promised amsel sat 22` is a line by the day that it is.
        let today = Some(self.bench.today(&SystemClock));
        let lexicon = line::Lexicon { today, ..self.known.lexicon.clone() };
        // What is collected is no line yet.
        let mut standing = self.standing.clone();
        let Ok(steps) = standing.take(&unclear::line(words), &self.known) else { return false };
        steps.iter().all(|step| {
            let Step::Run(words) = step else { return true };
            let said = words.strip_prefix(&[line::LINES.to_owned()]).unwrap_or(words);
            let verb = said.first().is_some_and(|first| spec(first).is_some());
            if verb || said.len() < words.len() {
                return match line::parse_words(said, &lexicon) {
                    Ok(_) => true,
                    Err(line::Error::Unclear(asked)) => {
                        further == Further::MayBeAsked && !asked.choices.is_empty()
                    }
                    Err(_) => false,
                };
            }
            // A skull is told by a number, and a name has none.
            let of_a_name = matches!(words.as_slice(), [command, of, ..]
                if OF_A_SKULL.contains(&command.as_str()) && !of.bytes().any(|b| b.is_ascii_digit()));
            !of_a_name
                && super::super::command().try_get_matches_from(self.program(words)).is_ok()
        })
    }

    /// Words as after `burrline` at this bench.
    fn program(&self, words: &[String]) -> Vec<String> {
        let bench = self.folder.display().to_string();
        let program = ["burrline".to_owned(), "--bench".to_owned(), bench];
        program.into_iter().chain(super::super::arranged_words(words)).collect()
    }

    async fn step(&mut self, step: Step, terminal: &mut Terminal) -> Result<Took, Error> {
        match step {
            Step::Run(words) if words == ["amend"] => {
                return Ok(Took::Edit(correct::last_as_amendment(&self.bench)?));
            }
            Step::Run(words) => return Ok(Took::Ended(self.run(&words, terminal).await?)),
            Step::Tell(lines) => lines.iter().for_each(|line| terminal.tell(line)),
            Step::Hand(name) => self.hand(&name, terminal)?,
            Step::Heard => self.heard(terminal)?,
            Step::Status => self.status(terminal),
            Step::More => terminal.show_behind(),
            Step::Help => terminal.tell(&burrline_screen::help::screen("")),
            Step::Leave => return Ok(Took::Leave),
        }
        Ok(Took::Ended(Ending::Done))
    }

    async fn run(&mut self, words: &[String], terminal: &mut Terminal) -> Result<Ending, Error> {
        let matches = match super::super::command().try_get_matches_from(self.program(words)) {
            Ok(matches) => matches,
            Err(error) if error.use_stderr() => {
                return Err(Error::usage(in_short(&error, words)));
            }
            Err(help) => {
                let _ = help.print();
                return Ok(Ending::Done);
            }
        };
        // The future of a line holds the prompt's own, as far as its type goes.
        let line = Box::pin(super::super::dispatch(&matches, terminal));
        let ending = interrupted(line).await;
        if ending.as_ref().is_ok_and(|ending| *ending != Ending::Usage) {
            self.standing.remember(&line::at_first(words), &self.known);
        }
        // A new life has other files.
        self.bench = Bench::open(&self.folder)?;
        self.refresh();
        ending
    }

    fn hand(&self, name: &str, terminal: &Terminal) -> Result<(), Error> {
        let name = hands::chosen(&self.known.hands, name, &mut terminal.hand())?;
        self.bench.keep_hand(&name)?;
        terminal.tell(&format!("{name} works here from now on"));
        Ok(())
    }

    fn heard(&mut self, terminal: &Terminal) -> Result<(), Error> {
        let heard = self.present.as_ref().map_or(0, |present| {
            let now = present.time(&SystemClock);
            self.rings.hear(&present.rings(now), now)
        });
        terminal.tell(&match heard {
            0 => "nothing rings".to_owned(),
            1 => "heard; it rings no more for that one".to_owned(),
            count => format!("heard; it rings no more for those {count}"),
        });
        self.bench.folder().keep_text(HEARD, &self.rings.heard())
    }

    fn status(&self, terminal: &Terminal) {
        let settings = self.bench.settings();
        terminal.tell(&format!("bench {}", self.at_work()));
        let reach = match &self.present {
            Some(present) if self.bench.away() => present.how_old(),
            Some(_) | None if self.bench.away() => "and no copy of it is here yet".to_owned(),
            Some(_) | None => "in reach".to_owned(),
        };
        terminal.tell(&format!("shop {} at {}: {reach}", settings.shop_name, settings.shop));
        terminal.tell(&format!("{} waiting to be sent", self.waiting()));
        let due = self
            .present
            .as_ref()
            .map_or(0, |present| present.rings(Moment(present.time(&SystemClock).0)).len());
        terminal.tell(&format!("{due} due for a look, a lift, a change or a dry"));
    }
}

fn wrong(typed: &str, error: &Error, terminal: &Terminal) -> Ending {
    terminal.tell(&format!("{}: {error}", typed.trim()));
    error.ending()
}

/// What does not fit a command, without the page of help that a terminal gets.
fn in_short(error: &clap::Error, words: &[String]) -> String {
    let said = error.to_string();
    let first = said.lines().next().unwrap_or_default();
    let what = first.strip_prefix("error: ").unwrap_or(first);
    let command = words.first().map(String::as_str).unwrap_or_default();
    format!("{command}: {what}; see `help {command}`")
}

/// Runs a line until it is done, or Ctrl-C ends what would go on for ever; what was kept is kept.
async fn interrupted(line: impl Future<Output = Result<Ending, Error>>) -> Result<Ending, Error> {
    let stop = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    // Ctrl-C is taken from the system before the line begins.
    tokio::select! {
        biased;
        () = stop => Ok(Ending::Done),
        ended = line => ended,
    }
}
