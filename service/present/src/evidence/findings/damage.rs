//! Each damage: whose it is said to be, who had the skull when it was first noted, and what became
//! of those words; and every part that was worse later than it was said to be before.

use burrline_domain::Verb;
use burrline_terms::words::{Whose, WriteOffAs};

use super::{
    Finding,
    lines::{Line, Lines},
};

pub(super) fn damage(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    for line in &lines.all {
        if let Some(told) = lines.tell(line, noted) {
            let stage = lines.stage(line);
            let ours = line.versions().any(|verb| !is_as_found(verb));
            alarm |= told.changed || ours || !stage.before_work;
            let (before, after) = (before(lines, line), after(lines, line));
            answers.push(format!("{}; noted {}{before}{after}", told.words, stage.words));
        }
    }
    let worse = lines.worse_parts();
    alarm |= !worse.is_empty();
    answers.extend(worse);
    for line in &lines.all {
        if let Some(told) = lines.tell(line, besides) {
            alarm = true;
            answers.push(told.words);
        }
    }
    let question = "Was it damaged, and who had it when that was first noted?";
    let nothing = "no damage is on record, and no part was said to be worse than before";
    Finding::or(question, answers, nothing, alarm)
}

fn noted(verb: &Verb) -> Option<String> {
    let Verb::Damage(damage) = verb else { return None };
    let whose = match damage.whose {
        Some(Whose::AsFound) => "as found",
        Some(Whose::Ours) => "the shop's own",
        Some(Whose::NotKnown) | None => "not known whose",
    };
    let noticed = damage.noticed.as_ref();
    let noticed = noticed.map(|words| format!(", noticed: {words}")).unwrap_or_default();
    Some(format!("{}: {} — {whose}{noticed}", damage.skull.piece, damage.what))
}

fn is_as_found(verb: &Verb) -> bool {
    if let Verb::Damage(damage) = verb { damage.whose == Some(Whose::AsFound) } else { true }
}

/// What was done right before a damage was noted, and by whom.
fn before(lines: &Lines<'_>, line: &Line<'_>) -> String {
    let earlier = lines.all.iter().take_while(|other| other.fact.key < line.fact.key);
    let last = earlier.filter(|other| other.counts()).last();
    last.map(|last| format!("; the line before it is {}", step(lines, last))).unwrap_or_default()
}

/// What was done next after a damage was noted, and by whom.
fn after(lines: &Lines<'_>, line: &Line<'_>) -> String {
    let mut later = lines.all.iter().filter(|other| other.fact.key > line.fact.key);
    let next = later.find(|other| other.counts() && other.now.is_work());
    next.map(|next| format!("; the next step is {}", step(lines, next))).unwrap_or_default()
}

fn step(lines: &Lines<'_>, line: &Line<'_>) -> String {
    let place = line.now.place().map(|place| format!(" {place}")).unwrap_or_default();
    format!("`{}{place}`, {}", line.now.spec().word, lines.by(line.fact))
}

/// What else speaks of a damage.
fn besides(verb: &Verb) -> Option<String> {
    if let Verb::Repair(repair) = verb {
        let what = repair.what.as_ref().map(|what| format!(": {what}")).unwrap_or_default();
        Some(format!("{} repaired{what}", repair.skull.piece))
    } else if let Verb::WriteOff(off) = verb {
        match off.how {
            WriteOffAs::Lost | WriteOffAs::Ruined => Some(format!("written off as {}", off.how)),
            WriteOffAs::Unclaimed => None,
        }
    } else {
        None
    }
}
