//! A script in a file or at the shop, and failures told with their line.

use std::{path::Path, sync::Arc};

use burrline_bench::{Bench, Error, patience::READING};
use burrline_host::{Kind, Prices, Pricing, Sandbox, Script, ScriptFailure};
use burrline_present::readings::Scripts;
use burrline_proto::{Wire as _, v1};
use burrline_terms::{Name, Skull, Typed as _, words::ScriptKind};
use clap::ArgMatches;

use super::text;

/// A script's source, and what it is called.
#[derive(Debug, Clone)]
pub struct Source {
    /// What it is called.
    pub name: String,
    /// What it is for.
    pub kind: Kind,
    /// Its text.
    pub bytes: Vec<u8>,
}

impl Source {
    /// The script in the file that a command names.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn of(matches: &ArgMatches) -> Result<Self, Error> {
        let path = text(matches, "file").unwrap_or_default();
        Self::read(Path::new(&path), text(matches, "kind").as_deref())
    }

    /// The script in a file; without a kind, what its functions say.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn read(path: &Path, kind: Option<&str>) -> Result<Self, Error> {
        let bytes = std::fs::read(path).map_err(|e| Error::file(path, e))?;
        let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
        let kind = match kind {
            Some("pricing") => Kind::Pricing,
            Some(_) => Kind::Stages,
            None => kind_of(&bytes),
        };
        Ok(Self { name: stem.unwrap_or_default(), kind, bytes })
    }

    /// Puts it in a file. The old one is whole until the new one is.
    ///
    /// # Errors
    /// If the file cannot be written.
    pub fn write(&self, path: &Path) -> Result<(), Error> {
        let mut new = path.as_os_str().to_owned();
        new.push(".new");
        let new = Path::new(&new);
        std::fs::write(new, &self.bytes).map_err(|e| Error::file(new, e))?;
        std::fs::rename(new, path).map_err(|e| Error::file(path, e))
    }

    /// A script as it was typed, with no file.
    pub fn typed(name: &Name, kind: ScriptKind, bytes: Vec<u8>) -> Self {
        let kind = match kind {
            ScriptKind::Pricing => Kind::Pricing,
            ScriptKind::Stages => Kind::Stages,
        };
        Self { name: name.to_string(), kind, bytes }
    }

    /// The script that a word names: a file, an installed script's name, or the beginning of its
    /// digest.
    pub(crate) async fn find(word: &str, bench: &Bench) -> Result<Self, Error> {
        let path = Path::new(word);
        if path.exists() {
            return Self::read(path, None);
        }
        let line = find(word, bench).await?;
        let short = hex::encode(&line.digest).chars().take(8).collect::<String>();
        let source = Self::of_line(&line, bench).await?;
        Ok(Self { name: format!("{} {short}", line.name), ..source })
    }

    /// An installed script. Its source is held against its digest.
    pub(crate) async fn of_line(line: &v1::ScriptLine, bench: &Bench) -> Result<Self, Error> {
        let bytes = fetch(&line.digest, bench).await?;
        let kind =
            if line.kind == ScriptKind::Pricing.number() { Kind::Pricing } else { Kind::Stages };
        Ok(Self { name: line.name.clone(), kind, bytes })
    }

    /// The scripts that a quote's digest stands for, in the order in which they price: one, or
    /// those of a list. Each source is held against its digest.
    pub(crate) async fn of_price(
        digest: &[u8],
        name: &str,
        bench: &Bench,
    ) -> Result<Vec<Self>, Error> {
        let bytes = fetch(digest, bench).await?;
        let Some(list) = Prices::read_list(&bytes) else {
            return Ok(vec![Self { name: name.to_owned(), kind: Kind::Pricing, bytes }]);
        };
        let mut sources = Vec::new();
        for (digest, name) in list {
            let digest = hex::decode(digest).map_err(|why| Error::Nonsense(why.to_string()))?;
            let bytes = fetch(&digest, bench).await?;
            sources.push(Self { name, kind: Kind::Pricing, bytes });
        }
        Ok(sources)
    }

    /// It as a pricing script.
    pub(crate) fn pricing(&self) -> Result<Pricing, ScriptFailure> {
        let sandbox = Arc::new(Sandbox::default());
        Pricing::new(Script::from_bytes(&sandbox, Kind::Pricing, &self.name, &self.bytes)?)
    }

    /// Its name with the beginning of its digest.
    pub(crate) fn named(&self) -> String {
        let digest = burrline_host::digest_of(&self.bytes);
        format!("{} {}", self.name, digest.chars().take(8).collect::<String>())
    }

    /// The kind as the shop names it.
    pub const fn script_kind(&self) -> ScriptKind {
        match self.kind {
            Kind::Pricing => ScriptKind::Pricing,
            Kind::Stages => ScriptKind::Stages,
        }
    }

    /// A failure in an owner's words, with the line that it is about.
    pub(crate) fn tell(&self, failure: &ScriptFailure) -> Vec<String> {
        let place = match (failure.line, failure.column) {
            (Some(line), Some(column)) => format!(", line {line}, column {column}"),
            (Some(line), None) => format!(", line {line}"),
            (None, _) => String::new(),
        };
        let words = burrline_host::in_plain_words(&failure.words);
        let mut lines = vec![format!("{}{place}: {words}", self.name)];
        lines.extend(failure.line.into_iter().flat_map(|line| self.shown(line, failure.column)));
        lines
    }

    /// A line of the source with its number, and a mark under a column.
    pub(crate) fn shown(&self, line: u32, column: Option<u32>) -> Vec<String> {
        let source = String::from_utf8_lossy(&self.bytes);
        let at = usize::try_from(line.saturating_sub(1)).unwrap_or(0);
        let Some(code) = source.lines().nth(at) else { return Vec::new() };
        let mark = column.map(|column| {
            let blanks = usize::try_from(column.saturating_sub(1)).unwrap_or(0);
            format!("     | {}^", " ".repeat(blanks.min(200)))
        });
        std::iter::once(format!("{line:>4} | {code}")).chain(mark).collect()
    }
}

