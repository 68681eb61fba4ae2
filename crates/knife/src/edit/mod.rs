//! The closed list of things that can be done to a knife, and the only code that does them.

mod arrange;
mod aside;
mod blade;
mod check;
mod constraints;
mod dimensions;
mod handle;
mod holes;
mod joints;
mod label;
mod nodes;
mod reshape;
mod sheath;
mod whole;

use crate::{
    Bevel, Bolster, ChainDrilling, Dimension, Filing, Finish, Fixing, GrindLine, Handle, Heating,
    Hole, HoleId, HoleKind, Jimping, Knife, Liners, Node, NodeId, Origin, PartId, Picture,
    PicturePlacement, Placement, Profile, Reference, Refusal, ScaleFront, Scales, Scallops,
    SetAside, Shaping, Sharpening, Sheath, Swedge, Taper, Temper, limits,
};
pub use arrange::Alignment;
pub(crate) use aside::KnownParts;
use check::in_range;
pub(crate) use dimensions::is_whole;
use kurbo::{Point, Vec2};
use units::LengthUnit;

/// One of a node's two handles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HandleSide {
    /// Towards the node before.
    In,
    /// Towards the next node.
    Out,
}

/// Relief holes of one drill, wherever they lie.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefRow {
    /// Their centres, mm.
    pub at: Vec<Point>,
    /// Their diameter, mm.
    pub diameter_mm: f64,
    /// The drill's designation.
    pub drill: Option<String>,
}

/// Something a maker does to a knife. Lengths in mm, turns in degrees counter-clockwise.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
#[expect(clippy::large_enum_variant, reason = "one at a time is made, and kept only as its words")]
pub enum Edit {
    /// Gives the knife another name.
    Rename(String),
    /// Writes the maker's notes.
    SetNotes(String),
    /// Shows lengths in this unit first.
    SetUnit(LengthUnit),
    /// Counts the coordinates that a person reads from another point.
    SetOrigin(Origin),
    /// Says what the outline may be off by, mm, as it was traced from a picture; `None` when it has
    /// been checked, so that no sheet says so any more.
    SetTraced(Option<f64>),
    /// Lays a picture under the blank, or takes it away.
    SetPicture(Option<Picture>),
    /// Lays the picture elsewhere.
    PlacePicture(PicturePlacement),
    /// Takes another bar of steel; the blank stays where it lies.
    SetBar {
        /// Grade by its standard name.
        grade: String,
        /// Width, mm.
        width_mm: f64,
        /// Thickness, mm.
        thickness_mm: f64,
        /// Length, mm.
        length_mm: f64,
    },
    /// Lays the blank elsewhere on its bar.
    Place(Placement),
    /// Scribes from another edge or end.
    SetReference(Reference),

