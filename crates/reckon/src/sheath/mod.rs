//! The sheath: its pocket from outline and thickness, its pattern opened flat, its row of stitches
//! or eyelets, what to have for it.
//!
//! Everything stands in the sheath's own plane: the knife's left side seen, tip to the left and
//! edge down. x runs along the fold to the mouth, y = 0 is the fold (where nothing is folded, the
//! drawing's own), so that the depth below the fold is −y. [`SheathFigures::lay`] brings the knife
//! there.

mod belt_loop;
mod develop;
mod holes;
mod hull;
mod lay;
mod pocket;
mod run;
#[cfg(test)]
mod tests;

pub use belt_loop::BeltLoopFigures;
pub use develop::{Bend, Development, SheathStation};
pub use holes::RowFigures;

use crate::ScaleFigures;
use crate::context::FigureContext;
use knife::{Hand, Sheath, SheathBody, SheathKind};
use kurbo::{Affine, Line, Point};
use outline::Outline;
use pocket::Pocket;
use units::LengthUnit;

/// Left of a thread at its two ends together for starting and locking, mm (common practice, no
/// source).
pub const THREAD_TAILS_MM: f64 = 300.0;

/// A length of thread in the knife's own unit: `1.68 m`, `66 in`.
pub fn show_thread(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch => format!("{} in", units::show_number((mm / 25.4).ceil(), 0)),
        LengthUnit::Millimetre => format!("{} m", units::show_number(mm / 1000.0, 2)),
    }
}

/// A side of the flat piece is no longer than this, mm.
const SIDE_MM: f64 = 0.5;

/// A sheath worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct SheathFigures {
    /// What is stated.
    pub stated: Sheath,
    /// From the knife's plane to the sheath's.
    pub lay: Affine,
    /// The knife's tip, x there, mm.
    pub tip_mm: f64,
    /// The mouth, x there, mm.
    pub mouth_mm: f64,
    /// Inner edge of the welt or flange, closed, from the tip to the mouth's end at the edge.
    pub inner: Vec<Point>,
    /// The row of stitches or eyelets, closed sheath.
    pub row: RowFigures,
    /// The rim, closed sheath.
    pub rim: Vec<Point>,
    /// How much longer the leather is than the closed sheath is deep, along it.
    pub development: Development,
    /// The main piece, opened flat; where nothing is folded, the piece that shows.
    pub body: Piece,
    /// The welt, where there is one.
    pub welt: Option<Welt>,
    /// The belt loop, where there is one.
    pub belt_loop: Option<BeltLoopFigures>,
    /// The two flat sides of the bend on the main piece, when it is folded.
    pub fold_mm: Option<f64>,
    /// Thread for the whole row, mm, when it is stitched.
    pub thread_mm: Option<f64>,
    /// What is cut from leather or sheet for the main piece, mm: length and width.
    pub blank_mm: (f64, f64),
    /// How many of them.
    pub pieces: u32,
    /// What lies between the knife and the nearest stitch or eyelet, mm.
    pub guard_mm: f64,
    /// By how much the sheath is narrower nearer to its mouth than something inside it, mm; 0 when
    /// the knife comes straight out.
    pub catch_mm: f64,
    /// How deep the mouth is inside, and how deep the knife is that has to pass it, mm.
    pub mouth_depth_mm: (f64, f64),
    /// How much of the handle is inside, of the handle's length, mm.
    pub held_mm: (f64, f64),
    /// The drain hole's middle in the closed sheath.
    pub drain: Option<Point>,
}

/// A piece to be cut out: its line, and its holes with their diameters.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its outline.
    pub outline: Outline,
    /// Stitches (without a diameter) and holes: where, and how wide in mm.
    pub holes: Vec<(Point, Option<f64>)>,
    /// The welt's or flange's inner edge on it: what lies outside is glued.
    pub glue: Vec<Vec<Point>>,
}

/// The welt.
#[derive(Clone, Debug, PartialEq)]
pub struct Welt {
    /// Its template.
    pub piece: Piece,
    /// Its whole thickness, mm.
    pub thickness_mm: f64,
    /// Layers of the sheath's own leather that make it up; `None` when another thickness is
    /// stated.
    pub layers: Option<u32>,
}

/// Why there is no sheath of what is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheathError {
    /// There are neither scales nor bevels nor a heel to count the handle from.
    NoHandle,
    /// The mouth lies behind the butt.
    PastButt,
    /// The mouth lies at the tip or ahead of it.
    BeforeTip,
    /// The outline leaves no room to lay it.
    NoRoom,
}

impl SheathFigures {
    /// What it is.
    pub fn kind(&self) -> SheathKind {
        self.stated.kind()
    }

    /// Where a place of the closed sheath lies on the piece that shows, opened flat.
    pub fn on_front(&self, p: Point) -> Point {
        self.development.flat(p)
    }

    /// Where it lies on the other half of a folded piece: above the fold.
    pub fn on_back(&self, p: Point) -> Point {
        let flat = self.development.flat(p);
        Point::new(flat.x, -flat.y)
    }

