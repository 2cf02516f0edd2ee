//! A lane's coat and slopes cut into the rows that the batch engine reads.

use super::{NODES, PART_FT, PARTS, ROW_FT, ROWS};
use crate::field::Field;
use crate::friction::Contact;
use crate::surface::{Coat, Coating, Ground, Lane, Shape};
use alloc::vec::Vec;
use boardwise_units::{Board, Feet, court};

/// What lies at one node across, row after row.
pub(super) type Column = [[f32; PARTS]; ROWS];

/// Rise across and along at one node across, times gravity, row after row.
pub(super) type Slopes = [[f32; 2]; ROWS];

/// Parts of rows from one node of a film to the next along the lane.
const PARTS_A_CELL: usize = ROWS * PARTS / (Field::ALONG - 1);

/// At each node across: film in metres in each part of each row, or friction where that is given. The nodes across are the film's own.
pub(super) fn coat(lane: &Lane, contact: &Contact) -> Vec<Column> {
    let middle = |k: usize| PART_FT * (k as f64 + 0.5);
    match &lane.coating {
        Coating::Oil(film) => of_film(&film.thickness_m, contact),
        Coating::Friction(field) => of_middles(|node, k| field.along(node, middle(k))),
        Coating::Step { .. } => of_middles(|node, k| {
            let x_m = Board(0.5 + 0.5 * node as f64).to_metres();
            let (Coat::Oil(value) | Coat::Friction(value)) = lane.coat(x_m, Feet(middle(k)).to_metres());
            value
        }),
    }
}

fn of_middles(value: impl Fn(usize, usize) -> f64) -> Vec<Column> {
    let part = |node: usize, k: usize| value(node, k) as f32;
    (0..NODES).map(|node| core::array::from_fn(|row| core::array::from_fn(|p| part(node, row * PARTS + p)))).collect()
}

/// The even film of each part. Along a column the film runs straight from node to node.
#[multiversion::multiversion(targets(
    "x86_64+avx512f+avx512bw+avx512cd+avx512dq+avx512vl+avx2+fma",
    "x86_64+avx2+fma"
))]
fn of_film(film_m: &Field, contact: &Contact) -> Vec<Column> {
    let mut columns = alloc::vec![[[0.0; PARTS]; ROWS]; NODES];
    for cell in 0..Field::ALONG - 1 {
        let ends = film_m.row(cell).iter().zip(film_m.row(cell + 1));
        for (column, (&near, &far)) in columns.iter_mut().zip(ends) {
            // Most of the lane has no oil left to look at.
            if near == 0.0 && far == 0.0 {
                continue;
            }
            let films: [f64; PARTS_A_CELL] = contact.even_films_m(near, far);
            for (part, film_m) in films.into_iter().enumerate() {
                let k = cell * PARTS_A_CELL + part;
                column[k / PARTS][k % PARTS] = film_m as f32;
            }
        }
    }
    columns
}

/// The row from which on no oil lies on the lane.
pub(super) fn bare_from(coat: &[Column]) -> usize {
    let wet_rows = |column: &Column| column.iter().rposition(|row| row.iter().any(|&film| film > 0.0));
    coat.iter().filter_map(wet_rows).max().map_or(0, |row| row + 1)
}

/// What the slope of a lane pulls, across and along.
#[derive(Clone, Debug)]
pub(super) enum Pull {
    /// The lane is level.
    None,
    /// It leans as a whole.
    Even([f32; 2]),
    /// At each node across, in the middle of each row.
    Nodes(Vec<Slopes>),
}

impl Pull {
    /// Of a lane's shape.
    pub fn of(shape: Option<&Shape>) -> Self {
        let Some(shape) = shape else { return Self::None };
        let rises = [&shape.across, &shape.along];
        let pull = |rise_m: f64| (-court::GRAVITY_M_S2 * rise_m) as f32;
        // Most lanes are only known to lean as a whole.
        if let [Some(across), Some(along)] = rises.map(Field::even) {
            return Self::Even([pull(across), pull(along)]);
        }
        let at = |rise: &Field, node: usize, row: usize| pull(rise.along(node, ROW_FT * (row as f64 + 0.5)));
        let column = |node: usize| core::array::from_fn(|row| rises.map(|rise| at(rise, node, row)));
        Self::Nodes((0..NODES).map(column).collect())
    }
}
