//! Cutting a drawing over several pages: overlapping windows, register crosses, a map.

use crate::clip::clip;
use crate::hull::{self, PAD_MM};
use crate::layout::{Furnished, Look, count, furnish, sizes};
use crate::ruler::BREADTH_MM;
use crate::{Page, PaperError, Setup, Sheet};
use drawing::{Across, Drawing, Label, Mark, Pen, Upright, lettering};
use kurbo::{Affine, BezPath, Circle, Point, Rect, Size, Vec2};

/// More pages than this nobody joins; it is a drawing in the wrong units.
const MOST_PAGES: usize = 60;

/// White between a tile's window and the furniture, mm.
const WHITE_MM: f64 = 4.0;

/// The map's box, mm.
const MAP_MM: Size = Size::new(46.0, 34.0);

/// Half the length of a register cross's arms, mm.
const CROSS_MM: f64 = 4.0;

/// How a drawing is cut over pages.
pub(crate) struct Tiling {
    size: Size,
    look: Look,
    /// The window on every page, page frame.
    window: Rect,
    /// Where the map stands on every page.
    map: Rect,
    columns: usize,
    rows: usize,
    overlap_mm: f64,
    /// Lower left corner of the first window, the sheet's own plane.
    origin: Point,
    /// Hull of the drawing, the sheet's own plane.
    hull: Vec<Point>,
}

impl Tiling {
    /// The number of pages.
    pub(crate) fn count(&self) -> usize {
        self.columns * self.rows
    }

    fn step(&self) -> Vec2 {
        self.window.size().to_vec2() - Vec2::new(self.overlap_mm, self.overlap_mm)
    }

    /// A tile's window on the sheet's own plane; columns count rightward, rows downward.
    fn tile(&self, column: usize, row: usize) -> Rect {
        let up = self.rows - 1 - row;
        let step = self.step();
        let corner = self.origin + Vec2::new(step.x * float(column), step.y * float(up));
        Rect::from_origin_size(corner, self.window.size())
    }

    fn tiles(&self) -> impl Iterator<Item = (usize, usize)> {
        let columns = self.columns;
        (0..self.rows).flat_map(move |row| (0..columns).map(move |column| (column, row)))
    }
}

/// The tiling with the fewest pages.
pub(crate) fn plan(sheet: &Sheet, setup: &Setup, points: &[Point]) -> Result<Tiling, PaperError> {
    let no_room = || PaperError::NoRoom { paper: setup.paper.title(), margin_mm: setup.margin_mm };
    let bounds = hull::bounds(points).ok_or_else(no_room)?.inflate(PAD_MM + 0.5, PAD_MM + 0.5);
    let mut best: Option<(f64, Tiling)> = None;
    for look in Look::TILES {
        for size in sizes(setup) {
            let furnished = furnish(sheet, setup, size, look, &count(888, 888), &remark(88, 88));
            let map = map_place(&furnished, look);
            let window = window(&furnished, look, map);
            let overlap_mm = setup.overlap_mm;
            let step = window.size() - Size::new(overlap_mm, overlap_mm);
            if step.width < 20.0 || step.height < 20.0 {
                continue;
            }
            let along = |length: f64, step: f64| ((length - overlap_mm) / step).ceil().max(1.0);
            let (columns, rows) =
                (along(bounds.width(), step.width), along(bounds.height(), step.height));
            let pages = columns * rows;
            if best.as_ref().is_some_and(|(fewest, _)| pages >= *fewest) {
                continue;
            }
            let cover =
                Size::new(step.width * columns + overlap_mm, step.height * rows + overlap_mm);
            let origin = bounds.center() - cover.to_vec2() / 2.0;
            let hull = points.to_vec();
            let (columns, rows) = (whole(columns), whole(rows));
            let tiling =
                Tiling { size, look, window, map, columns, rows, overlap_mm, origin, hull };
            best = Some((pages, tiling));
        }
    }
    let (_, tiling) = best.ok_or_else(no_room)?;
    if tiling.columns.saturating_mul(tiling.rows) > MOST_PAGES {
        return Err(PaperError::TooLarge {
            sheet: sheet.key.into(),
            width_mm: bounds.width(),
            height_mm: bounds.height(),
            pages: tiling.columns.saturating_mul(tiling.rows),
        });
    }
    Ok(tiling)
}

