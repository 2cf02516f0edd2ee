//! The page on which a handout is put together.

use maud::{Markup, html};

use super::frame::{Room, page};
use crate::assets::url;
use crate::handout::{Asked, Choices, sheet_word};
use boardwise_session::handout::Part;

/// The builder, as it was asked for last. The chosen block may be one that the list no longer shows.
pub fn builder(asked: &Asked, choices: &Choices, chosen: Option<&(String, Option<String>)>) -> Markup {
    let is_chosen = |block: &str, bowler: &str| {
        chosen.is_some_and(|(of, whose)| of == block && whose.as_deref().is_none_or(|whose| whose == bowler))
    };
    let inside = html! {
        link rel="stylesheet" href=(url("handout.css"));
        h1 { "Make a handout" }
        p { "One page to take away, for any bowler. Choose what stands on it; what is missing is left out." }
        form #handout action="/after/handout.pdf" method="get" {
            fieldset.parts {
                legend { "What stands on it" }
                @for part in Part::ALL {
                    @let (name, holds) = part.words();
                    label.part {
                        input type="checkbox" name="part" value=(word(part)) checked[asked.part.contains(&part)];
                        span { b { (name) } small { (holds) } }
                    }
                }
            }
            div.from {
                label { span { "Event, for brief, lines, pattern and spares" }
                    select name="event" {
                        option value="" { "none" }
                        @for (id, words) in &choices.events { option value=(id) selected[asked.event.as_deref() == Some(id.as_str())] { (words) } }
                    }
                }
                label { span { "Bowler" }
                    select name="who" {
                        option value="" { "the event's own" }
                        @for id in &choices.bowlers { option value=(id) selected[asked.who.as_deref() == Some(id.as_str())] { (id) } }
                    }
                }
                label { span { "Block, for story, lines and notes" }
                    select name="sheet" {
                        option value="" { "none" }
                        @for one in &choices.sheets {
                            option value=(sheet_word(one)) selected[is_chosen(one.block.as_str(), one.bowler.as_str())] { (one.block) ", " (one.bowler) }
                        }
                    }
                }
            }
            label.words { span { "Your own words, on top" } textarea name="words" rows="3" maxlength="1000" { (asked.words) } }
            label.part { input type="checkbox" name="long" value="true" checked[asked.long]; span { b { "More than a page" } small { "as long as it wants to be" } } }
            p.row { button type="submit" .main { "Make it" } }
            p.quiet { "With a brief it takes some seconds: lines are found for this bowler first." }
        }
    };
    page("Make a handout", Room::After, &["handout.js"], &inside)
}

const fn word(part: Part) -> &'static str {
    match part {
        Part::Brief => "brief",
        Part::Lines => "lines",
        Part::Pattern => "pattern",
        Part::Spares => "spares",
        Part::Story => "story",
        Part::Notes => "notes",
    }
}
