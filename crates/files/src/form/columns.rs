//! Which fields each kind of file has: their keys, and what they are called.

use crate::Shelf;

/// A field.
#[derive(Debug)]
pub struct Column {
    /// Its key in the row; after a dot the key in a table or the place in a list.
    pub key: &'static str,
    /// What it is called, with its unit.
    pub label: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// Keys of the row that give way to it.
    pub instead_of: &'static [&'static str],
}

/// What a field takes.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// A number.
    Number,
    /// Numbers, one after another.
    Numbers,
    /// Words.
    Words,
    /// One of these.
    OneOf(&'static [&'static str]),
    /// The word for yes, or nothing.
    Yes,
    /// The name of something on a shelf.
    Named(Shelf),
}

/// Fields that belong together.
#[derive(Debug)]
pub struct Part {
    /// What it is called.
    pub title: &'static str,
    /// One of its rows.
    pub one: &'static str,
    /// Its key; empty for the top of the file.
    pub key: &'static str,
    /// Whether it is a list, whose rows come and go.
    pub list: bool,
    /// Whether it shuts others out that are so too.
    pub alone: bool,
    /// Whether the file is wrong without it.
    pub expected: bool,
    /// Its fields.
    pub columns: &'static [Column],
    /// A first row, in the file's words.
    pub first: &'static str,
}

impl Column {
    /// The first step of its key and the second, where it has one.
    pub fn steps(&self) -> (&'static str, Option<&'static str>) {
        self.key.split_once('.').map_or((self.key, None), |(first, rest)| (first, Some(rest)))
    }
}

/// The parts of a kind of file.
pub fn parts(shelf: Shelf) -> &'static [Part] {
    match shelf {
        Shelf::Lane => LANE,
        Shelf::Bag => BAG,
        Shelf::Bowler => BOWLER,
        Shelf::Event => EVENT,
    }
}

const fn field(key: &'static str, label: &'static str, kind: Kind) -> Column {
    Column { key, label, kind, instead_of: &[] }
}

const fn number(key: &'static str, label: &'static str) -> Column {
    field(key, label, Kind::Number)
}

const fn table(title: &'static str, key: &'static str, columns: &'static [Column]) -> Part {
    Part { title, one: "", key, list: false, alone: false, expected: true, columns, first: "" }
}

const fn list(title: &'static str, one: &'static str, key: &'static str, columns: &'static [Column]) -> Part {
    Part { title, one, key, list: true, alone: false, expected: true, columns, first: "" }
}

const LANE: &[Part] = &[
    table(
        "The lane",
        "",
        &[
            field("name", "Name", Kind::Words),
            field("boards_from", "Boards count from", Kind::OneOf(&["right", "left"])),
            number("surface.ra_um", "Lane surface, Ra in µm"),
            number("smear_ft", "Buffer draws oil on, ft (strokes, rows)"),
            number("total_microlitres", "Oil in all, µL (rows)"),
            number("length_ft", "Oil ends at, ft (readings)"),
        ],
    ),
    Part {
        alone: true,
        first: "boards = [2, 38]\nfeet = [0, 30]\nmicrolitres = 5000\ndirection = \"out\"\n",
        ..list(
            "Strokes: oil laid on; where they overlap it adds up",
            "stroke",
            "strokes",
            &[
                number("boards.0", "from board"),
                number("boards.1", "to board"),
                number("feet.0", "from ft"),
                number("feet.1", "to ft"),
                number("microlitres", "µL, whole stroke"),
                field("direction", "travels", Kind::OneOf(&["out", "back"])),
            ],
        )
    },
    Part {
        alone: true,
        first: "from = \"2L\"\nto = \"2R\"\nloads = 2\nmicrolitres_per_board = 50\nfeet = [0, 20]\ndirection = \"out\"\n",
        ..list(
            "Rows of a printed sheet, in the order travelled",
            "row",
            "rows",
            &[
                field("from", "from board, with side", Kind::Words),
                field("to", "to board, with side", Kind::Words),
                number("loads", "loads"),
                number("microlitres_per_board", "µL a board and load"),
                number("feet.0", "from ft"),
                number("feet.1", "to ft"),
                field("direction", "travels", Kind::OneOf(&["out", "back"])),
            ],
        )
    },
    Part {
        alone: true,
        first: "feet = 10\nboards = [2, 8, 14, 20, 26, 32, 38]\nunits = [10, 25, 40, 45, 40, 25, 10]\n",
        ..list(
            "Readings: film measured across the lane",
            "reading",
            "readings",
            &[
                number("feet", "at ft"),
                field("boards", "boards (none: all 39)", Kind::Numbers),
                field("units", "film in units, board by board", Kind::Numbers),
            ],
        )
    },
    Part {
        alone: true,
        first: "to_feet = 60\nmu = 0.12\n",
        ..list(
            "Friction given outright, zone after zone",
            "zone",
            "friction",
            &[number("to_feet", "to ft"), number("mu", "friction")],
        )
    },
    Part {
        alone: true,
        expected: false,
        ..table(
            "Friction as a smooth step",
            "friction_curve",
            &[
                number("low", "near the foul line"),
                number("high", "near the pins"),
                number("middle_ft", "halfway at, ft"),
                number("width_ft", "half width, ft"),
            ],
        )
    },
];