/// The pages of a tiled sheet, the upper left tile first.
pub(crate) fn pages(
    sheet: &Sheet,
    setup: &Setup,
    tiling: &Tiling,
    (first, total): (usize, usize),
) -> Vec<Page> {
    let (lines, labels) = apart(&sheet.drawing);
    let tiles: Vec<(usize, usize)> = tiling.tiles().collect();
    let joins = joins(tiling, &sheet.drawing);
    let mut pages = Vec::with_capacity(tiles.len());
    for (k, &(column, row)) in tiles.iter().enumerate() {
        let window = tiling.tile(column, row);
        let number = first + k;
        let remarks = remark(k + 1, tiles.len());
        let count = count(number, total);
        let mut page = furnish(sheet, setup, tiling.size, tiling.look, &count, &remarks).drawing;
        map(&mut page, tiling, (column, row));
        let from_sheet = Affine::translate(tiling.window.origin() - window.origin());
        let mut content = clip(&lines, window);
        for label in &labels.items {
            if let Mark::Text(text) = &label.mark
                && owner(tiling, text) == (column, row)
            {
                let text = moved_inside(text.clone(), window);
                content.items.push(drawing::Item { mark: Mark::Text(text), ..label.clone() });
            }
        }
        for join in &joins {
            join.draw(&mut content, (column, row));
        }
        page.extend(content.moved(from_sheet));
        pages.push(Page {
            size_mm: tiling.size,
            drawing: page,
            key: sheet.key,
            name: format!("{}, tile {} of {}", sheet.title, k + 1, tiles.len()),
            number,
            turn_deg: 0.0,
            from_sheet,
        });
    }
    pages
}

fn remark(tile: usize, tiles: usize) -> [String; 1] {
    [format!(
        "Tile {tile} of {tiles}. Lay cross on cross, letter to letter, against the light or \
         through a pin hole; tape; then measure the whole length."
    )]
}

fn map_place(furnished: &Furnished, look: Look) -> Rect {
    let block = furnished.corner.block;
    let inner = furnished.inner;
    let beside = inner.x1 - block.x1;
    let corner = if !look.corner.stacked && beside >= MAP_MM.width + 8.0 {
        Point::new(inner.x1 - MAP_MM.width, block.y1 - MAP_MM.height)
    } else if look.corner.stacked {
        Point::new(block.x0, block.y1 + 6.0)
    } else {
        Point::new(block.x1 - MAP_MM.width, block.y1 + 6.0)
    };
    Rect::from_origin_size(corner, MAP_MM)
}

/// What is left of a page for a tile.
fn window(furnished: &Furnished, look: Look, map: Rect) -> Rect {
    let inner = furnished.inner;
    let used = furnished.corner.block.union(map);
    let beside_rule = inner.x0 + BREADTH_MM + WHITE_MM;
    let mut window = inner;
    match (look.corner.stacked, look.corner.upright_mm) {
        (true, _) => {
            window.x0 = used.x1 + WHITE_MM;
            window.y0 = inner.y0 + BREADTH_MM + WHITE_MM;
            if used.y1 > inner.y1 {
                window.x1 = window.x0;
            }
        }
        (false, Some(rule_mm)) => {
            window.y0 = used.y1.max(inner.y0 + BREADTH_MM + rule_mm) + WHITE_MM;
        }
        (false, None) => {
            window.x0 = beside_rule;
            window.y0 = used.y1 + WHITE_MM;
        }
    }
    Rect::new(window.x0, window.y0, window.x1.max(window.x0), window.y1.max(window.y0))
}

/// A drawing's lines apart from its labels.
fn apart(drawing: &Drawing) -> (Drawing, Drawing) {
    let is_text = |item: &&drawing::Item| matches!(item.mark, Mark::Text(_));
    let (texts, lines): (Vec<_>, Vec<_>) = drawing.items.iter().partition(is_text);
    let gather =
        |items: Vec<&drawing::Item>| Drawing { items: items.into_iter().cloned().collect() };
    (gather(lines), gather(texts))
}

