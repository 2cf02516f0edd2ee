//! `boardwise new`: a lane, a ball, a bowler or an event as a commented file, from flags or from questions at the terminal.

pub mod arguments;
mod ask;

use std::path::Path;

use boardwise_figures::{Drawing, Theme};
use boardwise_files::start::{
    BallStart, BowlerStart, CoverStart, EventStart, FinishStart, LayoutStart, Manner, Pattern, SheetStart, StartRow,
    bag_of,
};
use boardwise_files::{Fault, Loaded, parse_bag, parse_bowler, parse_event, parse_lane, whole};
use boardwise_lane::{ContactLaw, Fineness, Release, throw};
use boardwise_session::read::Reading;
use boardwise_session::{ARROWS_FT, Scene, pictures};
use boardwise_units::{Board, Feet, Hand};

use super::flags::Output;
use super::{event, output, picture};
use crate::Failure;
use crate::place::place;
use arguments::{Ball, Bowler, Event, Lane, New, Place};
use ask::Asker;
use boardwise_session::at_lanes::desk;
use boardwise_session::own_release::OwnRelease;

pub(super) fn run(asked: &New) -> Result<(), Failure> {
    match asked {
        New::Lane(asked) => lane(asked),
        New::Ball(asked) => ball(asked),
        New::Bowler(asked) => bowler(asked),
        New::Event(asked) => new_event(asked),
    }
}

/// Refuses places that cannot be written, before any question.
fn checked(place: &Place, usual: &str) -> Result<std::path::PathBuf, Failure> {
    let path = place.file.clone().unwrap_or_else(|| usual.into());
    whole::check_new("FILE", &path, picture::existing(place.force))?;
    picture::check(&output_of(place))?;
    Ok(path)
}

fn output_of(place: &Place) -> Output {
    let Place { svg, png, force, theme, .. } = place.clone();
    Output { json: false, svg, png, force, theme, seed: 1 }
}

/// Writes the file and its picture, and says what to do with it.
fn written<T>(
    place: &Place,
    path: &Path,
    text: &str,
    loaded: Loaded<T>,
    then: &str,
    drawn: impl FnOnce(T, Theme) -> Result<Drawing, Failure>,
) -> Result<(), Failure> {
    let wanted = output_of(place);
    output::warn(&loaded.warnings);
    if picture::wanted(&wanted) {
        let theme = match place.theme {
            super::flags::Theme::Light => Theme::Light,
            super::flags::Theme::Dark => Theme::Dark,
        };
        let drawing = drawn(loaded.value, theme)?;
        picture::write(&wanted, |_| drawing)?;
    }
    whole::save(path, text.as_bytes(), picture::existing(place.force))?;
    output::print(&format!("Wrote {}. {then}\n", path.display()))
}

fn lane(asked: &Lane) -> Result<(), Failure> {
    let path = checked(&asked.place, "lane.toml")?;
    let ask = Asker::new(asked.place.defaults);
    let rows = asked.row.iter().map(|row| StartRow::read(row)).collect::<Result<Vec<_>, _>>()?;
    let text = if rows.is_empty() {
        let given = asked.pattern.as_deref();
        let mut words: Vec<(&str, String)> =
            Pattern::ALL.iter().map(|one| (one.word(), format!("{}: {}", one.title(), one.says()))).collect();
        words.push(("sheet", "My own sheet, typed row by row".to_owned()));
        match ask.choice("pattern", "What is on the lane?", given, &words)?.as_str() {
            "sheet" => sheet(&ask, asked, ask.rows()?)?.text(),
            word => Pattern::of(word).unwrap_or(Pattern::House).text(),
        }
    } else {
        sheet(&ask, asked, rows)?.text()
    };
    let name = path.to_string_lossy();
    let loaded = parse_lane(&name, text.as_bytes())?;
    let then = format!("Look at it: boardwise read --lane {name}");
    written(&asked.place, &path, &text, loaded, &then, |lane, theme| {
        Ok(Reading::seen(&lane, Hand::Right).picture(theme))
    })
}

fn sheet(ask: &Asker, asked: &Lane, rows: Vec<StartRow>) -> Result<SheetStart, Failure> {
    let name = ask.words("What is the sheet called?", asked.name.as_deref(), "My sheet")?;
    Ok(SheetStart { name, rows, total_microlitres: asked.total })
}

