//! What the trade says of covers, cores and wear, each as a number.

use super::{Constants, ball, long_flat, moderate_41, over, plastic, short_flat, strong, turned, urethane, walled_40};
use boardwise_ball::{Ball, BallSpec, Blend, CoverKind, Surface};
use boardwise_lane::{Coating, Field, Film, Lane, Path, Release};
use boardwise_units::{Board, Degrees, Feet, Inches};

const REACTIVE: CoverKind = CoverKind::Reactive;

/// The strong reactive core sanded so.
pub fn sanded(grit: f64) -> Ball {
    strong(REACTIVE, Surface::sanded(grit))
}

/// The line over which the walled 40 ft pattern is asked.
pub fn walled_line() -> Release {
    over(25.0, 15.0)
}

/// Straight up 5 on the short flat pattern.
pub fn short_line() -> Release {
    over(8.0, 5.0)
}

fn long_line() -> Release {
    over(18.0, 12.0)
}

/// Flat 45 ft: how many boards farther the strong reactive ball sanded at 1000 comes in than urethane sanded at 500.
pub fn long_oil(c: &Constants) -> f64 {
    let end = |ball: &Ball| c.seen(&long_flat(), ball, &long_line()).end;
    end(&sanded(1000.0)) - end(&urethane(500.0))
}

/// Flat 32 ft, straight up 5, all on the strong core: urethane at 500 and 1000, reactive at 500, 1000, 2000 and polished.
pub fn short_oil(c: &Constants) -> [super::Seen; 6] {
    let of = |kind, surface| c.seen(&short_flat(), &strong(kind, surface), &short_line());
    let grit = Surface::sanded;
    [
        of(CoverKind::Urethane, grit(500.0)),
        of(CoverKind::Urethane, grit(1000.0)),
        of(REACTIVE, grit(500.0)),
        of(REACTIVE, grit(1000.0)),
        of(REACTIVE, grit(2000.0)),
        of(REACTIVE, Surface::polished()),
    ]
}

/// Walled 40 ft: the strong reactive ball at 500, 1000, 2000, 4000 and polished.
pub fn walled_by_surface(c: &Constants) -> [super::Seen; 5] {
    let grits = [500.0, 1000.0, 2000.0, 4000.0].map(Surface::sanded);
    let [a, b, d, e] = grits;
    [a, b, d, e, Surface::polished()].map(|surface| c.seen(&walled_40(), &strong(REACTIVE, surface), &walled_line()))
}

/// How far plastic ends from where it would going straight, boards: walled 40 and flat 32, each with a full hand and with 10 degrees.
pub fn plastic_hooks(c: &Constants) -> [[f64; 2]; 2] {
    let full = Release { laydown: Board(20.0), launch: Degrees(0.5), ..Release::default() };
    let end_over_end = Release { rotation: Degrees(10.0), ..full };
    let straight_m = Feet(60.0).to_metres() * full.launch.to_radians().tan();
    let straight = Board::from_metres(Board(20.0).to_metres() + straight_m).0;
    [walled_40(), short_flat()]
        .map(|lane| [full, end_over_end].map(|release| c.seen(&lane, &plastic(), &release).end - straight))
}

/// Where urethane sanded at 500 rolls on a lane without oil, feet; 61 if it does not.
pub fn urethane_rolls_on_dry(c: &Constants) -> f64 {
    let lane = Lane::new(Coating::Oil(Film { thickness_m: Field::constant(0.0), length: Feet(40.0) }));
    let release = Release { laydown: Board(10.0), launch: Degrees(3.0), ..Release::default() };
    c.seen(&lane, &urethane(500.0), &release).roll
}

/// Walled 40 ft: where one ball ends with its pin 2, 3 3/8, 4 1/2 and 5 1/2 inches from the axis point.
pub fn by_pin(c: &Constants) -> [f64; 4] {
    let of = |pin| ball(REACTIVE, Surface::sanded(2000.0), 2.50, 0.050, pin);
    [2.0, 3.375, 4.5, 5.5].map(|pin| c.seen(&walled_40(), &of(pin), &walled_line()).end)
}

