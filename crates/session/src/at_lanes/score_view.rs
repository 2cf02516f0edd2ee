//! The score of a block: games, what comes next, the highest score still possible, and the pace.

use std::fmt::Write;

use boardwise_record::{Delivery, LaneId, Sheet};
use boardwise_score::{Deck, Frame, Game, Mark, PinSet, Roll};

use super::block_state::BlockState;
use super::desk::Begun;
use super::line_meant::AsRelease;
use super::names::half_boards;
use crate::leaves::pin_numbers;
use crate::view::{Form, FrameView, GameShots, GameView, MarkWord, NextBall, ScoreView, ShotMeant, ShotView};
use boardwise_search::aim;

/// The next ball of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Upcoming {
    /// Game, from 1 on; 0 where nothing is counted.
    pub game: u16,
    /// Frame; 0 where nothing is counted.
    pub frame: u8,
    /// Ball of the frame; 0 where nothing is counted.
    pub ball: u8,
    /// Where, if the record knows.
    pub lane: Option<LaneId>,
    /// What stands.
    pub deck: Deck,
}

/// The next ball; none once the block is complete. `pair` are the lanes on which the frames alternate.
pub fn upcoming(sheet: &Sheet, pair: Option<&[LaneId; 2]>) -> Option<Upcoming> {
    let same = sheet.lane.clone();
    if sheet.block.counting.scoring().is_none() {
        return Some(Upcoming { game: 0, frame: 0, ball: 0, lane: same, deck: Deck::FULL });
    }
    let begun = sheet.games.last().and_then(|game| Some((game.up_next()?, game.deck()?)));
    let games = sheet.games.len() as u16;
    let ((frame, ball), deck, game) = match begun {
        Some((place, deck)) => (place, deck, games),
        None if sheet.block.games.is_some_and(|most| games >= most) => return None,
        None => ((1, 1), Deck::FULL, games + 1),
    };
    // The first ball after a change of lanes is thrown where the change says; later frames alternate.
    let lane = if ball == 1 && !sheet.deliveries.is_empty() {
        let other = |lane: &LaneId| pair?.iter().find(|one| *one != lane).cloned();
        same.as_ref().and_then(other).or(same)
    } else {
        same
    };
    Some(Upcoming { game, frame, ball, lane, deck })
}

impl Upcoming {
    /// Whether it is thrown at a full rack as the first ball at it.
    pub fn is_first(&self, sheet: &Sheet) -> bool {
        let after_miss = sheet.games.last().filter(|_| self.ball > 1).and_then(|game| game.thrown().last());
        // A rack of which nothing fell stands full too, and so it does after a foul.
        self.deck == Deck::FULL && after_miss.is_none_or(|last| last.after.is_empty())
    }
}

/// The score of a sheet, as several answers hold it.
pub fn view(sheet: &Sheet, begun: Option<&Begun>) -> ScoreView {
    let next = upcoming(sheet, begun.map(|begun| &begun.lanes));
    let current = sheet.games.last();
    ScoreView {
        schema: Form,
        block: sheet.block.id.to_string(),
        bowler: sheet.bowler.to_string(),
        shots: sheet.deliveries.len(),
        games: sheet.games.iter().map(GameView::from).collect(),
        total: sheet.total(),
        score: current.map(Game::score),
        maximum: current.map(Game::maximum),
        minimum: current.map(Game::minimum),
        pace: current.and_then(Game::pace),
        next: next.as_ref().map(NextBall::from),
    }
}

impl From<&Upcoming> for NextBall {
    fn from(next: &Upcoming) -> Self {
        let pins = match next.deck {
            Deck::Pins(pins) => Some(pin_numbers(pins)),
            Deck::Count(_) => None,
        };
        Self {
            game: next.game,
            frame: next.frame,
            ball_of_frame: next.ball,
            lane: next.lane.as_ref().map(LaneId::to_string),
            pins,
        }
    }
}

/// What is certain of a game, and the marks that wait for their count. A score of nothing is said only where nothing fell: a strike that waits
/// for its count is no zero.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Certain {
    /// The score after the last frame that is certain; none before the first.
    pub score: Option<u16>,
    /// What the bowler is on.
    pub on: Option<&'static str>,
}

