//! Coordinates as a person reads them: counted from the knife's origin.

use crate::{BevelFigures, ProfileFigures};
use knife::{Knife, Origin, Profile};
use kurbo::{Point, Vec2};

/// Where coordinates that a person reads are counted from, and which way x grows.
///
/// Its axes are always those of the knife, however the blank is turned on the bar, so that lines
/// square to the knife (plunge, front of the scales, cross-sections) have one x. From an origin on
/// the knife, x grows towards the butt; from the bar's corner and the drawing's zero, as it does
/// in the drawing. y grows upwards as the drawing lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OriginFrame {
    /// What it is. Not what was chosen where that isn't there: then the drawing's own zero.
    pub origin: Origin,
    /// Where it lies, in the knife's plane, mm.
    pub at: Point,
    /// +1 where x grows as in the drawing, −1 where it grows the other way.
    pub x_sign: f64,
}

impl OriginFrame {
    /// The origin that the knife's maker chose.
    pub(crate) fn of(
        knife: &Knife,
        profile: Option<&ProfileFigures>,
        bevel: Option<&BevelFigures>,
    ) -> Self {
        Self::of_choice(knife.origin, knife, profile, bevel.map(|bevel| bevel.plunge_frame.foot))
    }

    fn of_choice(
        origin: Origin,
        knife: &Knife,
        figures: Option<&ProfileFigures>,
        plunge_foot: Option<Point>,
    ) -> Self {
        let marked = |mark: fn(&Profile) -> Option<knife::NodeId>| {
            mark(&knife.profile).and_then(|id| knife.profile.node(id)).map(|node| node.at)
        };
        let found = match origin {
            Origin::Tip => marked(|profile| profile.tip),
            Origin::Heel => marked(|profile| profile.heel),
            Origin::Plunge => plunge_foot,
            Origin::BarCorner => {
                Some(knife.bar.placement.bar_from_knife().inverse() * Point::ORIGIN)
            }
            Origin::Drawing => None,
        };
        let Some(at) = found.filter(|at| at.is_finite()) else { return Self::drawing() };
        let x_sign = if origin == Origin::BarCorner {
            1.0
        } else {
            figures.map_or(1.0, |profile| profile.towards_butt)
        };
        Self { origin, at, x_sign }
    }

    /// The zero of the drawing's own coordinates.
    pub fn drawing() -> Self {
        Self { origin: Origin::Drawing, at: Point::ORIGIN, x_sign: 1.0 }
    }

    /// Whether that is what the maker chose.
    pub fn is_chosen(&self, knife: &Knife) -> bool {
        self.origin == knife.origin
    }

    /// The place of the blank whose distances from the bar's edges are told: the origin itself
    /// when it lies on the knife; for the bar's corner, which is no place of the blank, the tip.
    #[must_use]
    pub fn on_blank(&self, knife: &Knife) -> Self {
        if self.origin == Origin::BarCorner {
            Self::of_choice(Origin::Tip, knife, None, None)
        } else {
            *self
        }
    }

    /// The coordinates of a place of the knife's plane, mm.
    pub fn to_local(&self, place: Point) -> Point {
        Point::new(self.to_local_x(place.x), self.to_local_y(place.y))
    }

    /// The place of the knife's plane at these coordinates.
    pub fn to_knife(&self, read: Point) -> Point {
        Point::new(self.to_knife_x(read.x), self.to_knife_y(read.y))
    }

    /// The x that a person reads of an x of the knife's plane, mm.
    pub fn to_local_x(&self, x_mm: f64) -> f64 {
        (x_mm - self.at.x) * self.x_sign
    }

    /// The y that a person reads of a y of the knife's plane, mm.
    pub fn to_local_y(&self, y_mm: f64) -> f64 {
        y_mm - self.at.y
    }

    /// The x of the knife's plane that a person means by an x, mm.
    pub fn to_knife_x(&self, read_mm: f64) -> f64 {
        self.at.x + read_mm * self.x_sign
    }

    /// The y of the knife's plane that a person means by a y, mm.
    pub fn to_knife_y(&self, read_mm: f64) -> f64 {
        self.at.y + read_mm
    }

    /// Unit ways of the two axes in the knife's plane.
    pub fn axes(&self) -> [Vec2; 2] {
        [Vec2::new(self.x_sign, 0.0), Vec2::new(0.0, 1.0)]
    }

