//! The tracing mat: the sheet on which a thing is photographed to be traced.

use crate::{PrintRequest, printing};
use knife::Knife;
use kurbo::{BezPath, Point, Rect, Vec2};
use marks::{Drawing, Mark, Pen};
use mat::{CELL_MM, MARK_CELLS, Mat, MatCorner, OPENING_MM, TARGET_MM, cell_at};
use paper::{PageSetup, PaperError, Sheet};
use reckon::Shop;

/// The key of the mat among sheets. It belongs to no knife: it is as large as its paper allows.
pub const MAT: &str = "mat";

/// Longest side of a mat on a roll, mm.
const MAX_ON_ROLL_MM: f64 = 900.0;
/// So many rows or columns are given up for rulers and words before the paper is too
/// small.
const GIVEN_UP: u32 = 5;

/// What is printed as its owner.
const NAME: &str = "Blankwright";

/// The tracing mat with the largest free middle that this paper takes on one page.
///
/// # Errors
/// [`PaperError::NoRoom`] when the paper is too small for one.
pub fn mat_sheet(setup: &PageSetup) -> Result<Sheet, PaperError> {
    candidates(setup)
        .into_iter()
        .map(sheet)
        .find(|sheet| {
            let pages = paper::lay_out(std::slice::from_ref(sheet), setup);
            pages.is_ok_and(|pages| pages.len() == 1)
        })
        .ok_or_else(|| PaperError::NoRoom {
            sheet: MAT.to_owned(),
            paper: setup.paper.title(),
            margin_mm: setup.margin_mm,
        })
}

/// The setup of a mat's page for what is wanted of a print.
///
/// # Errors
/// [`PaperError`] when there is no such paper, or the margin can't be.
pub fn mat_setup(request: &PrintRequest, shop: &Shop) -> Result<PageSetup, PaperError> {
    printing::setup_for(NAME, request, shop)
}

/// The mat alone as a PDF.
///
/// # Errors
/// [`PaperError`] when the paper is too small for one.
pub fn mat_pdf(setup: &PageSetup, shop: &Shop) -> Result<Vec<u8>, PaperError> {
    let pages = paper::lay_out(&[mat_sheet(setup)?], setup)?;
    let titled = Knife { name: NAME.to_owned(), ..Knife::empty() };
    paper::pdf(&pages, &printing::meta(&titled, &pages, shop, setup))
}

/// The mats that may go on the paper, the largest free middle first.
fn candidates(setup: &PageSetup) -> Vec<Mat> {
    let size = setup.paper.portrait_mm();
    let long =
        if setup.paper.roll_mm.is_some() { size.width.max(MAX_ON_ROLL_MM) } else { size.height };
    let inside = |mm: f64| mm - 2.0 * setup.margin_mm;
    let mut all = Vec::new();
    for (width, height) in [(size.width, long), (long, size.width)] {
        let Some(largest) = Mat::within(inside(width), inside(height)) else { continue };
        for fewer_columns in 0..GIVEN_UP {
            for fewer_rows in 0..GIVEN_UP {
                let columns = largest.columns.saturating_sub(fewer_columns);
                all.extend(Mat::new(columns, largest.rows.saturating_sub(fewer_rows)));
            }
        }
    }
    all.sort_by(|a, b| b.middle().area().total_cmp(&a.middle().area()));
    all
}

fn sheet(mat: Mat) -> Sheet {
    Sheet {
        key: MAT,
        title: "Tracing mat".to_owned(),
        drawing: mat_drawing(&mat),
        notes: notes(&mat),
        inserts: Vec::new(),
        ..Sheet::default()
    }
}

fn notes(mat: &Mat) -> Vec<String> {
    let size = mat.bounds().size();
    vec![format!(
        "Measure both rulers, and the ring: {} × {} mm over its black squares. Lay the thing inside \
         it; it may cover a few squares, none by half. Photograph it all from above in even light.",
        units::show_number(size.width, 0),
        units::show_number(size.height, 0)
    )]
}

/// The targets and marks of a mat at true size, its centre at the origin.
pub fn mat_drawing(mat: &Mat) -> Drawing {
    let mut drawing = Drawing::new();
    for centre in mat.targets() {
        let mut ring = square(centre, TARGET_MM);
        ring.extend(square(centre, OPENING_MM).reverse_subpaths());
        drawing.add(Pen::Register, Mark::Fill(ring));
    }
    for corner in MatCorner::ALL {
        drawing.add(Pen::Register, Mark::Fill(mark(mat, corner)));
    }
    drawing
}

fn square(centre: Point, side: f64) -> BezPath {
    let half = Vec2::new(side, side) / 2.0;
    rect(Rect::from_points(centre - half, centre + half))
}

/// A rectangle's path, counter-clockwise.
fn rect(rect: Rect) -> BezPath {
    let corners = [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)];
    let mut path = BezPath::new();
    path.move_to(corners[0]);
    corners[1..].iter().for_each(|corner| path.line_to(*corner));
    path.close_path();
    path
}

