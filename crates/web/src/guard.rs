//! Who may ask what: everybody on this machine, paired devices of the network, nobody else; and what every answer carries for safety.

use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::answer::Refusal;
use super::devices::May;
use super::pages;
use super::state::App;

/// Name of the cookie that holds a device's token, before the port.
pub const COOKIE: &str = "boardwise";

/// The page that another device opens in a window of its own to exchange records.
pub const EXCHANGE: &str = "/exchange";

/// What a page may load and do. No script, style or picture comes from elsewhere, and none stands in a page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; \
                      font-src 'self' data:; manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// Where somebody asks from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asker {
    /// A browser on this machine.
    Here,
    /// A paired device, by its number, and what it may do.
    Device(u32, May),
}

impl Asker {
    fn looks_on(self) -> bool {
        matches!(self, Self::Device(_, May::LookOn))
    }
}

/// Lets through what may pass, and marks what comes back.
pub async fn watch(
    State(app): State<Arc<App>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    mut request: Request,
    next: Next,
) -> Response {
    let (method, path) = (request.method().clone(), request.uri().path().to_owned());
    let start = std::time::Instant::now();
    let mut response = match admit(&app, peer.ip(), &request) {
        Ok(asker) => {
            request.extensions_mut().insert(asker);
            match whole(request, if path == EXCHANGE { MOST_OF_RECORD } else { MOST_BYTES }).await {
                Ok(request) if asker.is_some_and(Asker::looks_on) => for_looking_on(next.run(request).await).await,
                Ok(request) => next.run(request).await,
                Err(refusal) => refusal.into_response(),
            }
        }
        // Who opens a page is shown where to type the code; what the address holds beside the page stays in it.
        Err(refusal) if refusal.is_unpaired() && opens_page(request.headers()) => {
            (StatusCode::UNAUTHORIZED, pages::pair().await).into_response()
        }
        Err(refusal) => refusal.into_response(),
    };
    // Whoever opened that page talks with it.
    protect(response.headers_mut(), if path == EXCHANGE { "unsafe-none" } else { "same-origin" });
    let (status, ms) = (response.status().as_u16(), start.elapsed().as_secs_f64() * 1e3);
    tracing::info!(%method, path, status, ms, peer = %peer.ip());
    response
}

fn admit(app: &App, peer: IpAddr, request: &Request) -> Result<Option<Asker>, Refusal> {
    let headers = request.headers();
    let no = |status, words| Err(Refusal::new(status, words));
    // A page elsewhere may make its own name lead here; then the host it asks for is that name.
    if !ours(app, text(headers, header::HOST)) {
        return no(StatusCode::MISDIRECTED_REQUEST, "this is not the address of this app");
    }
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD);
    if changes && !same_origin(headers) {
        return no(StatusCode::FORBIDDEN, "only the app's own pages may change something");
    }
    let asker = if peer.to_canonical().is_loopback() {
        Some(Asker::Here)
    } else {
        tokens(headers).find_map(|token| app.devices.of_token(token)).map(|(id, may)| Asker::Device(id, may))
    };
    match asker {
        // Whoever looks on may still be let in for more, with the other code.
        Some(asker) if asker.looks_on() && changes && !is_open(request.uri().path()) => {
            no(StatusCode::FORBIDDEN, "this device looks on: the bowler lets it read, not log")
        }
        Some(Asker::Device(..)) if request.uri().path().starts_with("/devices") => {
            no(StatusCode::FORBIDDEN, "devices are let in and forgotten on the machine that serves")
        }
        None if !is_open(request.uri().path()) => no(
            StatusCode::UNAUTHORIZED,
            "this device is not paired: open /pair and type the code shown on the machine that serves",
        ),
        asker => Ok(asker),
    }
}

/// Largest body that is read.
const MOST_BYTES: usize = 1_000_000;
/// The same of a record: many seasons.
const MOST_OF_RECORD: usize = 64_000_000;
/// How long a body may take to come.
const TO_SAY: Duration = Duration::from_secs(15);

/// The request with all of its body, so that whoever answers waits for nothing more.
async fn whole(request: Request, most: usize) -> Result<Request, Refusal> {
    let (parts, body) = request.into_parts();
    match tokio::time::timeout(TO_SAY, axum::body::to_bytes(body, most)).await {
        Ok(Ok(bytes)) => Ok(Request::from_parts(parts, bytes.into())),
        Ok(Err(_)) => Err(Refusal::new(StatusCode::PAYLOAD_TOO_LARGE, "that is too much, or was cut off")),
        Err(_) => Err(Refusal::new(StatusCode::REQUEST_TIMEOUT, "that took too long to come; send it again")),
    }
}