    /// Moves nodes with their handles, all by the same way.
    MoveNodes {
        /// Which.
        nodes: Vec<NodeId>,
        /// How far, mm.
        by: Vec2,
    },
    /// Puts one node, with its handles, at a place.
    PlaceNode {
        /// Which.
        node: NodeId,
        /// Where to, mm.
        to: Point,
    },
    /// Puts the end of a handle at a place; at a smooth node the other handle turns with it.
    MoveHandle {
        /// Whose.
        node: NodeId,
        /// Which of the two.
        side: HandleSide,
        /// Where to, mm.
        to: Point,
    },
    /// Adds a node on a stretch without changing its shape.
    AddNode {
        /// The node at which the stretch starts.
        stretch: NodeId,
        /// Where on it, from 0 to 1 exclusive.
        t: f64,
    },
    /// Removes a node; one stretch takes the place of two, as near to them as it can.
    RemoveNode(NodeId),
    /// Lets the two handles of a node point their own ways.
    MakeCorner(NodeId),
    /// Brings the two handles of a node in line.
    MakeSmooth(NodeId),
    /// Brings the two handles of a node in line and keeps them equally long.
    MakeSymmetric(NodeId),
    /// Brings the two handles of a node in line and keeps the curvature the same on both sides.
    MakeCurvatureContinuous(NodeId),
    /// Pulls a stretch so that a place on it moves: a curve bends, its ends held; a straight one
    /// moves with both its ends.
    PullStretch {
        /// The node at which the stretch starts.
        stretch: NodeId,
        /// Where on it, from 0 to 1; nearer to an end than an eighth it acts as if there.
        t: f64,
        /// How far, mm.
        by: Vec2,
    },
    /// Divides a stretch into equally long ones, without changing its shape.
    SplitStretch {
        /// The node at which the stretch starts.
        stretch: NodeId,
        /// How many.
        parts: usize,
    },
    /// Removes nodes at once; where several lie side by side, one stretch takes the place of all
    /// theirs, as near to them as it can.
    RemoveNodes(Vec<NodeId>),
    /// Removes as many nodes as can go while the outline strays no further than a tolerance.
    /// Corners and marked nodes stay.
    Simplify {
        /// Those that may go; all when none is named.
        nodes: Vec<NodeId>,
        /// How far the outline may stray, mm.
        tolerance_mm: f64,
    },
    /// Moves nodes and their handles so that the curvature changes as little as it can.
    FairNodes {
        /// Those that may move; all when none is named. Corners, marked nodes and the ends of
        /// straight runs stay.
        nodes: Vec<NodeId>,
        /// How far a node or any point of the outline may move, mm.
        tolerance_mm: f64,
    },
    /// Puts a copied run of an outline in place of as much of this one as it spans.
    PasteStretch {
        /// The node at which the stretch starts that takes its middle.
        stretch: NodeId,
        /// Where on it, from 0 to 1.
        t: f64,
        /// The run, in the order of an outline that goes round the same way.
        nodes: Vec<Node>,
    },
    /// Makes a stretch a straight line.
    Straighten {
        /// The node at which the stretch starts.
        stretch: NodeId,
    },
    /// Gives a straight stretch handles, without changing its shape yet.
    Bend {
        /// The node at which the stretch starts.
        stretch: NodeId,
    },
    /// Rounds a corner by a true arc.
    RoundCorner {
        /// The corner.
        node: NodeId,
        /// Radius, mm.
        radius_mm: f64,
    },
    /// Cuts a round notch into the outline: a true arc of a circle. A sharpening notch is
    /// half the diameter deep (the circle's centre on the outline), a finger notch shallower
    /// (common practice, no source). Nodes inside it go; a marked tip is kept by refusing. Cut
    /// over the heel, or into the edge a little ahead of it, it is where the edge ends: its lip
    /// towards the tip is then the heel.
    InsertNotch {
        /// The node at which the stretch starts.
        stretch: NodeId,
        /// Where on it the notch has its middle, from 0 to 1.
        t: f64,
        /// Diameter of the circle, mm.
        diameter_mm: f64,
        /// How deep it reaches, square to the outline, mm.
        depth_mm: f64,
        /// Rounding of its two outer corners, mm; 0 leaves them sharp.
        lip_radius_mm: f64,
    },
    /// Marks a node as the tip.
    MarkTip(NodeId),
    /// Marks a node as the heel.
    MarkHeel(NodeId),
    /// Takes another outline in place of the whole profile.
    TakeProfile(Profile),
    /// Takes a profile that was just drawn, in place of the whole profile.
    DrawProfile(Profile),

    /// Moves nodes and holes, all by the same way.
    MoveParts {
        /// Which.
        parts: Vec<PartId>,
        /// How far, mm.
        by: Vec2,
    },
    /// Turns nodes and holes about a point.
    TurnParts {
        /// Which.
        parts: Vec<PartId>,
        /// About where, mm.
        about: Point,
        /// By how much, degrees.
        by_deg: f64,
    },
    /// Scales nodes and holes about a point; by less than 0 it mirrors them. Drills stay as they
    /// are.
    ScaleParts {
        /// Which.
        parts: Vec<PartId>,
        /// About where, mm.
        about: Point,
        /// By how much along the drawing.
        x: f64,
        /// By how much across it.
        y: f64,
    },
    /// Lines nodes and holes up.
    AlignParts {
        /// Which, two at least.
        parts: Vec<PartId>,
        /// How.
        to: Alignment,
    },
    /// Spaces nodes and holes evenly between the two outermost.
    DistributeParts {
        /// Which, three at least.
        parts: Vec<PartId>,
        /// Whether up the drawing rather than along it.
        up: bool,
    },