const BAG: &[Part] = &[Part {
    first: "id = \"ball\"\nweight_lb = 15\ncover = \"reactive\"\nsurface = { grit = 2000 }\nrg_in = 2.52\n\
            differential_in = 0.045\ngames = 0\n",
    ..list(
        "Balls",
        "ball",
        "ball",
        &[
            field("id", "Name", Kind::Words),
            field("cover", "Cover", Kind::OneOf(&["reactive", "solid", "hybrid", "pearl", "urethane", "plastic"])),
            number("weight_lb", "Weight, lb"),
            field("finish", "Finish, in words", Kind::Words),
            Column {
                instead_of: &["surface.ra_um", "surface.polished"],
                ..number("surface.grit", "Surface: grit of the last pad")
            },
            Column {
                instead_of: &["surface.grit", "surface.polished"],
                ..number("surface.ra_um", "or Ra measured, µm")
            },
            Column {
                instead_of: &["surface.grit", "surface.ra_um"],
                ..field("surface.polished", "or polished", Kind::Yes)
            },
            number("games", "Games since"),
            number("rg_in", "RG, in"),
            number("differential_in", "Differential, in"),
            number("intermediate_in", "Intermediate, in"),
            number("layout.pin_to_pap_in", "Layout: pin to PAP, in"),
            number("layout.drilling_deg", "drilling angle, °"),
            number("layout.val_deg", "angle to the VAL, °"),
        ],
    )
}];

const BOWLER: &[Part] = &[
    table(
        "The usual shot",
        "",
        &[
            field("name", "Name", Kind::Words),
            field("hand", "Hand", Kind::OneOf(&["right", "left"])),
            number("speed_mph", "Speed at release, mph"),
            number("rev_rate_rpm", "Rev rate, rpm"),
            number("rotation_deg", "Axis rotation, °"),
            number("tilt_deg", "Axis tilt, °"),
            number("loft_ft", "Loft, ft past the foul line"),
        ],
    ),
    table(
        "How shots meant alike differ (standard deviations)",
        "spread",
        &[
            number("laydown_boards", "Laydown, boards"),
            number("launch_deg", "Launch, °"),
            number("speed_mph", "Speed, mph"),
            number("rev_rate_rpm", "Rev rate, rpm"),
            number("rotation_deg", "Axis rotation, °"),
            number("tilt_deg", "Axis tilt, °"),
        ],
    ),
    table(
        "What can be done on purpose",
        "range",
        &[
            number("speed_mph.0", "Slowest, mph"),
            number("speed_mph.1", "Fastest, mph"),
            number("rotation_deg.0", "Least axis rotation, °"),
            number("rotation_deg.1", "Most axis rotation, °"),
        ],
    ),
];

