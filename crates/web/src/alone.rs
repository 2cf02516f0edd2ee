//! The same pages without a server: a question goes in, its answer comes out, on one thread. A phone that has no computer near it
//! answers its own browser so.

use std::path::PathBuf;
use std::pin::pin;
use std::sync::Arc;
use std::task::{Context, Poll, Waker};

use axum::Router;
use axum::body::{Body, HttpBody};
use axum::http::{Request, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use tower::ServiceExt;

use super::queues::Queues;
use super::state::App;
use super::thinking::Thinking;
use super::{CannotServe, Serving, pages, rooms};

/// What a page may load and do; as a server says it, but the pages stand inside the one that keeps the record.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; \
                      font-src 'self' data:; base-uri 'none'; form-action 'self'; frame-ancestors 'self'";

/// A question of a page.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// `GET` or `POST`.
    pub method: String,
    /// The path with what follows it in the address.
    pub address: String,
    /// Its body, JSON; empty where there is none.
    pub body: Vec<u8>,
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Told {
    /// Its status.
    pub status: u16,
    /// Its headers: name and value.
    pub headers: Vec<(String, String)>,
    /// Its body.
    pub body: Vec<u8>,
}

/// The app on one thread.
pub struct Alone {
    app: Arc<App>,
    router: Router,
}

impl Alone {
    /// With this record, and the user's own files in this folder.
    ///
    /// # Errors
    /// If a file beside the record cannot be read.
    pub fn new(record: PathBuf, kit: PathBuf) -> Result<Self, CannotServe> {
        let app = Arc::new(App::with(&Serving { record, kit, port: 0, network: false }, 0, Queues::at_once())?);
        let router = rooms()
            .route("/after/handout", get(pages::no_handout))
            .route("/after/handout.pdf", get(pages::no_handout))
            .route("/devices", get(pages::phone))
            .route("/live", get(live))
            .with_state(Arc::clone(&app));
        Ok(Self { app, router })
    }

    /// Answers.
    pub fn answer(&self, asked: Asked) -> Told {
        let request = Request::builder().method(asked.method.as_str()).uri(asked.address);
        let request = request.header(header::CONTENT_TYPE, "application/json").body(Body::from(asked.body));
        let Ok(request) = request else { return told(StatusCode::BAD_REQUEST.into_response()) };
        let Ok(response) = now(self.router.clone().oneshot(request)).unwrap_or_else(|| Ok(waits()));
        told(response)
    }

    /// How many questions that take long were put off, so that their pages stand first.
    pub fn behind(&self) -> usize {
        self.app.runs.behind()
    }

    /// Answers what was put off. `hears` is told now and then which share is done, 0 to 1.
    pub fn catch_up(&self, hears: &(dyn Fn(f64) + Sync)) {
        self.app.runs.catch_up(hears);
    }

    /// Learns what has been logged and throws ahead what comes next, so that the next card has less to wait for. Call it while nobody
    /// asks.
    pub fn look_ahead(&self) {
        // What fails is told to whoever asks next.
        let _ = self.app.think(Thinking::look_ahead);
    }
}

/// The number of how the block stands, once: a page asks again by itself.
async fn live(axum::extract::State(app): axum::extract::State<Arc<App>>) -> Response {
    let number = *app.live.borrow();
    let event = format!("retry: 5000\nevent: block\ndata: {number}\n\n");
    ([(header::CONTENT_TYPE, "text/event-stream")], event).into_response()
}

/// What comes of work that waits for nothing.
fn now<F: Future>(work: F) -> Option<F::Output> {
    match pin!(work).poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(done) => Some(done),
        Poll::Pending => None,
    }
}

/// The answer to what cannot be answered at once: a fault of the program, for here nothing waits.
fn waits() -> Response {
    StatusCode::INTERNAL_SERVER_ERROR.into_response()
}

fn told(response: Response) -> Told {
    let (parts, body) = response.into_parts();
    let mut headers: Vec<(String, String)> = parts
        .headers
        .iter()
        .filter_map(|(name, value)| Some((name.to_string(), value.to_str().ok()?.to_owned())))
        .collect();
    headers.push(("content-security-policy".to_owned(), POLICY.to_owned()));
    Told { status: parts.status.as_u16(), headers, body: bytes(body) }
}

