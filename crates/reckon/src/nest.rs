//! Many blanks on a bar: where each lies, what is left over, how many bars it takes.

mod describe;
mod stock_counts;

use crate::chain::{self, BarSpace, ChainFigures};
use crate::shop::Shop;
use crate::tables::Tables;
use knife::{ChainDrilling, Knife};
use kurbo::{Affine, Point};
use outline::Outline;
use outline::packing::{self, Effort, Orientation, Progress, Shape, Strip};
use std::f64::consts::PI;
use units::{LengthUnit, show_length, write_length};

pub use stock_counts::StockBarCount;

/// More blanks than this are not laid at once.
pub const MAX_BLANKS: usize = 500;
/// More nodes and holes than this, of all blanks together, are not laid at once: each is drawn, and
/// five hundred usual blanks have some ten thousand. A hole counts as much as its circle takes.
const MAX_PARTS: usize = 200_000;
const PARTS_OF_HOLE: usize = 20;
/// More holes than this are not drilled around all blanks together: each is drawn, and two hundred
/// usual blanks have three quarters as many.
const MAX_CHAIN_HOLES: usize = 20_000;
/// More bars than this are not laid at once.
const MAX_BARS: usize = 100;
/// Turns that differ by less are one, radians.
const SAME_TURN_RAD: f64 = 1e-4;

/// What is wanted of a laying.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NestOptions {
    /// How many of each blank.
    pub copies: usize,
    /// As many as one bar takes, instead.
    pub fill: bool,
    /// Length of the bar, mm; without it the shortest that takes all.
    pub length_mm: Option<f64>,
    /// Width of the bar, mm; without it the widest of the blanks' own bars.
    pub width_mm: Option<f64>,
    /// Room for the saw between two blanks, mm.
    pub kerf_mm: f64,
    /// Clear steel along the bar's edges and ends, mm.
    pub margin_mm: f64,
    /// Whether a blank may be laid on its other face.
    pub flip: bool,
    /// Whether the blanks are drilled out, with room for a row of holes between them.
    pub drill: bool,
    /// How long to search, in placings tried.
    pub max_steps: u64,
}

impl Default for NestOptions {
    /// One of each, 2 mm for the saw and along the edges (common practice, no source).
    fn default() -> Self {
        Self {
            copies: 1,
            fill: false,
            length_mm: None,
            width_mm: None,
            kerf_mm: 2.0,
            margin_mm: 2.0,
            flip: false,
            drill: false,
            max_steps: Effort::default().max_steps,
        }
    }
}

/// Why blanks can't be laid together. Blanks are told by their place in the list.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NestError {
    /// A blank without outline.
    #[error("there is no closed outline")]
    NoOutline {
        /// Which blank.
        blank: usize,
    },
    /// A blank whose outline crosses or touches itself.
    #[error(
        "its outline crosses or touches itself, so it can't be cut; fix it first (check says \
         where)"
    )]
    CrossesItself {
        /// Which blank.
        blank: usize,
    },
    /// Two blanks for bars of different thickness or grade.
    #[error(
        "its bar is of another {what} than the first one's; lay out only blanks of one {what} \
         together"
    )]
    Differs {
        /// Which blank.
        blank: usize,
        /// `thickness` or `grade`.
        what: &'static str,
    },
    /// A blank that goes on the bar at no turn.
    #[error(
        "it does not fit on a bar {} wide{} with {} to spare on each side; use a wider or longer \
         bar",
        show_length(*width_mm, *unit),
        length_mm.map(|mm| format!(" and {} long", show_length(mm, *unit))).unwrap_or_default(),
        show_length(*margin_mm, *unit)
    )]
    TooLarge {
        /// Which blank.
        blank: usize,
        /// Width of the bar, mm.
        width_mm: f64,
        /// Its length, mm, where one was asked for.
        length_mm: Option<f64>,
        /// The margin, mm.
        margin_mm: f64,
        /// In which unit it is told.
        unit: LengthUnit,
    },
    /// More than anyone lays at once.
    #[error("{count} blanks are too many to lay at once; ask for at most {MAX_BLANKS}")]
    TooMany {
        /// How many.
        count: usize,
    },
    /// Blanks of more nodes and holes than are drawn at once.
    #[error(
        "{count} blanks of so many nodes and holes are too intricate to lay at once; ask for at \
         most {max}"
    )]
    TooIntricate {
        /// How many blanks.
        count: usize,
        /// How many of them could be laid.
        max: usize,
    },
    /// Blanks with more holes around them than are drawn at once.
    #[error(
        "{count} blanks have too many holes around them to lay at once; ask for at most {max}, \
         or drill with a larger drill or wider bridges"
    )]
    TooManyHoles {
        /// How many blanks.
        count: usize,
        /// How many of them could be laid.
        max: usize,
    },
    /// A measure out of its range.
    #[error(
        "{what} of {} is not possible; it must lie between {} and {}",
        write_length(*value_mm, *unit),
        write_length(*min_mm, *unit),
        write_length(*max_mm, *unit)
    )]
    Measure {
        /// What is measured.
        what: &'static str,
        /// Its value, mm.
        value_mm: f64,
        /// Least possible, mm.
        min_mm: f64,
        /// Most possible, mm.
        max_mm: f64,
        /// In which unit it is told.
        unit: LengthUnit,
    },
}

