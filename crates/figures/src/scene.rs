//! What a picture is made of: a list of SVG elements with numbers of two decimals and escaped text.

use crate::colour::{Palette, Theme};
#[cfg(feature = "png")]
use crate::png;
use std::fmt::Write;

/// A finished picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    svg: String,
    says: String,
    width: f64,
    height: f64,
}

impl Drawing {
    /// The picture as an SVG document.
    pub fn svg(&self) -> &str {
        &self.svg
    }

    /// What it shows, for those who cannot see it.
    pub fn says(&self) -> &str {
        &self.says
    }

    /// Width and height, in units of the picture.
    pub fn size(&self) -> (f64, f64) {
        (self.width, self.height)
    }

    /// The picture as PNG of this width; the height follows.
    ///
    /// # Errors
    /// If the width is 0 or more than 8192 pixels, or makes a tall picture too large.
    #[cfg(feature = "png")]
    pub fn png(&self, width_px: u32) -> Result<Vec<u8>, png::DrawError> {
        png::render(&self.svg, self.width, self.height, width_px)
    }
}

#[cfg(feature = "png")]
impl Drawing {
    /// The picture over a grey picture of its own size in pixels (a byte each, row after row), or over nothing.
    ///
    /// # Errors
    /// If it is wider or taller than 8192 pixels, or the grey picture has another size.
    pub fn png_over(&self, luma: Option<&[u8]>) -> Result<Vec<u8>, png::DrawError> {
        png::render_over(&self.svg, (self.width as usize, self.height as usize), luma)
    }
}

/// Which end of a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

impl Anchor {
    pub fn flipped(self) -> Self {
        match self {
            Self::Start => Self::End,
            Self::Middle => Self::Middle,
            Self::End => Self::Start,
        }
    }
}

/// How text looks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Type<'a> {
    pub size: f64,
    pub colour: &'a str,
    pub bold: bool,
    pub anchor: Anchor,
}

/// A picture in the making.
pub(crate) struct Scene {
    width: f64,
    height: f64,
    title: String,
    says: String,
    body: String,
    pub palette: Palette,
}

impl Scene {
    pub fn new(width: f64, height: f64, title: &str, theme: Theme) -> Self {
        let palette = theme.palette();
        let mut scene = Self::bare(width, height, title, theme);
        scene.rect(0.0, 0.0, width, height, &format!("fill=\"{}\"", palette.paper));
        let fitted = fit(title, 14.0, width - 24.0);
        let kind = Type { size: 14.0, colour: palette.ink, bold: true, anchor: Anchor::Start };
        scene.text(12.0, 22.0, &fitted, kind);
        scene
    }

    /// A picture without ground or heading; the title is for people who listen to it.
    pub fn bare(width: f64, height: f64, title: &str, theme: Theme) -> Self {
        let (title, says, palette) = (escape(title), title.to_owned(), theme.palette());
        Self { width, height, title, says, body: String::new(), palette }
    }

    /// Sets the words that describe the picture to people who cannot see it; without them it has its title.
    pub fn says(&mut self, words: String) {
        self.says = words;
    }

    /// Small text in the quiet colour.
    pub fn note(&mut self, x: f64, y: f64, words: &str, anchor: Anchor) {
        let kind = Type { size: 10.0, colour: self.palette.quiet, bold: false, anchor };
        self.text(x, y, words, kind);
    }

    pub fn text(&mut self, x: f64, y: f64, words: &str, kind: Type) {
        let anchor = match kind.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let weight = if kind.bold { " font-weight=\"bold\"" } else { "" };
        let (x, y, size, colour, words) = (number(x), number(y), number(kind.size), kind.colour, escape(words));
        self.push(format_args!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" fill=\"{colour}\" text-anchor=\"{anchor}\"{weight}>{words}</text>"
        ));
    }

    pub fn rect(&mut self, x: f64, y: f64, width: f64, height: f64, look: &str) {
        let (x, y, width, height) = (number(x), number(y), number(width), number(height));
        self.push(format_args!("<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" {look}/>"));
    }

    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), look: &str) {
        let (x1, y1, x2, y2) = (number(from.0), number(from.1), number(to.0), number(to.1));
        self.push(format_args!("<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" {look}/>"));
    }

    pub fn circle(&mut self, x: f64, y: f64, radius: f64, look: &str) {
        let (x, y, radius) = (number(x), number(y), number(radius));
        self.push(format_args!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" {look}/>"));
    }

    pub fn polyline(&mut self, points: &[(f64, f64)], look: &str) {
        let points = listed(points);
        self.push(format_args!("<polyline points=\"{points}\" fill=\"none\" {look}/>"));
    }

    pub fn polygon(&mut self, points: &[(f64, f64)], look: &str) {
        let points = listed(points);
        self.push(format_args!("<polygon points=\"{points}\" {look}/>"));
    }

    pub fn path(&mut self, d: &str, look: &str) {
        self.push(format_args!("<path d=\"{d}\" {look}/>"));
    }

    pub fn open(&mut self, look: &str) {
        self.push(format_args!("<g {look}>"));
    }

    /// CSS rules for what follows.
    pub fn style(&mut self, rules: &str) {
        self.push(format_args!("<style>{rules}</style>"));
    }

    pub fn close(&mut self) {
        self.push(format_args!("</g>"));
    }

    fn push(&mut self, element: std::fmt::Arguments) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.body, "{element}");
    }

    pub fn finish(self) -> Drawing {
        let (width, height) = (number(self.width), number(self.height));
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" role=\"img\" \
             font-family=\"'DejaVu Sans Condensed', 'DejaVu Sans', 'Segoe UI', 'Helvetica Neue', sans-serif\">\n\
             <title>{}</title>\n{}</svg>\n",
            self.title, self.body
        );
        Drawing { svg, says: self.says, width: self.width, height: self.height }
    }
}

fn listed(points: &[(f64, f64)]) -> String {
    let mut list = String::with_capacity(points.len() * 14);
    for &(x, y) in points {
        if !list.is_empty() {
            list.push(' ');
        }
        list.push_str(&number(x));
        list.push(',');
        list.push_str(&number(y));
    }
    list
}

/// A number rounded to two decimals, without trailing zeros. NaN and infinity become 0.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{:.2}", if value.is_finite() { value } else { 0.0 });
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// Text made safe for XML: markup escaped, characters XML forbids replaced.
pub(crate) fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => safe.push('\u{fffd}'),
            c => safe.push(c),
        }
    }
    safe
}

/// Text cut to about this width, with an ellipsis where it was cut.
pub(crate) fn fit(text: &str, size: f64, width: f64) -> String {
    let room = (width / (0.56 * size)).max(1.0) as usize;
    if text.chars().count() <= room {
        return text.into();
    }
    let mut cut: String = text.chars().take(room.saturating_sub(1)).collect();
    cut.truncate(cut.trim_end().len());
    cut.push('…');
    cut
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_numbers_have_two_decimals_at_most_and_no_negative_nothing() {
        for (value, text) in [
            (1.0, "1"),
            (1.005_1, "1.01"),
            (-0.001, "0"),
            (-2.5, "-2.5"),
            (100.0, "100"),
            (f64::NAN, "0"),
            (0.333, "0.33"),
        ] {
            assert_eq!(number(value), text);
        }
    }

    #[test]
    fn law_long_text_is_cut_and_short_text_kept() {
        assert_eq!(fit("short", 10.0, 100.0), "short");
        let cut = fit(&"long ".repeat(40), 10.0, 100.0);
        assert!(cut.ends_with('…') && cut.chars().count() < 20);
    }
}
