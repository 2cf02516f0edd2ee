//! The search for lines: what it finds, and what each line's spares come to.

use std::collections::BTreeMap;

use boardwise_ball::Ball;
use boardwise_pins::spare::Second;
use boardwise_score::Leave;
use boardwise_search::{
    Conditions, FirstBall, Line, Lines, Pocket, Progress, Search, SpareGame, Strikes, find_lines, rank_by_game,
};

use super::view::{EntrySpread, Form, LeaveView, LineAnswer, LineView, MissShares, PlaceView};
use super::{Failure, Scene, Work};
use boardwise_files::KitBall;

/// What a search found.
#[derive(Debug)]
pub struct Found {
    /// The lines, best first.
    pub lines: Lines,
    /// What counted as the pocket.
    pub pocket: Pocket,
    /// How long the search took.
    pub seconds: f64,
    /// What the bowler's spare ball does to what the lines leave.
    makes: BTreeMap<Leave, Second>,
}

impl Found {
    /// Searches a lane for lines that strike with a ball.
    ///
    /// # Errors
    /// If it is cancelled, or the table built in cannot be read.
    pub fn search(
        scene: &Scene,
        ball: &Ball,
        pocket: Pocket,
        search: &Search,
        work: Work<'_>,
    ) -> Result<Self, Failure> {
        let strikes = Strikes::new(boardwise_files::carry()?, ball, scene.bowler.hand, pocket);
        let (lines, seconds) = work.timed(|progress| {
            let conditions = Conditions::fresh(&scene.lane, ball, &scene.unknowns, search.seed);
            find_lines(&conditions, &scene.bowler, &strikes, search, progress)
        })?;
        Ok(Self { lines, pocket, seconds, makes: BTreeMap::new() })
    }

    /// Ranks the lines by the score of a game: what they leave, and how the bowler makes that.
    ///
    /// # Errors
    /// If it is cancelled, or a table built in cannot be read.
    pub fn weigh_spares(&mut self, scene: &Scene, search: &Search, progress: &Progress) -> Result<(), Failure> {
        self.makes = makes(scene, &self.lines, search, progress)?;
        let makes = &self.makes;
        rank_by_game(&mut self.lines, |leave| makes.get(&leave).copied().unwrap_or_default())?;
        Ok(())
    }

    /// The answer as a view.
    pub fn view(&self, scene: &Scene, one: &KitBall) -> LineAnswer {
        self.view_with(scene, one, |_, line| line)
    }

    /// The same with more to say of each line.
    pub fn view_with<L>(&self, scene: &Scene, one: &KitBall, more: impl Fn(&Line, LineView) -> L) -> LineAnswer<L> {
        let views = |lines: &[Line]| lines.iter().map(|line| line_view(scene, line, &self.makes)).collect::<Vec<_>>();
        let lines = &self.lines.lines;
        LineAnswer {
            schema: Form,
            lane: scene.lane_name.clone(),
            bowler: scene.bowler.name.clone(),
            ball: one.ball.id.clone(),
            finish: one.finish.clone(),
            boards_from: scene.bowler.hand.into(),
            lines: lines.iter().zip(views(lines)).map(|(line, view)| more(line, view)).collect(),
            other_hands: views(&self.lines.other_hands),
            spare_ball: scene.spare_ball().map(|ball| ball.id.clone()),
            throws: self.lines.throws,
            seconds: self.seconds,
        }
    }
}

