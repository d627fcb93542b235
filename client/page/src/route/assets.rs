//! Script, style and icon: in the program itself.

use std::sync::LazyLock;

use axum::{http::header, response::IntoResponse};
use sha2::{Digest as _, Sha256};

/// The script, in the order in which it runs.
pub(crate) const SCRIPT: [&str; 4] = [
    include_str!("../../assets/page.js"),
    include_str!("../../assets/yard.js"),
    include_str!("../../assets/ring.js"),
    include_str!("../../assets/visit.js"),
];

/// The style.
pub(crate) const STYLE: [&str; 3] = [
    include_str!("../../assets/base.css"),
    include_str!("../../assets/yard.css"),
    include_str!("../../assets/rest.css"),
];

/// What changes with them: their address carries it, so that a browser may keep them.
pub(crate) static VERSION: LazyLock<String> = LazyLock::new(|| {
    let digest = Sha256::digest([SCRIPT.concat(), STYLE.concat()].concat());
    hex::encode(digest).chars().take(16).collect()
});

/// They tell nothing of the shop.
const KEPT: (header::HeaderName, &str) =
    (header::CACHE_CONTROL, "private, max-age=31536000, immutable");

pub(super) async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8"), KEPT], SCRIPT.concat())
}

pub(super) async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8"), KEPT], STYLE.concat())
}

pub(super) async fn icon() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "image/svg+xml")], include_str!("../../assets/icon.svg"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_script_stays_under_sixty_kilobytes() {
        let bytes: usize = SCRIPT.iter().map(|part| part.len()).sum();
        assert!(bytes < 60_000, "{bytes} bytes");
    }

    #[test]
    fn nothing_is_loaded_from_elsewhere() {
        for part in SCRIPT.iter().chain(&STYLE) {
            assert!(
                !part.contains("http://") && !part.contains("https://") && !part.contains("//cdn")
            );
        }
    }
}
