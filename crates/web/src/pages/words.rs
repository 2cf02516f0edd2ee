//! The trade's words, each explained in one place, and the quiet way to ask for one where it stands.
//!
//! A word that can be asked for is a button in the text; what it opens is a slip beside it that Escape or a tap elsewhere closes. The
//! browser does all of that by itself. Words that scripts write are marked by `words.js`, by the same slips.

use maud::{Markup, html};

use super::frame::{Room, page};

/// A word of the trade, or of these pages.
struct Word {
    /// As a heading.
    name: &'static str,
    /// Other forms of it that stand in pages, in small letters.
    also: &'static [&'static str],
    /// What it means, in one breath.
    meaning: &'static str,
}

const fn word(name: &'static str, also: &'static [&'static str], meaning: &'static str) -> Word {
    Word { name, also, meaning }
}

/// Every word, from the lane to the score.
const WORDS: &[(&str, &[Word])] = &[
    (
        "The lane",
        &[
            word(
                "Board",
                &["boards"],
                "One of the 39 strips of the lane, counted from the gutter on the bowling-hand side; 20 is the middle.",
            ),
            word(
                "Foul line",
                &[],
                "Where the lane begins. All distances down the lane are feet from it. Never step past it.",
            ),
            word(
                "Arrows",
                &["at the arrows", "arrow", "board at the arrows"],
                "Seven marks on the lane, about 15 ft down, five boards apart. What a bowler looks at.",
            ),
            word(
                "Pattern",
                &["patterns", "the oil"],
                "The oil as it was laid on the lane: how long, how much, and where.",
            ),
            word(
                "Length",
                &[],
                "How far down the lane there is oil. 32 to 35 ft is short, about 40 usual, 44 and more long.",
            ),
            word("Volume", &[], "All the oil on the lane, in millilitres."),
            word(
                "Load",
                &["loads"],
                "One way of the machine across the boards of a row. Each board gets its microlitres once a load.",
            ),
            word(
                "Ratio",
                &[],
                "How much more oil lies in the middle (boards 18 to 22) than outside (boards 3 to 7). The higher, the more a miss is forgiven.",
            ),
            word(
                "Rule of 31",
                &["exit, rule of 31"],
                "Length less 31 is about the board where a ball should leave the oil. A rule of thumb to start from.",
            ),
            word(
                "Heads",
                &[],
                "The first part of the lane, to about 20 ft, where most of the oil lies. Midlane: from there to about 40 ft.",
            ),
            word(
                "Backend",
                &["backends"],
                "The lane past the oil, where the ball hooks. Midlane: the part before it, from about 20 to 40 ft.",
            ),
            word("Carrydown", &[], "Oil that balls drag past the end of the pattern. The ball turns later there."),
            word(
                "Burn",
                &["burnt"],
                "A part of the lane that has lost its oil where balls ran. The ball turns earlier there.",
            ),
            word("Hatched", &[], "Boards no ball of yours has crossed today: unknown, not dry."),
        ],
    ),
    (
        "The line",
        &[
            word("Laydown", &[], "The board on which the ball is set down at the foul line."),
            word("Target", &[], "The board pointed at, at the arrows, 15 ft down."),
            word(
                "Launch",
                &[],
                "The angle at which the ball leaves the hand: toward the gutter on the bowling-hand side, or away from it.",
            ),
            word(
                "Breakpoint",
                &["board at the breakpoint"],
                "Where the ball comes closest to the gutter on the bowling-hand side before it hooks back.",
            ),
            word("Exit", &["leaves oil"], "Where the ball leaves the oil."),
            word(
                "Entry",
                &[],
                "Where the ball meets the first pin, and at what angle. For a strike: about board 17.5, 4 to 6 degrees.",
            ),
            word(
                "Room",
                &["miss room", "hold"],
                "How far the shot as meant may be off at the arrows and still do: toward the bowling hand / away from it.",
            ),
            word("Misses", &[], "What a throw does that passes the arrows inside or outside of where it was meant to."),
            word(
                "In",
                &["out"],
                "In is away from the bowling hand, out toward it. \"2 and 1 in\": feet 2 boards in, eyes 1 board in.",
            ),
            word(
                "Feet and eyes",
                &["feet", "eyes"],
                "Where you stand, and what you look at. Moving both by as much is a parallel move; the feet by more turns the line.",
            ),
            word(
                "Ribbon",
                &[],
                "Where the line runs on the picture, as wide as it is unsure: eight in ten of what may be.",
            ),
        ],
    ),
    (
        "The throw",
        &[
            word("Speed", &[], "How fast the ball leaves the hand, in miles per hour. More speed, less hook."),
            word(
                "Rev rate",
                &["revs"],
                "How fast the ball turns when it leaves the hand, in turns a minute. More revs, more hook.",
            ),
            word(
                "Rotation",
                &["axis rotation"],
                "How far the ball's axis is turned away from straight rolling: 0 is end over end, 90 is full side roll.",
            ),
            word("Tilt", &["axis tilt"], "How far the ball's axis points up: 0 is level. More tilt, more skid."),
            word(
                "Spread",
                &["spreads"],
                "How far shots that were meant alike differ: one standard deviation. About two shots in three stray less than that.",
            ),
        ],
    ),
    (
        "The ball",
        &[
            word(
                "Surface",
                &["surfaces"],
                "How rough the ball is. Rougher turns earlier and less sharply; smoother later and more sharply.",
            ),
            word(
                "Grit",
                &["grits"],
                "The pad a surface was sanded with: the lower, the rougher. What it leaves differs much from ball to ball.",
            ),
            word(
                "Ra",
                &["ra, µm"],
                "How rough a surface is as measured, in thousandths of a millimetre. Surer than a grit.",
            ),
            word(
                "Cover",
                &[],
                "What the outside of the ball is made of: reactive bites most, urethane early and smoothly, plastic hardly.",
            ),
        ],
    ),
    (
        "The pins",
        &[
            word(
                "Pocket",
                &[],
                "Between the head pin and the one beside it on the bowling-hand side. Where most strikes come from: boards 16.5 to 18.5.",
            ),
            word(
                "High",
                &["how it hit", "hit", "nose"],
                "High: too far over the head pin. Nose: straight on it. Light: too little of it. Other side: past it.",
            ),
            word("Light", &["other side"], "Too little of the head pin. Other side: past the head pin."),
            word("Leave", &["leaves", "pins left"], "The pins that still stand after a first ball."),
            word("Split", &["splits"], "A leave without the head pin, with a gap between pins. Seldom made."),
            word("Carry", &[], "Whether a ball at the pocket takes all ten pins."),
            word(
                "Strikes",
                &["strike"],
                "All ten with the first ball. ± is how far the share may be off: one standard error.",
            ),
        ],
    ),
    (
        "The score",
        &[
            word("At most", &[], "The score if every ball to come strikes."),
            word("Likely", &["numbers at a choice"], "Eight times in ten what comes lies between these two numbers."),
            word("Pace", &[], "The score if the game goes on as it has so far."),
            word("Open", &["open frames"], "A frame with neither strike nor spare."),
            word(
                "Par",
                &[],
                "The score to expect before the first ball: the best ball and line known, your usual spread, your usual spares.",
            ),
            word("Execution", &[], "The throw as you logged it, against your usual throws at that line."),
            word("Luck", &["chance"], "What such throws leave on average, against what they left this time."),
        ],
    ),
];

impl Word {
    fn id(&self) -> String {
        format!("word-{}", self.name.to_lowercase().replace(' ', "-"))
    }

    fn forms(&self) -> impl Iterator<Item = String> {
        std::iter::once(self.name.to_lowercase()).chain(self.also.iter().map(|form| (*form).to_owned()))
    }
}

fn all() -> impl Iterator<Item = &'static Word> {
    WORDS.iter().flat_map(|(_, words)| *words)
}

