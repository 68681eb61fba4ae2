//! Sheath: what the knife is carried in, laid round it on the canvas.

mod formed;
mod leather;

use crate::canvas::handles::DragHandle;
use crate::canvas::paint;
use crate::context::{CanvasContext, ViewContext};
use crate::text::trimmed;
use crate::widgets::{Field, Form};
use knife::{Edit, Hand, Sheath, SheathKind};
use kurbo::{BezPath, Point};
use reckon::SheathFigures;
use reckon::tables::{SheathStockKind, Tables};

/// What stands in a list of sizes while another size is typed.
const OTHER: &str = "custom size";

pub(crate) fn card(form: &mut Form<'_>) {
    let context = form.context;
    let Some(sheath) = &context.knife.sheath else {
        let text = "A sheath follows from the outline, the thickness and the handle.";
        let first = Sheath::usual(SheathKind::FoldedLeather, context.unit());
        return form.missing("No sheath yet", text, "Begin the sheath", Some(set(first)));
    };
    form.heading("Dimensions");
    kind(form, sheath);
    worn(form, sheath);
    match &sheath.body {
        knife::SheathBody::Leather(own) => leather::card(form, sheath, own),
        knife::SheathBody::Formed(own) => formed::card(form, sheath, own),
    }
    form.ui.add_space(4.0);
    form.edit_button(("Remove the sheath", ""), Edit::SetSheath(None));
    form.readings("Sheath", &["Kind"]);
    form.readings("Jigs", &[]);
}

fn set(sheath: Sheath) -> Edit {
    Edit::SetSheath(Some(sheath))
}

fn kind(form: &mut Form<'_>, sheath: &Sheath) {
    let unit = form.context.unit();
    let options = SheathKind::LABELS;
    let tooltip = "What it is made of, and whether one piece is folded about the spine or two are \
                   laid on each other.";
    form.pick(("Made as", tooltip), sheath.kind().label(), options, 190.0)
        .edit(|chosen| set(sheath.made_as(SheathKind::ALL[chosen], unit)));
    let hands = [(Hand::Right, "Right"), (Hand::Left, "Left")];
    let tooltip =
        "The hip it is worn at, the edge to the front: the belt loop goes on the other side.";
    form.choice(("Worn at the", tooltip), &hands, sheath.hand)
        .edit(|hand| set(Sheath { hand, ..sheath.clone() }));
}

/// How it sits on the knife.
fn worn(form: &mut Form<'_>, sheath: &Sheath) {
    let caption = (
        "Up the handle",
        "From the front of the scales (else the plunge line, else the heel) to the mouth.",
    );
    form.length(caption, sheath.cover_mm)
        .edit(|cover_mm| set(Sheath { cover_mm, ..sheath.clone() }));
    let caption =
        ("Room around the knife", "From the outline to the inner edge of welt or flange.");
    form.length(caption, sheath.clearance_mm)
        .edit(|clearance_mm| set(Sheath { clearance_mm, ..sheath.clone() }));
    let fits = [(false, "Straight out"), (true, "Close")];
    let tooltip = "Whether the knife comes straight out, or the sheath follows choil and finger groove \
                   and gives when it is drawn.";
    form.choice(("Drawn", tooltip), &fits, sheath.close_fit)
        .edit(|close_fit| set(Sheath { close_fit, ..sheath.clone() }));
    let caption = (
        "Relief over the scales",
        "Laid on each scale while the sheath is formed, so that a swollen handle still comes out.",
    );
    form.length(caption, sheath.relief_mm)
        .edit(|relief_mm| set(Sheath { relief_mm, ..sheath.clone() }));
    let caption = ("Drain hole", "At the tip; leave it empty for none.");
    form.optional_length(caption, sheath.drain_mm)
        .edit(|drain_mm| set(Sheath { drain_mm, ..sheath.clone() }));
}

