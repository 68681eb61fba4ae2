//! A row of relief holes that fills the tang between its pins, keeping a web.

use crate::profile::towards_butt;
use crate::tables::Tables;
use knife::{Edit, HoleKind, Knife, ReliefRow};
use kurbo::{Circle, Point, Vec2};
use outline::{Outline, circle_gap};

/// Steps in which the tang's middle line is looked at, mm.
const STEP_MM: f64 = 0.2;
/// The most holes of one row.
const MAX_HOLES: usize = 100;
/// The web is kept to this, mm: rounding.
const ROUNDING_MM: f64 = 1e-7;

/// What the holes are to be, and what they are to leave.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefOptions {
    /// Their diameter, mm.
    pub diameter_mm: f64,
    /// The drill's designation.
    pub drill: Option<String>,
    /// The web to leave to the outline, to the scales' front, to each other and to any other
    /// hole, mm.
    pub web_mm: f64,
}

/// A row of relief holes and what it saves.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefFigures {
    /// The centres, in order of x.
    pub at: Vec<Point>,
    /// Steel taken out, mm³.
    pub volume_mm3: f64,
    /// Its weight, g; `None` when the steel's density isn't known.
    pub saved_g: Option<f64>,
    edit: ReliefRow,
}

impl ReliefFigures {
    /// The edit that adds the row as one step; `None` for an empty row.
    pub fn edit(&self) -> Option<Edit> {
        (!self.at.is_empty()).then(|| Edit::AddReliefRow(self.edit.clone()))
    }

    /// What it does, in words: `5 holes, 6.2 g lighter (0.22 oz)`.
    pub fn describe(&self) -> String {
        let holes = match self.at.len() {
            0 => return "No hole goes in: leave less web or take a smaller drill.".to_owned(),
            1 => "1 hole".to_owned(),
            n => format!("{n} holes"),
        };
        match self.saved_g {
            None => format!("{holes}; the steel's density isn't known, so neither is the weight"),
            Some(g) => {
                let (g, oz) = (units::show_number(g, 1), units::show_number(g / OUNCE_G, 2));
                format!("{holes}, {g} g lighter ({oz} oz)")
            }
        }
    }
}

/// An avoirdupois ounce, g (exact by the international pound of 1959).
const OUNCE_G: f64 = 28.349_523_125;

/// The relief holes that fill the tang between its outermost pins along its middle, evenly in
/// every stretch that takes any. Nothing between fewer than two pins.
pub fn relief_row(
    knife: &Knife,
    outline: &Outline,
    options: &ReliefOptions,
    tables: &Tables,
) -> ReliefFigures {
    let at = centres(knife, outline, options);
    let area = std::f64::consts::PI * options.diameter_mm * options.diameter_mm / 4.0;
    let volume_mm3 = area * knife.bar.thickness_mm * at.len() as f64;
    let density = tables.steel(&knife.bar.grade).map(|steel| steel.density_g_cm3);
    let edit = ReliefRow {
        at: at.clone(),
        diameter_mm: options.diameter_mm,
        drill: options.drill.clone(),
    };
    let saved_g = density.map(|density| density * volume_mm3 / 1000.0);
    ReliefFigures { at, volume_mm3, saved_g, edit }
}

fn centres(knife: &Knife, outline: &Outline, options: &ReliefOptions) -> Vec<Point> {
    let mut pins: Vec<Point> =
        knife.holes.iter().filter(|h| h.kind == HoleKind::Pin).map(|h| h.at).collect();
    pins.sort_by(|a, b| a.x.total_cmp(&b.x));
    let sizes = [options.diameter_mm, options.web_mm];
    if !sizes.iter().all(|size| size.is_finite())
        || options.diameter_mm <= 0.0
        || options.web_mm < 0.0
    {
        return Vec::new();
    }
    let towards_butt = towards_butt(knife, outline.bounds());
    let room = FreeSpace { knife, outline, options, towards_butt };
    let mut row: Vec<Point> = Vec::new();
    for pair in pins.windows(2) {
        for (from, to) in room.stretches(pair[0], pair[1]) {
            let last = row.last().copied();
            row.extend(room.filled(from, to, pair, last));
            if row.len() >= MAX_HOLES {
                row.truncate(MAX_HOLES);
                return row;
            }
        }
    }
    row
}