impl Certain {
    /// Of a game.
    pub fn of(game: &Game) -> Self {
        let frames = game.frames();
        let to_come = || frames.iter().filter(|frame| frame.cumulative.is_none());
        let strikes = to_come().flat_map(|frame| frame.balls.iter().flatten()).filter(|ball| ball.is_strike()).count();
        let on = match strikes {
            0 => to_come().any(|frame| frame.mark == Some(Mark::Spare)).then_some("on a spare"),
            1 => Some("on a strike"),
            _ => Some("on two strikes"),
        };
        let counted = frames.iter().any(|frame| frame.cumulative.is_some());
        Self { score: counted.then(|| game.score()), on }
    }

    /// In words, with others behind the score; none where nothing is certain yet.
    pub fn words(self, behind: &str) -> Option<String> {
        let score = self.score.map(|score| format!("{score}{behind}"));
        let words: Vec<String> = score.into_iter().chain(self.on.map(str::to_owned)).collect();
        (!words.is_empty()).then(|| words.join(", "))
    }
}

impl From<&Game> for GameView {
    fn from(game: &Game) -> Self {
        let frames = game.frames();
        Self { frames: frames.iter().map(FrameView::from).collect(), score: game.score(), complete: game.is_complete() }
    }
}

impl From<&Frame> for FrameView {
    fn from(frame: &Frame) -> Self {
        Self {
            frame: frame.number,
            signs: frame.balls.iter().flatten().map(boardwise_score::Thrown::sign).collect(),
            mark: frame.mark.map(MarkWord::from),
            points: frame.score,
            cumulative: frame.cumulative,
        }
    }
}

/// A shot of a sheet; `number` counts from 1.
pub fn shot_view(number: usize, delivery: &Delivery) -> ShotView {
    let Delivery { shot, thrown, .. } = delivery;
    let pins = match shot.roll {
        Roll::Standing(pins) => Some(pin_numbers(pins)),
        _ => None,
    };
    ShotView {
        shot: number,
        key: delivery.key.to_string(),
        at: delivery.at.to_string(),
        game: delivery.game,
        frame: thrown.map(|thrown| thrown.frame),
        ball_of_frame: thrown.map(|thrown| thrown.ball),
        pins,
        down: thrown.map(|thrown| thrown.down),
        foul: shot.roll == Roll::Foul,
        ball: delivery.ball.as_ref().map(boardwise_record::BallId::to_string),
        lane: delivery.lane.as_ref().map(LaneId::to_string),
        arrows_board: shot.arrows.map(|board| board.0),
        breakpoint_board: shot.breakpoint.map(|board| board.0),
        hit: shot.hit.map(|hit| hit.as_str()),
        felt: shot.felt.map(|felt| felt.as_str()),
    }
}

/// Every shot of a sheet.
pub fn shot_views(sheet: &Sheet) -> Vec<ShotView> {
    sheet.deliveries.iter().enumerate().map(|(k, one)| shot_view(k + 1, one)).collect()
}

/// Shots shown where nothing is counted.
const MOST_SHOWN: usize = 20;

/// The shots of a game, each with what was meant.
pub fn game_shots(state: &BlockState, game: u16) -> GameShots {
    let BlockState { desk, setting, sheet, lines, .. } = state;
    let own = &setting.seat.bowler;
    let meant = |delivery: &Delivery| {
        let lane = delivery.lane.as_ref().and_then(|lane| desk.begun.on_pair(lane))?;
        let release = lines.on(lane, Some(delivery.place)).release(&own.release);
        let (slide, look) = (own.slide_board(release.laydown).0, aim(&release).0);
        Some(format!("slide {}, look at {}", half_boards(slide), half_boards(look)))
    };
    let of_game = sheet.deliveries.iter().enumerate().filter(|(_, one)| one.game == game);
    let mut shots: Vec<ShotMeant> = of_game
        .map(|(k, one)| ShotMeant {
            shot: shot_view(k + 1, one),
            before: one.thrown.and_then(|thrown| match thrown.before {
                Deck::Pins(pins) => Some(pin_numbers(pins)),
                Deck::Count(_) => None,
            }),
            ball_id: one
                .ball
                .as_ref()
                .and_then(|ball| desk.begun.in_bag(ball))
                .and_then(|place| setting.event.seats[0].bag.bag.balls().get(place).map(|ball| ball.id.clone())),
            first: one.thrown.is_none_or(|thrown| thrown.first_at_rack),
            meant: meant(one),
        })
        .collect();
    if game == 0 {
        shots.drain(..shots.len().saturating_sub(MOST_SHOWN));
    }
    GameShots { schema: Form, block: desk.begun.block.to_string(), game, games: sheet.games.len(), shots }
}