/// Walled 40 ft: where a ball of this differential ends, inches.
pub fn by_differential(c: &Constants, differential: f64) -> f64 {
    let ball = ball(REACTIVE, Surface::sanded(2000.0), 2.50, differential, 4.0);
    c.seen(&walled_40(), &ball, &walled_line()).end
}

/// RG 2.48 and 2.65 on flat 32, walled 40 and flat 45: boards less hook of the second, and degrees less turned by 35 ft.
pub fn by_rg(c: &Constants) -> [[f64; 2]; 3] {
    let of = |rg| ball(REACTIVE, Surface::sanded(2000.0), rg, 0.045, 4.0);
    [(short_flat(), short_line()), (walled_40(), walled_line()), (long_flat(), long_line())].map(|(lane, release)| {
        let [low, high] = [2.48, 2.65].map(|rg| c.path(&lane, &of(rg), &release));
        let end = |path: &Path| path.rows[path.rows.len() - 1].board;
        [end(&low) - end(&high), turned(&low, 0, 35) - turned(&high, 0, 35)]
    })
}

/// What carrydown does to a reactive ball.
#[derive(Clone, Copy, Debug)]
pub struct Carried {
    /// Feet longer past the oil's end until it has turned three degrees there.
    pub longer_ft: f64,
    /// Boards more hook in all.
    pub more: f64,
    /// Mean film two feet past the end, a board to each side of the urethane's path, micrometres.
    pub film_um: f64,
}

/// After 18 urethane shots (sanded at 500, of this differential, 10 over 5) on flat 32 ft: a reactive ball over the parallel line whose
/// breakpoint lies on the urethane's board, or over the urethane's own line.
pub fn after_urethane(c: &Constants, differential: f64, reactive: &Ball, same_line: bool) -> Carried {
    let (fresh, line) = (short_flat(), over(10.0, 5.0));
    let soft = ball(CoverKind::Urethane, Surface::sanded(500.0), 2.60, differential, 4.5);
    let worn = c.worn(&fresh, &soft, &line, 18);
    let path = c.path(&fresh, &soft, &line);
    let mut release = line;
    for _ in 0..if same_line { 0 } else { 3 } {
        release.laydown.0 += path.breakpoint.board.0 - c.path(&fresh, reactive, &release).breakpoint.board.0;
    }
    let [before, now] = [&fresh, &worn].map(|lane| c.path(lane, reactive, &release));
    let end = |path: &Path| path.rows[path.rows.len() - 1].board;
    Carried {
        longer_ft: turns_within(&now, 32, 3.0) - turns_within(&before, 32, 3.0),
        more: end(&now) - end(&before),
        film_um: 1e6 * along(&worn, &path, 1.0, (33.0, 35.0)),
    }
}

/// Reactive balls that follow urethane: strong at 1000, and shiny weak.
pub fn followers() -> [Ball; 2] {
    [sanded(1000.0), ball(REACTIVE, Surface::polished(), 2.56, 0.035, 4.0)]
}

/// Feet past `from` in which the ball turns so many degrees.
fn turns_within(path: &Path, from: usize, degrees: f64) -> f64 {
    let Some(after) = (from + 1..path.rows.len()).find(|&k| turned(path, from, k) >= degrees) else { return f64::NAN };
    let (low, high) = (turned(path, from, after - 1), turned(path, from, after));
    after as f64 - (high - degrees) / (high - low) - from as f64
}

/// Mean film along a path between two distances, so many boards to each side, metres.
fn along(lane: &Lane, path: &Path, boards: f64, feet: (f64, f64)) -> f64 {
    let film = &lane.film().expect("an oiled lane").thickness_m;
    let rows = path.rows.iter().filter(|row| (feet.0..=feet.1).contains(&row.feet));
    let (sum, count) = rows.fold((0.0, 0.0), |(sum, count), row| {
        let across = (-4..=4).map(|k| Board(row.board + boards * f64::from(k) / 4.0));
        let films: f64 = across.map(|board| film.at(board.to_metres(), Feet(row.feet).to_metres())).sum();
        (sum + films / 9.0, count + 1.0)
    });
    sum / count
}

