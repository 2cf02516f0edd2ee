//! A handout on paper: headings, text, tables and pictures on A4 pages, as PDF.

use crate::flow::{Flow, GAP, INK, QUIET};
use crate::paper::{self, Face, Item, Page, Part, Written, wrapped};
use crate::png::DrawError;
use crate::scene::Drawing;
use crate::table;

/// Edge of paper left free.
const EDGE: f32 = 45.0;
/// Height kept for the footer.
const FOOT: f32 = 24.0;

/// How much smaller a page may become, step by step: text of 10 points stays above 8.
const SMALLER: [f32; 4] = [0.95, 0.9, 0.85, 0.81];

const TITLE: Face = Face { size: 19.0, bold: true, colour: INK };
const HEADING: Face = Face { size: 13.0, bold: true, colour: INK };
const TEXT: Face = Face { size: 10.0, bold: false, colour: INK };
const SMALL: Face = Face { size: 8.0, bold: false, colour: QUIET };

/// How an A4 sheet is held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm wide, 297 mm tall.
    #[default]
    Portrait,
    /// 297 mm wide, 210 mm tall.
    Landscape,
}

impl Paper {
    /// Width and height in points, of which an inch has 72.
    pub(crate) const fn points(self) -> (f32, f32) {
        match self {
            Self::Portrait => (595.276, 841.89),
            Self::Landscape => (841.89, 595.276),
        }
    }
}

#[derive(Clone, Debug)]
enum Block {
    Heading(String),
    Text(String),
    Table { head: Vec<String>, rows: Vec<Vec<String>> },
    Pictures(Vec<Drawing>),
    NewPage,
}

impl Block {
    /// The least height of a block that must stand below a heading.
    fn first_part(&self, flow: &Flow<'_>) -> f32 {
        match self {
            Block::Pictures(pictures) => {
                // As small as it may become.
                let tallest = pictures.iter().map(|picture| picture.size().1 as f32).fold(0.0, f32::max);
                (0.81 * flow.scale(pictures) * tallest).min(flow.height() - 40.0)
            }
            Block::Text(_) => 3.0 * TEXT.size,
            Block::Table { .. } => 4.0 * TEXT.size,
            Block::Heading(_) => 3.0 * HEADING.size,
            Block::NewPage => 0.0,
        }
    }
}

/// A handout for a coach to give away. Text stays text, so it can be searched and copied. The file names headings, paragraphs,
/// tables and pictures, and says in words what each picture shows (PDF/UA-1, if the font has all letters). The same content
/// gives the same bytes.
///
/// ```
/// let sign = boardwise_figures::leave_glyph("3-10".parse()?, boardwise_figures::Theme::Light);
/// let pdf = boardwise_figures::Handout::new("Tuesday clinic")
///     .caution("Predictions are estimates, not promises.")
///     .heading("The 3-10")
///     .text("Stand left, look right, ball that goes straight.")
///     .table(&["ball", "made"], &[vec!["plastic".into(), "7 in 10".into()]])
///     .picture(&sign)
///     .pdf()?;
/// assert!(pdf.starts_with(b"%PDF-"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Handout {
    title: String,
    caution: String,
    paper: Paper,
    one_page: bool,
    blocks: Vec<Block>,
}

impl Handout {
    /// An empty handout, A4 portrait; the title stands on top of the first page, and small on the others.
    pub fn new(title: &str) -> Self {
        Self {
            title: title.into(),
            caution: String::new(),
            paper: Paper::Portrait,
            one_page: false,
            blocks: Vec::new(),
        }
    }

    /// How the sheet is held.
    #[must_use]
    pub fn paper(mut self, paper: Paper) -> Self {
        self.paper = paper;
        self
    }

    /// Makes everything smaller, by up to a fifth, where that brings it on one page. What still does not fit goes on.
    #[must_use]
    pub fn one_page(mut self) -> Self {
        self.one_page = true;
        self
    }

    /// The pages that it takes.
    pub fn pages(&self) -> usize {
        self.lay_out().pages.len()
    }

    /// The words at the foot of every page, beside its number: how far to trust the figures.
    #[must_use]
    pub fn caution(mut self, words: &str) -> Self {
        self.caution = words.into();
        self
    }

    /// A heading; it stays on the page of what follows it.
    #[must_use]
    pub fn heading(self, words: &str) -> Self {
        self.with(Block::Heading(words.into()))
    }

    /// Text; a line break begins a paragraph.
    #[must_use]
    pub fn text(self, words: &str) -> Self {
        self.with(Block::Text(words.into()))
    }

    /// A table. Numbers are aligned to the right, and the head is repeated on every page. Missing cells are empty.
    #[must_use]
    pub fn table(self, head: &[&str], rows: &[Vec<String>]) -> Self {
        let head = head.iter().map(|words| (*words).to_owned()).collect();
        self.with(Block::Table { head, rows: rows.to_vec() })
    }

