//! Writes one picture of each kind, light and dark, into the folder named (or the current one).

#[path = "../../../crates/figures/tests/sample/mod.rs"]
mod sample;

use boardwise_figures::{
    Handout, LanePicture, Paper, Theme, Trace, bag_picture, block_picture, deck, film_by_board, leave_glyph,
    moving_deck, pocket_map, sheet_picture, shots_picture, strike_map, wear_picture,
};
use boardwise_units::Hand;
use std::error::Error;
use std::path::{Path, PathBuf};

/// Twice the width of a phone.
const WIDTH_PX: u32 = 720;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".into()));
    let lane = sample::lane();
    let (strong, mild, straight) = (
        sample::path(&lane, 20.0, 12.0, 380.0),
        sample::path(&lane, 15.0, 9.0, 300.0),
        sample::path(&lane, 12.0, 3.0, 250.0),
    );
    let band = sample::band(&lane, 20.0, 12.0, 380.0);
    let all = [
        Trace { label: "dull-solid", path: &strong },
        Trace { label: "shiny pearl, long name", path: &mild },
        Trace { label: "spare", path: &straight },
    ];
    let worn = sample::worn(&lane, 90, 15.0, 9.5);
    let (before, after) = (sample::path(&lane, 15.0, 9.5, 330.0), sample::path(&worn, 18.0, 11.0, 330.0));
    let moved = [Trace { label: "before", path: &before }, Trace { label: "now", path: &after }];
    let balls = ["dull strong solid, sanded at 1500", "shiny weak pearl"];
    let (weighed, long) = (sample::weighed(3, 5), sample::weighed(8, 12));
    let prepared = [
        "dull strong solid, as it is (1000)",
        "dull strong solid, 3000",
        "shiny weak pearl, as it is",
        "shiny weak pearl, 1500",
        "urethane, as it is (2000)",
    ];
    for (name, theme) in [("light", Theme::Light), ("dark", Theme::Dark)] {
        let picture = |hand, traces, band| LanePicture {
            lane: &lane,
            hand,
            title: "Two ways to the pocket <house & sport>",
            traces,
            band,
            window: None,
            standing: None,
        };
        let map = sample::map(61, 57);
        let lines = [(18.0, 1.3, 0.84), (19.0, 1.5, 0.81), (25.0, 3.2, 0.77), (14.0, 0.4, 0.7)];
        let lines: Vec<_> = lines.into_iter().map(|(b, l, p)| sample::line(b, l, p)).collect();
        let film = lane.film().expect("an oiled lane");
        let leave = |text: &str| text.parse().map_err(|_| "pins are written like 3-10");
        let strike = sample::rack(17.4, 5.5, boardwise_score::PinSet::ALL, Hand::Right, 1);
        let high = sample::rack(19.3, 6.0, boardwise_score::PinSet::ALL, Hand::Left, 3);
        let spare = sample::rack(14.2, 2.0, leave("2-4-5")?, Hand::Right, 2);
        let carry = boardwise_pins::carry::Carry::parse(include_bytes!("../../../crates/files/data/carry/carry.bin"))?;
        let like =
            boardwise_pins::carry::Approach { board: 0.0, angle_deg: 0.0, speed_m_s: 7.3, weight_lb: 15.0, roll: 1.0 };
        let game =
            boardwise_score::Game::from_marks(boardwise_score::Scoring::Traditional, "8/ F9 53 9/ 72 X X X X X81")?;
        let entries = boardwise_search::EntryMap::of(&carry, &like);
        let drawings = [
            ("deck-strike", deck(&strike, Hand::Right, "Board 17.4 at 5.5°", theme)),
            ("deck-high-left", deck(&high, Hand::Left, "Board 19.3 at 6°, left-handed", theme)),
            ("deck-spare", deck(&spare, Hand::Right, "At the 2-4-5", theme)),
            ("moving", moving_deck(&strike, Hand::Right, "Board 17.4 at 5.5°", theme)),
            ("glyph-3-10", leave_glyph(leave("3-10")?, theme)),
            ("glyph-2-4-5", leave_glyph(leave("2-4-5")?, theme)),
            ("glyph-all", leave_glyph(boardwise_score::PinSet::ALL, theme)),
            ("glyph-none", leave_glyph(boardwise_score::PinSet::NONE, theme)),
            ("strikes", strike_map(&entries, Some((17.4, 5.5)), "Strikes by entry", theme)),
            ("lane-one", picture(Hand::Right, &all[..1], Some(&band[..])).draw(theme)),
            ("lane-all", picture(Hand::Right, &all, None).draw(theme)),
            ("lane-left", picture(Hand::Left, &all[..2], None).draw(theme)),
            ("film", film_by_board(film, Hand::Right, &[2.0, 12.0, 22.0, 32.0, 40.0], "Film of the house lane", theme)),
            ("wear", wear_picture(&lane, &worn, Hand::Right, &moved, "What 90 shots took", theme)),
            ("wear-left", wear_picture(&lane, &worn, Hand::Left, &moved[..1], "What 90 shots took", theme)),
            ("block", block_picture(&sample::block(8, 22), [1, 2], &balls, "Ten games on a dry pair", theme)),
            ("block-one", block_picture(&sample::block(1, 3), [1, 2], &balls, "One game, one run", theme)),
            (
                "bag",
                bag_picture(&weighed, &boardwise_search::choose(&weighed, 2)?, &prepared, "Two of three balls", theme),
            ),
            (
                "bag-long",
                bag_picture(&long, &boardwise_search::choose(&long, 1)?, &prepared, "One ball for eight games", theme),
            ),
            ("sheet", sheet_picture(&game, "Game 2, lanes 7 and 8", theme)),
            ("shots", shots_picture(&sample::first_balls(), Hand::Right, "First balls of the block", theme)),
            ("map", pocket_map(&map, &lines, "Where the pocket is", theme)),
        ];
        for (kind, drawing) in drawings {
            std::fs::write(folder.join(format!("{kind}-{name}.svg")), drawing.svg())?;
            std::fs::write(folder.join(format!("{kind}-{name}.png")), drawing.png(WIDTH_PX)?)?;
            println!("{kind}-{name}: {} bytes of SVG", drawing.svg().len());
        }
    }
    handouts(&folder, &lane, &all)
}

