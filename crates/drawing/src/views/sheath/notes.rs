//! What is said beside the sheath: how to lay it, what to cut from what, what to mind.

use knife::{Hand, Knife, SheathBody};
use reckon::tables::Tables;
use reckon::{Reckoning, SheathFigures};

/// Short lines for beside the pieces.
pub fn sheath_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let Some(Ok(figures)) = &reckoning.sheath else {
        return vec![
            "No sheath: none is stated, or it can't be laid round this knife; see the findings."
                .to_owned(),
        ];
    };
    let notes = Notes { knife, figures };
    let mut all = vec![
        "Measure rulers and square before you trust it. Rough-cut the paper, glue it to card or stick \
         it on, cut along the full line; prick every hole of the row through it."
            .to_owned(),
    ];
    let bounds = figures.body.outline.bounds();
    all.push(format!(
        "Main piece: {} × {} over all; measure it on the paper.",
        units::show_in_both(bounds.width(), knife.unit),
        units::show_in_both(bounds.height(), knife.unit)
    ));
    match &figures.stated.body {
        SheathBody::Leather(_) => all.extend(notes.leather()),
        SheathBody::Formed(_) => all.extend(notes.formed()),
    }
    let concerns_sheath = |finding: &&reckon::Finding| finding.rule.starts_with("sheath-");
    all.extend(reckoning.findings.iter().filter(concerns_sheath).map(reckon::Finding::message));
    let keys: &[&str] = if figures.thread_mm.is_some() {
        &["leather-knife", "awl", "contact-glue", "leather-dust", "sheath-rust", "sheath-try"]
    } else {
        &["forming", "forming-edge", "handle-dust", "sheath-try"]
    };
    let tables = Tables::built_in();
    let cautions = keys.iter().filter_map(|key| tables.caution(key));
    all.extend(cautions.map(|row| row.sentence_in(knife.unit)));
    all
}

struct Notes<'a> {
    knife: &'a Knife,
    figures: &'a SheathFigures,
}

impl Notes<'_> {
    /// A small length in the maker's unit.
    fn fine(&self, mm: f64) -> String {
        units::show_decimal(mm, self.knife.unit, (2, 3))
    }

    /// How thick, with the leather trade's name for it.
    fn thickness(&self) -> String {
        let mm = self.figures.stated.thickness_mm;
        match Tables::built_in().leather_ounces(mm) {
            Some(ounces) if self.figures.thread_mm.is_some() => {
                format!("{} ({ounces})", self.fine(mm))
            }
            _ => self.fine(mm),
        }
    }

    fn fold(&self) -> String {
        let bend = &self.figures.development.bend;
        format!(
            "Fold: between the dashed lines {} for half a turn of radius {} about the spine, neutral line \
             {} deep.",
            self.fine(bend.allowance_mm),
            self.fine(bend.radius_mm),
            self.fine(bend.neutral_mm)
        )
    }

    fn leather(&self) -> Vec<String> {
        let (figures, row) = (self.figures, &self.figures.row);
        let mut notes = Vec::new();
        let back = match figures.stated.hand {
            Hand::Right => "right hip, the knife's left side showing",
            Hand::Left => "left hip, the knife's right side showing",
        };
        if figures.stated.folded {
            notes.push(format!("Leather {} thick; worn on the {back}.", self.thickness()));
            notes.push(self.fold());
        } else {
            notes.push(format!(
                "Two pieces of leather {} thick, the second one the mirror image; worn on the {back}.",
                self.thickness()
            ));
        }
        if let Some(leather) = figures.stated.leather() {
            notes.push(format!(
                "Welt {} broad between both sides, glued flesh side to flesh side outside the inner \
                 line; {} of it keep the edge from the stitches.",
                self.fine(leather.welt_width_mm),
                self.fine(figures.guard_mm)
            ));
            notes.push(format!(
                "Stitches {} from the rim: {} of {} ({} to the inch) on {}; the same holes through \
                 both sides and the welt.",
                self.fine(leather.stitch_margin_mm),
                row.steps,
                self.fine(row.pitch_mm),
                units::show_number(figures.per_inch(), 1),
                self.fine(row.length_mm)
            ));
        }
        let own_mm = figures.belt_loop.as_ref().map_or(0.0, |own| own.thread_mm);
        if let Some(thread_mm) = figures.thread_mm {
            notes.push(format!(
                "Thread for saddle stitch: {} for the row{}; {} of each is left over at its two ends \
                 together (common practice, no source).",
                reckon::show_thread(thread_mm, self.knife.unit),
                if own_mm > 0.0 {
                    format!(", {} for the belt loop", reckon::show_thread(own_mm, self.knife.unit))
                } else {
                    String::new()
                },
                reckon::show_thread(reckon::THREAD_TAILS_MM, self.knife.unit)
            ));
        }
        if figures.belt_loop.is_some() {
            notes.push(
                "Belt loop first: fold the strip, lay both tabs on the dashed box on the outside of the \
                 back, stitch through all three layers before you close the sheath."
                    .to_owned(),
            );
        }
        notes
    }

    fn formed(&self) -> Vec<String> {
        let figures = self.figures;
        let (long, broad) = figures.blank_mm;
        let each = if figures.stated.folded { "One sheet" } else { "Two sheets" };
        let mut notes = vec![format!(
            "{each} of {} × {}, {} thick, before it is formed; this line is the finished rim.",
            self.fine(long),
            self.fine(broad),
            self.thickness()
        )];
        if figures.stated.folded {
            notes.push(self.fold());
        }
        if figures.stated.relief_mm > 0.0 {
            notes.push(format!(
                "Relief: {} of tape on each scale up to the mouth while it is formed.",
                self.fine(figures.stated.relief_mm)
            ));
        }
        if let Some(formed) = figures.stated.formed() {
            notes.push(format!(
                "Eyelets: holes of {}, {} from the knife's outline to their middle, {} from there to the \
                 rim; drill both sides together.",
                self.fine(formed.eyelet_mm),
                self.fine(formed.eyelet_offset_mm),
                self.fine(formed.eyelet_margin_mm)
            ));
            if let Some(ramp) = formed.ramp {
                notes.push(format!(
                    "Thumb ramp: the lip at the mouth stands out {} beside the spine; warm it and bend it \
                     away from the knife.",
                    self.fine(ramp.rise_mm)
                ));
            }
        }
        if figures.catch_mm > 0.0 {
            notes.push(format!(
                "It gives by {} before the knife comes out: that holds it.",
                self.fine(figures.catch_mm)
            ));
        }
        notes
    }
}
