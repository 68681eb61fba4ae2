//! Finding: the knife doesn't go into the forge, the quench tank or the oven of this shop.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use crate::heat::blade_mm;
use crate::shop::{Chamber, FlatPiece};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "does-not-go-in",
    checks: "That blade and knife go into forge, quench tank and oven, as far as the shop knows them.",
    rationale: "A blade half in the heat or half in the oil hardens unevenly, warps or cracks.",
    remedy: "Take a larger chamber or tank, or make the knife shorter.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(profile) = ctx.profile else { return };
    let (shop, clearance_mm) = (ctx.shop, ctx.shop.limits.chamber_clearance_mm);
    let whole = FlatPiece {
        length_mm: profile.length_mm,
        width_mm: profile.width_mm,
        thickness_mm: ctx.knife.bar.thickness_mm,
    };
    let blade = FlatPiece { length_mm: blade_mm(ctx.knife).unwrap_or(whole.length_mm), ..whole };
    let takes = |chamber: &Chamber, piece| chamber.fits(piece, clearance_mm);
    let at_the_mouth = |chamber: &Chamber, piece| chamber.fits_section(piece, clearance_mm);
    if let Some(chamber) = shop.forge {
        let place = ChamberCase { case: "forge", chamber, piece: "blade", flat: blade };
        findings.extend(place.lacking(ctx, at_the_mouth));
        if at_the_mouth(&chamber, blade) && chamber.length_mm() < blade.length_mm {
            findings.push(place.finding(
                ctx,
                format!(
                    "The blade is longer than the forge's chamber by {}: move it to and fro.",
                    ctx.brief(blade.length_mm - chamber.length_mm()),
                ),
                format!(
                    "The blade, {} from tip to plunge line, is longer than the forge's chamber, \
                     {} inside. Move it to and fro, so that it's evenly hot.",
                    ctx.length(blade.length_mm),
                    inside(ctx, chamber),
                ),
                (blade.length_mm, chamber.length_mm()),
            ));
        }
    }
    if let Some(chamber) = shop.quench_tank {
        let place = ChamberCase { case: "quench tank", chamber, piece: "blade", flat: blade };
        findings.extend(place.lacking(ctx, takes));
    }
    if let Some(chamber) = shop.oven {
        let place = ChamberCase { case: "oven", chamber, piece: "knife", flat: whole };
        findings.extend(place.lacking(ctx, takes));
    }
}

/// A chamber, and what is to go into it.
struct ChamberCase {
    case: &'static str,
    chamber: Chamber,
    piece: &'static str,
    flat: FlatPiece,
}

impl ChamberCase {
    /// What is to be said when the piece doesn't go in: the measure that fails, and the most of it
    /// that would go in.
    fn lacking(
        &self,
        ctx: &FindingContext<'_>,
        goes: impl Fn(&Chamber, FlatPiece) -> bool + Copy,
    ) -> Option<Finding> {
        let flat = self.flat;
        if goes(&self.chamber, flat) {
            return None;
        }
        let (case, piece) = (self.case, self.piece);
        let goes_if = |piece: FlatPiece| goes(&self.chamber, piece);
        let max = |with: fn(FlatPiece, f64) -> FlatPiece| {
            self.chamber.max_measure(|mm| with(flat, mm), goes)
        };
        let (what, measure, limit_mm, advice) =
            if goes_if(FlatPiece { length_mm: flat.width_mm.min(flat.length_mm), ..flat }) {
                // Where a narrower one of the same length goes in, slanted or not, that helps too.
                let narrow_mm = max(|f, mm| FlatPiece { width_mm: mm, ..f });
                let narrower = if narrow_mm >= MIN_USE_MM {
                    format!("; at its length, one up to {} wide would", ctx.length(narrow_mm))
                } else {
                    String::new()
                };
                let longer = if case == "quench tank" { "deeper" } else { "longer" };
                let advice = format!("Take a {longer} one, or make the {piece} shorter{narrower}.");
                let limit_mm = max(|f, mm| FlatPiece { length_mm: mm, ..f });
                ("long", flat.length_mm, limit_mm, advice)
            } else if goes_if(FlatPiece { width_mm: flat.thickness_mm, ..flat }) {
                let advice =
                    "Take one that is wider inside, or make the blank narrower.".to_owned();
                let limit_mm = max(|f, mm| FlatPiece { width_mm: mm, ..f });
                ("wide", flat.width_mm, limit_mm, advice)
            } else if goes_if(FlatPiece { thickness_mm: 0.0, ..flat }) {
                let limit_mm = max(|f, mm| FlatPiece { thickness_mm: mm, ..f });
                ("thick", flat.thickness_mm, limit_mm, "Take one with more room.".to_owned())
            } else {
                return Some(self.too_large(ctx));
            };
        let room = ctx.length(ctx.shop.limits.chamber_clearance_mm);
        let up_to = if limit_mm > 0.0 {
            format!("with {room} around it at most {} go in", ctx.length(limit_mm))
        } else {
            format!("with {room} around it nothing goes in")
        };
        let from = if piece == "blade" { " from tip to plunge line" } else { " overall" };
        let from = if what == "long" { from } else { "" };
        let sentence = format!(
            "The {piece}, {} {what}{from}, is too {what} for the {case}, {} inside: {up_to}. \
             {advice}",
            ctx.length(measure),
            inside(ctx, self.chamber),
        );
        let short = if limit_mm > 0.0 {
            let fits = ctx.brief(limit_mm);
            format!("The {piece} is too {what} for the {case}; at most {fits} goes in.")
        } else {
            format!("The {piece} is too {what} for the {case}.")
        };
        Some(self.finding(ctx, short, sentence, (measure, limit_mm)))
    }

