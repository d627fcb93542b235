//! The word that stands for a visit: the shop's key and head, or what the bench signs of it.
//!
//! A slip carries the head of the shop's log that covers its own records. With it in hand, the
//! customer can later hold the shop to its word: a packet is checked against the key on the slip. How
//! it looks on paper is in [`handout`](crate::handout).

use burrline_present::{cautions::Danger, evidence::Slip};

/// The shop's word, or that of the bench where the shop is out of reach.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Word {
    /// The shop's key, and its signed head that covers the slip's records.
    Shop {
        /// The key, as tools for signed notes read it.
        key: String,
        /// The head, a signed note.
        head: String,
    },
    /// The bench's own signed note over the slip; to be printed anew once the shop has it.
    Bench(String),
}

impl Word {
    /// What stands in the code, and in plain text beside it.
    pub fn text(&self) -> String {
        match self {
            Self::Shop { key, head } => format!("{key}\n{head}"),
            Self::Bench(note) => note.clone(),
        }
    }

    pub(crate) const fn heading(&self) -> &'static str {
        match self {
            Self::Shop { .. } => {
                "The shop's key and a checkpoint, its signed head of the log. Keep them: with them \
                 anybody can check later what the shop shows of this job."
            }
            Self::Bench(_) => {
                "The shop was out of reach: signed by the bench alone. Ask for a new slip later."
            }
        }
    }
}

/// What every slip warns of, for what goes home with it.
pub(crate) const CAUTIONS: [&str; 2] = [
    "A finished skull keeps traces of peroxide and sealer for a while: no food near it, hands washed \
     after. The labels of what was used decide.",
    "Law on wildlife decides what may be kept, sold or carried over a border: ask the agency, keep \
     the papers with it.",
];

/// The slip's body in lines, without the shop's word.
pub fn body(slip: &Slip) -> Vec<String> {
    let mut lines = vec![slip.shop.clone()];
    lines.extend(slip.ticket.map(|ticket| format!("ticket {ticket}")));
    for job in &slip.jobs {
        lines.push(String::new());
        lines.push(job.heading.clone());
        lines.extend(job.lines.iter().map(|line| format!("  {line}")));
    }
    if !slip.in_all.is_empty() {
        lines.push(String::new());
        lines.extend(slip.in_all.iter().cloned());
    }
    lines.push(String::new());
    lines.push(Danger::Disease.words().to_owned());
    lines.extend(CAUTIONS.map(str::to_owned));
    lines
}

#[cfg(test)]
mod tests {
    use burrline_present::evidence::slip::SlipJob;

    use super::*;

    #[test]
    fn what_a_bench_signs_is_every_line_of_the_visit() {
        let slip = Slip {
            shop: "Alder <Creek>".to_owned(),
            ticket: Some(burrline_terms::EntryName::new(2, 6)),
            jobs: vec![SlipJob {
                heading: "job 2-7-8  tag 0412  mule deer".to_owned(),
                lines: vec!["price: 120.00 (agreed)".to_owned()],
            }],
            in_all: Vec::new(),
            newest: 40,
        };
        let body = body(&slip);
        let told = ["Alder <Creek>", "ticket 2:6", "", "job 2-7-8  tag 0412  mule deer"];
        assert_eq!(body.get(..4).unwrap(), told);
        assert!(body.contains(&"  price: 120.00 (agreed)".to_owned()), "{body:?}");
        assert!(body.iter().any(|line| line.contains("carry disease")), "{body:?}");
    }
}