/// A script's source from the shop, if it is the one that was named.
async fn fetch(digest: &[u8], bench: &Bench) -> Result<Vec<u8>, Error> {
    let request = v1::GetScriptRequest { digest: digest.to_vec() };
    let bytes = bench.connection().get_script(request).await?.source;
    if burrline_host::digest_of(&bytes) == hex::encode(digest) {
        return Ok(bytes);
    }
    Err(Error::Nonsense("the shop sent another script than the one that was named".into()))
}

/// The installed script that a word names; of several versions of a name the one in use, else the
/// last that was installed.
///
/// # Errors
/// If there is none, several could be meant, or the shop is out of reach.
pub async fn find(word: &str, bench: &Bench) -> Result<v1::ScriptLine, Error> {
    let scripts = bench.read_at_shop(Scripts {}, READING).await?.scripts;
    let is_digest = word.len() >= 6 && word.chars().all(|c| c.is_ascii_hexdigit());
    let by_digest: Vec<&v1::ScriptLine> = scripts
        .iter()
        .filter(|script| is_digest && hex::encode(&script.digest).starts_with(word))
        .collect();
    let named = || scripts.iter().filter(|script| script.name == word);
    let by_name = named().find(|script| script.active).or_else(|| named().next_back());
    match (by_digest.as_slice(), by_name) {
        ([one], _) => Ok((*one).clone()),
        ([], Some(one)) => Ok(one.clone()),
        ([], None) => Err(Error::usage(format!(
            "{word} is no file and no installed script; see `burrline script list`"
        ))),
        (_, _) => Err(Error::usage(format!("{word} begins more than one digest; say more of it"))),
    }
}

/// Whether this very source is installed already, under its name.
///
/// # Errors
/// If the shop is out of reach.
pub async fn is_installed(source: &Source, bench: &Bench) -> Result<bool, Error> {
    let scripts = bench.read_at_shop(Scripts {}, READING).await?.scripts;
    let (digest, kind) = (burrline_host::digest_of(&source.bytes), source.script_kind().number());
    let same = |one: &v1::ScriptLine| {
        one.name == source.name && one.kind == kind && hex::encode(&one.digest) == digest
    };
    Ok(scripts.iter().any(same))
}

/// A script with a function that only a rule answers is for stages, and any other for pricing.
fn kind_of(bytes: &[u8]) -> Kind {
    let source = String::from_utf8_lossy(bytes);
    let mut lines = source.lines().map(str::trim_start);
    let rules = lines.any(|line| {
        let name = line.strip_prefix("fn ").and_then(|rest| rest.split('(').next());
        name.is_some_and(|name| burrline_host::is_of_a_rule(name.trim()))
    });
    if rules { Kind::Stages } else { Kind::Pricing }
}

/// The skull that a word names.
pub(crate) fn skull(word: &str) -> Result<v1::Skull, Error> {
    Ok(Skull::read(word)?.to_item())
}
