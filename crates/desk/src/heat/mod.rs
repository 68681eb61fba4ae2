//! Heat and finish: how the blade is hardened, tempered and finished, with the temper chart.

mod chart;

use crate::canvas::Read;
use crate::command::Commands;
use crate::field::Field;
use crate::findings::told_here;
use crate::session::Session;
use crate::stations::readings::readings;
use crate::stations::{choose, pick, quiet};
use crate::theme;
use egui::{RichText, ScrollArea, Ui};
use knife::limits::{HARDNESS_HRC, TEMPER_C};
use knife::{Edit, Finish, Heating, Temper};
use reckon::tables::Tables;
use units::{LengthUnit, Temperature, show_number};

/// What stands for no finish.
const NONE: &str = "not chosen";
/// The rules whose findings are told here as well as along the bottom.
const RULES: [&str; 5] =
    ["temper-unknown", "temper-brittle", "edge-before-hardening", "warp-margin", "does-not-go-in"];

/// Shows the card.
pub(crate) fn ui(ui: &Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    if !session.heat {
        return;
    }
    let screen = ui.ctx().content_rect();
    let mut over = false;
    let modal = theme::sheet(ui, "heat").show(ui.ctx(), |ui| {
        ui.set_width((screen.width() - 60.0).min(660.0));
        ui.heading("Heat and finish");
        let about = "Hardened, tempered and finished: nothing of it need be decided. The sheet \
                     \"Heat, temper, finish\" tells it step by step.";
        ui.label(RichText::new(about).color(read.palette.weak));
        ui.separator();
        let high = (screen.height() - 230.0).clamp(120.0, 560.0);
        let area = ScrollArea::vertical().max_height(high).min_scrolled_height(high);
        area.auto_shrink(false).id_salt("heat").show(ui, |ui| {
            chosen(ui, read, session, out);
            ui.add_space(6.0);
            chart::show(ui, read);
            for finding in &read.derived.reckoning.findings {
                if RULES.contains(&finding.rule) {
                    told_here(ui, finding, read.palette);
                }
            }
            readings(ui, read, |title| title == "Heat and finish", &[]);
        });
        ui.add_space(4.0);
        over = ui.button("Close").clicked();
    });
    if over || modal.should_close() {
        session.heat = false;
    }
}

/// What is decided: heating, temper, finish.
fn chosen(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, treatment) = (read.palette, read.knife.treatment);
    let heatings = [
        (None, "Not decided"),
        (Some(Heating::OpenForge), "Open forge"),
        (Some(Heating::Oven), "Oven"),
    ];
    let about = "How the blade is heated for hardening: by eye and magnet, or in an oven that \
                 holds a heat.";
    if let Some(heating) = choose(ui, ("Heated in", about), &heatings, treatment.heating, p) {
        out.edit(Edit::ChooseHeating(heating));
    }
    let (hardness, heat) = begun(read);
    let tempers = [(None, "Left open"), (Some(hardness), "Hardness"), (Some(heat), "Heat")];
    let about = "By the hardness it is to give, or by its own heat.";
    if let Some(temper) = choose(ui, ("Temper by", about), &tempers, treatment.temper, p) {
        out.edit(Edit::ChooseTemper(temper));
    }
    match treatment.temper {
        None => {}
        Some(Temper::Hardness(hrc)) => {
            let about = "Rockwell, scale C. The heats that give it follow from the steel's tables.";
            let value = format!("{} HRC", plain(hrc));
            let field = Field { name: "Hardness wanted", about, value, width: 104.0 };
            if let Some(hrc) = session.drafts.field(ui, p, field, read_hardness) {
                out.edit(Edit::ChooseTemper(Some(Temper::Hardness(hrc))));
            }
        }
        Some(Temper::Heat(celsius)) => {
            let value = heat_text(celsius, read.knife.unit);
            let about = "Of the oven, with its unit: 400 F or 205 C.";
            let field = Field { name: "Temper heat", about, value, width: 104.0 };
            let typed = session.drafts.field(ui, p, field, |text| {
                units::parse_temperature(text)
                    .map(Temperature::to_celsius)
                    .map_err(|e| e.to_string())
            });
            if let Some(celsius) = typed {
                out.edit(Edit::ChooseTemper(Some(Temper::Heat(celsius))));
            }
        }
    }
    let words: Vec<&str> = std::iter::once(NONE).chain(Finish::ALL.map(Finish::label)).collect();
    let now = treatment.finish.map_or(NONE, Finish::label);
    let about = "Of the blade: the grits up to it stand below and on the sheet.";
    if let Some(at) = pick(ui, ("Finish", about), now, &words, 168.0) {
        out.edit(Edit::ChooseFinish(at.checked_sub(1).map(|at| Finish::ALL[at])));
    }
    if Tables::built_in().steel(&read.knife.bar.grade).is_none()
        && read.derived.shop().own_steel(&read.knife.bar.grade).is_none()
    {
        quiet(ui, "No table has this steel. A shop file can give it, with its source.", p);
    }
}

/// A temper of each kind: the one that is chosen, or one to begin with. A hardness leads to the
/// heat it asks for and back; else the middle of what the steel's tables have.
fn begun(read: &Read<'_>) -> (Temper, Temper) {
    let heat = &read.derived.reckoning.heat;
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
    match read.knife.treatment.temper {
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
        LengthUnit::Inch => format!("{} °F", plain(heat.to_fahrenheit())),
        LengthUnit::Millimetre => format!("{} °C", plain(heat.to_celsius())),
    }
}

/// A number with at most one place, without a nought behind.
fn plain(number: f64) -> String {
    let text = show_number(number, 1);
    text.strip_suffix(".0").map_or(text.clone(), ToOwned::to_owned)
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
