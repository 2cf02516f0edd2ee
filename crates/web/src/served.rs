//! How the block stands, as bytes that every device gets until the record changes.

use std::io::Write;

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
    /// With the number under which pages are told of it, so that whoever has it already need not ask.
    told: LanesState,
    /// As JSON.
    plain: Bytes,
    /// The same for browsers that take it compressed: packing takes longer than all the rest of an answer.
    packed: Bytes,
}

impl Served {
    /// Under this number; under none where it is not the present block.
    ///
    /// # Errors
    /// If nobody can say what the game may come to.
    pub fn new(state: &BlockState, number: Option<u64>) -> Result<Self, Failure> {
        let told = LanesState { screen: screen::view(state)?, changes: number };
        let plain = serde_json::to_string(&told).map_err(Failure::Json)?;
        let mut packer = GzEncoder::new(Vec::new(), Compression::fast());
        // Writing to memory cannot fail.
        let packed = packer.write_all(plain.as_bytes()).and_then(|()| packer.finish()).unwrap_or_default();
        Ok(Self { of: state.version(), told, plain: plain.into(), packed: packed.into() })
    }

    /// The answer to whoever asked so.
    pub fn answer(&self, asked: &HeaderMap) -> Response {
        let json = [(header::CONTENT_TYPE, "application/json"), (header::VARY, "accept-encoding")];
        if takes_packed(asked) {
            return (json, [(header::CONTENT_ENCODING, "gzip")], self.packed.clone()).into_response();
        }
        (json, self.plain.clone()).into_response()
    }

    /// The answer to whoever changed it: the same, with what was done.
    pub fn with(&self, did: String) -> Did {
        Did { state: self.told.clone(), did }
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
