//! Twist drills, and which of them suits a pin.

use super::read::{Row, TableError};
use super::{Provenance, Tables};
use units::{DrillName, LengthUnit, parse_drill};

/// Two diameters closer than this are the same, mm: a tenth of the table's last figure.
const SAME_MM: f64 = 1e-5;

/// A twist drill.
#[derive(Clone, Debug, PartialEq)]
pub struct Drill {
    /// Its designation.
    pub name: DrillName,
    /// The designation as it is written, such as `#30`.
    pub label: String,
    /// Nominal diameter, mm.
    pub diameter_mm: f64,
    /// How the figure is known.
    pub origin: Provenance,
}

/// A drill for a pin, and the play it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PinDrill<'a> {
    /// The drill.
    pub drill: &'a Drill,
    /// Drill diameter less pin diameter, mm.
    pub gap_mm: f64,
}

impl Drill {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let Ok(name) = parse_drill(row.text("name")?) else {
            return Err(row.fault("name", "the name of a drill"));
        };
        let diameter_mm = row.positive("mm")?;
        Ok(Self { name, label: name.to_string(), diameter_mm, origin: row.origin()? })
    }

    /// The system the drill belongs to: only the metric series is in millimetres.
    pub fn system(&self) -> LengthUnit {
        match self.name {
            DrillName::Metric { .. } => LengthUnit::Millimetre,
            _ => LengthUnit::Inch,
        }
    }

    /// Which of several drills of one size is told first: the name that tells its own size.
    fn rank(&self) -> u8 {
        match self.name {
            DrillName::Fraction { .. } => 0,
            DrillName::Metric { .. } => 1,
            DrillName::Number(_) => 2,
            DrillName::Letter(_) => 3,
        }
    }
}

impl Tables {
    /// The drill of this name, however it is typed: `#30`, `No. 30`, `f`, `5/32"`, `3.2mm`.
    pub fn drill(&self, name: &str) -> Option<&Drill> {
        self.drill_named(parse_drill(name).ok()?)
    }

    /// The drill of this name.
    pub fn drill_named(&self, name: DrillName) -> Option<&Drill> {
        self.drills().iter().find(|drill| drill.name == name)
    }

    /// The drill nearest in size; of two alike the fraction first, then the metric one, the number, the
    /// letter. `None` only for what isn't a finite number.
    pub fn nearest_drill(&self, diameter_mm: f64) -> Option<&Drill> {
        let off_mm = |drill: &Drill| (drill.diameter_mm - diameter_mm).abs();
        let drills = self.drills().iter().filter(|drill| off_mm(drill).is_finite());
        drills.min_by(|a, b| {
            let apart_mm = off_mm(a) - off_mm(b);
            if apart_mm.abs() < SAME_MM {
                a.rank().cmp(&b.rank())
            } else {
                apart_mm.total_cmp(&0.0)
            }
        })
    }

    /// The drill of just this size, one of the `preferred` system if there is one.
    pub fn drill_of_size(&self, diameter_mm: f64, preferred: LengthUnit) -> Option<&Drill> {
        let fits = |drill: &&Drill| (drill.diameter_mm - diameter_mm).abs() < SAME_MM;
        let drills = self.drills().iter().filter(fits);
        drills.min_by_key(|drill| (drill.system() != preferred, drill.rank()))
    }

    /// The drills that leave a pin a play within `min_gap_mm..=max_gap_mm` on the diameter, the closest
    /// fit first. The bounds are taken to a hundred-thousandth of a millimetre.
    pub fn drills_for_pin(
        &self,
        pin_mm: f64,
        min_gap_mm: f64,
        max_gap_mm: f64,
    ) -> Vec<PinDrill<'_>> {
        let fit = |drill| PinDrill { drill, gap_mm: drill.diameter_mm - pin_mm };
        let allowed_mm = min_gap_mm - SAME_MM..=max_gap_mm + SAME_MM;
        let is_allowed = |fit: &PinDrill<'_>| allowed_mm.contains(&fit.gap_mm);
        let mut fits: Vec<_> = self.drills().iter().map(fit).filter(is_allowed).collect();
        fits.sort_by(|a, b| {
            a.gap_mm.total_cmp(&b.gap_mm).then(a.drill.rank().cmp(&b.drill.rank()))
        });
        fits
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const INCH_MM: f64 = 25.4;

    fn labels(pin_mm: f64, gap_in: (f64, f64)) -> Vec<String> {
        let fits =
            Tables::built_in().drills_for_pin(pin_mm, gap_in.0 * INCH_MM, gap_in.1 * INCH_MM);
        fits.iter().map(|fit| fit.drill.label.clone()).collect()
    }

