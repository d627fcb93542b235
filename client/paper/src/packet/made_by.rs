//! Which version of the program made a packet's page, as the page says itself.
//!
//! The page is checked by making it again, which only the version that made it can do. So a page of
//! another version is told as that, and the verdict rests on records, proofs, signatures and photos.

/// What stands before the version on the page, and behind it.
const BEFORE: &str = "<p class=\"made\">Made by Burrline ";
const BEHIND: &str = ".</p>";

/// The longest name of a version that is believed to be one.
const LONGEST: usize = 60;

/// This version: the program's, and a digest of the code that draws the page.
pub const VERSION: &str = concat!(
    env!("CARGO_PKG_VERSION"),
    ", drawing ",
    include_str!(concat!(env!("OUT_DIR"), "/drawing"))
);

/// Which version a page says that it was made by; none if it says nothing of it.
pub fn claimed(page: &str) -> Option<&str> {
    let (_, rest) = page.split_once(BEFORE)?;
    let (version, _) = rest.split_once(BEHIND)?;
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | ',' | '-' | ' ');
    (version.len() <= LONGEST && version.chars().all(plain)).then_some(version)
}

/// Whether a page says that this very version made it.
pub fn is_own(page: &str) -> bool {
    claimed(page) == Some(VERSION)
}

/// A version in words.
pub fn words(page: &str) -> String {
    claimed(page).map_or_else(
        || "an earlier version of Burrline, which did not name itself".to_owned(),
        |version| format!("Burrline {version}"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_names_its_version_and_what_is_no_name_is_none() {
        let page = |version: &str| format!("<body><p>a</p>{BEFORE}{version}{BEHIND}</body>");
        assert!(is_own(&page(VERSION)));
        assert_eq!(claimed(&page("9.1.0")), Some("9.1.0"));
        assert_eq!(claimed(&page("<b>the true one</b>")), None);
        assert_eq!(claimed(&page(&"9".repeat(61))), None);
        assert!(words("<p>a</p>").starts_with("an earlier version"));
    }
}