/// The one tile that shows a label: where its box lies deepest inside.
fn owner(tiling: &Tiling, label: &Label) -> (usize, usize) {
    let boxed = label_box(label);
    let depth = |(column, row): (usize, usize)| {
        let window = tiling.tile(column, row);
        let sides = [
            boxed.x0 - window.x0,
            window.x1 - boxed.x1,
            boxed.y0 - window.y0,
            window.y1 - boxed.y1,
        ];
        sides.into_iter().fold(f64::MAX, f64::min)
    };
    let deepest = tiling.tiles().max_by(|a, b| depth(*a).total_cmp(&depth(*b)));
    deepest.unwrap_or((0, 0))
}

/// The label, moved as little as needed to lie in the window.
fn moved_inside(mut label: Label, window: Rect) -> Label {
    let boxed = label_box(&label);
    let shift = |low: f64, high: f64, from: f64, to: f64| {
        if low < from {
            from - low
        } else if high > to {
            to - high
        } else {
            0.0
        }
    };
    label.at += Vec2::new(
        shift(boxed.x0, boxed.x1, window.x0, window.x1),
        shift(boxed.y0, boxed.y1, window.y0, window.y1),
    );
    label
}

fn label_box(label: &Label) -> Rect {
    let corners = lettering::corners(label);
    hull::bounds(&corners).unwrap_or_else(|| Rect::from_points(label.at, label.at))
}

/// A joint between two neighbouring tiles.
struct Join {
    tiles: [(usize, usize); 2],
    letter: String,
    /// The middle of the overlap, from end to end.
    ends: [Point; 2],
    crosses: Vec<Point>,
}

impl Join {
    fn draw(&self, drawing: &mut Drawing, tile: (usize, usize)) {
        let Some(side) = self.tiles.iter().position(|t| *t == tile) else { return };
        let along = (self.ends[1] - self.ends[0]).normalize();
        // Into this tile: across the joint, away from the other one.
        let apart = Vec2::new(along.y, -along.x);
        let inward = if side == 0 { -apart } else { apart };
        dashes(drawing, self.ends);
        for cross in &self.crosses {
            let arm = CROSS_MM;
            drawing.line(Pen::Register, *cross - along * arm, *cross + along * arm);
            drawing.line(Pen::Register, *cross - apart * arm, *cross + apart * arm);
            drawing.add(Pen::Register, Mark::Circle(Circle::new(*cross, 2.0)));
            let text = format!("Join {}", self.letter);
            let level = inward.x.abs() > 0.5;
            let across = match (level, inward.x > 0.0) {
                (false, _) => Across::Start,
                (true, true) => Across::Start,
                (true, false) => Across::End,
            };
            let at = if level {
                *cross + inward * (arm + 2.0)
            } else {
                *cross + along * (arm + 2.0) + inward * 3.0
            };
            let label = Label::new(text, at, 3.0).anchored(across, Upright::Middle).bold();
            drawing.text(Pen::Register, label);
        }
    }
}

/// A dashed line along a joint.
fn dashes(drawing: &mut Drawing, [from, to]: [Point; 2]) {
    let length = (to - from).hypot();
    let along = (to - from) / length;
    let mut path = BezPath::new();
    let mut at = 0.0;
    while at < length {
        path.move_to(from + along * at);
        path.line_to(from + along * (at + 2.0).min(length));
        at += 5.0;
    }
    drawing.add(Pen::Register, Mark::Path(path));
}

fn joins(tiling: &Tiling, content: &Drawing) -> Vec<Join> {
    let mut points = Vec::new();
    for item in &content.items {
        let mut own = Drawing::new();
        own.items.push(item.clone());
        dense(&hull::points(&own), !matches!(item.mark, Mark::Path(_)), &mut points);
    }
    let mut joins = Vec::new();
    for (column, row) in tiling.tiles() {
        for other in [(column + 1, row), (column, row + 1)] {
            if other.0 >= tiling.columns || other.1 >= tiling.rows {
                continue;
            }
            let shared = tiling.tile(column, row).intersect(tiling.tile(other.0, other.1));
            let middle = shared.center();
            let ends = if other.0 > column {
                [Point::new(middle.x, shared.y0), Point::new(middle.x, shared.y1)]
            } else {
                // From left to right, so that "apart" points down, to the other tile.
                [Point::new(shared.x0, middle.y), Point::new(shared.x1, middle.y)]
            };
            let letter = letter(joins.len());
            let crosses = free_crosses(ends, &points);
            joins.push(Join { tiles: [(column, row), other], letter, ends, crosses });
        }
    }
    joins
}

