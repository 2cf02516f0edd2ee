//! Files of the pages, built in. Their path has a version, so that browsers keep them for good.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};

macro_rules! assets {
    ($($name:literal),+ $(,)?) => {
        /// Name and content.
        const ASSETS: &[(&str, &str)] = &[$(($name, include_str!(concat!("assets/", $name)))),+];
    };
}

assets![
    "font.css",
    "style.css",
    "lanes.css",
    "look.css",
    "after.css",
    "after.js",
    "handout.css",
    "handout.js",
    "lanes.js",
    "card.js",
    "else.js",
    "frame.js",
    "moved.js",
    "blocks.js",
    "outbox.js",
    "plan.js",
    "turn.js",
    "ask.js",
    "pair.js",
    "words.js",
    "tour.js",
    "devices.js",
    "record.js",
    "phone.js",
    "exchange.js",
    "lab.css",
    "lab.js",
    "lab_lane.js",
    "lab_lines.js",
    "icon.svg",
    "brief.css",
    "first.css",
    "first.js",
    "before.css",
    "before.js",
    "before-kit.js",
    "before-lane.js",
    "before-reading.js"
];

/// Changes with every change of a file.
static VERSION: LazyLock<String> = LazyLock::new(|| {
    let mut all = Sha256::new();
    for (name, text) in ASSETS {
        all.update(name);
        all.update(text);
    }
    hex::encode(&all.finalize()[..6])
});

/// Where a page finds a file.
pub fn url(name: &str) -> String {
    format!("/assets/{}/{name}", *VERSION)
}

/// A file.
pub async fn file(Path((version, name)): Path<(String, String)>) -> Response {
    match ASSETS.iter().find(|(known, _)| *known == name && version == *VERSION) {
        Some((_, text)) => {
            let kind = match name.rsplit_once('.').map(|(_, end)| end) {
                Some("css") => "text/css; charset=utf-8",
                Some("js") => "text/javascript; charset=utf-8",
                Some("svg") => "image/svg+xml",
                _ => "text/plain; charset=utf-8",
            };
            ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "public, max-age=31536000, immutable")], *text)
                .into_response()
        }
        None => StatusCode::NOT_FOUND.into_response(),
    }
}
