//! A bag over a block: when which ball is the right one.

use crate::colour::{Theme, UNDER_INK};
use crate::scene::{Anchor, Drawing, Scene, Type, fit};
use boardwise_search::{Choice, Chosen, Weighed};

const WIDTH: f64 = 360.0;
/// Edges of the cells; to the right of them stands what a ball adds.
const LEFT: f64 = 12.0;
const RIGHT: f64 = 286.0;
const ADDS: f64 = 348.0;
/// Height of a heading, of a ball's name, of its cells, and of a ball in all.
const HEAD: f64 = 34.0;
const NAME: f64 = 15.0;
const CELL: f64 = 32.0;
const ROW: f64 = NAME + CELL + 8.0;
/// Pins behind at which a cell is no longer shaded: about what two strikes more or less are worth in a game.
const FAR: f64 = 20.0;
/// Narrower cells have no room for words.
const NARROW: f64 = 40.0;

/// Draws when each ball of a bag is the right one, stage by stage of the block: the set first, then the other balls, each
/// with its best surface.
///
/// A cell shows pins a game against the best of the set at that stage, as a mean over the worlds. Its bar shows in how many
/// worlds the ball is that best. On the right stand the pins a game that the set would lose without one of its balls, or gain
/// with another, with the standard error over the worlds. `balls` names ball and surface in the order of `weighed.prepared`.
pub fn bag_picture(weighed: &Weighed, choice: &Choice, balls: &[&str], title: &str, theme: Theme) -> Drawing {
    let table =
        Table { weighed, choice, stages: weighed.moments.iter().map(|m| m.games as usize + 1).max().unwrap_or(0) };
    let rest = table.rest();
    let rows = choice.set.len() + rest.len();
    let heads = 1.0 + if rest.is_empty() { 0.0 } else { 1.0 };
    let mut scene = Scene::new(WIDTH, 46.0 + HEAD * heads + ROW * rows as f64 + 56.0, title, theme);
    let worlds = match weighed.turnouts.len() {
        1 => "one world".to_owned(),
        worlds => format!("{worlds} worlds"),
    };
    let words =
        format!("a game: {:.1} with the set, {:.1} with the whole bag; {worlds}", choice.score, choice.whole_bag);
    scene.note(LEFT, 37.0, &words, Anchor::Start);
    let mut top = 46.0;
    table.head(&mut scene, &mut top, "the set", "adds, pins");
    for one in &choice.set {
        table.row(&mut scene, &mut top, one, Some(&one.best_at), balls);
    }
    if !rest.is_empty() {
        table.head(&mut scene, &mut top, "the rest, each at its best", "would add");
    }
    for one in &rest {
        table.row(&mut scene, &mut top, one, None, balls);
    }
    key(&mut scene, top + 12.0, theme);
    scene.finish()
}

struct Table<'a> {
    weighed: &'a Weighed,
    choice: &'a Choice,
    stages: usize,
}

