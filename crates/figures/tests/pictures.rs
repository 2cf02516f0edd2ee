//! What must hold for every picture, and pictures kept as they are.

use crate::sample;
use boardwise_figures::{DrawError, Drawing, LanePicture, Theme, Trace, WideLane, film_by_board, pocket_map};
use boardwise_lane::{Coating, Film, Lane, Reading};
use boardwise_search::WorthMap;
use boardwise_units::{Board, Feet, Hand, OilUnits};

/// The lane's edges, foul line and head pin as drawn for a right-hander, and the picture's width.
const LANE_X: (f64, f64) = (36.0, 250.5);
const LANE_Y: (f64, f64) = (118.0, 658.0);
const WIDTH: f64 = 360.0;

fn picture(hand: Hand, theme: Theme, lane: &Lane, traces: &[Trace]) -> Drawing {
    LanePicture { lane, hand, title: "A lane", traces, band: None, window: None, standing: None }.draw(theme)
}

/// Values of an attribute of all elements of a class.
fn attributes<'a>(svg: &'a str, class: &str, name: &str) -> Vec<&'a str> {
    let (class, name) = (format!("class=\"{class}\""), format!(" {name}=\""));
    svg.lines()
        .filter(|line| line.contains(&class))
        .map(|line| {
            let from = line.find(&name).expect("the attribute") + name.len();
            &line[from..from + line[from..].find('"').expect("its end")]
        })
        .collect()
}

fn points(svg: &str, class: &str) -> Vec<(f64, f64)> {
    let lists = attributes(svg, class, "points");
    lists
        .iter()
        .flat_map(|list| list.split(' '))
        .map(|pair| {
            let (x, y) = pair.split_once(',').expect("x,y");
            (x.parse().expect("a number"), y.parse().expect("a number"))
        })
        .collect()
}

/// A lane small enough to keep as a snapshot: one even stripe of oil.
fn plain_lane() -> Lane {
    let reading =
        Reading { feet: 20.0, film: vec![(9.0, OilUnits(0.0)), (11.0, OilUnits(24.0)), (39.0, OilUnits(24.0))] };
    Lane::new(Coating::Oil(Film::from_readings(&[reading], Some(Feet(38.0))).expect("a film")))
}

fn plain_map() -> WorthMap {
    sample::map(5, 4)
}

#[test]
fn law_the_other_hand_mirrors_every_place() {
    let lane = sample::lane();
    let path = sample::path(&lane, 20.0, 12.0, 380.0);
    let traces = [Trace { label: "ball", path: &path }];
    let band = sample::band(&lane, 20.0, 12.0, 380.0);
    let draw = |hand| {
        LanePicture { lane: &lane, hand, title: "", traces: &traces, band: Some(&band), window: None, standing: None }
            .draw(Theme::Light)
    };
    let (right, left) = (draw(Hand::Right), draw(Hand::Left));
    for class in ["trace", "band", "breakpoint"] {
        let (mut a, mut b) = (points(right.svg(), class), points(left.svg(), class));
        assert!(!a.is_empty() && a.len() == b.len());
        for point in &mut b {
            point.0 = WIDTH - point.0;
        }
        let order = |p: &(f64, f64), q: &(f64, f64)| p.1.total_cmp(&q.1).then((p.0).total_cmp(&q.0));
        // A symmetrical sign lists its corners from the same side in both.
        if class == "breakpoint" {
            a.sort_by(order);
            b.sort_by(order);
        }
        for (a, b) in a.iter().zip(&b) {
            assert!((a.0 - b.0).abs() < 0.011 && (a.1 - b.1).abs() < 1e-9, "{class}: {a:?} {b:?}");
        }
    }
    let hand_side = points(right.svg(), "trace").iter().map(|p| p.0).fold(0.0, f64::max);
    assert!(hand_side > 200.0, "the breakpoint of a right-hander lies on the right: {hand_side}");
}

