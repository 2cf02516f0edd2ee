//! Pages of paper, written as PDF: words in their places, rules, and pictures that are drawn elsewhere.

use crate::png::{self, DrawError};
use crate::scene::Drawing;
use krilla::color::rgb;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::{PathBuilder, Point, Size, Transform};
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, SpanTag, TableHeaderScope, Tag, TagGroup, TagKind, TagTree,
};
use krilla::text::{Font, TextDirection};
use krilla::{Data, Document, SerializeSettings};
use krilla_svg::{SurfaceExt, SvgSettings};
use std::num::NonZeroU16;
use std::sync::LazyLock;
use ttf_parser::Face as Metrics;

/// How words on paper look; sizes in points.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Face {
    pub size: f32,
    pub bold: bool,
    pub colour: [u8; 3],
}

/// What stands on a page; places in points from its upper left corner.
pub(crate) enum Item<'a> {
    Words { x: f32, y: f32, face: Face, words: String },
    Rule { y: f32, from: f32, to: f32, thick: f32, colour: [u8; 3] },
    Picture { x: f32, y: f32, size: (f32, f32), picture: &'a Drawing },
}

impl Item<'_> {
    /// Everything of it times this.
    pub fn scale(&mut self, by: f32) {
        match self {
            Self::Words { x, y, face, .. } => {
                *x *= by;
                *y *= by;
                face.size *= by;
            }
            Self::Rule { y, from, to, thick, .. } => {
                for one in [y, from, to, thick] {
                    *one *= by;
                }
            }
            Self::Picture { x, y, size, .. } => {
                for one in [x, y, &mut size.0, &mut size.1] {
                    *one *= by;
                }
            }
        }
    }
}

/// The parts of a handout, for people who listen to it.
#[derive(Clone, Debug)]
pub(crate) enum Part {
    Heading { level: u16, words: String },
    Text,
    Figure { says: String },
    Cell { table: usize, row: usize, head: bool },
}

/// An item with the number of its part; `None` if it is only for the eye.
pub(crate) struct Placed<'a> {
    pub item: Item<'a>,
    pub part: Option<usize>,
}

#[derive(Default)]
pub(crate) struct Page<'a> {
    pub items: Vec<Placed<'a>>,
}

impl<'a> Page<'a> {
    /// Adds an item that is only for the eye.
    pub fn aside(&mut self, item: Item<'a>) {
        self.items.push(Placed { item, part: None });
    }
}

/// A file's worth of pages.
pub(crate) struct Written<'a> {
    pub title: &'a str,
    pub size: (f32, f32),
    pub pages: &'a [Page<'a>],
    /// In the order of reading.
    pub parts: &'a [Part],
    /// Headings with their page and height.
    pub outline: &'a [(String, usize, f32)],
}

