//! A handout that a coach puts together, for any bowler, with a block or without one: one page unless more is wanted.

use boardwise_figures::{Drawing, Handout, Theme, film_by_board};
use boardwise_files::KitEvent;
use serde::{Deserialize, Serialize};

use crate::Failure;
use crate::at_lanes::after::paper::{in_short, lines, notes};
use crate::at_lanes::after::{CAUTION, Reckoned, Story};
use crate::brief::Brief;
use crate::brief::paper::{on_one_page, pictures, titled};

/// What can stand on a handout, in the order in which it stands there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Part {
    /// Where to start, the balls to have, the moves to expect.
    Brief,
    /// What a miss does, the practice throws; the lines and moves of a block.
    Lines,
    /// The oil.
    Pattern,
    /// How to make what is left most.
    Spares,
    /// Where pins were won and lost in a block, and what to practise.
    Story,
    /// The remarks on a block.
    Notes,
}

impl Part {
    /// All of them.
    pub const ALL: [Self; 6] = [Self::Brief, Self::Lines, Self::Pattern, Self::Spares, Self::Story, Self::Notes];

    /// What it is called, and what it holds.
    pub const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Brief => ("Brief", "where to start, balls to have, moves to expect"),
            Self::Lines => ("Lines", "what a miss does, practice throws; moves of the block"),
            Self::Pattern => ("Pattern", "the oil by board"),
            Self::Spares => ("Spares", "what is left most, and how to make it"),
            Self::Story => ("Story", "where pins were won and lost, what to practise"),
            Self::Notes => ("Notes", "the remarks on the block"),
        }
    }

    /// Whether it needs the brief of an event.
    pub const fn of_brief(self) -> bool {
        matches!(self, Self::Brief | Self::Lines | Self::Spares)
    }
}

/// What a handout is made from. What is missing is left out.
#[derive(Clone, Copy, Default)]
pub struct Contents<'a> {
    /// What is to stand on it.
    pub parts: &'a [Part],
    /// The event, for the oil.
    pub event: Option<&'a KitEvent>,
    /// The brief of the event.
    pub brief: Option<&'a Brief>,
    /// The block, and its account where there is one.
    pub block: Option<(&'a Story, Option<&'a Reckoned>)>,
    /// The coach's own words, above everything else.
    pub words: &'a str,
    /// Whether it may take as many pages as it wants.
    pub long: bool,
}

/// The handout, as PDF.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn handout(contents: &Contents<'_>) -> Result<Vec<u8>, Failure> {
    let paper = if contents.long { contents.paper(usize::MAX) } else { on_one_page(|rows| contents.paper(rows)) };
    paper.pdf().map_err(|why| Failure::Picture(Box::new(why)))
}

impl Contents<'_> {
    fn has(&self, part: Part) -> bool {
        self.parts.contains(&part)
    }

    /// Whom it is for, and what it is about.
    fn title(&self) -> String {
        let bowler = self.event.map(|event| event.seats[0].bowler.name.clone());
        let bowler = bowler.or_else(|| self.block.map(|(story, _)| story.listed.bowler.to_string()));
        let about = self.event.map(|event| event.name.clone());
        let about = about.or_else(|| self.block.map(|(story, _)| story.listed.block.to_string()));
        let words: Vec<String> = [about, bowler].into_iter().flatten().collect();
        if words.is_empty() { "Handout".to_owned() } else { words.join(", for ") }
    }

    fn paper(&self, rows: usize) -> Handout {
        let mut paper = Handout::new(&self.title()).caution(CAUTION);
        if !self.words.trim().is_empty() {
            paper = paper.text(self.words.trim());
        }
        if let Some(brief) = self.brief {
            paper = self.of_brief(paper, brief, rows);
        }
        if let (true, Some(event)) = (self.has(Part::Pattern), self.event) {
            paper = oil(paper, event, rows);
        }
        if let (true, Some(brief)) = (self.has(Part::Spares), self.brief) {
            paper = titled(paper, "Spares", &brief.spare_rows(), rows);
        }
        if let Some((story, reckoned)) = self.block {
            if self.has(Part::Story) {
                let day = story.listed.day.map_or_else(String::new, |day| format!(", {day}"));
                paper = paper.text(&format!("{}{day}: {}", story.listed.block, story.listed.scores_words()));
                paper = in_short(paper, story, reckoned);
            }
            if self.has(Part::Lines) {
                paper = lines(paper, story);
            }
            if self.has(Part::Notes) {
                paper = notes(paper, story);
            }
        }
        paper
    }

    fn of_brief(&self, mut paper: Handout, brief: &Brief, rows: usize) -> Handout {
        let (whole, lines) = (self.has(Part::Brief), self.has(Part::Lines));
        if whole || lines {
            paper = paper.heading(&format!("{}.", brief.verdict()));
            paper = paper.text(&format!("{} {}", brief.doubt(), brief.reasons().join(" ")));
            paper = pictures(paper, brief);
        }
        if lines {
            paper = titled(paper, "What a miss does", &brief.miss_rows(), rows);
        }
        if whole {
            paper = titled(paper, "Balls to have", &brief.ball_rows(), rows);
            paper = titled(paper, "Moves to expect", &brief.move_rows(), rows);
        }
        if lines {
            paper = titled(paper, "Practice, in this order", &brief.practice_rows(), rows);
        }
        paper
    }
}

/// The oil of an event's lanes: each pattern once, at most two side by side.
fn oil(mut paper: Handout, event: &KitEvent, rows: usize) -> Handout {
    let hand = event.seats[0].bowler.hand;
    let mut names: Vec<&str> = Vec::new();
    let mut drawn: Vec<Drawing> = Vec::new();
    let mut said = Vec::new();
    for lane in event.pairs.iter().flat_map(|pair| &pair.lanes) {
        if names.contains(&lane.name.as_str()) || names.len() == 2 {
            continue;
        }
        names.push(&lane.name);
        let seen = lane.seen_by(hand);
        let Some(film) = seen.film() else {
            said.push(format!("{}: known by its friction, not by its oil.", lane.name));
            continue;
        };
        let (length, volume) = (film.length.0, film.volume().0 / 1000.0);
        let ratio = film.ratio().map_or_else(String::new, |ratio| format!(", ratio {ratio:.1} to 1"));
        let exit = film.rule_of_31().0;
        said.push(format!(
            "{}: {length:.0} ft, {volume:.1} mL{ratio}. By the rule of 31 the ball leaves the oil near board {exit:.0}.",
            lane.name
        ));
        // Fewer distances where there is less room.
        let shares: &[f64] = if rows > 3 { &[0.05, 0.4, 0.7, 0.95] } else { &[0.1, 0.7] };
        let feet: Vec<f64> = shares.iter().map(|share| (share * length).round()).collect();
        drawn.push(film_by_board(film, hand, &feet, &lane.name, Theme::Light));
    }
    if names.is_empty() {
        return paper;
    }
    paper = paper.heading("The pattern").text(&said.join("\n"));
    paper.pictures(&drawn.iter().collect::<Vec<_>>())
}
