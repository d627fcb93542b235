//! `burrline-shop man` and `burrline-shop completions`: both made from the command line itself.

use std::{
    io::Write as _,
    path::{Path, PathBuf},
    process::ExitCode,
};

use anyhow::Context as _;
use clap::{Args, CommandFactory as _};
use clap_complete::Shell;

use crate::command::Cli;

/// Where the pages go.
#[derive(Debug, Args)]
pub struct ManArgs {
    /// The folder for the pages, such as /usr/local/share/man/man1
    #[arg(long, value_name = "DIR")]
    pub to: PathBuf,
}

/// Writes a page for the program and one for each of its commands.
///
/// # Errors
/// If the folder cannot be made, or a page cannot be written.
pub fn man(args: &ManArgs) -> anyhow::Result<ExitCode> {
    let pages = pages(&args.to)?;
    writeln!(std::io::stdout(), "{pages} pages in {}", args.to.display())?;
    Ok(ExitCode::SUCCESS)
}

fn pages(to: &Path) -> anyhow::Result<usize> {
    std::fs::create_dir_all(to).with_context(|| to.display().to_string())?;
    let mut program = Cli::command();
    program.build();
    let mut pages = 0_usize;
    let commands: Vec<clap::Command> = program.get_subcommands().cloned().collect();
    for command in std::iter::once(program).chain(commands) {
        let name =
            command.get_display_name().unwrap_or_else(|| command.get_name()).replace(' ', "-");
        let page = to.join(format!("{name}.1"));
        let mut text = Vec::new();
        clap_mangen::Man::new(command).title(name).render(&mut text)?;
        std::fs::write(&page, text).with_context(|| page.display().to_string())?;
        pages = pages.saturating_add(1);
    }
    Ok(pages)
}

/// Prints completions for a shell.
pub fn completions(shell: Shell) -> ExitCode {
    clap_complete::generate(shell, &mut Cli::command(), "burrline-shop", &mut std::io::stdout());
    ExitCode::SUCCESS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_a_page() {
        let dir = tempfile::tempdir().unwrap();
        let written = pages(dir.path()).unwrap();
        let page = |name: &str| std::fs::read_to_string(dir.path().join(name)).unwrap();
        assert!(page("burrline-shop.1").contains("serve"));
        assert!(page("burrline-shop-serve.1").contains("disk\\-floor"));
        assert!(written > 8, "{written}");
    }
}
