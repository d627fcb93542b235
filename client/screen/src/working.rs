//! A working as lines: the answer, the way to it, what to be careful about, and where it is from.

use burrline_paper::fit::{padded, width};
use burrline_proto::v1;
use burrline_reckon::short;

/// The lines that a person reads.
pub fn lines(
    answer: &str,
    steps: &[(String, String)],
    cautions: Vec<String>,
    sources: Vec<String>,
) -> Vec<String> {
    // The first line may say what happens, and the next what to do.
    let mut lines: Vec<String> = short(answer).split('\n').map(str::to_owned).collect();
    let wide = steps.iter().map(|(what, _)| width(what)).max().unwrap_or(0);
    let steps = steps.iter().map(|(what, sum)| format!("{}  {sum}", padded(what, wide)));
    for (title, part) in
        [("working", steps.collect::<Vec<_>>()), ("careful", cautions), ("from", sources)]
    {
        if !part.is_empty() {
            lines.push(title.to_owned());
            lines.extend(part.into_iter().map(|line| format!("  {line}")));
        }
    }
    lines
}

/// The answer of a working that the shop sent, with what to be careful about.
pub fn answer(reckoned: &v1::Reckoned) -> Vec<String> {
    lines(&reckoned.answer, &[], reckoned.cautions.clone(), Vec::new())
}

/// The way to that answer, and where it is from.
pub fn way(reckoned: &v1::Reckoned) -> Vec<String> {
    let way = v1::Reckoned { cautions: Vec::new(), ..reckoned.clone() };
    sent(&way).into_iter().skip(1).collect()
}

/// A working that the shop sent.
pub fn sent(reckoned: &v1::Reckoned) -> Vec<String> {
    let steps: Vec<(String, String)> =
        reckoned.working.iter().map(|step| (step.what.clone(), step.sum.clone())).collect();
    lines(&reckoned.answer, &steps, reckoned.cautions.clone(), reckoned.sources.clone())
}
