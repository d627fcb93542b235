//! Manual pages of the bench's program, made from its commands: `burrline completions man --to DIR`.

use std::{fs, path::Path};

use clap::Command;

use crate::Error;

/// Writes a page for the program and one for each of its commands.
pub(crate) fn write(mut program: Command, to: &Path) -> Result<(), Error> {
    let wrong = |source| Error::File { path: to.display().to_string(), source };
    fs::create_dir_all(to).map_err(wrong)?;
    program.build();
    let commands: Vec<Command> = program.get_subcommands().cloned().collect();
    for command in std::iter::once(program).chain(commands) {
        let name = command.get_display_name().unwrap_or_else(|| command.get_name());
        let name = name.replace(' ', "-");
        let mut page = Vec::new();
        clap_mangen::Man::new(command).title(&name).render(&mut page).map_err(wrong)?;
        fs::write(to.join(format!("{name}.1")), page).map_err(wrong)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_a_page_and_needs_no_folder_to_be_there() {
        let dir = tempfile::tempdir().unwrap();
        let to = dir.path().join("man1");
        write(crate::command(), &to).unwrap();
        let page = |name: &str| fs::read_to_string(to.join(name)).unwrap();
        assert!(page("burrline.1").contains("wash"));
        assert!(page("burrline-wash.1").contains("burrline"));
        let pages = fs::read_dir(&to).unwrap().count();
        assert_eq!(pages, crate::command().get_subcommands().count() + 1);
    }
}
