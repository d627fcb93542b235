//! A bench folder whose `bench.toml` is gone: what is left in it says which life it was, and the shop
//! says the rest. Nothing that it said is left behind under a new bench.

use std::path::Path;

use burrline_proto::v1;
use burrline_terms::Name;

use super::{
    Bench,
    connection::Connection,
    folder::{Folder, Settings},
    joining::Joining,
    outbox::Outbox,
    own_key::OwnKey,
    patience::Times,
    unshown,
};
use crate::Error;

/// What is left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remains {
    /// The life that spoke last.
    pub life: u32,
    /// How many lines it said.
    pub lines: u64,
    /// What the names of its files end in.
    pub files: String,
}

impl Folder {
    /// What an earlier bench left here; none if nothing was ever said.
    ///
    /// # Errors
    /// If the folder cannot be read.
    pub fn remains(&self) -> Result<Option<Remains>, Error> {
        let mut newest: Option<Remains> = None;
        for files in self.names_from("outbox")? {
            if !(files.is_empty() || files.starts_with('-') && !files.contains('.')) {
                continue;
            }
            let outbox = Outbox::at(&self.path(&format!("outbox{files}")));
            let lines = outbox.last(0)?;
            let mut life = None;
            outbox.walk_back(0, |kept| {
                life = unshown::read(&kept).ok().map(|entry| entry.name.life);
                life.is_none()
            })?;
            let Some(life) = life else { continue };
            if newest.as_ref().is_none_or(|other| other.life < life) {
                newest = Some(Remains { life, lines, files });
            }
        }
        Ok(newest)
    }

    /// What to type where `bench.toml` is gone.
    pub(super) fn without_settings(&self) -> Error {
        let dir = self.dir().display();
        match self.remains() {
            Ok(Some(remains)) => Error::Folder(format!(
                "{dir} holds {} lines of a bench, enrollment {}, but its bench.toml is gone. Nothing \
                 is lost: put it together again with the bench's own name: burrline --bench {dir} join ADDRESS \
                 --code CODE --name NAME",
                remains.lines, remains.life
            )),
            Ok(None) | Err(_) => Error::Folder(format!(
                "{dir} is no bench yet; join a shop with `burrline join ADDRESS --code CODE --name NAME`"
            )),
        }
    }
}

impl Bench {
    /// Takes up again what an earlier bench left in a folder whose `bench.toml` is gone: the same life,
    /// under the name by which the shop knows it. None if nothing is left there.
    ///
    /// # Errors
    /// If the shop is out of reach, or knows that life under another name.
    pub async fn taken_up(
        dir: &Path,
        joining: &Joining,
        name: Option<&Name>,
    ) -> Result<Option<Self>, Error> {
        let folder = Folder::at(dir);
        if !dir.exists() || folder.has_settings() {
            return Ok(None);
        }
        let Some(Remains { life, lines, files }) = folder.remains()? else { return Ok(None) };
        let key = OwnKey::of(&folder, &format!("bench.key{files}"));
        let connection = Connection::to(&joining.way(key.shown()))?;
        let greeted = connection.greet(v1::GreetRequest { life }).await?;
        if name.is_none_or(|name| greeted.bench_name != name.as_str()) {
            let known = match greeted.bench_name.as_str() {
                "" => "the shop at that address knows no such bench".to_owned(),
                known => {
                    format!("the shop at that address knows it as {known}: type --name {known}")
                }
            };
            return Err(Error::Folder(format!(
                "{} holds {lines} lines of a bench that was here before, enrollment {life}; \
                 {known}. For another bench, choose another folder with --bench DIR",
                dir.display()
            )));
        }
        folder.keep_settings(&Settings {
            shop: joining.address.to_string(),
            shop_key: connection.shown_key().map(|key| hex::encode(key.0)),
            life,
            name: greeted.bench_name,
            shop_name: greeted.shop_name,
            zone: greeted.zone,
            files,
            photos: None,
            first: None,
            viewer: false,
            patience: Times::ONCE,
        })?;
        Self::open(dir).map(Some)
    }
}