/// The thickness: from a list of what is sold, or typed; and where it bends.
fn thickness(form: &mut Form<'_>, sheath: &Sheath, what: &str, kind: SheathStockKind) {
    let with = |thickness_mm| set(Sheath { thickness_mm, ..sheath.clone() });
    if let Some(mm) = stock(form, what, kind, sheath.thickness_mm) {
        form.actions.edit(with(mm));
    }
    let caption = ("Sheath thickness", "Of the leather or the sheet itself.");
    form.length(caption, sheath.thickness_mm).edit(with);
    if sheath.folded {
        let tooltip = "Where the length stays the same when it bends, share of the thickness from \
                       the inside: 0.5, the middle, if left empty.";
        let field = Field::new(("Neutral line at", tooltip), trimmed(sheath.neutral(), 3));
        let parse = |text: &str| {
            let text = text.trim();
            if text.is_empty() {
                return Ok(None);
            }
            let share = text.replace(',', ".").parse::<f64>().ok().filter(|n| n.is_finite());
            share.map(Some).ok_or_else(|| format!("\"{text}\" isn't a share from 0 to 1"))
        };
        form.field(field.width(60.0), parse)
            .edit(|neutral| set(Sheath { neutral, ..sheath.clone() }));
    }
    let caption = ("Sheath material", "As your shop calls it; it goes on the list of materials.");
    form.text(caption, sheath.material.as_deref().unwrap_or_default()).edit(|name| {
        let material = Some(name).filter(|name| !name.is_empty());
        set(Sheath { material, ..sheath.clone() })
    });
}

/// A list of the sizes that something is sold in; the size that was chosen anew, mm.
fn stock(form: &mut Form<'_>, label: &str, kind: SheathStockKind, now_mm: f64) -> Option<f64> {
    let unit = form.context.unit();
    let sizes: Vec<_> = Tables::built_in().sheath_sizes(kind, Some(unit)).collect();
    let names: Vec<&str> = sizes.iter().map(|size| size.name.as_str()).collect();
    let same = |mm: f64| (mm - now_mm).abs() < 1e-3;
    let now = sizes.iter().find(|size| same(size.size_mm)).map_or(OTHER, |size| &size.name);
    let source = sizes.first().map_or("", |size| size.origin.source.as_str());
    let tooltip = format!("As it is sold ({source}).");
    let chosen = form.pick((label, &tooltip), now, &names, 130.0).value?;
    sizes.get(chosen).map(|size| size.size_mm)
}

/// The closed sheath, filled so that the knife in it is seen.
pub(crate) fn paint_closed(cx: &CanvasContext<'_>) {
    let Some(figures) = figures(cx.context) else { return };
    let back = cx.knife_view.plane_from_knife * figures.lay.inverse();
    let mut path = BezPath::new();
    for (i, p) in figures.closed().into_iter().enumerate() {
        if i == 0 { path.move_to(back * p) } else { path.line_to(back * p) }
    }
    path.close_path();
    let palette = cx.context.palette;
    let fill = palette.wood.gamma_multiply(0.6);
    cx.ui.painter().extend(paint::filled(&cx.knife_view.view, &path, fill, fill));
}

/// The sheath as it is worked out.
pub(crate) fn figures<'a>(context: &ViewContext<'a>) -> Option<&'a SheathFigures> {
    match &context.reckoning().sheath {
        Some(Ok(figures)) => Some(figures),
        _ => None,
    }
}

/// The mouth is dragged along the handle.
pub(super) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let context = cx.context;
    let (Some(sheath), Some(found)) = (&context.knife.sheath, figures(context)) else { return };
    let back = found.lay.inverse();
    let depth = found.rim.last().map_or(0.0, |p| p.y);
    let at = back * Point::new(found.mouth_mm, depth / 2.0);
    // Towards the butt it covers more, whichever way the knife lies.
    let along = (back * Point::new(1.0, 0.0) - back * Point::ORIGIN).x.signum();
    let cover_mm = sheath.cover_mm;
    cx.drag_handle(
        &DragHandle::across("Mouth of the sheath", at),
        |_, by| {
            let cover_mm = (cover_mm + along * by.x).clamp(0.0, *knife::limits::COVER_MM.end());
            set(Sheath { cover_mm, ..sheath.clone() })
        },
        || format!("{} up the handle", context.length(cover_mm)),
    );
}