#[test]
fn law_the_other_hand_mirrors_the_film() {
    let film = sample::lane();
    let film = film.film().expect("oil");
    let draw = |hand| film_by_board(film, hand, &[10.0, 30.0], "", Theme::Dark);
    let (right, left) = (draw(Hand::Right), draw(Hand::Left));
    let (a, b) = (points(right.svg(), "profile"), points(left.svg(), "profile"));
    assert_eq!(a.len(), 2 * 2 * 39);
    assert_eq!(a.len(), b.len());
    for (a, b) in a.iter().zip(&b) {
        assert!((a.0 + b.0 - WIDTH).abs() < 0.011 && (a.1 - b.1).abs() < 1e-9);
    }
}

#[test]
fn law_text_is_escaped() {
    let hostile = "</text><script>alert(\"1\")</script> & 'more' \u{1}";
    let lane = plain_lane();
    let path = sample::path(&lane, 15.0, 9.0, 300.0);
    let traces = [Trace { label: "<b&\">", path: &path }];
    let film = lane.film().expect("oil");
    for drawing in [
        LanePicture {
            lane: &lane,
            hand: Hand::Right,
            title: hostile,
            traces: &traces,
            band: None,
            window: None,
            standing: None,
        }
        .draw(Theme::Light),
        film_by_board(film, Hand::Right, &[10.0], hostile, Theme::Light),
        pocket_map(&plain_map(), &[], hostile, Theme::Light),
    ] {
        let svg = drawing.svg();
        assert!(!svg.contains("<script") && !svg.contains("<b") && !svg.contains('\u{1}'));
        assert!(svg.contains("<title>&lt;/text&gt;&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt; &amp; &#39;more"));
        // What is not well-formed is refused here.
        drawing.png(90).expect("a readable picture");
    }
}

#[test]
fn law_paths_stay_in_the_lane_and_its_gutters() {
    let lane = sample::lane();
    let throws = [(20.0, 12.0, 380.0), (12.0, 3.0, 250.0), (5.0, 1.0, 250.0), (30.0, 33.0, 300.0)];
    let paths = throws.map(|(laydown, arrows, revs)| sample::path(&lane, laydown, arrows, revs));
    assert!(paths.iter().any(|path| path.gutter.is_some()), "one of them finds the gutter");
    let traces: Vec<Trace> = paths.iter().map(|path| Trace { label: "t", path }).collect();
    let wild = [vec![(-50.0, -3.0), (f64::NAN, 10.0), (90.0, 80.0)]];
    for hand in [Hand::Right, Hand::Left] {
        let picture = LanePicture {
            lane: &lane,
            hand,
            title: "",
            traces: &traces,
            band: Some(&wild),
            window: None,
            standing: None,
        };
        let drawing = picture.draw(Theme::Dark);
        let (low, high) = match hand {
            Hand::Right => LANE_X,
            Hand::Left => (WIDTH - LANE_X.1, WIDTH - LANE_X.0),
        };
        assert!(!drawing.svg().contains("NaN") && !drawing.svg().contains("inf"));
        for class in ["trace", "band"] {
            for (x, y) in points(drawing.svg(), class) {
                assert!((low - 3.0..=high + 3.0).contains(&x) && (LANE_Y.0..=LANE_Y.1).contains(&y), "{x} {y}");
            }
        }
        assert!(drawing.svg().len() < 200_000);
    }
}

#[test]
fn law_a_path_ends_where_it_touches_a_pin() {
    let lane = sample::lane();
    let path = sample::path(&lane, 20.0, 12.0, 380.0);
    let touch = path.touch.expect("it reaches the pins");
    let drawing = picture(Hand::Right, Theme::Light, &lane, &[Trace { label: "t", path: &path }]);
    let (x, y) = *points(drawing.svg(), "trace").last().expect("a point");
    let board = 0.5 + (LANE_X.1 - x) / 5.5;
    let feet = 60.0 * (LANE_Y.1 - y) / (LANE_Y.1 - LANE_Y.0);
    assert!((board - Board::from_metres(touch.entry.x_m).0).abs() < 0.01);
    assert!((feet - Feet::from_metres(touch.entry.y_m).0).abs() < 0.01);
}

