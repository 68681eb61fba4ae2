//! Hardness against tempering heat: the band that all of a steel's tables leave.

use crate::tables::{Provenance, TemperPoint};

/// A heat or hardness differs by no more than rounding below this.
const NOTHING: f64 = 1e-9;

/// One source's table, from cool to hot.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// How the source had hardened the steel.
    pub condition: String,
    /// How it is known.
    pub origin: Provenance,
    /// Temper in °C, and the hardness after it in HRC, from and to.
    pub points: Vec<(f64, f64, f64)>,
}

/// All tables of a steel.
///
/// Between two points of a table hardness is taken to run straight. Where tables differ the band
/// reaches from the least to the greatest of those that cover the heat; outside every table
/// nothing is told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TemperCurve {
    /// Each source's own table.
    pub series: Vec<Series>,
}

impl Series {
    fn span(&self) -> Option<(f64, f64)> {
        Some((self.points.first()?.0, self.points.last()?.0))
    }

    /// The hardness at a heat, from and to, HRC.
    fn at(&self, heat_c: f64) -> Option<(f64, f64)> {
        let exact = self.points.iter().find(|point| (point.0 - heat_c).abs() < NOTHING);
        if let Some(point) = exact {
            return Some((point.1, point.2));
        }
        self.points.windows(2).find_map(|pair| {
            let share = (heat_c - pair[0].0) / (pair[1].0 - pair[0].0);
            let mixed = |a: f64, b: f64| a + (b - a) * share;
            let inside = (0.0..=1.0).contains(&share);
            inside.then(|| (mixed(pair[0].1, pair[1].1), mixed(pair[0].2, pair[1].2)))
        })
    }
}

impl TemperCurve {
    /// The curve of these points, a table for each source and condition.
    pub fn of<'a>(points: impl IntoIterator<Item = &'a TemperPoint>) -> Self {
        let mut series: Vec<Series> = Vec::new();
        for point in points {
            let own = |s: &&mut Series| s.condition == point.condition && s.origin == point.origin;
            let at = (point.heat.to_celsius(), point.hrc.0, point.hrc.1);
            match series.iter_mut().find(own) {
                Some(own) => own.points.push(at),
                None => series.push(Series {
                    condition: point.condition.clone(),
                    origin: point.origin.clone(),
                    points: vec![at],
                }),
            }
        }
        for own in &mut series {
            own.points.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        Self { series }
    }

    /// How the band is known: by all its sources together. `None` without any.
    pub fn origin(&self) -> Option<Provenance> {
        self.series.first()?;
        let joined = |of: fn(&Provenance) -> &String| {
            let mut message: Vec<&str> = Vec::new();
            for words in self.series.iter().map(|series| of(&series.origin).as_str()) {
                if !message.contains(&words) {
                    message.push(words);
                }
            }
            message.join("; ")
        };
        Some(Provenance {
            source: joined(|origin| &origin.source),
            confidence: joined(|origin| &origin.confidence),
        })
    }

    /// Whether there is no point at all.
    pub fn is_empty(&self) -> bool {
        self.series.iter().all(|series| series.points.is_empty())
    }

    /// Whether it has points, and none of a source that is trusted further than low.
    pub fn is_weak(&self) -> bool {
        !self.is_empty() && self.series.iter().all(|s| s.origin.confidence.starts_with("low"))
    }

    /// The band over all heats within so much of one, HRC; `None` where no table covers that one.
    pub fn band_within(&self, heat_c: f64, swing_c: f64) -> Option<(f64, f64)> {
        let own = self.at(heat_c)?;
        let near = [heat_c - swing_c, heat_c + swing_c].into_iter().filter_map(|c| self.at(c));
        wide(near.chain([own]))
    }

    /// The coolest and the hottest temper of the tables, °C.
    pub fn heats_c(&self) -> Option<(f64, f64)> {
        wide(self.series.iter().filter_map(Series::span))
    }

    /// The least and the greatest hardness of the tables, HRC.
    pub fn hrc(&self) -> Option<(f64, f64)> {
        wide(self.series.iter().flat_map(|s| s.points.iter().map(|point| (point.1, point.2))))
    }

    /// The band at a heat, HRC; `None` where no table covers it.
    pub fn at(&self, heat_c: f64) -> Option<(f64, f64)> {
        wide(self.series.iter().filter_map(|series| series.at(heat_c)))
    }

    /// Every heat that some table has a point at, from cool to hot, °C.
    pub fn stations_c(&self) -> Vec<f64> {
        let mut all: Vec<f64> =
            self.series.iter().flat_map(|s| s.points.iter().map(|point| point.0)).collect();
        all.sort_by(f64::total_cmp);
        all.dedup_by(|a, b| (*a - *b).abs() < NOTHING);
        all
    }

    /// The coolest and the hottest temper whose band holds this hardness, °C, outside the heats to
    /// avoid; `None` when there is none.
    pub fn heats_for(&self, hrc: f64, avoid_c: Option<(f64, f64)>) -> Option<(f64, f64)> {
        let stations = self.stations_c();
        let at_points = stations.iter().filter(|heat| {
            self.at(**heat).is_some_and(|(low, high)| low - NOTHING <= hrc && hrc <= high + NOTHING)
        });
        let at_points = at_points.map(|heat| (*heat, *heat));
        let between = stations.windows(2).flat_map(|pair| self.between((pair[0], pair[1]), hrc));
        let found = at_points.chain(between).flat_map(|range| outside(range, avoid_c));
        wide(found)
    }

    /// The parts of a stretch between two neighbouring stations whose band holds the hardness. The
    /// band there reaches from the least of straight lines to the greatest of others.
    fn between(&self, (a, b): (f64, f64), hrc: f64) -> Vec<(f64, f64)> {
        let ends = |s: &Series| s.at(a).zip(s.at(b));
        let lines: Vec<_> = self.series.iter().filter_map(ends).collect();
        let low = lines.iter().filter_map(|(from, to)| below((from.0, to.0), hrc, 1.0));
        let high: Vec<_> =
            lines.iter().filter_map(|(from, to)| below((from.1, to.1), hrc, -1.0)).collect();
        let both = low.flat_map(|l| high.iter().map(move |h| (l.0.max(h.0), l.1.min(h.1))));
        let kept = both.filter(|(from, to)| from <= to);
        kept.map(|(from, to)| (a + (b - a) * from, a + (b - a) * to)).collect()
    }
}

