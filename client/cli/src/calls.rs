//! `burrline calls --send`: the texts one by one, and one key that says it was sent.
//!
//! The program sends nothing itself: the hand copies the text, or opens its link. What is recorded is a
//! `tell` with its purpose and its means; the text, with the customer's name in it, is not.

use std::io::{self, IsTerminal as _};

use burrline_bench::{Ending, Error, SystemClock, alone::Then};
use burrline_present::readings::Calls;
use burrline_proto::v1;
use burrline_screen::calls;
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{reading, say, terminal::Terminal};

/// The command of `calls`, which can go through the texts.
pub fn with_send(command: Command) -> Command {
    command.arg(
        Arg::new("send")
            .long("send")
            .action(ArgAction::SetTrue)
            .help("Go through the texts to send, one by one; a key says that one was sent"),
    )
}

/// Shows whom to call, or goes through the texts.
///
/// # Errors
/// As [`reading::run`] and [`say::utter`].
pub async fn run(matches: &ArgMatches, terminal: &mut Terminal) -> Result<Ending, Error> {
    if !matches.get_flag("send") {
        return reading::run("calls", matches, terminal).await;
    }
    if !(io::stdin().is_terminal() && io::stderr().is_terminal()) {
        return Err(Error::usage(
            "calls --send asks for each text; from a program read `burrline calls --json`, and say \
             `burrline tell 0417 ready text sent`",
        ));
    }
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    let read = bench.read(Calls {}, Then::default(), &SystemClock).await?;
    let texts: Vec<(usize, &v1::CallLine)> = (1_usize..)
        .zip(read.answer.lines.iter().chain(&read.answer.papers))
        .filter(|(_, call)| !call.sent.is_empty())
        .collect();
    if texts.is_empty() {
        terminal.tell(
            "nothing to send: nobody is to be told anything, or no number and address is known here",
        );
        return Ok(Ending::Done);
    }
    let mut ending = Ending::Done;
    for (n, call) in texts {
        for line in calls::text(n, call) {
            terminal.say(&line);
        }
        let Some(means) = asked(call, terminal)? else { return Ok(ending) };
        if means.is_empty() {
            continue;
        }
        let words = format!("{} {means} sent", call.sent);
        let words: Vec<String> = words.split_whitespace().map(str::to_owned).collect();
        let utterance = bench.read_line(&words, &SystemClock, &mut terminal.hand()).await?;
        ending = say::utter(&bench, utterance, terminal).await?;
    }
    Ok(ending)
}

/// By which means it was sent; empty for not, nothing for no more.
fn asked(call: &v1::CallLine, terminal: &Terminal) -> Result<Option<&'static str>, Error> {
    let mut keys = Vec::new();
    if !call.sms.is_empty() {
        keys.push("s: sent as a text");
    }
    if !call.mail.is_empty() {
        keys.push("m: sent by mail");
    }
    keys.extend(["Enter: the next one", "q: no more"]);
    loop {
        let typed = terminal.hand().line(&format!("{}> ", keys.join("  ")));
        let typed = typed.map_err(|e| Error::file(std::path::Path::new("standard input"), e))?;
        match typed.as_deref() {
            None | Some("q") => return Ok(None),
            Some("") => return Ok(Some("")),
            Some("s") if !call.sms.is_empty() => return Ok(Some("text")),
            Some("m") if !call.mail.is_empty() => return Ok(Some("email")),
            Some(_) => {}
        }
    }
}
