//! Sides from which a knife is looked at, as a person means them, whichever way its outline lies.

use super::Eye;
use reckon::ProfileFigures;

/// A side from which a knife is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// Over the spine, half turned: shows most of a knife at once.
    ThreeQuarter,
    /// The face seen with the tip to the left and the edge down.
    Left,
    /// The other face.
    Right,
    /// From the edge up.
    Edge,
    /// From the spine down.
    Spine,
    /// From the tip along the knife.
    Tip,
    /// From the butt along the knife.
    Butt,
}

impl Side {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::ThreeQuarter,
        Self::Left,
        Self::Right,
        Self::Edge,
        Self::Spine,
        Self::Tip,
        Self::Butt,
    ];

    /// Its name, as a person reads it.
    pub fn label(self) -> &'static str {
        match self {
            Self::ThreeQuarter => "Three quarters",
            Self::Left => "Left face",
            Self::Right => "Right face",
            Self::Edge => "Edge",
            Self::Spine => "Spine",
            Self::Tip => "Tip",
            Self::Butt => "Butt",
        }
    }
}

/// Which way a knife lies in its plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lie {
    /// +1 when the butt lies at larger x than the tip, −1 when at smaller.
    pub towards_butt: f64,
    /// +1 when the spine lies up, −1 when the edge does.
    pub up: f64,
}

impl Lie {
    /// Of a knife's profile; tip to the left and edge down without one.
    pub fn of(profile: Option<&ProfileFigures>) -> Self {
        profile.map_or(Self { towards_butt: 1.0, up: 1.0 }, |profile| Self {
            towards_butt: profile.towards_butt,
            up: if profile.edge_is_up { -1.0 } else { 1.0 },
        })
    }

    /// The eye that sees this side, without a cut.
    pub fn eye(&self, side: Side) -> Eye {
        let Self { towards_butt, up } = *self;
        // The left face lies at +z when tip and edge lie as a person holds them.
        let left_deg = if towards_butt * up > 0.0 { 0.0 } else { 180.0 };
        // Looked at so, the spine is up: half a turn in the picture's plane where it lies down.
        let (turn_deg, lift_deg) = match side {
            Side::ThreeQuarter => (left_deg - 24.0 * up, 30.0 * up),
            Side::Left => (left_deg, 0.0),
            Side::Right => (left_deg + 180.0, 0.0),
            Side::Edge => (left_deg, -90.0 * up),
            Side::Spine => (left_deg, 90.0 * up),
            Side::Tip => (90.0 * towards_butt, 0.0),
            Side::Butt => (-90.0 * towards_butt, 0.0),
        };
        let eye = Eye::turned(turn_deg, lift_deg);
        if up < 0.0 { eye.rolled_by(180.0) } else { eye }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where tip (−x of the usual lie), spine and the left face are seen, whichever way it lies.
    #[test]
    fn sides_show_what_they_are_named_after() {
        for towards_butt in [1.0, -1.0] {
            for up in [1.0, -1.0] {
                let lie = Lie { towards_butt, up };
                let (tip, spine) = ([-towards_butt, 0.0, 0.0], [0.0, up, 0.0]);
                let left = [0.0, 0.0, towards_butt * up];
                let near = |side, of: [f64; 3]| lie.eye(side).seen(of)[2];
                for (side, of) in [(Side::Tip, tip), (Side::Spine, spine), (Side::Left, left)] {
                    assert!((near(side, of) - 1.0).abs() < 1e-12, "{side:?} {lie:?}");
                    let other = match side {
                        Side::Tip => Side::Butt,
                        Side::Spine => Side::Edge,
                        _ => Side::Right,
                    };
                    assert!((near(other, of) + 1.0).abs() < 1e-12, "{other:?} {lie:?}");
                }
                // Seen on its left face the tip is to the left and the spine up.
                let seen = lie.eye(Side::Left);
                assert!((seen.seen(tip)[0] + 1.0).abs() < 1e-12, "{lie:?}");
                assert!((seen.seen(spine)[1] - 1.0).abs() < 1e-12, "{lie:?}");
                let over = lie.eye(Side::ThreeQuarter);
                assert!(near(Side::ThreeQuarter, spine) > 0.3 && over.seen(spine)[1] > 0.5);
                assert!(near(Side::ThreeQuarter, left) > 0.3 && over.seen(tip)[0] < -0.5);
            }
        }
    }
}
