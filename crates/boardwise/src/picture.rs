//! Pictures: where the one that a command draws goes.

use boardwise_figures::Drawing;

use super::arguments::{Output, Theme};
use crate::Failure;
use boardwise_files::Fault;
use boardwise_files::whole::{self, Existing};
pub use boardwise_session::pictures::{lines, map, spares, throws};

/// Width of a PNG.
const WIDTH_PX: u32 = 1400;

/// Refuses places that cannot be written, before any work.
pub fn check(asked: &Output) -> Result<(), Fault> {
    for (flag, path) in [("--svg", &asked.svg), ("--png", &asked.png)] {
        if let Some(path) = path {
            whole::check_new(flag, path, existing(asked.force))?;
        }
    }
    Ok(())
}

/// What becomes of a file that is there already.
pub fn existing(force: bool) -> Existing {
    if force { Existing::Goes } else { Existing::Stays }
}

/// Whether any picture was asked for.
pub fn wanted(asked: &Output) -> bool {
    asked.svg.is_some() || asked.png.is_some()
}

/// Draws the picture if one was asked for; both files are drawn before either is written.
pub fn write(asked: &Output, drawn: impl FnOnce(boardwise_figures::Theme) -> Drawing) -> Result<(), Failure> {
    write_if(asked, |theme| Some(drawn(theme)))
}

/// The same for a picture that may not be there.
pub fn write_if(
    asked: &Output,
    drawn: impl FnOnce(boardwise_figures::Theme) -> Option<Drawing>,
) -> Result<(), Failure> {
    if !wanted(asked) {
        return Ok(());
    }
    let theme = match asked.theme {
        Theme::Light => boardwise_figures::Theme::Light,
        Theme::Dark => boardwise_figures::Theme::Dark,
    };
    let Some(drawing) = drawn(theme) else { return Ok(()) };
    let png = match &asked.png {
        Some(path) => Some((path, drawing.png(WIDTH_PX).map_err(|e| Failure::Picture(Box::new(e)))?)),
        None => None,
    };
    if let Some(path) = &asked.svg {
        whole::save(path, drawing.svg().as_bytes(), existing(asked.force))?;
    }
    if let Some((path, bytes)) = png {
        whole::save(path, &bytes, existing(asked.force))?;
    }
    Ok(())
}
