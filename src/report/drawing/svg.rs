//! The strokes and letters of a drawing, as SVG text.
//!
//! Every coordinate is in units of one CSS pixel; text is 13 of them high, which is 9.2 pt where a
//! drawing of the full width fills 180 mm. Same strokes, same bytes: numbers have at most two decimals.

use super::super::numbers::plain;
use super::letters::{SIZE, printable};

/// The widest drawing. Printed 180 mm wide its letters are just above 9 pt.
pub(super) const WIDEST: f64 = 720.0;
/// A drawing up to this wide is shown whole on a small phone, smaller if need be.
pub(super) const NARROW: f64 = 430.0;

/// What colours are written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Paint {
    /// As variables that the page around the drawing may set.
    OfThePage,
    /// As fixed colours, since not every viewer of files knows variables.
    Fixed,
}

/// What a stroke or a letter is drawn with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tone {
    /// The ink.
    Ink,
    /// The one accent, only for what is new.
    New,
}

/// What fills a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fill {
    None,
    Paper,
    Ink,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pen {
    pub(super) width: f64,
    /// Lengths of dashes and gaps; empty for a whole line.
    pub(super) dash: &'static str,
    pub(super) tone: Tone,
}

impl Pen {
    pub(super) const HAIR: Self = Self { width: 0.5, dash: "", tone: Tone::Ink };
    pub(super) const THIN: Self = Self { width: 1.2, dash: "", tone: Tone::Ink };
    pub(super) const DASHED: Self = Self { width: 1.4, dash: "5 3", tone: Tone::Ink };
    pub(super) const DOTTED: Self = Self { width: 1.2, dash: "1.5 3", tone: Tone::Ink };
    pub(super) const BAR: Self = Self { width: 2.4, dash: "", tone: Tone::Ink };
    pub(super) const HEAVY: Self = Self { width: 3.0, dash: "", tone: Tone::New };
}

/// Where a text stands to its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Type {
    pub(super) anchor: Anchor,
    pub(super) weight: Weight,
    pub(super) tone: Tone,
}

/// How heavy letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    Plain,
    Bold,
}

impl Type {
    pub(super) const START: Self =
        Self { anchor: Anchor::Start, weight: Weight::Plain, tone: Tone::Ink };
    pub(super) const MIDDLE: Self = Self { anchor: Anchor::Middle, ..Self::START };
    pub(super) const END: Self = Self { anchor: Anchor::End, ..Self::START };

    pub(super) fn bold(self) -> Self {
        Self { weight: Weight::Bold, ..self }
    }
}

/// A drawing in the making.
#[derive(Debug, Clone)]
pub(super) struct Canvas {
    out: String,
    paint: Paint,
}

impl Canvas {
    pub(super) fn new(paint: Paint) -> Self {
        Self { out: String::new(), paint }
    }

    /// Sets another drawing into this one, so far down.
    pub(super) fn place(&mut self, other: Self, down: f64) {
        let body = &other.out;
        self.put(&format!(r#"<g transform="translate(0 {})">"#, n(down)));
        self.out.push_str(body);
        self.put("</g>");
    }

    fn colour(&self, tone: Tone) -> &'static str {
        match (self.paint, tone) {
            (Paint::OfThePage, Tone::Ink) => "var(--ink, #111)",
            (Paint::OfThePage, Tone::New) => "var(--new, #0b4f8a)",
            (Paint::Fixed, Tone::Ink) => "#111",
            (Paint::Fixed, Tone::New) => "#0b4f8a",
        }
    }

    fn paper(&self) -> &'static str {
        match self.paint {
            Paint::OfThePage => "var(--paper, #fff)",
            Paint::Fixed => "#fff",
        }
    }

