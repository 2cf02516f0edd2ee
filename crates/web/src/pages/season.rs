//! The part of the page After that looks over blocks.

use maud::{Markup, html};

use super::pictured::{link, pictured};
use super::words::explained;
use crate::after::SeasonPicture;
use crate::sheet_query::SheetQuery;
use boardwise_session::at_lanes::after::{Measure, Season, Story};

/// A measure with the interval of each block, and whether that is a trend.
pub fn season(story: &Story, season: &Season) -> Markup {
    let blocks = season.blocks.len();
    html! {
        section #season aria-labelledby="season-title" {
            h2 #season-title { "Over blocks" }
            @if blocks < 2 {
                p { "From the second block with a finished game on, blocks stand beside each other here: average, strikes, spares and spread." }
            } @else {
                div.measures {
                    @for measure in Measure::ALL {
                        div {
                            (pictured(&SeasonPicture::path(story, measure), &format!("{}, {}, block by block, as the table below says in words", measure.name(), measure.unit())))
                            p { (season.trend_words(measure)) }
                        }
                    }
                }
                p.quiet { "Each bar holds the number 19 times in 20. This block is the green one. Lanes differ too: a harder pattern is no worse bowling." }
                details {
                    summary { "The same as a table" }
                    (table(story, season))
                }
                @if season.left_out > 0 { p.quiet { "The newest " (blocks) ". " (season.left_out) " earlier ones are left out." } }
            }
        }
    }
}

fn table(story: &Story, season: &Season) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label="Blocks one after another" {
            table {
                thead { tr { th { "block" } th { "day" } @for measure in Measure::ALL { th.n { (explained(measure.name())) ", " (measure.unit()) } } } }
                tbody {
                    @for block in season.blocks.iter().rev() {
                        tr {
                            th {
                                @if block.listed.block == story.listed.block { (block.listed.block) }
                                @else { a href=(link("/after", &SheetQuery::sheet(&block.listed))) { (block.listed.block) } }
                            }
                            td { @match block.listed.day { Some(day) => time datetime=(day) { (day) }, None => "-" } }
                            @for measure in Measure::ALL {
                                td.n { (block.of(measure).map_or_else(|| "-".to_owned(), |told| told.words(measure))) }
                            }
                        }
                    }
                }
            }
        }
    }
}
