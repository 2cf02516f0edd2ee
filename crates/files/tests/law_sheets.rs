//! Ten invented sheets, each written the way another sheet would be: volume and film are right to the microlitre.

use boardwise_files::parse_lane;
use boardwise_lane::Film;
use boardwise_units::{Board, Feet, Hand, court};
use std::fmt::Write;

/// From and to, as boards from the left and from the right gutter; loads; microlitres a board and load; from and to, feet;
/// whether on the way out.
type Row = (u8, u8, u32, f64, f64, f64, bool);

/// How a sheet writes a row's boards.
#[derive(Clone, Copy)]
enum Written {
    /// "2L" to "2R".
    Letters,
    /// "2 left" to "2 right".
    Words,
    /// The right one first.
    RightFirst,
    /// Plain numbers from the right gutter.
    FromRight,
    /// Plain numbers from the left gutter.
    FromLeft,
}

struct Sheet {
    written: Written,
    /// Whether distances on the way back are printed as travelled, the far one first.
    as_travelled: bool,
    rows: &'static [Row],
}

const SHEETS: [Sheet; 10] = [
    Sheet {
        written: Written::Letters,
        as_travelled: true,
        rows: &[
            (2, 2, 3, 50.0, 0.0, 18.0, true),
            (8, 8, 4, 50.0, 18.0, 30.0, true),
            (14, 14, 1, 50.0, 20.0, 40.0, false),
        ],
    },
    Sheet {
        written: Written::Letters,
        as_travelled: false,
        rows: &[
            (2, 2, 2, 40.0, 0.0, 12.0, true),
            (2, 2, 0, 40.0, 12.0, 39.0, true),
            (10, 10, 5, 40.0, 8.0, 30.0, false),
        ],
    },
    Sheet {
        written: Written::Words,
        as_travelled: true,
        rows: &[(1, 1, 2, 30.0, 0.0, 20.0, true), (12, 12, 6, 30.0, 4.0, 32.0, false)],
    },
    Sheet {
        written: Written::Words,
        as_travelled: false,
        rows: &[(3, 3, 4, 45.5, 2.0, 26.0, true), (3, 3, 4, 45.5, 2.0, 26.0, false)],
    },
    Sheet { written: Written::RightFirst, as_travelled: true, rows: &[(2, 2, 7, 33.3, 0.0, 33.0, true)] },
    Sheet {
        written: Written::RightFirst,
        as_travelled: false,
        rows: &[(5, 9, 2, 50.0, 0.0, 15.0, true), (9, 5, 2, 50.0, 15.0, 44.0, false)],
    },
    Sheet {
        written: Written::FromRight,
        as_travelled: true,
        rows: &[(2, 2, 3, 50.0, 0.0, 45.0, true), (15, 15, 3, 50.0, 10.0, 45.0, false)],
    },
    Sheet {
        written: Written::FromRight,
        as_travelled: false,
        rows: &[(2, 20, 2, 60.0, 0.0, 30.0, true), (20, 2, 1, 60.0, 0.0, 30.0, true)],
    },
    Sheet {
        written: Written::FromLeft,
        as_travelled: true,
        rows: &[(4, 4, 5, 25.0, 0.0, 22.0, true), (7, 13, 2, 25.0, 6.0, 36.0, false)],
    },
    Sheet {
        written: Written::FromLeft,
        as_travelled: false,
        rows: &[(20, 20, 1, 100.0, 10.0, 20.0, true), (19, 19, 1, 100.0, 0.0, 41.0, false)],
    },
];

