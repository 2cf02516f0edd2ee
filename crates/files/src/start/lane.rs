//! A lane's file: a usual pattern, or a sheet as it is printed.

use std::fmt::Write;

use serde::Deserialize;

use super::quoted;
use crate::{Fault, LANES};

/// A usual pattern, for who has no sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Pattern {
    /// What a league bowler meets.
    House,
    /// A short one.
    Short,
    /// A long one.
    Long,
    /// One with as much oil outside as in the middle.
    Flat,
}

impl Pattern {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::House, Self::Short, Self::Long, Self::Flat];

    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::House => "house",
            Self::Short => "short",
            Self::Long => "long",
            Self::Flat => "flat",
        }
    }

    /// The one of this word.
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.word() == word)
    }

    /// What to call it.
    pub fn title(self) -> &'static str {
        match self {
            Self::House => "House pattern",
            Self::Short => "Short pattern",
            Self::Long => "Long pattern",
            Self::Flat => "Flat pattern",
        }
    }

    /// What it is like.
    pub fn says(self) -> &'static str {
        match self {
            Self::House => "40 ft, most oil in the middle",
            Self::Short => "32 ft, little to hold outside",
            Self::Long => "45 ft, the hook comes late",
            Self::Flat => "40 ft, nearly as much oil outside",
        }
    }

    /// The lane of the demo kit that has this oil.
    fn oil(self) -> &'static str {
        match self {
            Self::House => "house-40-walled",
            Self::Short => "short-32-flat",
            Self::Long => "long-45-flat",
            Self::Flat => "house-40-flat",
        }
    }

    /// The file.
    pub fn text(self) -> String {
        let found = LANES.iter().find(|lane| lane.id == self.oil()).unwrap_or(&LANES[0]);
        let oil = found.text.lines().skip_while(|line| !line.starts_with("name")).skip(1);
        let mut text = format!(
            "# A usual {} of {}, to start from. No two houses lay the same oil: put in your own sheet when you have it.\n\
             # Boards count from the right gutter, feet from the foul line; oil is for the whole stroke.\nname = {}\n",
            self.title().to_lowercase(),
            self.says(),
            quoted(self.title())
        );
        for line in oil {
            text.push_str(line);
            text.push('\n');
        }
        text
    }
}

/// A sheet as it is printed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetStart {
    /// What to call it.
    pub name: String,
    /// Its rows, in the order of the sheet.
    pub rows: Vec<StartRow>,
    /// The oil of all rows, as the sheet states it.
    #[serde(default)]
    pub total_microlitres: Option<f64>,
}

/// A row of it.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StartRow {
    /// First board, as "2L".
    pub from: String,
    /// Last board, as "2R".
    pub to: String,
    /// How often the oil is laid across; 0 where the machine only buffs.
    pub loads: f64,
    /// Oil that each board gets from one load, microlitres.
    pub microlitres_per_board: f64,
    /// Start and end, feet, in either order.
    pub feet: [f64; 2],
    /// Which way the machine travels.
    pub direction: WayStart,
}

/// Which way the machine travels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum WayStart {
    /// From the foul line.
    Out,
    /// Back to it.
    Back,
}

impl Default for StartRow {
    /// Two loads over all boards but the outermost.
    fn default() -> Self {
        let direction = WayStart::Out;
        Self {
            from: "2L".into(),
            to: "2R".into(),
            loads: 2.0,
            microlitres_per_board: 50.0,
            feet: [0.0, 20.0],
            direction,
        }
    }
}

impl StartRow {
    /// Reads a row in one line: from, to, loads, microlitres a board, start and end in feet, out or back, as "2L 2R 3 50 0 18 out".
    ///
    /// # Errors
    /// If these are not seven words.
    pub fn read(words: &str) -> Result<Self, Fault> {
        let refuse = || Fault::Field {
            field: "row",
            value: words.to_owned(),
            allowed:
                "from, to, loads, microlitres a board, start ft, end ft, out or back, such as \"2L 2R 3 50 0 18 out\""
                    .to_owned(),
        };
        let parts: Vec<&str> = words.split([' ', ',', ';']).filter(|part| !part.is_empty()).collect();
        let [from, to, loads, amount, start, end, way] = parts[..] else { return Err(refuse()) };
        let number = |word: &str| word.parse::<f64>().map_err(|_| refuse());
        let direction = match way.to_lowercase().as_str() {
            "out" => WayStart::Out,
            "back" => WayStart::Back,
            _ => return Err(refuse()),
        };
        Ok(Self {
            from: from.to_owned(),
            to: to.to_owned(),
            loads: number(loads)?,
            microlitres_per_board: number(amount)?,
            feet: [number(start)?, number(end)?],
            direction,
        })
    }
}