/// A page for whoever looks on: it says so, and carries the mark by which the style hides what would be refused. Everything else as it is.
async fn for_looking_on(response: Response) -> Response {
    let is_page = text(response.headers(), header::CONTENT_TYPE).starts_with("text/html");
    if !is_page {
        return response;
    }
    let (mut parts, body) = response.into_parts();
    let Ok(bytes) = axum::body::to_bytes(body, MOST_BYTES).await else {
        return Refusal::new(StatusCode::INTERNAL_SERVER_ERROR, "the page could not be made").into_response();
    };
    parts.headers.remove(header::CONTENT_LENGTH);
    Response::from_parts(parts, pages::looked_on(&String::from_utf8_lossy(&bytes)).into())
}

/// What a device sees before it is paired: the page for that, and what that page looks like.
fn is_open(path: &str) -> bool {
    path == "/pair" || path.starts_with("/assets/")
}

/// Whether a browser asks for a page to show.
fn opens_page(headers: &HeaderMap) -> bool {
    text(headers, header::ACCEPT).contains("text/html")
}

fn text(headers: &HeaderMap, name: header::HeaderName) -> &str {
    headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default()
}

fn ours(app: &App, host: &str) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.parse() == Ok(app.port) => name,
        None if app.port == 80 => host,
        _ => return false,
    };
    // A browser says the address it really asks at. Only a name can be made to lead here; and addresses change while the program runs.
    name == "localhost" || name.trim_matches(['[', ']']).parse::<IpAddr>().is_ok()
}

/// Whether a page of this app asks. Browsers say so themselves; what says nothing is no browser, and has no cookie to abuse.
fn same_origin(headers: &HeaderMap) -> bool {
    let site = text(headers, header::HeaderName::from_static("sec-fetch-site"));
    let origin = text(headers, header::ORIGIN);
    let from_here = origin.is_empty() || origin.strip_prefix("http://") == Some(text(headers, header::HOST));
    (site.is_empty() || site == "same-origin") && from_here
}

/// The tokens that a browser has for programs of this machine.
fn tokens(headers: &HeaderMap) -> impl Iterator<Item = &str> {
    let cookies = text(headers, header::COOKIE).split(';').filter_map(|cookie| cookie.trim().split_once('='));
    cookies.filter(|(name, _)| name.starts_with(COOKIE)).map(|(_, token)| token)
}

