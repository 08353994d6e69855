//! A builder of SVG pictures. All text is escaped, and every number has at most two decimals.

use std::fmt::{self, Display, Write as _};

use super::medium::{Medium, text_width};

/// The alignment of a text to its point.
#[derive(Debug, Clone, Copy)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// A rectangle, in the units of the drawing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Area {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Area {
    fn around(points: [(f64, f64); 2]) -> Self {
        let [(x, y), (to_x, to_y)] = points;
        Self {
            x: x.min(to_x),
            y: y.min(to_y),
            width: (x - to_x).abs(),
            height: (y - to_y).abs(),
        }
    }

    fn meets(&self, other: &Self) -> bool {
        self.x < other.x + other.width
            && other.x < self.x + self.width
            && self.y < other.y + other.height
            && other.y < self.y + self.height
    }
}

/// A picture in the making.
#[derive(Debug)]
pub(super) struct Svg {
    medium: Medium,
    body: String,
    /// The places of all marks and texts so far; lines that only divide are not among them.
    taken: Vec<Area>,
}

/// Half the width of a line, and a little free space beside it.
const BESIDE: f64 = 1.0;

/// Distance from one line of the hatching to the next.
const HATCH: f64 = 4.0;

/// The class of lines that divide and carry no information.
pub(super) const HAIRLINE: &str = "hairline";

impl Svg {
    pub(super) fn new(medium: Medium) -> Self {
        Self {
            medium,
            body: String::new(),
            taken: Vec::new(),
        }
    }

    pub(super) fn width(&self) -> f64 {
        self.medium.width()
    }

    /// Size of its text.
    pub(super) fn size(&self) -> f64 {
        self.medium.text()
    }

    pub(super) fn text_width(&self, words: &str) -> f64 {
        text_width(words, self.size())
    }

    /// Whether a text there would be over nothing, and inside the drawing.
    pub(super) fn has_room(&self, anchor: Anchor, at: (f64, f64), words: &str) -> bool {
        let area = self.text_area(anchor, at, words);
        let inside = area.x >= 0.0 && area.x + area.width <= self.width() && area.y >= 0.0;
        inside && !self.taken.iter().any(|one| one.meets(&area))
    }

    fn text_area(&self, anchor: Anchor, (x, y): (f64, f64), words: &str) -> Area {
        let (size, width) = (self.size(), self.text_width(words));
        let before = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        Area {
            x: x - before,
            y: y - 0.75 * size,
            width,
            height: 0.97 * size,
        }
    }

    fn take(&mut self, area: Area) {
        self.taken.push(Area {
            x: area.x - BESIDE,
            y: area.y - BESIDE,
            width: area.width + 2.0 * BESIDE,
            height: area.height + 2.0 * BESIDE,
        });
    }

    pub(super) fn rect(&mut self, class: &str, area: Area) {
        self.take(area);
        let [x, y, width, height] = [area.x, area.y, area.width, area.height].map(Number);
        self.tag(format_args!(
            "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"/>"
        ));
    }

    pub(super) fn circle(&mut self, class: &str, (x, y): (f64, f64), radius: f64) {
        self.take(Area::around([
            (x - radius, y - radius),
            (x + radius, y + radius),
        ]));
        let [x, y, radius] = [x, y, radius].map(Number);
        self.tag(format_args!(
            "<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/>"
        ));
    }

    /// A line from one point to the next.
    pub(super) fn line(&mut self, class: &str, points: &[(f64, f64)]) {
        self.path(class, points, "");
    }

    /// A closed line.
    pub(super) fn shape(&mut self, class: &str, points: &[(f64, f64)]) {
        self.path(class, points, "Z");
    }

    fn path(&mut self, class: &str, points: &[(f64, f64)], end: &str) {
        if class != HAIRLINE {
            for step in points.windows(2) {
                if let [from, to] = step {
                    self.take(Area::around([*from, *to]));
                }
            }
        }
        let mut d = String::new();
        for (at, (x, y)) in points.iter().enumerate() {
            let step = if at == 0 { "M" } else { "L" };
            let _ = write!(d, "{step}{} {}", Number(*x), Number(*y));
        }
        self.tag(format_args!("<path class=\"{class}\" d=\"{d}{end}\"/>"));
    }

    pub(super) fn text(&mut self, class: &str, anchor: Anchor, (x, y): (f64, f64), words: &str) {
        let area = self.text_area(anchor, (x, y), words);
        self.taken.push(area);
        let [x, y] = [x, y].map(Number);
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let words = Escaped(words);
        self.tag(format_args!(
            "<text class=\"{class}\" x=\"{x}\" y=\"{y}\"{anchor}>{words}</text>"
        ));
    }

    /// A framed rectangle under diagonal lines that end at its edges.
    pub(super) fn hatched(&mut self, area: Area) {
        if area.width <= 0.0 || area.height <= 0.0 {
            return;
        }
        self.rect("milk", area);
        let (right, bottom) = (area.x + area.width, area.y + area.height);
        let mut d = String::new();
        let mut foot = area.x + HATCH;
        while foot < right + area.height {
            let start = (foot.min(right), bottom - (foot - foot.min(right)));
            let rise = (start.0 - area.x).min(start.1 - area.y);
            let (x, y) = (Number(start.0), Number(start.1));
            let _ = write!(d, "M{x} {y}l{} {}", Number(-rise), Number(-rise));
            foot += HATCH;
        }
        self.tag(format_args!("<path class=\"hatch\" d=\"{d}\"/>"));
    }

