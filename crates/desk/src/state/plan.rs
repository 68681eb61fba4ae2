//! Several knives on one bar, laid by hand or by the search.

use knife::{Bar, Knife};
use kurbo::{Affine, Point, Vec2};
use outline::Outline;
use reckon::tables::Tables;
use reckon::{BarPlanFigures, NestOptions, PlannedBar, Shop, bar_plan_figures, nest};

/// Placings tried when blanks are laid by themselves: enough for a dozen, done at once.
const STEPS: u64 = 1_500;
/// No more blanks than this are laid at the desk; `bar` lays more.
pub(crate) const MAX_PLANNED: usize = 24;

/// A kind of knife on the plan.
#[derive(Clone, Debug)]
pub(crate) struct PlanKnife {
    pub(crate) name: String,
    pub(crate) knife: Knife,
    pub(crate) outline: Outline,
}

/// A blank on the bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PlanBlank {
    /// Which kind of knife.
    pub(crate) kind: usize,
    pub(crate) bar_from_knife: Affine,
}

/// A plan of one bar.
#[derive(Clone, Debug)]
pub struct BarPlan {
    pub(crate) bar: PlannedBar,
    pub(crate) kinds: Vec<PlanKnife>,
    pub(crate) blanks: Vec<PlanBlank>,
    pub(crate) selected: Option<usize>,
    /// Where the blank that is dragged lay when that began.
    pub(crate) dragged: Option<(usize, Affine)>,
    /// Why blanks could not be laid by themselves.
    pub(crate) refusal: Option<String>,
    /// The figures of the plan as it lies.
    figures: Option<(Vec<PlanBlank>, PlannedBar, BarPlanFigures)>,
}

impl BarPlan {
    /// A plan for a knife's bar, with the knife on it.
    pub(crate) fn new(knife: &Knife, name: String, shop: &Shop) -> Self {
        let Bar { length_mm, width_mm, .. } = knife.bar;
        let usual = NestOptions::default();
        let kerf_mm = shop.min_kerf_mm().unwrap_or(usual.kerf_mm).max(usual.kerf_mm);
        let bar = PlannedBar {
            length_mm: length_mm.max(FOUR_FEET_MM),
            width_mm,
            kerf_mm,
            margin_mm: usual.margin_mm,
            price_per_m: price_of(&knife.bar, shop),
        };
        let mut plan = Self {
            bar,
            kinds: Vec::new(),
            blanks: Vec::new(),
            selected: None,
            dragged: None,
            refusal: None,
            figures: None,
        };
        if let Some(kind) = plan.add_kind(name, knife) {
            plan.add_copy(kind);
        }
        plan
    }

    /// Adds a kind of knife, if it has an outline; which it is.
    pub(crate) fn add_kind(&mut self, name: String, knife: &Knife) -> Option<usize> {
        let outline = knife.profile.outline().ok()?;
        self.kinds.push(PlanKnife { name, knife: knife.clone(), outline });
        Some(self.kinds.len() - 1)
    }

    /// Adds a copy of a kind behind whatever lies on the bar.
    pub(crate) fn add_copy(&mut self, kind: usize) {
        if self.blanks.len() >= MAX_PLANNED {
            return;
        }
        let Some(known) = self.kinds.get(kind) else { return };
        let turn = Affine::rotate(known.knife.bar.placement.turn_deg.to_radians());
        let bounds = known.outline.transformed(turn).bounds();
        let end = self.placed().iter().map(|outline| outline.bounds().x1).fold(0.0, f64::max);
        let gap = if end > 0.0 { self.bar.kerf_mm } else { self.bar.margin_mm };
        let to = Vec2::new(
            end + gap - bounds.x0,
            (self.bar.width_mm - bounds.height()) / 2.0 - bounds.y0,
        );
        self.blanks.push(PlanBlank { kind, bar_from_knife: Affine::translate(to) * turn });
        self.selected = Some(self.blanks.len() - 1);
    }

    /// Removes the last copy of a kind.
    pub(crate) fn remove_copy(&mut self, kind: usize) {
        if let Some(at) = self.blanks.iter().rposition(|blank| blank.kind == kind) {
            self.blanks.remove(at);
            self.selected = None;
        }
    }

    /// How many copies of a kind lie on the bar.
    pub(crate) fn copies(&self, kind: usize) -> usize {
        self.blanks.iter().filter(|blank| blank.kind == kind).count()
    }

    /// Turns a blank end for end about its middle.
    pub(crate) fn turn(&mut self, at: usize) {
        let Some(outline) = self.placed().get(at).cloned() else { return };
        let middle = outline.bounds().center().to_vec2();
        let half = Affine::translate(middle)
            * Affine::rotate(std::f64::consts::PI)
            * Affine::translate(-middle);
        let blank = &mut self.blanks[at];
        blank.bar_from_knife = half * blank.bar_from_knife;
    }