#[test]
fn law_the_raster_has_its_size_words_and_colours() {
    let lane = plain_lane();
    let full = picture(Hand::Right, Theme::Light, &lane, &[]);
    let png = full.png(180).expect("a raster");
    let raster = resvg::tiny_skia::Pixmap::decode_png(&png).expect("a PNG");
    assert_eq!((raster.width(), raster.height()), (180, 349));
    let mut colours: Vec<_> = raster.pixels().iter().map(|p| (p.red(), p.green(), p.blue())).collect();
    colours.sort_unstable();
    colours.dedup();
    assert!(colours.len() > 50, "{}", colours.len());
    // The title is drawn with the font that comes along: its ink is there.
    let dark = |x: u32, y: u32| raster.pixel(x, y).is_some_and(|p| p.red() < 90);
    let ink = (6..60).flat_map(|x| (4..14).map(move |y| (x, y))).filter(|&(x, y)| dark(x, y)).count();
    assert!(ink > 20, "{ink}");
    let film = lane.film().expect("oil");
    let many: Vec<f64> = (0..600).map(|k| f64::from(k) / 10.0).collect();
    assert!(matches!(film_by_board(film, Hand::Right, &many, "", Theme::Light).png(8000), Err(DrawError::Width(8000))));
    for wrong in [0, 100_000] {
        assert!(matches!(full.png(wrong), Err(DrawError::Width(w)) if w == wrong));
    }
}

#[test]
fn law_the_overlay_is_small_and_lies_where_the_picture_has_it() {
    let lane = sample::lane();
    let path = sample::path(&lane, 20.0, 12.0, 380.0);
    let traces = [Trace { label: "ball", path: &path }];
    let band = sample::band(&lane, 20.0, 12.0, 380.0);
    for hand in [Hand::Right, Hand::Left] {
        for width in [336.0, 1180.0] {
            let picture = WideLane {
                lane: &lane,
                hand,
                title: "A lane",
                traces: &traces,
                rows: 1,
                band: Some(&band),
                width,
                most: None,
            };
            let (whole, over) = (picture.draw(Theme::Light), picture.overlay(Theme::Light));
            assert_eq!(whole.size(), over.size());
            assert!((whole.size().0 - width).abs() < 1e-9, "it is drawn as wide as it is shown");
            for class in ["trace", "band", "breakpoint"] {
                assert!(!points(over.svg(), class).is_empty() && points(whole.svg(), class).is_empty(), "{class}");
            }
            assert!(!over.svg().contains("class=\"oil\"") && whole.svg().contains("class=\"oil\""));
            for drawn in [&whole, &over] {
                let sizes = drawn.svg().split("font-size=\"").skip(1).filter_map(|rest| rest.split('"').next());
                for size in sizes {
                    assert!(size.parse::<f64>().expect("a size") >= 12.0, "{size} at {width}");
                }
            }
            // Board 1 lies on the bowling hand's side: below for a right-hander.
            let [one, last] = [1.0, 39.0].map(|board| picture.place(Board(board), Feet(0.0)).1);
            assert_eq!(one > last, hand == Hand::Right);
            // A page that forbids inline style may show both.
            assert!(!whole.svg().contains("style") && !over.svg().contains("style"));
            // The row of numbers under the lane is in it.
            assert!(
                whole.svg().len() < 60_000 && over.svg().len() < 6_600,
                "{} {}",
                whole.svg().len(),
                over.svg().len()
            );
        }
    }
}

#[test]
fn law_every_line_found_is_marked_inside_the_map_and_apart() {
    let lines: Vec<_> = (0..6)
        .map(|k| sample::line(18.0 + 0.1 * f64::from(k), 1.3, 0.8))
        .chain([sample::line(99.0, -40.0, 0.1)])
        .collect();
    let drawing = pocket_map(&sample::map(61, 57), &lines, "", Theme::Dark);
    let read =
        |name| -> Vec<f64> { attributes(drawing.svg(), "mark", name).iter().map(|v| v.parse().unwrap()).collect() };
    // One on the map and one in the list for each.
    let marks: Vec<(f64, f64)> = read("cx").into_iter().zip(read("cy")).collect();
    assert_eq!(marks.len(), 2 * lines.len());
    for (k, a) in marks.iter().enumerate() {
        assert!((44.0..=346.0).contains(&a.0));
        for b in &marks[..k] {
            assert!((a.0 - b.0).hypot(a.1 - b.1) > 16.0, "{a:?} {b:?}");
        }
    }
    assert!(drawing.svg().len() < 200_000);
}

