//! The part of the page After that takes some seconds: where pins were won and lost.

use boardwise_belief::Account;
use maud::{Markup, html};

use super::after::{link, pictured};
use super::words::explained;
use crate::sheet_query::SheetQuery;
use boardwise_session::at_lanes::after::{Reckoned, Story, about, signed, spread_words, terms, verdict};
use boardwise_session::leaves::kind_word;

/// The account of a block, beside that of another where there is one.
pub fn account(story: &Story, reckoned: Option<&Reckoned>, beside: Option<(&Story, Option<&Reckoned>)>) -> Markup {
    html! {
        @match reckoned {
            None => (missing(story)),
            Some(reckoned) => {
                (won_and_lost(story, &reckoned.account))
                h3 { "What to practise" }
                (practise(story, reckoned))
            }
        }
        @if let Some((other, theirs)) = beside { (compared(story, reckoned, other, theirs)) }
    }
}

fn missing(story: &Story) -> Markup {
    let why = story.no_account().unwrap_or_default();
    html! { p { "There is no account of this block: " (why) "." } }
}

fn won_and_lost(story: &Story, account: &Account) -> Markup {
    let whole = terms(&account.whole);
    html! {
        p.lead { (verdict(&account.whole)) "." }
        div.both {
            div { (pictured(&link("/after/picture", &SheetQuery::sheet(&story.listed)), "Pins won and lost, term by term, as the list says in words")) }
            div {
                p.quiet { "Pins won or lost, ± how far each may be off. Open one to read what it is." }
                @for term in &whole {
                    details.term {
                        summary {
                            span.name { (term.name) }
                            span.number { (term.number()) }
                            span.mark { @if term.stands_out() { "stands out" } }
                        }
                        p { (term.meaning()) }
                        p.quiet { (term.doubt_words()) }
                    }
                }
                details.term {
                    summary { span.name { "par" } span.number { (format!("{:.1}", account.whole.par)) } span.mark {} }
                    p { "The score to expect before the first ball: the best ball and line known, thrown with your spread on the lanes as they were believed to be, and each leave made as often as you make it." }
                }
            }
        }
        @if account.games.len() > 1 {
            div.wide tabindex="0" role="region" aria-label="Game by game" {
                table {
                    thead { tr { th { "game" } th.n { (explained("par")) } th.n { "score" } @for term in &whole { th.n { (term.name) } } } }
                    tbody {
                        @for (k, game) in account.games.iter().enumerate() {
                            tr {
                                th { (k + 1) } td.n { (format!("{:.1}", game.par)) } td.n { (format!("{:.1}", game.score)) }
                                @for term in terms(game) { td.n { (signed(term.pins)) } }
                            }
                        }
                    }
                }
            }
            p.quiet { "Pins. The score of a game not over is the one to expect." }
        }
        @if !account.spares.is_empty() {
            div.wide tabindex="0" role="region" aria-label="Spares by kind" {
                table {
                    thead { tr { th { (explained("leaves")) } th.n { "made" } th.n { "usual" } th.n { "pins" } th.n { "chance" } } }
                    tbody {
                        @for one in &account.spares {
                            tr {
                                th { (kind_word(one.kind)) } td.n { (one.made) " of " (one.tried) } td.n { (format!("{:.1}", one.expected)) }
                                td.n { (signed(one.pins)) } td.n { (format!("{:.1}", one.chance)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn practise(story: &Story, Reckoned { account, balls }: &Reckoned) -> Markup {
    let all = account.practise();
    html! {
        @if all.is_empty() { p { "Nothing stands out from what doubt and chance make. One block says little." } }
        ol.practise { @for one in &all { li { (one.words()) } } }
        h3 { "How throws strayed" }
        @if account.strays.is_empty() {
            p { "Log boards at the arrows: from six first balls on they tell how far throws stray." }
        }
        @if !account.strays.is_empty() {
            div.wide tabindex="0" role="region" aria-label="How throws strayed at the arrows" {
                table {
                    thead { tr { th { (explained("at the arrows")) } th.n { (explained("spread")) } th.n { "19 in 20" } th.n { "by your file" } th.n { "off by" } th.n { "shots" } } }
                    tbody {
                        @for stray in &account.strays {
                            tr {
                                th { (about(story, balls, stray)) }
                                td.n { (format!("{:.1}", stray.sd_boards)) }
                                td.n { (format!("{:.1} to {:.1}", stray.sd_between.0, stray.sd_between.1)) }
                                td.n { (format!("{:.1}", stray.sd_told)) }
                                td.n { (format!("{:.1} ± {:.1} ", stray.off_boards.abs(), stray.off_error)) @if stray.off_boards < 0.0 { "outside" } @else { "inside" } }
                                td.n { (stray.shots) }
                            }
                        }
                    }
                }
            }
            p.quiet { "Boards, one standard deviation; what comes from reading boards is taken off. Off by: how far throws pass from where they were meant to, on average." }
        }
        @if let Some(words) = spread_words(account) { p { (words) "." } }
    }
}

/// The terms of two blocks, as far as they are known.
fn compared(story: &Story, ours: Option<&Reckoned>, other: &Story, theirs: Option<&Reckoned>) -> Markup {
    let of = |reckoned: Option<&Reckoned>| reckoned.map(|reckoned| terms(&reckoned.account.whole));
    let (ours, theirs) = (of(ours), of(theirs));
    let names = ours.as_ref().or(theirs.as_ref());
    html! {
        @if let Some(names) = names {
            h3 { "Terms side by side" }
            div.wide.compare tabindex="0" role="region" aria-label="Terms side by side" {
                table {
                    thead { tr { th { "pins" } th.n { (story.listed.block) } th.n { (other.listed.block) } } }
                    tbody {
                        @for (k, term) in names.iter().enumerate() {
                            tr {
                                th { (term.name) }
                                @for side in [&ours, &theirs] {
                                    td.n { (side.as_ref().map_or_else(|| "not known".to_owned(), |terms| terms[k].number())) }
                                }
                            }
                        }
                    }
                }
            }
        }
        @if let (None, Some(why)) = (&theirs, other.no_account()) {
            p.quiet { (other.listed.block) ": " (why) "." }
        }
    }
}
