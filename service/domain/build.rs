//! Says which sources the fold is made of, so that a snapshot that others made is known by it.

use std::{
    env, fs,
    io::Error,
    path::{Path, PathBuf},
};

fn main() -> Result<(), Error> {
    let own = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(Error::other)?);
    let mut hash = Fnv::new();
    // What is folded is said in terms and read off the wire, so both are part of it.
    for folder in [own.join("src"), own.join("../terms/src"), own.join("../../proto/src")] {
        println!("cargo::rerun-if-changed={}", folder.display());
        let mut files = Vec::new();
        list(&folder, &mut files)?;
        files.sort();
        for file in files {
            hash.add(
                file.strip_prefix(&folder).map_err(Error::other)?.as_os_str().as_encoded_bytes(),
            );
            hash.add(&fs::read(&file)?);
        }
    }
    println!("cargo::rustc-env=BURRLINE_FOLD={:016x}", hash.0);
    Ok(())
}

fn list(folder: &Path, files: &mut Vec<PathBuf>) -> Result<(), Error> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            list(&path, files)?;
        } else {
            files.push(path);
        }
    }
    Ok(())
}

/// FNV-1a: this guards against sources that changed, not against people.
struct Fnv(u64);

impl Fnv {
    const fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn add(&mut self, bytes: &[u8]) {
        for byte in bytes.iter().chain(&[0]) {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
}
