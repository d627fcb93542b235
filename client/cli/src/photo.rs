//! `burrline photograph` and `burrline photos`: photos of a skull, in and out.

use std::{
    fs,
    path::{Path, PathBuf},
};

use burrline_bench::{Ending, Error, SystemClock, answer::Answer, photos::Kept};
use burrline_domain::{Verb, VerbSpec, verb::Photograph};
use burrline_line as line;
use burrline_line::{Utterance, read::Given};
use burrline_screen as render;
use burrline_talk::saying::hands;
use burrline_terms::{Digest, Phrase, Skull, Typed as _};
use clap::{Arg, ArgAction, ArgMatches, Command};

use super::{latest::latest, near, terminal::Terminal};

/// A larger file is no photo.
const MOST_BYTES: u64 = 256 * 1024 * 1024;

/// Makes files out of what the verb's command takes.
pub fn with_files(command: Command) -> Command {
    command
        .about("Take photos of it from files")
        .long_about(
            "Take photos of it from files: JPEG or PNG, known by their content. The photo as taken \
             is kept, and a copy of it that tells neither place nor device; both are on this \
             bench's disk before the line is said, and go to the shop by themselves.\n\n\
             `latest N` takes the newest N photos of a folder: --from, else BURRLINE_PHOTOS, else \
             `photos` in bench.toml. What is newest its camera's clock says, else the file's time. If one of \
             them is older than ten minutes it asks.",
        )
        .after_help(
            "Examples:\n  burrline photograph 0417 IMG_0031.jpg --words \"nose bone, left\"\n  \
             burrline photograph 0417 front.jpg left.jpg right.jpg\n  \
             burrline photograph 0417 latest 3 --from /media/card/DCIM",
        )
        .mut_arg("original", |arg| arg.hide(true))
        .mut_arg("stripped", |arg| arg.hide(true))
        .mut_arg("line-words", |arg| {
            arg.value_name("TAG FILE").help("The tag, and files; or `latest` and how many")
        })
        .arg(
            Arg::new("from")
                .long("from")
                .value_name("DIR")
                .env("BURRLINE_PHOTOS")
                .help("The folder that `latest` looks in"),
        )
        .arg(
            Arg::new("old")
                .long("old")
                .action(ArgAction::SetTrue)
                .help("Take the latest although they are older than ten minutes"),
        )
}

/// Which photos are meant.
#[derive(Debug, PartialEq, Eq)]
enum Meant {
    Files(Vec<PathBuf>),
    Latest(usize),
}

/// Takes photos.
///
/// # Errors
/// If no photos are meant or one of the files is none; as [`burrline_bench::Bench::utter`] else.
pub async fn photograph(
    spec: &'static VerbSpec,
    matches: &ArgMatches,
    terminal: &mut Terminal,
) -> Result<Ending, Error> {
    let (words, given, _) = line::command::taken(spec, matches);
    if given.contains_key("original") || words.iter().any(|word| Digest::read(word).is_ok()) {
        return super::say::run(spec, matches, terminal).await;
    }
    let (skull, meant) = meant(&words, &given).map_err(|e| near::explained(e, matches))?;
    let mut bench = super::open(matches)?;
    bench.for_a_hand();
    terminal.watch(&mut bench);
    let files = match meant {
        Meant::Files(files) => files,
        Meant::Latest(count) => match latest(&bench, count, matches, terminal)? {
            Some(files) => files,
            None => return Ok(Ending::Refused),
        },
    };
    let mut kept = Vec::new();
    for file in &files {
        let one = bench.keep_photo(&file.display().to_string(), &read(file)?)?;
        if let Some(why) = &one.no_copy {
            let file = file.display();
            terminal.tell(&format!("{file}: {why}; kept as taken, without a copy to show"));
        }
        if kept.iter().any(|before: &Kept| before.original == one.original) {
            terminal.tell(&format!("{}: the same photo again, taken once", file.display()));
        } else {
            kept.push(one);
        }
    }
    let words = given.get("words").map(|words| Phrase::read(&words.join(" "))).transpose()?;
    let verb = |one: &Kept| {
        let (original, stripped) = (one.original, one.stripped);
        Verb::from(Photograph { skull: skull.clone(), original, stripped, words: words.clone() })
    };
    let verbs = kept.iter().map(verb).collect();
    let mut common = line::command::common_of(matches);
    common.hand = hands::settled(&bench, common.hand, &mut terminal.hand()).await?;
    let utterance = Utterance::of(spec, common, verbs);
    let said = bench.utter(utterance, &SystemClock, &mut terminal.hand()).await?;
    for one in kept.iter().filter(|one| !is_named(&said.answers, one.original)) {
        bench.drop_photo(one)?;
    }
    terminal.shown(&render::said::said(&said, &terminal.look(bench.zone())));
    bench.shown()?;
    if said.ending() == Ending::Away {
        return Ok(Ending::Away);
    }
    match bench.send_photos(None).await {
        Ok(sent) => sent.words().iter().for_each(|words| terminal.tell(words)),
        Err(error @ Error::Away { .. }) => {
            terminal.tell(&format!("{error}; the photos wait here and go up later"));
        }
        Err(error) => return Err(error),
    }
    bench.in_touch(&SystemClock).await.iter().for_each(|line| terminal.tell(line));
    Ok(said.ending())
}