    /// Turns the whole knife over its long axis: spine and edge change places.
    MirrorAcross,
    /// Turns the whole knife end for end.
    MirrorAlong,
    /// Turns the whole knife about the middle of its box, degrees.
    Turn(f64),
    /// Moves the whole knife in its plane, mm.
    Shift(Vec2),
    /// Scales the outline and the places on it to an overall length, mm; drills stay as they are.
    ScaleToLength(f64),

    /// Adds a hole.
    AddHole {
        /// What the maker calls it.
        name: String,
        /// What it is for.
        kind: HoleKind,
        /// Centre, mm.
        at: Point,
        /// Diameter, mm.
        diameter_mm: f64,
        /// The drill's designation.
        drill: Option<String>,
        /// The pin stock's diameter, mm.
        pin_mm: Option<f64>,
    },
    /// Adds holes between two, their centres evenly spaced on the line from one to the other.
    AddHoleRow {
        /// The hole at one end of the row, which stays as it is.
        from: HoleId,
        /// The hole at the other end, which stays as it is.
        to: HoleId,
        /// How many to add between the two.
        count: usize,
        /// What they are for.
        kind: HoleKind,
        /// Their diameter, mm.
        diameter_mm: f64,
        /// The drill's designation.
        drill: Option<String>,
        /// The pin stock's diameter, mm.
        pin_mm: Option<f64>,
    },
    /// Adds copies of holes, each under the next free number.
    AddHoles(Vec<Hole>),
    /// Adds relief holes, all of one drill, as one step.
    AddReliefRow(ReliefRow),
    /// Moves a hole to the middle between spine and belly, square to the bar as the blank lies
    /// on it.
    CentreHole(HoleId),
    /// Moves a hole to a place.
    MoveHole {
        /// Which.
        hole: HoleId,
        /// Where to, mm.
        to: Point,
    },
    /// Gives a hole another drill or diameter.
    SizeHole {
        /// Which.
        hole: HoleId,
        /// Diameter, mm.
        diameter_mm: f64,
        /// The drill's designation.
        drill: Option<String>,
        /// The pin stock's diameter, mm.
        pin_mm: Option<f64>,
    },
    /// Says what a hole is for.
    SetHoleKind {
        /// Which.
        hole: HoleId,
        /// What for.
        kind: HoleKind,
    },
    /// Gives a hole another name.
    RenameHole {
        /// Which.
        hole: HoleId,
        /// The name.
        name: String,
    },
    /// Removes a hole.
    RemoveHole(HoleId),