const EVENT: &[Part] = &[
    table(
        "The event",
        "",
        &[
            field("name", "Name", Kind::Words),
            number("practice_shots", "Practice throws each on each lane"),
            field(
                "surface_changes",
                "Surfaces may be changed",
                Kind::OneOf(&["before-practice", "until-practice-ends", "between-games", "any-time"]),
            ),
            number("cut.after_games", "Cut after games"),
            number("cut.pins", "Pins that make it"),
        ],
    ),
    Part {
        first: "lanes = [1, 2]\npatterns = [\"house-40-walled\", \"house-40-walled\"]\ngames = 3\n",
        ..list(
            "Pairs, in the order they are bowled on",
            "pair",
            "pair",
            &[
                number("lanes.0", "lane"),
                field("patterns.0", "pattern", Kind::Named(Shelf::Lane)),
                number("lanes.1", "lane"),
                field("patterns.1", "pattern", Kind::Named(Shelf::Lane)),
                number("games", "games"),
                number("games_before", "games before"),
            ],
        )
    },
    Part {
        first: "file = \"right-straighter\"\n",
        ..list(
            "Bowlers on the pair, in order; the first is the one it is about",
            "bowler",
            "bowler",
            &[
                field("file", "bowler", Kind::Named(Shelf::Bowler)),
                field("name", "called here", Kind::Words),
                field("bag", "bag", Kind::Named(Shelf::Bag)),
                field("ball", "starts with", Kind::Words),
                number("line.laydown", "laydown"),
                number("line.arrows", "at arrows"),
            ],
        )
    },
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use serde_json::Value;

    use super::*;

    /// What a value may be by its schema: all that it refers to and chooses among, laid side by side.
    fn choices<'a>(whole: &'a Value, of: &'a Value) -> Vec<&'a Value> {
        let named = of["$ref"].as_str().and_then(|path| whole.pointer(path.trim_start_matches('#')));
        let several = ["anyOf", "oneOf", "allOf"].into_iter().filter_map(|key| of[key].as_array()).flatten();
        std::iter::once(of).chain(named.into_iter().chain(several).flat_map(|one| choices(whole, one))).collect()
    }

    /// What stands under a key of a table, or at a place of a list, by its schema.
    fn under<'a>(whole: &'a Value, of: &'a Value, step: &str) -> Vec<&'a Value> {
        let place: Option<usize> = step.parse().ok();
        let inside = |one: &'a Value| match place {
            Some(place) => one["prefixItems"].get(place).or_else(|| one.get("items")),
            None => one["properties"].get(step),
        };
        choices(whole, of).into_iter().filter_map(inside).flat_map(|one| choices(whole, one)).collect()
    }

    /// The words that these allow, if they allow only some.
    fn words<'a>(all: &[&'a Value]) -> BTreeSet<&'a str> {
        let listed = all.iter().filter_map(|one| one["enum"].as_array()).flatten();
        listed.chain(all.iter().map(|one| &one["const"])).filter_map(Value::as_str).collect()
    }

    fn is(all: &[&Value], kind: &str) -> bool {
        let named =
            |kinds: &Value| *kinds == *kind || kinds.as_array().is_some_and(|all| all.iter().any(|one| *one == *kind));
        all.iter().any(|one| named(&one["type"]))
    }

    #[test]
    fn law_every_field_takes_what_the_schema_of_its_file_says() {
        for shelf in Shelf::ALL {
            let schema = serde_json::to_value(crate::schema(shelf)).unwrap();
            for part in parts(shelf) {
                let rows: Vec<&Value> = match (part.key, part.list) {
                    ("", _) => vec![&schema],
                    (key, false) => under(&schema, &schema, key),
                    (key, true) => {
                        under(&schema, &schema, key).into_iter().flat_map(|list| under(&schema, list, "0")).collect()
                    }
                };
                for Column { key, kind, .. } in part.columns {
                    let field = rows.iter().copied();
                    let values: Vec<&Value> = key.split('.').fold(field.collect(), |of: Vec<&Value>, step| {
                        of.into_iter().flat_map(|one| under(&schema, one, step)).collect()
                    });
                    let fits = match kind {
                        Kind::Number => is(&values, "number") || is(&values, "integer"),
                        Kind::Numbers => {
                            let each: Vec<&Value> = values.iter().flat_map(|list| under(&schema, list, "0")).collect();
                            is(&values, "array") && is(&each, "number")
                        }
                        Kind::Words | Kind::Named(_) => is(&values, "string"),
                        Kind::OneOf(all) => words(&values) == all.iter().copied().collect(),
                        Kind::Yes => is(&values, "boolean"),
                    };
                    assert!(fits, "{}: {}.{key}: {kind:?}, by the schema {values:?}", shelf.word(), part.key);
                }
            }
        }
    }
}