    /// Turns a blank over onto its other face, about its middle line along the bar.
    pub(crate) fn flip(&mut self, at: usize) {
        let Some(outline) = self.placed().get(at).cloned() else { return };
        let y = outline.bounds().center().y;
        let over = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 2.0 * y]);
        let blank = &mut self.blanks[at];
        blank.bar_from_knife = over * blank.bar_from_knife;
    }

    /// Lays all blanks anew as closely as is quickly found.
    pub(crate) fn lay_out(&mut self, shop: &Shop) {
        let knives: Vec<&Knife> =
            self.blanks.iter().map(|blank| &self.kinds[blank.kind].knife).collect();
        if knives.is_empty() {
            return;
        }
        let options = NestOptions {
            length_mm: Some(self.bar.length_mm),
            width_mm: Some(self.bar.width_mm),
            kerf_mm: self.bar.kerf_mm,
            margin_mm: self.bar.margin_mm,
            max_steps: STEPS,
            ..NestOptions::default()
        };
        self.refusal = None;
        match nest(&knives, &options, shop, Tables::built_in(), &mut |_| true) {
            Ok(found) => {
                let kinds: Vec<usize> = self.blanks.iter().map(|blank| blank.kind).collect();
                let first = found.bars.first();
                let laid = first.into_iter().flat_map(|bar| &bar.blanks).map(|blank| PlanBlank {
                    kind: kinds[blank.blank],
                    bar_from_knife: blank.bar_from_knife,
                });
                let laid: Vec<PlanBlank> = laid.collect();
                let left = kinds.len() - laid.len();
                if left > 0 {
                    let are = if left == 1 { "blank goes" } else { "blanks go" };
                    self.refusal = Some(format!("{left} {are} on another bar."));
                }
                self.blanks = laid;
                self.selected = None;
            }
            Err(why) => {
                let which = why.blank().and_then(|at| self.blanks.get(at));
                let which = which.map(|blank| self.kinds[blank.kind].name.clone());
                let which = which.map_or_else(String::new, |name| format!("{name}: "));
                self.refusal = Some(format!("{which}{why}."));
            }
        }
    }

    /// The outlines as they lie on the bar.
    pub(crate) fn placed(&self) -> Vec<Outline> {
        let placed =
            |blank: &PlanBlank| self.kinds[blank.kind].outline.transformed(blank.bar_from_knife);
        self.blanks.iter().map(placed).collect()
    }

    /// The blank under a place of the bar, the one laid last first.
    pub(crate) fn at(&self, place: Point) -> Option<usize> {
        self.placed().iter().rposition(|outline| outline.contains(place))
    }

    /// Figures of the plan as it lies, worked out once a change.
    pub(crate) fn figures(&mut self) -> BarPlanFigures {
        if let Some((blanks, bar, figures)) = &self.figures
            && *blanks == self.blanks
            && *bar == self.bar
        {
            return figures.clone();
        }
        let figures = bar_plan_figures(&self.bar, &self.placed());
        self.figures = Some((self.blanks.clone(), self.bar, figures.clone()));
        figures
    }
}

/// A bar as steel is sold for knives, mm (48 in).
const FOUR_FEET_MM: f64 = 1219.2;

/// What a metre of a knife's bar costs by the shop.
fn price_of(bar: &Bar, shop: &Shop) -> Option<f64> {
    let same = |known: &&reckon::shop::BarOnHand| {
        (known.thickness_mm - bar.thickness_mm).abs() < 0.1
            && (known.width_mm - bar.width_mm).abs() < 0.1
            && known.grade.trim().eq_ignore_ascii_case(bar.grade.trim())
    };
    shop.bars.iter().filter(same).find_map(|known| known.price_per_m)
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::STARTERS;

    fn plan() -> BarPlan {
        BarPlan::new(&STARTERS[0].knife(), "first".into(), &Shop::default())
    }

    #[test]
    fn copies_are_laid_one_behind_the_other_and_turned_in_place() {
        let mut plan = plan();
        plan.add_copy(0);
        plan.add_copy(0);
        assert_eq!(plan.copies(0), 3);
        let figures = plan.figures();
        assert!(figures.clashes.iter().all(|clash| clash.other.is_none()), "{figures:?}");
        let before = plan.placed()[1].bounds();
        plan.turn(1);
        let after = plan.placed()[1].bounds();
        assert!((before.center() - after.center()).hypot() < 1e-9);
        plan.flip(1);
        let after = plan.placed()[1].bounds();
        assert!((before.center() - after.center()).hypot() < 1e-9);
        assert_eq!(plan.at(after.center()), Some(1));
        plan.remove_copy(0);
        assert_eq!(plan.copies(0), 2);
    }

    #[test]
    fn a_knife_without_an_outline_is_not_laid() {
        let plan = BarPlan::new(&Knife::empty(), "none".into(), &Shop::default());
        assert!(plan.blanks.is_empty() && plan.at(Point::new(10.0, 10.0)).is_none());
    }

    #[test]
    fn laid_by_itself_nothing_clashes_and_less_is_taken() {
        let mut plan = plan();
        plan.bar.width_mm = 100.0;
        for _ in 0..3 {
            plan.add_copy(0);
        }
        let before = plan.figures();
        plan.lay_out(&Shop::default());
        assert_eq!(plan.refusal, None);
        let after = plan.figures();
        assert!(after.clashes.is_empty(), "{:?}", after.clashes);
        assert!(after.used_mm < before.used_mm, "{} {}", after.used_mm, before.used_mm);
        plan.bar.width_mm = 10.0;
        plan.lay_out(&Shop::default());
        assert!(plan.refusal.is_some());
    }
}
