//! What an address asks, read into a type: a part that is not known, or cannot be, is refused in words.

use axum::extract::FromRequestParts;
use axum::http::StatusCode;
use axum::http::request::Parts;
use boardwise_figures::Theme;
use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::answer::Refusal;

/// The query of an address. Parts may be repeated where the type holds a list of them; an empty part counts as left out where
/// the type allows that.
pub struct Query<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequestParts<S> for Query<T> {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Refusal> {
        read(parts.uri.query().unwrap_or_default()).map(Self)
    }
}

fn read<T: DeserializeOwned>(query: &str) -> Result<T, Refusal> {
    let parts = serde_html_form::Deserializer::from_bytes(query.as_bytes());
    serde_path_to_error::deserialize(parts).map_err(|why| {
        let words = format!("the address asks what cannot be: {}: {}", why.path(), why.inner());
        Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, &words)
    })
}

/// The colours a page asks for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Colours {
    /// Dark on light.
    #[default]
    Light,
    /// Light on dark.
    Dark,
}

impl From<Colours> for Theme {
    fn from(colours: Colours) -> Self {
        match colours {
            Colours::Light => Self::Light,
            Colours::Dark => Self::Dark,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, PartialEq, Deserialize)]
    #[serde(deny_unknown_fields, default)]
    struct Some {
        lane: Vec<String>,
        speed: Option<f64>,
        theme: Colours,
    }

    impl Default for Some {
        fn default() -> Self {
            Self { lane: Vec::new(), speed: None, theme: Colours::Dark }
        }
    }

    #[test]
    fn law_an_address_is_read_whole_or_refused_with_the_part_that_is_wrong() {
        let good: Some = read("lane=a+b&lane=c%26d&speed=&theme=light").ok().unwrap();
        assert_eq!(good, Some { lane: vec!["a b".into(), "c&d".into()], speed: None, theme: Colours::Light });
        assert_eq!(read::<Some>("").ok().unwrap(), Some::default());
        for (query, word) in [("weather=fair", "weather"), ("speed=fast", "speed"), ("theme=blue", "blue")] {
            let refused = read::<Some>(query).err().unwrap().words().to_owned();
            assert!(refused.contains(word), "{query}: {refused}");
        }
    }
}