fn protect(headers: &mut HeaderMap, opener: &'static str) {
    let mut say = |name, value| {
        headers.insert(header::HeaderName::from_static(name), HeaderValue::from_static(value));
    };
    say("content-security-policy", POLICY);
    say("x-content-type-options", "nosniff");
    say("referrer-policy", "no-referrer");
    say("cross-origin-opener-policy", opener);
    say("cross-origin-resource-policy", "same-origin");
    say("permissions-policy", "camera=(), microphone=(), geolocation=()");
    if !headers.contains_key(header::CACHE_CONTROL) {
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
}

#[cfg(test)]
mod tests {
    use axum::Router;
    use axum::body::Body;
    use http_body_util::BodyExt;
    use serde_json::{Value, json};
    use tower::ServiceExt;

    use super::*;
    use crate::Serving;
    use crate::serving::router;

    /// An address set aside for documentation (RFC 5737): nothing is ever sent there, the test only says that it asks.
    const PHONE: &str = "192.0.2.9:5000";
    const OURS: &str = "192.0.2.1";

    fn app() -> (tempfile::TempDir, Arc<App>, Router) {
        let folder = tempfile::tempdir().unwrap();
        let at = |name| folder.path().join(name);
        let serving = Serving { record: at("a.record"), kit: at("kit"), port: 4310, network: false };
        let mut app = App::new(&serving, 4310).unwrap();
        app.network = true;
        let app = Arc::new(app);
        (folder, Arc::clone(&app), router(app))
    }

    async fn asked(
        router: &Router,
        peer: &str,
        method: Method,
        path: &str,
        cookie: &str,
        body: Option<Value>,
    ) -> Response {
        let mut request =
            axum::http::Request::builder().method(method).uri(path).header(header::HOST, format!("{OURS}:4310"));
        if !cookie.is_empty() {
            request = request.header(header::COOKIE, cookie);
        }
        if body.is_some() {
            request = request.header(header::CONTENT_TYPE, "application/json");
        }
        let body = body.map_or_else(Body::empty, |body| Body::from(body.to_string()));
        let mut request = request.body(body).unwrap();
        request.extensions_mut().insert(ConnectInfo::<SocketAddr>(peer.parse().unwrap()));
        router.clone().oneshot(request).await.unwrap()
    }

    #[tokio::test]
    async fn law_a_device_reads_and_writes_nothing_until_it_is_paired() {
        let (_folder, app, router) = app();
        let paths = [
            "/",
            "/lanes",
            "/lanes/state",
            "/lanes/blocks",
            "/lanes/next",
            "/lanes/picture",
            "/live",
            "/devices",
            "/nowhere",
        ];
        for path in paths {
            for cookie in ["", "boardwise=", "boardwise=0000", "other=1; boardwise=guess"] {
                let answer = asked(&router, PHONE, Method::GET, path, cookie, None).await;
                assert_eq!(answer.status(), StatusCode::UNAUTHORIZED, "{path} {cookie}");
            }
        }
        for path in [
            "/lanes/shot",
            "/lanes/undo",
            "/lanes/fix",
            "/lanes/move",
            "/lanes/start",
            "/lanes/back",
            "/devices/forget",
            "/devices/record/backup",
        ] {
            let answer =
                asked(&router, PHONE, Method::POST, path, "", Some(json!({ "key": "a", "pins": "none" }))).await;
            assert_eq!(answer.status(), StatusCode::UNAUTHORIZED, "{path}");
        }
        assert_eq!(asked(&router, PHONE, Method::GET, "/pair", "", None).await.status(), StatusCode::OK);

        let code = json!({ "code": app.devices.code(May::Log), "name": "phone" });
        let paired = asked(&router, PHONE, Method::POST, "/pair", "", Some(code)).await;
        assert_eq!(paired.status(), StatusCode::OK);
        let cookie = paired.headers()[header::SET_COOKIE].to_str().unwrap().to_owned();
        assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
        let token = cookie.split(';').next().unwrap().to_owned();
        let answer = asked(&router, PHONE, Method::GET, "/lanes", &token, None).await;
        assert_eq!(answer.status(), StatusCode::OK);
        for path in ["/devices"] {
            let answer = asked(&router, PHONE, Method::GET, path, &token, None).await;
            assert_eq!(answer.status(), StatusCode::FORBIDDEN, "devices are let in at the machine alone");
        }
        for path in ["/devices/record/check", "/devices/record/backup"] {
            let answer = asked(&router, PHONE, Method::POST, path, &token, Some(json!({}))).await;
            assert_eq!(answer.status(), StatusCode::FORBIDDEN, "backups are made at the machine alone: {path}");
        }
        app.devices.forget(1).unwrap();
        let answer = asked(&router, PHONE, Method::GET, "/lanes", &token, None).await;
        assert_eq!(answer.status(), StatusCode::UNAUTHORIZED, "a forgotten device is out at once");
    }

    #[tokio::test]
    async fn law_a_browser_that_is_not_paired_sees_a_page_and_no_json() {
        let (_folder, _app, router) = app();
        for path in ["/", "/lanes", "/after", "/lab?lane=short"] {
            let request = axum::http::Request::builder().uri(path).header(header::HOST, format!("{OURS}:4310"));
            let mut request = request.header(header::ACCEPT, "text/html,*/*").body(Body::empty()).unwrap();
            request.extensions_mut().insert(ConnectInfo::<SocketAddr>(PHONE.parse().unwrap()));
            let answer = router.clone().oneshot(request).await.unwrap();
            assert_eq!(answer.status(), StatusCode::UNAUTHORIZED, "{path}");
            let body = answer.into_body().collect().await.unwrap().to_bytes();
            let text = String::from_utf8_lossy(&body);
            assert!(text.starts_with("<!DOCTYPE html>") && text.contains("id=\"code\""), "{path}: {text}");
        }
    }

    #[tokio::test(start_paused = true)]
    async fn law_wrong_codes_wait_say_nothing_and_keep_nobody_out() {
        let (_folder, app, router) = app();
        let right = app.devices.code(May::Log);
        let wrong = if right.starts_with('1') { "2222222222" } else { "1111111111" };
        let try_code =
            async |code: &str| asked(&router, PHONE, Method::POST, "/pair", "", Some(json!({ "code": code }))).await;
        let start = tokio::time::Instant::now();
        for _ in 0..50 {
            let answer = try_code(wrong).await;
            assert_eq!(answer.status(), StatusCode::FORBIDDEN);
            let body = answer.into_body().collect().await.unwrap().to_bytes();
            assert!(!String::from_utf8_lossy(&body).contains(&right));
        }
        assert!(start.elapsed() >= Duration::from_secs(50), "a guess takes a second");
        assert_eq!(try_code(&right).await.status(), StatusCode::OK);
    }

    #[tokio::test]
    async fn law_who_looks_on_reads_all_and_changes_nothing_until_the_bowler_takes_it_back() {
        let (_folder, app, router) = app();
        let token = app.devices.pair(&app.devices.code(May::LookOn), "coach").unwrap().unwrap();
        let cookie = format!("boardwise-4310={token}");
        for path in ["/lanes", "/after", "/before", "/lab"] {
            let answer = asked(&router, PHONE, Method::GET, path, &cookie, None).await;
            assert_eq!(answer.status(), StatusCode::OK, "{path}");
            let page = answer.into_body().collect().await.unwrap().to_bytes();
            let page = String::from_utf8_lossy(&page);
            assert!(page.contains("data-looks-on") && page.contains("You look on"), "{path}");
        }
        assert_eq!(asked(&router, PHONE, Method::GET, "/live", &cookie, None).await.status(), StatusCode::OK);
        for path in ["/lanes/shot", "/lanes/undo", "/lanes/start", "/before/keep/bag", "/devices/forget", "/exchange"] {
            let answer = asked(&router, PHONE, Method::POST, path, &cookie, Some(json!({}))).await;
            assert_eq!(answer.status(), StatusCode::FORBIDDEN, "{path}");
        }
        let answer = asked(&router, PHONE, Method::GET, "/devices", &cookie, None).await;
        assert_eq!(answer.status(), StatusCode::FORBIDDEN, "who is let in is none of their business");
        app.devices.forget(1).unwrap();
        let answer = asked(&router, PHONE, Method::GET, "/lanes", &cookie, None).await;
        assert_eq!(answer.status(), StatusCode::UNAUTHORIZED);
        // One that may log sees its pages as they are.
        let token = app.devices.pair(&app.devices.code(May::Log), "phone").unwrap().unwrap();
        let answer = asked(&router, PHONE, Method::GET, "/lanes", &format!("boardwise-4310={token}"), None).await;
        let page = answer.into_body().collect().await.unwrap().to_bytes();
        assert!(!String::from_utf8_lossy(&page).contains("You look on"));
    }

    #[tokio::test]
    async fn law_a_forgotten_device_hears_nothing_more() {
        let (_folder, app, router) = app();
        let token = app.devices.pair(&app.devices.code(May::Log), "phone").unwrap().unwrap();
        let stream = asked(&router, PHONE, Method::GET, "/live", &format!("boardwise-4310={token}"), None).await;
        assert_eq!(stream.status(), StatusCode::OK);
        let mut body = stream.into_body();
        assert!(body.frame().await.is_some(), "it hears how the block stands");
        app.devices.forget(1).unwrap();
        let end = tokio::time::timeout(Duration::from_secs(10), body.frame()).await;
        assert!(end.expect("the stream went on").is_none());
    }

    #[tokio::test(start_paused = true)]
    async fn law_a_body_that_does_not_come_is_not_waited_for() {
        let (_folder, _app, router) = app();
        let (_sender, never) = tokio::sync::mpsc::channel::<Result<axum::body::Bytes, std::io::Error>>(1);
        let never = Body::from_stream(tokio_stream::wrappers::ReceiverStream::new(never));
        let request = axum::http::Request::builder().method(Method::POST).uri("/lanes/shot");
        let request = request.header(header::HOST, "localhost:4310").header(header::CONTENT_TYPE, "application/json");
        let mut request = request.body(never).unwrap();
        request.extensions_mut().insert(ConnectInfo::<SocketAddr>("127.0.0.1:5000".parse().unwrap()));
        let answer = tokio::time::timeout(2 * TO_SAY, router.oneshot(request)).await;
        assert_eq!(answer.expect("it was waited for").unwrap().status(), StatusCode::REQUEST_TIMEOUT);
    }

    #[tokio::test]
    async fn law_a_name_from_elsewhere_is_not_ours() {
        let (_folder, app, _router) = app();
        for (host, is_ours) in [
            ("192.0.2.1:4310", true),
            ("localhost:4310", true),
            ("[::1]:4310", true),
            ("192.0.2.1:80", false),
            ("192.0.2.1", false),
            ("192.0.2.2:4310", true),
            ("a.record.example:4310", false),
            ("localhost.evil.example:4310", false),
            ("", false),
        ] {
            assert_eq!(ours(&app, host), is_ours, "{host}");
        }
    }
}