impl NestError {
    /// The blank it is about, if it is about one.
    pub fn blank(&self) -> Option<usize> {
        match self {
            Self::NoOutline { blank }
            | Self::CrossesItself { blank }
            | Self::Differs { blank, .. }
            | Self::TooLarge { blank, .. } => Some(*blank),
            Self::TooMany { .. }
            | Self::TooIntricate { .. }
            | Self::TooManyHoles { .. }
            | Self::Measure { .. } => None,
        }
    }
}

/// Blanks laid on bars.
#[derive(Clone, Debug, PartialEq)]
pub struct Nest {
    /// Width of the bars, mm.
    pub width_mm: f64,
    /// Thickness of the bars, mm.
    pub thickness_mm: f64,
    /// Their grade.
    pub grade: String,
    /// Room between blanks, mm: the saw's, or the drill's with what is left to file.
    pub gap_mm: f64,
    /// Clear steel along edges and ends, mm.
    pub margin_mm: f64,
    /// The bars, in the order they are filled.
    pub bars: Vec<NestBar>,
    /// How many usual bars would take all, by their lengths; only when no length was given.
    pub stock_counts: Vec<StockBarCount>,
    /// Placings tried.
    pub steps: u64,
    /// Whether a blank is too intricate to be laid closer than by its convex hull.
    pub coarse: bool,
    /// Whether a bar to be filled took as many as are laid at once: more may go on it.
    pub limited: bool,
}

/// One bar and what is laid on it.
#[derive(Clone, Debug, PartialEq)]
pub struct NestBar {
    /// Its length, mm.
    pub length_mm: f64,
    /// The blanks, from left to right.
    pub blanks: Vec<NestBlank>,
    /// Length of bar that they take, margins and a last saw cut included, mm.
    pub used_mm: f64,
    /// Length left over, mm.
    pub offcut_mm: f64,
    /// Share of the length taken that the blanks are.
    pub used_share: f64,
}

/// A blank laid on a bar.
#[derive(Clone, Debug, PartialEq)]
pub struct NestBlank {
    /// Which of the blanks given.
    pub blank: usize,
    /// Takes its own plane to the bar's.
    pub bar_from_knife: Affine,
    /// Turn of its own x axis on the bar, degrees, in (−180, 180].
    pub turn_deg: f64,
    /// Whether it is laid on its other face.
    pub flipped: bool,
    /// Its ends along the bar, from the left end, mm.
    pub along_mm: (f64, f64),
    /// Its sides across the bar, from the lower edge, mm.
    pub across_mm: (f64, f64),
    /// Its chain of holes, when drilled out.
    pub chain: Option<ChainFigures>,
}

impl Nest {
    /// How many blanks are laid.
    pub fn count(&self) -> usize {
        self.bars.iter().map(|bar| bar.blanks.len()).sum()
    }
}

impl NestBlank {
    /// Turned over with its whole bar, about the bar's middle line: what lay on one face lies on
    /// the other, and nothing comes nearer to anything.
    fn turn_over(&mut self, width_mm: f64) {
        let over = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, width_mm]);
        self.bar_from_knife = over * self.bar_from_knife;
        self.flipped = !self.flipped;
        self.turn_deg = signed_deg(-self.turn_deg.to_radians());
        self.across_mm = (width_mm - self.across_mm.1, width_mm - self.across_mm.0);
    }
}

