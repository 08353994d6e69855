//! The shapes that show how a meal went: a full disc, a half disc, a ring with a cross.

use super::svg::Svg;
use crate::notebook::How;

/// Draws the shape around a point.
pub(super) fn meal(svg: &mut Svg, how: How, (x, y): (f64, f64), radius: f64) {
    match how {
        How::Taken => svg.circle("full", (x, y), radius),
        How::Some => {
            svg.circle("ring", (x, y), radius);
            // The lower half, as a many-sided line.
            let points: Vec<_> = (0..=12)
                .map(|step| {
                    let angle = std::f64::consts::PI * f64::from(step) / 12.0;
                    (x + radius * angle.cos(), y + radius * angle.sin())
                })
                .collect();
            svg.shape("full", &points);
        }
        How::Refused => {
            svg.circle("ring", (x, y), radius);
            let arm = radius * 0.5;
            svg.line("stroke", &[(x - arm, y - arm), (x + arm, y + arm)]);
            svg.line("stroke", &[(x - arm, y + arm), (x + arm, y - arm)]);
        }
    }
}

/// Draws the diamond of a reaction that was seen after a meal.
pub(super) fn reaction(svg: &mut Svg, (x, y): (f64, f64), radius: f64) {
    let points = [
        (x, y - radius),
        (x + radius, y),
        (x, y + radius),
        (x - radius, y),
    ];
    svg.shape("diamond", &points);
}