    fn filled(&self, fill: Fill) -> &'static str {
        match fill {
            Fill::None => "none",
            Fill::Paper => self.paper(),
            Fill::Ink => self.colour(Tone::Ink),
        }
    }

    fn stroke(&self, pen: Pen) -> String {
        let dash = match pen.dash {
            "" => String::new(),
            dash => format!(r#" stroke-dasharray="{dash}""#),
        };
        format!(r#"stroke="{}" stroke-width="{}"{dash}"#, self.colour(pen.tone), n(pen.width))
    }

    /// A line through points.
    pub(super) fn line(&mut self, points: &[(f64, f64)], pen: Pen) {
        let at = |(x, y): &(f64, f64)| format!("{},{}", n(*x), n(*y));
        let points = points.iter().map(at).collect::<Vec<_>>().join(" ");
        let stroke = self.stroke(pen);
        self.put(&format!(r#"<polyline points="{points}" fill="none" {stroke}/>"#));
    }

    /// A rectangle by its upper left corner and its size.
    pub(super) fn rect(&mut self, at: (f64, f64), size: (f64, f64), pen: Pen, fill: Fill) {
        let (x, y, w, h) = (n(at.0), n(at.1), n(size.0), n(size.1));
        let (fill, stroke) = (self.filled(fill), self.stroke(pen));
        self.put(&format!(
            r#"<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="{fill}" {stroke}/>"#
        ));
    }

    /// A light band without an edge.
    pub(super) fn band(&mut self, at: (f64, f64), size: (f64, f64)) {
        let (x, y, w, h) = (n(at.0), n(at.1), n(size.0), n(size.1));
        let ink = self.colour(Tone::Ink);
        self.put(&format!(
            r#"<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="{ink}" fill-opacity="0.06"/>"#
        ));
    }

    /// A circle.
    pub(super) fn circle(&mut self, at: (f64, f64), r: f64, pen: Pen, fill: Fill) {
        let (x, y, r) = (n(at.0), n(at.1), n(r));
        let (fill, stroke) = (self.filled(fill), self.stroke(pen));
        self.put(&format!(r#"<circle cx="{x}" cy="{y}" r="{r}" fill="{fill}" {stroke}/>"#));
    }

    /// A text on its base line.
    pub(super) fn text(&mut self, at: (f64, f64), text: &str, set: Type) {
        let set = self.type_attributes(set);
        let (x, y) = (n(at.0), n(at.1));
        self.put(&format!(r#"<text x="{x}" y="{y}"{set}>{}</text>"#, escaped(text)));
    }

    /// A text with a rim of paper, to stand on lines.
    pub(super) fn text_on_lines(&mut self, at: (f64, f64), text: &str, set: Type) {
        let set = self.type_attributes(set);
        let (x, y, paper) = (n(at.0), n(at.1), self.paper());
        self.put(&format!(
            r#"<text x="{x}" y="{y}"{set} stroke="{paper}" stroke-width="4" stroke-linejoin="round" paint-order="stroke">{}</text>"#,
            escaped(text)
        ));
    }

    /// A text that reads upwards; its middle stands on the point's base line.
    pub(super) fn text_upwards(&mut self, at: (f64, f64), text: &str, set: Type) {
        let set = self.type_attributes(set);
        let (x, y) = (n(at.0), n(at.1));
        self.put(&format!(
            r#"<text x="{x}" y="{y}"{set} transform="rotate(-90 {x} {y})">{}</text>"#,
            escaped(text)
        ));
    }

    fn type_attributes(&self, set: Type) -> String {
        let anchor = match set.anchor {
            Anchor::Start => "",
            Anchor::Middle => r#" text-anchor="middle""#,
            Anchor::End => r#" text-anchor="end""#,
        };
        let weight = match set.weight {
            Weight::Plain => "",
            Weight::Bold => r#" font-weight="bold""#,
        };
        format!(r#"{anchor}{weight} fill="{}""#, self.colour(set.tone))
    }

    /// What `draw` draws belongs together and has a name.
    pub(super) fn named(&mut self, name: &str, draw: impl FnOnce(&mut Self)) {
        self.put(&format!("<g><title>{}</title>", escaped(name)));
        draw(self);
        self.put("</g>");
    }

    fn put(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }

    /// The whole element. `id` begins every id in it, so that several drawings stand on one page.
    pub(super) fn finish(self, id: &str, said: (&str, &str), size: (f64, f64)) -> String {
        let (w, h) = (n(size.0.ceil()), n(size.1.ceil()));
        let (title, described) = (escaped(said.0), escaped(said.1));
        let paper = self.paper();
        // Wide drawings are not squeezed until nobody can read them: the page lets them scroll.
        let least = if size.0 > NARROW { size.0 * 0.8 } else { 0.0 };
        let least = n(least.ceil());
        let body = self.out;
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" viewBox="0 0 {w} {h}" style="max-width:100%;min-width:{least}px;height:auto" role="img" aria-labelledby="{id}-title {id}-desc" font-family="sans-serif" font-size="{SIZE}" stroke-linejoin="round">
<title id="{id}-title">{title}</title>
<desc id="{id}-desc">{described}</desc>
<rect width="{w}" height="{h}" fill="{paper}"/>
{body}</svg>
"#
        )
    }
}

fn n(x: f64) -> String {
    plain(x, 2)
}

/// Text as it may stand in XML.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in printable(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}