/// Lays blanks on bars of one kind. `keep_going` is told how far the search is, and may stop it; the
/// best laying so far is then given.
///
/// # Errors
/// [`NestError`] when they can't be laid together.
pub fn nest(
    knives: &[&Knife],
    options: &NestOptions,
    shop: &Shop,
    tables: &Tables,
    keep_going: &mut dyn FnMut(Progress) -> bool,
) -> Result<Nest, NestError> {
    let plan = Plan::new(knives, options)?;
    let mut nest = Nest {
        width_mm: plan.strip.width_mm,
        thickness_mm: knives.first().map_or(0.0, |knife| knife.bar.thickness_mm),
        grade: knives.first().map_or_else(String::new, |knife| knife.bar.grade.clone()),
        gap_mm: plan.strip.gap_mm,
        margin_mm: plan.strip.margin_mm,
        bars: Vec::new(),
        stock_counts: Vec::new(),
        steps: 0,
        coarse: false,
        limited: false,
    };
    let mut left = plan.items.clone();
    // More than twice what a bar's steel is enough for need not be looked at for it.
    let some = 2 * most_by_area(&plan.shapes, &plan.strip) * plan.shapes.len();
    while !left.is_empty() && nest.bars.len() < MAX_BARS {
        // The first bar is searched for as long as was wished; many bars share as much again.
        let steps = match nest.bars.len() {
            0 => options.max_steps,
            _ => (options.max_steps.saturating_mul(4).saturating_sub(nest.steps))
                .clamp(0, options.max_steps),
        };
        let effort = Effort { max_steps: steps, ..Effort::default() };
        let rest = left.split_off(left.len().min(some));
        let found = packing::pack(&plan.shapes, &left, &plan.strip, effort, keep_going);
        nest.steps += found.steps;
        nest.coarse |= found.coarse;
        if found.placed.is_empty() {
            break;
        }
        let bar = plan.bar(&found, &left);
        let taken = bar.blanks.len();
        nest.bars.push(bar.clone());
        left = found.unplaced.iter().map(|item| left[*item]).chain(rest).collect();
        if options.fill {
            let kinds = plan.shapes.len().max(1);
            nest.limited = left.is_empty() && plan.items.len() >= MAX_BLANKS / kinds * kinds;
            break;
        }
        // Of one kind alone the next bars are filled as this one.
        while plan.shapes.len() == 1 && left.len() >= taken && nest.bars.len() < MAX_BARS {
            left.truncate(left.len() - taken);
            nest.bars.push(bar.clone());
        }
    }
    if options.length_mm.is_none() {
        nest.stock_counts = stock_counts::counts(&plan, knives, tables);
    }
    if options.drill {
        plan.check_chain_holes(nest.bars.iter().flat_map(|bar| &bar.blanks).map(|own| own.blank))?;
        let cutting = knives.first().map(|knife| knife.cutting());
        for bar in &mut nest.bars {
            drill_out(bar, &plan, cutting.as_ref(), nest.thickness_mm, shop);
        }
    }
    Ok(nest)
}

/// What is to be laid where.
struct Plan {
    shapes: Vec<Shape>,
    /// About as many holes as a chain around each has, where they are drilled out.
    chain_holes: Vec<usize>,
    items: Vec<usize>,
    strip: Strip,
}

impl Plan {
    fn new(knives: &[&Knife], options: &NestOptions) -> Result<Self, NestError> {
        let strip = strip(knives, options)?;
        let mut shapes = Vec::with_capacity(knives.len());
        for (blank, knife) in knives.iter().enumerate() {
            let first = knives[0];
            if (knife.bar.thickness_mm - first.bar.thickness_mm).abs() > 1e-6 {
                return Err(NestError::Differs { blank, what: "thickness" });
            }
            if !crate::tables::is_same_name(&knife.bar.grade, &first.bar.grade) {
                return Err(NestError::Differs { blank, what: "grade" });
            }
            let outline = knife.profile.outline().ok().filter(|outline| outline.area() > 0.0);
            let outline = outline.ok_or(NestError::NoOutline { blank })?;
            if !outline.contacts().is_empty() {
                return Err(NestError::CrossesItself { blank });
            }
            let orientations = orientations(knife, &outline, &strip, options.flip);
            if orientations.is_empty() {
                return Err(NestError::TooLarge {
                    blank,
                    width_mm: strip.width_mm,
                    length_mm: options.length_mm,
                    margin_mm: strip.margin_mm,
                    unit: first.unit,
                });
            }
            shapes.push(Shape { outline, orientations });
        }
        let copies = if options.fill { most_by_area(&shapes, &strip) } else { options.copies };
        let count = copies.saturating_mul(shapes.len());
        if count > MAX_BLANKS {
            return Err(NestError::TooMany { count });
        }
        let nodes: usize = shapes.iter().map(|shape| shape.outline.segs().len()).sum();
        let holes: usize = knives.iter().map(|knife| knife.holes.len()).sum();
        // At least one of each can always be laid.
        let max_copies = (MAX_PARTS / (nodes + PARTS_OF_HOLE * holes).max(1)).max(1);
        if copies > max_copies {
            return Err(NestError::TooIntricate { count, max: max_copies * shapes.len() });
        }
        let cutting = knives.first().filter(|_| options.drill).map(|knife| knife.cutting());
        let most_holes = |shape: &Shape| {
            cutting.as_ref().map_or(0, |cutting| chain::most_holes(&shape.outline, cutting))
        };
        let chain_holes = shapes.iter().map(most_holes).collect();
        let items: Vec<usize> = (0..copies).flat_map(|_| 0..shapes.len()).collect();
        let plan = Self { shapes, chain_holes, items, strip };
        // A bar takes fewer than its steel would be enough for: they are counted once they lie.
        if !options.fill {
            plan.check_chain_holes(plan.items.iter().copied())?;
        }
        Ok(plan)
    }

