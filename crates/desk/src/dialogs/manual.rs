//! The manual in a window of its own: the list of its pages, and the one that is read.

use crate::state::{ManualReader, PictureTexture};
use crate::theme::{Palette, bold, typed};
use crate::widgets::{modal, width_up_to};
use egui::text::LayoutJob;
use egui::{
    ColorImage, FontId, Image, RichText, ScrollArea, TextFormat, TextureFilter, TextureHandle,
    TextureOptions, Ui,
};
use image::ImageFormat;
use manual::{Block, PAGES, Page, Span};
use std::collections::BTreeMap;

/// A table is laid out for so many characters a line.
const TABLE_WIDE: usize = 76;
/// Size of running text and of what is typed, points.
const SIZE: f32 = 15.5;
const TYPED: f32 = 14.5;

/// Shows the page that is open, or another that was chosen; whether it stays open.
pub(super) fn ui(ui: &Ui, reader: &mut ManualReader, palette: &Palette) -> bool {
    let ManualReader { page: open, pictures } = reader;
    let mut wanted = *open;
    let tall = ui.ctx().content_rect().height() - 190.0;
    let stays = modal(ui, "manual", width_up_to(ui, 960.0, 80.0), |ui| {
        ui.heading("Manual");
        ui.horizontal_top(|ui| {
            let list = ScrollArea::vertical().id_salt("pages").max_height(tall);
            list.min_scrolled_height(tall).show(ui, |ui| {
                ui.vertical(|ui| {
                    ui.set_width(190.0);
                    for page in PAGES {
                        let here = page.topic == open.topic;
                        let entry = ui.selectable_label(here, page.title());
                        if entry.on_hover_text(page.summary).clicked() {
                            wanted = page;
                        }
                    }
                });
            });
            // Each page keeps its own place.
            let text = ScrollArea::vertical().id_salt(open.topic).auto_shrink([false, false]);
            text.max_height(tall).min_scrolled_height(tall).show(ui, |ui| {
                ui.vertical(|ui| {
                    for (i, block) in manual::blocks(open.text).iter().enumerate() {
                        // Two blocks of a page may say the same.
                        let shown = ui.push_id(i, |ui| match block {
                            Block::Picture(about, file) => {
                                picture(ui, (about.as_str(), file.as_str()), pictures, palette);
                                None
                            }
                            _ => show(ui, block, palette),
                        });
                        wanted = shown.inner.unwrap_or(wanted);
                    }
                });
            });
        });
        ui.button("Close").clicked()
    });
    if wanted.topic != open.topic {
        pictures.clear();
        *open = wanted;
    }
    stays
}

/// Shows a picture as wide as there is room for, its description below it.
fn picture(
    ui: &mut Ui,
    (about, file): (&str, &str),
    pictures: &mut BTreeMap<String, PictureTexture>,
    palette: &Palette,
) {
    let read = || PictureTexture(load(ui, file));
    let texture = &pictures.entry(file.to_owned()).or_insert_with(read).0;
    if let Some(texture) = texture {
        let size = texture.size_vec2();
        let fit = (ui.available_width() / size.x).min(1.0);
        ui.add(Image::new((texture.id(), size * fit)).corner_radius(4).alt_text(about));
    }
    ui.label(RichText::new(about).small().color(palette.weak));
}

/// A picture of the manual as the graphics driver has it.
fn load(ui: &Ui, file: &str) -> Option<TextureHandle> {
    let bytes = manual::picture(file)?;
    let dots = image::load_from_memory_with_format(bytes, ImageFormat::Png).ok()?.into_rgba8();
    let size = [dots.width() as usize, dots.height() as usize];
    let image = ColorImage::from_rgba_unmultiplied(size, dots.as_raw());
    let options =
        TextureOptions { mipmap_mode: Some(TextureFilter::Linear), ..TextureOptions::LINEAR };
    Some(ui.ctx().load_texture(file, image, options))
}

/// Shows a block; the page that a link in it was clicked for.
fn show(ui: &mut Ui, block: &Block, palette: &Palette) -> Option<&'static Page> {
    match block {
        Block::Heading(level, text) => {
            ui.add_space(if *level == 1 { 0.0 } else { 8.0 });
            let size = if *level == 1 { 22.0 } else { 17.0 };
            ui.label(RichText::new(text).font(bold(size)).color(palette.accent));
        }
        Block::Text(spans) => return words(ui, spans, palette),
        Block::Item(head, spans) => {
            let inset = head.chars().count() - head.trim_start().chars().count();
            return ui
                .horizontal_top(|ui| {
                    ui.add_space(if inset == 0 { 6.0 } else { 28.0 });
                    ui.label(head.trim_start());
                    ui.vertical(|ui| words(ui, spans, palette)).inner
                })
                .inner;
        }
        Block::Code(code) => lines(ui, code),
        Block::Table(rows) => lines(ui, &manual::table_lines(rows, TABLE_WIDE).join("\n")),
        Block::Picture(..) => {}
    }
    None
}

/// Lines as they stand, in letters of one width; what is too wide is scrolled.
fn lines(ui: &mut Ui, text: &str) {
    ScrollArea::horizontal().id_salt(text).show(ui, |ui| {
        let text = RichText::new(text).font(typed(TYPED));
        ui.add(egui::Label::new(text).wrap_mode(egui::TextWrapMode::Extend));
    });
}

/// A paragraph, with the pages it names below it; the page that was clicked.
fn words(ui: &mut Ui, spans: &[Span], palette: &Palette) -> Option<&'static Page> {
    let mut job = LayoutJob::default();
    let mut links: Vec<&'static Page> = Vec::new();
    for span in spans {
        let (font, colour) = match span {
            Span::Strong(_) => (bold(SIZE), palette.text),
            Span::Code(_) => (typed(TYPED), palette.text),
            Span::Link { to, .. } => {
                links.extend(linked(to));
                (FontId::proportional(SIZE), palette.accent)
            }
            Span::Plain(_) => (FontId::proportional(SIZE), palette.text),
        };
        job.append(span.text(), 0.0, TextFormat::simple(font, colour));
    }
    ui.label(job);
    let mut wanted = None;
    if !links.is_empty() {
        ui.horizontal_wrapped(|ui| {
            for page in links {
                if ui.link(format!("See: {}", page.title())).clicked() {
                    wanted = Some(page);
                }
            }
        });
    }
    wanted
}

/// The page that a link leads to, if it is one of the manual's.
fn linked(to: &str) -> Option<&'static Page> {
    manual::page(to.split('#').next()?.strip_suffix(".md")?)
}