    /// Sets or clears the bevels.
    SetBevel(Option<Bevel>),
    /// Says up to where the bevels go.
    SetGrindLine(GrindLine),
    /// Sets or clears the distal taper.
    SetTaper(Option<Taper>),
    /// Sets or clears the swedge.
    SetSwedge(Option<Swedge>),
    /// Sets how the bevels are filed, or goes back to the usual.
    SetFiling(Option<Filing>),
    /// Sets or clears how it is sharpened.
    SetSharpening(Option<Sharpening>),
    /// Sets or clears the scales.
    SetScales(Option<Scales>),
    /// Says all of the handle: what it is made of and how it is shaped.
    SetHandle(Handle),
    /// Chooses the temper, or leaves it open.
    ChooseTemper(Option<Temper>),
    /// Chooses the blade's finish, or leaves it open.
    ChooseFinish(Option<Finish>),
    /// Chooses how it is heated for hardening, or leaves it open.
    ChooseHeating(Option<Heating>),
    /// Shapes the scales' front.
    SetFront(ScaleFront),
    /// Sets or clears the liners.
    SetLiners(Option<Liners>),
    /// Sets or clears the bolsters.
    SetBolsters {
        /// In front of the scales.
        front: Option<Bolster>,
        /// At the butt.
        rear: Option<Bolster>,
    },
    /// Puts a tube or a screw through a hole, or goes back to a solid pin.
    SetFixing {
        /// Which hole.
        hole: HoleId,
        /// What goes in.
        fixing: Option<Fixing>,
    },
    /// Sets or clears the jimping.
    SetJimping(Option<Jimping>),
    /// Shapes the scales.
    SetShaping(Shaping),
    /// Sets or clears the scallops.
    SetScallops(Option<Scallops>),
    /// Sets or clears the sheath.
    SetSheath(Option<Sheath>),
    /// Sets a finding aside, for a reason.
    SetAside(SetAside),
    /// Takes a finding up again that was set aside.
    TakeUp {
        /// Key of its rule.
        rule: String,
        /// The parts it is about.
        parts: Vec<PartId>,
    },
    /// Keeps a dimension, to be printed on the plan.
    AddDimension(Dimension),
    /// Lets go of a kept dimension, by its place in the list.
    RemoveDimension(usize),
    /// Lets go of every kept dimension.
    ClearDimensions,
    /// Sets how the blank is cut out, or goes back to the usual.
    SetCutting(Option<ChainDrilling>),
}

impl Edit {
    /// The knife with this edit done.
    ///
    /// # Errors
    /// [`Refusal`] with the reason when it can't be done.
    pub fn apply(&self, knife: &Knife) -> Result<Knife, Refusal> {
        let mut changed = knife.clone();
        self.change(&mut changed)?;
        // Another outline is no longer the traced one.
        if matches!(self, Self::TakeProfile(_) | Self::DrawProfile(_)) {
            changed.traced_mm = None;
        }
        if changed.profile != knife.profile {
            joints::restore(&mut changed.profile);
            constraints::length(&knife.profile, &changed.profile)?;
            constraints::heights(&mut changed);
        }
        aside::prune(&mut changed);
        dimensions::follow(knife, &mut changed);
        Ok(changed)
    }