    /// Refuses blanks with more holes around them than are drawn at once. One of each can always be
    /// laid.
    fn check_chain_holes(&self, blanks: impl Iterator<Item = usize>) -> Result<(), NestError> {
        let kinds = self.shapes.len();
        let (mut count, mut holes) = (0, 0);
        for blank in blanks {
            count += 1;
            holes += self.chain_holes[blank];
        }
        if holes <= MAX_CHAIN_HOLES || count <= kinds {
            return Ok(());
        }
        let of_each: usize = self.chain_holes.iter().sum();
        let max = (MAX_CHAIN_HOLES / of_each.max(1)).max(1) * kinds;
        Err(NestError::TooManyHoles { count, max })
    }

    fn bar(&self, found: &packing::Packing, items: &[usize]) -> NestBar {
        let mut area = 0.0;
        let mut blanks: Vec<NestBlank> = found
            .placed
            .iter()
            .map(|laid| {
                let blank = items[laid.item];
                let outline = &self.shapes[blank].outline;
                area += outline.area();
                let bounds = outline.transformed(laid.transform).bounds();
                NestBlank {
                    blank,
                    bar_from_knife: laid.transform,
                    turn_deg: signed_deg(laid.orientation.turn_rad),
                    flipped: laid.orientation.mirrored,
                    along_mm: (bounds.x0, bounds.x1),
                    across_mm: (bounds.y0, bounds.y1),
                    chain: None,
                }
            })
            .collect();
        if 2 * blanks.iter().filter(|blank| blank.flipped).count() > blanks.len() {
            blanks.iter_mut().for_each(|blank| blank.turn_over(self.strip.width_mm));
        }
        let end_mm = blanks.iter().fold(0.0_f64, |end, blank| end.max(blank.along_mm.1));
        // Up to the saw cut that parts the offcut; the last margin, when the bar ends there.
        let whole = self.strip.length_mm.is_finite();
        let length_mm = if whole { self.strip.length_mm } else { found.length_mm };
        let taken_mm = (end_mm + self.strip.gap_mm.max(self.strip.margin_mm)).min(length_mm);
        NestBar {
            length_mm,
            blanks,
            used_mm: taken_mm,
            offcut_mm: length_mm - taken_mm,
            used_share: area / (taken_mm * self.strip.width_mm),
        }
    }
}

fn strip(knives: &[&Knife], options: &NestOptions) -> Result<Strip, NestError> {
    let within = |what, value_mm: f64, range: &std::ops::RangeInclusive<f64>| {
        let (min_mm, max_mm) = (*range.start(), *range.end());
        let unit = knives.first().map_or(LengthUnit::Millimetre, |knife| knife.unit);
        let fault = NestError::Measure { what, value_mm, min_mm, max_mm, unit };
        if range.contains(&value_mm) { Ok(value_mm) } else { Err(fault) }
    };
    let own = knives.iter().map(|knife| knife.bar.width_mm).fold(0.0, f64::max);
    let width = options.width_mm.unwrap_or(own);
    let width_mm = within("a bar width", width, &knife::limits::BAR_WIDTH_MM)?;
    let length_mm = match options.length_mm {
        Some(mm) => within("a bar length", mm, &knife::limits::BAR_LENGTH_MM)?,
        None => f64::INFINITY,
    };
    let mut gap_mm = within("a kerf", options.kerf_mm, &(0.0..=50.0))?;
    let margin_mm = within("a margin", options.margin_mm, &(0.0..=100.0))?;
    if options.drill
        && let Some(cutting) = knives.first().map(|knife| knife.cutting())
    {
        // One row of holes runs between two blanks. Along the bar's edge there may be none.
        gap_mm = gap_mm.max(2.0 * cutting.offset_mm() + 0.05);
    }
    Ok(Strip { length_mm, width_mm, margin_mm, gap_mm })
}

