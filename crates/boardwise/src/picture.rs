//! Pictures: where the one that a command draws goes.

use boardwise_figures::Drawing;

use super::flags::{Output, Theme};
use crate::Failure;
use boardwise_files::whole::{self, Existing};
pub use boardwise_session::pictures::{lines, map, spares, throws};

/// Width of a PNG.
#[cfg(feature = "png")]
const WIDTH_PX: u32 = 1400;

/// Refuses what cannot be drawn and places that cannot be written, before any work.
pub fn check(asked: &Output) -> Result<(), Failure> {
    if asked.png.is_some() && cfg!(not(feature = "png")) {
        return Err(NO_PNG);
    }
    for (flag, path) in [("--svg", &asked.svg), ("--png", &asked.png)] {
        if let Some(path) = path {
            whole::check_new(flag, path, existing(asked.force))?;
        }
    }
    Ok(())
}

const NO_PNG: Failure = Failure::LeftOut("pictures as PNG (--svg draws them)");

#[cfg(feature = "png")]
fn png(drawing: &Drawing) -> Result<Vec<u8>, Failure> {
    drawing.png(WIDTH_PX).map_err(|error| Failure::Picture(Box::new(error)))
}

#[cfg(not(feature = "png"))]
fn png(_: &Drawing) -> Result<Vec<u8>, Failure> {
    Err(NO_PNG)
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
        Some(path) => Some((path, png(&drawing)?)),
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
