//! The raster: the same SVG, drawn with a built-in font.

use resvg::{tiny_skia, usvg};
use std::sync::{Arc, LazyLock};
use usvg::fontdb;

/// Widest raster drawn.
const WIDEST_PX: u32 = 8192;

/// Most pixels drawn: half a gigabyte of raster.
const MOST_PX: f64 = 134_217_728.0;

/// Why a picture could not become a raster.
#[derive(Debug, thiserror::Error)]
pub enum DrawError {
    /// The width is out of range.
    #[error("a width of {0} px is outside 1 to {WIDEST_PX}, or too much for a picture this tall")]
    Width(u32),
    /// The picture is not the SVG it should be.
    #[error("the picture cannot be read back: {0}")]
    Svg(#[from] usvg::Error),
    /// The raster could not be written.
    #[error("the raster cannot be written: {0}")]
    Png(String),
    /// The pages could not be written.
    #[error("the pages cannot be written: {0}")]
    Pdf(String),
}

/// The letters, regular and bold.
pub(crate) const FACES: [fn() -> &'static [u8]; 2] = [dejavu::sans_condensed::regular, dejavu::sans_condensed::bold];

/// The only fonts used, so that a picture looks the same on every machine. `DejaVu` is free to embed (Bitstream
/// Vera licence and public domain).
static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    for face in FACES {
        fonts.load_font_source(fontdb::Source::Binary(Arc::new(face())));
    }
    let family = fonts.faces().next().map(|face| face.families[0].0.clone());
    fonts.set_sans_serif_family(family.unwrap_or_default());
    Arc::new(fonts)
});

/// The picture read back, with its text set in the built-in font.
pub(crate) fn tree(svg: &str) -> Result<usvg::Tree, DrawError> {
    let options = usvg::Options { fontdb: Arc::clone(&FONTS), ..usvg::Options::default() };
    Ok(usvg::Tree::from_str(svg, &options)?)
}

/// The picture over a grey one of the same size, or over nothing.
pub(crate) fn render_over(
    svg: &str,
    (width, height): (usize, usize),
    luma: Option<&[u8]>,
) -> Result<Vec<u8>, DrawError> {
    let wrong = DrawError::Width(u32::try_from(width).unwrap_or(u32::MAX));
    let (Ok(width_px), Ok(height_px)) = (u32::try_from(width), u32::try_from(height)) else { return Err(wrong) };
    let fits = width_px > 0 && width_px <= WIDEST_PX && height_px <= WIDEST_PX && (width * height) as f64 <= MOST_PX;
    if !fits || luma.is_some_and(|luma| luma.len() != width * height) {
        return Err(wrong);
    }
    let mut raster = tiny_skia::Pixmap::new(width_px, height_px).ok_or(wrong)?;
    for (pixel, luma) in raster.data_mut().chunks_exact_mut(4).zip(luma.unwrap_or_default()) {
        pixel.copy_from_slice(&[*luma, *luma, *luma, 255]);
    }
    resvg::render(&tree(svg)?, tiny_skia::Transform::identity(), &mut raster.as_mut());
    raster.encode_png().map_err(|error| DrawError::Png(error.to_string()))
}

pub(crate) fn render(svg: &str, width: f64, height: f64, width_px: u32) -> Result<Vec<u8>, DrawError> {
    if width_px == 0 || width_px > WIDEST_PX {
        return Err(DrawError::Width(width_px));
    }
    let tree = tree(svg)?;
    let scale = f64::from(width_px) / width;
    if height * scale * f64::from(width_px) > MOST_PX {
        return Err(DrawError::Width(width_px));
    }
    let height_px = (height * scale).round().max(1.0) as u32;
    let mut raster = tiny_skia::Pixmap::new(width_px, height_px).ok_or(DrawError::Width(width_px))?;
    let place = tiny_skia::Transform::from_scale(scale as f32, scale as f32);
    resvg::render(&tree, place, &mut raster.as_mut());
    raster.encode_png().map_err(|error| DrawError::Png(error.to_string()))
}
