//! How a refused request is answered: what was wrong, as JSON.

use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};

use super::views::Refused;
use boardwise_files::Fault;
use boardwise_session::Failure;
use boardwise_session::view::Form;

/// An answer that is no.
pub struct Refusal {
    status: StatusCode,
    body: Refused,
}

impl Refusal {
    /// In words.
    pub fn new(status: StatusCode, words: &str) -> Self {
        Self { status, body: Refused { schema: Form, error: words.to_owned(), next: None } }
    }

    /// Why, in words.
    #[cfg(test)]
    pub fn words(&self) -> &str {
        &self.body.error
    }

    /// Whether it says that the device is not paired.
    pub fn is_unpaired(&self) -> bool {
        self.status == StatusCode::UNAUTHORIZED
    }

    /// A fault of the program.
    pub fn broken() -> Self {
        Self::new(StatusCode::INTERNAL_SERVER_ERROR, "a fault of the program; what was logged is safe")
    }
}

impl From<Failure> for Refusal {
    fn from(failure: Failure) -> Self {
        let status = match &failure {
            Failure::NotTheirTurn { .. } => StatusCode::CONFLICT,
            Failure::Input(Fault::Missing { .. }) | Failure::NoBlock | Failure::NoRecord { .. } => {
                StatusCode::NOT_FOUND
            }
            // Whoever asked is gone, and reads no answer.
            Failure::Stopped(_) => StatusCode::REQUEST_TIMEOUT,
            failure if failure.is_bad_input() => StatusCode::UNPROCESSABLE_ENTITY,
            Failure::Record(boardwise_record::Error::Busy { .. }) => StatusCode::SERVICE_UNAVAILABLE,
            _ => StatusCode::INTERNAL_SERVER_ERROR,
        };
        if status.is_server_error() {
            tracing::error!(%failure, "request failed");
        }
        let next = match &failure {
            Failure::NotTheirTurn { next, .. } => Some(*next),
            _ => None,
        };
        Self { status, body: Refused { schema: Form, error: failure.to_string(), next } }
    }
}

impl From<Fault> for Refusal {
    fn from(fault: Fault) -> Self {
        Failure::from(fault).into()
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let mut response = (self.status, Json(self.body)).into_response();
        if self.status == StatusCode::SERVICE_UNAVAILABLE {
            response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from_static("2"));
        }
        response
    }
}

/// A view as JSON, or a refusal.
pub type Answer<V> = Result<Json<V>, Refusal>;