fn handouts(folder: &Path, lane: &boardwise_lane::Lane, traces: &[Trace]) -> Result<(), Box<dyn Error>> {
    let balls = ["dull strong solid, sanded at 1500", "shiny weak pearl"];
    let drawing = LanePicture {
        lane,
        hand: Hand::Right,
        title: "Two ways to the pocket",
        traces,
        band: None,
        window: None,
        standing: None,
    }
    .draw(Theme::Light);
    let block = block_picture(&sample::block(8, 22), [1, 2], &balls, "Ten games on a dry pair", Theme::Light);
    let rows: Vec<Vec<String>> = (1..=30)
        .map(|k| vec![k.to_string(), balls[k % 2].into(), format!("{:+.1} ± 2.0", 7.0 - 0.4 * k as f64)])
        .collect();
    for (name, paper) in [("portrait", Paper::Portrait), ("landscape", Paper::Landscape)] {
        let pdf = Handout::new("Clinic on a dry pair")
            .paper(paper)
            .caution("Predictions are estimates with stated uncertainty, not promises; rules and officials decide what is allowed.")
            .text("Start straighter than you think, and let the lane tell you when to move. The first two games play near the track.\nFrom the third on the heads go: feet in, eyes in half as far.")
            .heading("The lane fresh")
            .pictures(&[&drawing, &drawing])
            .heading("Ten games")
            .picture(&block)
            .heading("What each game asked")
            .table(&["game", "ball and surface", "pins a game"], &rows)
            .pdf()?;
        std::fs::write(folder.join(format!("handout-{name}.pdf")), pdf)?;
    }
    Ok(())
}
