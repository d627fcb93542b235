//! Script, style and icon: in the program itself.

use axum::{http::header, response::IntoResponse};

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

pub(super) async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], SCRIPT.concat())
}

pub(super) async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], STYLE.concat())
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
