//! The brief: verdict, picture, doubt, reasons, then the tables.

use maud::{Markup, html};

use super::super::super::assets::url;
use super::parts::{Narrow, picture, table, whose};
use crate::before::What;
use boardwise_session::brief::{Brief, CAUTION};

/// The answer's part of the page.
pub fn brief(brief: &Brief, event: &str, query: &str) -> Markup {
    let numbers = brief.on().numbers;
    html! {
        link rel="stylesheet" href=(url("brief.css"));
        p.verdict { (brief.verdict()) }
        div.lanes {
            @for (lane, number) in numbers.iter().enumerate() {
                div {
                    h3 { "Lane " (number) }
                    div.upright { (picture(What::Brief, query, &format!("of={lane}"), &format!("Lane {number} with the line to start on, and dashed the line at the end"))) }
                    div.lying { (picture(What::Brief, query, &format!("of={lane}&lying=true"), &format!("Lane {number} on its side with the line to start on, and dashed the line at the end"))) }
                }
            }
        }
        p.doubt { (brief.doubt()) }
        ul.reasons { @for reason in brief.reasons() { li { (reason) } } }
        p.row { a.button href={ (What::Brief.path()) "/page.pdf?" (query) } { "Print it: one page" } a.button href={ "/after/handout?event=" (event) } { "Make a handout" } a.button href="/lanes" { "To the lanes" } }
        @for (title, rows) in brief.tables() {
            @if !rows.cells.is_empty() {
                h2 { (title) }
                (table(&rows, Narrow::Stacked))
            }
        }
        (whose(&brief.event, brief.on()))
        p.quiet { (CAUTION) }
    }
}