    /// A picture: 95 mm for a width of 360, smaller where the page is.
    #[must_use]
    pub fn picture(self, picture: &Drawing) -> Self {
        self.pictures(&[picture])
    }

    /// Pictures side by side, all of one scale.
    #[must_use]
    pub fn pictures(self, pictures: &[&Drawing]) -> Self {
        self.with(Block::Pictures(pictures.iter().map(|picture| (*picture).clone()).collect()))
    }

    /// What follows begins on a new page.
    #[must_use]
    pub fn new_page(self) -> Self {
        self.with(Block::NewPage)
    }

    fn with(mut self, block: Block) -> Self {
        self.blocks.push(block);
        self
    }

    /// The handout as a PDF file.
    ///
    /// # Errors
    /// If a picture cannot be read back, or the file cannot be written.
    pub fn pdf(&self) -> Result<Vec<u8>, DrawError> {
        let LaidOut { pages, parts, outline } = self.lay_out();
        let written =
            Written { title: &self.title, size: self.paper.points(), pages: &pages, parts: &parts, outline: &outline };
        paper::write(&written)
    }

    fn lay_out(&self) -> LaidOut<'_> {
        let full = self.lay_out_at(1.0);
        if !self.one_page || full.pages.len() == 1 {
            return full;
        }
        let smaller = SMALLER.into_iter().map(|scale| self.lay_out_at(scale)).find(|laid| laid.pages.len() == 1);
        smaller.unwrap_or(full)
    }

    /// Laid out on a sheet that is larger by as much as everything is to become smaller, then brought to its size.
    fn lay_out_at(&self, scale: f32) -> LaidOut<'_> {
        let (width, height) = self.paper.points();
        let (width, height) = (width / scale, height / scale);
        let (edge, foot) = (EDGE / scale, FOOT / scale);
        let body = (edge, edge, width - edge, height - edge - foot);
        let mut flow = Flow::new(body);
        flow.begin(Part::Heading { level: 1, words: self.title.clone() });
        flow.lines(&self.title, TITLE, 1.3);
        flow.space(8.0);
        let mut outline = vec![(self.title.clone(), 0, body.1)];
        let mut tables = 0;
        for (k, block) in self.blocks.iter().enumerate() {
            match block {
                Block::Heading(words) => {
                    let lines = wrapped(words, HEADING, flow.width()).len() as f32;
                    let follows = self.blocks.get(k + 1).map_or(0.0, |next| next.first_part(&flow));
                    flow.keep(6.0 + lines * HEADING.size * 1.35 + follows);
                    flow.space(6.0);
                    outline.push((words.clone(), flow.pages.len() - 1, flow.y()));
                    flow.begin(Part::Heading { level: 2, words: words.clone() });
                    flow.lines(words, HEADING, 1.35);
                    flow.space(2.0);
                }
                Block::Text(words) => {
                    for paragraph in words.lines() {
                        flow.begin(Part::Text);
                        flow.lines(paragraph, TEXT, 1.4);
                        flow.space(4.0);
                    }
                    flow.space(2.0);
                }
                Block::Table { head, rows } => {
                    table::lay(&mut flow, tables, head, rows);
                    tables += 1;
                    flow.space(GAP);
                }
                Block::Pictures(pictures) => flow.pictures(pictures),
                Block::NewPage => flow.turn(),
            }
        }
        self.margins(&mut flow);
        for placed in flow.pages.iter_mut().flat_map(|page| &mut page.items) {
            placed.item.scale(scale);
        }
        for (_, _, y) in &mut outline {
            *y *= scale;
        }
        LaidOut { pages: flow.pages, parts: flow.parts, outline }
    }

    /// The title on the pages after the first; the caution and the number on all of them.
    fn margins(&self, flow: &mut Flow<'_>) {
        let (left, top, right, bottom) = flow.body;
        let count = flow.pages.len();
        for (k, page) in flow.pages.iter_mut().enumerate() {
            if k > 0 {
                let title = paper::cut(&self.title, SMALL, right - left);
                page.aside(Item::Words { x: left, y: top - 14.0, face: SMALL, words: title });
            }
            let y = bottom + 18.0;
            page.aside(Item::Rule { y: y - 11.0, from: left, to: right, thick: 0.5, colour: QUIET });
            let number = format!("page {} of {count}", k + 1);
            let room = paper::width(&number, SMALL);
            page.aside(Item::Words { x: right - room, y, face: SMALL, words: number });
            for (line, words) in
                wrapped(&self.caution, SMALL, right - left - room - 24.0).into_iter().take(3).enumerate()
            {
                page.aside(Item::Words { x: left, y: y + line as f32 * 10.0, face: SMALL, words });
            }
        }
    }
}

