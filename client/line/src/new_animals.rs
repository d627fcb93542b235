//! An animal that the shop's list does not have: those that are near, and how it is added.

use burrline_domain::On;

use super::{
    doubt::{unclear, whole_line},
    near,
    read::Reader,
    unclear as asked,
};
use crate::Error;

/// What a new animal can bear, and in whom, and what it takes after.
const NEW_ANIMALS: [(&str, [&str; 3]); 4] = [
    ("its males bear antlers", ["antlers", "males", "deer"]),
    ("both bear horns", ["horns", "both", "horned"]),
    ("it has tusks", ["tusks", "both", "hog"]),
    ("none of these", ["none", "both", "small"]),
];

impl Reader<'_> {
    /// An animal that the shop's list does not have: those that are near, and how it is added.
    pub(crate) fn unknown_animal(&self, word: &str) -> Error {
        let listed = self.lexicon.species.find(&word.split(' ').collect::<Vec<_>>());
        let several = listed.species.iter().map(|species| species.name.as_ref());
        let near = near::near(word, self.lexicon.species.words());
        let meant: Vec<&str> = several.chain(near).take(4).collect();
        let choices = meant.into_iter().map(|name| {
            let mut options = self.options.clone();
            options.insert("species", vec![name.to_owned()]);
            let words = self.words.iter().filter(|other| *other != word).cloned();
            let words: Vec<String> = words.collect();
            (name.to_owned(), whole_line(self.spec, &[], &options, &words))
        });
        let choices: Vec<_> = choices.chain(self.with_the_animal(word)).collect();
        unclear(
            format!(
                "{}: \u{201c}{word}\u{201d} is no animal of this shop\u{2019}s list; to add it: {}",
                self.spec.word,
                asked::line(&added(word, NEW_ANIMALS[0].1))
            ),
            choices,
        )
    }

    /// The whole line with the animal added in front of it, for each thing that its head can bear.
    pub(crate) fn with_the_animal(&self, word: &str) -> Vec<(String, Vec<String>)> {
        if self.spec.on != On::TakeIn {
            return Vec::new();
        }
        let mut options = self.options.clone();
        options.insert("species", vec![word.to_owned()]);
        let rest: Vec<String> = self.words.iter().filter(|other| *other != word).cloned().collect();
        let line = whole_line(self.spec, &[], &options, &rest);
        let one = |(label, head): &(&str, [&str; 3])| {
            let words = [added(word, *head), vec![";".to_owned()], line.clone()].concat();
            (format!("add it: {label}"), words)
        };
        NEW_ANIMALS.iter().map(one).collect()
    }
}

/// The line that adds an animal.
fn added(word: &str, [head, bearers, group]: [&str; 3]) -> Vec<String> {
    ["add-species", word, "--head", head, "--borne-by", bearers, "--group", group]
        .map(str::to_owned)
        .to_vec()
}
