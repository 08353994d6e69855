//! The colours of the visit page, each with what it is for.

/// A colour, red, green and blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// The colours of a page.
#[derive(Debug, Clone, Copy)]
pub struct Palette {
    /// The background.
    pub paper: Colour,
    /// Around the paper, on a screen.
    pub table: Colour,
    /// Text.
    pub ink: Colour,
    /// Text of less weight, outlines, hatching.
    pub quiet: Colour,
    /// The one accent: food, headings.
    pub accent: Colour,
    /// Hairlines that divide, and carry no information.
    pub hairline: Colour,
}

impl Palette {
    /// Ink and beetroot on unbleached paper.
    pub const WARM: Self = Self {
        paper: Colour(0xff, 0xfd, 0xf9),
        table: Colour(0xf3, 0xec, 0xe2),
        ink: Colour(0x2a, 0x22, 0x1e),
        quiet: Colour(0x66, 0x59, 0x4e),
        accent: Colour(0x8a, 0x2f, 0x3a),
        hairline: Colour(0xd8, 0xcb, 0xbb),
    };

    /// The pairs of text and background.
    pub const fn texts(&self) -> [(Colour, Colour); 7] {
        [
            (self.ink, self.paper),
            (self.quiet, self.paper),
            (self.accent, self.paper),
            (self.paper, self.accent),
            (self.ink, self.table),
            (self.quiet, self.table),
            (self.accent, self.table),
        ]
    }

    /// The pairs of a mark that carries information, and its background.
    pub const fn marks(&self) -> [(Colour, Colour); 3] {
        [
            (self.accent, self.paper),
            (self.quiet, self.paper),
            (self.ink, self.paper),
        ]
    }
}

impl Colour {
    /// As CSS writes it.
    pub fn css(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }

    /// Contrast with another colour, 1 to 21 (W3C, Web Content Accessibility Guidelines 2.2,
    /// "contrast ratio" and "relative luminance").
    pub fn contrast(self, other: Self) -> f64 {
        let (one, other) = (self.luminance(), other.luminance());
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    fn luminance(self) -> f64 {
        let linear = |channel: u8| {
            let share = f64::from(channel) / 255.0;
            if share <= 0.04045 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 21:1 for black on white, and 4.54:1 for #767676 on white: WCAG 2.2 names the first, the second is the
    /// grey commonly given as the lightest that passes on white (from memory).
    #[test]
    fn contrast_is_that_of_the_guidelines() {
        let white = Colour(255, 255, 255);
        approx::assert_relative_eq!(white.contrast(Colour(0, 0, 0)), 21.0, epsilon = 1e-9);
        approx::assert_relative_eq!(
            white.contrast(Colour(0x76, 0x76, 0x76)),
            4.54,
            epsilon = 0.005
        );
    }

    /// WCAG 2.2, 1.4.3 (text, 4.5:1) and 1.4.11 (graphical objects, 3:1).
    #[test]
    fn text_and_marks_stand_out_from_their_ground() {
        for (text, ground) in Palette::WARM.texts() {
            assert!(text.contrast(ground) >= 4.5, "{text:?} on {ground:?}");
        }
        for (mark, ground) in Palette::WARM.marks() {
            assert!(mark.contrast(ground) >= 3.0, "{mark:?} on {ground:?}");
        }
    }

    /// The style sheets use only the colours of the palette; the sheet of paper itself is white.
    #[test]
    fn the_styles_name_no_other_colour() {
        let styles = [
            include_str!("../../../templates/chart.css"),
            include_str!("../../../templates/visit.html"),
        ];
        for style in styles {
            let style = style.replace("background: #fff;", "");
            let colour = |part: &str| part.chars().next().is_some_and(|c| c.is_ascii_hexdigit());
            assert!(!style.split('#').skip(1).any(colour));
            assert!(!style.contains("rgb") && !style.contains("hsl"));
        }
    }

    /// A print without colour still shows the difference: the accent is much darker than the paper.
    #[test]
    fn the_accent_is_dark_without_its_colour() {
        let palette = Palette::WARM;
        assert!(palette.accent.contrast(Colour(255, 255, 255)) >= 7.0);
    }
}