    fn change(&self, knife: &mut Knife) -> Result<(), Refusal> {
        match self {
            Self::Rename(name) => check::text("the name", name, limits::NAME_CHARS)
                .map(|()| knife.name.clone_from(name)),
            Self::SetNotes(notes) => check::text("the notes", notes, limits::NOTES_CHARS)
                .map(|()| knife.notes.clone_from(notes)),
            Self::SetUnit(unit) => {
                knife.unit = *unit;
                Ok(())
            }
            Self::SetOrigin(origin) => {
                knife.origin = *origin;
                Ok(())
            }
            Self::SetTraced(traced_mm) => {
                if let Some(mm) = traced_mm {
                    in_range("the error of a traced outline", *mm, &limits::TRACED_MM)?;
                }
                knife.traced_mm = *traced_mm;
                Ok(())
            }
            Self::SetPicture(picture) => {
                picture.as_ref().map_or(Ok(()), check::picture)?;
                knife.picture.clone_from(picture);
                Ok(())
            }
            Self::PlacePicture(placement) => {
                let picture = knife.picture.as_mut().ok_or(Refusal::NoPicture)?;
                picture.placement = *placement;
                check::picture(picture)
            }
            Self::SetBar { grade, width_mm, thickness_mm, length_mm } => {
                check::text("the grade", grade, limits::NAME_CHARS)?;
                in_range("a bar width", *width_mm, &limits::BAR_WIDTH_MM)?;
                in_range("a bar thickness", *thickness_mm, &limits::BAR_THICKNESS_MM)?;
                in_range("a bar length", *length_mm, &limits::BAR_LENGTH_MM)?;
                knife.bar.grade.clone_from(grade);
                knife.bar.width_mm = *width_mm;
                knife.bar.thickness_mm = *thickness_mm;
                knife.bar.length_mm = *length_mm;
                Ok(())
            }
            Self::Place(placement) => {
                check::point(placement.at)?;
                in_range("a turn", placement.turn_deg, &limits::TURN_DEG)?;
                knife.bar.placement = *placement;
                Ok(())
            }
            Self::SetReference(reference) => {
                knife.bar.reference = *reference;
                Ok(())
            }
            Self::SetBevel(_)
            | Self::SetGrindLine(_)
            | Self::SetTaper(_)
            | Self::SetSwedge(_)
            | Self::SetFiling(_)
            | Self::SetSharpening(_) => blade::change(self, knife),
            Self::SetScales(scales) => {
                if let Some(scales) = scales {
                    in_range("a front line", scales.front_x_mm, &limits::COORDINATE_MM)?;
                    let thickness = scales.thickness_mm;
                    in_range("a scale thickness", thickness, &limits::SCALE_THICKNESS_MM)?;
                }
                knife.scales = *scales;
                Ok(())
            }
            Self::ChooseTemper(temper) => {
                match temper {
                    Some(Temper::Hardness(hrc)) => {
                        in_range("a hardness in HRC", *hrc, &limits::HARDNESS_HRC)?;
                    }
                    Some(Temper::Heat(celsius)) => {
                        in_range("a temper in °C", *celsius, &limits::TEMPER_C)?;
                    }
                    None => {}
                }
                knife.treatment.temper = *temper;
                Ok(())
            }
            Self::ChooseFinish(finish) => {
                knife.treatment.finish = *finish;
                Ok(())
            }
            Self::ChooseHeating(heating) => {
                knife.treatment.heating = *heating;
                Ok(())
            }
            Self::SetHandle(_)
            | Self::SetFront(_)
            | Self::SetLiners(_)
            | Self::SetBolsters { .. }
            | Self::SetFixing { .. }
            | Self::SetJimping(_)
            | Self::SetShaping(_)
            | Self::SetScallops(_) => handle::change(self, knife),
            Self::SetSheath(sheath) => sheath::change(sheath.as_ref(), knife),
            Self::SetCutting(cutting) => {
                if let Some(cutting) = cutting {
                    check::cutting(cutting)?;
                }
                knife.cutting.clone_from(cutting);
                Ok(())
            }
            Self::MoveParts { .. }
            | Self::TurnParts { .. }
            | Self::ScaleParts { .. }
            | Self::AlignParts { .. }
            | Self::DistributeParts { .. } => arrange::change(self, knife),
            Self::PullStretch { .. }
            | Self::SplitStretch { .. }
            | Self::RemoveNodes(_)
            | Self::Simplify { .. }
            | Self::FairNodes { .. }
            | Self::PasteStretch { .. } => reshape::change(self, &mut knife.profile),
            Self::AddDimension(_) | Self::RemoveDimension(_) | Self::ClearDimensions => {
                dimensions::change(self, knife)
            }
            Self::AddHole { .. }
            | Self::AddHoleRow { .. }
            | Self::AddHoles(_)
            | Self::AddReliefRow(_)
            | Self::CentreHole(_)
            | Self::MoveHole { .. }
            | Self::SizeHole { .. }
            | Self::SetHoleKind { .. }
            | Self::RenameHole { .. }
            | Self::RemoveHole(_) => holes::change(self, knife),
            Self::SetAside(_) | Self::TakeUp { .. } => aside::change(self, knife),
            Self::MirrorAcross
            | Self::MirrorAlong
            | Self::Turn(_)
            | Self::Shift(_)
            | Self::ScaleToLength(_) => whole::change(self, knife),
            _ => nodes::change(self, &mut knife.profile),
        }
    }
}

#[cfg(test)]
mod drawing_tests;
#[cfg(test)]
pub(crate) mod strategies;
#[cfg(test)]
mod tests;
