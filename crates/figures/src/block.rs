//! A block as it goes: strikes, feet and eyes, moves and balls, lane below lane.

use crate::colour::{Theme, UNDER_INK};
use crate::ends::{End, name_ends};
use crate::moves::{MoveMark, moves, sign, tell};
use crate::scale::{Rise, ticks_between};
use crate::scene::{Anchor, Drawing, Scene, Type, fit, number};
use boardwise_search::{Block, Outlook};

const WIDTH: f64 = 360.0;
/// Edges of the charts; to the right of them stand the names of the lines.
const LEFT: f64 = 34.0;
const RIGHT: f64 = 282.0;
/// Room before the first game, if the block does not begin on the fresh lane.
const PRACTICE: f64 = 28.0;
/// Ends of games closer than this are not all marked.
const CLOSEST: f64 = 6.0;
const STRIKES: f64 = 92.0;
const BOARDS: f64 = 108.0;
/// Height of a row of moves, of a ball, and of the words above a chart.
const MOVE_ROW: f64 = 11.0;
const BALL_ROW: f64 = 16.0;
const CAPTION: f64 = 21.0;

/// Draws a forecast of a block, one lane of the pair below the other. It shows strikes of the line found and of the fresh
/// lane's line, where feet and eyes go, the moves made by at least half of the runs, and the balls in use.
///
/// `lanes` are the numbers of the two. Games count to the right. Lines are means over the runs; bands are one standard
/// deviation to each side. `balls` names our balls in their order. A move is the mean over the runs that move, in boards:
/// "2 & 1 in" is feet 2 and eyes 1, away from the bowling hand.
pub fn block_picture(block: &Block, lanes: [u32; 2], balls: &[&str], title: &str, theme: Theme) -> Drawing {
    let courses = [0, 1].map(|lane| Course::of(block, lane));
    let scales = Scales::of(&courses);
    let height = 46.0 + courses.iter().map(Course::height).sum::<f64>();
    let mut scene = Scene::new(WIDTH, height, title, theme);
    let words = match block.runs.len() {
        0 => "nothing was forecast".to_owned(),
        1 => "one run: how much it may differ is not known".to_owned(),
        runs => format!("means of {runs} runs; bands: one standard deviation"),
    };
    scene.note(12.0, 37.0, &words, Anchor::Start);
    let mut top = 46.0;
    for (number, course) in lanes.into_iter().zip(&courses) {
        course.draw(&mut scene, top, number, &scales, balls);
        top += course.height();
    }
    scene.finish()
}

/// One lane of a block.
struct Course {
    runs: usize,
    stages: Vec<Outlook>,
    /// When the fresh line stops paying, run by run, soonest first; infinite where it pays to the end.
    pays: Vec<f64>,
    /// Place of each stage across.
    xs: Vec<f64>,
    moves: Vec<MoveMark>,
    /// The balls in use, in the order in which they come into use.
    balls: Vec<usize>,
}

/// Means and standard deviations, stage by stage.
struct Curve<'a> {
    name: &'a str,
    class: &'a str,
    colour: &'a str,
    dash: &'a str,
    values: Vec<(f64, f64)>,
}

impl<'a> Curve<'a> {
    /// Its name and last value, where it has any.
    fn end(&self, rise: Rise, in_words: impl Fn((f64, f64)) -> String) -> Option<End<'a>> {
        let last = *self.values.last()?;
        Some(End { name: self.name, colour: self.colour, value: in_words(last), y: rise.at(last.0) })
    }
}

/// What both lanes share, so that they can be compared.
struct Scales {
    most_strikes: f64,
    boards: (f64, f64),
}

impl Scales {
    fn of(lanes: &[Course]) -> Self {
        let stages = || lanes.iter().flat_map(|lane| &lane.stages);
        let strikes = stages().flat_map(|s| [s.strike.0 + s.strike.1, s.first.0]).fold(0.3, f64::max);
        let ends = |sign: f64| {
            let ends = stages().flat_map(|s| [s.laydown, s.arrows]).map(|(mean, sd)| sign * mean + sd);
            sign * ends.filter(|end| end.is_finite()).fold(f64::NEG_INFINITY, f64::max)
        };
        let (low, high) = (ends(-1.0), ends(1.0));
        let (low, high) = if low.is_finite() { (low, high) } else { (0.0, 40.0) };
        let more = (0.5 * (6.0 - (high - low))).max(0.7);
        Self { most_strikes: ((10.0 * strikes).ceil() / 10.0).min(1.0), boards: (low - more, high + more) }
    }
}

