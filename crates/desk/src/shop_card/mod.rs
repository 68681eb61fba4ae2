//! The shop card: what the maker owns and the limits to work by, in typed fields.

mod fire;
pub(crate) mod keep;
mod limits;
mod printers;
mod stock;
mod tools;

use crate::canvas::Read;
use crate::command::{Commands, Wish};
use crate::field::{Drafts, Field};
use crate::session::Session;
use crate::theme::{self, Palette};
use egui::{ComboBox, RichText, ScrollArea, Ui};
use reckon::Shop;
use units::LengthUnit;

/// One page of the card.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ShopPage {
    /// Drills.
    #[default]
    Drills,
    /// Files, drums, dowels and saws.
    Tools,
    /// Pin stock and bars.
    Stock,
    /// Forge, quench tank and oven.
    Fire,
    /// Papers and printers.
    Printers,
    /// The limits that findings measure against.
    Limits,
}

impl ShopPage {
    const ALL: [(Self, &'static str); 6] = [
        (Self::Drills, "Drills"),
        (Self::Tools, "Files and saws"),
        (Self::Stock, "Steel and pins"),
        (Self::Fire, "Fire and oil"),
        (Self::Printers, "Printers"),
        (Self::Limits, "Limits"),
    ];
}

/// What a page may change, and what it needs for that.
struct Card<'a> {
    shop: &'a mut Shop,
    read: &'a Read<'a>,
    drafts: &'a mut Drafts,
}

impl Card<'_> {
    fn unit(&self) -> LengthUnit {
        self.read.knife.unit
    }

    fn palette(&self) -> &Palette {
        self.read.palette
    }

    /// A length that must lie within a range.
    fn length(
        &mut self,
        ui: &mut Ui,
        words: (&str, &str),
        value_mm: f64,
        range: &std::ops::RangeInclusive<f64>,
    ) -> Option<f64> {
        let (unit, palette) = (self.unit(), self.read.palette);
        let value = units::write_length(value_mm, unit);
        self.typed_length(ui, palette, words, value, range)
    }

    /// A length that isn't decided yet, or is left out by an empty field.
    fn typed_length(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        (name, about): (&str, &str),
        value: String,
        range: &std::ops::RangeInclusive<f64>,
    ) -> Option<f64> {
        let unit = self.unit();
        self.drafts.field(ui, palette, Field { name, about, value, width: 104.0 }, |text| {
            let length = units::parse_length(text, unit).map_err(|why| why.to_string())?;
            in_range(length.to_mm(), range, |mm| units::write_length(mm, unit))
        })
    }
}

/// A value within its range, or why it can't be.
fn in_range(
    value: f64,
    range: &std::ops::RangeInclusive<f64>,
    words: impl Fn(f64) -> String,
) -> Result<f64, String> {
    if range.contains(&value) {
        return Ok(value);
    }
    let (least, most) = (words(*range.start()), words(*range.end()));
    Err(format!("It must lie between {least} and {most}"))
}

/// Shows the card; a changed shop goes out as a wish.
pub(crate) fn ui(ui: &Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let Some(page) = session.shop else { return };
    let mut shop = read.derived.shop().clone();
    let screen = ui.ctx().content_rect();
    let mut over = false;
    let modal = theme::sheet(ui, "shop").show(ui.ctx(), |ui| {
        ui.set_width((screen.width() - 60.0).min(660.0));
        ui.heading("Shop");
        let about = "What is on hand, and the limits that findings go by. It is kept on this \
                     computer, not in the blank.";
        ui.label(RichText::new(about).color(read.palette.weak));
        ui.horizontal_wrapped(|ui| {
            for (other, name) in ShopPage::ALL {
                if ui.selectable_label(page == other, name).clicked() {
                    session.shop = Some(other);
                }
            }
        });
        ui.separator();
        let high = (screen.height() - 250.0).clamp(120.0, 460.0);
        let page_area = ScrollArea::vertical().max_height(high).min_scrolled_height(high);
        page_area.auto_shrink(false).id_salt(page).show(ui, |ui| {
            let mut card = Card { shop: &mut shop, read, drafts: &mut session.drafts };
            match page {
                ShopPage::Drills => tools::drills(ui, &mut card),
                ShopPage::Tools => tools::tools(ui, &mut card),
                ShopPage::Stock => stock::page(ui, &mut card),
                ShopPage::Fire => fire::page(ui, &mut card),
                ShopPage::Printers => printers::page(ui, &mut card),
                ShopPage::Limits => limits::page(ui, &mut card),
            }
        });
        ui.add_space(4.0);
        over = ui.button("Close").clicked();
    });
    if over || modal.should_close() {
        session.shop = None;
    }
    if shop != *read.derived.shop() {
        out.push(Wish::Shop(Box::new(shop)));
    }
}

/// A field with something beside it.
fn beside<T>(ui: &mut Ui, field: impl FnOnce(&mut Ui) -> T, more: impl FnOnce(&mut Ui)) -> T {
    ui.horizontal(|ui| {
        let wide = (ui.available_width() - BESIDE).max(200.0);
        let room = egui::vec2(wide, ui.spacing().interact_size.y);
        let given = ui.allocate_ui(room, |ui| ui.vertical(field).inner).inner;
        // In the middle of the field's height.
        ui.horizontal(more);
        given
    })
    .inner
}

/// Room beside a field, points.
const BESIDE: f32 = 290.0;

/// A list of things to add, told by their names; which was chosen.
fn add(ui: &mut Ui, words: &str, names: impl Iterator<Item = String>) -> Option<usize> {
    let mut chosen = None;
    let combo = ComboBox::from_id_salt(words).selected_text(words).width(240.0);
    let shown = combo.show_ui(ui, |ui| {
        for (i, name) in names.enumerate() {
            if ui.selectable_label(false, name).clicked() {
                chosen = Some(i);
            }
        }
    });
    shown.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, words));
    chosen
}

/// A button that takes an entry away.
fn remove(ui: &mut Ui, name: &str) -> bool {
    let button = ui.button("Remove");
    button.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Remove {name}"))
    });
    button.on_hover_text(format!("Take {name} out of the shop.")).clicked()
}