    /// The closed sheath's outline: rim, mouth and, where it is folded, the leather over the spine.
    pub fn closed(&self) -> Vec<Point> {
        let mut ring = self.rim.clone();
        if self.stated.folded {
            let crown = self.development.bend.radius_mm + self.stated.thickness_mm;
            let tip_end = self.rim.first().map_or(0.0, |p| p.x);
            ring.extend([(self.mouth_mm, crown), (tip_end, crown)].map(Point::from));
        }
        ring
    }

    /// Whether the belt loop or clip sits on the half above the fold.
    pub fn loop_above(&self) -> bool {
        self.stated.hand == Hand::Right
    }

    /// Stitches to the inch.
    pub fn per_inch(&self) -> f64 {
        25.4 / self.row.pitch_mm
    }
}

/// `None` without a sheath.
pub(crate) fn figures(
    ctx: &FigureContext<'_>,
    scales: Option<&ScaleFigures>,
) -> Option<Result<SheathFigures, SheathError>> {
    let sheath = ctx.knife.sheath.as_ref()?;
    Some(worked_out(ctx, scales, sheath))
}

fn worked_out(
    ctx: &FigureContext<'_>,
    scales: Option<&ScaleFigures>,
    sheath: &Sheath,
) -> Result<SheathFigures, SheathError> {
    let laid = lay::lay(ctx, sheath)?;
    let pocket = Pocket::of(&laid, sheath)?;
    let welt_mm = welt_thickness(sheath, ctx.knife.bar.thickness_mm);
    let depth = develop::Sections { ctx, scales, laid: &laid, pocket: &pocket, sheath };
    let (development, thick_catch_mm) = depth.develop(welt_mm.map_or(0.0, |(mm, _)| mm));
    let rim = pocket.run(sheath.rim_mm(), 0.0).ok_or(SheathError::NoRoom)?;
    let inner = pocket.run(inner_mm(sheath), 0.0).ok_or(SheathError::NoRoom)?;
    let row = holes::row(&pocket, sheath).ok_or(SheathError::NoRoom)?;
    let drain = sheath.drain_mm.map(|_| pocket.tip - kurbo::Vec2::new(sheath.clearance_mm, 0.0));
    let flat = Flat { sheath, development: &development, row: &row, drain };
    let body = flat.body(&rim, &inner).ok_or(SheathError::NoRoom)?;
    let welt = welt_mm.map(|(thickness_mm, layers)| {
        let piece = flat.welt(&rim, &inner)?;
        Some(Welt { piece, thickness_mm, layers })
    });
    let welt = welt.map_or(Ok(None), |welt| welt.map(Some).ok_or(SheathError::NoRoom))?;
    let belt_loop = sheath
        .leather()
        .and_then(|own| Some((own, own.loop_for?)))
        .and_then(|(own, stated)| belt_loop::figures(sheath, own, stated, &pocket, &development));
    let bounds = body.outline.bounds();
    let room_mm = sheath.formed().map_or(0.0, |formed| 2.0 * formed.allowance_mm);
    let layers_mm = 2.0 * sheath.thickness_mm + welt_mm.map_or(0.0, |(mm, _)| mm);
    let handle_mm = (laid.butt_mm - laid.front_mm).max(0.0);
    Ok(SheathFigures {
        stated: sheath.clone(),
        lay: laid.lay,
        tip_mm: laid.tip.x,
        mouth_mm: laid.mouth_mm,
        fold_mm: sheath.folded.then(|| development.bend.allowance_mm / 2.0),
        thread_mm: sheath.leather().map(|_| thread_mm(&row, layers_mm)),
        blank_mm: (bounds.width() + room_mm, bounds.height() + room_mm),
        pieces: if sheath.folded { 1 } else { 2 },
        guard_mm: guard_mm(sheath),
        catch_mm: pocket.catch_mm.max(thick_catch_mm),
        mouth_depth_mm: pocket.mouth_depth_mm,
        held_mm: (laid.mouth_mm - laid.front_mm, handle_mm),
        inner,
        row,
        rim,
        development,
        body,
        welt,
        belt_loop,
        drain,
    })
}

/// From the knife to the inner edge of welt or flange, mm.
fn inner_mm(sheath: &Sheath) -> f64 {
    // An offset of nothing gives the pocket's own corners; a hair keeps its ring plain.
    sheath.clearance_mm.max(1e-3)
}

/// What keeps the knife from stitch or eyelet, mm.
fn guard_mm(sheath: &Sheath) -> f64 {
    match &sheath.body {
        SheathBody::Leather(leather) => leather.welt_width_mm - leather.stitch_margin_mm,
        SheathBody::Formed(formed) => formed.eyelet_offset_mm - formed.eyelet_mm / 2.0,
    }
}

