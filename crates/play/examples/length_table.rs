//! Best lines by pattern length and ball, for a typical bowler on flat patterns: the table of docs/calibration.md.

use ball::{Ball, BallSpec, CoverKind, Surface};
use lane::{Coating, Direction, Film, Finish, Lane, Release, Stroke};
use measure::{Degrees, Hand, Inches, Microlitres, Mph, Rpm};
use play::{Bowler, Hit, Payoff, Pocket, Range, Search, Spread, find_lines};

/// A pattern with heads of about 60 units and `outside` of the middle's oil on the outer boards.
fn pattern(length: f64, outside: f64) -> Lane {
    let stroke = |boards, feet, ul: f64| Stroke { boards, feet, oil: Microlitres(ul), direction: Direction::Out };
    let mut strokes = Vec::new();
    // Volume per foot falls toward the end: a base over all of it, more over the first two thirds, most in the heads.
    for (end, per_foot) in [(1.0, 320.0), (0.7, 420.0), (0.35, 800.0)] {
        let ul = per_foot * end * length;
        strokes.push(stroke((1.0, 39.0), (0.0, end * length), ul * outside));
        strokes.push(stroke((9.0, 31.0), (0.0, end * length), ul * (1.0 - outside) * 23.0 / 39.0));
    }
    Lane::new(Coating::Oil(Film::from_strokes(&strokes, 1.5).unwrap()))
}

fn balls() -> Vec<(&'static str, Ball)> {
    let spec = |id: &str, cover, surface, rg: f64, differential: f64| {
        let spec = BallSpec { surface, rg: Inches(rg), differential: Inches(differential), ..BallSpec::new(id, cover) };
        Ball::new(spec).unwrap().0
    };
    vec![
        ("urethane", spec("u", CoverKind::Urethane, Surface::sanded(1000.0), 2.55, 0.030)),
        ("dull strong", spec("d", CoverKind::Reactive, Surface::sanded(1500.0), 2.48, 0.050)),
        ("shiny weak", spec("s", CoverKind::Reactive, Surface::polished(), 2.56, 0.035)),
    ]
}

/// The pocket entered at an angle that carries: the published best is 4 to 6 degrees.
struct Angled(Pocket);

impl Payoff for Angled {
    fn hit(&self, finish: &Finish) -> Hit {
        self.0.hit(finish)
    }

    fn worth(&self, finish: &Finish) -> f64 {
        let carries = finish.touch.is_some_and(|touch| (4.0..=6.0).contains(&touch.angle().0));
        if carries { self.0.worth(finish) } else { 0.0 }
    }
}

fn main() {
    let bowler = Bowler {
        name: "typical".into(),
        hand: Hand::Right,
        release: Release { speed: Mph(18.0), rev_rate: Rpm(350.0), rotation: Degrees(45.0), ..Release::default() },
        spread: Spread::default(),
        range: Range { speed: (Mph(18.0), Mph(18.0)), rotation: (Degrees(45.0), Degrees(45.0)) },
    };
    for outside in [0.8, 0.2] {
        for length in [32.0, 35.0, 38.0, 40.0, 42.0, 45.0] {
            let lane = pattern(length, outside);
            let film = lane.film().unwrap();
            println!(
                "-- {length} ft, outside {outside}: {:.1} mL ratio {:.1} heads {:.0} units, exit rule {:.0}",
                film.volume().0 / 1000.0,
                film.ratio().unwrap(),
                film.boards_at(measure::Feet(5.0))[19].0,
                length - 31.0
            );
            for (name, ball) in balls() {
                let start = std::time::Instant::now();
                let found = find_lines(
                    &lane,
                    &ball,
                    &bowler,
                    &Angled(Pocket::default()),
                    &Search { lines: 2, ..Search::default() },
                    &|_| (),
                );
                for l in &found.lines {
                    let e = l.exit.map_or(0.0, |p| p.board.0);
                    println!(
                        "{name:12} lay {:4.1} launch {:4.2} arrows {:4.1} bp {:4.1}@{:2.0} exit {e:4.1} entry {:4.1} {:3.1}deg pocket {:4.1}% high {:2.0} light {:2.0} gut {:2.0} room {:.1}/{:.1}  ({} throws {:.2}s)",
                        l.release.laydown.0,
                        l.release.launch.0,
                        l.arrows.0,
                        l.breakpoint.board.0,
                        l.breakpoint.feet.0,
                        l.entry_board.map_or(0.0, |b| b.0),
                        l.entry_angle.map_or(0.0, |b| b.0),
                        l.pocket * 100.0,
                        100.0 * l.misses.high,
                        100.0 * l.misses.light,
                        100.0 * l.misses.gutter,
                        l.miss_room.hand_boards,
                        l.miss_room.away_boards,
                        found.throws,
                        start.elapsed().as_secs_f64()
                    );
                }
            }
        }
    }
}
