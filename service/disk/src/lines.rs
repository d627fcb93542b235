//! The one form of a small file of lines: each line carries a checksum, and none is ever cut off or
//! overwritten where it lies because it looks wrong.
//!
//! `words #0c8d1f3a`: the words, and the CRC-32C over them. Older programs wrote the words alone; the
//! reader of a file says which words it takes so. What does not fit is kept beside the file under a
//! name of its own, `FILE.damaged-1` and so on, before the file is written anew with what fits.

use std::{
    fs::{self, OpenOptions},
    io::{self, Write as _},
    os::unix::fs::OpenOptionsExt as _,
    path::{Path, PathBuf},
};

/// What the names of set-aside pieces go on with.
const ASIDE: &str = ".damaged-";

/// What was read of a file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lines {
    /// The words of each line that fits, in order.
    pub sound: Vec<String>,
    /// The bytes of what does not.
    pub misfits: Vec<Vec<u8>>,
    /// Whether the last line lacks its end; it may fit all the same.
    pub unfinished: bool,
    /// Whether any line has a checksum.
    pub has_sums: bool,
    /// Whether the file is there.
    pub is_there: bool,
}

impl Lines {
    /// Whether all of the file is as it was written.
    pub fn is_sound(&self) -> bool {
        self.misfits.is_empty() && !self.unfinished
    }
}

/// How a line shows that it is as it was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Proof {
    /// By its checksum.
    Sum,
    /// By its words, such as a signature.
    Own,
}

/// A line of these words, with its checksum and its end.
pub fn line(words: &str) -> String {
    format!("{words} #{:08x}\n", crc32c::crc32c(words.as_bytes()))
}

/// Reads a file; one that is not there has no lines. `bare` says which words count without a checksum.
///
/// # Errors
/// If the file is there and cannot be read.
pub fn read(path: &Path, proof: Proof, bare: impl Fn(&str) -> bool) -> io::Result<Lines> {
    match fs::read(path) {
        Ok(bytes) => Ok(parse(&bytes, proof, bare)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Lines::default()),
        Err(error) => Err(error),
    }
}

/// Reads the bytes of a file. Words without a checksum and without the end of their line may be a part of
/// other words, unless they prove themselves.
pub fn parse(bytes: &[u8], proof: Proof, bare: impl Fn(&str) -> bool) -> Lines {
    let mut lines = Lines { is_there: true, ..Lines::default() };
    lines.unfinished = bytes.last().is_some_and(|last| *last != b'\n');
    for one in bytes.split_inclusive(|byte| *byte == b'\n') {
        let words = one.strip_suffix(b"\n").unwrap_or(one);
        let is_whole = words.len() < one.len() || proof == Proof::Own;
        match words_of(words, &|words| is_whole && bare(words)) {
            Some((words, has_sum)) => {
                lines.has_sums |= has_sum;
                lines.sound.push(words);
            }
            None => lines.misfits.push(words.to_vec()),
        }
    }
    lines
}

/// The words of a line, and whether they have a checksum.
fn words_of(bytes: &[u8], bare: &impl Fn(&str) -> bool) -> Option<(String, bool)> {
    let text = std::str::from_utf8(bytes).ok()?;
    let checked = text
        .rsplit_once(" #")
        .filter(|(words, _)| line(words).strip_suffix('\n').is_some_and(|whole| whole == text));
    match checked {
        Some((words, _)) => Some((words.to_owned(), true)),
        None => Some(text).filter(|text| bare(text)).map(|words| (words.to_owned(), false)),
    }
}

/// Adds a line at the end, on disk before this returns. What could not be written whole is taken away
/// again, or the next line would run into it.
///
/// # Errors
/// If it cannot be written.
pub fn append(path: &Path, words: &str, mode: u32) -> io::Result<()> {
    append_text(path, &line(words), mode)
}

/// The same for lines that carry their own proof, such as a signature.
///
/// # Errors
/// If they cannot be written.
pub fn append_text(path: &Path, text: &str, mode: u32) -> io::Result<()> {
    let is_new = !path.try_exists()?;
    let mut file = OpenOptions::new().create(true).append(true).mode(mode).open(path)?;
    let whole = file.metadata()?.len();
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    if let Err(error) = written {
        file.set_len(whole)?;
        return Err(error);
    }
    if is_new { crate::sync_name(path) } else { Ok(()) }
}

/// Puts these lines in the place of the file, on disk before this returns.
///
/// # Errors
/// If they cannot be written; what was there before still stands.
pub fn replace<'a>(
    path: &Path,
    words: impl IntoIterator<Item = &'a String>,
    mode: u32,
) -> io::Result<()> {
    let text: String = words.into_iter().map(|words| line(words)).collect();
    crate::replace(path, text.as_bytes(), mode)
}

/// The last line of a file that is always written whole: how many lines stand before it, and their checksum.
fn closing<'a>(words: impl IntoIterator<Item = &'a String>) -> String {
    let (mut count, mut sum) = (0_u64, 0);
    for words in words {
        count = count.saturating_add(1);
        sum = crc32c::crc32c_append(sum, line(words).as_bytes());
    }
    format!("end {count} {sum:08x}")
}

/// As [`replace`], with a last line that says how many there are: for a file that is always written whole.
///
/// # Errors
/// As for [`replace`].
pub fn replace_whole(path: &Path, words: &[String], mode: u32) -> io::Result<()> {
    replace(path, words.iter().chain([&closing(words)]), mode)
}

