//! The drawing itself: an ordered list of marks.

use crate::{Label, Pen};
use kurbo::{Affine, BezPath, Circle, Line, Point, Rect, Shape};

/// One mark's shape, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A line drawn along a path.
    Path(BezPath),
    /// A circle's line.
    Circle(Circle),
    /// A filled area (arrow heads, proof marks).
    Fill(BezPath),
    /// Lettering.
    Text(Label),
}

/// A mark, the pen it is drawn with and what it stands for.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its shape.
    pub mark: Mark,
    /// What it means.
    pub pen: Pen,
    /// What it stands for, by a number that whoever draws gives a meaning; for pointing at it.
    pub tag: Option<u64>,
}

/// Marks on a plane, in drawing order, millimetres, y up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// The marks.
    pub items: Vec<Item>,
}

impl Drawing {
    /// An empty drawing.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a mark that stands for nothing but itself.
    pub fn add(&mut self, pen: Pen, mark: Mark) {
        self.items.push(Item { mark, pen, tag: None });
    }

    /// Adds a straight line.
    pub fn line(&mut self, pen: Pen, from: Point, to: Point) {
        let mut path = BezPath::new();
        path.move_to(from);
        path.line_to(to);
        self.add(pen, Mark::Path(path));
    }

    /// Adds an upright rectangle's line.
    pub fn rect(&mut self, pen: Pen, rect: Rect) {
        self.add(pen, Mark::Path(rect.to_path(0.0)));
    }

    /// Adds a label.
    pub fn text(&mut self, pen: Pen, label: Label) {
        self.add(pen, Mark::Text(label));
    }

    /// Adds another drawing's marks on top.
    pub fn extend(&mut self, other: Self) {
        self.items.extend(other.items);
    }

    /// The drawing moved and turned. `by` must keep lengths (no scaling, no mirroring).
    #[must_use]
    pub fn moved(&self, by: Affine) -> Self {
        let turn_deg = by.as_coeffs()[1].atan2(by.as_coeffs()[0]).to_degrees();
        let items = self.items.iter().map(|item| Item {
            mark: match &item.mark {
                Mark::Path(path) => Mark::Path(by * path.clone()),
                Mark::Fill(path) => Mark::Fill(by * path.clone()),
                Mark::Circle(c) => Mark::Circle(Circle::new(by * c.center, c.radius)),
                Mark::Text(label) => Mark::Text(Label {
                    at: by * label.at,
                    turn_deg: label.turn_deg + turn_deg,
                    ..label.clone()
                }),
            },
            ..item.clone()
        });
        Self { items: items.collect() }
    }

    /// The box around all lines and circles and the anchors of all labels; `None` when empty.
    pub fn bounds(&self) -> Option<Rect> {
        self.items.iter().map(|item| item.mark.bounds()).reduce(|a, b| a.union(b))
    }
}

impl Mark {
    /// The box around a line or a circle; of a label its anchor.
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Path(path) | Self::Fill(path) => path.bounding_box(),
            Self::Circle(circle) => circle.bounding_box(),
            Self::Text(label) => Rect::from_points(label.at, label.at),
        }
    }
}

impl From<Line> for Mark {
    fn from(line: Line) -> Self {
        let mut path = BezPath::new();
        path.move_to(line.p0);
        path.line_to(line.p1);
        Self::Path(path)
    }
}
