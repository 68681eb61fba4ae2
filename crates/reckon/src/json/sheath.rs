//! The sheath in the stable JSON of `numbers`.
//!
//! Places stand in the sheath's own plane: x along the fold to the mouth, y = 0 at the fold, the
//! knife's edge below.

use super::{Xy, xy};
use crate::{BeltLoopFigures, Piece, Reckoning, SheathStation};
use kurbo::Point;
use schemars::JsonSchema;
use serde::Serialize;

/// The sheath, closed and opened flat.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Sheath {
    /// What it is.
    kind: &'static str,
    /// On which side of the body it is worn.
    hand: &'static str,
    /// From the file's coordinates to the sheath's: x' = a x + c y + e, y' = b x + d y + f, as
    /// `[a, b, c, d, e, f]`.
    from_file: [f64; 6],
    /// The knife's tip, x in the sheath.
    tip_mm: f64,
    /// The mouth, x in the sheath.
    mouth_mm: f64,
    /// Radius of the bend at the fold.
    bend_radius_mm: f64,
    /// From the inner face to the neutral line.
    neutral_mm: f64,
    /// What half a turn takes of a folded piece.
    bend_allowance_mm: f64,
    /// Inner edge of welt or flange, closed.
    inner: Vec<Xy>,
    /// The line of stitches or eyelets, closed.
    row: Vec<Xy>,
    /// Its length.
    row_mm: f64,
    /// The holes on it, closed.
    holes: Vec<Xy>,
    /// How many steps they make.
    steps: usize,
    /// From hole to hole along the line.
    pitch_mm: f64,
    /// Stitches to the inch.
    per_inch: f64,
    /// Which two holes, counted from 0, hold the belt clip.
    clip: Option<[usize; 2]>,
    /// The rim, closed.
    rim: Vec<Xy>,
    /// Sections from the tip to the mouth.
    stations: Vec<SheathSection>,
    /// How many pieces like `pattern`; the second one is its mirror image.
    pieces: u32,
    /// The main piece, flat.
    pattern: SheathPiece,
    /// What to cut it from, length and width.
    blank_mm: Xy,
    /// The welt's template, flat.
    welt: Option<SheathPiece>,
    /// Thickness of the welt.
    welt_thickness_mm: Option<f64>,
    /// Layers of the sheath's leather that make it up, unless a thickness is stated.
    welt_layers: Option<u32>,
    /// Thread for the row, what is left over at its ends included.
    thread_mm: Option<f64>,
    /// The belt loop.
    belt_loop: Option<BeltLoop>,
    /// Between the knife and the stitches or eyelets.
    guard_mm: f64,
    /// By how much a close sheath is narrower nearer to its mouth than something in it.
    catch_mm: f64,
    /// The mouth's depth inside.
    mouth_depth_mm: f64,
    /// The deepest part of the knife that has to pass it.
    passes_mm: f64,
    /// Of the handle in the sheath.
    held_mm: f64,
}

/// A section square to the fold.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SheathSection {
    /// Where along the sheath.
    x_mm: f64,
    /// Thickness of the knife there, relief included.
    thickness_mm: f64,
    /// How much longer the flat piece is than the closed sheath is deep.
    take_up_mm: f64,
    /// Corners of the inner face, taut: depth, distance from the centre plane.
    taut: Vec<Xy>,
}

/// A piece to cut out.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SheathPiece {
    /// Its outline, without the first point again.
    outline: Vec<Xy>,
    /// Its holes.
    holes: Vec<Xy>,
    /// Its length.
    length_mm: f64,
    /// Its width.
    width_mm: f64,
}

/// The belt loop.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct BeltLoop {
    /// The belt's width.
    belt_mm: f64,
    /// Length of the strip.
    length_mm: f64,
    /// Its width.
    width_mm: f64,
    /// Where it is folded, from either end.
    fold_mm: f64,
    /// Stitches round each of its tabs.
    stitches: usize,
    /// Thread for them.
    thread_mm: f64,
}

impl Sheath {
    pub(super) fn of(reckoning: &Reckoning) -> Option<Self> {
        let Some(Ok(figures)) = &reckoning.sheath else { return None };
        let (row, bend) = (&figures.row, &figures.development.bend);
        let (deep, passes_mm) = figures.mouth_depth_mm;
        Some(Self {
            kind: figures.kind().label(),
            hand: figures.stated.hand.label(),
            from_file: figures.lay.as_coeffs(),
            tip_mm: figures.tip_mm,
            mouth_mm: figures.mouth_mm,
            bend_radius_mm: bend.radius_mm,
            neutral_mm: bend.neutral_mm,
            bend_allowance_mm: bend.allowance_mm,
            inner: run(&figures.inner),
            row: run(&row.line),
            row_mm: row.length_mm,
            holes: run(&row.holes),
            steps: row.steps,
            pitch_mm: row.pitch_mm,
            per_inch: figures.per_inch(),
            clip: row.clip,
            rim: run(&figures.rim),
            stations: figures.development.stations.iter().map(SheathSection::of).collect(),
            pieces: figures.pieces,
            pattern: SheathPiece::of(&figures.body),
            blank_mm: [figures.blank_mm.0, figures.blank_mm.1],
            welt: figures.welt.as_ref().map(|welt| SheathPiece::of(&welt.piece)),
            welt_thickness_mm: figures.welt.as_ref().map(|welt| welt.thickness_mm),
            welt_layers: figures.welt.as_ref().and_then(|welt| welt.layers),
            thread_mm: figures.thread_mm,
            belt_loop: figures.belt_loop.as_ref().map(BeltLoop::of),
            guard_mm: figures.guard_mm,
            catch_mm: figures.catch_mm,
            mouth_depth_mm: deep,
            passes_mm,
            held_mm: figures.held_mm.0,
        })
    }
}

impl SheathSection {
    fn of(station: &SheathStation) -> Self {
        Self {
            x_mm: station.x_mm,
            thickness_mm: station.thickness_mm,
            take_up_mm: station.take_up_mm,
            taut: run(&station.taut),
        }
    }
}

impl SheathPiece {
    fn of(piece: &Piece) -> Self {
        let bounds = piece.outline.bounds();
        Self {
            outline: piece.outline.nodes().map(xy).collect(),
            holes: piece.holes.iter().map(|(p, _)| xy(*p)).collect(),
            length_mm: bounds.width(),
            width_mm: bounds.height(),
        }
    }
}

impl BeltLoop {
    fn of(own: &BeltLoopFigures) -> Self {
        Self {
            belt_mm: own.stated.belt_mm,
            length_mm: own.length_mm,
            width_mm: own.stated.width_mm,
            fold_mm: own.fold_mm,
            stitches: own.row.steps,
            thread_mm: own.thread_mm,
        }
    }
}

fn run(points: &[Point]) -> Vec<Xy> {
    points.iter().copied().map(xy).collect()
}