/// What a shot did, in words.
pub fn shot_words(delivery: &Delivery) -> String {
    let stands = left_words(delivery);
    match delivery.thrown {
        Some(thrown) => format!("game {}, frame {}, ball {}: {stands}", delivery.game, thrown.frame, thrown.ball),
        None => stands,
    }
}

/// The same in few words, without game and ball.
pub fn shot_in_short(delivery: &Delivery) -> String {
    let stands = left_words(delivery);
    delivery.thrown.map_or_else(|| stands.clone(), |thrown| format!("{stands}, frame {}", thrown.frame))
}

/// What a shot left, in words.
fn left_words(delivery: &Delivery) -> String {
    match delivery.shot.roll {
        Roll::Foul => "foul".to_owned(),
        Roll::Down(down) => format!("{down} down"),
        Roll::Standing(_) if delivery.thrown.is_some_and(|thrown| thrown.is_strike()) => "strike".to_owned(),
        Roll::Standing(_) if delivery.thrown.is_some_and(|thrown| thrown.is_spare()) => "spare".to_owned(),
        Roll::Standing(pins) if pins.is_empty() => "all down".to_owned(),
        Roll::Standing(PinSet::ALL) => "all ten stand".to_owned(),
        Roll::Standing(pins) if pins.len() == 1 => format!("{pins} stands"),
        Roll::Standing(pins) => format!("{pins} stand"),
    }
}

/// The sheet's line, the score, and what comes next: for after a shot.
pub fn words(sheet: &Sheet, begun: &Begun) -> String {
    let mut text = String::new();
    if let Some(game) = sheet.games.last() {
        let pace = game.pace().map_or_else(|| "none yet".to_owned(), |pace| format!("{pace:.0}"));
        text = format!(
            "sheet    {game}\nscore    {} after game {}'s certain frames; pace {pace}; at most {}\n",
            game.score(),
            sheet.games.len(),
            game.maximum()
        );
        if sheet.games.len() > 1 {
            // Writing to a string cannot fail.
            let _ = writeln!(text, "block    {} in {} games so far", sheet.total(), sheet.games.len());
        }
    }
    text.push_str(&next_words(upcoming(sheet, Some(&begun.lanes)).as_ref()));
    text
}

/// What the next ball is, in words.
pub fn next_words(next: Option<&Upcoming>) -> String {
    let Some(next) = next else { return "next     the block is complete\n".to_owned() };
    let lane = next.lane.as_ref().map_or_else(String::new, |lane| format!(", {}", lane_words(lane)));
    let at = match next.deck {
        Deck::FULL => "a full rack".to_owned(),
        Deck::Pins(pins) => pins.to_string(),
        Deck::Count(count) => format!("{count} pins"),
    };
    match next.game {
        0 => format!("next     at {at}{lane}\n"),
        game => format!("next     game {game}, frame {}, ball {} at {at}{lane}\n", next.frame, next.ball),
    }
}

/// A lane as people call it: `start` puts the event's name before it.
pub fn lane_words(lane: &LaneId) -> &str {
    lane.as_str().rsplit_once(", ").map_or(lane.as_str(), |(_, name)| name)
}

#[cfg(test)]
mod tests {
    use boardwise_score::Scoring;

    use super::*;

    #[test]
    fn law_a_mark_that_waits_for_its_count_is_no_zero() {
        for (marks, words) in [
            ("", None),
            ("X", Some("on a strike")),
            ("9/", Some("on a spare")),
            ("XX", Some("on two strikes")),
            ("XXX", Some("30, on two strikes")),
            ("9/X", Some("20, on a strike")),
            ("X9/", Some("20, on a spare")),
            ("X9", Some("on a strike")),
            ("9", None),
            ("--", Some("0")),
            ("9-X", Some("9, on a strike")),
            ("9-9-", Some("18")),
            ("XXXXXXXXX9/", Some("259, on a spare")),
            ("XXXXXXXXXXX", Some("270, on two strikes")),
            ("XXXXXXXXXXXX", Some("300")),
        ] {
            let game = Game::from_marks(Scoring::Traditional, marks).unwrap();
            assert_eq!(Certain::of(&game).words("").as_deref(), words, "{marks}");
        }
        let game = Game::from_marks(Scoring::CurrentFrame, "X").unwrap();
        assert_eq!(Certain::of(&game).words("").as_deref(), Some("30"), "counted at once");
    }
}