/// Points no farther apart than 2 mm along a polyline.
fn dense(polyline: &[Point], closed: bool, out: &mut Vec<Point>) {
    out.extend_from_slice(polyline);
    let last = if closed { polyline.len() } else { polyline.len().saturating_sub(1) };
    for (a, b) in polyline.iter().zip(polyline.iter().cycle().skip(1)).take(last) {
        let steps = whole((a.distance(*b) / 2.0).ceil().min(5000.0));
        out.extend((1..steps).map(|k| a.lerp(*b, float(k) / float(steps))));
    }
}

/// Two places along a joint, one from each end, where crosses and letters hit nothing.
fn free_crosses([from, to]: [Point; 2], content: &[Point]) -> Vec<Point> {
    let length = (to - from).hypot();
    let along = (to - from) / length;
    let across = Vec2::new(along.y, -along.x);
    let free = |at: f64| {
        let cross = from + along * at;
        content.iter().all(|p| {
            let off = *p - cross;
            off.dot(along).abs() > CROSS_MM + 2.0 || off.dot(across).abs() > 24.0
        })
    };
    let end = CROSS_MM + 1.0;
    let steps: Vec<f64> =
        (0_u32..).map(|k| end + f64::from(k)).take_while(|at| *at <= length / 2.0 - 6.0).collect();
    let first = steps.iter().copied().find(|at| free(*at)).unwrap_or(end);
    let last = steps.iter().copied().find(|at| free(length - at)).unwrap_or(end);
    vec![from + along * first, from + along * (length - last)]
}

/// Draws the map of tiles with the drawing's hull, this tile marked.
fn map(drawing: &mut Drawing, tiling: &Tiling, this: (usize, usize)) {
    let all = tiling.tile(0, tiling.rows - 1).union(tiling.tile(tiling.columns - 1, 0));
    let place = tiling.map;
    let scale = (place.width() / all.width()).min(place.height() / all.height());
    let top = Point::new(place.x0, place.y1);
    let to_map = |p: Point| top + Vec2::new(p.x - all.x0, p.y - all.y1) * scale;
    let mut outline = BezPath::new();
    for (k, p) in tiling.hull.iter().enumerate() {
        if k == 0 { outline.move_to(to_map(*p)) } else { outline.line_to(to_map(*p)) }
    }
    outline.close_path();
    drawing.add(Pen::Frame, Mark::Path(outline));
    for (k, tile) in tiling.tiles().enumerate() {
        let window = tiling.tile(tile.0, tile.1);
        let corners = Rect::from_points(
            to_map(Point::new(window.x0, window.y0)),
            to_map(Point::new(window.x1, window.y1)),
        );
        drawing.rect(Pen::Frame, corners);
        let at = Point::new(corners.x0 + 1.5, corners.y1 - 1.5);
        let mut label =
            Label::new((k + 1).to_string(), at, 2.5).anchored(Across::Start, Upright::Top);
        if tile == this {
            drawing.rect(Pen::Lettering, corners.inset(-0.5));
            label = label.bold();
        }
        drawing.text(Pen::Lettering, label);
    }
}

/// A, B … Z, AA, AB …
fn letter(n: usize) -> String {
    let last = char::from(b'A' + u8::try_from(n % 26).unwrap_or(0));
    if n < 26 { last.to_string() } else { letter(n / 26 - 1) + &last.to_string() }
}

#[expect(clippy::cast_precision_loss, reason = "page counts are small")]
fn float(n: usize) -> f64 {
    n as f64
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to a range that usize holds"
)]
fn whole(n: f64) -> usize {
    n.clamp(0.0, 1e6) as usize
}
