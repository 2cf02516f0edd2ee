//! Parts of answers: whose it is, tables, pictures.

use maud::{Markup, html};

use super::super::words::explained;
use crate::before::What;
use boardwise_files::{KitEvent, KitPair};
use boardwise_session::event::heading;
use boardwise_session::rows::Rows;

pub(super) fn whose(event: &KitEvent, pair: &KitPair) -> Markup {
    html! { dl.whose { @for (what, words) in heading(event, pair) { dt { (what) } dd { (words) } } } }
}

/// What becomes of a table on a phone.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Narrow {
    /// Each row is a card with its headings.
    Stacked,
    /// It is moved sideways under its first column.
    Scrolled,
}

pub(super) fn table(rows: &Rows, narrow: Narrow) -> Markup {
    html! {
        div.across tabindex="0" role="region" aria-label="Table" {
            table.figures .stack-up[narrow == Narrow::Stacked] {
                thead { tr { @for (k, head) in rows.head.iter().enumerate() { th scope="col" .word[k < rows.words] { (explained(head)) } } } }
                tbody {
                    @for row in &rows.cells {
                        tr {
                            @for (k, (cell, head)) in row.iter().zip(&rows.head).enumerate() {
                                td data-label=(head) .word[k < rows.words] { (cell) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A picture of the answer in the colours of the page.
pub(super) fn picture(what: What, query: &str, which: &str, says: &str) -> Markup {
    let url = |theme: &str| format!("{}/picture?{query}&{which}&theme={theme}", what.path());
    html! {
        figure.drawn {
            picture {
                source srcset=(url("dark")) media="(prefers-color-scheme: dark)";
                img src=(url("light")) alt=(says);
            }
        }
    }
}