fn ball(asked: &Ball) -> Result<(), Failure> {
    let path = checked(&asked.place, "ball.toml")?;
    let ask = Asker::new(asked.place.defaults);
    let usual = BallStart::middling();
    let id = ask.words("What do you call the ball?", asked.id.as_deref(), "my-ball")?;
    let covers: Vec<(&str, String)> = CoverStart::ALL.iter().map(|one| (one.word(), one.word().to_owned())).collect();
    // A flag takes a sheet's words; at the terminal one is chosen.
    let cover = match &asked.cover {
        Some(words) => CoverStart::read(words)?,
        None => CoverStart::read(&ask.choice("cover", "What is the cover, by its sheet?", None, &covers)?)?,
    };
    let finish = FinishStart::read(&ask.words(
        "Its finish, as \"3000 grit\" or \"polished\"?",
        asked.finish.as_deref(),
        "2000 grit",
    )?)?;
    let weight_lb = ask.number("Weight in pounds?", asked.weight, usual.weight_lb)?;
    let rg_in = ask.number("RG (radius of gyration) of your weight, inches?", asked.rg, usual.rg_in)?;
    let differential_in =
        ask.number("Differential, inches? More makes more flare.", asked.differential, usual.differential_in)?;
    let intermediate_in =
        ask.number("Intermediate differential, inches? 0 for a symmetric core.", asked.intermediate, 0.0)?;
    let distances = (asked.pin_to_pap, asked.mass_bias_to_pap, asked.pin_buffer);
    let layout = match (&asked.layout, distances) {
        (None, (Some(pin), Some(bias), Some(buffer))) => LayoutStart::from_distances(pin, bias, buffer)?,
        (layout, _) => LayoutStart::read(&ask.words(
            "Layout: angle at the pin x inches from pin to axis point x angle at the axis point?",
            layout.as_deref(),
            "50 x 4.5 x 40",
        )?)?,
    };
    let games = ask.number("Games since the surface was prepared?", asked.games, 0.0)?;
    let says = "As its specification sheet says.".to_owned();
    let start =
        BallStart { id, weight_lb, cover, finish, rg_in, differential_in, intermediate_in, layout, games, says };
    let text = bag_of(&[start]);
    let name = path.to_string_lossy();
    let loaded = parse_bag(&name, text.as_bytes())?;
    let then = format!("Throw it: boardwise throw --ball {name}. Or copy it into your bag's file.");
    written(&asked.place, &path, &text, loaded, &then, |bag, theme| {
        let bowler = BowlerStart::newcomer(None, Hand::Right, Manner::Steady).text();
        thrown(&text_of(&bag)?, &bowler, theme)
    })
}

/// The first ball of a bag, alone; a throw of it is what its picture shows.
fn text_of(bag: &boardwise_files::KitBag) -> Result<boardwise_files::KitBall, Failure> {
    let first = bag.balls().next();
    first.ok_or_else(|| {
        Fault::Field { field: "ball", value: String::new(), allowed: "a bag has a ball".to_owned() }.into()
    })
}

/// A bowler from the shots of a record that film measured: printed, or written where a file is named.
fn measured(asked: &Bowler) -> Result<(), Failure> {
    let record = desk::open(&place(asked.record.as_deref())?)?;
    let text = OwnRelease::of(&record, asked.name.as_deref())?.text();
    let Some(path) = &asked.place.file else { return output::print(&text) };
    let path = checked(&asked.place, &path.to_string_lossy())?;
    bowler_written(&asked.place, &path, &text)
}

fn bowler(asked: &Bowler) -> Result<(), Failure> {
    if asked.from_record {
        return measured(asked);
    }
    let path = checked(&asked.place, "bowler.toml")?;
    let ask = Asker::new(asked.place.defaults);
    let hands = [("right", "Right".to_owned()), ("left", "Left".to_owned())];
    let hand = match ask.choice("hand", "Which hand bowls?", asked.hand.as_deref(), &hands)?.as_str() {
        "left" => Hand::Left,
        _ => Hand::Right,
    };
    let manners: Vec<(&str, String)> = Manner::ALL.iter().map(|one| (one.word(), one.title().to_owned())).collect();
    let manner = ask.choice("manner", "How do you throw? Numbers follow.", asked.manner.as_deref(), &manners)?;
    let manner = Manner::of(&manner).unwrap_or(Manner::Steady);
    let mut start = BowlerStart::newcomer(asked.name.as_deref(), hand, manner);
    start.name = ask.words("What is your name here?", asked.name.as_deref(), &start.name)?;
    start.speed_mph = ask.number("Speed as the ball leaves the hand, mph?", asked.speed, start.speed_mph)?;
    start.rev_rate_rpm = ask.number("Rev rate, turns a minute?", asked.revs, start.rev_rate_rpm)?;
    start.rotation_deg =
        ask.number("Axis rotation, degrees (0 end over end, 90 side roll)?", asked.rotation, start.rotation_deg)?;
    start.tilt_deg = ask.number("Axis tilt, degrees (0 is level)?", asked.tilt, start.tilt_deg)?;
    start.slide_offset_boards = ask.number(
        "Boards from the inner edge of the slide foot to the middle of the ball?",
        asked.slide_offset,
        start.slide_offset_boards,
    )?;
    let numbers = [asked.speed, asked.revs, asked.rotation, asked.tilt];
    let text = if ask.asks() || numbers.iter().any(Option::is_some) { start.typed().text() } else { start.text() };
    bowler_written(&asked.place, &path, &text)
}

