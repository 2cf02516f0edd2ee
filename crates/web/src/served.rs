//! How the block stands, as bytes that every device gets until the record changes.

use std::io::Write;
use std::sync::OnceLock;

use axum::body::Bytes;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use boardwise_record::Version;
use flate2::Compression;
use flate2::write::GzEncoder;

use super::views::{Did, LanesState};
use boardwise_session::Failure;
use boardwise_session::at_lanes::block_state::BlockState;
use boardwise_session::at_lanes::screen;

/// How the block stands.
pub struct Served {
    /// In which state of the record.
    pub of: Version,
    /// Whether its last ball was thrown.
    pub complete: bool,
    /// With the number under which pages are told of it, so that whoever has it already need not ask.
    told: LanesState,
    /// The same with no more of the sheet than a page at the lanes shows.
    short: LanesState,
    short_text: Text,
    whole_text: OnceLock<Text>,
}

/// An answer as JSON.
struct Text {
    plain: Bytes,
    /// For browsers that take it compressed: packing takes longer than all the rest of an answer.
    packed: Bytes,
}

impl Text {
    fn of(told: &LanesState) -> Result<Self, Failure> {
        let plain = serde_json::to_string(told).map_err(Failure::Json)?;
        let mut packer = GzEncoder::new(Vec::new(), Compression::fast());
        // Writing to memory cannot fail.
        let packed = packer.write_all(plain.as_bytes()).and_then(|()| packer.finish()).unwrap_or_default();
        Ok(Self { plain: plain.into(), packed: packed.into() })
    }

    /// The answer to whoever asked so.
    fn answer(&self, asked: &HeaderMap) -> Response {
        let json = [(header::CONTENT_TYPE, "application/json"), (header::VARY, "accept-encoding")];
        if takes_packed(asked) {
            return (json, [(header::CONTENT_ENCODING, "gzip")], self.packed.clone()).into_response();
        }
        (json, self.plain.clone()).into_response()
    }
}

impl Served {
    /// Under this number; under none where it is not the present block.
    ///
    /// # Errors
    /// If nobody can say what the game may come to.
    pub fn new(state: &BlockState, number: Option<u64>) -> Result<Self, Failure> {
        let told = LanesState { screen: screen::view(state)?, changes: number };
        let short = LanesState { screen: told.screen.short(), changes: number };
        let short_text = Text::of(&short)?;
        let complete = state.upcoming().is_none();
        Ok(Self { of: state.version(), complete, told, short, short_text, whole_text: OnceLock::new() })
    }

    /// All of it, as an answer to whoever asked so.
    ///
    /// # Errors
    /// If JSON cannot hold it: a fault of the program.
    pub fn answer(&self, asked: &HeaderMap) -> Result<Response, Failure> {
        if let Some(text) = self.whole_text.get() {
            return Ok(text.answer(asked));
        }
        let text = Text::of(&self.told)?;
        Ok(self.whole_text.get_or_init(|| text).answer(asked))
    }

    /// What a page at the lanes shows of it.
    pub fn short_answer(&self, asked: &HeaderMap) -> Response {
        self.short_text.answer(asked)
    }

    /// The answer to whoever changed it: what a page shows, with what was done.
    pub fn with(&self, did: String) -> Did {
        Did { state: self.short.clone(), did }
    }
}

/// Whether an answer may be compressed with gzip.
fn takes_packed(asked: &HeaderMap) -> bool {
    let all = asked.get_all(header::ACCEPT_ENCODING).iter().filter_map(|value| value.to_str().ok());
    let mut each = all.flat_map(|all| all.split(',')).map(|one| one.split_once(';').unwrap_or((one, "")));
    each.any(|(name, weight)| name.trim().eq_ignore_ascii_case("gzip") && !refuses(weight))
}

/// Whether a weight (RFC 9110, 12.4.2) says never.
fn refuses(weight: &str) -> bool {
    weight.trim().strip_prefix("q=").is_some_and(|weight| weight.parse() == Ok(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_only_who_takes_packed_answers_gets_one() {
        for (asked, takes) in [
            (Some("gzip"), true),
            (Some("br, GZIP;q=0.5"), true),
            (Some("deflate,gzip ; q=1"), true),
            (Some("gzip;q=0"), false),
            (Some("gzip;q=0.0, br"), false),
            (Some("br"), false),
            (Some("xgzip"), false),
            (None, false),
        ] {
            let header = asked.map(|asked| (header::ACCEPT_ENCODING, asked.parse().unwrap()));
            assert_eq!(takes_packed(&header.into_iter().collect()), takes, "{asked:?}");
        }
    }
}