/// The word that a text says, before any unit.
fn found(text: &str) -> Option<&'static Word> {
    let whole = text.trim().to_lowercase();
    let bare = whole.split(',').next().unwrap_or_default().to_owned();
    [whole, bare].iter().find_map(|said| all().find(|word| word.forms().any(|form| form == *said)))
}

/// A text that is one of the words, to be asked for where it stands; any other text is left as it is.
pub fn explained(text: &str) -> Markup {
    named(text, None)
}

/// As [`explained`], with an id, so that it can name a field of a form.
pub fn named(text: &str, id: Option<&str>) -> Markup {
    html! {
        @match found(text) {
            Some(word) => button.asked type="button" id=[id] popovertarget=(word.id()) { (text) },
            None => @match id { Some(id) => span id=(id) { (text) }, None => (text) },
        }
    }
}

/// What the words open, for the foot of a page.
pub fn slips() -> Markup {
    html! {
        @for word in all() {
            div.slip popover id=(word.id()) role="note" tabindex="-1" autofocus aria-label=(word.name)
                data-says=(word.forms().collect::<Vec<_>>().join("|")) {
                b { (word.name) }
                p { (word.meaning) }
                button.shut type="button" popovertarget=(word.id()) popovertargetaction="hide" { "Close" }
            }
        }
    }
}

/// All words on one page.
pub async fn words() -> Markup {
    let inside = html! {
        h1 { "Words" }
        p.quiet { "Where one of these is underlined with dots, tap it: what it means stands beside it." }
        @for (part, words) in WORDS {
            h2 { (part) }
            dl.words { @for word in *words { dt { (word.name) } dd { (word.meaning) } } }
        }
    };
    page("Words", Room::Words, &[], &inside)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn law_each_form_means_one_word_and_is_found_with_its_unit() {
        let mut seen = HashSet::new();
        for word in all() {
            for form in word.forms() {
                assert!(seen.insert(form.clone()), "{form} stands for two words");
                assert_eq!(found(&form).map(|found| found.name), Some(word.name));
            }
            assert!(word.meaning.split_whitespace().count() <= 35, "{} takes more than a breath", word.name);
            assert!(word.meaning.ends_with('.'), "{} ends without a stop", word.name);
        }
        assert_eq!(found("Rotation, °").map(|word| word.name), Some("Rotation"));
        assert!(found("Devices").is_none());
    }

    #[test]
    fn law_a_word_opens_a_slip_that_is_there() {
        let slips = slips().into_string();
        for word in all() {
            let button = explained(word.name).into_string();
            let target = format!("popovertarget=\"{}\"", word.id());
            assert!(button.contains(&target) && slips.contains(&format!("id=\"{}\"", word.id())), "{button}");
        }
        assert_eq!(explained("a < b").into_string(), "a &lt; b");
    }
}
