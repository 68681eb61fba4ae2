//! Which sheets share a page: chosen from a list, or a sheet's name dragged from page to page.

use crate::context::ViewContext;
use crate::state::{PrintState, Toasts, View};
use crate::theme::{Palette, bold};
use crate::widgets::Form;
use egui::{Rect, RichText, Sense, Stroke, StrokeKind, Ui, pos2, vec2};
use sheets::sharing::{PaperLayout, Sharing, may_share, place_alone, place_beside};

/// Height of a sheet's name above its page, points.
pub(super) const NAME_HIGH: f32 = 20.0;
/// Between two names over one page, points: two sheets must not read as one.
const NAMES_APART: f32 = 14.0;

/// The list of the card, and what came of it; whether another was chosen.
pub(super) fn list(form: &mut Form<'_>, print: &mut PrintState) -> bool {
    let palette = form.context.palette;
    let tooltip = print.sharing.command_line_value().map_or_else(
        || "Which sheets are printed on one page.".to_owned(),
        |words| format!("Which sheets are printed on one page. On the command line: {words}."),
    );
    let label = |sharing: &Sharing| match sharing {
        Sharing::Apart => "None",
        Sharing::Room => "Where there is room",
        Sharing::Arranged(_) => "As arranged",
    };
    form.ui.add_space(4.0);
    let mut choices = vec![Sharing::Apart, Sharing::Room];
    if let Sharing::Arranged(_) = print.sharing {
        choices.push(print.sharing.clone());
    }
    let labels: Vec<&str> = choices.iter().map(label).collect();
    let now = label(&print.sharing);
    let entries = labels.iter().map(|label| (*label, String::new(), *label == now));
    let (chosen, response) = form.list(("Share a page", &tooltip), now, entries, 150.0);
    response.on_hover_text(&tooltip);
    let chosen = chosen.filter(|chosen| choices[*chosen] != print.sharing);
    if let Some(chosen) = chosen {
        print.sharing = choices.swap_remove(chosen);
    }
    form.note(
        "To print two sheets on one page, drag the name of one onto the other's page. Drag it \
         back onto the bench to give it a page of its own again.",
    );
    if let Some(Ok(layout)) = form.context.derived.pages() {
        for reason in &layout.without_room {
            let text = format!("Not printed: {reason}");
            form.ui.label(RichText::new(text).color(palette.stop));
        }
        for reason in &layout.apart {
            form.ui.label(RichText::new(reason).color(palette.care));
        }
    }
    chosen.is_some()
}

/// A page on the bench.
pub(super) struct PlacedPage {
    /// The key of its sheet, or of the first that share it.
    pub(super) key: &'static str,
    /// Its place, mm.
    pub(super) place: kurbo::Rect,
}

/// What is done with a sheet.
enum Move {
    Beside(&'static str),
    Alone,
}

/// The names of the sheets above the first page of each, to be dragged or clicked; whether one
/// was moved.
pub(super) fn names(
    ui: &Ui,
    context: &ViewContext<'_>,
    print: &mut PrintState,
    toasts: &mut Toasts,
    view: &View,
    all: &[PlacedPage],
) -> bool {
    let Some(Ok(layout)) = context.derived.pages() else { return false };
    // Shown where the maker looks, once: the card may be scrolled elsewhere.
    if print.apart != layout.apart {
        if let Some(new) = layout.apart.iter().find(|reason| !print.apart.contains(reason)) {
            toasts.push(new);
        }
        print.apart.clone_from(&layout.apart);
    }
    let mut done = None;
    let mut seen: Vec<&str> = Vec::new();
    for page in all {
        let keys = layout.keys.iter().find(|keys| keys.first() == Some(&page.key));
        let Some(keys) = keys.filter(|_| !seen.contains(&page.key)) else { continue };
        seen.push(page.key);
        let shown = view.ui_rect(page.place);
        let mut x = shown.min.x;
        #[expect(clippy::cast_precision_loss, reason = "nine sheets at most")]
        let many = keys.len() as f32;
        // The last one ends a little before its page does.
        let widest = ((shown.width() - 4.0 - (many - 1.0) * NAMES_APART) / many).max(8.0);
        for key in keys {
            let name = Name { key, title: title(context, key), left: pos2(x, shown.min.y), widest };
            let (wide, moved) = name.show(ui, context, view, layout, all);
            x += wide + NAMES_APART;
            done = moved.map(|moved| (*key, moved)).or(done);
        }
    }
    let Some((key, moved)) = done else { return false };
    let all: Vec<&str> = context.derived.sheets.iter().map(|(key, _)| *key).collect();
    // What lies there is where an arrangement begins.
    let placed = layout.keys.iter().map(|keys| keys.iter().map(|key| (*key).to_owned()).collect());
    let mut pages = match print.sharing.among(&all) {
        Sharing::Arranged(pages) => pages,
        Sharing::Apart | Sharing::Room => placed.collect(),
    };
    match moved {
        Move::Beside(other) => place_beside(&mut pages, key, other),
        Move::Alone => place_alone(&mut pages, key),
    }
    print.sharing = Sharing::Arranged(pages);
    true
}

fn title<'a>(context: &'a ViewContext<'_>, key: &str) -> &'a str {
    let found = context.derived.sheets.iter().find(|(other, _)| *other == key);
    found.map_or("", |(_, title)| title.as_str())
}

/// A sheet's name above its page.
struct Name<'a> {
    key: &'static str,
    title: &'a str,
    /// The lower left corner, points.
    left: egui::Pos2,
    widest: f32,
}