/// What the bowler's spare ball does to everything these lines leave. What is rare gets a glance.
fn makes(
    scene: &Scene,
    found: &Lines,
    search: &Search,
    progress: &Progress,
) -> Result<BTreeMap<Leave, Second>, Failure> {
    const WORTH_A_LOOK: f64 = 0.002;
    let Some(ball) = scene.spare_ball() else { return Ok(BTreeMap::new()) };
    let mut shares: BTreeMap<Leave, f64> = BTreeMap::new();
    for one in found.lines.iter().filter_map(|line| line.first_ball.as_ref()).flat_map(|first| &first.leaves) {
        let share = shares.entry(one.leave).or_default();
        *share = share.max(one.share);
    }
    let conditions = Conditions::fresh(&scene.lane, ball, &scene.unknowns, search.seed);
    let game = SpareGame::new(boardwise_files::spares()?, conditions, ball, &scene.bowler, search);
    let (often, rare): (Vec<_>, Vec<_>) = shares.into_iter().partition(|(_, share)| *share >= WORTH_A_LOOK);
    let often: Vec<Leave> = often.into_iter().map(|(leave, _)| leave).collect();
    let seconds = game.seconds(&often, progress)?;
    let rare = rare.into_iter().map(|(leave, _)| (leave, game.glance(leave)));
    Ok(often.into_iter().zip(seconds).chain(rare).collect())
}

/// What a picture of these lines is called.
pub fn title(scene: &Scene, ball: &Ball) -> String {
    format!("{} on {}", ball.id, scene.lane_name)
}

fn line_view(scene: &Scene, line: &Line, makes: &BTreeMap<Leave, Second>) -> LineView {
    let entry = line.entry_board.map(|board| EntrySpread {
        board: board.0,
        angle_deg: line.entry_angle.map(|a| a.0),
        speed_mph: line.entry_speed.map(|s| s.0),
        mean_board: line.entry_spread.0.0,
        sd_boards: line.entry_spread.1,
        mean_angle_deg: line.angle_spread.0.0,
        sd_angle_deg: line.angle_spread.1,
    });
    let first = line.first_ball.as_ref();
    let make = |leave: &Leave| makes.get(leave).map(|second| second.make);
    let leaves =
        |first: &FirstBall| first.leaves.iter().map(|one| LeaveView::of(one, make(&one.leave))).collect::<Vec<_>>();
    LineView {
        rank: line.rank,
        slide_board: scene.bowler.slide_board(line.release.laydown).0,
        laydown: line.release.laydown.0,
        launch_deg: line.release.launch.0,
        arrows_board: line.arrows.0,
        breakpoint: (&line.breakpoint).into(),
        exit: line.exit.as_ref().map(PlaceView::from),
        entry,
        speed_mph: line.release.speed.0,
        rotation_deg: line.release.rotation.0,
        pocket_pct: 100.0 * line.pocket,
        pocket_error_pct: 100.0 * line.pocket_error,
        strike_pct: first.map(|first| 100.0 * first.strike),
        strike_se_pct: first.map(|first| 100.0 * first.strike_error),
        strike_sd_over_worlds_pct: 100.0 * line.worth_over_worlds,
        leaves: first.map(leaves),
        split_pct: first.map(|first| 100.0 * first.split()),
        mean_pins: first.map(FirstBall::pins),
        beyond_table_pct: first.map(|first| 100.0 * first.beyond_table),
        conversion_pct: line.game.map(|game| 100.0 * game.conversion),
        expected_score: line.game.map(|game| game.mean),
        expected_score_se: line.game.map(|game| game.error),
        score_sd: line.game.map(|game| game.sd),
        throws: line.throws,
        misses: MissShares {
            high_pct: 100.0 * line.misses.high,
            light_pct: 100.0 * line.misses.light,
            other_side_pct: 100.0 * line.misses.other_side,
            gutter_pct: 100.0 * line.misses.gutter,
        },
        miss_room: line.miss_room.into(),
    }
}

/// The two commonest misses.
pub fn misses(line: &Line) -> String {
    let m = &line.misses;
    let mut all = [(m.high, "high"), (m.light, "light"), (m.other_side, "other side"), (m.gutter, "gutter")];
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    let said: Vec<String> =
        all.iter().take(2).filter(|m| m.0 >= 0.005).map(|m| format!("{:.0}% {}", 100.0 * m.0, m.1)).collect();
    if said.is_empty() { "none".to_owned() } else { said.join(", ") }
}