/// Reads what [`replace_whole`] wrote. A file that was cut, or is empty, counts as unfinished; one whose
/// lines are all bare, as older programs wrote them, does not.
///
/// # Errors
/// If the file is there and cannot be read.
pub fn read_whole(path: &Path, bare: impl Fn(&str) -> bool) -> io::Result<Lines> {
    let mut lines = read(path, Proof::Sum, &bare)?;
    let is_old = !lines.sound.is_empty() && lines.sound.iter().all(|words| bare(words));
    match lines.sound.pop() {
        Some(last) if last == closing(&lines.sound) => {}
        Some(last) => {
            // A line that is no end stands for itself; an end that does not fit stands for nothing.
            lines.sound.extend(Some(last).filter(|last| !last.starts_with("end ")));
            lines.unfinished |= !is_old || lines.has_sums;
        }
        None => lines.unfinished |= lines.is_there,
    }
    Ok(lines)
}

/// Keeps bytes that do not fit beside their file, on disk before this returns; gives the name.
///
/// # Errors
/// If they cannot be written.
pub fn set_aside(path: &Path, bytes: &[u8]) -> io::Result<PathBuf> {
    let aside = free_name(path)?;
    crate::replace(&aside, bytes, 0o600)?;
    Ok(aside)
}

/// Gives a whole file that does not fit a name beside its own, on disk before this returns.
///
/// # Errors
/// If it cannot be renamed.
pub fn rename_aside(path: &Path) -> io::Result<PathBuf> {
    let aside = free_name(path)?;
    fs::rename(path, &aside)?;
    crate::sync_name(path)?;
    Ok(aside)
}

/// Everything that was set aside beside a file.
///
/// # Errors
/// If the folder cannot be read.
pub fn pieces_of(path: &Path) -> io::Result<Vec<PathBuf>> {
    let beginning = format!("{}{ASIDE}", path.file_name().unwrap_or_default().to_string_lossy());
    let mut pieces = Vec::new();
    for entry in fs::read_dir(crate::folder_of(path))? {
        let entry = entry?;
        if entry.file_name().to_string_lossy().starts_with(&beginning) {
            pieces.push(entry.path());
        }
    }
    pieces.sort();
    Ok(pieces)
}

/// Whether a name is that of a set-aside piece.
pub fn is_aside(name: &str) -> bool {
    name.contains(ASIDE)
}

fn free_name(path: &Path) -> io::Result<PathBuf> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    for n in 1_u64.. {
        let aside = path.with_file_name(format!("{name}{ASIDE}{n}"));
        if !aside.try_exists()? {
            return Ok(aside);
        }
    }
    Err(io::ErrorKind::AlreadyExists.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(words: &str) -> bool {
        words.parse::<u32>().is_ok()
    }

    #[test]
    fn a_flip_at_any_bit_costs_that_line_alone_and_makes_no_other_line() {
        let whole = [line("heard 3"), line("records 900"), line("heard 14")].concat();
        let words = |text: &str| text.to_owned();
        let all = [words("heard 3"), words("records 900"), words("heard 14")];
        assert_eq!(parse(whole.as_bytes(), Proof::Sum, number).sound, all);
        for at in 0..whole.len() {
            for bit in 0..8 {
                let mut bytes = whole.clone().into_bytes();
                bytes[at] ^= 1 << bit;
                let read = parse(&bytes, Proof::Sum, number);
                assert!(!read.is_sound(), "byte {at} bit {bit}: {read:?}");
                assert!(!read.sound.is_empty(), "byte {at} bit {bit}: {read:?}");
                assert!(read.sound.iter().all(|one| all.contains(one)), "{at} {bit}: {read:?}");
            }
        }
    }

    #[test]
    fn words_alone_are_taken_where_the_reader_says_so() {
        let read = parse(b"12\nabc\n13", Proof::Own, number);
        assert_eq!(read.sound, ["12", "13"]);
        assert_eq!(read.misfits, [b"abc"]);
        assert!(read.unfinished);
        assert_eq!(parse(b"12\n13", Proof::Sum, number).sound, ["12"], "it may have been 137");
    }

    #[test]
    fn a_file_that_is_written_whole_is_known_to_be_whole() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("codes");
        let words = ["12".to_owned(), "13".to_owned()];
        replace_whole(&path, &words, 0o600).unwrap();
        let read = || read_whole(&path, number).unwrap();
        assert_eq!((read().sound.as_slice(), read().is_sound()), (words.as_slice(), true));
        let whole = fs::read(&path).unwrap();
        for cut in 0..whole.len() {
            fs::write(&path, &whole[..cut]).unwrap();
            assert!(!read().is_sound(), "cut at {cut}");
            let mut bytes = whole.clone();
            bytes[cut] ^= 1;
            fs::write(&path, bytes).unwrap();
            assert!(!read().is_sound(), "byte {cut}");
        }
        fs::write(&path, "12\n13\n").unwrap();
        assert_eq!((read().sound.as_slice(), read().is_sound()), (words.as_slice(), true));
        replace_whole(&path, &[], 0o600).unwrap();
        assert_eq!((read().sound.len(), read().is_sound()), (0, true));
    }

    #[test]
    fn what_is_set_aside_keeps_every_piece() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("keys");
        fs::write(&path, "x").unwrap();
        set_aside(&path, b"one").unwrap();
        set_aside(&path, b"two").unwrap();
        rename_aside(&path).unwrap();
        let pieces = pieces_of(&path).unwrap();
        let read: Vec<String> = pieces.iter().map(|p| fs::read_to_string(p).unwrap()).collect();
        assert_eq!(read, ["one", "two", "x"]);
        assert!(!path.exists());
    }
}