/// The part of 0 to 1 where a straight line from one value to another is no more than a limit
/// (`sign` 1) or no less (`sign` −1).
fn below((from, to): (f64, f64), limit: f64, sign: f64) -> Option<(f64, f64)> {
    let (from, to) = (sign * (from - limit), sign * (to - limit));
    match (from <= NOTHING, to <= NOTHING) {
        (true, true) => Some((0.0, 1.0)),
        (true, false) => Some((0.0, (from / (from - to)).clamp(0.0, 1.0))),
        (false, true) => Some(((from / (from - to)).clamp(0.0, 1.0), 1.0)),
        (false, false) => None,
    }
}

/// A range less the one to avoid.
fn outside(range: (f64, f64), avoid: Option<(f64, f64)>) -> Vec<(f64, f64)> {
    let Some((from, to)) = avoid else { return vec![range] };
    if range.1 < from || range.0 > to {
        return vec![range];
    }
    let mut left = Vec::new();
    if range.0 < from {
        left.push((range.0, from));
    }
    if range.1 > to {
        left.push((to, range.1));
    }
    left
}

/// The range that holds all ranges.
pub(super) fn wide(ranges: impl Iterator<Item = (f64, f64)>) -> Option<(f64, f64)> {
    ranges.reduce(|all, one| (all.0.min(one.0), all.1.max(one.1)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::Tables;
    use proptest::prelude::*;

    fn curve(grade: &str) -> TemperCurve {
        TemperCurve::of(Tables::built_in().temper_points(grade))
    }

    fn celsius(f: f64) -> f64 {
        (f - 32.0) / 1.8
    }

    /// The tables' own points: 400 °F gives 61 to 62 HRC, 450 °F 60 to 61; 410 °F lies a fifth of the
    /// way on, by hand.
    #[test]
    fn between_two_points_the_band_runs_straight() {
        let (low, high) = curve("SAE 1084").at(210.0).unwrap();
        assert!((low - 60.8).abs() < 1e-9 && (high - 61.8).abs() < 1e-9, "{low} {high}");
        assert_eq!(curve("SAE 1084").at(celsius(700.0)), None, "no table goes so far");
    }

    #[test]
    fn where_tables_differ_the_band_holds_both() {
        assert_eq!(curve("AISI A2").at(celsius(600.0)), Some((56.0, 59.0)));
        assert_eq!(curve("AISI 440C").at(celsius(400.0)), Some((56.0, 59.0)));
        assert_eq!(curve("AISI L6").at(celsius(400.0)), Some((61.0, 61.0)));
    }

    #[test]
    fn a_hardness_leads_back_to_its_heats() {
        let heats = |grade: &str, hrc| curve(grade).heats_for(hrc, None);
        // 1075: 59 HRC at 400 °F only; 56 HRC halfway to 53 HRC at 600 °F.
        let (from, to) = heats("SAE 1075", 59.0).unwrap();
        assert!((from - celsius(400.0)).abs() < 1e-9 && (to - from).abs() < 1e-9);
        let (from, to) = heats("SAE 1075", 56.0).unwrap();
        assert!((from - celsius(500.0)).abs() < 1e-9 && (to - from).abs() < 1e-9);
        // 1084: the band holds 60 HRC from 450 °F (its least) to 500 °F (its greatest).
        let (from, to) = heats("SAE 1084", 60.0).unwrap();
        assert!((from - celsius(450.0)).abs() < 1e-9 && (to - celsius(500.0)).abs() < 1e-9);
        assert_eq!(heats("SAE 1084", 66.0), None);
        assert_eq!(heats("AISI W1", 60.0), None, "no points");
    }

    #[test]
    fn heats_to_avoid_are_left_out() {
        let avoid = Some((celsius(800.0), celsius(1100.0)));
        let (from, to) = curve("AISI 440C").heats_for(56.0, avoid).unwrap();
        assert!(from >= celsius(211.0) && to <= celsius(800.0) + 1e-9, "{from} {to}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// There and back: whatever a band holds at a heat, that heat is among its own.
        #[test]
        fn a_heat_is_among_those_of_its_hardness(which in 0..18usize, share in 0.0..1.0f64, up in 0.0..1.0f64) {
            let curve = curve(&Tables::built_in().steels()[which].grade);
            if let Some((from, to)) = curve.heats_c() {
                let heat = from + (to - from) * share;
                if let Some((low, high)) = curve.at(heat) {
                    let hrc = low + (high - low) * up;
                    let (cool, hot) = curve.heats_for(hrc, None).unwrap();
                    prop_assert!(cool - 1e-6 <= heat && heat <= hot + 1e-6);
                }
            }
        }
    }
}
