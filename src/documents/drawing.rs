//! A drawing as neutral shapes on a plane, in units of about a hundredth of the page's width.
//!
//! Drawings read in black and white: what differs, differs in line or shade and in words.

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stroke {
    /// A line to guide the eye.
    Faint,
    /// A hairline.
    Thin,
    /// A line that carries the drawing.
    Thick,
    /// Broken.
    Dashed,
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// Only its outline.
    Open,
    /// Light grey.
    Light,
    /// Dark grey.
    Dark,
}

/// Which point of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A place on the drawing: from the left, from the top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At {
    /// From the left edge.
    pub x: f64,
    /// From the top edge.
    pub y: f64,
}

impl At {
    /// A place.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }
}

/// One shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A line through these places.
    Line(Vec<At>, Stroke),
    /// A rectangle by its upper left corner, width and height.
    Box(At, At, Fill),
    /// A text.
    Text(At, String, Anchor),
    /// A text that stands out.
    Strong(At, String, Anchor),
}

impl Shape {
    /// The same shape so much lower.
    fn lowered(self, by: f64) -> Self {
        let low = |at: At| At::new(at.x, at.y + by);
        match self {
            Self::Line(places, stroke) => Self::Line(places.into_iter().map(low).collect(), stroke),
            Self::Box(corner, size, fill) => Self::Box(low(corner), size, fill),
            Self::Text(at, text, anchor) => Self::Text(low(at), text, anchor),
            Self::Strong(at, text, anchor) => Self::Strong(low(at), text, anchor),
        }
    }
}

/// A drawing with its words for those who cannot see it.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Unique within its document; letters, digits and hyphens.
    pub id: String,
    /// What it shows, in a few words.
    pub title: String,
    /// Everything that it tells, with figures.
    pub description: String,
    /// Width and height.
    pub size: At,
    /// Shapes, drawn in this order.
    pub shapes: Vec<Shape>,
}

impl Drawing {
    /// Drawings one beneath the other as one; `None` when there are none.
    pub fn stacked(id: &str, title: &str, drawings: Vec<Self>) -> Option<Self> {
        let width = drawings.iter().map(|d| d.size.x).fold(0.0, f64::max);
        let mut whole = Self::new(id, title, At::new(width, 0.0));
        let mut told = Vec::new();
        for drawing in drawings {
            let top = whole.size.y;
            whole.shapes.extend(drawing.shapes.into_iter().map(|s| s.lowered(top)));
            whole.size.y += drawing.size.y;
            told.push(format!("{}. {}", drawing.title, drawing.description));
        }
        whole.description = told.join(" ");
        (!told.is_empty()).then_some(whole)
    }

    /// An empty sheet.
    pub fn new(id: &str, title: &str, size: At) -> Self {
        Self { id: id.to_owned(), title: title.to_owned(), description: String::new(), size, shapes: Vec::new() }
    }

    /// Adds a straight line.
    pub fn line(&mut self, from: At, to: At, stroke: Stroke) {
        self.shapes.push(Shape::Line(vec![from, to], stroke));
    }

    /// Adds a rectangle.
    pub fn area(&mut self, corner: At, size: At, fill: Fill) {
        self.shapes.push(Shape::Box(corner, size, fill));
    }

    /// Adds a text.
    pub fn text(&mut self, at: At, text: impl Into<String>, anchor: Anchor) {
        self.shapes.push(Shape::Text(at, text.into(), anchor));
    }

    /// Adds a text that stands out.
    pub fn strong(&mut self, at: At, text: impl Into<String>, anchor: Anchor) {
        self.shapes.push(Shape::Strong(at, text.into(), anchor));
    }
}