#[test]
fn law_only_the_pins_that_stand_are_drawn_as_pins() {
    let lane = plain_lane();
    let left = "3-10".parse().expect("pins");
    let draw = |hand, standing| {
        LanePicture { lane: &lane, hand, title: "", traces: &[], band: None, window: None, standing }.draw(Theme::Light)
    };
    let (all, some) = (draw(Hand::Right, None), draw(Hand::Right, Some(left)));
    assert_eq!(attributes(all.svg(), "pin", "cx").len(), 10);
    let places: Vec<f64> = attributes(some.svg(), "pin", "cx").iter().map(|x| x.parse().expect("a number")).collect();
    assert_eq!(places.len(), 2);
    // The 3 and the 10 stand to the right of the middle, whichever hand bowls.
    let middle = |hand: Hand| if hand == Hand::Right { 143.25 } else { WIDTH - 143.25 };
    let other = draw(Hand::Left, Some(left));
    let mirrored = attributes(other.svg(), "pin", "cx");
    assert!(places.iter().all(|x| *x > middle(Hand::Right)));
    assert!(mirrored.iter().all(|x| x.parse::<f64>().expect("a number") > middle(Hand::Left)));
    // At a spare there is no entry window.
    let windows = |drawing: &Drawing| drawing.svg().matches("class=\"window\"").count();
    assert_eq!((windows(&all), windows(&some)), (1, 0));
}

#[test]
fn law_empty_and_odd_input_still_draws() {
    let lane = Lane::new(Coating::Step { low: 0.04, high: 0.2, middle: Feet(40.0), width: Feet(2.0) });
    assert!(picture(Hand::Left, Theme::Dark, &lane, &[]).svg().contains(">friction<"));
    let oiled = plain_lane();
    let film = oiled.film().expect("oil");
    for feet in [&[][..], &[f64::NAN, -1.0, 61.0][..]] {
        film_by_board(film, Hand::Right, feet, "", Theme::Light).png(90).expect("a picture");
    }
    for (laydown, launch_deg, pocket) in [
        (vec![], vec![], vec![]),
        (vec![1.0], vec![1.0], vec![0.5]),
        (vec![1.0, 2.0], vec![1.0], vec![f64::NAN; 2]),
        (vec![1.0], vec![1.0], vec![]),
    ] {
        let map = WorthMap { laydown, launch_deg, worth: pocket, counts: "in the pocket" };
        let drawing = pocket_map(&map, &[sample::line(f64::NAN, 1.0, 0.5)], "", Theme::Light);
        drawing.png(90).expect("a picture");
    }
}

#[test]
fn keep_lane_pictures() {
    let lane = plain_lane();
    let mut path = sample::plain_path(&lane, 15.0);
    path.exit = Some(boardwise_lane::Place { board: boardwise_units::Board(8.1), feet: Feet(38.0) });
    let traces = [Trace { label: "ball", path: &path }];
    insta::assert_snapshot!("lane_light", picture(Hand::Right, Theme::Light, &lane, &traces).svg());
    insta::assert_snapshot!("lane_dark", picture(Hand::Left, Theme::Dark, &lane, &traces).svg());
}

#[test]
fn keep_film_pictures() {
    let lane = plain_lane();
    let film = lane.film().expect("oil");
    insta::assert_snapshot!("film_light", film_by_board(film, Hand::Right, &[20.0], "Film", Theme::Light).svg());
    insta::assert_snapshot!("film_dark", film_by_board(film, Hand::Left, &[20.0], "Film", Theme::Dark).svg());
}

#[test]
fn keep_map_pictures() {
    let lines = [sample::line(20.0, 1.8, 0.8)];
    insta::assert_snapshot!("map_light", pocket_map(&plain_map(), &lines, "Map", Theme::Light).svg());
    insta::assert_snapshot!("map_dark", pocket_map(&plain_map(), &lines, "Map", Theme::Dark).svg());
}
