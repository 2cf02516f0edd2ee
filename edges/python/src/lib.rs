//! The native part of the Python package `boardwise`.
//!
//! It holds what must be fast: kit files read and checked, throws, racks, the search for lines, and the belief. The Python part
//! beside it gives defaults and shapes. Names are those of the Rust libraries; every number carries its unit in its name.
//!
//! Each call that computes lets go of the interpreter's lock, so that other Python threads run meanwhile. Computation itself
//! uses every core.

mod belief;
mod forecast;
mod kit;
mod lines;
mod racks;
mod tables;
mod throws;

use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;

/// A value that cannot be, in the words of whoever found it.
fn refused(why: impl std::fmt::Display) -> PyErr {
    PyValueError::new_err(why.to_string())
}

/// Fast parts of boardwise; use the package `boardwise`.
#[pymodule(gil_used = false)]
mod _boardwise {
    #[pymodule_export]
    use crate::belief::{Belief, NextShot};
    #[pymodule_export]
    use crate::forecast::forecast;
    #[pymodule_export]
    use crate::kit::{Bag, Ball, Bowler, Lane};
    #[pymodule_export]
    use crate::lines::{Line, find_lines};
    #[pymodule_export]
    use crate::racks::{strike_chance, throw_racks};
    #[pymodule_export]
    use crate::tables::{read_table, write_table};
    #[pymodule_export]
    use crate::throws::{path, throw};
}