/// Thickness of the welt, and layers of the sheath's leather that make it: as many as come nearest
/// to the stock.
fn welt_thickness(sheath: &Sheath, stock_mm: f64) -> Option<(f64, Option<u32>)> {
    let leather = sheath.leather()?;
    if let Some(mm) = leather.welt_thickness_mm {
        return Some((mm, None));
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within bounds")]
    let layers = (stock_mm / sheath.thickness_mm).round().clamp(1.0, 20.0) as u32;
    Some((f64::from(layers) * sheath.thickness_mm, Some(layers)))
}

/// Thread for saddle stitch: each of its two ends runs along every stitch, on one side or the
/// other, and through every hole; and what is left over at both ends.
pub(crate) fn thread_mm(row: &RowFigures, layers_mm: f64) -> f64 {
    let (stitches, holes) = (row.steps as f64, row.holes.len() as f64);
    2.0 * stitches * row.pitch_mm + 2.0 * holes * layers_mm + THREAD_TAILS_MM
}

/// What is laid flat.
struct Flat<'a> {
    sheath: &'a Sheath,
    development: &'a Development,
    row: &'a RowFigures,
    drain: Option<Point>,
}

impl Flat<'_> {
    /// The main piece.
    fn body(&self, rim: &[Point], inner: &[Point]) -> Option<Piece> {
        // What the piece takes more changes along a straight side too.
        let (rim, inner) = (&run::fine(rim, SIDE_MM)[..], &run::fine(inner, SIDE_MM)[..]);
        let down = |p: &Point| self.development.flat(*p);
        let up = |p: &Point| Point::new(down(p).x, -down(p).y);
        let front: Vec<Point> = rim.iter().map(down).collect();
        let mut ring = front.clone();
        let mut glue = vec![inner.iter().map(down).collect::<Vec<_>>()];
        let mut holes = self.holes(&down);
        if self.sheath.folded {
            let (bottom, top) = (*front.last()?, up(rim.last()?));
            ring.extend(self.mouth(bottom, top));
            ring.extend(rim.iter().rev().map(up));
            glue.push(inner.iter().map(up).collect());
            holes.extend(self.holes(&up));
        } else {
            let (bottom, top) = (*front.last()?, *front.first()?);
            ring.extend(self.mouth(bottom, top));
        }
        Some(Piece { outline: polygon(ring)?, holes, glue })
    }

    fn holes(&self, flat: &dyn Fn(&Point) -> Point) -> Vec<(Point, Option<f64>)> {
        let eyelet = self.sheath.formed().map(|formed| formed.eyelet_mm);
        let row = self.row.holes.iter().map(|p| (flat(p), eyelet));
        let drain = self.drain.iter().map(|p| (flat(p), self.sheath.drain_mm));
        row.chain(drain).collect()
    }

    /// The corners of the mouth between the two ends of the rim: those of a thumb ramp.
    fn mouth(&self, bottom: Point, top: Point) -> Vec<Point> {
        let Some(ramp) = self.sheath.formed().and_then(|formed| formed.ramp) else {
            return Vec::new();
        };
        let (x, out) = (bottom.x, bottom.x + ramp.rise_mm);
        // Its flat reaches over half of its width, from there it falls off to the mouth.
        let corner = |x: f64, below: f64| {
            let y = if self.sheath.folded {
                -self.development.take_up_at(x) - below
            } else {
                top.y - below
            };
            Point::new(x, y.max(bottom.y))
        };
        let (foot, head) = (corner(x, ramp.width_mm), corner(out, ramp.width_mm / 2.0));
        if self.sheath.folded {
            let mirrored = |p: Point| Point::new(p.x, -p.y);
            return vec![foot, head, mirrored(head), mirrored(foot)];
        }
        vec![foot, head, Point::new(out, top.y)]
    }

    /// The welt's template, flat as it lies in the closed sheath.
    fn welt(&self, rim: &[Point], inner: &[Point]) -> Option<Piece> {
        let ring = rim.iter().chain(inner.iter().rev()).copied().collect();
        let holes = self.row.holes.iter().map(|p| (*p, None));
        let drain = self.drain.iter().map(|p| (*p, self.sheath.drain_mm));
        Some(Piece { outline: polygon(ring)?, holes: holes.chain(drain).collect(), glue: vec![] })
    }
}

fn polygon(mut ring: Vec<Point>) -> Option<Outline> {
    ring.dedup_by(|a, b| a.distance(*b) < 1e-6);
    while ring.len() > 1 && ring[0].distance(ring[ring.len() - 1]) < 1e-6 {
        ring.pop();
    }
    Outline::polygon(&ring).ok().filter(|outline| outline.area() > 0.0)
}

/// The lines across the main piece along which a folded one bends: the fold, and where the bend
/// ends on both sides.
pub fn fold_lines(figures: &SheathFigures) -> Vec<Line> {
    let Some(half_mm) = figures.fold_mm else { return Vec::new() };
    let bounds = figures.body.outline.bounds();
    let line = |y: f64| Line::new((bounds.x0, y), (figures.mouth_mm, y));
    vec![line(0.0), line(half_mm), line(-half_mm)]
}
