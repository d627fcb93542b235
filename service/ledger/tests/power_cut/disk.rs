//! A disk that can lose its power: what was written and what was synced are
//! kept apart.
//!
//! A file's bytes are durable once the file is synced, a name once its folder
//! is. What was written since the last sync may be on the disk in any part.

use std::{
    collections::BTreeMap,
    ffi::{OsStr, OsString},
    fs,
    os::unix::fs::PermissionsExt as _,
    path::Path,
};

/// The number of the root folder.
pub(crate) const ROOT: u64 = 1;

/// What a power cut does to writes that were not synced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cut {
    /// None of them is there.
    AllLost,
    /// Each is there, is not, or is there up to some byte.
    SomeTorn,
    /// Each is there, is not, or is torn; and names are there that were never
    /// synced, as a journal may have them.
    SomeTornAllNamed,
    /// The same, and of the names that were made, changed or removed since the
    /// last sync of their folder each is as it was or as it is, in any mixture.
    SomeTornSomeNamed,
}

/// A change of a name since its folder was last synced.
#[derive(Debug, Clone)]
pub(crate) enum Naming {
    Put(OsString, u64),
    Gone(OsString),
    /// A rename is there whole or not at all.
    Moved(OsString, OsString, u64),
}

/// A write or a change of length since the last sync.
#[derive(Debug, Clone)]
pub(crate) enum Change {
    Write { at: usize, bytes: Vec<u8> },
    Length(usize),
}

#[derive(Debug, Clone)]
pub(crate) enum Node {
    File { live: Vec<u8>, synced: Vec<u8>, since: Vec<Change> },
    Folder { live: BTreeMap<OsString, u64>, synced: BTreeMap<OsString, u64>, since: Vec<Naming> },
}

#[derive(Debug, Clone)]
pub(crate) struct Disk {
    nodes: BTreeMap<u64, Node>,
}

/// Chance from a seed.
#[derive(Debug, Clone)]
pub(crate) struct Dice(fastrand::Rng);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(fastrand::Rng::with_seed(seed))
    }

    /// A number from 0 up to, not including, `below`.
    pub(crate) fn roll(&mut self, below: usize) -> usize {
        self.0.usize(..below.max(1))
    }
}

impl Disk {
    pub(crate) fn new() -> Self {
        Self { nodes: BTreeMap::from([(ROOT, new_folder())]) }
    }

    pub(crate) fn node(&self, number: u64) -> Option<&Node> {
        self.nodes.get(&number)
    }

    pub(crate) fn find(&self, folder: u64, name: &OsStr) -> Option<u64> {
        match self.node(folder)? {
            Node::Folder { live, .. } => live.get(name).copied(),
            Node::File { .. } => None,
        }
    }

    pub(crate) fn make(&mut self, folder: u64, name: &OsStr, is_folder: bool) -> Option<u64> {
        let number = self.nodes.keys().max()? + 1;
        self.name(folder, Naming::Put(name.to_owned(), number))?;
        let file = Node::File { live: Vec::new(), synced: Vec::new(), since: Vec::new() };
        self.nodes.insert(number, if is_folder { new_folder() } else { file });
        Some(number)
    }

    pub(crate) fn remove(&mut self, folder: u64, name: &OsStr) -> Option<u64> {
        let number = self.find(folder, name)?;
        self.name(folder, Naming::Gone(name.to_owned()))?;
        Some(number)
    }

    pub(crate) fn rename(&mut self, from: (u64, &OsStr), to: (u64, &OsStr)) -> Option<()> {
        let number = self.find(from.0, from.1)?;
        if from.0 == to.0 {
            let (old, new) = (from.1.to_owned(), to.1.to_owned());
            return self.name(from.0, Naming::Moved(old, new, number));
        }
        self.name(from.0, Naming::Gone(from.1.to_owned()))?;
        self.name(to.0, Naming::Put(to.1.to_owned(), number))
    }

