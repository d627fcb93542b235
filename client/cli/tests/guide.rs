//! The lines of the guide and of README are lines of the program: each names a command, with options that
//! it has.
#![cfg(test)]

use burrline_cli as cli;
use burrline_line as line;

const GUIDE: &str = include_str!("../../GUIDE.md");
const WAYS: &str = include_str!("../../WAYS.md");
const README: &str = include_str!("../../../README.md");

/// What is typed for a verb of another name.
const CALLED: &[(&str, &str)] = &[("undo", "strike"), ("put", "in"), ("move", "in")];

#[test]
fn every_line_of_the_guide_names_a_command_with_its_options() {
    let lines: Vec<&str> = GUIDE
        .lines()
        .filter(|line| line.starts_with('|'))
        .flat_map(|row| row.split('`').skip(1).step_by(2))
        .filter(|quoted| quoted.starts_with("burrline "))
        .collect();
    assert!(lines.len() > 100, "the tables of the guide are read: {lines:?}");
    all_are_lines(&lines);
}

#[test]
fn every_line_of_the_page_on_ways_names_a_command_with_its_options() {
    let lines: Vec<&str> = WAYS.lines().filter_map(|line| line.strip_prefix("    ")).collect();
    let lines: Vec<&str> = lines.into_iter().filter(|line| line.starts_with("burrline ")).collect();
    assert!(lines.len() > 8, "the lines are read: {lines:?}");
    all_are_lines(&lines);
}

#[test]
fn every_line_of_the_readme_names_a_command_with_its_options() {
    let lines: Vec<&str> = README
        .lines()
        .filter_map(|line| line.strip_prefix("    $ "))
        .filter(|line| line.starts_with("burrline "))
        .collect();
    assert!(lines.len() > 8, "the session is read: {lines:?}");
    all_are_lines(&lines);
}

fn all_are_lines(lines: &[&str]) {
    let wrong: Vec<String> = lines.iter().filter_map(|line| wrong(line)).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// What is wrong with a line; none if it is one.
fn wrong(typed: &str) -> Option<String> {
    let words = line::split(typed).unwrap();
    let commands = cli::command();
    let is_command = |word: &String| {
        let called =
            CALLED.iter().find(|(said, _)| said == word).map_or(word.as_str(), |(_, is)| is);
        commands.find_subcommand(called).map(|_| called.to_owned())
    };
    // A time goes first; what follows it is the line.
    let place = words.iter().position(|word| is_command(word).is_some());
    let Some(place) = place.filter(|place| *place == 1 || words[1] == "at") else {
        return Some(format!("{typed}: no command"));
    };
    let mut line = vec![words[0].clone()];
    line.extend(is_command(&words[place]));
    line.extend(words[place..].iter().skip(1).cloned());
    cli::command().try_get_matches_from(line).err().map(|error| format!("{typed}: {error}"))
}