    #[test]
    fn a_drill_is_found_however_it_is_typed() {
        let label = |name| Tables::built_in().drill(name).map(|drill| drill.label.as_str());
        for name in ["#30", "No.30", "no 30"] {
            assert_eq!(label(name), Some("#30"));
        }
        assert_eq!(label("f"), Some("F"));
        assert_eq!(label("5/32\""), Some("5/32"));
        assert_eq!(label("3.20mm"), Some("3.2 mm"));
        assert_eq!(label("3.15 mm"), None);
        assert_eq!(label("nonsense"), None);
    }

    #[test]
    fn labels_are_written_as_the_table_writes_them_and_inches_agree_with_millimetres() {
        let text = include_str!("../../../../assets/drills.csv");
        for (line, drill) in text.lines().skip(1).zip(Tables::built_in().drills()) {
            let cells: Vec<_> = line.split(',').collect();
            assert_eq!(drill.label, cells[0]);
            let inch: f64 = cells[1].parse().unwrap();
            // Inches of the metric drills are rounded to a millionth.
            let allowed = if drill.system() == LengthUnit::Millimetre { 0.51e-6 } else { 1e-12 };
            assert!((drill.diameter_mm / INCH_MM - inch).abs() < allowed, "{line}");
            if let Some(nominal) = drill.name.nominal() {
                assert!((nominal.to_mm() - drill.diameter_mm).abs() < 1e-12, "{line}");
            }
        }
    }

    #[test]
    fn of_two_drills_alike_the_one_that_tells_its_size_comes_first() {
        let tables = Tables::built_in();
        let nearest = |mm| tables.nearest_drill(mm).map(|drill| drill.label.as_str());
        assert_eq!(nearest(6.35), Some("1/4"));
        assert_eq!(nearest(3.26), Some("#30"));
        assert_eq!(nearest(0.0), Some("#80"));
        assert_eq!(nearest(-5.0), Some("#80"));
        assert_eq!(nearest(1000.0), Some("13 mm"));
        assert_eq!(nearest(f64::NAN), None);
        assert_eq!(nearest(f64::INFINITY), None);
        let of_size = |mm, unit| tables.drill_of_size(mm, unit).map(|drill| drill.label.as_str());
        assert_eq!(of_size(12.7, LengthUnit::Inch), Some("1/2"));
        assert_eq!(of_size(12.7, LengthUnit::Millimetre), Some("12.7 mm"));
        assert_eq!(of_size(3.175, LengthUnit::Millimetre), Some("1/8"));
        assert_eq!(of_size(3.18, LengthUnit::Millimetre), None);
    }

    /// Common practice: a 1/8 in pin goes into a No. 30 hole with 0.0035 in of play.
    #[test]
    fn an_eighth_inch_pin_takes_number_30() {
        let fits = Tables::built_in().drills_for_pin(3.175, 0.04, 0.15);
        assert_eq!(fits[0].drill.label, "#30");
        assert!((fits[0].gap_mm / INCH_MM - 0.0035).abs() < 1e-9);
        assert_eq!(labels(3.175, (0.0015, 0.006)), ["#30", "3.3 mm"]);
    }

    /// Worked out by hand from the sizes, with 0.0015 to 0.0060 in of play, both bounds met.
    #[test]
    fn other_pins() {
        let slip = (0.0015, 0.006);
        assert_eq!(labels(1.5875, slip), ["1.65 mm", "1.7 mm", "#51"]);
        assert_eq!(labels(2.38125, slip), ["#41", "2.45 mm", "#40", "2.5 mm", "#39"]);
        assert_eq!(labels(4.7625, slip), ["#12", "#11", "4.9 mm", "#10"]);
        assert_eq!(labels(6.35, slip), ["6.4 mm", "6.5 mm"]);
        assert_eq!(labels(6.0, slip), ["B", "6.1 mm", "C"]);
    }

    #[test]
    fn odd_questions_find_nothing() {
        let tables = Tables::built_in();
        assert!(tables.drills_for_pin(3.0, 0.2, 0.1).is_empty());
        assert!(tables.drills_for_pin(f64::NAN, 0.0, 1.0).is_empty());
        assert!(tables.drills_for_pin(500.0, 0.0, 1.0).is_empty());
    }

    proptest! {
        #[test]
        fn nothing_is_nearer_than_the_nearest(mm in 0.0..14.0f64) {
            let tables = Tables::built_in();
            let near_mm = tables.nearest_drill(mm).unwrap().diameter_mm;
            for drill in tables.drills() {
                let is_nearer = (drill.diameter_mm - mm).abs() < (near_mm - mm).abs() - SAME_MM;
                prop_assert!(!is_nearer, "{}", drill.label);
            }
        }

        #[test]
        fn no_name_panics(name in any::<String>()) {
            let _ = (Tables::built_in().drill(&name), Tables::built_in().steel(&name));
        }
    }
}