    pub(crate) fn write(&mut self, number: u64, at: usize, bytes: &[u8]) -> Option<()> {
        self.change(number, Change::Write { at, bytes: bytes.to_vec() })
    }

    pub(crate) fn set_length(&mut self, number: u64, length: usize) -> Option<()> {
        self.change(number, Change::Length(length))
    }

    pub(crate) fn sync(&mut self, number: u64) -> Option<()> {
        match self.nodes.get_mut(&number)? {
            Node::File { live, synced, since } => {
                synced.clone_from(live);
                since.clear();
            }
            Node::Folder { live, synced, since } => {
                synced.clone_from(live);
                since.clear();
            }
        }
        Some(())
    }

    /// Puts what a cut leaves into the folder `to`.
    pub(crate) fn leave(&self, cut: Cut, dice: &mut Dice, to: &Path) {
        self.leave_folder(ROOT, cut, dice, to);
    }

    fn leave_folder(&self, number: u64, cut: Cut, dice: &mut Dice, to: &Path) {
        fs::create_dir_all(to).unwrap();
        // As a shop leaves them: for their owner alone.
        fs::set_permissions(to, fs::Permissions::from_mode(0o700)).unwrap();
        let Some(Node::Folder { live, synced, since }) = self.node(number) else { return };
        let names = match cut {
            Cut::AllLost | Cut::SomeTorn => synced.clone(),
            Cut::SomeTornAllNamed => live.clone(),
            Cut::SomeTornSomeNamed => {
                let mut names = synced.clone();
                for naming in since.iter().filter(|_| dice.roll(2) > 0) {
                    apply_naming(&mut names, naming);
                }
                names
            }
        };
        for (name, number) in &names {
            let path = to.join(name);
            match self.node(*number) {
                Some(Node::File { synced, since, .. }) => {
                    fs::write(&path, left_of(synced, since, cut, dice)).unwrap();
                    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
                }
                Some(Node::Folder { .. }) => self.leave_folder(*number, cut, dice, &path),
                None => panic!("a name without a node"),
            }
        }
    }

    fn name(&mut self, folder: u64, naming: Naming) -> Option<()> {
        match self.nodes.get_mut(&folder)? {
            Node::Folder { live, since, .. } => {
                apply_naming(live, &naming);
                since.push(naming);
                Some(())
            }
            Node::File { .. } => None,
        }
    }

    fn change(&mut self, number: u64, change: Change) -> Option<()> {
        match self.nodes.get_mut(&number)? {
            Node::File { live, since, .. } => {
                apply(live, &change);
                since.push(change);
                Some(())
            }
            Node::Folder { .. } => None,
        }
    }
}

fn new_folder() -> Node {
    Node::Folder { live: BTreeMap::new(), synced: BTreeMap::new(), since: Vec::new() }
}

fn apply_naming(names: &mut BTreeMap<OsString, u64>, naming: &Naming) {
    match naming {
        Naming::Put(name, number) => drop(names.insert(name.clone(), *number)),
        Naming::Gone(name) => drop(names.remove(name)),
        Naming::Moved(from, to, number) => {
            names.remove(from);
            names.insert(to.clone(), *number);
        }
    }
}

fn left_of(synced: &[u8], since: &[Change], cut: Cut, dice: &mut Dice) -> Vec<u8> {
    let mut left = synced.to_vec();
    if cut == Cut::AllLost {
        return left;
    }
    for change in since {
        match (dice.roll(3), change) {
            (0, _) => {}
            (1, Change::Write { at, bytes }) => {
                let bytes = bytes[..dice.roll(bytes.len())].to_vec();
                apply(&mut left, &Change::Write { at: *at, bytes });
            }
            (_, whole) => apply(&mut left, whole),
        }
    }
    left
}

fn apply(content: &mut Vec<u8>, change: &Change) {
    match change {
        Change::Length(length) => content.resize(*length, 0),
        Change::Write { at, bytes } => {
            let end = at + bytes.len();
            if content.len() < end {
                content.resize(end, 0);
            }
            content[*at..end].copy_from_slice(bytes);
        }
    }
}
