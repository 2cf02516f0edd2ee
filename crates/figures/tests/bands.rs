//! The bands of a spread hold the shares of the shots that they name.

use boardwise_figures::{Drawing, LanePicture, Theme};
use boardwise_lane::{Coating, Lane};
use boardwise_units::{Feet, Hand};

/// The lane's edges as drawn for a right-hander.
const LANE_X: (f64, f64) = (36.0, 250.5);

fn draw(band: &[Vec<(f64, f64)>]) -> Drawing {
    let lane = Lane::new(Coating::Step { low: 0.04, high: 0.2, middle: Feet(40.0), width: Feet(2.0) });
    LanePicture {
        lane: &lane,
        hand: Hand::Right,
        title: "",
        traces: &[],
        band: Some(band),
        window: None,
        standing: None,
    }
    .draw(Theme::Light)
}

/// The outlines of the bands, outer first, as boards: up the lane on one side and back on the other.
fn outlines(drawing: &Drawing) -> Vec<Vec<f64>> {
    let bands = drawing.svg().lines().filter(|line| line.contains("class=\"band\""));
    bands
        .map(|line| {
            let points = line.split('"').nth(1).expect("its points");
            let across = points.split(' ').map(|point| point.split_once(',').expect("x,y").0.parse::<f64>().unwrap());
            across.map(|x| 0.5 + (LANE_X.1 - x) / 5.5).collect()
        })
        .collect()
}

/// Straight shots side by side, a tenth of a board apart, the outermost two lost in the hand-side gutter at 20 ft.
fn shots() -> Vec<Vec<(f64, f64)>> {
    let straight = |k: i32| 10.0 + 0.1 * f64::from(k);
    (0..=100)
        .map(|k| match k {
            0 | 1 => vec![(1.0, 0.0), (0.0, 20.0)],
            _ => vec![(straight(k), 0.0), (straight(k), 60.0)],
        })
        .collect()
}

#[test]
fn law_the_bands_hold_the_shares_they_name() {
    let outlines = outlines(&draw(&shots()));
    assert_eq!(outlines.len(), 2, "eight in ten, and half");
    for (outline, (low, high)) in outlines.iter().zip([(11.0, 19.0), (12.5, 17.5)]) {
        assert_eq!(outline.len(), 2 * 61, "a place each foot, up and back");
        for (k, board) in outline.iter().enumerate() {
            let meant = if k < 61 { low } else { high };
            assert!((board - meant).abs() < 0.01, "{board} instead of {meant}");
        }
    }
}

#[test]
fn law_a_band_says_what_it_holds_and_too_few_shots_make_none() {
    let (many, few) = (draw(&shots()), draw(&shots()[..19]));
    for words in ["8 in 10 shots", "half the shots"] {
        assert!(many.svg().contains(words) && !few.svg().contains(words));
    }
    assert_eq!(outlines(&few).len(), 0);
}

#[test]
fn law_bands_stay_on_the_lane_whatever_is_thrown() {
    let wild = vec![vec![(-50.0, -3.0), (f64::NAN, 10.0), (90.0, 30.0), (90.0, 80.0)]; 24];
    let drawing = draw(&wild);
    assert!(!drawing.svg().contains("NaN"));
    let outlines = outlines(&drawing);
    assert!(outlines.iter().flatten().count() > 30);
    assert!(outlines.iter().flatten().all(|board| (0.0..=40.0).contains(board)));
}
