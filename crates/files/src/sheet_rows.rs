//! Rows of a printed sheet: what a machine lays, row by row, as bowlers get it on paper.
//!
//! A row says from which board to which, how many loads, how much oil a board gets from each load, and from where to where.
//! A load crosses the boards once, so a row lays loads × boards × microlitres a board. The loads are spread evenly over the
//! row's distance (common practice, no source). A row without loads lays nothing: there the buffer only draws oil on.

use std::fmt;

use boardwise_lane::{LaneError, Stroke};
use boardwise_units::Microlitres;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::{self, Deserializer, Visitor};

use super::Fault;
use super::locate::Step;
use super::parse::Page;
use super::sides::{Gutter, Way};

/// A row of a printed sheet.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetRow {
    /// First board covered, with its side.
    from: SheetBoard,
    /// Last board covered, with its side.
    to: SheetBoard,
    /// How often the oil is laid across these boards; 0 where the buffer only draws on what is there.
    loads: f64,
    /// Oil that each board gets from one load.
    microlitres_per_board: f64,
    /// Where the row starts and ends, in the order travelled or the other.
    feet: [f64; 2],
    /// Which way the machine travels: `out` from the foul line, `back` toward it.
    direction: Way,
}

/// A board as a sheet prints it: "2L" is the second from the left gutter, "2R" the second from the right. A plain number counts
/// from the gutter that the file's boards count from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetBoard {
    number: f64,
    side: Option<Gutter>,
}

impl SheetBoard {
    const ALLOWED: &'static str = "a board from 1 to 39 with its side, such as \"2L\" or \"2R\"";

    /// Reads "2L", "2R", "2 left", "2 right" or "20".
    fn read(text: &str) -> Option<Self> {
        let text = text.trim().to_ascii_lowercase();
        let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit());
        let side = match text[digits.len()..].trim() {
            "" => None,
            "l" | "left" => Some(Gutter::Left),
            "r" | "right" => Some(Gutter::Right),
            _ => return None,
        };
        let number: f64 = digits.trim().parse().ok()?;
        (number.fract() == 0.0 && (1.0..=39.0).contains(&number)).then_some(Self { number, side })
    }

    /// The board counted from a gutter.
    fn counted_from(self, gutter: Gutter) -> f64 {
        if self.side.is_none_or(|side| side == gutter) { self.number } else { 40.0 - self.number }
    }
}

impl<'de> Deserialize<'de> for SheetBoard {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Reader;
        impl Visitor<'_> for Reader {
            type Value = SheetBoard;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(SheetBoard::ALLOWED)
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<SheetBoard, E> {
                SheetBoard::read(text).ok_or_else(|| E::custom(format!("\"{text}\": give {}", SheetBoard::ALLOWED)))
            }

            fn visit_i64<E: de::Error>(self, number: i64) -> Result<SheetBoard, E> {
                self.visit_str(&number.to_string())
            }
        }
        from.deserialize_any(Reader)
    }
}

impl JsonSchema for SheetBoard {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "SheetBoard".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A board with its side: \"2L\" or \"2R\". A plain number counts from the gutter of `boards_from`.",
            "anyOf": [
                { "type": "string", "pattern": "^ *[0-9]{1,2} *([lLrR]|left|right)? *$" },
                { "type": "integer", "minimum": 1, "maximum": 39 }
            ]
        })
    }
}

impl SheetRow {
    /// First and last board, counted from a gutter. A sheet may name them in either order.
    fn boards(&self, gutter: Gutter) -> (f64, f64) {
        let (a, b) = (self.from.counted_from(gutter), self.to.counted_from(gutter));
        (a.min(b), a.max(b))
    }

    /// Oil of one load, microlitres.
    fn of_one_load(&self, gutter: Gutter) -> f64 {
        let (first, last) = self.boards(gutter);
        (last - first + 1.0) * self.microlitres_per_board
    }

    fn stroke(&self, gutter: Gutter) -> Stroke {
        let [a, b] = self.feet;
        Stroke {
            boards: self.boards(gutter),
            feet: (a.min(b), a.max(b)),
            oil: Microlitres(self.loads * self.of_one_load(gutter)),
            direction: self.direction.into(),
        }
    }

    /// What is possible and yet most likely a slip.
    fn doubts(&self, gutter: Gutter) -> Vec<(&'static str, String)> {
        let mut doubts = Vec::new();
        let (first, last) = self.boards(gutter);
        let sideless = self.from.side.is_none() || self.to.side.is_none();
        // Board 20 is the same from either side.
        if first == last && first != 20.0 && sideless {
            doubts.push(("to", format!("the row covers board {first} alone: is a side missing, such as 2L to 2R?")));
        }
        let amount = self.microlitres_per_board;
        if self.loads > 0.0 && amount < 1.0 {
            let meant = 1000.0 * amount;
            doubts.push((
                "microlitres_per_board",
                format!("{amount} microlitres a board is hardly any oil: are these millilitres ({meant} microlitres)?"),
            ));
        }
        if amount > 200.0 {
            let what =
                format!("{amount} microlitres a board and load is far more than machines lay: is it the whole row's?");
            doubts.push(("microlitres_per_board", what));
        }
        if self.loads > 12.0 {
            doubts.push((
                "loads",
                format!("{} loads in one row are many: are loads and microlitres swapped?", self.loads),
            ));
        }
        doubts
    }
}

