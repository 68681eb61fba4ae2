//! The finish ladder: grits from the surface that is there to the finish that is wanted.

use crate::tables::{Grit, GritSystem, Provenance, Tables};
use knife::{Finish, Heating, Knife};

/// Sizes within this ratio count as the same.
const SAME: f64 = 1.001;

/// One rung: a grit.
#[derive(Clone, Debug, PartialEq)]
pub struct GritStep {
    /// Its name by FEPA P.
    pub name: String,
    /// Its average size, µm.
    pub um: f64,
    /// The plain-numbered grit nearest to it, and that one's size, µm.
    pub plain: Option<(String, f64)>,
    /// The grit before it is so many times coarser.
    pub ratio: Option<f64>,
    /// Whether it goes on a hard backing.
    pub hard: bool,
    /// How its size is known.
    pub origin: Provenance,
}

/// The ladders of a knife.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ladders {
    /// Before hardening.
    pub before: Vec<GritStep>,
    /// Of the blade after tempering; empty as long as no finish is chosen.
    pub blade: Vec<GritStep>,
    /// Of the scales' front ends, before they are glued.
    pub fronts: Vec<GritStep>,
    /// Of the handle.
    pub handle: Vec<GritStep>,
}

pub(super) fn figures(knife: &Knife, tables: &Tables) -> Ladders {
    let size = |key: &str| tables.practice(key).map(|row| row.range.0);
    let ladder = |from: Option<f64>, to: Option<f64>| {
        from.zip(to).map_or_else(Vec::new, |(from, to)| ladder(tables, from, to))
    };
    let after = match knife.treatment.heating {
        Some(Heating::Oven) => size("surface-oven"),
        // What is not known to be clean is taken as scaled.
        Some(Heating::OpenForge) | None => size("surface-forge"),
    };
    let finish = |finish: Finish| tables.finish(finish.label()).map(|row| row.um.0);
    let handle = tables.finish("handle").map(|row| row.um);
    Ladders {
        before: ladder(size("surface-filed"), size("before-hardening")),
        blade: ladder(after, knife.treatment.finish.and_then(finish)),
        // As fine as the handle or finer: they can't be reached once they are glued.
        fronts: ladder(size("before-hardening"), handle.map(|um| um.0)),
        handle: ladder(size("before-hardening"), handle.map(|um| um.0)),
    }
}

/// The usual grits from one size to another, µm, each step as large as the table of practice lets
/// it be.
pub fn ladder(tables: &Tables, from_um: f64, to_um: f64) -> Vec<GritStep> {
    let max = tables.practice("step-most").map_or(2.0, |row| row.range.0);
    let hard_um = tables.practice("hard-backing").map_or(0.0, |row| row.range.0);
    let usual: Vec<&Grit> =
        tables.grits().iter().filter(|g| g.usual && g.system == GritSystem::P).collect();
    let first = usual.iter().filter(|grit| grit.um <= from_um * SAME).max_by(by_size);
    let Some(mut at) = first.copied().filter(|grit| grit.um * SAME >= to_um) else {
        return Vec::new();
    };
    let mut steps = vec![step(tables, at, None, hard_um)];
    while at.um > to_um * SAME {
        let finer = usual.iter().filter(|grit| grit.um < at.um && grit.um * SAME >= to_um);
        let finer: Vec<&Grit> = finer.copied().collect();
        let in_reach = finer.iter().filter(|grit| at.um / grit.um <= max).min_by(by_size);
        let Some(next) = in_reach.or_else(|| finer.iter().max_by(by_size)).copied() else { break };
        steps.push(step(tables, next, Some(at.um), hard_um));
        at = next;
    }
    steps
}

fn by_size(a: &&&Grit, b: &&&Grit) -> std::cmp::Ordering {
    a.um.total_cmp(&b.um)
}

fn step(tables: &Tables, grit: &Grit, before_um: Option<f64>, hard_um: f64) -> GritStep {
    let plain = tables.nearest_grit(GritSystem::Plain, grit.um);
    GritStep {
        name: grit.name.clone(),
        um: grit.um,
        plain: plain.map(|plain| (plain.name.clone(), plain.um)),
        ratio: before_um.map(|before| before / grit.um),
        hard: grit.um * SAME >= hard_um,
        origin: grit.origin.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn names(from: f64, to: f64) -> Vec<String> {
        ladder(Tables::built_in(), from, to).into_iter().map(|step| step.name).collect()
    }

    /// By hand, from the sizes of FEPA 43-1: 201, 125, 82, 68, 46.2, 35, 25.8 µm, no step over 1.75.
    #[test]
    fn a_satin_finish_goes_up_in_even_steps() {
        let expected = ["P80", "P120", "P180", "P220", "P320", "P400", "P600"];
        assert_eq!(names(201.0, 25.8), expected);
        assert_eq!(names(25.8, 201.0), [""; 0], "nothing leads back to coarse");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn a_ladder_falls_and_ends_where_it_should(from in 10.0..400.0f64, to in 5.0..300.0f64) {
            let steps = ladder(Tables::built_in(), from, to);
            prop_assert!(steps.windows(2).all(|pair| pair[0].um > pair[1].um));
            prop_assert!(steps.iter().all(|step| step.um <= from * 1.01 && step.um * 1.01 >= to));
        }
    }
}