/// Widths of the letters, regular and bold.
static METRICS: LazyLock<[Option<Metrics<'static>>; 2]> =
    LazyLock::new(|| png::FACES.map(|face| Metrics::parse(face(), 0).ok()));

/// Width of words on one line.
pub(crate) fn width(words: &str, face: Face) -> f32 {
    words.chars().map(|c| advance(c, face)).sum()
}

fn advance(c: char, face: Face) -> f32 {
    let Some(metrics) = &METRICS[usize::from(face.bold)] else { return 0.6 * face.size };
    let glyph = metrics.glyph_index(c).unwrap_or_default();
    let units = metrics.glyph_hor_advance(glyph).unwrap_or_default();
    f32::from(units) / f32::from(metrics.units_per_em()) * face.size
}

/// Words cut to a width, with an ellipsis where they were cut.
pub(crate) fn cut(words: &str, face: Face, room: f32) -> String {
    let words = plain(words);
    if width(&words, face) <= room {
        return words;
    }
    let mut left = room - advance('…', face);
    let kept = words.chars().take_while(|&c| {
        left -= advance(c, face);
        left >= 0.0
    });
    format!("{}…", kept.collect::<String>().trim_end())
}

/// Words on lines of this width. A word wider than a line is broken. Empty text gives no line.
pub(crate) fn wrapped(words: &str, face: Face, room: f32) -> Vec<String> {
    let words = plain(words);
    let mut lines: Vec<String> = Vec::new();
    let (mut line, mut used) = (String::new(), 0.0);
    for word in words.split_whitespace() {
        let long = width(word, face);
        let gap = if line.is_empty() { 0.0 } else { advance(' ', face) };
        if used + gap + long <= room {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
            used += gap + long;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
            used = 0.0;
        }
        for c in word.chars() {
            let wide = advance(c, face);
            if used + wide > room && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            line.push(c);
            used += wide;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Adds a space at the end of every line but the last, so that words stay apart when they are read aloud or copied.
pub(crate) fn spaced(mut lines: Vec<String>) -> Vec<String> {
    if let Some((_, before)) = lines.split_last_mut() {
        for line in before {
            line.push(' ');
        }
    }
    lines
}

/// The text with control characters replaced by spaces.
fn plain(words: &str) -> String {
    words.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

fn font(face: fn() -> &'static [u8]) -> Result<Font, DrawError> {
    Font::new(Data::from(face().to_vec()), 0).ok_or_else(|| DrawError::Pdf("the font cannot be read".into()))
}

/// Writes the file. Nothing in it tells when or where it was written.
///
/// It keeps to PDF/UA-1 (ISO 14289-1). If it cannot, because the font lacks a letter, the file does not claim the standard; its
/// parts are named all the same.
pub(crate) fn write(written: &Written) -> Result<Vec<u8>, DrawError> {
    let builder = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1);
    let configuration = builder.finish().map_err(|error| DrawError::Pdf(format!("{error:?}")))?;
    let strict = SerializeSettings { configuration, ..SerializeSettings::default() };
    match write_as(written, strict)? {
        Err(KrillaError::Validation(_)) => write_as(written, SerializeSettings::default())?,
        done => done,
    }
    .map_err(|error| DrawError::Pdf(error.to_string()))
}

fn write_as(written: &Written, settings: SerializeSettings) -> Result<Result<Vec<u8>, KrillaError>, DrawError> {
    let [regular, bold] = png::FACES.map(font);
    let fonts = [regular?, bold?];
    let sheet_size = PageSettings::from_wh(written.size.0, written.size.1)
        .ok_or_else(|| DrawError::Pdf("paper has a width and a height".into()))?;
    let mut document = Document::new_with(settings);
    let mut pieces: Vec<Vec<Identifier>> = vec![Vec::new(); written.parts.len()];
    for page in written.pages {
        let mut sheet = document.start_page_with(sheet_size.clone());
        let mut surface = sheet.surface();
        for Placed { item, part } in &page.items {
            let piece = surface.start_tagged(kind_of(item, part.is_some()));
            put(&mut surface, item, &fonts)?;
            surface.end_tagged();
            if let (Some(part), false) = (part, matches!(item, Item::Rule { .. })) {
                pieces[*part].push(piece);
            }
        }
        surface.finish();
        sheet.finish();
    }
    let mut outline = Outline::new();
    for (words, page, y) in written.outline {
        let place = XyzDestination::new(*page, Point::from_xy(0.0, *y));
        outline.push_child(OutlineNode::new(words.clone(), place));
    }
    document.set_outline(outline);
    document.set_tag_tree(tree(written.parts, pieces));
    let about = Metadata::new().title(written.title.into()).language("en".into());
    document.set_metadata(about);
    Ok(document.finish())
}

/// How an item is marked: as content, or as something only for the eye.
fn kind_of(item: &Item, is_content: bool) -> ContentTag<'static> {
    match item {
        Item::Words { .. } if is_content => ContentTag::Span(SpanTag::empty()),
        Item::Picture { .. } if is_content => ContentTag::Other,
        Item::Rule { .. } => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
        _ => ContentTag::Artifact(Artifact::with_kind(ArtifactType::PaginationOther)),
    }
}

/// The tree of parts with their pieces. Neighbouring cells make rows, and the rows of one table make the table.
fn tree(parts: &[Part], pieces: Vec<Vec<Identifier>>) -> TagTree {
    let mut tree = TagTree::new().with_lang(Some("en".into()));
    let mut rows: Vec<Vec<(bool, TagGroup)>> = Vec::new();
    for (k, (part, pieces)) in parts.iter().zip(pieces).enumerate() {
        // An empty part is left out.
        if pieces.is_empty() {
            continue;
        }
        let mut group = TagGroup::new(tag_of(part));
        for piece in pieces {
            group.push(piece);
        }
        let Part::Cell { table, row, head } = *part else {
            tree.push(group);
            continue;
        };
        let goes_on = |of: &Part| matches!(of, Part::Cell { table: other, .. } if *other == table);
        match parts.get(k.wrapping_sub(1)) {
            Some(Part::Cell { table: other, row: before, .. }) if *other == table && *before == row => {}
            _ => rows.push(Vec::new()),
        }
        if let Some(cells) = rows.last_mut() {
            cells.push((head, group));
        }
        if !parts.get(k + 1).is_some_and(goes_on) {
            tree.push(table_of(std::mem::take(&mut rows)));
        }
    }
    tree
}

fn table_of(rows: Vec<Vec<(bool, TagGroup)>>) -> TagGroup {
    let mut table = TagGroup::new(Tag::Table);
    let (head, body): (Vec<_>, Vec<_>) = rows.into_iter().partition(|cells| cells.iter().all(|(head, _)| *head));
    for (kind, rows) in [(TagKind::from(Tag::THead), head), (Tag::TBody.into(), body)] {
        let of = |cells: Vec<(bool, TagGroup)>| {
            TagGroup::with_children(Tag::TR, cells.into_iter().map(|(_, cell)| cell.into()).collect()).into()
        };
        if !rows.is_empty() {
            table.push(TagGroup::with_children(kind, rows.into_iter().map(of).collect()));
        }
    }
    table
}

fn tag_of(part: &Part) -> TagKind {
    match part {
        Part::Heading { level, words } => {
            Tag::Hn(NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN), Some(words.clone())).into()
        }
        Part::Text => Tag::P.into(),
        Part::Figure { says } => Tag::Figure(Some(says.clone()).filter(|says| !says.is_empty())).into(),
        Part::Cell { head: true, .. } => Tag::TH(TableHeaderScope::Column).into(),
        Part::Cell { .. } => Tag::TD.into(),
    }
}

fn put(surface: &mut Surface, item: &Item, fonts: &[Font; 2]) -> Result<(), DrawError> {
    match item {
        Item::Words { x, y, face, words } => {
            surface.set_stroke(None);
            surface.set_fill(Some(Fill { paint: colour(face.colour).into(), ..Fill::default() }));
            let font = fonts[usize::from(face.bold)].clone();
            surface.draw_text(Point::from_xy(*x, *y), font, face.size, words, false, TextDirection::Auto);
        }
        Item::Rule { y, from, to, thick, colour: ink } => {
            let mut rule = PathBuilder::new();
            rule.move_to(*from, *y);
            rule.line_to(*to, *y);
            surface.set_fill(None);
            surface.set_stroke(Some(Stroke { paint: colour(*ink).into(), width: *thick, ..Stroke::default() }));
            if let Some(rule) = rule.finish() {
                surface.draw_path(&rule);
            }
        }
        Item::Picture { x, y, size, picture } => {
            let tree = png::tree(picture.svg())?;
            let (Some(size), settings) = (Size::from_wh(size.0, size.1), SvgSettings::default()) else {
                return Ok(());
            };
            surface.push_transform(&Transform::from_translate(*x, *y));
            surface.draw_svg(&tree, size, settings);
            surface.pop();
        }
    }
    Ok(())
}

fn colour([red, green, blue]: [u8; 3]) -> rgb::Color {
    rgb::Color::new(red, green, blue)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FACE: Face = Face { size: 10.0, bold: false, colour: [0; 3] };

    #[test]
    fn law_no_line_is_wider_than_its_room_and_no_letter_is_lost() {
        let words = "Feet 2 & eyes 1 in; a_very_long_word_that_no_line_can_hold_in_one_piece and é ü ± – more";
        for room in [12.0, 40.0, 90.0, 400.0] {
            let lines = wrapped(words, FACE, room);
            assert!(lines.iter().all(|line| width(line, FACE) <= room + 1e-3), "{room}: {lines:?}");
            let letters = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(words));
        }
        assert!(wrapped("", FACE, 90.0).is_empty() && wrapped(" \n ", FACE, 90.0).is_empty());
        assert!(cut(words, FACE, 80.0).ends_with('…') && width(&cut(words, FACE, 80.0), FACE) <= 80.0);
    }
}
