//! Cutting out in the stable JSON of `numbers` and `bar`.

use super::{Xy, xy};
use crate::{ChainFigures, ChainRow};
use schemars::JsonSchema;
use serde::Serialize;

/// The chain of holes along the outline, in the bar's plane.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Drilling {
    /// The drill, as chosen or usual.
    drill: Option<String>,
    /// Its diameter.
    drill_mm: f64,
    /// The bridge between two holes, as chosen or usual.
    bridge_mm: f64,
    /// The steel left outside the line.
    leave_mm: f64,
    /// From centre to centre.
    pitch_mm: f64,
    /// How many holes.
    count: usize,
    /// The thinnest bridge.
    thinnest_bridge_mm: Option<f64>,
    /// The thickest bridge.
    thickest_bridge_mm: Option<f64>,
    /// How many rows are off the chosen bridge by more than 5 %.
    uneven_rows: usize,
    /// Count times thickness.
    depth_mm: f64,
    /// From hole to hole in all.
    travel_mm: f64,
    /// The length of the line of centres.
    line_mm: f64,
    /// The part of it that lies off the bar, where there are no holes.
    left_out_mm: f64,
    /// The area that the holes take of the band, one drill wide, along the line of centres.
    drilled_share: f64,
    /// The centres.
    centres_mm: Vec<Xy>,
    /// The rows between corners.
    rows: Vec<Row>,
    /// Relief cuts by the saw.
    saw_cuts: Vec<SawCut>,
}

impl Drilling {
    pub(super) fn of(chain: &ChainFigures) -> Self {
        let bridges = chain.bridges_mm();
        Self {
            drill: chain.drilling.drill.clone(),
            drill_mm: chain.drilling.drill_mm,
            bridge_mm: chain.drilling.bridge_mm,
            leave_mm: chain.drilling.leave_mm,
            pitch_mm: chain.drilling.pitch_mm(),
            count: chain.holes.len(),
            thinnest_bridge_mm: bridges.map(|(thin, _)| thin),
            thickest_bridge_mm: bridges.map(|(_, thick)| thick),
            uneven_rows: chain.uneven_rows().count(),
            depth_mm: chain.depth_mm,
            travel_mm: chain.travel_mm,
            line_mm: chain.line_mm,
            left_out_mm: chain.left_out_mm,
            drilled_share: chain.drilled_share,
            centres_mm: chain.holes.iter().map(|p| xy(*p)).collect(),
            rows: chain.rows.iter().map(Row::of).collect(),
            saw_cuts: chain.cuts.iter().map(SawCut::of).collect(),
        }
    }
}

/// A row of evenly spaced holes.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Row {
    /// Which of the centres, from 0.
    holes: Vec<usize>,
    /// Whether it runs all round.
    closed: bool,
    /// Its bridge.
    bridge_mm: Option<f64>,
}

impl Row {
    pub(super) fn of(row: &ChainRow) -> Self {
        Self { holes: row.holes.clone(), closed: row.closed, bridge_mm: row.bridge_mm }
    }
}

/// A cut by the saw.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SawCut {
    /// From here
    from_mm: Xy,
    /// to here.
    to_mm: Xy,
    /// Its length.
    length_mm: f64,
    /// Its width.
    kerf_mm: f64,
}

impl SawCut {
    pub(super) fn of(cut: &crate::SawCut) -> Self {
        Self {
            from_mm: xy(cut.from),
            to_mm: xy(cut.to),
            length_mm: cut.length_mm(),
            kerf_mm: cut.kerf_mm,
        }
    }
}