/// Whether a line that was said names the photo.
fn is_named(answers: &[Answer], original: Digest) -> bool {
    answers.iter().any(|answer| match answer {
        Answer::Receipt { verb, .. } | Answer::Kept { verb, .. } => {
            matches!(&**verb, Verb::Photograph(photo) if photo.original == original)
        }
        Answer::NotKnown { .. } | Answer::LeftOff { .. } => false,
    })
}

/// The skull and the photos that the words of a line mean.
fn meant(words: &[String], given: &Given) -> Result<(Skull, Meant), Error> {
    let no_skull =
        || Error::usage("photograph: which skull? As in `burrline photograph 0417 latest 3`");
    let (skull, rest) = match (given.get("skull").map(Vec::as_slice), words) {
        (Some([skull]), words) => (skull, words),
        (Some(_), _) => return Err(Error::usage("photograph: one skull at a time")),
        (None, [skull, rest @ ..]) => (skull, rest),
        (None, []) => return Err(no_skull()),
    };
    let skull = Skull::read(skull)?;
    match rest {
        [] => Err(Error::usage(format!(
            "photograph: which photos? Name their files, or say `latest 3`, as in `burrline \
             photograph {} latest 3`",
            skull.tag.as_ref().map_or_else(|| "0417".to_owned(), ToString::to_string)
        ))),
        [latest] if latest == "latest" => Ok((skull, Meant::Latest(1))),
        [latest, count] if latest == "latest" => {
            let right = count.parse().ok().filter(|count| (1..=50).contains(count));
            let count = right.ok_or_else(|| {
                Error::usage(format!("latest {count}: how many? 1 to 50, as in `latest 3`"))
            })?;
            Ok((skull, Meant::Latest(count)))
        }
        files => {
            let missing = files.iter().find(|file| !Path::new(file).is_file());
            match missing {
                Some(file) => Err(Error::usage(format!(
                    "photograph: there is no file {file}; what a photo shows goes into --words"
                ))),
                None => Ok((skull, Meant::Files(files.iter().map(PathBuf::from).collect()))),
            }
        }
    }
}

fn read(file: &Path) -> Result<Vec<u8>, Error> {
    let size = fs::metadata(file).map_err(|e| Error::file(file, e))?.len();
    if size == 0 {
        return Err(Error::usage(format!(
            "{}: the file is empty; say which photo",
            file.display()
        )));
    }
    if size > MOST_BYTES {
        return Err(Error::usage(format!("{}: {size} bytes are no photo", file.display())));
    }
    fs::read(file).map_err(|e| Error::file(file, e))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(words: &[&str]) -> Result<(Skull, Meant), Error> {
        let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
        meant(&words, &Given::new())
    }

    #[test]
    fn a_line_means_the_newest_photos_or_files_that_are_there() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("a b.jpg");
        fs::write(&file, b"x").unwrap();
        let skull = Skull::read("0417").unwrap();
        assert_eq!(said(&["0417", "latest", "3"]).unwrap(), (skull.clone(), Meant::Latest(3)));
        assert_eq!(said(&["0417", "latest"]).unwrap().1, Meant::Latest(1));
        let name = file.to_str().unwrap();
        assert_eq!(said(&["0417", name]).unwrap(), (skull, Meant::Files(vec![file.clone()])));
        for (words, why) in [
            (&[][..], "which skull"),
            (&["0417"], "which photos"),
            (&["0417", "latest", "0"], "how many"),
            (&["0417", "nose", "left"], "no file nose"),
        ] {
            let error = said(words).unwrap_err().to_string();
            assert!(error.contains(why), "{words:?}: {error}");
        }
    }
}
