//! The scripts in force, as files beside the copy. They are fetched as their activation
//! arrives, and held against their digest.
//!
//! Which scripts are wanted is kept apart from the files. So a script that is gone or altered
//! is fetched again.

use std::{collections::BTreeSet, fs};

use burrline_domain::{Outcome, Verb};
use burrline_host::digest_of;
use burrline_proto::{decode_record, v1};

use super::{Bench, copy::Item};
use crate::Error;

/// The digests of all scripts that the copy ever saw put to use.
const USED: &str = "scripts-used";

/// What its first line says.
const HEADING: &str = "scripts that the shop has put to use:";

impl Bench {
    /// Notes the scripts that positions put to use.
    pub(super) fn want_scripts(&self, items: &[Item]) -> Result<(), Error> {
        let new: BTreeSet<String> = items.iter().filter_map(activated).collect();
        if new.is_empty() {
            return Ok(());
        }
        self.note_used(&self.used()?.union(&new).cloned().collect())
    }

    /// Fetches the sources that are in use and not here, or not as they were.
    pub(super) async fn fetch_scripts(&self) -> Result<(), Error> {
        let scripts = self.folder.inside("scripts")?;
        for digest in self.used()? {
            let name = format!("{digest}.rhai");
            let path = scripts.path(&name);
            match fs::read(&path) {
                Ok(source) if digest_of(&source) == digest => continue,
                Ok(_) => self.folder.tell(&format!(
                    "scripts/{name} in the bench folder was altered; it is fetched from the shop anew"
                )),
                Err(_) => {}
            }
            let wanted = hex::decode(&digest).unwrap_or_default();
            let request = v1::GetScriptRequest { digest: wanted };
            let source = self.connection.get_script(request).await?.source;
            if digest_of(&source) != digest {
                return Err(Error::Nonsense(format!("script {digest} came with another source")));
            }
            scripts.replace(&name, &source)?;
        }
        Ok(())
    }

    /// The digests that were noted; read off the copy if the note is gone.
    fn used(&self) -> Result<BTreeSet<String>, Error> {
        let is_digest = |line: &str| line.len() == 64 && hex::decode(line).is_ok();
        if let Some(text) = self.folder.text(USED) {
            let lines = || text.lines().filter(|line| *line != HEADING);
            if lines().all(is_digest) {
                return Ok(lines().map(str::to_owned).collect());
            }
        }
        let used = self.copy.read()?.items.iter().filter_map(activated).collect();
        self.note_used(&used)?;
        Ok(used)
    }

    fn note_used(&self, used: &BTreeSet<String>) -> Result<(), Error> {
        let lines: Vec<&str> =
            std::iter::once(HEADING).chain(used.iter().map(String::as_str)).collect();
        self.folder.keep_text(USED, &lines.join("\n"))
    }
}

/// The digest of the script that a position puts to use.
fn activated(item: &Item) -> Option<String> {
    let Item::Record(bytes) = item else { return None };
    let (record, _) = decode_record(bytes).ok()?;
    match (&record.entry.verb, &record.outcome) {
        (Verb::ActivateScript(activate), Outcome::Done(_)) => Some(activate.digest.to_string()),
        _ => None,
    }
}
