//! A shop, a bench that has joined it, and the bench's page: the real programs.

use std::{
    io::{BufRead as _, BufReader},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
};

use burrline_bench::{Bench, SystemClock, alone::Then};
use burrline_terms::words::Role;
use burrline_tests::{line::Line, shop::Served};
use tempfile::TempDir;
use tokio::runtime::Runtime;

pub(crate) struct World {
    pub(crate) shop: Served,
    /// The line over which every bench reaches it.
    pub(crate) line: Line,
    pub(crate) dir: TempDir,
    pub(crate) runtime: Runtime,
}

impl World {
    /// A shop with nothing in it.
    pub(crate) fn new() -> Self {
        let runtime = Runtime::new().unwrap();
        let dir = tempfile::tempdir().unwrap();
        let shop = runtime.block_on(Served::open(&dir.path().join("shop"))).unwrap();
        let line = runtime.block_on(Line::to(&shop.url)).unwrap();
        Self { shop, line, dir, runtime }
    }

    pub(crate) fn folder(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// A bench that joins under this name, with this role.
    pub(crate) fn joins(&self, name: &str, role: Role) {
        let (folder, url, code) = (self.folder(name), self.line.url(), &self.shop.code);
        self.runtime.block_on(Bench::join(&folder, &url, code, name, role)).unwrap();
    }

    /// Says lines at a bench; each must be recorded.
    pub(crate) fn says(&self, name: &str, lines: &str) {
        self.runtime.block_on(async {
            let bench = Bench::open(&self.folder(name)).unwrap();
            for line in lines.lines().map(str::trim).filter(|line| !line.is_empty()) {
                let said = bench.say(line, &SystemClock, &mut burrline_bench::Nobody).await;
                let said = said.unwrap_or_else(|error| panic!("{line}: {error}"));
                assert!(
                    said.answers.iter().all(|a| a.ending() == burrline_bench::Ending::Done),
                    "{line}: {said:?}"
                );
            }
        });
    }

    /// A yard at work: three washed-out skulls, and some in waters.
    pub(crate) fn yard(&self) {
        self.joins("office", Role::Owner);
        self.says(
            "office",
            "add-hand ines
             add-hand tom
             add-place pot-1 pot --volume 80L
             add-place tub-1 tub --volume 60L
             add-place rack-1 rack
             add-place freezer-1 freezer
             fill pot-1 55 L
             heat pot-1 lit
             take-in 0411 whitetail 8 pt skinned
             take-in 0412 \"mule deer\" 10 pt skinned
             take-in 0413 elk 12 pt skinned
             take-in 0414 whitetail 6 pt skinned
             in freezer-1 0414
             condition 0411 0412 0413 --nose whole --jaw whole --shot no
             papers 0411 0412 0413 --licence L-77810
             flesh 0411 0412 0413 brain
             wrap 0411 0412 0413
             in pot-1 0411 0412 0413
             out 0411 0412 0413",
        );
    }

    /// The words of every line on the shop's log, in order.
    pub(crate) fn log(&self, name: &str) -> Vec<String> {
        self.runtime.block_on(async {
            let bench = Bench::open(&self.folder(name)).unwrap();
            let _ = bench.catch_up(&SystemClock, None).await;
            let alone = bench.alone(&SystemClock, Then::default()).unwrap().unwrap();
            let facts = alone.state().facts();
            facts.map(|fact| fact.record.entry.verb.line()).collect()
        })
    }

    /// The page of a bench, as its program opens it.
    pub(crate) fn page(&self, name: &str) -> Page {
        Page::of(&self.folder(name))
    }
}

/// A page's program; it ends with this.
pub(crate) struct Page {
    child: Child,
    /// The address that opens it once.
    pub(crate) once: String,
}

impl Page {
    pub(crate) fn of(folder: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_burrline-tested"))
            .args(["page", "--no-open", "--bench"])
            .arg(folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit())
            .spawn()
            .unwrap();
        let mut once = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut once).unwrap();
        Self { child, once: once.trim().to_owned() }
    }

    /// The address of a part of it.
    pub(crate) fn at(&self, path: &str) -> String {
        let origin = self.once.split("/open/").next().unwrap();
        format!("{origin}{path}")
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