/// More oil than any lane takes.
const MOST_MICROLITRES: f64 = 100_000.0;

/// The strokes of a sheet's rows. Boards count from `gutter`. A total that the rows miss is doubted, with the row that would
/// explain it where one load more or less does.
pub fn strokes(
    rows: &[SheetRow],
    total_microlitres: Option<f64>,
    gutter: Gutter,
    page: &Page<'_>,
    warnings: &mut Vec<String>,
) -> Result<Vec<Stroke>, Fault> {
    let at = |k, key| [Step::Key("rows"), Step::At(k), Step::Key(key)];
    for (k, row) in rows.iter().enumerate() {
        for feet in row.feet {
            if feet > 60.0 {
                let help = if feet >= 240.0 { "; are these inches?" } else { "" };
                return Err(page.fault(&at(k, "feet"), &format!("feet = {feet}: must be 0 to 60{help}")));
            }
        }
        page.within(&at(k, "loads"), "loads", row.loads, 0.0, 100.0)?;
        if row.loads.fract() != 0.0 {
            let what = format!("loads = {}: a load goes across once, so give a whole number", row.loads);
            return Err(page.fault(&at(k, "loads"), &what));
        }
        page.within(&at(k, "microlitres_per_board"), "microlitres_per_board", row.microlitres_per_board, 0.0, 2000.0)?;
        let whole = row.stroke(gutter).oil.0;
        if whole > MOST_MICROLITRES {
            let what =
                format!("the row lays {whole:.0} microlitres, more than a lane holds: is this the whole row's oil?");
            return Err(page.fault(&at(k, "microlitres_per_board"), &what));
        }
        warnings.extend(row.doubts(gutter).into_iter().map(|(key, what)| page.warning(&at(k, key), &what)));
    }
    let laid: f64 = rows.iter().map(|row| row.stroke(gutter).oil.0).sum();
    if laid == 0.0 {
        return Err(page.fault(&[Step::Key("rows")], &LaneError::NoOil));
    }
    if let Some(stated) = total_microlitres {
        let path = [Step::Key("total_microlitres")];
        page.within(&path, "total_microlitres", stated, 0.0, MOST_MICROLITRES)?;
        if let Some(what) = missed(rows, gutter, laid, stated) {
            warnings.push(page.warning(&path, &what));
        }
    }
    Ok(rows.iter().map(|row| row.stroke(gutter)).collect())
}

/// How far the rows miss the stated total, and why that may be.
fn missed(rows: &[SheetRow], gutter: Gutter, laid: f64, stated: f64) -> Option<String> {
    const NEAR_MICROLITRES: f64 = 0.5;
    let off = laid - stated;
    if off.abs() < NEAR_MICROLITRES {
        return None;
    }
    let (side, step) = if off > 0.0 { ("more", "fewer") } else { ("less", "more") };
    let explains = |row: &SheetRow| (row.of_one_load(gutter) - off.abs()).abs() < NEAR_MICROLITRES;
    let why = if stated < 100.0 && (laid / 1000.0 - stated).abs() < 1.0 {
        "; is the total in millilitres?".to_owned()
    } else if let Some(k) = rows.iter().position(explains) {
        format!("; one load {step} in row {} would explain it", k + 1)
    } else {
        String::new()
    };
    let by = off.abs();
    Some(format!("the rows add up to {laid:.0} microlitres, {by:.0} {side} than the sheet's total of {stated}{why}"))
}

#[cfg(test)]
mod tests {
    use crate::parse_lane;
    use boardwise_units::{Feet, Hand};

    const ROW: &str =
        "from = \"2L\"\nto = \"2R\"\nloads = 2\nmicrolitres_per_board = 50\nfeet = [0, 20]\ndirection = \"out\"\n";

    fn sheet(head: &str, rows: &[&str]) -> String {
        let rows: Vec<String> = rows.iter().map(|row| format!("[[rows]]\n{row}")).collect();
        format!("name = \"sheet\"\n{head}{}", rows.concat())
    }

    fn read(text: &str) -> Result<crate::Loaded<crate::KitLane>, crate::Fault> {
        parse_lane("sheet.toml", text.as_bytes())
    }

    fn refused(text: &str) -> String {
        read(text).unwrap_err().to_string()
    }

    fn doubted(text: &str) -> String {
        read(text).unwrap().warnings.join("\n")
    }

    fn millilitres(text: &str) -> f64 {
        let lane = read(text).unwrap().value.seen_by(Hand::Right);
        lane.film().unwrap().volume().0 / 1000.0
    }

