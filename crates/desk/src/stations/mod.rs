//! The seven stations: each its card and what is worked on on the canvas.

mod balance;
pub(crate) mod bar;
pub(crate) mod bevels;
mod cutting;
pub(crate) mod drawing;
mod drill;
pub(crate) mod editing;
mod grid;
pub(crate) mod handle;
pub(crate) mod holes;
pub(crate) mod measuring;
pub(crate) mod paper;
pub(crate) mod picture;
pub(crate) mod profile;
pub(crate) mod relief;
mod section;
pub(crate) mod sheath;

use crate::context::CanvasContext;
use crate::state::Station;

/// What the station works on, on the canvas.
pub(crate) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let station = cx.context.station;
    let on_knife = station.shows_knife();
    if on_knife && cx.tools.measuring.active && !cx.drawing.takes_canvas(cx.context.knife) {
        measuring::canvas::results(cx);
        return measuring::canvas::on_canvas(cx);
    }
    if on_knife {
        measuring::canvas::results(cx);
    }
    match station {
        Station::Bar => bar::on_canvas(cx),
        Station::Profile => profile::on_canvas(cx),
        Station::Holes => holes::on_canvas(cx),
        Station::Bevels => bevels::on_canvas(cx),
        Station::Handle => handle::on_canvas(cx),
        Station::Sheath => sheath::on_canvas(cx),
        Station::Paper => {}
    }
}

/// What the station works on, on the knife seen on edge.
pub(crate) fn on_edge(cx: &mut CanvasContext<'_>) {
    match cx.context.station {
        Station::Bevels => bevels::on_edge(cx),
        Station::Handle => handle::on_edge(cx),
        _ => {}
    }
}