    /// What is to be said when more than one measure fails.
    fn too_large(&self, ctx: &FindingContext<'_>) -> Finding {
        let (Self { case, piece, flat, .. }, clearance_mm) =
            (self, ctx.shop.limits.chamber_clearance_mm);
        let room = self.chamber.room_mm(clearance_mm);
        let sizes = [flat.length_mm, flat.width_mm, flat.thickness_mm];
        let worst = sizes.into_iter().zip(room).max_by(|a, b| (a.0 - a.1).total_cmp(&(b.0 - b.1)));
        let show = |sizes: [f64; 3]| sizes.map(|mm| ctx.length(mm)).join(" × ");
        let sentence = format!(
            "The {piece}, {}, is too large for the {case}, {} inside: with {} around it {} are \
             left. Take a larger one.",
            show(sizes),
            inside(ctx, self.chamber),
            ctx.length(clearance_mm),
            show(room),
        );
        let short = format!("The {piece} is too large for the {case}.");
        self.finding(ctx, short, sentence, worst.unwrap_or_default())
    }

    fn finding(
        &self,
        ctx: &FindingContext<'_>,
        short: String,
        sentence: String,
        (measured_mm, limit_mm): (f64, f64),
    ) -> Finding {
        let source = match ctx.source(&["chamber_clearance_mm"]) {
            super::THIS_SHOP => "the chamber's size and the room around it, both set in this shop",
            _ => {
                "the chamber's size in this shop, less the usual room around it (common practice, no source)"
            }
        };
        RULE.finding(Severity::Care, short, sentence)
            .case(self.case)
            .measured(LimitSide::AtMost, measured_mm, limit_mm, source)
            .about([PartId::Profile])
    }
}

/// Narrower than this no knife is made, mm.
const MIN_USE_MM: f64 = 5.0;

