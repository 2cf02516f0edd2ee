//! A lane's coat cut into the parts of rows that the batch engine reads.

use super::{NODES, PART_FT, PARTS, ROWS};
use crate::field::{ALONG, Field};
use crate::friction::Contact;
use crate::surface::{Coat, Coating, Ground, Lane};
use alloc::vec::Vec;
use boardwise_units::{Board, Feet};

/// What lies at one node across, row after row.
pub(super) type Column = [[f32; PARTS]; ROWS];

/// Parts of rows from one node of a film to the next along the lane.
const PARTS_A_CELL: usize = ROWS * PARTS / (ALONG - 1);

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
fn of_film(film_m: &Field, contact: &Contact) -> Vec<Column> {
    let mut columns = alloc::vec![[[0.0; PARTS]; ROWS]; NODES];
    for cell in 0..ALONG - 1 {
        let ends = film_m.row(cell).iter().zip(film_m.row(cell + 1));
        for (column, (&near, &far)) in columns.iter_mut().zip(ends) {
            // Most of the lane has no oil left to look at.
            if near == 0.0 && far == 0.0 {
                continue;
            }
            let mut from = near;
            for part in 0..PARTS_A_CELL {
                let t = (part + 1) as f64 / PARTS_A_CELL as f64;
                let to = near * (1.0 - t) + far * t;
                let k = cell * PARTS_A_CELL + part;
                column[k / PARTS][k % PARTS] = contact.mean_film_m(from, to) as f32;
                from = to;
            }
        }
    }
    columns
}