    /// From where to where a figure most likely lies, along a line that stands out from whatever is
    /// below it. An end that is open has no stroke across.
    pub(super) fn whisker(&mut self, ends: [(f64, f64); 2], (low_end, high_end): (bool, bool)) {
        const ARM: f64 = 3.2;
        let [(x, y), (to_x, to_y)] = ends;
        let (along_x, along_y) = if (y - to_y).abs() < 0.01 {
            (0.0, ARM)
        } else {
            (ARM, 0.0)
        };
        let across = |(x, y): (f64, f64)| [(x - along_x, y - along_y), (x + along_x, y + along_y)];
        let ends = [(low_end, (x, y)), (high_end, (to_x, to_y))];
        let ends: Vec<_> = ends.into_iter().filter(|(closed, _)| *closed).collect();
        for class in ["whisker-ground", "whisker"] {
            self.line(class, &[(x, y), (to_x, to_y)]);
            for (_, end) in &ends {
                self.line(class, &across(*end));
            }
        }
    }

    fn tag(&mut self, tag: fmt::Arguments<'_>) {
        let _ = writeln!(self.body, "{tag}");
    }

    /// Closes the picture and returns the whole element. `id` must be unique on the page; `words` describe all that is
    /// drawn.
    pub(super) fn finish(self, id: &str, height: f64, title: &str, words: &str) -> String {
        let (title, words, height) = (Escaped(title), Escaped(words), Number(height));
        let (width, size, class) = (self.width(), Number(self.size()), self.medium.class());
        let id = format!("{id}-{class}");
        format!(
            "<svg class=\"chart {class}\" viewBox=\"0 0 {width} {height}\" font-size=\"{size}\" role=\"img\" \
             aria-labelledby=\"{id}-title {id}-desc\">\n\
             <title id=\"{id}-title\">{title}</title>\n<desc id=\"{id}-desc\">{words}</desc>\n{}</svg>",
            self.body
        )
    }
}

/// A number with at most two decimals.
struct Number(f64);

impl Display for Number {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = format!("{:.2}", self.0);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        formatter.write_str(if text == "-0" { "0" } else { text })
    }
}

/// Text escaped for element content and attributes.
struct Escaped<'a>(&'a str);

impl Display for Escaped<'_> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        for letter in self.0.chars() {
            match letter {
                '&' => formatter.write_str("&amp;")?,
                '<' => formatter.write_str("&lt;")?,
                '>' => formatter.write_str("&gt;")?,
                '"' => formatter.write_str("&quot;")?,
                '\'' => formatter.write_str("&#39;")?,
                letter if letter.is_control() => formatter.write_char(' ')?,
                letter => formatter.write_char(letter)?,
            }
        }
        Ok(())
    }
}

/// Text cut to a width at a font size; the cut is marked.
pub(super) fn cut(words: &str, width: f64, size: f64) -> String {
    if text_width(words, size) <= width {
        return words.to_string();
    }
    let mut kept = words.to_string();
    while !kept.is_empty() && text_width(&kept, size) + text_width("…", size) > width {
        kept.pop();
    }
    format!("{}…", kept.trim_end_matches([' ', ',']))
}

/// Text on two lines of a width, the second cut if it is too long.
pub(super) fn two_lines(words: &str, width: f64, size: f64) -> Vec<String> {
    if text_width(words, size) <= width {
        return vec![words.to_string()];
    }
    let fits = |(at, _): &(usize, &str)| text_width(&words[..*at], size) <= width;
    match words.match_indices(' ').rfind(fits) {
        Some((at, _)) => vec![words[..at].to_string(), cut(&words[at + 1..], width, size)],
        None => vec![cut(words, width, size)],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cannot_become_tags() {
        let mut svg = Svg::new(Medium::Paper);
        svg.text("t", Anchor::Start, (0.0, 0.0), "<b>&\"'\u{0}");
        let text = svg.finish("one", 10.0, "<script>", "</desc>");
        assert!(text.contains("&lt;b&gt;&amp;&quot;&#39; <"), "{text}");
        assert!(text.contains("<title id=\"one-paper-title\">&lt;script&gt;</title>"));
        assert!(text.contains("<desc id=\"one-paper-desc\">&lt;/desc&gt;</desc>"));
    }

    #[test]
    fn numbers_are_short() {
        let shown: Vec<_> = [1.0, 0.5, 1.0 / 3.0, -0.001, 12.30]
            .iter()
            .map(|one| Number(*one).to_string())
            .collect();
        assert_eq!(shown, ["1", "0.5", "0.33", "0", "12.3"]);
    }

    #[test]
    fn words_are_cut_and_say_so() {
        assert_eq!(cut("squash", 100.0, 10.0), "squash");
        assert_eq!(cut("beef, beetroot and barley", 60.0, 10.0), "beef, beetr…");
        assert_eq!(
            two_lines("beef, beetroot and barley", 60.0, 10.0),
            ["beef,", "beetroot a…"]
        );
        assert_eq!(two_lines("unbreakable", 22.0, 10.0), ["un…"]);
    }
}
