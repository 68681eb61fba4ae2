//! Heat and finish: how the blade is hardened, tempered and finished, with the temper chart.

mod chart;

use crate::context::ViewContext;
use crate::panels::findings::finding_row;
use crate::text::trimmed;
use crate::widgets::{Field, Form, modal, width_up_to};
use egui::{RichText, ScrollArea};
use knife::limits::{HARDNESS_HRC, TEMPER_C};
use knife::{Edit, Finish, Heating, Temper};
use reckon::tables::Tables;
use units::{LengthUnit, Temperature};

/// What stands for no finish.
const NONE: &str = "not chosen";
/// The rules whose findings are shown here as well as along the bottom.
const RULES: [&str; 5] =
    ["temper-unknown", "temper-brittle", "edge-before-hardening", "warp-margin", "does-not-go-in"];

/// Shows the card; whether it stays open.
pub(super) fn ui(form: &mut Form<'_>) -> bool {
    let context = form.context;
    let high = (form.ui.ctx().content_rect().height() - 230.0).clamp(120.0, 560.0);
    let Form { ui, state, actions, .. } = form;
    modal(ui, "heat", width_up_to(ui, 660.0, 60.0), |ui| {
        ui.heading("Heat and finish");
        let text = "Hardening, tempering and finish: all of it may be left open. The sheet \
                    \"Heat, temper, finish\" gives the steps.";
        ui.label(RichText::new(text).color(context.palette.weak));
        ui.separator();
        let area = ScrollArea::vertical().max_height(high).min_scrolled_height(high);
        area.auto_shrink(false).id_salt("heat").show(ui, |ui| {
            let form = &mut Form { ui, context, state, actions };
            decisions(form);
            form.ui.add_space(6.0);
            chart::show(form.ui, context);
            let findings = &context.reckoning().findings;
            for finding in findings.iter().filter(|finding| RULES.contains(&finding.rule)) {
                finding_row(form.ui, finding, context.palette);
            }
            form.readings("Heat and finish", &[]);
        });
        ui.add_space(4.0);
        ui.button("Close").clicked()
    })
}

/// What is decided: heating, temper, finish.
fn decisions(form: &mut Form<'_>) {
    let context = form.context;
    let treatment = context.knife.treatment;
    let heatings = [
        (None, "Not decided"),
        (Some(Heating::OpenForge), "Open forge"),
        (Some(Heating::Oven), "Oven"),
    ];
    let tooltip = "How the blade is heated for hardening: by eye and magnet, or in an oven that \
                   holds a temperature.";
    form.choice(("Heated in", tooltip), &heatings, treatment.heating).edit(Edit::ChooseHeating);
    let (hardness, heat) = first_tempers(context);
    let tempers = [(None, "Left open"), (Some(hardness), "Hardness"), (Some(heat), "Temperature")];
    let tooltip = "By the hardness wanted, or by a temperature of your own.";
    form.choice(("Temper by", tooltip), &tempers, treatment.temper).edit(Edit::ChooseTemper);
    match treatment.temper {
        None => {}
        Some(Temper::Hardness(hrc)) => {
            let tooltip =
                "Rockwell, scale C. The temperatures that give it follow from the steel's tables.";
            let value = format!("{} HRC", trimmed(hrc, 1));
            form.field(Field::new(("Hardness wanted", tooltip), value), read_hardness)
                .edit(|hrc| Edit::ChooseTemper(Some(Temper::Hardness(hrc))));
        }
        Some(Temper::Heat(celsius)) => {
            let caption = ("Tempering temperature", "Of the oven, with its unit: 400 F or 205 C.");
            let parse = |text: &str| {
                let read = units::parse_temperature(text).map(Temperature::to_celsius);
                read.map_err(|why| why.to_string())
            };
            let value = heat_text(celsius, context.unit());
            form.field(Field::new(caption, value), parse)
                .edit(|celsius| Edit::ChooseTemper(Some(Temper::Heat(celsius))));
        }
    }
    let names: Vec<&str> = std::iter::once(NONE).chain(Finish::ALL.map(Finish::label)).collect();
    let now = treatment.finish.map_or(NONE, Finish::label);
    let tooltip = "Of the blade: the grits up to it stand below and on the sheet.";
    if let Some(at) = form.pick(("Finish", tooltip), now, &names, 168.0).value {
        let finish = at.checked_sub(1).map(|at| Finish::ALL[at]);
        form.actions.edit(Edit::ChooseFinish(finish));
    }
    let grade = &context.knife.bar.grade;
    if Tables::built_in().steel(grade).is_none() && context.shop().own_steel(grade).is_none() {
        form.note("No table has this steel. A shop file can add it, with its source.");
    }
}

