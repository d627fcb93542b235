//! The screens of help, with the words of the whole command line.

#![allow(clippy::tests_outside_test_module, reason = "an integration test is one")]

use burrline_cli as cli;
use burrline_screen::help::{GROUPS, Group, of_group, screen};

fn fits(screen: &str, what: &str) {
    assert!(screen.lines().count() <= 24, "{what}: {} lines", screen.lines().count());
    for line in screen.lines() {
        assert!(line.chars().count() <= 80, "{what}: {line}");
    }
}

#[test]
fn every_screen_fits_the_smallest_terminal() {
    let commands = cli::command();
    for before in ["burrline ", ""] {
        fits(&screen(before), "the first screen");
        for group in GROUPS {
            fits(&of_group(group, &commands, before), group.name);
        }
    }
}

#[test]
fn every_screen_reads_as_it_was_written() {
    let commands = cli::command();
    insta::assert_snapshot!("first", screen("burrline "));
    insta::assert_snapshot!("first_at_the_prompt", screen(""));
    for group in GROUPS {
        insta::assert_snapshot!(group.name, of_group(group, &commands, "burrline "));
    }
}

#[test]
fn every_word_is_in_one_group() {
    let commands = cli::command();
    for command in commands.get_subcommands().filter(|command| !command.is_hide_set()) {
        let name = command.get_name();
        let count = GROUPS.iter().filter(|group| group.all().any(|word| word == name)).count();
        assert!(count == 1 || name == "help", "{name} is in {count} groups");
    }
    for word in GROUPS.iter().flat_map(Group::all) {
        assert!(commands.find_subcommand(word).is_some(), "there is no {word}");
    }
}