/// Where holes may go.
struct FreeSpace<'a> {
    knife: &'a Knife,
    outline: &'a Outline,
    options: &'a ReliefOptions,
    towards_butt: f64,
}

impl FreeSpace<'_> {
    /// The middle of the tang at the share `s` of the way from one pin to the next.
    fn middle(&self, from: Point, to: Point, s: f64) -> Option<Point> {
        let on_line = from.lerp(to, s);
        if !self.outline.contains(on_line) {
            return None;
        }
        let (low, high) = self.outline.chord(on_line, Vec2::new(0.0, 1.0))?;
        Some(low.midpoint(high))
    }

    /// Whether a hole at `at` leaves the web to everything that is there.
    fn is_free(&self, at: Point) -> bool {
        let (circle, web) = (Circle::new(at, self.options.diameter_mm / 2.0), self.options.web_mm);
        let web = web - ROUNDING_MM;
        let front = self
            .knife
            .scales
            .map(|scales| (at.x - scales.front_x_mm) * self.towards_butt - circle.radius);
        front.is_none_or(|gap| gap >= web)
            && self.knife.holes.iter().all(|hole| circle_gap(circle, hole.circle()) >= web)
            && self.outline.web(circle) >= web
    }

    fn is_free_at(&self, from: Point, to: Point, s: f64) -> bool {
        self.middle(from, to, s).is_some_and(|at| self.is_free(at))
    }

    /// The stretches of the way from pin to pin on which a hole may have its centre.
    fn stretches(&self, from: Point, to: Point) -> Vec<(f64, f64)> {
        let steps = (from.distance(to) / STEP_MM).ceil().clamp(1.0, 1e5) as u32;
        let share = |i: u32| f64::from(i) / f64::from(steps);
        let mut found: Vec<(f64, f64)> = Vec::new();
        let mut begun: Option<f64> = None;
        for i in 0..=steps {
            let free = self.is_free_at(from, to, share(i));
            match (free, begun) {
                (true, None) => {
                    let start =
                        if i == 0 { 0.0 } else { self.edge(from, to, share(i), share(i - 1)) };
                    begun = Some(start);
                }
                (false, Some(start)) => {
                    found.push((start, self.edge(from, to, share(i - 1), share(i))));
                    begun = None;
                }
                _ => {}
            }
        }
        found.extend(begun.map(|start| (start, 1.0)));
        found
    }

    /// The last free place from a free one towards one that isn't.
    fn edge(&self, from: Point, to: Point, mut free: f64, mut taken: f64) -> f64 {
        for _ in 0..40 {
            let between = f64::midpoint(free, taken);
            if self.is_free_at(from, to, between) { free = between } else { taken = between }
        }
        free
    }

    /// The holes of one stretch: as many as go in, with even gaps between them and to its ends.
    fn filled(&self, start: f64, end: f64, pins: &[Point], last: Option<Point>) -> Vec<Point> {
        let (from, to) = (pins[0], pins[1]);
        let apart = self.options.diameter_mm + self.options.web_mm;
        let length = (end - start) * from.distance(to);
        let max = (length / apart).floor().clamp(0.0, MAX_HOLES as f64) as usize + 1;
        for count in (1..=max).rev() {
            let places: Option<Vec<Point>> = (0..count)
                .map(|k| {
                    let spare = (length - apart * (count - 1) as f64).max(0.0);
                    let along = spare * (k + 1) as f64 / (count + 1) as f64 + apart * k as f64;
                    let share = if length > 0.0 { along / length } else { 0.0 };
                    self.middle(from, to, start + (end - start) * share.min(1.0))
                })
                .collect();
            let Some(places) = places else { continue };
            let chain: Vec<Point> = last.into_iter().chain(places.iter().copied()).collect();
            let keeps = |pair: &[Point]| pair[0].distance(pair[1]) >= apart - ROUNDING_MM;
            if places.iter().all(|at| self.is_free(*at)) && chain.windows(2).all(keeps) {
                return places;
            }
        }
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::drilled;
    use knife::{STARTERS, Scales};
    use proptest::prelude::*;

    fn options(diameter_mm: f64, web_mm: f64) -> ReliefOptions {
        ReliefOptions { diameter_mm, drill: None, web_mm }
    }

    fn row(knife: &Knife, options: &ReliefOptions) -> ReliefFigures {
        relief_row(knife, &knife.profile.outline().unwrap(), options, Tables::built_in())
    }

    /// By hand: between pins of 4 mm at 120 and 180 there are 56 mm; holes of 8 mm with webs of
    /// 3 mm go in (56 − 3) / 11 = 4 times, and their weight is 4 · π/4 · 64 · 3.175 mm³ at
    /// 7.85 g/cm³.
    #[test]
    fn as_many_go_in_as_the_web_allows_and_evenly() {
        let knife = drilled(&[(120.0, 0.0, 4.0), (180.0, 0.0, 4.0)]);
        let row = row(&knife, &options(8.0, 3.0));
        assert_eq!(row.at.len(), 4);
        let gap = (56.0 - 4.0 * 8.0) / 5.0;
        for (k, at) in row.at.iter().enumerate() {
            let expected = 122.0 + gap + 4.0 + k as f64 * (8.0 + gap);
            assert!((at.x - expected).abs() < 1e-6 && at.y.abs() < 1e-9, "{at:?} {expected}");
        }
        let grams = 16.0 * std::f64::consts::PI * 4.0 * 3.175 * 7.85 / 1000.0;
        assert!((row.saved_g.unwrap() - grams).abs() < 1e-9);
        assert_eq!(row.describe(), "4 holes, 5.0 g lighter (0.18 oz)");
        let added = row.edit().unwrap().apply(&knife).unwrap();
        assert_eq!(added.holes.len(), 6);
        assert_eq!(row.edit().unwrap().label(), "Add 4 relief holes");
    }

    #[test]
    fn what_is_in_the_way_is_gone_round_and_nonsense_gives_nothing() {
        let mut knife = drilled(&[(120.0, 0.0, 4.0), (150.0, 3.0, 6.0), (180.0, 0.0, 4.0)]);
        knife.holes[1].kind = HoleKind::Thong;
        // Two a side: from x 129 to 150 − √(10² − 3²) are 11.46 mm, and 11 are wanted for two.
        assert_eq!(row(&knife, &options(8.0, 3.0)).at.len(), 4);
        assert_eq!(row(&knife, &options(8.0, 3.5)).at.len(), 2);
        knife.scales = Some(Scales { front_x_mm: 152.0, thickness_mm: 6.35 });
        assert!(row(&knife, &options(8.0, 3.0)).at.iter().all(|at| at.x - 152.0 >= 7.0 - 1e-6));
        for nonsense in
            [options(0.0, 3.0), options(f64::NAN, 3.0), options(8.0, -1.0), options(29.0, 3.0)]
        {
            assert!(row(&knife, &nonsense).edit().is_none());
        }
        assert!(row(&drilled(&[(120.0, 0.0, 4.0)]), &options(6.0, 3.0)).at.is_empty());
        knife.bar.grade = "unheard of".into();
        assert_eq!(row(&knife, &options(8.0, 3.0)).saved_g, None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        #[test]
        fn no_hole_is_nearer_than_the_web(
            starter in 0..12usize, drill in 0..280usize, web_mm in 0.5..8.0f64, turned in any::<bool>(),
        ) {
            let mut knife = STARTERS[starter % STARTERS.len()].knife();
            if turned {
                knife = Edit::MirrorAlong.apply(&knife).unwrap();
            }
            let drills = Tables::built_in().drills();
            let drill = &drills[drill % drills.len()];
            prop_assume!(drill.diameter_mm >= 1.0);
            let options = ReliefOptions {
                diameter_mm: drill.diameter_mm,
                drill: Some(drill.label.clone()),
                web_mm,
            };
            let row = row(&knife, &options);
            let outline = knife.profile.outline().unwrap();
            let circle = |at: Point| Circle::new(at, drill.diameter_mm / 2.0);
            for (i, at) in row.at.iter().enumerate() {
                prop_assert!(outline.web(circle(*at)) >= web_mm - 1e-6);
                for hole in &knife.holes {
                    prop_assert!(circle_gap(circle(*at), hole.circle()) >= web_mm - 1e-6);
                }
                for other in &row.at[i + 1..] {
                    prop_assert!(circle_gap(circle(*at), circle(*other)) >= web_mm - 1e-6);
                }
            }
            if let Some(edit) = row.edit() {
                let added = edit.apply(&knife).unwrap();
                prop_assert_eq!(added.holes.len(), knife.holes.len() + row.at.len());
            }
        }
    }
}
