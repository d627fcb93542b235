//! What the machine itself can do: bytes appended to one file and made durable, with no shop.

use std::{fs::OpenOptions, io::Write as _, path::Path, time::Duration};

use crate::machine::Machine;

/// Appends records in batches of the given sizes, each batch synced (fdatasync) before the next.
/// Returns how many records were written and how long it took.
///
/// Records left over after the last batch go in one more.
///
/// # Errors
/// If the file cannot be made, written or synced.
pub fn append(
    path: &Path,
    records: &[Vec<u8>],
    batches: impl IntoIterator<Item = usize>,
) -> std::io::Result<(usize, Duration)> {
    let mut file = OpenOptions::new().create_new(true).append(true).open(path)?;
    file.sync_all()?;
    let machine = Machine::start([0; 16]);
    let mut left = records;
    for size in batches.into_iter().chain([records.len()]) {
        let (batch, rest) = left.split_at(size.min(left.len()));
        left = rest;
        if batch.is_empty() {
            continue;
        }
        file.write_all(&batch.concat())?;
        file.sync_data()?;
    }
    Ok((records.len(), machine.elapsed()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_is_written_once_and_in_order() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("bytes");
        let records: Vec<Vec<u8>> = (0..10_u8).map(|i| vec![i; 3]).collect();
        assert_eq!(append(&path, &records, [4, 0, 3]).unwrap().0, 10);
        assert_eq!(std::fs::read(path).unwrap(), records.concat());
    }
}
