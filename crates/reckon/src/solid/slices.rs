//! The solid summed up in columns across the blade: volume, centre, stiffness of each section.

use super::field::Field;
use super::sections::{Section, Sections};
use kurbo::Point;
use outline::Outline;

/// One section across the blade.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slice {
    /// Its station, x in mm.
    pub x_mm: f64,
    /// Length along x that it stands for, mm.
    pub width_mm: f64,
    /// Area of the section, mm².
    pub area_mm2: f64,
    /// Area times height: ∫ y dA, mm³.
    pub area_y_mm3: f64,
    /// Second moment of area about the section's own middle for bending flat-wise (against the
    /// faces), mm⁴.
    pub flatwise_mm4: f64,
    /// Area that grinding has taken off the flat bar's section, mm².
    pub removed_mm2: f64,
    /// ∫ y over what was taken off, mm³.
    pub removed_y_mm3: f64,
}

/// The solid in columns.
#[derive(Clone, Debug, PartialEq)]
pub struct Slices {
    /// Its sections, in ascending x; holes are not taken off.
    pub slices: Vec<Slice>,
    /// Volume of the ground blank, mm³; holes are not taken off.
    pub volume_mm3: f64,
    /// Its centre of mass in the knife's plane.
    pub centre: Point,
    /// Volume that taper and bevels take off, mm³.
    pub removed_mm3: f64,
}

impl Slices {
    /// Sums up the solid of an outline. The flat blank is taken exactly from the outline's area
    /// and centroid; only what grinding takes off is summed, by Gauss and Legendre's rule
    /// between the places where its slope breaks.
    pub fn of(field: &Field, outline: &Outline, sections: &Sections) -> Self {
        let columns: Vec<Slice> = sections.0.iter().map(|at| column(field, at)).collect();
        let sum = |of: fn(&Slice) -> f64| -> f64 {
            columns.iter().map(|column| column.width_mm * of(column)).sum()
        };
        let (flat_mm3, centroid) = (field.stock_mm * outline.area(), outline.centroid());
        let removed_mm3 = sum(|column| column.removed_mm2);
        let volume_mm3 = flat_mm3 - removed_mm3;
        let moment_x = flat_mm3 * centroid.x - sum(|column| column.removed_mm2 * column.x_mm);
        let moment_y = flat_mm3 * centroid.y - sum(|column| column.removed_y_mm3);
        let centre = if volume_mm3 > 0.0 {
            Point::new(moment_x / volume_mm3, moment_y / volume_mm3)
        } else {
            centroid
        };
        Self { slices: columns, volume_mm3, centre, removed_mm3 }
    }
}

/// One section, summed between its breaks.
fn column(field: &Field, section: &Section) -> Slice {
    let mut column = Slice {
        x_mm: section.x_mm,
        width_mm: section.width_mm,
        area_mm2: 0.0,
        area_y_mm3: 0.0,
        flatwise_mm4: 0.0,
        removed_mm2: 0.0,
        removed_y_mm3: 0.0,
    };
    // ∫ z dA over the section, for the second moment about its own middle.
    let (mut off, mut about_plane) = (0.0, 0.0);
    for place in section.parts.iter().flat_map(|part| &part.places) {
        let (left, right) = (place.halves.left_mm, place.halves.right_mm);
        let (y, w, thick) = (place.y_mm, place.weight_mm, left + right);
        column.area_mm2 += w * thick;
        column.area_y_mm3 += w * thick * y;
        column.removed_mm2 += w * (field.stock_mm - thick);
        column.removed_y_mm3 += w * (field.stock_mm - thick) * y;
        off += w * (left * left - right * right) / 2.0;
        about_plane += w * (left.powi(3) + right.powi(3)) / 3.0;
    }
    if column.area_mm2 > 0.0 {
        column.flatwise_mm4 = about_plane - off * off / column.area_mm2;
    }
    column
}
