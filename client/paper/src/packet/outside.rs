//! What somebody has from outside a packet: the shop's key, a slip with the key and a signed head, or a
//! head alone.

use burrline_evidence::{
    checkpoint::key_of,
    note::{Note, NoteKey},
    sign::PublicKey,
};
use burrline_present::handout::ON_RECORD;

/// How the name of every log, and of every key of a shop, begins.
const SHOP: &str = "burrline.v1/shop/";

/// How the name begins that a bench signs under.
const BENCH: &str = "burrline.v1/bench/";

/// How the line of a signature begins.
const SIGNATURE: &str = "\u{2014} ";

/// What was shown from outside.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Outside {
    /// What it is called: the name of its file.
    pub name: String,
    /// The shop's key; none if the text is a checkpoint alone.
    pub key: Option<NoteKey>,
    /// The signed heads of the log, word for word. A key that was copied out has none, and neither has
    /// a slip on narrow paper.
    pub heads: Vec<String>,
    /// The numbers of the jobs that its text names; none in what was scanned from a code.
    pub jobs: Vec<String>,
    /// How many lines of each of them were on record, where its text says it.
    pub counts: Vec<(String, usize)>,
    /// The tags that its text names.
    pub tags: Vec<String>,
    /// What of it cannot be read.
    pub faults: Vec<Fault>,
}

/// Why something that was shown from outside cannot be checked by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// The bench alone signed it.
    #[error(
        "this slip was signed by a bench alone, while the shop was out of reach; ask for a new one"
    )]
    ByABench,
    /// There is neither key nor checkpoint in it.
    #[error(
        "there is no shop's key in it; scan the square code on the paper with a phone and save the text \
         that it shows, or ask the shop for a slip printed with --evidence"
    )]
    NoKey,
    /// The key is not whole.
    #[error("the shop's key on it cannot be read: it was cut off or copied wrongly")]
    BadKey,
    /// A checkpoint has no end, or no beginning.
    #[error(
        "a checkpoint on it is cut off: copy it whole, from the name of the log to the signature"
    )]
    CutOff,
    /// A checkpoint has all its lines and is none.
    #[error("a checkpoint on it cannot be read: it was copied wrongly")]
    BadHead,
}

impl Outside {
    /// Reads a slip, as text or as the page that was printed, or a checkpoint. What cannot be read of it
    /// is in its faults, and never passed over.
    pub fn of_slip(name: &str, text: &str) -> Self {
        let mut outside = Self {
            name: name.to_owned(),
            jobs: behind(text, "job", is_number),
            counts: counts(text),
            tags: behind(text, "tag", |_| true),
            ..Self::default()
        };
        // On the page the shop's word stands between two marks of its own.
        let word = text.split_once("<pre>").and_then(|(_, rest)| rest.split_once("</pre>"));
        let text = word.map_or(text, |(word, _)| word);
        let lines: Vec<&str> =
            text.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
        let words = || lines.iter().flat_map(|line| line.split_whitespace());
        outside.key = words().find_map(|word| word.parse().ok());
        let has_key = |word: &str| word.starts_with(SHOP) && word.contains('+');
        if outside.key.is_none() && words().any(has_key) {
            outside.faults.push(Fault::BadKey);
        }
        outside.read_heads(&lines);
        if outside.key.is_none() && outside.heads.is_empty() && outside.faults.is_empty() {
            let by_a_bench = text.contains(BENCH);
            outside.faults.push(if by_a_bench { Fault::ByABench } else { Fault::NoKey });
        }
        outside
    }

    /// Reads every head: a note from the name of its log to the last line of a signature.
    fn read_heads(&mut self, lines: &[&str]) {
        let mut note: Vec<&str> = Vec::new();
        let mut signatures: Vec<&str> = Vec::new();
        for line in lines {
            let is_signature = line.starts_with(SIGNATURE);
            if !signatures.is_empty() && !is_signature {
                self.take_head(&mut note, &mut signatures);
            }
            if is_name_of_log(line) {
                if !note.is_empty() {
                    self.faults.push(Fault::CutOff);
                }
                note = vec![line];
            } else if is_signature && (!note.is_empty() || line.contains(SHOP)) {
                signatures.push(line);
            } else if !note.is_empty() {
                note.push(line);
            }
        }
        if !note.is_empty() || !signatures.is_empty() {
            self.take_head(&mut note, &mut signatures);
        }
    }

    /// Takes what was gathered for a head, or says what is wrong with it. Paper and copying lose empty
    /// lines, so the one between the text and its signatures is put back.
    fn take_head(&mut self, note: &mut Vec<&str>, signatures: &mut Vec<&str>) {
        let (above, below) = (std::mem::take(note), std::mem::take(signatures));
        if above.is_empty() || below.is_empty() {
            self.faults.push(Fault::CutOff);
            return;
        }
        let whole = format!("{}\n\n{}\n", above.join("\n"), below.join("\n"));
        match Note::read(&whole) {
            Ok(_) => self.heads.push(whole),
            Err(_) => self.faults.push(Fault::BadHead),
        }
    }

    /// Whether it shows this key: it names it, or has a head that the key signed.
    pub fn shows(&self, key: PublicKey) -> bool {
        let signed =
            |note: &String| Note::read(note).is_ok_and(|note| note.check(&key_of(key)).is_ok());
        self.key.as_ref().is_some_and(|own| *own == key_of(key)) || self.heads.iter().any(signed)
    }
}

impl From<NoteKey> for Outside {
    fn from(key: NoteKey) -> Self {
        Self { name: "the key".to_owned(), key: Some(key), ..Self::default() }
    }
}

/// Whether a line is the name of a log, or what is left of one.
fn is_name_of_log(line: &str) -> bool {
    line.starts_with("burrline.v1/")
        && !line.starts_with(BENCH)
        && !line.contains('+')
        && !line.contains(' ')
}

