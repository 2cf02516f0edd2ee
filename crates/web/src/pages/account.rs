//! The part of the page After that takes some seconds: where pins were won and lost.

use boardwise_belief::Account;
use maud::{Markup, html};

use super::pictured::{link, pictured};
use super::words::explained;
use crate::sheet_query::SheetQuery;
use boardwise_session::at_lanes::after::{
    Drill, Finding, Followed, Parted, Reckoned, Story, Term, WhatToPractise, about, signed, spread_words, terms,
    verdict,
};
use boardwise_session::leaves::kind_word;

/// The account of a block, beside that of another where there is one: the finding, its picture, how sure it is, then the reasons.
pub fn account(story: &Story, reckoned: Option<&Reckoned>, beside: Option<(&Story, Option<&Reckoned>)>) -> Markup {
    html! {
        @match reckoned {
            None => (missing(story)),
            Some(reckoned) => {
                (won_and_lost(story, reckoned))
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

/// A term that opens to say what it is.
fn row(term: &Term) -> Markup {
    html! {
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
}

fn won_and_lost(story: &Story, Reckoned { account, balls }: &Reckoned) -> Markup {
    let finding = Finding::of(&account.whole, !story.is_complete());
    let parted = Parted::of(&account.whole);
    html! {
        p.verdict { (finding.headline) "." }
        div.both {
            div { (pictured(&link("/after/picture", &SheetQuery::sheet(&story.listed)), "Pins won and lost, as the list says in words")) }
            div {
                p.doubt { (finding.doubt) }
                h3 { "What you can change" }
                @for term in &parted.own { (row(term)) }
                details.rest {
                    summary { span.name { "What nobody can act on" } span.number { (signed(parted.rest_together().pins)) } }
                    @for term in &parted.rest { (row(term)) }
                    p.quiet { (verdict(&account.whole)) ". All terms together make that difference to the last pin." }
                }
            }
        }
        @if account.games.len() > 1 {
            details {
                summary { "Term by term, game by game" }
                div.wide tabindex="0" role="region" aria-label="Term by term, game by game" {
                    table {
                        thead { tr { th { "game" } th.n { (explained("par")) } th.n { "score" } @for term in terms(&account.whole) { th.n { (term.name) } } } }
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
        }
        @if !account.spares.is_empty() {
            details {
                summary { "Spares by kind" }
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
        @if !account.strays.is_empty() { (strayed(story, account, balls)) }
    }
}

fn practise(story: &Story, Reckoned { account, .. }: &Reckoned) -> Markup {
    let WhatToPractise { advice, waits } = WhatToPractise::of(story, account);
    html! {
        h2 { "What to practise" }
        @if advice.is_empty() && waits.is_empty() { p { "Nothing stands out from what doubt and chance make. One block says little." } }
        @if advice.is_empty() && !waits.is_empty() { p { "Too few attempts to say. This is what it takes:" } }
        ol.practise {
            @for one in &advice {
                @let drill = Drill::of(one, account);
                li { strong { (one.words()) } p { (drill.how) } p { "Target: " (drill.target) } (result(&drill)) }
            }
        }
        @let followed = Followed::of(story, account);
        @if !followed.is_empty() {
            h3 { "Drills before this block" }
            ul.plain #drills { @for one in &followed { li { (one.words()) } } }
        }
        @if !advice.is_empty() && !waits.is_empty() { p.quiet { "Too few attempts to say anything else:" } }
        ul.waits { @for wait in &waits { li { (wait.what) ": " strong { (wait.have) } " so far; it takes " strong { (wait.need) } } } }
    }
}

/// Where the result of a drill is written down.
fn result(drill: &Drill) -> Markup {
    html! {
        form.drill data-note=(drill.note("#")) hidden {
            label { "How many of " (drill.tries) " " (drill.count) "? "
                input type="number" name="reached" min="0" max=(drill.tries) step="1" inputmode="numeric" required;
            }
            button type="submit" { "Log it" }
            span role="status" {}
        }
    }
}

fn strayed(story: &Story, account: &Account, balls: &[String]) -> Markup {
    html! {
        details {
            summary { "How throws strayed" }
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
            @if let Some(words) = spread_words(account) { p { (words) "." } }
        }
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
