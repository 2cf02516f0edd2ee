//! The score sheet of a game: everything on it is said without colour.

use boardwise_figures::{Drawing, Theme, sheet_picture};
use boardwise_score::{Game, Roll, Scoring};

/// Splits made and missed, a foul, fill balls.
fn eventful(scoring: Scoring) -> Game {
    let stands = |pins: &str| Roll::Standing(pins.parse().expect("pins"));
    let rolls = [
        [stands("3-10"), Roll::ALL_DOWN],
        [Roll::Foul, stands("7")],
        [stands("4-6-7-9-10"), stands("7-10")],
        [stands("10"), Roll::ALL_DOWN],
        [stands("1-2-10"), stands("10")],
    ];
    let tenth = [Roll::ALL_DOWN, stands("7-10"), stands("7")];
    let strikes = [Roll::ALL_DOWN; 4];
    let balls = rolls.concat().into_iter().chain(strikes).chain(tenth);
    let balls = balls.take(if scoring == Scoring::Traditional { usize::MAX } else { 15 });
    Game::from_rolls(scoring, balls).expect("a game that can be")
}

fn count(drawing: &Drawing, what: &str) -> usize {
    drawing.svg().matches(what).count()
}

#[test]
fn law_every_frame_says_in_words_and_by_shape_how_it_ended() {
    for scoring in [Scoring::Traditional, Scoring::CurrentFrame] {
        let game = eventful(scoring);
        assert!(game.is_complete());
        let sheet = sheet_picture(&game, "Game 2", Theme::Light);
        for (word, many) in [("strike", 5), ("spare", 2), ("open", 3)] {
            assert_eq!(count(&sheet, &format!(">{word}<")), many, "{word}");
        }
        // Only open frames are dashed; five whole bars and two halves.
        assert_eq!((count(&sheet, "stroke-dasharray"), count(&sheet, "class=\"made\"")), (3, 7));
        assert_eq!(count(&sheet, "width=\"27\" height=\"3\""), 2);
        for total in game.cumulative() {
            assert!(sheet.svg().contains(&format!(">{}<", total.expect("complete"))));
        }
        let fills = usize::from(scoring == Scoring::Traditional);
        // Two strokes a split, and two in the key; a washout is none.
        assert_eq!(count(&sheet, "class=\"split\""), 2 * (2 + fills) + 2);
        assert!(sheet.svg().contains(">3-10<") && !sheet.svg().contains("1-2-10"));
    }
}

#[test]
fn law_what_is_not_known_is_said() {
    let sheet = |marks| sheet_picture(&Game::from_marks(Scoring::Traditional, marks).expect("signs"), "", Theme::Dark);
    let waiting = sheet("9/ X 7");
    assert_eq!((count(&waiting, ">…<"), count(&waiting, ">next<"), count(&waiting, ">20<")), (2, 1, 1));
    assert!(waiting.svg().contains("20 so far, at most") && waiting.svg().contains("after one first ball"));
    let known = sheet("9/ 9- 9");
    assert!(!known.svg().contains("not written") && !known.svg().contains("class=\"split\""));
    let perfect = sheet("XXXXXXXXXXXX");
    assert_eq!((count(&perfect, ">X<"), count(&perfect, ">300<"), count(&perfect, ">next<")), (12, 2, 0));
    let empty = sheet("");
    assert!(empty.svg().contains("at most 300") && !empty.svg().contains("so far"));
    empty.png(360).expect("a picture");
}

#[test]
fn keep_sheets() {
    let cut = Game::from_rolls(Scoring::Traditional, eventful(Scoring::Traditional).rolls()[..12].iter().copied());
    for (name, theme) in [("light", Theme::Light), ("dark", Theme::Dark)] {
        let whole = sheet_picture(&eventful(Scoring::Traditional), "Game 2, lanes 7 and 8", theme);
        insta::assert_snapshot!(format!("sheet_{name}"), whole.svg());
    }
    let alone = sheet_picture(&eventful(Scoring::CurrentFrame), "Game 2, lanes 7 and 8", Theme::Light);
    insta::assert_snapshot!("sheet_alone", alone.svg());
    let begun = sheet_picture(&cut.expect("a game that can be"), "Game 3 <under way>", Theme::Dark);
    insta::assert_snapshot!("sheet_begun", begun.svg());
    let counted = Game::from_marks(Scoring::Traditional, "8/ 72 81 7/ 8/ 72 81 7/ 8/ 7/8");
    let counted = sheet_picture(&counted.expect("signs"), "Pins counted, not named", Theme::Light);
    insta::assert_snapshot!("sheet_counted", counted.svg());
}
