//! What one thing takes in a process of its own: this very program, asked for that alone.

use std::{ffi::OsStr, path::Path, process::Command, time::Duration};

use anyhow::Context as _;

use crate::load::cpu::Cpu;

/// What a process took until it had answered.
#[derive(Debug, Clone, Copy)]
pub struct Took {
    /// Processor time of all its threads.
    pub time: Duration,
    /// The most memory that it ever had, in KiB.
    pub memory: u64,
}

impl Took {
    /// What this process took so far.
    ///
    /// # Errors
    /// If the system does not say.
    pub fn so_far() -> anyhow::Result<Self> {
        let time = Cpu::now().total();
        let status = std::fs::read_to_string("/proc/self/status")?;
        let most = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let most = most.and_then(|most| most.split_whitespace().next()).context("no VmHWM")?;
        Ok(Self { time, memory: most.parse()? })
    }

    /// What this program takes when it is asked for one thing: it prints nanoseconds and KiB.
    ///
    /// # Errors
    /// If it fails.
    pub fn by(flag: &str, folder: &Path) -> anyhow::Result<Self> {
        let program = std::env::current_exe()?;
        let told = Command::new(program).args([OsStr::new(flag), folder.as_os_str()]).output()?;
        anyhow::ensure!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
        let told = String::from_utf8(told.stdout)?;
        let (time, memory) = told.trim().split_once(' ').context("two numbers")?;
        Ok(Self { time: Duration::from_nanos(time.parse()?), memory: memory.parse()? })
    }

    /// Its memory in MiB.
    pub fn mib(self) -> u64 {
        self.memory.checked_div(1024).unwrap_or(0)
    }
}
