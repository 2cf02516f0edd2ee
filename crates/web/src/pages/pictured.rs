//! Paths with a question, and pictures of the server by day and by night.

use maud::{Markup, html};

use crate::sheet_query::SheetQuery;

/// A path with what is asked there.
pub fn link(path: &str, which: &SheetQuery) -> String {
    // Words as text always have a form.
    format!("{path}?{}", serde_html_form::to_string(which).unwrap_or_default())
}

/// A picture of the server, in the colours of the screen and in ink on paper. The one for the dark comes where it is seen; the other
/// always, since paper does not wait for it.
pub fn pictured(path: &str, words: &str) -> Markup {
    html! {
        img.by-day src=(path) alt=(words);
        img.by-night src={ (path) "&theme=dark" } alt=(words) loading="lazy";
    }
}
