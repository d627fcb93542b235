//! The command line, one subcommand a module.

use std::{path::PathBuf, process::ExitCode};

use clap::{Parser, Subcommand};

#[cfg(feature = "demo")]
use crate::demo;
use crate::{
    accept::{self, Accept},
    backup::{self, BackupArgs, RehearseArgs},
    check,
    invite::{self, InviteArgs, InvitesArgs},
    ledger::LedgerArgs,
    manual::{self, ManArgs},
    move_log::{self, MoveLogArgs},
    restored::{self, RestoredArgs},
    serve::{self, ServeArgs},
    status::{self, StatusArgs},
};

/// Keep one skull shop's log, and serve its benches
#[derive(Debug, Parser)]
#[command(name = "burrline-shop", version = env!("BURRLINE_VERSION"), after_help = EXIT_STATUSES)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const EXIT_STATUSES: &str = "Exit status: 0 done, 1 something is wrong with the folder or the \
                             settings, 2 usage, 3 `check` found a file beside a sound log that is not \
                             whole, 70 a bug, 74 the disk is full or failed, or another server \
                             took the log over.";

const BACKUP_STATUSES: &str = "Exit status: 0 a whole copy was made; 1 none was, or one was made and \
                               somebody has to look at what is told.";

/// What the program can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Serve the benches of a shop
    Serve(ServeArgs),
    /// Make a code that a bench joins with; the server may be running
    ///
    /// The code works once, for the stated role or a lesser one, for as long as it says. Its last 16 letters
    /// are the fingerprint of the shop's key.
    Invite(InviteArgs),
    /// List the join codes that are still good, and take one back
    Invites(InvitesArgs),
    /// Read everything in a folder, on a private copy, and report what is there
    Check {
        /// The shop's folder; or set `BURRLINE_DATA`
        #[arg(long, env = "BURRLINE_DATA")]
        data: PathBuf,
        #[command(flatten)]
        #[allow(missing_docs, reason = "each of its flags is told")]
        ledger: LedgerArgs,
        /// Print one JSON object
        #[arg(long)]
        json: bool,
    },
    /// Say how the shop is: running, copied, room on its disk, benches, and what somebody has to look at
    #[command(after_help = "Exit status: 0 all is well, 1 somebody has to look at what is told.")]
    Status(StatusArgs),
    /// Copy the shop's folder, prove the copy, and let go of copies that newer ones stand for
    ///
    /// The server may be running. A copy that never was whole does not count. No copy goes by its age
    /// alone: each that has records, keys or photos which the newest lacks stays, and is told.
    #[command(after_help = BACKUP_STATUSES)]
    Backup(BackupArgs),
    /// Restore the newest copy into a temporary folder, open it there, and prove it
    Rehearse(RehearseArgs),
    /// Take the lines of a bench that cannot send them, from a file of `burrline outbox export`
    ///
    /// The server may be running. Each line is printed with what became of it; a line that is on the
    /// log already is not recorded again, so that the same file may be accepted twice.
    Accept(Accept),
    /// Say that a folder was put back from a backup, or that the shop goes on without what is lost
    Restored(RestoredArgs),
    /// Move the log from the shop's folder onto an engine of several machines, or back
    ///
    /// The server must be stopped. The records are the same, byte for byte: they are read back, and their
    /// root is compared. Cut off, the log is where it was; the same command goes on.
    MoveLog(MoveLogArgs),
    /// Write the manual pages
    Man(ManArgs),
    /// Print completions for a shell
    Completions {
        /// bash, elvish, fish, powershell or zsh
        shell: clap_complete::Shell,
    },
    /// Play an invented season with several benches, and show what a shop sees of it
    #[cfg(feature = "demo")]
    Demo(demo::DemoArgs),
}

impl Command {
    /// Does it.
    ///
    /// # Errors
    /// If something is wrong with the folder or the settings.
    pub fn run(self) -> anyhow::Result<ExitCode> {
        match self {
            Self::Serve(args) => on_threads(serve::serve_folder(args)),
            Self::Invite(args) => invite::invite(&args),
            Self::Invites(args) => invite::invites(&args),
            Self::Check { data, ledger, json } => check::check(&data, &ledger, json),
            Self::MoveLog(args) => move_log::move_log(&args),
            Self::Man(args) => manual::man(&args),
            Self::Completions { shell } => Ok(manual::completions(shell)),
            Self::Status(args) => status::status(&args),
            Self::Backup(args) => backup::backup(&args),
            Self::Rehearse(args) => on_threads(backup::rehearse(args)),
            Self::Accept(args) => on_threads(async move { accept::run(&args).await }),
            Self::Restored(args) => restored::restored(&args),
            #[cfg(feature = "demo")]
            Self::Demo(args) => on_threads(demo::run(args)),
        }
    }
}

fn on_threads(work: impl Future<Output = anyhow::Result<ExitCode>>) -> anyhow::Result<ExitCode> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(work)
}
