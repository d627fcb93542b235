//! Papers that a line is about: `kill tag K-5521`, `killed on 11/28`.

use super::plain;
use crate::Lexicon;

/// What a paper has that a line can begin with.
pub(super) const PAPERS: &[&str] = &[
    "kill tag",
    "kill-tag",
    "seal",
    "licence",
    "license",
    "lic",
    "cwd",
    "county",
    "salvage permit",
];

/// The papers of the skull of these tags, where what is said of it begins with the name of a paper.
pub fn papers_of(tags: &[String], rest: &[String]) -> Option<Vec<String>> {
    let [tag] = tags else { return None };
    [2_usize, 1].into_iter().find_map(|used| {
        let (name, value) = rest.split_at_checked(used)?;
        let called: Vec<String> = name.iter().map(|word| plain(word)).collect();
        let paper = PAPERS.contains(&called.join(" ").as_str()) && !value.is_empty();
        let front = ["papers".to_owned(), tag.clone()].into_iter();
        paper.then(|| front.chain(called).chain(value.iter().cloned()).collect())
    })
}

/// `417 brought his kill tag K-5521`, `423 killed on 11/28`: what a paper has.
pub fn brought(tags: &[String], rest: &[String], lexicon: &Lexicon) -> Option<Vec<String>> {
    let [tag] = tags else { return None };
    let lead = |word: &&String| {
        let lead = ["brought", "has", "gave", "us", "me", "his", "her", "their", "the", "in", "a"];
        lead.contains(&plain(word).as_str())
    };
    let led = rest.iter().take_while(lead).count();
    let paper = rest.get(led..).filter(|_| led > 0).unwrap_or_default();
    if let Some(papers) = papers_of(tags, paper) {
        return crate::parse_words(&papers, lexicon).is_ok().then_some(papers);
    }
    let killed = matches!(plain(rest.first()?).as_str(), "killed" | "shot" | "harvested");
    let on = usize::from(rest.get(1).is_some_and(|word| plain(word) == "on"));
    let day = rest.get(on.saturating_add(1)..).filter(|day| killed && !day.is_empty())?;
    let front = ["papers", tag, "killed", "on"].map(str::to_owned).into_iter();
    let line: Vec<String> = front.chain(day.iter().cloned()).collect();
    crate::parse_words(&line, lexicon).is_ok().then_some(line)
}