/// Whether a word is the number of a job, such as `2-7-8`.
fn is_number(word: &str) -> bool {
    let is_digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    word.split('-').count() == 3 && word.split('-').all(is_digits)
}

/// The number of each job's lines on record: it stands below the job's own number.
fn counts(text: &str) -> Vec<(String, usize)> {
    let parts = text.split(ON_RECORD);
    let behind = parts.clone().skip(1);
    parts
        .zip(behind)
        .filter_map(|(above, behind)| {
            let digits: String = behind.chars().take_while(char::is_ascii_digit).collect();
            Some((last_behind(above, "job")?, digits.parse().ok()?))
        })
        .collect()
}

/// The last number of a job that stands in a text behind a word.
fn last_behind(text: &str, before: &str) -> Option<String> {
    let words: Vec<&str> = words(text).collect();
    let mut pairs = words.iter().zip(words.iter().skip(1));
    let found = pairs.rfind(|(word, next)| word.eq_ignore_ascii_case(before) && is_number(next));
    found.map(|(_, number)| (*number).to_owned())
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    let is_end = |c: char| !(c.is_ascii_alphanumeric() || c == '-');
    text.split(is_end).filter(|word| !word.is_empty())
}

/// The words that stand in a text behind another one, each once.
fn behind(text: &str, before: &str, is: impl Fn(&str) -> bool) -> Vec<String> {
    let words: Vec<&str> = words(text).collect();
    let pairs = words.iter().zip(words.iter().skip(1));
    let mut found: Vec<String> = pairs
        .filter(|(word, next)| word.eq_ignore_ascii_case(before) && is(next))
        .map(|(_, next)| (*next).to_owned())
        .collect();
    found.sort();
    found.dedup();
    found
}

#[cfg(test)]
mod tests {
    use burrline_evidence::{checkpoint::Checkpoint, merkle::Hash, note, sign::BenchKey};

    use super::*;

    fn shop() -> BenchKey {
        BenchKey::from_seed([1; 32])
    }

    fn head(size: u64) -> String {
        Checkpoint::of(shop().public(), size, Hash([5; 32])).sign(&shop()).unwrap()
    }

    fn read(text: &str) -> Outside {
        Outside::of_slip("slip.txt", text)
    }

    #[test]
    fn a_slip_is_read_from_its_text_or_its_page_with_the_head_and_the_jobs_that_are_on_it() {
        let (head, key) = (head(7), key_of(shop().public()));
        for slip in [
            format!("Skull Shed\n\njob 1-2-3\n\n{key}\n{head}\n\u{2588}\u{2580} \u{2588}\n"),
            format!("tag 0412   job 1-2-3\n  {key}\r\n{}", head.replace('\n', "\r\n")),
            format!("job 1-2-3\n{key}\n{}", head.replace("\n\n", "\n")),
            format!("<h1>Skull Shed</h1><p>job 1-2-3</p><pre>{key}\n{head}</pre><svg></svg>"),
        ] {
            let read = read(&slip);
            assert_eq!((read.key.as_ref(), read.heads), (Some(&key), vec![head.clone()]), "{slip}");
            assert_eq!((read.jobs, read.faults), (vec!["1-2-3".to_owned()], Vec::new()), "{slip}");
        }
        let narrow = read(&format!("job 1\n{key}\n"));
        assert_eq!((narrow.key, narrow.heads.len(), narrow.faults.len()), (Some(key), 0, 0));
    }

    #[test]
    fn heads_alone_show_the_key_that_signed_them_and_several_are_all_read() {
        let read = read(&format!("{}\n{}", head(7), head(9)));
        assert_eq!(read.heads, [head(7), head(9)]);
        assert!(read.key.is_none() && read.faults.is_empty(), "{read:?}");
        assert!(read.shows(shop().public()));
        assert!(!read.shows(BenchKey::from_seed([2; 32]).public()));
    }

    /// Cut after any of its bytes, a slip gives its head whole or says that it cannot be read; where no
    /// letter of the head is left, nothing is left to be said of it.
    #[test]
    fn a_checkpoint_that_is_cut_off_anywhere_is_never_passed_over() {
        let key = key_of(shop().public()).to_string();
        let whole = format!("{key}\n{}", head(7));
        let begins = key.len() + 1 + "burrline.v1/".len();
        for end in begins..whole.len() - 1 {
            let Some(cut) = whole.get(..end) else { continue };
            let read = read(cut);
            let signed = |note: &String| Checkpoint::check(note, shop().public()).is_ok();
            assert!(
                !read.faults.is_empty() || !read.heads.iter().any(signed),
                "cut at {end}: {read:?}"
            );
            assert!(!(read.faults.is_empty() && read.heads.is_empty()), "cut at {end}: {read:?}");
        }
        for (text, fault) in [
            (format!("{key}\nburrline.v1/shop/00ff\n12\n"), Fault::CutOff),
            (format!("{key}\n{}", head(7).replace("=\n", "\n")), Fault::BadHead),
            (head(7).split_once("\n\n").unwrap().1.to_owned(), Fault::CutOff),
            (key.get(..70).unwrap().to_owned(), Fault::BadKey),
        ] {
            assert_eq!(read(&text).faults, [fault], "{text}");
        }
    }

    #[test]
    fn what_is_no_shops_slip_says_what_to_ask_for() {
        assert_eq!(read("job 1\nprice: 120.00\n").faults, [Fault::NoKey]);
        let bench = BenchKey::from_seed([2; 32]);
        let away = note::sign("the slip\n", "burrline.v1/bench/3", &bench).unwrap();
        assert_eq!(read(&away).faults, [Fault::ByABench]);
    }
}