/// A temper of each kind: the one that is chosen, or one to begin with. A hardness leads to the
/// heat it asks for and back; else the middle of what the steel's tables have.
fn first_tempers(context: &ViewContext<'_>) -> (Temper, Temper) {
    let heat = &context.reckoning().heat;
    let curve = heat.steel.as_ref().map(|steel| &steel.curve);
    let middle = |range: Option<(f64, f64)>, limits: &std::ops::RangeInclusive<f64>| {
        let (low, high) = range.unwrap_or((*limits.start(), *limits.end()));
        f64::midpoint(low, high).round()
    };
    let worked = heat.temper.as_ref().and_then(|temper| temper.as_ref().ok());
    let hrc = worked.map(|temper| temper.hrc).or(curve.and_then(reckon::heat::TemperCurve::hrc));
    let at = worked.map(|temper| temper.heats_c);
    let at = at.or(curve.and_then(reckon::heat::TemperCurve::heats_c));
    let (hardness, celsius) = (middle(hrc, &HARDNESS_HRC), middle(at, &TEMPER_C));
    match context.knife.treatment.temper {
        Some(Temper::Hardness(hrc)) => (Temper::Hardness(hrc), Temper::Heat(celsius)),
        Some(Temper::Heat(celsius)) => (Temper::Hardness(hardness), Temper::Heat(celsius)),
        None => (Temper::Hardness(hardness), Temper::Heat(celsius)),
    }
}

/// Reads a hardness: `60`, `60.5 HRC`.
fn read_hardness(text: &str) -> Result<f64, String> {
    let lower = text.trim().to_lowercase().replace(',', ".");
    let bare = lower.trim_end_matches("hrc").trim();
    let read = bare.parse::<f64>().ok().filter(|hrc| hrc.is_finite());
    read.ok_or_else(|| format!("\"{}\" isn't a hardness; type one like 60 HRC", text.trim()))
}

/// A heat as it is typed, in the scale of those who read in this unit.
fn heat_text(celsius: f64, unit: LengthUnit) -> String {
    let heat = Temperature::celsius(celsius);
    match unit {
        LengthUnit::Inch => format!("{} °F", trimmed(heat.to_fahrenheit(), 1)),
        LengthUnit::Millimetre => format!("{} °C", trimmed(heat.to_celsius(), 1)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hardness_is_read_with_its_scale_or_without() {
        for text in ["60.5", "60.5 HRC", " 60,5 hrc "] {
            assert_eq!(read_hardness(text), Ok(60.5), "{text}");
        }
        for text in ["hard", "", "HRC", "nan", "60 mm"] {
            assert!(read_hardness(text).unwrap_err().contains("isn't a hardness"), "{text}");
        }
    }

    /// 400 °F is 204.4 °C (the scales' own definition, by hand).
    #[test]
    fn a_heat_is_told_in_the_scale_that_goes_with_the_unit() {
        let celsius = 1840.0 / 9.0;
        assert_eq!(heat_text(celsius, LengthUnit::Inch), "400 °F");
        assert_eq!(heat_text(celsius, LengthUnit::Millimetre), "204.4 °C");
    }
}