    #[test]
    fn law_a_row_lays_its_loads_on_every_board_it_covers() {
        // Boards 2 to 38 are 37: two loads of 50 microlitres on each are 3.7 mL.
        assert!((millilitres(&sheet("", &[ROW])) - 3.7).abs() < 1e-9);
        let back = ROW.replace("feet = [0, 20]", "feet = [40, 20]").replace("out", "back");
        assert!((millilitres(&sheet("", &[ROW, &back])) - 7.4).abs() < 1e-9);
        let narrow = ROW.replace("2L", "10L").replace("2R", "10R");
        assert!((millilitres(&sheet("", &[&narrow])) - 2.1).abs() < 1e-9);
    }

    #[test]
    fn law_sides_mean_the_same_whichever_gutter_boards_count_from() {
        // Half a lane, on the left: the same lane whichever way it is written.
        let row = ROW.replace("2R", "20R");
        let lane = |head: &str, row: &str| read(&sheet(head, &[row])).unwrap().value.seen_by(Hand::Right);
        let written = [
            lane("", &row),
            lane("boards_from = \"left\"\n", &row),
            lane("", &row.replace("\"2L\"", "\"38R\"").replace("\"20R\"", "20")),
            lane("", &row.replace("\"2L\"", "\"20 right\"").replace("\"20R\"", "\"2 left\"")),
            lane("boards_from = \"left\"\n", &row.replace("\"2L\"", "2")),
        ];
        let film = |lane: &boardwise_lane::Lane, board: f64| {
            lane.film().unwrap().thickness_m.at(boardwise_units::Board(board).to_metres(), Feet(10.0).to_metres())
        };
        for other in &written {
            assert!(film(other, 30.0) > 1e-7 && film(other, 10.0) == 0.0);
            for board in [5.0, 15.0, 25.0, 35.0] {
                assert!((film(other, board) - film(&written[0], board)).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn law_a_row_without_loads_draws_oil_on_and_lays_none() {
        let long = ROW.replace("loads = 2", "loads = 0").replace("[0, 20]", "[20, 40]");
        let text = sheet("smear_ft = 6.0\n", &[ROW, &long]);
        assert!((millilitres(&text) - 3.7).abs() < 1e-9);
        assert_eq!(read(&text).unwrap().value.seen_by(Hand::Right).film().unwrap().length, Feet(40.0));
        assert!(refused(&sheet("", &[&long])).contains("no oil"));
    }

    #[test]
    fn law_rows_that_miss_the_total_are_doubted_and_the_row_named() {
        let rows = [ROW, &ROW.replace("2L", "12L").replace("2R", "12R")];
        let total = |microlitres: f64| doubted(&sheet(&format!("total_microlitres = {microlitres}\n"), &rows));
        // 2 * 37 * 50 and 2 * 17 * 50.
        assert_eq!(total(5400.0), "");
        assert!(total(6250.0).contains("850 less") && total(6250.0).contains("one load more in row 2"));
        assert!(total(3550.0).contains("1850 more") && total(3550.0).contains("one load fewer in row 1"));
        assert!(total(5.4).contains("millilitres?"));
        assert!(total(5000.0).contains("400 more") && !total(5000.0).contains("load"));
    }

    #[test]
    fn law_natural_slips_are_named_with_what_was_likely_meant() {
        let with = |from: &str, to: &str| sheet("", &[&ROW.replace(from, to)]);
        for (text, said) in [
            (with("\"2L\"", "\"2X\""), "\"2L\" or \"2R\""),
            (with("\"2L\"", "\"42L\""), "1 to 39"),
            (with("\"2L\"", "2.5"), "1 to 39"),
            (with("[0, 20]", "[0, 480]"), "inches?"),
            (with("= 50", "= 1850"), "whole row's oil?"),
            (with("[0, 20]", "[20, 20]"), "feet"),
            (with("loads = 2", "loads = 2.5"), "whole number"),
            (with("direction = \"out\"", "direction = \"forward\""), "out, back"),
            (with("microlitres_per_board", "microlitres"), "did you mean"),
        ] {
            let refused = read(&text).unwrap_err();
            let all = format!("{refused} {}", refused.help().unwrap_or_default());
            assert!(all.contains(said), "{all}");
        }
        for (text, said) in [
            (with("\"2L\"\nto = \"2R\"", "2\nto = 2"), "side missing"),
            (with("= 50", "= 0.05"), "millilitres (50 microlitres)"),
            (with("= 50", "= 250"), "whole row's?"),
            (with("loads = 2", "loads = 50"), "swapped?"),
        ] {
            assert!(doubted(&text).contains(said), "{}", doubted(&text));
        }
        let both = format!(
            "{}[[strokes]]\nboards = [2, 38]\nfeet = [0, 30]\nmicrolitres = 5\ndirection = \"out\"\n",
            sheet("", &[ROW])
        );
        assert!(refused(&both).contains("both given"));
        assert!(
            refused("name = \"x\"\ntotal_microlitres = 5\n[[friction]]\nto_feet = 60\nmu = 0.1\n").contains("rows")
        );
    }
}