/// Writes a bowler's file, with a middling ball from that hand as its picture.
fn bowler_written(place: &Place, path: &Path, text: &str) -> Result<(), Failure> {
    let name = path.to_string_lossy();
    let loaded = parse_bowler(&name, text.as_bytes())?;
    let then = format!("Your lines: boardwise line --bowler {name}");
    written(place, path, text, loaded, &then, |_, theme| {
        let bag = parse_bag("bag", bag_of(&[BallStart::middling()]).as_bytes())?.value;
        thrown(&text_of(&bag)?, text, theme)
    })
}

/// A ball from a bowler's hand on a house pattern.
fn thrown(ball: &boardwise_files::KitBall, bowler: &str, theme: Theme) -> Result<Drawing, Failure> {
    let lane = parse_lane("house", Pattern::House.text().as_bytes())?.value;
    let bag = parse_bag("bag", bag_of(&[BallStart::middling()]).as_bytes())?.value;
    let bowler = parse_bowler("bowler", bowler.as_bytes())?.value;
    let scene = Scene::new(lane, bag, vec![ball.clone()], bowler);
    let meant = Release { laydown: Board(19.0), ..scene.bowler.release }.aimed_at(Board(13.0), Feet(ARROWS_FT));
    let path = throw(&scene.lane, &ball.ball, &meant, &ContactLaw::default(), Fineness::default())?;
    let thrown = [(ball, path)];
    Ok(pictures::throws(&scene, &thrown, &[], theme))
}

fn new_event(asked: &Event) -> Result<(), Failure> {
    let path = checked(&asked.place, "event.toml")?;
    let ask = Asker::new(asked.place.defaults);
    let name = ask.words("What is the event called?", asked.name.as_deref(), "Practice")?;
    let lanes = ask.words("Which two lanes, as 11,12?", asked.lanes.as_deref(), "1,2")?;
    let refuse = |allowed: &str| Fault::Field { field: "lanes", value: lanes.clone(), allowed: allowed.to_owned() };
    let numbers: Vec<u32> = lanes.split([',', '-', ' ']).filter_map(|part| part.trim().parse().ok()).collect();
    let Ok(lanes) = <[u32; 2]>::try_from(numbers) else { return Err(refuse("two numbers, as 11,12").into()) };
    let pattern = ask.words(
        "Lane file beside this one, or a lane of the demo kit?",
        asked.pattern.as_deref(),
        "house-40-walled",
    )?;
    let other = asked.second_pattern.clone().unwrap_or_else(|| pattern.clone());
    let bowler = ask.words("Your file, or a bowler of the demo kit?", asked.bowler.as_deref(), "right-straighter")?;
    let bag = ask.words("Your bag's file, or demo?", asked.bag.as_deref(), "demo")?;
    let usual = EventStart::of(&bowler, &bag);
    let count = |words: &str, given: Option<u32>, usual: u32| {
        Ok::<u32, Failure>(ask.number(words, given.map(f64::from), f64::from(usual))? as u32)
    };
    let start = EventStart {
        name,
        lanes,
        patterns: [pattern, other],
        games: count("How many games?", asked.games, usual.games)?,
        games_before: count("Games of others on the same oil before you?", asked.games_before, 0)?,
        practice_shots: count("Practice throws on each lane?", asked.practice_shots, usual.practice_shots)?,
        ..usual
    };
    let text = start.text();
    let name = path.to_string_lossy();
    let loaded = parse_event(&name, text.as_bytes(), &event::fetch(path.parent()))?;
    let then = format!("The evening before: boardwise brief --event {name}");
    written(&asked.place, &path, &text, loaded, &then, |event, theme| {
        Ok(Reading::seen(&event.pairs[0].lanes[0], event.seats[0].bowler.hand).picture(theme))
    })
}
