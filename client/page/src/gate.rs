//! Who may come in.
//!
//! Everybody on this machine can reach a port on loopback, and every page in the browser can send requests
//! there. So a name of ours must be asked for, what changes something must come from a page of ours, and
//! both need the session that the one-time address opened. What is asked for is never kept by the browser.

use axum::{
    extract::{Request, State},
    http::{HeaderMap, HeaderValue, Method, StatusCode, header},
    middleware::Next,
    response::{IntoResponse as _, Response},
};

use crate::{app::Shared, session::Session, view, words::WORDS};

/// Nothing is loaded from elsewhere, nothing runs that stands in the page, and nobody frames it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; \
                      connect-src 'self'; manifest-src 'self'; form-action 'self'; \
                      frame-ancestors 'none'; base-uri 'none'";

/// Headers of every answer.
const ALWAYS: [(&str, &str); 8] = [
    ("content-security-policy", POLICY),
    ("cache-control", "no-store"),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    // With none at all, a form of our own would come without its origin.
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "geolocation=(), microphone=(), payment=(), usb=()"),
];

/// Who asks, for routes.
#[derive(Debug, Clone)]
pub(crate) struct Came {
    /// Their cookie.
    pub(crate) cookie: String,
    /// Their session.
    pub(crate) session: Session,
}

/// Lets a request in, or says why not.
pub(crate) async fn gate(State(app): State<Shared>, mut request: Request, next: Next) -> Response {
    let answer = match checked(&app, &request) {
        Ok(came) => {
            if let Some(came) = came {
                request.extensions_mut().insert(came);
            }
            next.run(request).await
        }
        Err(refused) => refused.response(),
    };
    with_headers(answer)
}

/// Why a request is not let in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Refused {
    /// It asked for another machine's name.
    Host,
    /// It comes from another page.
    Origin,
    /// Nobody opened a session.
    Session,
}

impl Refused {
    fn response(self) -> Response {
        let (status, words) = match self {
            Self::Host => (StatusCode::MISDIRECTED_REQUEST, WORDS.no_such_host),
            Self::Origin => (StatusCode::FORBIDDEN, WORDS.from_another_page),
            Self::Session => (StatusCode::UNAUTHORIZED, WORDS.no_session),
        };
        (status, view::frame::bare(words)).into_response()
    }
}

fn checked(app: &Shared, request: &Request) -> Result<Option<Came>, Refused> {
    let headers = request.headers();
    if !is_our_host(text(headers, header::HOST.as_str()), &app.host) {
        return Err(Refused::Host);
    }
    if !is_our_page(request.method(), headers) {
        return Err(Refused::Origin);
    }
    let path = request.uri().path();
    if path.starts_with("/open/") || path == "/again" || is_asset(path) {
        return Ok(None);
    }
    let cookie = cookie(headers, &cookie_name(&app.host)).ok_or(Refused::Session)?;
    let session = app.sessions.of(&cookie).ok_or(Refused::Session)?;
    Ok(Some(Came { cookie, session }))
}

/// What tells nothing of the shop.
fn is_asset(path: &str) -> bool {
    matches!(path, "/style.css" | "/page.js" | "/icon.svg")
}

/// A name that leads here from elsewhere, by a trick with names, is none of ours.
fn is_our_host(asked: &str, ours: &str) -> bool {
    let port = ours.rsplit(':').next().unwrap_or_default();
    asked == ours || asked == format!("localhost:{port}")
}

/// A change comes from a page that was served here, and so does whatever a page loads.
fn is_our_page(method: &Method, headers: &HeaderMap) -> bool {
    let (site, mode) = (text(headers, "sec-fetch-site"), text(headers, "sec-fetch-mode"));
    if matches!(*method, Method::GET | Method::HEAD) {
        return !matches!(site, "cross-site" | "same-site") || mode == "navigate";
    }
    let origin = text(headers, header::ORIGIN.as_str());
    let ours = format!("http://{}", text(headers, header::HOST.as_str()));
    origin == ours && matches!(site, "" | "same-origin")
}

fn text<'a>(headers: &'a HeaderMap, name: &str) -> &'a str {
    headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default()
}

/// Cookies are shared by all ports of a machine, so that each bench's has a name of its own.
pub(crate) fn cookie_name(host: &str) -> String {
    format!("burrline-{}", host.rsplit(':').next().unwrap_or_default())
}

fn cookie(headers: &HeaderMap, name: &str) -> Option<String> {
    let all = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    all.flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find_map(|(key, value)| (key == name).then(|| value.to_owned()))
}

fn with_headers(mut answer: Response) -> Response {
    for (name, value) in ALWAYS {
        // A paper says its own policy, which is tighter; script and style may be kept.
        let says = matches!(name, "content-security-policy" | "cache-control");
        let own = says && answer.headers().contains_key(name);
        if !own {
            answer.headers_mut().insert(name, HeaderValue::from_static(value));
        }
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        pairs.iter().map(|(k, v)| (k.parse().unwrap(), HeaderValue::from_static(v))).collect()
    }

    #[test]
    fn another_name_for_this_machine_is_not_ours() {
        assert!(is_our_host("127.0.0.1:7480", "127.0.0.1:7480"));
        assert!(is_our_host("localhost:7480", "127.0.0.1:7480"));
        for other in ["", "127.0.0.1", "shop.test:7480", "127.0.0.1:7481", "127.0.0.1:7480.test"] {
            assert!(!is_our_host(other, "127.0.0.1:7480"), "{other}");
        }
    }

    #[test]
    fn a_change_comes_from_our_own_page_alone() {
        let ours = [("host", "127.0.0.1:7480"), ("origin", "http://127.0.0.1:7480")];
        assert!(is_our_page(&Method::POST, &headers(&ours)));
        for other in ["null", "http://127.0.0.1:9000", "https://127.0.0.1:7480", "http://shop.test"]
        {
            let sent = headers(&[("host", "127.0.0.1:7480"), ("origin", other)]);
            assert!(!is_our_page(&Method::POST, &sent), "{other}");
        }
        assert!(!is_our_page(&Method::POST, &headers(&[("host", "127.0.0.1:7480")])));
    }

    #[test]
    fn another_page_loads_nothing_and_may_only_lead_here() {
        let from = |site, mode| headers(&[("sec-fetch-site", site), ("sec-fetch-mode", mode)]);
        assert!(is_our_page(&Method::GET, &from("same-origin", "cors")));
        assert!(is_our_page(&Method::GET, &from("none", "navigate")));
        assert!(is_our_page(&Method::GET, &from("cross-site", "navigate")));
        assert!(!is_our_page(&Method::GET, &from("cross-site", "no-cors")));
        assert!(!is_our_page(&Method::GET, &from("same-site", "cors")));
    }
}