/// The ways a blank may be laid: straight and as its maker turned it, each head to tail; at its
/// least width only when it doesn't go on otherwise.
fn orientations(knife: &Knife, outline: &Outline, strip: &Strip, flip: bool) -> Vec<Orientation> {
    let own = knife.bar.placement.turn_deg.to_radians();
    let goes = |turn_rad: f64| {
        let bounds = outline.transformed(Affine::rotate(turn_rad)).bounds();
        let room = |mm: f64| mm - 2.0 * strip.margin_mm + 1e-9;
        bounds.height() <= room(strip.width_mm) && bounds.width() <= room(strip.length_mm)
    };
    let mut turns: Vec<f64> = Vec::new();
    for turn in [0.0, own] {
        let same = |known: &f64| {
            let off = (turn - known).rem_euclid(PI);
            off.min(PI - off) < SAME_TURN_RAD
        };
        if goes(turn) && !turns.iter().any(same) {
            turns.push(turn);
        }
    }
    if turns.is_empty() {
        let turn = outline.min_width().turn_rad;
        turns.extend(Some(turn).filter(|turn| goes(*turn)));
    }
    let faces: &[bool] = if flip { &[false, true] } else { &[false] };
    let mut orientations = Vec::new();
    for turn in turns {
        for &mirrored in faces {
            let turn = if mirrored { -turn } else { turn };
            orientations
                .extend([turn, turn + PI].map(|turn_rad| Orientation { mirrored, turn_rad }));
        }
    }
    orientations
}

/// More of each than this would be more steel than the bar is.
fn most_by_area(shapes: &[Shape], strip: &Strip) -> usize {
    let each: f64 = shapes.iter().map(|shape| shape.outline.area()).sum();
    let max = strip.length_mm * strip.width_mm / each.max(1e-9);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "capped at some hundred"
    )]
    let copies = max.min((MAX_BLANKS / shapes.len().max(1)) as f64).max(1.0) as usize;
    // Of several kinds, one kind alone may fill the bar.
    if shapes.len() > 1 { (2 * copies).min(MAX_BLANKS / shapes.len()) } else { copies }
}

/// A turn in (−180, 180], degrees.
fn signed_deg(turn_rad: f64) -> f64 {
    let deg = turn_rad.to_degrees().rem_euclid(360.0);
    if deg > 180.0 + 1e-9 { deg - 360.0 } else { deg }
}

/// Gives each blank its chain of holes, none within the leave of another blank, and none where
/// an earlier blank's holes are near enough to serve.
fn drill_out(
    bar: &mut NestBar,
    plan: &Plan,
    cutting: Option<&ChainDrilling>,
    thickness_mm: f64,
    shop: &Shop,
) {
    let Some(cutting) = cutting else { return };
    let lines: Vec<Vec<Outline>> =
        (plan.shapes.iter()).map(|shape| chain::drilling_lines(&shape.outline, cutting)).collect();
    let place =
        |blank: &NestBlank| plan.shapes[blank.blank].outline.transformed(blank.bar_from_knife);
    let placed: Vec<Outline> = bar.blanks.iter().map(place).collect();
    let mut drilled: Vec<Point> = Vec::new();
    for (i, blank) in bar.blanks.iter_mut().enumerate() {
        let near = placed[i].bounds().inflate(20.0, 20.0);
        let others: Vec<Outline> = placed
            .iter()
            .enumerate()
            .filter(|(j, other)| *j != i && near.overlaps(other.bounds()))
            .map(|(_, other)| other.clone())
            .collect();
        // Only holes nearby can serve: of hundreds of blanks each is held against its neighbours.
        let served: Vec<Point> = drilled.iter().copied().filter(|p| near.contains(*p)).collect();
        let ground = BarSpace {
            length_mm: bar.length_mm,
            width_mm: plan.strip.width_mm,
            thickness_mm,
            others: &others,
            reserved: &served,
        };
        let lines: Vec<Outline> = (lines[blank.blank].iter())
            .map(|line| line.transformed(blank.bar_from_knife))
            .collect();
        let chain = chain::chain(&placed[i], &lines, &ground, cutting, shop);
        drilled.extend(chain.iter().flat_map(|chain| chain.holes.iter().copied()));
        blank.chain = chain;
    }
}

#[cfg(test)]
mod tests;
