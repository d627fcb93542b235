//! A form whose token was looked at.

use axum::{
    Form, RequestExt as _,
    extract::{FromRequest, Request},
    http::StatusCode,
    response::{IntoResponse, Response},
};

use crate::{gate::Came, view::frame, words::WORDS};

/// The fields of a form, in order; the same name may come more than once.
#[derive(Debug, Clone, Default)]
pub(crate) struct Fields(pub(crate) Vec<(String, String)>);

impl Fields {
    /// A field without spaces around it; empty where it is missing.
    pub(crate) fn one(&self, name: &str) -> &str {
        self.0.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.trim())
    }

    /// Every value of a field.
    pub(crate) fn all(&self, name: &str) -> impl Iterator<Item = &str> {
        self.0.iter().filter(move |(key, _)| key == name).map(|(_, value)| value.trim())
    }

    /// Where to go back to: a page of ours.
    pub(crate) fn back(&self) -> &str {
        let back = self.one("back");
        if is_ours(back) { back } else { "/" }
    }
}

/// Whether a path leads to a page of ours, and nowhere else.
pub(crate) fn is_ours(path: &str) -> bool {
    path.starts_with('/') && !path.starts_with("//") && !path.contains('\\')
}

impl<S: Send + Sync> FromRequest<S> for Fields {
    type Rejection = Response;

    async fn from_request(request: Request, _: &S) -> Result<Self, Response> {
        let token = request.extensions().get::<Came>().map(|came| came.session.token.clone());
        let Form(fields) = request
            .extract::<Form<Vec<(String, String)>>, _>()
            .await
            .map_err(IntoResponse::into_response)?;
        let fields = Self(fields);
        if token.is_none_or(|token| fields.one("token") != token) {
            return Err(
                (StatusCode::FORBIDDEN, frame::bare(WORDS.from_another_page)).into_response()
            );
        }
        Ok(fields)
    }
}