/// Share of the oil gone after so many shots of one bowler with a medium ball at 1500 over 14, so many boards to each side of the line, up to so
/// many feet.
pub fn gone(c: &Constants, shots: u64, boards: f64, feet: f64) -> f64 {
    let (fresh, medium) = (moderate_41(), ball(REACTIVE, Surface::sanded(1500.0), 2.52, 0.040, 4.0));
    let line = Release { laydown: Board(14.0), launch: Degrees(1.2), ..Release::default() };
    let (path, worn) = (c.path(&fresh, &medium, &line), c.worn(&fresh, &medium, &line, shots));
    1.0 - along(&worn, &path, boards, (0.0, feet)) / along(&fresh, &path, boards, (0.0, feet))
}

/// Moderate 41 ft: boards by which the strong ball at 1000 hooks more than worn to 4500, over three lines.
pub fn worn_cover(c: &Constants) -> [f64; 3] {
    [(18.0, 11.0), (22.0, 13.0), (26.0, 16.0)].map(|(laydown, arrows)| {
        let end = |grit| c.seen(&moderate_41(), &sanded(grit), &over(laydown, arrows)).end;
        end(1000.0) - end(4500.0)
    })
}

/// Moderate 41 ft, pads 4000, 2000, 1000: where the ball ends, and degrees turned by 38 ft.
pub fn by_pad(c: &Constants) -> [(f64, f64); 3] {
    [4000.0, 2000.0, 1000.0].map(|grit| {
        let path = c.path(&moderate_41(), &sanded(grit), &over(22.0, 13.0));
        (path.rows[60].board, turned(&path, 0, 38))
    })
}

/// Walled 40 ft: boards by which the same ball hooks more with oil 1.7 times as viscous (some 20 F colder).
pub fn cold_oil(c: &Constants) -> f64 {
    let mut cold = c.clone();
    assert!(cold.set("viscosity", 1.7 * c.get("viscosity")));
    let end = |c: &Constants| c.seen(&walled_40(), &sanded(2000.0), &walled_line()).end;
    end(&cold) - end(c)
}

/// Walled 40 ft, 18 shots of a reactive ball at 500 with this differential over 20 to 13: change of the oil on the line from 30 to 39 ft, as a
/// share.
pub fn back_half(c: &Constants, differential: f64) -> f64 {
    let (fresh, line) = (walled_40(), over(20.0, 13.0));
    let ball = ball(REACTIVE, Surface::sanded(500.0), 2.55, differential, 4.0);
    let (path, worn) = (c.path(&fresh, &ball, &line), c.worn(&fresh, &ball, &line, 18));
    along(&worn, &path, 2.0, (30.0, 39.0)) / along(&fresh, &path, 2.0, (30.0, 39.0)) - 1.0
}

/// Moderate 41 ft, a middling ball, 20 over 12: where it has turned a degree (end of skid) and where it rolls, feet; speed lost to 60 ft, mph.
pub fn typical(c: &Constants) -> [f64; 3] {
    let ball = ball(REACTIVE, Surface::sanded(2000.0), 2.52, 0.045, 4.0);
    let path = c.path(&moderate_41(), &ball, &over(20.0, 12.0));
    let lost = path.rows[0].speed.0 - path.rows[60].speed.0;
    [turns_within(&path, 0, 1.0), path.roll.map_or(61.0, |feet| feet.0), lost]
}

/// Moderate 41 ft, one ball as solid, hybrid and pearl at 2000: feet to half of the turn, and the most it turns within four feet, degrees.
pub fn by_blend(c: &Constants) -> [[f64; 2]; 3] {
    [Blend::Solid, Blend::Hybrid, Blend::Pearl].map(|blend| {
        let spec = BallSpec {
            blend,
            surface: Surface::sanded(2000.0),
            rg: Inches(2.50),
            differential: Inches(0.050),
            ..BallSpec::new("blend", REACTIVE)
        };
        let path = c.path(&moderate_41(), &Ball::new(spec).expect("a possible ball").0, &over(22.0, 13.0));
        let sharpest = (0..=56).map(|k| turned(&path, k, k + 4)).fold(0.0, f64::max);
        [turns_within(&path, 0, 0.5 * turned(&path, 0, 60)), sharpest]
    })
}