impl Table<'_> {
    /// The score of a ball at a moment; 0 where it strikes nowhere, as when the set was chosen.
    fn score(&self, ball: usize, moment: usize) -> f64 {
        self.form(ball, moment).unwrap_or(0.0)
    }

    fn form(&self, ball: usize, moment: usize) -> Option<f64> {
        self.weighed.forms.get(ball)?.get(moment)?.as_ref().map(|form| form.game.mean)
    }

    fn best_of_set(&self, moment: usize) -> f64 {
        self.choice.set.iter().map(|one| self.score(one.ball, moment)).fold(0.0, f64::max)
    }

    /// Places of the moments of a stage.
    fn moments(&self, stage: usize) -> Vec<usize> {
        let moments = self.weighed.moments.iter().enumerate();
        moments.filter(|(_, moment)| moment.games as usize == stage).map(|(k, _)| k).collect()
    }

    /// The balls left out, each with the surface that scores best. What adds most comes first.
    fn rest(&self) -> Vec<Chosen> {
        let prepared = &self.weighed.prepared;
        let place = |ball: usize| prepared.get(ball).map(|one| one.place);
        let taken: Vec<Option<usize>> = self.choice.set.iter().map(|one| place(one.ball)).collect();
        let all = |ball: usize| (0..self.weighed.moments.len()).map(|m| self.score(ball, m)).sum::<f64>();
        let mut rest: Vec<usize> = Vec::new();
        for ball in (0..prepared.len()).filter(|&ball| !taken.contains(&place(ball))) {
            match rest.iter_mut().find(|other| place(**other) == place(ball)) {
                Some(other) if all(ball) > all(*other) => *other = ball,
                Some(_) => {}
                None => rest.push(ball),
            }
        }
        let mut rest: Vec<Chosen> = rest.into_iter().map(|ball| self.would_add(ball)).collect();
        rest.sort_by(|a, b| b.adds.total_cmp(&a.adds).then(all(b.ball).total_cmp(&all(a.ball))));
        rest
    }

    fn would_add(&self, ball: usize) -> Chosen {
        let moments = &self.weighed.moments;
        let gain = |m: usize| (self.score(ball, m) - self.best_of_set(m)).max(0.0);
        let of_turnout = |turnout: usize| {
            let here: Vec<usize> = (0..moments.len()).filter(|&m| moments[m].turnout == turnout).collect();
            here.iter().map(|&m| gain(m)).sum::<f64>() / here.len().max(1) as f64
        };
        let by_turnout: Vec<f64> = (0..self.weighed.turnouts.len()).map(of_turnout).collect();
        let count = by_turnout.len() as f64;
        let adds = by_turnout.iter().sum::<f64>() / count.max(1.0);
        let square = by_turnout.iter().map(|gain| (gain - adds).powi(2)).sum::<f64>();
        let adds_error = (by_turnout.len() > 1).then(|| (square / (count - 1.0) / count).sqrt());
        Chosen { ball, adds, adds_error, best_at: Vec::new() }
    }

    fn edges(&self, stage: usize) -> (f64, f64) {
        let wide = (RIGHT - LEFT) / self.stages.max(1) as f64;
        (LEFT + wide * stage as f64, LEFT + wide * (stage as f64 + 1.0) - 3.0)
    }

    fn head(&self, scene: &mut Scene, top: &mut f64, words: &str, adds: &str) {
        let kind = Type { size: 12.0, colour: scene.palette.ink, bold: true, anchor: Anchor::Start };
        scene.text(LEFT, *top + 14.0, words, kind);
        scene.note(RIGHT - 3.0, *top + 14.0, "games bowled", Anchor::End);
        for stage in 0..self.stages {
            let (from, to) = self.edges(stage);
            let words = if stage == 0 { "fresh".to_owned() } else { stage.to_string() };
            scene.note(f64::midpoint(from, to), *top + 30.0, &words, Anchor::Middle);
        }
        scene.note(ADDS, *top + 30.0, adds, Anchor::End);
        *top += HEAD;
    }

    fn row(&self, scene: &mut Scene, top: &mut f64, one: &Chosen, best_at: Option<&[f64]>, names: &[&str]) {
        let palette = scene.palette;
        let name = names.get(one.ball).map_or_else(|| format!("ball {}", one.ball + 1), |name| (*name).to_owned());
        let bold = best_at.is_some();
        let kind = Type { size: 11.0, colour: palette.ink, bold, anchor: Anchor::Start };
        scene.text(LEFT, *top + 11.0, &fit(&name, 11.0, WIDTH - 2.0 * LEFT), kind);
        let top_of_cells = *top + NAME;
        for stage in 0..self.stages {
            self.cell(scene, top_of_cells, one.ball, stage, best_at.and_then(|shares| shares.get(stage)).copied());
        }
        let kind = Type { size: 12.0, colour: palette.ink, bold, anchor: Anchor::End };
        scene.text(ADDS, top_of_cells + 14.0, &format!("{:.1}", one.adds), kind);
        if let Some(error) = one.adds_error {
            scene.note(ADDS, top_of_cells + 27.0, &format!("± {error:.1}"), Anchor::End);
        }
        *top += ROW;
    }

    fn cell(&self, scene: &mut Scene, top: f64, ball: usize, stage: usize, best: Option<f64>) {
        let palette = scene.palette;
        let (from, to) = self.edges(stage);
        let (wide, middle) = (to - from, f64::midpoint(from, to));
        let moments = self.moments(stage);
        let ahead = moments.iter().map(|&m| self.score(ball, m) - self.best_of_set(m)).sum::<f64>()
            / moments.len().max(1) as f64;
        let known = moments.iter().any(|&m| self.form(ball, m).is_some());
        scene.rect(from, top, wide, CELL, &format!("fill=\"{}\"", palette.lane));
        if known {
            let look = format!("class=\"cell\" fill=\"{}\" fill-opacity=\"{:.2}\"", palette.accent, shade(ahead));
            scene.rect(from, top, wide, CELL, &look);
        }
        let words = match known {
            true => pins(ahead),
            false if wide < NARROW => "none".to_owned(),
            false => "no line".to_owned(),
        };
        let raised = if best.is_some_and(|share| share > 0.0) { 13.0 } else { 20.0 };
        let kind = Type { size: 11.0, colour: palette.ink, bold: known, anchor: Anchor::Middle };
        scene.text(middle, top + raised, &words, kind);
        let Some(share) = best.filter(|share| *share > 0.0) else { return };
        let count = (share * moments.len() as f64).round();
        let words = match wide {
            60.0.. => format!("best {count} of {}", moments.len()),
            NARROW.. => format!("{count} of {}", moments.len()),
            _ => count.to_string(),
        };
        let kind = Type { size: 10.0, colour: palette.ink, bold: false, anchor: Anchor::Middle };
        scene.text(middle, top + 25.0, &words, kind);
        let look = format!("class=\"best\" fill=\"{}\"", palette.ink);
        scene.rect(from, top + CELL - 3.0, wide * share.clamp(0.0, 1.0), 3.0, &look);
    }
}

