//! Who may ask what: everybody on this machine, paired devices of the network, nobody else; and what every answer carries for safety.

use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;

use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::answer::Refusal;
use super::state::App;

/// Name of the cookie that holds a device's token.
pub const COOKIE: &str = "boardwise";

/// What a page may load and do. No script, style or picture comes from elsewhere, and none stands in a page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; \
                      font-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// Where somebody asks from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asker {
    /// A browser on this machine.
    Here,
    /// A paired device.
    Device,
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
            next.run(request).await
        }
        Err(refusal) => refusal.into_response(),
    };
    protect(response.headers_mut());
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
        token(headers).and_then(|token| app.devices.of_token(token)).map(|_| Asker::Device)
    };
    match asker {
        Some(Asker::Device) if request.uri().path().starts_with("/devices") => {
            no(StatusCode::FORBIDDEN, "devices are let in and forgotten on the machine that serves")
        }
        None if !is_open(request.uri().path()) => no(
            StatusCode::UNAUTHORIZED,
            "this device is not paired: open /pair and type the code shown on the machine that serves",
        ),
        asker => Ok(asker),
    }
}

/// What a device sees before it is paired: the page for that, and what that page looks like.
fn is_open(path: &str) -> bool {
    path == "/pair" || path.starts_with("/assets/")
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
    name == "localhost"
        || name.trim_matches(['[', ']']).parse().is_ok_and(|ip: IpAddr| ip.is_loopback() || app.addresses.contains(&ip))
}

/// Whether a page of this app asks. Browsers say so themselves; what says nothing is no browser, and has no cookie to abuse.
fn same_origin(headers: &HeaderMap) -> bool {
    let site = text(headers, header::HeaderName::from_static("sec-fetch-site"));
    let origin = text(headers, header::ORIGIN);
    let from_here = origin.is_empty() || origin.strip_prefix("http://") == Some(text(headers, header::HOST));
    (site.is_empty() || site == "same-origin") && from_here
}

fn token(headers: &HeaderMap) -> Option<&str> {
    let cookies = text(headers, header::COOKIE).split(';');
    cookies.filter_map(|cookie| cookie.trim().split_once('=')).find(|(name, _)| *name == COOKIE).map(|(_, token)| token)
}

fn protect(headers: &mut HeaderMap) {
    let mut say = |name, value| {
        headers.insert(header::HeaderName::from_static(name), HeaderValue::from_static(value));
    };
    say("content-security-policy", POLICY);
    say("x-content-type-options", "nosniff");
    say("referrer-policy", "no-referrer");
    say("cross-origin-opener-policy", "same-origin");
    say("cross-origin-resource-policy", "same-origin");
    say("permissions-policy", "camera=(), microphone=(), geolocation=()");
    if !headers.contains_key(header::CACHE_CONTROL) {
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
}