/// A handout on its pages.
struct LaidOut<'a> {
    pages: Vec<Page<'a>>,
    /// What it consists of, in the order of reading.
    parts: Vec<Part>,
    /// The title and the headings with the page and height at which they stand.
    outline: Vec<(String, usize, f32)>,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all_words(pages: &[Page]) -> Vec<Vec<(f32, String)>> {
        let of = |page: &Page| {
            page.items
                .iter()
                .filter_map(|placed| match &placed.item {
                    Item::Words { y, words, .. } => Some((*y, words.clone())),
                    _ => None,
                })
                .collect()
        };
        pages.iter().map(of).collect()
    }

    #[test]
    fn law_nothing_is_lost_or_runs_into_the_foot() {
        let many: Vec<String> = (0..900).map(|k| format!("word{k}")).collect();
        for paper in [Paper::Portrait, Paper::Landscape] {
            let handout = Handout::new("Long").paper(paper).text(&many.join(" "));
            let handout =
                handout.heading("After").table(&["k"], &many.iter().map(|w| vec![w.clone()]).collect::<Vec<_>>());
            let LaidOut { pages, outline, .. } = handout.lay_out();
            assert!(pages.len() > 4);
            assert_eq!(outline.len(), 2, "the title and a heading");
            let words = all_words(&pages);
            let text: Vec<&str> = words.iter().flatten().flat_map(|(_, words)| words.split(' ')).collect();
            for word in &many {
                assert_eq!(text.iter().filter(|found| *found == word).count(), 2, "{word}");
            }
            let bottom = paper.points().1 - EDGE - FOOT;
            let low = words.iter().flatten().filter(|(_, words)| words.contains("word"));
            assert!(low.map(|(y, _)| *y).fold(0.0, f32::max) <= bottom);
            // The head of the table stands on each page that the table fills.
            let heads = words.iter().filter(|page| page.iter().any(|(_, words)| words == "k")).count();
            assert!(heads >= pages.len() - 2, "{heads} of {}", pages.len());
        }
    }

    #[test]
    fn law_a_heading_stays_with_its_picture_and_pictures_fit_the_page() {
        let tall = crate::scene::Scene::new(400.0, 5000.0, "", crate::Theme::Light).finish();
        let wide = crate::scene::Scene::new(4000.0, 400.0, "", crate::Theme::Light).finish();
        let square = crate::scene::Scene::new(360.0, 360.0, "", crate::Theme::Light).finish();
        for paper in [Paper::Portrait, Paper::Landscape] {
            let mut handout = Handout::new("Pictures").paper(paper);
            for _ in 0..6 {
                handout = handout.heading("A square").picture(&square);
            }
            let handout = handout.picture(&tall).heading("Tall").picture(&tall).pictures(&[&wide, &square, &wide]);
            let pages = handout.lay_out().pages;
            let (width, height) = paper.points();
            for page in &pages {
                let count = |of: fn(&Item) -> bool| page.items.iter().filter(|placed| of(&placed.item)).count();
                let headings = count(|item| matches!(item, Item::Words { words, .. } if words == "A square"));
                let squares = count(|item| matches!(item, Item::Picture { size, .. } if (size.0 - 270.0).abs() < 0.1));
                assert_eq!(headings, squares);
                for placed in &page.items {
                    if let Item::Picture { x, y, size, .. } = &placed.item {
                        assert!(x + size.0 <= width - EDGE + 0.1 && y + size.1 <= height - EDGE - FOOT + 0.1);
                    }
                }
            }
        }
    }

    #[test]
    fn law_one_page_is_made_where_a_fifth_less_is_enough_and_nothing_is_lost() {
        let rows = |count: usize| (0..count).map(|k| vec![format!("row{k}"), "12".to_owned()]).collect::<Vec<_>>();
        let handout = |count| Handout::new("One").caution("Estimates.").table(&["what", "how often"], &rows(count));
        let (fits, more) = (handout(50), handout(200));
        assert!(fits.pages() == 2 && more.pages() > 3, "{} {}", fits.pages(), more.pages());
        assert_eq!(fits.clone().one_page().pages(), 1);
        assert_eq!(more.clone().one_page().pages(), more.pages(), "what does not fit stays as large as it was");
        let fitted = fits.one_page();
        let laid = fitted.lay_out();
        let (width, height) = Paper::Portrait.points();
        for placed in &laid.pages[0].items {
            if let Item::Words { x, y, face, words } = &placed.item {
                assert!(*x >= EDGE - 0.1 && x + paper::width(words, *face) <= width - EDGE + 0.5, "{words}");
                assert!(*y <= height - EDGE + 0.5 && face.size > 6.4, "{words}");
            }
        }
        let words = all_words(&laid.pages);
        assert!((0..50).all(|k| words[0].iter().any(|(_, words)| *words == format!("row{k}"))));
    }

    #[test]
    fn law_every_page_has_its_number_and_the_caution() {
        let handout = Handout::new("T").caution("Estimates.").text("a").new_page().new_page().text("b");
        let pages = handout.lay_out().pages;
        let words = all_words(&pages);
        assert_eq!(words.len(), 2, "an empty page is not turned");
        for (k, page) in words.iter().enumerate() {
            let has = |what: &str| page.iter().any(|(_, words)| words == what);
            assert!(has("Estimates.") && has(&format!("page {} of 2", k + 1)));
        }
    }
}