impl Course {
    fn of(block: &Block, lane: usize) -> Self {
        let stages = block.outlook(lane);
        let mut pays: Vec<f64> = block.pays_until(lane).into_iter().map(|end| end.unwrap_or(f64::INFINITY)).collect();
        pays.sort_by(f64::total_cmp);
        let xs = places(&stages);
        let moves = moves(in_use(&stages), &xs);
        let mut balls: Vec<usize> = Vec::new();
        for &(ball, _) in in_use(&stages).iter().flat_map(|stage| &stage.balls) {
            if !balls.contains(&ball) {
                balls.push(ball);
            }
        }
        Self { runs: block.runs.len(), stages, pays, xs, moves, balls }
    }

    fn move_rows(&self) -> usize {
        self.moves.iter().filter_map(|mark| mark.row).max().map_or(0, |last| last + 1)
    }

    fn height(&self) -> f64 {
        let rows = MOVE_ROW * self.move_rows() as f64 + BALL_ROW * self.balls.len() as f64;
        22.0 + 2.0 * CAPTION + STRIKES + BOARDS + 10.0 + rows + 42.0
    }

    fn draw(&self, scene: &mut Scene, top: f64, lane: u32, scales: &Scales, balls: &[&str]) {
        let palette = scene.palette;
        let kind = Type { size: 12.0, colour: palette.ink, bold: true, anchor: Anchor::Start };
        scene.text(12.0, top + 16.0, &format!("lane {lane}"), kind);
        // Lane numbers may have three digits.
        scene.note(74.0, top + 16.0, &self.pays_in_words(), Anchor::Start);
        let foot = top + 22.0 + CAPTION + STRIKES;
        let strikes = Rise { low: 0.0, high: scales.most_strikes, bottom: foot, height: STRIKES };
        let foot = foot + CAPTION + MOVE_ROW * self.move_rows() as f64 + BOARDS;
        let (low, high) = scales.boards;
        let boards = Rise { low, high, bottom: foot, height: BOARDS };
        self.ground(scene, strikes, "strikes, %", 100.0, self.move_rows());
        self.ground(scene, boards, "feet and eyes, boards; up is in", 1.0, self.move_rows());
        self.strikes(scene, strikes);
        self.boards(scene, boards);
        self.balls_used(scene, foot + 10.0, balls);
        self.games(scene, foot + 10.0 + BALL_ROW * self.balls.len() as f64);
    }

    /// A chart's ground with its scale; hairs where games end.
    fn ground(&self, scene: &mut Scene, rise: Rise, caption: &str, times: f64, rows: usize) {
        let palette = scene.palette;
        let top = rise.bottom - rise.height;
        scene.rect(LEFT, top, RIGHT - LEFT, rise.height, &format!("fill=\"{}\"", palette.lane));
        let above = if times > 1.0 { 0.0 } else { MOVE_ROW * rows as f64 };
        scene.note(LEFT, top - above - 5.0, caption, Anchor::Start);
        let hair = format!("stroke=\"{}\" stroke-width=\"0.5\"", palette.grid);
        for value in ticks_between(times * rise.low, times * rise.high, 5.0) {
            let y = rise.at(value / times);
            scene.line((LEFT, y), (RIGHT, y), &hair);
            scene.note(LEFT - 5.0, y + 3.5, &number(value), Anchor::End);
        }
        for x in self.game_ends().map(|(_, x)| x) {
            scene.line((x, top), (x, rise.bottom), &hair);
        }
    }

    fn strikes(&self, scene: &mut Scene, rise: Rise) {
        let palette = scene.palette;
        let found = self.curve("line found", ("found", palette.accent, ""), |s| s.strike);
        let first = self.curve("fresh line", ("first", palette.quiet, "4 3"), |s| s.first);
        self.band(scene, rise, &found);
        if let Some(k) = self.stops_paying() {
            let look = format!("class=\"pays\" stroke=\"{}\" stroke-width=\"1.4\"", palette.ink);
            let place = |curve: &Curve| (self.xs[k], rise.at(curve.values[k].0));
            scene.line(place(&found), place(&first), &look);
        }
        self.line(scene, rise, &first);
        self.line(scene, rise, &found);
        let per_cent = |(mean, sd): (f64, f64)| match sd {
            0.0 => format!("{:.0} %", 100.0 * mean),
            _ => format!("{:.0} ± {:.0} %", 100.0 * mean, 100.0 * sd),
        };
        name_ends(scene, rise, RIGHT, [found, first].iter().filter_map(|curve| curve.end(rise, per_cent)).collect());
    }