impl SheetStart {
    /// What a sheet is called in messages before it is kept.
    pub const NAMED: &'static str = "your sheet";
    /// Lines of the text before the first row's, and lines that a row takes.
    const BEFORE: usize = 5;
    const A_ROW: usize = 8;

    /// The file.
    pub fn text(&self) -> String {
        let mut text = format!(
            "# A sheet as it was typed, row by row, in its own order.\n\
             # Boards carry their side (2L is the second from the left gutter), feet count from the foul line.\n\
             # A load crosses the boards once; a row without loads only draws oil on.\nname = {}\n",
            quoted(&self.name)
        );
        // Writing to a string cannot fail.
        let _ = match self.total_microlitres {
            Some(total) => writeln!(text, "total_microlitres = {total}"),
            None => writeln!(text, "# total_microlitres = the oil of all rows, if the sheet states it"),
        };
        for row in &self.rows {
            let way = match row.direction {
                WayStart::Out => "out",
                WayStart::Back => "back",
            };
            let _ = writeln!(
                text,
                "\n[[rows]]\nfrom = {}\nto = {}\nloads = {}\nmicrolitres_per_board = {}\nfeet = [{}, {}]\ndirection = \"{way}\"",
                quoted(&row.from),
                quoted(&row.to),
                row.loads,
                row.microlitres_per_board,
                row.feet[0],
                row.feet[1]
            );
        }
        text
    }

    /// The row, counted from 1, that stands in a line of the text, counted from 1.
    pub fn row_at(line: usize) -> Option<usize> {
        (line > Self::BEFORE).then(|| (line - Self::BEFORE - 1) / Self::A_ROW + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse_lane;

    #[test]
    fn law_a_usual_pattern_has_the_oil_of_its_lane_in_the_demo_kit_and_no_word_of_invention() {
        for pattern in Pattern::ALL {
            let (text, demo) = (pattern.text(), LANES.iter().find(|lane| lane.id == pattern.oil()).unwrap());
            let own = parse_lane("x", text.as_bytes()).unwrap();
            let theirs = parse_lane("y", demo.text.as_bytes()).unwrap();
            assert_eq!(own.value.name, pattern.title());
            assert_eq!(
                own.value.seen_by(boardwise_units::Hand::default()).film(),
                theirs.value.seen_by(boardwise_units::Hand::default()).film()
            );
            assert!(!text.contains("nvented"), "{text}");
        }
    }

    #[test]
    fn law_a_row_in_one_line_is_read_whole_or_refused() {
        let read = StartRow::read("2L 2R 2 50 0 20 out").unwrap();
        assert_eq!(read, StartRow::default());
        assert_eq!(StartRow::read("2L, 2R, 2, 50, 0, 20, OUT").unwrap(), StartRow::default());
        for bad in ["", "2L 2R 2 50 0 20", "2L 2R two 50 0 20 out", "2L 2R 2 50 0 20 up", "2L 2R 2 50 0 20 out out"] {
            assert!(StartRow::read(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn law_a_typed_sheet_lays_what_it_says_and_a_fault_names_its_row() {
        let rows = vec![
            StartRow::default(),
            StartRow { loads: 0.0, feet: [20.0, 38.0], ..StartRow::default() },
            StartRow {
                from: "10R".into(),
                to: "10L".into(),
                feet: [30.0, 8.0],
                direction: WayStart::Back,
                ..StartRow::default()
            },
        ];
        let sheet = SheetStart { name: "league \"A\"".into(), rows, total_microlitres: Some(5_800.0) };
        let loaded = parse_lane("x", sheet.text().as_bytes()).unwrap();
        assert_eq!(loaded.value.name, "league \"A\"");
        // 2 loads × 50 µL × (37 + 21 boards).
        let laid = loaded.value.seen_by(boardwise_units::Hand::default()).film().unwrap().volume().0;
        assert!((laid - 5_800.0).abs() < 1.0, "{laid}");
        for (k, bad) in [(0, "xL"), (2, "40R")] {
            let mut wrong = sheet.clone();
            wrong.rows[k].from = bad.to_owned();
            let Err(Fault::InFile(mistake)) = parse_lane("x", wrong.text().as_bytes()) else { panic!("{bad}") };
            assert_eq!(SheetStart::row_at(mistake.line), Some(k + 1), "{mistake}");
        }
    }
}