/// How strongly a cell is shaded, by the pins that its ball is ahead of the set's best; not at all from [`FAR`] behind.
fn shade(ahead: f64) -> f64 {
    UNDER_INK * (1.0 + ahead / FAR).clamp(0.0, 1.0)
}

/// Pins ahead or behind: to the tenth below ten, else in whole pins.
fn pins(ahead: f64) -> String {
    let size = ahead.abs();
    let sign = if ahead < 0.0 { "−" } else { "+" };
    match size {
        ..0.05 => "0".to_owned(),
        ..9.95 => format!("{sign}{size:.1}"),
        _ => format!("{sign}{size:.0}"),
    }
}

fn key(scene: &mut Scene, y: f64, theme: Theme) {
    let palette = theme.palette();
    let bar = (LEFT + 118.0, LEFT + 218.0);
    scene.note(bar.0 - 6.0, y + 8.0, &format!("{FAR} pins behind"), Anchor::End);
    scene.rect(bar.0, y, bar.1 - bar.0, 9.0, &format!("fill=\"{}\"", palette.lane));
    for k in 0..10 {
        let look =
            format!("fill=\"{}\" fill-opacity=\"{:.2}\"", palette.accent, UNDER_INK * (f64::from(k) + 0.5) / 10.0);
        scene.rect(bar.0 + 10.0 * f64::from(k), y, 10.0, 9.0, &look);
    }
    scene.note(bar.1 + 6.0, y + 8.0, "the set’s best", Anchor::Start);
    scene.rect(LEFT, y + 21.0, 24.0, 3.0, &format!("fill=\"{}\"", palette.ink));
    scene.note(LEFT + 32.0, y + 26.0, "and the figure above it: worlds in which it is the set’s best", Anchor::Start);
}
