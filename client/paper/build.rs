//! Names the drawing: a digest of all code that decides how a packet's page looks.
//!
//! A packet's page is checked by making it again. Another state of this code may draw it otherwise, and
//! a page says by which state it was made.

use std::{
    env, fs, io,
    path::{Path, PathBuf},
};

use sha2::{Digest as _, Sha256};

/// What draws the page: itself, and what it says of the records.
const DRAWS: [&str; 9] = [
    "src/packet",
    "src/document.rs",
    "src/visible.rs",
    "../../service/present/src",
    "../../service/domain/src",
    "../../service/reckon/src",
    "../../service/terms/src",
    "../../proto/src",
    "../../proto/burrline",
];

fn main() -> io::Result<()> {
    let mut files = Vec::new();
    for path in DRAWS {
        println!("cargo::rerun-if-changed={path}");
        files_in(Path::new(path), &mut files)?;
    }
    files.sort();
    let mut hasher = Sha256::new();
    for file in files {
        let bytes = fs::read(&file)?;
        hasher.update(format!("{} {}\n", file.display(), bytes.len()));
        hasher.update(bytes);
    }
    let drawing: Vec<u8> = hasher.finalize().iter().take(6).copied().collect();
    let out = env::var_os("OUT_DIR").map(PathBuf::from).unwrap_or_default();
    fs::write(out.join("drawing"), hex::encode(drawing))
}

fn files_in(path: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    if !path.is_dir() {
        files.push(path.to_owned());
        return Ok(());
    }
    for entry in fs::read_dir(path)? {
        files_in(&entry?.path(), files)?;
    }
    Ok(())
}