impl Name<'_> {
    /// How wide it is, points, and what was done with its sheet.
    fn show(
        &self,
        ui: &Ui,
        context: &ViewContext<'_>,
        view: &View,
        layout: &PaperLayout,
        all: &[PlacedPage],
    ) -> (f32, Option<Move>) {
        let p = context.palette;
        let movable = may_share(self.key);
        let font = bold(13.0);
        let mut job = egui::text::LayoutJob::simple_singleline(self.title.to_owned(), font, p.text);
        job.wrap = egui::text::TextWrapping::truncate_at_width(self.widest);
        let galley = ui.painter().layout_job(job);
        let size = vec2(galley.size().x, NAME_HIGH);
        let rect = Rect::from_min_size(self.left - vec2(0.0, NAME_HIGH), size);
        let sense = if movable { Sense::click_and_drag() } else { Sense::hover() };
        let shown = rect.intersect(view.rect);
        let response = ui.interact(shown, ui.make_persistent_id(("sheet", self.key)), sense);
        let role = if movable { egui::Role::Button } else { egui::Role::Label };
        let spoken = format!("Sheet {}", self.title);
        response.widget_info(|| egui::WidgetInfo::labeled(role, true, &spoken));
        let near = movable && (response.hovered() || response.has_focus() || response.dragged());
        let colour = match (movable, near) {
            (false, _) => p.weak,
            (true, false) => p.text,
            (true, true) => p.accent,
        };
        let painter = ui.painter().with_clip_rect(view.rect);
        let at = pos2(rect.min.x, rect.center().y - galley.size().y / 2.0);
        painter.galley_with_override_text_color(at, galley, colour);
        if near {
            painter.hline(rect.x_range(), rect.max.y - 2.0, Stroke::new(1.0, colour));
        }
        if !movable {
            return (size.x, None);
        }
        let mut done = self.dragged(ui, p, view, layout, all, &response);
        egui::Popup::menu(&response).show(|ui| {
            done = self.menu(ui, context, layout).or(done.take());
        });
        response.on_hover_cursor(egui::CursorIcon::Grab).on_hover_text(
            "Drag it onto another page to print both on one; click it to select it.",
        );
        (size.x, done)
    }

    /// Which of the others it can be put beside, each by the first of its page.
    fn others<'a>(&self, layout: &'a PaperLayout) -> impl Iterator<Item = &'a Vec<&'static str>> {
        let key = self.key;
        layout
            .keys
            .iter()
            .filter(move |keys| keys.iter().all(|other| may_share(other)) && !keys.contains(&key))
    }

    fn shares(&self, layout: &PaperLayout) -> bool {
        layout.keys.iter().any(|keys| keys.len() > 1 && keys.contains(&self.key))
    }

    /// What can be done with it, in words.
    fn menu(&self, ui: &mut Ui, context: &ViewContext<'_>, layout: &PaperLayout) -> Option<Move> {
        let mut done = None;
        for keys in self.others(layout) {
            let titles: Vec<&str> = keys.iter().map(|key| title(context, key)).collect();
            if ui.button(format!("Beside {}", titles.join(", "))).clicked() {
                done = keys.first().map(|key| Move::Beside(key));
                ui.close();
            }
        }
        let alone = egui::Button::new("On a page of its own");
        if ui.add_enabled(self.shares(layout), alone).clicked() {
            done = Some(Move::Alone);
            ui.close();
        }
        done
    }

    /// Shows where it would go while it is dragged, and puts it there at the end.
    fn dragged(
        &self,
        ui: &Ui,
        p: &Palette,
        view: &View,
        layout: &PaperLayout,
        all: &[PlacedPage],
        response: &egui::Response,
    ) -> Option<Move> {
        let at = response.interact_pointer_pos()?;
        let ends = response.drag_stopped();
        if !(response.dragged() || ends) {
            return None;
        }
        if ui.input(|input| input.key_pressed(egui::Key::Escape)) {
            ui.ctx().stop_dragging();
            return None;
        }
        let place = view.mm_from_ui(at);
        let under = all.iter().find(|page| page.place.contains(place)).map(|page| page.key);
        let beside = under.filter(|key| self.others(layout).any(|keys| keys.first() == Some(key)));
        if ends {
            return match (under, beside) {
                (_, Some(key)) => Some(Move::Beside(key)),
                (None, None) if self.shares(layout) => Some(Move::Alone),
                _ => None,
            };
        }
        ui.ctx().set_cursor_icon(if beside.is_some() || under.is_none() && self.shares(layout) {
            egui::CursorIcon::Grabbing
        } else {
            egui::CursorIcon::NoDrop
        });
        let painter = ui.ctx().layer_painter(egui::LayerId::new(
            egui::Order::Tooltip,
            egui::Id::unique("sheet in the hand"),
        ));
        let edge = painter.with_clip_rect(view.rect);
        for page in all.iter().filter(|page| Some(page.key) == beside) {
            let rect = view.ui_rect(page.place);
            edge.rect_stroke(rect, 0.0, Stroke::new(3.0, p.accent), StrokeKind::Outside);
        }
        let galley = painter.layout_no_wrap(self.title.to_owned(), bold(13.0), p.tag_text);
        let tag = Rect::from_min_size(at + vec2(12.0, 8.0), galley.size() + vec2(12.0, 6.0));
        painter.rect_filled(tag, 3.0, p.tag);
        painter.galley(tag.min + vec2(6.0, 3.0), galley, p.tag_text);
        None
    }
}
