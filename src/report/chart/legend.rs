//! What the signs of a drawing mean, one after the other on as many lines as it takes.

use super::svg::{Anchor, Area, Svg};

/// A legend in the making, at the top of a drawing.
#[derive(Debug)]
pub(super) struct Legend<'a> {
    svg: &'a mut Svg,
    x: f64,
    top: f64,
}

impl<'a> Legend<'a> {
    pub(super) fn at_top_of(svg: &'a mut Svg) -> Self {
        Self {
            svg,
            x: 0.0,
            top: 0.0,
        }
    }

    /// A sign, drawn into the area that it is given, and what it means.
    pub(super) fn sign(&mut self, words: &str, draw: impl FnOnce(&mut Svg, Area)) {
        self.sign_of_width(1.5, words, draw);
    }

    /// A sign no wider than a letter, and what it means.
    pub(super) fn small_sign(&mut self, words: &str, draw: impl FnOnce(&mut Svg, Area)) {
        self.sign_of_width(0.9, words, draw);
    }

    fn sign_of_width(&mut self, width: f64, words: &str, draw: impl FnOnce(&mut Svg, Area)) {
        let size = self.svg.size();
        let (sign, gap) = (width * size, 0.4 * size);
        let width = sign + gap + self.svg.text_width(words);
        if self.x > 0.0 && self.x + width > self.svg.width() {
            self.next_line();
        }
        let area = Area {
            x: self.x,
            y: self.top + 0.2 * size,
            width: sign,
            height: 0.75 * size,
        };
        draw(self.svg, area);
        let foot = self.top + 0.95 * size;
        let words_at = (self.x + sign + gap, foot);
        self.svg.text("key", Anchor::Start, words_at, words);
        self.x += width + size;
    }

    /// Food as a solid bar, milk as a hatched one.
    pub(super) fn food_and_milk(&mut self) {
        self.sign("food", |svg, area| svg.rect("food", area));
        self.sign("milk", Svg::hatched);
    }

    /// An open bar.
    pub(super) fn open(&mut self, words: &str) {
        self.sign(words, |svg, area| {
            let (right, foot) = (area.x + area.width, area.y + area.height);
            svg.line(
                "open",
                &[
                    (area.x, area.y),
                    (right, area.y),
                    (right, foot),
                    (area.x, foot),
                ],
            );
        });
    }

    /// A line of a class, from the left to the right.
    pub(super) fn across(&mut self, class: &str, words: &str) {
        self.sign(words, |svg, area| {
            let y = area.y + area.height / 2.0;
            svg.line(class, &[(area.x, y), (area.x + area.width, y)]);
        });
    }

    /// The line from low to high.
    pub(super) fn whisker(&mut self) {
        self.sign("most likely (8 in 10)", |svg, area| {
            let y = area.y + area.height / 2.0;
            let ends = [(area.x + 1.0, y), (area.x + area.width - 1.0, y)];
            svg.whisker(ends, (true, true));
        });
    }

    fn next_line(&mut self) {
        self.x = 0.0;
        self.top += 1.4 * self.svg.size();
    }

    /// The height that it takes.
    pub(super) fn end(self) -> f64 {
        self.top + 1.4 * self.svg.size()
    }
}