/// The inside of a chamber, in words.
fn inside(ctx: &FindingContext<'_>, chamber: Chamber) -> String {
    match chamber {
        Chamber::Box { width_mm, height_mm, length_mm } => format!(
            "{} wide, {} high and {} long",
            ctx.length(width_mm),
            ctx.length(height_mm),
            ctx.length(length_mm)
        ),
        Chamber::Round { diameter_mm, length_mm } => {
            format!("{} across and {} long", ctx.length(diameter_mm), ctx.length(length_mm))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::blank;
    use crate::tables::Tables;
    use crate::{Shop, reckon};

    fn message(shop: &Shop) -> Vec<String> {
        let findings = reckon(&blank(), shop, Tables::built_in()).findings;
        findings.into_iter().filter(|f| f.rule == RULE.key).map(|f| f.sentence).collect()
    }

    // The blank is 200 × 30 × 3.175; its edge ends at x 100.
    #[test]
    fn each_chamber_is_held_against_what_goes_into_it() {
        assert!(message(&Shop::default()).is_empty(), "nothing is known");
        let tube = |diameter_mm, length_mm| Some(Chamber::Round { diameter_mm, length_mm });
        // √(30² + 3.175²) = 30.17, and 6 mm on both sides.
        let roomy =
            Shop { forge: tube(42.2, 100.0), quench_tank: tube(43.0, 113.0), ..Shop::default() };
        assert_eq!(message(&roomy), Vec::<String>::new());
        let tight = Shop { forge: tube(42.1, 100.0), ..Shop::default() };
        // √(30.1² − 3.175²) = 29.93.
        assert!(message(&tight)[0].contains(
            "The blade, 30.00 mm wide, is too wide for the forge, 42.10 mm across and 100.00 mm \
             long inside: with 6.00 mm around it at most 29.93 mm go in"
        ));
        let short =
            Shop { forge: tube(60.0, 99.0), quench_tank: tube(43.0, 111.0), ..Shop::default() };
        assert!(message(&short)[0].contains("Move it to and fro"));
        assert!(message(&short)[1].contains("100.00 mm long from tip to plunge line, is too long"));
        assert!(message(&short)[1].contains("at most 99.00 mm go in. Take a deeper one"));
    }

    // The knife is 200 × 30 × 3.175; 6 mm of room on both sides of each measure.
    #[test]
    fn the_measure_that_fails_is_told_with_the_most_that_goes_in() {
        let oven = |width_mm, height_mm, length_mm| {
            let oven = Some(Chamber::Box { width_mm, height_mm, length_mm });
            message(&Shop { oven, ..Shop::default() })
        };
        assert_eq!(oven(100.0, 60.0, 212.0), Vec::<String>::new());
        let low = oven(30.0, 15.0, 400.0).remove(0);
        let both = "200.00 mm × 30.00 mm × 3.18 mm, is too large for the oven, 30.00 mm wide, 15.00 mm \
                    high and 400.00 mm long inside: with 6.00 mm around it 388.00 mm × 18.00 mm × \
                    3.00 mm are left.";
        assert!(low.contains(both), "{low}");
        let thick = oven(60.0, 15.0, 400.0).remove(0);
        assert!(thick.contains("too thick") && thick.contains("at most 3.00 mm go"), "{thick}");
        // 388 × 28 × 18 are left.
        let narrow = oven(40.0, 30.0, 400.0).remove(0);
        assert!(narrow.contains("at most 28.00 mm go in. Take one that"), "{narrow}");
        assert!(narrow.contains("30.00 mm wide, is too wide for the oven"), "{narrow}");
        let short = oven(130.0, 60.0, 190.0).remove(0);
        assert!(short.contains("200.00 mm long overall, is too long for the oven"), "{short}");
        assert!(short.contains("make the knife shorter; at its length, one up to"), "{short}");
        let tiny = oven(60.0, 60.0, 100.0).remove(0);
        assert!(!tiny.contains("one up to"), "{tiny}");
    }

    // Each of them is set aside for itself.
    #[test]
    fn setting_the_oven_aside_leaves_the_tank() {
        let tube = |diameter_mm, length_mm| Some(Chamber::Round { diameter_mm, length_mm });
        let shop =
            Shop { oven: tube(60.0, 100.0), quench_tank: tube(60.0, 90.0), ..Shop::default() };
        let findings = |knife: &knife::Knife| {
            let all = reckon(knife, &shop, Tables::built_in()).findings;
            all.into_iter().filter(|f| f.rule == RULE.key).collect::<Vec<_>>()
        };
        let oven = findings(&blank()).into_iter().find(|f| f.case == "oven").unwrap();
        let aside = oven.set_aside_edit("hardened elsewhere").apply(&blank()).unwrap();
        let message = findings(&aside);
        let aside =
            |case: &str| message.iter().find(|f| f.case == case).unwrap().set_aside.is_some();
        assert_eq!((message.len(), aside("oven"), aside("quench tank")), (2, true, false));
    }
}
