//! The log read again from disk, with the shop closed, and compared.

use burrline_domain::State;
use burrline_ledger::{Ledger as _, SledLedger};
use burrline_proto::v1;

use super::{DemoError, page::Page};
use burrline_server::{
    check,
    shop::{Folder, read_until},
};

/// Replays the log twice, once from the store and once from the copy that `check` makes, and gives
/// what is not the same as what the shop had shown.
///
/// # Errors
/// [`DemoError`] if the log cannot be read.
pub(super) fn compare(
    folder: &Folder,
    shown: &v1::DigestResponse,
    page: &mut Page,
) -> Result<Vec<String>, DemoError> {
    let ledger = SledLedger::open(&folder.log())?;
    let state: State = read_until(&ledger.reader(), None, None)?;
    let head = ledger.reader().head();
    drop(ledger);
    let checked = check::read(folder.root())?;

    let served = hex::encode(&shown.state_digest);
    let root = hex::encode(&shown.root);
    let mut missed = Vec::new();
    let mut against = |name: &'static str, found: String, served: &str| {
        let same = found == served;
        if !same {
            missed.push(format!("{name}: {found}, but the shop had shown {served}"));
        }
        (name, format!("{found}  {}", if same { "same" } else { "DIFFERENT" }))
    };
    let rows = [
        ("records, as served", shown.records.to_string()),
        against("records, as on disk", head.size.to_string(), &shown.records.to_string()),
        ("present, as served", served.clone()),
        against("  replayed from disk", state.digest().to_string(), &served),
        against("  replayed by check", checked.digest.to_string(), &served),
        ("log root, as served", root.clone()),
        against("  read from disk", head.root.to_string(), &root),
        against("  read by check", checked.report.found.root.to_string(), &root),
    ];
    if !checked.is_sound() {
        missed.push("the log is not sound; see `burrline-shop check`".to_owned());
    }
    page.heading("The shop is closed; its log is read again from disk", "=")?;
    page.line(
        "Everything the shop knows is rebuilt from the records alone. The digest is SHA-256 over \
         all jobs, baths, places and money; the root is that of the Merkle tree over the records.",
    )?;
    page.pairs(&rows)?;
    let verdict = if missed.is_empty() {
        "All the same: the shop that was closed and the shop rebuilt from its log know the same."
    } else {
        "NOT the same."
    };
    page.line(verdict)?;
    Ok(missed)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use burrline_server::shop::{MachineClock, Shop};

    #[tokio::test(flavor = "multi_thread")]
    async fn a_digest_that_differs_is_told() {
        let dir = tempfile::tempdir().unwrap();
        let shop = Shop::open(dir.path(), "UTC", Arc::new(MachineClock), || {}).await.unwrap();
        let head = shop.reader().head();
        let shown = v1::DigestResponse {
            records: head.size,
            state_digest: shop.published().digest().0.to_vec(),
            root: head.root.0.to_vec(),
        };
        shop.close();
        drop(shop);
        let folder = Folder::open(dir.path()).unwrap();
        let mut page = Page::new(Box::new(std::io::sink()), "UTC");
        assert_eq!(compare(&folder, &shown, &mut page).unwrap(), [""; 0]);

        let other = v1::DigestResponse { state_digest: vec![0; 32], ..shown };
        let told = compare(&folder, &other, &mut page).unwrap();
        assert_eq!(told.len(), 2, "replayed from disk, and by check: {told:?}");
    }
}