/// All of a body.
fn bytes(mut body: Body) -> Vec<u8> {
    let mut all = Vec::new();
    let mut context = Context::from_waker(Waker::noop());
    while let Poll::Ready(Some(Ok(frame))) = std::pin::Pin::new(&mut body).poll_frame(&mut context) {
        all.extend(frame.into_data().unwrap_or_default());
    }
    all
}

#[cfg(all(test, feature = "server"))]
mod tests {
    use serde_json::{Value, json};

    use super::*;
    use crate::state::tests::evening;

    fn asked(method: &str, address: &str, body: &Value) -> Asked {
        let body = if body.is_null() { Vec::new() } else { body.to_string().into_bytes() };
        Asked { method: method.to_owned(), address: address.to_owned(), body }
    }

    #[test]
    fn law_every_page_is_answered_at_once_without_a_server() {
        let (folder, app) = evening();
        let alone = Alone::new(app.record.clone(), folder.path().join("kit")).unwrap();
        let get = |address: &str| alone.answer(asked("GET", address, &Value::Null));
        let pages =
            ["/lanes", "/lanes/state", "/lanes/next", "/lanes/picture", "/lab", "/lab/throw", "/before", "/after"];
        for address in pages.into_iter().chain(["/words", "/devices", "/live", "/before/kit/lane/short-32-flat"]) {
            let told = get(address);
            assert_eq!((told.status, told.body.is_empty()), (200, false), "{address}");
            assert!(told.headers.iter().any(|(name, _)| name == "content-security-policy"), "{address}");
        }
        let to = get("/").headers.into_iter().find(|(name, _)| name == "location");
        assert_eq!(to.map(|(_, to)| to).as_deref(), Some("/lanes"));
        assert_eq!(get("/nowhere").status, 404);
    }

    #[test]
    fn law_a_page_stands_before_the_answer_that_takes_long() {
        let (folder, app) = evening();
        let alone = Alone::new(app.record.clone(), folder.path().join("kit")).unwrap();
        let get = |address: &str| alone.answer(asked("GET", address, &Value::Null)).body;
        let page = || String::from_utf8(get("/before/brief")).unwrap();
        let state = || serde_json::from_slice::<Value>(&get("/before/brief/state")).unwrap();
        assert!(page().contains("data-state=\"running\""), "{}", page());
        assert_eq!((alone.behind(), &state()["state"]), (1, &json!("running")));

        let heard = std::sync::Mutex::new(Vec::new());
        alone.catch_up(&|share| heard.lock().unwrap().push(share));
        let heard = heard.into_inner().unwrap();
        // The lines found, a game looked ahead, the spares begun.
        let on_the_way = heard.iter().filter(|share| (0.01..0.99).contains(*share)).count();
        assert!(heard.is_sorted() && on_the_way >= 3, "whoever waits hears how far it has come: {heard:?}");
        assert_eq!((alone.behind(), &state()["state"]), (0, &json!("done")));
        assert!(page().contains("data-state=\"done\""));
    }

    #[test]
    fn law_a_shot_logged_without_a_server_is_on_record_for_everybody() {
        let (folder, app) = evening();
        let alone = Alone::new(app.record.clone(), folder.path().join("kit")).unwrap();
        let shot = json!({ "key": "one", "pins": "7-10" });
        assert_eq!(alone.answer(asked("POST", "/lanes/shot", &shot)).status, 200);
        assert_eq!(alone.answer(asked("POST", "/lanes/shot", &shot)).status, 200, "told twice");
        let logged = app.change(|state| Ok(state.version())).unwrap().0;
        alone.look_ahead();
        let screen = alone.answer(asked("GET", "/lanes/state", &Value::Null));
        let screen: Value = serde_json::from_slice(&screen.body).unwrap();
        assert_eq!(screen["sheet"]["deliveries"].as_array().map(Vec::len), Some(1));
        assert_eq!(app.change(|state| Ok(state.version())).unwrap().0, logged);
        assert_eq!(alone.answer(asked("POST", "/lanes/shot", &json!({ "key": "two" }))).status, 422);
    }
}