    fn boards(&self, scene: &mut Scene, rise: Rise) {
        let palette = scene.palette;
        let feet = self.curve("feet", ("feet", palette.ink, ""), |s| s.laydown);
        let eyes = self.curve("eyes", ("eyes", palette.traces[2], "7 3"), |s| s.arrows);
        let place = |mark: &MoveMark| (self.xs[mark.stage], rise.at(feet.values[mark.stage].0));
        let foot = |row: usize| rise.bottom - rise.height - MOVE_ROW * (self.move_rows() - row - 1) as f64;
        let told = || self.moves.iter().filter_map(|mark| Some((mark, foot(mark.row?))));
        let look = format!("class=\"stem\" stroke=\"{}\" stroke-width=\"0.8\"", palette.quiet);
        for (mark, to) in told() {
            let (x, y) = place(mark);
            scene.line((x, y), (x, to), &look);
        }
        for (mark, foot) in told() {
            tell(scene, mark, place(mark).0, foot);
        }
        for curve in [&eyes, &feet] {
            self.band(scene, rise, curve);
        }
        for curve in [&eyes, &feet] {
            self.line(scene, rise, curve);
        }
        for mark in &self.moves {
            sign(scene, place(mark), mark.feet_in);
        }
        let board = |(mean, sd): (f64, f64)| match sd {
            0.0 => format!("{mean:.1}"),
            _ => format!("{mean:.1} ± {sd:.1}"),
        };
        name_ends(scene, rise, RIGHT, [feet, eyes].iter().filter_map(|curve| curve.end(rise, board)).collect());
    }

