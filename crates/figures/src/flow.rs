//! Words, rules and pictures running down a page and on to the next.

use crate::paper::{self, Face, Item, Page, Part, Placed, wrapped};
use crate::scene::Drawing;

/// Points of paper for one unit of a picture: 360 units are 95 mm wide.
const POINTS_A_UNIT: f32 = 0.75;
/// Room between pictures, and below a block.
pub const GAP: f32 = 12.0;

pub const INK: [u8; 3] = [0x1d, 0x1b, 0x18];
pub const QUIET: [u8; 3] = [0x62, 0x5e, 0x56];

/// Blocks running down one page and on to the next.
pub struct Flow<'a> {
    /// Left, top, right and bottom of what is filled.
    pub body: (f32, f32, f32, f32),
    /// The pages so far; there is always one.
    pub pages: Vec<Page<'a>>,
    /// What they consist of, in the order of reading.
    pub parts: Vec<Part>,
    /// The part to which the next item belongs.
    part: Option<usize>,
    y: f32,
}

impl<'a> Flow<'a> {
    /// At the head of the first page.
    pub fn new(body: (f32, f32, f32, f32)) -> Self {
        Self { body, pages: vec![Page::default()], parts: Vec::new(), part: None, y: body.1 }
    }

    /// Begins a new part and returns its number.
    pub fn begin(&mut self, part: Part) -> usize {
        self.parts.push(part);
        let part = self.parts.len() - 1;
        self.part = Some(part);
        part
    }

    /// Lets what follows belong to this part, or to none (a repeated head, for example).
    pub fn go_on(&mut self, part: Option<usize>) {
        self.part = part;
    }

    pub fn width(&self) -> f32 {
        self.body.2 - self.body.0
    }

    pub fn left(&self) -> f32 {
        self.body.0
    }

    pub fn y(&self) -> f32 {
        self.y
    }

    /// Height of a whole page.
    pub fn height(&self) -> f32 {
        self.body.3 - self.body.1
    }

    pub fn put(&mut self, item: Item<'a>) {
        // There is always a last page.
        if let Some(page) = self.pages.last_mut() {
            page.items.push(Placed { item, part: self.part });
        }
    }

    /// Leaves room below what stands; none at the head of a page.
    pub fn space(&mut self, height: f32) {
        if self.y > self.body.1 {
            self.y += height;
        }
    }

    pub fn down(&mut self, height: f32) {
        self.y += height;
    }

    pub fn turn(&mut self) {
        if self.pages.last().is_some_and(|page| !page.items.is_empty()) {
            self.pages.push(Page::default());
            self.y = self.body.1;
        }
    }

    /// Turns the page unless this height fits on it; returns whether it turned. What is taller than a page begins where it is.
    pub fn keep(&mut self, height: f32) -> bool {
        // What was scaled to a whole page may be a rounding error taller.
        let turns = self.y + height > self.body.3 && self.y > self.body.1 && height <= self.height() + 0.01;
        if turns {
            self.turn();
        }
        turns
    }

    pub fn lines(&mut self, words: &str, face: Face, leading: f32) {
        let step = face.size * leading;
        for words in paper::spaced(wrapped(words, face, self.width())) {
            self.keep(step);
            self.put(Item::Words { x: self.body.0, y: self.y + face.size, face, words });
            self.y += step;
        }
    }

    pub fn pictures(&mut self, pictures: &'a [Drawing]) {
        let tallest = pictures.iter().map(|picture| picture.size().1 as f32).fold(1.0, f32::max);
        let (scale, left) = (self.scale(pictures), (self.body.3 - self.y) / tallest);
        // A slightly smaller picture is better than one on another page than its text.
        let scale = if left < scale && left > 0.8 * scale { left } else { scale };
        self.keep(scale * tallest);
        let mut x = self.body.0;
        for picture in pictures {
            let (width, height) = picture.size();
            let size = (scale * width as f32, scale * height as f32);
            self.begin(Part::Figure { says: picture.says().to_owned() });
            self.put(Item::Picture { x, y: self.y, size, picture });
            x += size.0 + GAP;
        }
        self.y += scale * tallest;
        self.space(GAP);
    }

    pub fn scale(&self, pictures: &[Drawing]) -> f32 {
        let gaps = GAP * pictures.len().saturating_sub(1) as f32;
        let wide: f32 = pictures.iter().map(|picture| picture.size().0 as f32).sum();
        let tall = pictures.iter().map(|picture| picture.size().1 as f32).fold(1.0, f32::max);
        POINTS_A_UNIT.min((self.width() - gaps) / wide.max(1.0)).min(self.height() / tall)
    }
}