/// A mark's black cells: runs along rows and along columns, so that no seam shows between cells.
fn mark(mat: &Mat, corner: MatCorner) -> BezPath {
    let cells = mat.mark(corner);
    let at = mat.mark_at(corner);
    let mut path = BezPath::new();
    let half = Vec2::new(CELL_MM, CELL_MM) / 2.0;
    let mut run = |first: (usize, usize), last: (usize, usize)| {
        let (a, b) = (at + cell_at(first.0, first.1), at + cell_at(last.0, last.1));
        let both =
            Rect::from_points(a - half, a + half).union(Rect::from_points(b - half, b + half));
        path.extend(rect(both));
    };
    for (i, row) in cells.iter().enumerate() {
        runs(|k| row[k]).into_iter().for_each(|(a, b)| run((a, i), (b, i)));
        runs(|k| cells[k][i]).into_iter().for_each(|(a, b)| run((i, a), (i, b)));
    }
    path
}

/// The first and last cell of each run of black ones.
fn runs(black: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for k in (0..MARK_CELLS).filter(|k| black(*k)) {
        match found.last_mut() {
            Some((_, last)) if *last + 1 == k => *last = k,
            _ => found.push((k, k)),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use paper::{Heading, Paper};

    #[test]
    fn every_paper_takes_a_mat_on_one_page_inside_its_margins() {
        for name in ["letter", "a4", "legal", "tabloid", "a3", "a2", "roll:610mm", "300x600mm"] {
            let setup = PageSetup::new(Paper::parse(name).unwrap(), Heading::default());
            let sheet = mat_sheet(&setup).unwrap();
            let pages = paper::lay_out(&[sheet], &setup).unwrap();
            assert_eq!(pages.len(), 1, "{name}");
            let page = &pages[0];
            let inside =
                Rect::from_origin_size((0.0, 0.0), page.size_mm).inset(-setup.margin_mm + 1e-6);
            let fills: Vec<Rect> = page
                .drawing
                .items
                .iter()
                .filter(|item| item.pen == Pen::Register)
                .filter_map(|item| match &item.mark {
                    Mark::Fill(path) => Some(kurbo::Shape::bounding_box(path)),
                    _ => None,
                })
                .collect();
            assert!(fills.len() >= 28, "{name}: {}", fills.len());
            assert!(fills.iter().all(|own| inside.union(*own) == inside), "{name}");
        }
        for small in ["100x100mm", "148x210mm"] {
            let small = PageSetup::new(Paper::parse(small).unwrap(), Heading::default());
            let why = mat_sheet(&small).unwrap_err();
            assert!(matches!(why, PaperError::NoRoom { .. }));
            let told = why.to_string();
            assert!(told.contains("mat") && !told.contains('\n'), "{told}");
        }
    }

    #[test]
    fn most_of_the_paper_is_free_for_the_thing() {
        for (name, least) in [("letter", 0.45), ("a4", 0.47), ("tabloid", 0.55), ("a3", 0.55)] {
            let setup = PageSetup::new(Paper::parse(name).unwrap(), Heading::default());
            let sheet = mat_sheet(&setup).unwrap();
            let ring = sheet.drawing.items.iter().filter_map(|item| match &item.mark {
                Mark::Fill(path) => Some(kurbo::Shape::bounding_box(path)),
                _ => None,
            });
            let ring = ring.reduce(|a, b| a.union(b)).unwrap();
            let free = ring.inset(-TARGET_MM).area() / setup.paper.size_mm.area();
            assert!(free > least, "{name}: {free} of it");
        }
    }

    #[test]
    fn a_mark_is_drawn_as_it_is_read() {
        let mat = Mat::new(9, 12).unwrap();
        for corner in MatCorner::ALL {
            let path = mark(&mat, corner);
            let cells = mat.mark(corner);
            for (r, row) in cells.iter().enumerate() {
                for (c, black) in row.iter().enumerate() {
                    let at = mat.mark_at(corner) + cell_at(c, r);
                    assert_eq!(kurbo::Shape::winding(&path, at) != 0, *black);
                }
            }
        }
    }

    /// The printed page, with a thing on it, as a picture: found as it was printed, whichever way
    /// the picture is turned.
    #[test]
    fn the_printed_page_is_found_again_in_a_picture() {
        for name in ["letter", "a4", "a3"] {
            let setup = PageSetup::new(Paper::parse(name).unwrap(), Heading::default());
            let sheet = mat_sheet(&setup).unwrap();
            let page = paper::lay_out(&[sheet], &setup).unwrap().remove(0);
            let mut drawing = page.drawing.clone();
            let middle = page.from_sheet * Point::ORIGIN;
            let thing = kurbo::Ellipse::new(middle, (38.0, 20.0), 0.4);
            drawing.add(Pen::Register, Mark::Fill(kurbo::Shape::to_path(&thing, 1e-4)));
            let window = Rect::from_origin_size((0.0, 0.0), page.size_mm);
            let png = paper::png(&drawing, window, 150.0).unwrap();
            let picture = trace::decode(&png).unwrap();
            let found = trace::trace(&picture, &trace::TraceOptions::default()).unwrap();
            assert!(found.uncertainty_mm < 0.03, "{name}: {}", found.uncertainty_mm);
            let area = std::f64::consts::PI * 38.0 * 20.0;
            let off = (found.outline.area() - area) / found.outline.perimeter();
            assert!(off.abs() < 0.02, "{name}: {off} mm all round");
            // The mat's centre is where the coordinates count from.
            assert!(found.outline.centroid().distance(Point::ORIGIN) < 0.03, "{name}");
            assert_eq!(found.corners, 0);
        }
    }
}
