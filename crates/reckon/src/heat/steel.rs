//! What is known of a steel in the heat: from the maker's own data, else from the tables.

use super::curve::{Series, TemperCurve, wide};
use crate::tables::{
    Degrees, Hardening, Practice, Provenance, Quench, SourcedRange, Tables, is_same_name,
};
use crate::{OwnSteel, Shop};
use units::Temperature;

/// What is known of a steel in the heat.
#[derive(Clone, Debug, PartialEq)]
pub struct SteelHeat {
    /// Its standard grade, after the name by which it was stated where that is another:
    /// `1.2842 (90MnCrV8)`.
    pub grade: String,
    /// Its composition in words.
    pub composition: Option<(String, Provenance)>,
    /// How each source hardens it.
    pub hardening: Vec<Hardening>,
    /// Its tempering tables.
    pub curve: TemperCurve,
    /// A near grade and its tables, worth holding beside.
    pub compare: Option<(String, TemperCurve)>,
    /// Whether it needs an oven: it hardens above what an open forge is judged to by eye, or in
    /// air. Such are the air-hardening and the stainless steels.
    pub needs_oven: bool,
    /// Tempering heats in which a plain carbon or low-alloy steel loses toughness, °C; `None` for
    /// steels that need an oven.
    pub brittle_c: Option<(f64, f64)>,
}

impl SteelHeat {
    /// The steel of this grade; `None` when neither shop nor tables know it.
    pub fn of(grade: &str, shop: &Shop, tables: &Tables) -> Option<Self> {
        if let Some(own) = shop.own_steel(grade) {
            return Some(Self::own(own).judged(tables));
        }
        let steel = tables.steel(grade)?;
        let is_part = steel.grade.to_lowercase().contains(&grade.trim().to_lowercase());
        let curve = |grade: &str| TemperCurve::of(tables.temper_points(grade));
        let composition = (steel.composition.clone(), steel.composition_origin.clone());
        let known = Self {
            grade: if is_part {
                steel.grade.clone()
            } else {
                format!("{} ({})", grade.trim(), steel.grade)
            },
            composition: Some(composition).filter(|(words, _)| !words.is_empty()),
            hardening: tables.hardenings(&steel.grade).cloned().collect(),
            curve: curve(&steel.grade),
            compare: steel.compare.as_ref().map(|near| (near.clone(), curve(near))),
            needs_oven: false,
            brittle_c: None,
        };
        Some(known.judged(tables))
    }

    /// With what follows from its hardening heat.
    fn judged(mut self, tables: &Tables) -> Self {
        let forge_c = tables.practice("forge-most").map_or(f64::INFINITY, |row| row.range.0);
        self.needs_oven = self.harden_c().is_some_and(|(low, _)| low > forge_c)
            || self.quench() == Some(Quench::Air);
        let brittle = tables.practice("temper-brittle").map(Practice::heats_c);
        self.brittle_c = brittle.filter(|_| !self.needs_oven);
        self
    }

    fn own(own: &OwnSteel) -> Self {
        let origin = || Provenance {
            source: format!("this shop's own data: {}", own.source),
            confidence: "as the maker gives it".to_owned(),
        };
        let hardening = own.harden_c.zip(own.quench).map(|((low, high), quench)| Hardening {
            grade: own.grade.clone(),
            heat: (Temperature::celsius(low), Temperature::celsius(high)),
            degrees: Degrees::Celsius,
            quench,
            other_quench: None,
            quenched_hrc: own.quenched_hrc,
            remark: String::new(),
            soak_min: None,
            avoid_c: None,
            origin: origin(),
        });
        let mut points = own.temper.clone();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let series = Series { condition: String::new(), origin: origin(), points };
        let series = if series.points.is_empty() { Vec::new() } else { vec![series] };
        Self {
            grade: own.grade.clone(),
            composition: None,
            hardening: hardening.into_iter().collect(),
            curve: TemperCurve { series },
            compare: None,
            needs_oven: false,
            brittle_c: None,
        }
    }

    /// The hardening heat over all sources, °C, from and to.
    pub fn harden_c(&self) -> Option<(f64, f64)> {
        let heats = self.hardening.iter().map(|row| row.heat);
        wide(heats.map(|(low, high)| (low.to_celsius(), high.to_celsius())))
    }

    /// The hardness as quenched over all sources, HRC.
    pub fn quenched_hrc(&self) -> Option<(f64, f64)> {
        wide(self.hardening.iter().filter_map(|row| row.quenched_hrc))
    }

    /// Tempering heats to keep out of, where told.
    pub fn avoid(&self) -> Option<&SourcedRange> {
        self.hardening.iter().find_map(|row| row.avoid_c.as_ref())
    }

    /// What it is quenched in, by the first source.
    pub fn quench(&self) -> Option<Quench> {
        self.hardening.first().map(|row| row.quench)
    }

    /// Everything its sources quench it in, each once: oils first, which thin blades take best,
    /// then water, then air.
    pub fn quenches(&self) -> Vec<Quench> {
        let is_told = |quench: &Quench| {
            let mut rows = self.hardening.iter();
            rows.any(|row| row.quench == *quench || row.other_quench == Some(*quench))
        };
        Quench::ALL.into_iter().filter(is_told).collect()
    }

    /// The tables that a temper is advised by: its own, and where none of these is trusted
    /// further than low, the near grade's too, so that the band covers both.
    pub fn advice(&self) -> TemperCurve {
        let mut advice = self.curve.clone();
        if let Some((_, near)) = self.compare.as_ref().filter(|_| self.curve.is_weak()) {
            advice.series.extend(near.series.iter().cloned());
        }
        advice
    }
}

impl Shop {
    /// The maker's own steel of this grade.
    pub fn own_steel(&self, grade: &str) -> Option<&OwnSteel> {
        self.steels.iter().find(|steel| is_same_name(&steel.grade, grade))
    }

    /// Density of a grade, g/cm³: the maker's own figure, else the table's.
    pub fn density_g_cm3(&self, grade: &str, tables: &Tables) -> Option<f64> {
        let own = self.own_steel(grade).and_then(|steel| steel.density_g_cm3);
        own.or_else(|| tables.steel(grade).map(|steel| steel.density_g_cm3))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Number and name of one steel by EN ISO 4957 and EN 10027-2, from memory.
    #[test]
    fn a_steel_goes_by_the_name_it_was_stated_by_and_its_standard_grade() {
        let name =
            |grade| SteelHeat::of(grade, &Shop::default(), Tables::built_in()).unwrap().grade;
        assert_eq!(name("1.2842"), "1.2842 (90MnCrV8)");
        assert_eq!((name("90MnCrV8").as_str(), name("1084").as_str()), ("90MnCrV8", "SAE 1084"));
    }
}