    fn curve<'a>(
        &self,
        name: &'a str,
        (class, colour, dash): (&'a str, &'a str, &'a str),
        value: fn(&Outlook) -> (f64, f64),
    ) -> Curve<'a> {
        Curve { name, class, colour, dash, values: self.stages.iter().map(value).collect() }
    }

    fn band(&self, scene: &mut Scene, rise: Rise, curve: &Curve) {
        if curve.values.iter().all(|(_, sd)| *sd <= 0.0) {
            return;
        }
        let values = || curve.values.iter().zip(&self.xs);
        let side = |sign: f64| values().map(move |((mean, sd), x)| (*x, rise.at(mean + sign * sd)));
        let points: Vec<(f64, f64)> = side(1.0).chain(side(-1.0).rev()).collect();
        scene.polygon(&points, &format!("class=\"band\" fill=\"{}\" fill-opacity=\"0.16\"", curve.colour));
    }

    fn line(&self, scene: &mut Scene, rise: Rise, curve: &Curve) {
        let values = curve.values.iter().zip(&self.xs);
        let points: Vec<(f64, f64)> = values.map(|((mean, _), x)| (*x, rise.at(*mean))).collect();
        let Curve { class, colour, dash, .. } = curve;
        let look = format!("class=\"{class}\" stroke=\"{colour}\" stroke-width=\"2\" stroke-dasharray=\"{dash}\"");
        scene.polyline(&points, &look);
    }

    /// A row for each ball. The height of its bar is the share of the runs that use it.
    fn balls_used(&self, scene: &mut Scene, top: f64, names: &[&str]) {
        let palette = scene.palette;
        for (row, &ball) in self.balls.iter().enumerate() {
            let foot = top + BALL_ROW * (row as f64 + 1.0) - 2.0;
            let share = |stage: &Outlook| stage.balls.iter().find(|one| one.0 == ball).map_or(0.0, |one| one.1);
            scene.rect(LEFT, foot - 13.0, RIGHT - LEFT, 13.0, &format!("fill=\"{}\"", palette.lane));
            let used = in_use(&self.stages);
            for (k, stage) in used.iter().enumerate() {
                let (from, to) = (self.xs[k], self.xs.get(k + 1).copied().unwrap_or(RIGHT));
                let high = 13.0 * share(stage).clamp(0.0, 1.0);
                if high > 0.0 {
                    let look = format!("class=\"ball\" fill=\"{}\" fill-opacity=\"{UNDER_INK}\"", palette.accent);
                    scene.rect(from, foot - high, to - from, high, &look);
                }
            }
            let name = names.get(ball).map_or_else(|| format!("ball {}", ball + 1), |name| (*name).to_owned());
            let kind = Type { size: 10.0, colour: palette.ink, bold: false, anchor: Anchor::Start };
            scene.text(LEFT + 4.0, foot - 3.0, &fit(&name, 10.0, RIGHT - LEFT - 8.0), kind);
            let last = used.last().map_or(0.0, |stage| share(stage) * self.runs as f64).round();
            if self.runs > 1 {
                scene.note(RIGHT + 8.0, foot - 3.0, &format!("last: {last} of {}", self.runs), Anchor::Start);
            }
        }
    }

    fn games(&self, scene: &mut Scene, top: f64) {
        let look = format!("stroke=\"{}\" stroke-width=\"0.8\"", scene.palette.quiet);
        let before = self.stages.first().is_some_and(|stage| !stage.practised);
        let mut free = f64::NEG_INFINITY;
        if let (true, Some(&x)) = (before, self.xs.first()) {
            scene.line((x, top), (x, top + 4.0), &look);
            scene.note(x, top + 14.0, "fresh", Anchor::Middle);
            free = x + 18.0;
        }
        for (games, x) in self.game_ends().filter(|(_, x)| *x >= LEFT) {
            scene.line((x, top), (x, top + 4.0), &look);
            if x - 6.0 > free {
                scene.note(x, top + 14.0, &number(games), Anchor::Middle);
                free = x + 8.0;
            }
        }
        let zero = if self.stages.iter().any(before_games) { "; 0 is as the block begins" } else { "" };
        let words = format!("games bowled{zero}");
        scene.note(f64::midpoint(LEFT, RIGHT), top + 27.0, &words, Anchor::Middle);
    }

    /// Whole games and their places; of very many only some.
    fn game_ends(&self) -> impl Iterator<Item = (f64, f64)> {
        let games = self.stages.last().map_or(1.0, |stage| stage.games);
        let every = (games * CLOSEST / (RIGHT - LEFT - PRACTICE)).ceil().max(1.0);
        let whole = move |stage: &Outlook| stage.practised && stage.games % every == 0.0;
        self.stages.iter().zip(&self.xs).filter(move |(stage, _)| whole(stage)).map(|(stage, x)| (stage.games, *x))
    }

    /// The stage at which the fresh line has stopped paying in half of the runs.
    fn stops_paying(&self) -> Option<usize> {
        let middle = *self.pays.get(self.pays.len().checked_sub(1)? / 2)?;
        self.stages.iter().rposition(|stage| stage.games <= middle).filter(|_| middle.is_finite())
    }

    fn pays_in_words(&self) -> String {
        let (Some(&soonest), Some(&latest)) = (self.pays.first(), self.pays.last()) else { return String::new() };
        let middle = self.pays[(self.pays.len() - 1) / 2];
        if !middle.is_finite() {
            return "fresh line: less than 10 points behind to the end".to_owned();
        }
        let spread = match latest {
            _ if soonest >= latest => String::new(),
            f64::INFINITY => format!(" ({} to never)", number(soonest)),
            _ => format!(" ({} to {})", number(soonest), number(latest)),
        };
        let games = if middle > 1.0 { "games" } else { "game" };
        format!("fresh line: 10 points behind after {} {games}{spread}", number(middle))
    }
}

/// All stages but the last, after which no game follows; a single stage stays.
fn in_use(stages: &[Outlook]) -> &[Outlook] {
    &stages[..stages.len().saturating_sub(1).max(stages.len().min(1))]
}

/// Whether practice and the others' games are over, and no frame is bowled yet.
fn before_games(stage: &Outlook) -> bool {
    stage.practised && stage.games == 0.0
}

/// Places across: games to scale. If the block begins later, the fresh lane has room before them.
fn places(stages: &[Outlook]) -> Vec<f64> {
    let last = stages.last().map_or(1.0, |stage| stage.games).max(1e-6);
    let practice = stages.iter().any(before_games);
    let zero = LEFT + if practice { PRACTICE } else { 0.0 };
    let at = |stage: &Outlook| match stage {
        stage if practice && !stage.practised => LEFT,
        stage => zero + (RIGHT - zero) * stage.games / last,
    };
    stages.iter().map(at).collect()
}