impl Sheet {
    fn text(&self) -> String {
        let mut text = format!("name = \"sheet\"\nsmear_ft = 0\ntotal_microlitres = {}\n", self.microlitres());
        if matches!(self.written, Written::FromLeft) {
            text += "boards_from = \"left\"\n";
        }
        for &(left, right, loads, amount, start, end, out) in self.rows {
            let (from, to) = match self.written {
                Written::Letters => (format!("\"{left}L\""), format!("\"{right}R\"")),
                Written::Words => (format!("\"{left} left\""), format!("\"{right} right\"")),
                Written::RightFirst => (format!("\"{right}R\""), format!("\"{left}L\"")),
                Written::FromRight => (format!("{right}"), format!("{}", 40 - left)),
                Written::FromLeft => (format!("{left}"), format!("{}", 40 - right)),
            };
            let (first, last) = if !out && self.as_travelled { (end, start) } else { (start, end) };
            let _ = write!(
                text,
                "[[rows]]\nfrom = {from}\nto = {to}\nloads = {loads}\nmicrolitres_per_board = {amount}\n\
                 feet = [{first}, {last}]\ndirection = \"{}\"\n",
                if out { "out" } else { "back" }
            );
        }
        text
    }

    fn boards(row: &Row) -> (f64, f64) {
        (f64::from(row.1), f64::from(40 - row.0))
    }

    /// As the rows say: loads times boards times microlitres a board.
    fn microlitres(&self) -> f64 {
        self.rows.iter().map(|row| f64::from(row.2) * row.3 * (Self::boards(row).1 - Self::boards(row).0 + 1.0)).sum()
    }

    /// Film in the middle of a board: what its rows lay there, over the board's area along the row.
    fn film_m(&self, board: f64, feet: f64) -> f64 {
        let covers = |row: &&Row| {
            let (first, last) = Self::boards(row);
            (first..=last).contains(&board) && (row.4..row.5).contains(&feet)
        };
        let of_row = |row: &Row| {
            let area_m2 = court::BOARD_M * Feet(row.5 - row.4).to_metres();
            f64::from(row.2) * row.3 * 1e-9 / area_m2
        };
        self.rows.iter().filter(covers).map(of_row).sum()
    }
}

fn read(sheet: &Sheet) -> Film {
    let read = parse_lane("sheet.toml", sheet.text().as_bytes()).unwrap();
    // Some of these sheets are for a corner of a lane only.
    let doubts: Vec<String> = read.warnings.into_iter().filter(|one| !one.contains("mL of oil")).collect();
    assert_eq!(doubts, [""; 0], "{}", sheet.text());
    read.value.seen_by(Hand::Right).film().unwrap().clone()
}

#[test]
fn law_ten_sheets_hold_the_oil_that_their_rows_say() {
    for (number, sheet) in SHEETS.iter().enumerate() {
        let film = read(sheet);
        assert!((film.volume().0 - sheet.microlitres()).abs() < 1e-6, "sheet {number}: {}", film.volume().0);
        let end = sheet.rows.iter().map(|row| row.5).fold(0.0, f64::max);
        assert_eq!(film.length, Feet(end));
        for board in 1..=39 {
            // Away from where rows begin and end: there the film steps within one node of the grid.
            for feet in [1.0, 5.0, 7.0, 11.0, 14.0, 16.5, 19.0, 23.5, 25.0, 28.0, 31.0, 35.0, 38.0, 43.0, 50.0] {
                let near = |row: &Row| (feet - row.4).abs() < 0.9 || (feet - row.5).abs() < 0.9;
                if sheet.rows.iter().any(near) {
                    continue;
                }
                let board = f64::from(board);
                let (is, wanted) =
                    (film.thickness_m.at(Board(board).to_metres(), Feet(feet).to_metres()), sheet.film_m(board, feet));
                assert!(
                    (is - wanted).abs() < 1e-3 * wanted + 1e-12,
                    "sheet {number}, board {board}, {feet} ft: {is} {wanted}"
                );
            }
        }
    }
}

#[test]
fn law_the_kit_says_how_to_state_a_lane_in_words_that_read() {
    let kit = include_str!("../data/demo/README.md");
    let blocks = kit.split("```toml\n").skip(1).filter_map(|block| block.split("```").next());
    let mut seen = 0;
    for block in blocks.filter(|block| !block.contains("[shape]")) {
        let read = parse_lane("kit.toml", format!("name = \"kit\"\n{block}").as_bytes()).unwrap();
        assert_eq!(read.warnings, [""; 0], "{block}");
        seen += 1;
    }
    assert_eq!(seen, 4);
}
