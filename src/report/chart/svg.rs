//! A builder of SVG pictures. All text is escaped, and every number has at most two decimals.

use std::fmt::{self, Display, Write as _};

use super::WIDTH;

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

/// A picture in the making.
#[derive(Debug, Default)]
pub(super) struct Svg {
    body: String,
}

/// Distance from one line of the hatching to the next.
const HATCH: f64 = 4.0;

impl Svg {
    pub(super) fn rect(&mut self, class: &str, area: Area) {
        let [x, y, width, height] = [area.x, area.y, area.width, area.height].map(Number);
        self.tag(format_args!(
            "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"/>"
        ));
    }

    pub(super) fn circle(&mut self, class: &str, (x, y): (f64, f64), radius: f64) {
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
        let mut d = String::new();
        for (at, (x, y)) in points.iter().enumerate() {
            let step = if at == 0 { "M" } else { "L" };
            let _ = write!(d, "{step}{} {}", Number(*x), Number(*y));
        }
        self.tag(format_args!("<path class=\"{class}\" d=\"{d}{end}\"/>"));
    }

    pub(super) fn text(&mut self, class: &str, anchor: Anchor, (x, y): (f64, f64), words: &str) {
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

    fn tag(&mut self, tag: fmt::Arguments<'_>) {
        let _ = writeln!(self.body, "{tag}");
    }

    /// Closes the picture and returns the whole element. `id` must be unique on the page; `words` describe all that is
    /// drawn.
    pub(super) fn finish(self, id: &str, height: f64, title: &str, words: &str) -> String {
        let (title, words, height) = (Escaped(title), Escaped(words), Number(height));
        format!(
            "<svg class=\"chart\" viewBox=\"0 0 {WIDTH} {height}\" role=\"img\" \
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

/// Text cut to a width at a font size; the cut is marked. A letter is taken as 0.52 of its size, which is about the
/// mean of a sans serif (from memory).
pub(super) fn cut(words: &str, width: f64, size: f64) -> String {
    let letters = fitting(width, size);
    if words.chars().count() <= letters {
        return words.to_string();
    }
    let kept: String = words.chars().take(letters.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end_matches([' ', ',']))
}

/// Text on two lines of a width, the second cut if it is too long.
pub(super) fn two_lines(words: &str, width: f64, size: f64) -> Vec<String> {
    let letters = fitting(width, size);
    if words.chars().count() <= letters {
        return vec![words.to_string()];
    }
    let head: String = words.chars().take(letters + 1).collect();
    match head.rfind(' ') {
        Some(at) => vec![words[..at].to_string(), cut(&words[at + 1..], width, size)],
        None => vec![cut(words, width, size)],
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a drawing is some hundred units wide"
)]
fn fitting(width: f64, size: f64) -> usize {
    (width / (0.52 * size)).max(1.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cannot_become_tags() {
        let mut svg = Svg::default();
        svg.text("t", Anchor::Start, (0.0, 0.0), "<b>&\"'\u{0}");
        let text = svg.finish("one", 10.0, "<script>", "</desc>");
        assert!(text.contains("&lt;b&gt;&amp;&quot;&#39; <"), "{text}");
        assert!(text.contains("<title id=\"one-title\">&lt;script&gt;</title>"));
        assert!(text.contains("<desc id=\"one-desc\">&lt;/desc&gt;</desc>"));
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
        assert_eq!(cut("beef, beetroot and barley", 60.0, 10.0), "beef, beet…");
        assert_eq!(
            two_lines("beef, beetroot and barley", 60.0, 10.0),
            ["beef,", "beetroot a…"]
        );
        assert_eq!(two_lines("unbreakable", 20.0, 10.0), ["un…"]);
    }
}