    /// `the tip`, `the bar's corner`.
    pub fn noun_phrase(&self) -> &'static str {
        match self.origin {
            Origin::Tip => "the tip",
            Origin::Heel => "the heel",
            Origin::Plunge => "the plunge",
            Origin::BarCorner => "the bar's corner",
            Origin::Drawing => "the drawing's zero",
        }
    }

    /// `from the tip`.
    pub fn from_phrase(&self) -> String {
        format!("from {}", self.noun_phrase())
    }
}

impl Default for OriginFrame {
    fn default() -> Self {
        Self::drawing()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::blank;
    use crate::{Shop, reckon, tables::Tables};
    use knife::{Bevel, Edit};
    use proptest::prelude::*;

    fn frame(knife: &Knife) -> OriginFrame {
        reckon(knife, &Shop::default(), Tables::built_in()).origin
    }

    fn ground(origin: Origin) -> Knife {
        let mut knife = blank();
        knife.bevel = Some(Bevel { plunge_x_mm: 100.0, grind_height_mm: 12.0, ..Bevel::default() });
        Knife { origin, ..knife }
    }

    #[test]
    fn each_origin_lies_on_its_place() {
        let knife = ground(Origin::Tip);
        let node = |id: Option<knife::NodeId>| knife.profile.node(id.unwrap()).unwrap().at;
        assert_eq!(frame(&knife).at, node(knife.profile.tip));
        assert_eq!(frame(&ground(Origin::Heel)).at, node(knife.profile.heel));
        let plunge = frame(&ground(Origin::Plunge));
        assert_eq!(plunge.at.x, 100.0);
        let outline = knife.profile.outline().unwrap();
        assert!(outline.nearest(plunge.at).distance_mm < 1e-6, "on the edge");
        let corner = frame(&ground(Origin::BarCorner));
        assert!((knife.bar.placement.bar_from_knife() * corner.at).to_vec2().hypot() < 1e-9);
        assert_eq!(frame(&ground(Origin::Drawing)), OriginFrame::drawing());
    }

    #[test]
    fn what_is_not_there_counts_from_the_drawing() {
        let mut knife = blank();
        knife.bevel = None;
        knife.profile.tip = None;
        knife.profile.heel = None;
        for origin in [Origin::Tip, Origin::Heel, Origin::Plunge] {
            assert_eq!(frame(&Knife { origin, ..knife.clone() }), OriginFrame::drawing());
        }
        assert_eq!(frame(&Knife::empty()), OriginFrame::drawing());
    }

    #[test]
    fn from_the_tip_x_grows_towards_the_butt() {
        let knife = ground(Origin::Tip);
        let mirrored = Edit::MirrorAlong.apply(&knife).unwrap();
        for knife in [knife, mirrored] {
            let frame = frame(&knife);
            let bounds = knife.profile.outline().unwrap().bounds();
            let far = frame.to_local_x(bounds.x0).max(frame.to_local_x(bounds.x1));
            assert!((far - bounds.width()).abs() < 1e-6, "{far}");
        }
    }

    /// JSON stays in the drawing's own coordinates; it only says where a person counts from.
    #[test]
    fn json_only_tells_of_it() {
        let message = |knife: &Knife| {
            crate::numbers_json(knife, &reckon(knife, &Shop::default(), Tables::built_in()))
        };
        let mut heel = message(&ground(Origin::Heel));
        let at = frame(&ground(Origin::Heel)).at;
        let own = heel.as_object_mut().unwrap().remove("origin").unwrap();
        assert_eq!(own["name"], "heel");
        assert_eq!(own["at_mm"], serde_json::json!([at.x, at.y]));
        let mut tip = message(&ground(Origin::Tip));
        tip.as_object_mut().unwrap().remove("origin");
        assert_eq!(tip, heel);
        let mut unmarked = ground(Origin::Tip);
        unmarked.profile.tip = None;
        let own = &message(&unmarked)["origin"];
        assert_eq!((&own["name"], &own["chosen"]), (&"drawing".into(), &"tip".into()));
    }

    proptest! {
        #[test]
        fn read_and_typed_are_one(x in -500.0..500.0f64, y in -500.0..500.0f64,
                                  which in 0..5usize, turn_deg in -180.0..180.0f64) {
            let mut knife = ground(Origin::ALL[which]);
            knife.bar.placement.turn_deg = turn_deg;
            let frame = frame(&knife);
            let p = Point::new(x, y);
            prop_assert!(frame.to_knife(frame.to_local(p)).distance(p) < 1e-9);
            prop_assert!(frame.to_local(frame.at).to_vec2().hypot() < 1e-12);
        }
    }
}
