//! What the drawings share: their elements, and a title and description for those who cannot see them.

use std::fmt::{Display, Write};

use super::xml::escaped;

/// An SVG drawing while it is made. Lengths are in pixels, y grows downward.
pub(crate) struct Drawing {
    body: String,
}

impl Drawing {
    pub(crate) fn new() -> Self {
        Self { body: String::new() }
    }

    /// An element with attributes, closed at once.
    pub(crate) fn element(&mut self, name: &str, attributes: &[(&str, &dyn Display)]) {
        self.open(name, attributes);
        self.body.truncate(self.body.len() - 2);
        self.body.push_str("/>\n");
    }

    /// An element that stays open.
    pub(crate) fn open(&mut self, name: &str, attributes: &[(&str, &dyn Display)]) {
        // Writing to a text cannot fail.
        let _ = write!(self.body, "<{name}");
        for (key, value) in attributes {
            let _ = write!(self.body, " {key}=\"{}\"", escaped(&value.to_string()));
        }
        self.body.push_str(">\n");
    }

    pub(crate) fn close(&mut self, name: &str) {
        let _ = writeln!(self.body, "</{name}>");
    }

    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), class: &str) {
        let [x1, y1, x2, y2] = [from.0, from.1, to.0, to.1].map(rounded);
        self.element("line", &[("x1", &x1), ("y1", &y1), ("x2", &x2), ("y2", &y2), ("class", &class)]);
    }

    /// A line through points.
    pub(crate) fn path(&mut self, through: &[(f64, f64)], class: &str) {
        self.element("polyline", &[("points", &points(through)), ("class", &class)]);
    }

    pub(crate) fn rectangle(&mut self, at: (f64, f64), size: (f64, f64), class: &str) {
        let [x, y, width, height] = [at.0, at.1, size.0, size.1].map(rounded);
        self.element("rect", &[("x", &x), ("y", &y), ("width", &width), ("height", &height), ("class", &class)]);
    }

    pub(crate) fn polygon(&mut self, corners: &[(f64, f64)], class: &str) {
        self.element("polygon", &[("points", &points(corners)), ("class", &class)]);
    }

    pub(crate) fn circle(&mut self, at: (f64, f64), radius: f64, class: &str) {
        let [cx, cy, r] = [at.0, at.1, radius].map(rounded);
        self.element("circle", &[("cx", &cx), ("cy", &cy), ("r", &r), ("class", &class)]);
    }

    pub(crate) fn text(&mut self, at: (f64, f64), class: &str, text: &str) {
        let (x, y) = (rounded(at.0), rounded(at.1));
        let _ = writeln!(self.body, "<text x=\"{x}\" y=\"{y}\" class=\"{class}\">{}</text>", escaped(text));
    }

    /// The drawing as a part of a page, at its own size on the paper in millimetres; the page has the style of its class.
    pub(crate) fn inline(self, paper: (f64, f64), size: (f64, f64), class: &str, name: &str) -> String {
        let [across, down, width, height] = [paper.0, paper.1, size.0, size.1].map(rounded);
        format!(
            "<svg class=\"{class}\" width=\"{across}mm\" height=\"{down}mm\" viewBox=\"0 0 {width} {height}\" \
             role=\"img\" aria-label=\"{}\">\n{}</svg>",
            escaped(name),
            self.body
        )
    }

    /// The whole file.
    pub(crate) fn finish(self, size: (f64, f64), style: &str, title: &str, description: &str) -> String {
        let (width, height) = (rounded(size.0), rounded(size.1));
        let head = head(title, description);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"0 0 {width} {height}\" {ROLE}>\n{head}<style>{style}</style>\n\
             <rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n{}</svg>\n",
            self.body
        )
    }
}

/// Attributes that make a drawing one picture with a name for screen readers.
const ROLE: &str = "role=\"img\" aria-labelledby=\"title description\"";

/// The name and the description, first in the file.
fn head(title: &str, description: &str) -> String {
    format!(
        "<title id=\"title\">{}</title>\n<desc id=\"description\">{}</desc>\n",
        escaped(title),
        escaped(description)
    )
}

pub(super) fn points(corners: &[(f64, f64)]) -> String {
    let corners: Vec<String> = corners.iter().map(|(x, y)| format!("{},{}", rounded(*x), rounded(*y))).collect();
    corners.join(" ")
}

/// A tenth of a pixel is enough.
pub(super) fn rounded(length: f64) -> f64 {
    let tenths = (length * 10.0).round() / 10.0;
    if tenths == 0.0 { 0.0 } else { tenths }
}
