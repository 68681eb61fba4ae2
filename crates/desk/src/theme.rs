//! The two colour themes: every colour of the program, and which stroke each pen has on the steel.

mod materials;

use egui::{
    Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Stroke, TextStyle,
    Visuals, epaint::Shadow,
};
use marks::{FontFace, Pen};
pub(crate) use materials::HandleColors;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ColorTheme {
    /// A shop by daylight.
    Light,
    /// A shop by lamplight.
    #[default]
    Dark,
}

impl ColorTheme {
    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Light => Self::Dark,
            Self::Dark => Self::Light,
        }
    }

    /// Its colours.
    pub(crate) fn palette(self) -> &'static Palette {
        match self {
            Self::Light => &LIGHT,
            Self::Dark => &DARK,
        }
    }
}

/// The colours of a theme, from one table: each colour's value in the dark and in the light one.
macro_rules! palettes {
    ($($(#[$doc:meta])* $name:ident: $type:ty = $dark:expr, $light:expr;)*) => {
        /// The colours of a theme.
        #[derive(Clone, Debug)]
        pub(crate) struct Palette {
            $($(#[$doc])* pub(crate) $name: $type,)*
        }

        const DARK: Palette = Palette { $($name: $dark,)* };
        const LIGHT: Palette = Palette { $($name: $light,)* };
    };
}

const fn rgb(hex: u32) -> Color32 {
    let [_, r, g, b] = hex.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

const fn rgba(r: u8, g: u8, b: u8, a: u8) -> Color32 {
    Color32::from_rgba_premultiplied(r, g, b, a)
}

// Dark, light.
palettes! {
    /// Behind menus and stations.
    head: Color32 = rgb(0x1b_17_14), rgb(0xec_e5_d8);
    /// Behind the card and the findings.
    card: Color32 = rgb(0x23_1e_1a), rgb(0xf5_f0_e6);
    /// Behind what is typed.
    field: Color32 = rgb(0x15_12_10), rgb(0xff_fd_f8);
    /// Behind a button.
    button: Color32 = rgb(0x36_2e_28), rgb(0xe2_d8_c6);
    /// Behind a button under the pointer.
    button_near: Color32 = rgb(0x46_3c_34), rgb(0xd6_c9_b2);
    /// Hairlines between them.
    hair: Color32 = rgb(0x3a_32_2b), rgb(0xd0_c4_b0);
    /// Words.
    text: Color32 = rgb(0xf0_e6_d6), rgb(0x26_20_1a);
    /// Words that step back.
    weak: Color32 = rgb(0xb3_a6_94), rgb(0x65_59_4b);
    /// What is chosen.
    accent: Color32 = rgb(0xf0_b4_52), rgb(0x8a_52_00);
    /// Behind what is chosen.
    chosen: Color32 = rgb(0x5a_41_1c), rgb(0xf3_d9_a3);
    /// The three severities.
    stop: Color32 = rgb(0xff_8a_75), rgb(0xa8_20_10);
    care: Color32 = rgb(0xf0_b4_52), rgb(0x85_52_00);
    note: Color32 = rgb(0x9c_c4_e8), rgb(0x1d_54_86);
    /// The gravest of them on painted steel.
    stop_on_steel: Color32 = rgb(0xff_9a_86), rgb(0xff_a8_98);
    /// The bench top around the bar.
    bench: Color32 = rgb(0x2c_26_21), rgb(0xc9_bc_a6);
    /// Lines of the grid on the bench and on the steel.
    grid: Color32 = rgba(22, 22, 22, 22), rgba(0, 0, 0, 22);
    /// The ruler's face, its marks and figures.
    rule: Color32 = rgb(0x1f_1b_17), rgb(0xe6_dd_cc);
    rule_mark: Color32 = rgb(0xb8_a8_90), rgb(0x5a_4e_40);
    /// Painted steel: at its upper and lower edge, and where the blank is.
    steel_high: Color32 = rgb(0x26_46_92), rgb(0x2b_4f_a4);
    steel_low: Color32 = rgb(0x18_2f_6b), rgb(0x1d_3a_80);
    blank: Color32 = rgb(0x2f_57_b4), rgb(0x35_61_c2);
    /// A shadow that lifts lines off whatever lies under them.
    halo: Color32 = rgba(6, 10, 24, 150), rgba(10, 16, 36, 175);
    /// The scribed cut line.
    scribed: Color32 = rgb(0xff_f8_e8), rgb(0xff_fa_ee);
    /// Other scribed lines.
    scribed_soft: Color32 = rgb(0xe9_de_c4), rgb(0xf2_e8_d2);
    /// Centre marks and lines.
    centre: Color32 = rgb(0x9d_b6_ec), rgb(0xb4_c8_f4);
    /// Handles of what can be dragged, and chosen ones.
    grip: Color32 = rgb(0xff_f8_e8), rgb(0xff_fa_ee);
    grip_chosen: Color32 = rgb(0xff_bf_4f), rgb(0xff_c4_55);
    /// The outline of another knife under this one.
    ghost: Color32 = rgb(0x74_e8_c8), rgb(0x86_f0_d2);
    /// Live figures on the canvas.
    tag: Color32 = rgba(20, 16, 12, 235), rgba(250, 245, 234, 245);
    tag_text: Color32 = rgb(0xff_f4_de), rgb(0x26_20_1a);
    /// Bare metal seen on edge, and wood beside it.
    metal: Color32 = rgb(0xa9_ad_b3), rgb(0x8d_92_99);
    wood: Color32 = rgb(0x8a_5d_38), rgb(0x9a_6b_42);
    /// Ground steel in light from the side: dark, flat to the eye, bright; and a pin's end.
    steel_tones: [Color32; 3] = [rgb(0x20_23_28), rgb(0x9b_a1_a8), rgb(0xf8_fa_fb)], [rgb(0x2a_2e_34), rgb(0xa6_ac_b3), rgb(0xff_ff_ff)];
    pin: Color32 = rgb(0xc8_b0_72), rgb(0xd0_b8_78);
    /// Paper and the ink on it.
    paper: Color32 = rgb(0xfb_f9_f4), rgb(0xff_fe_fb);
    paper_shade: Color32 = rgba(0, 0, 0, 110), rgba(0, 0, 0, 70);
    ink: Color32 = rgb(0x14_12_10), rgb(0x14_12_10);
}

/// How a pen draws on the screen; widths and dashes in points.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ink {
    pub(crate) colour: Color32,
    pub(crate) width: f32,
    pub(crate) dashes: Vec<f32>,
}

impl Ink {
    /// A solid line.
    pub(crate) fn solid(colour: Color32, width: f32) -> Self {
        Self { colour, width, dashes: Vec::new() }
    }
}

impl Palette {
    /// The stroke of a pen on painted steel.
    pub(crate) fn on_steel(&self, pen: Pen) -> Ink {
        let (colour, width, dashes): (_, _, &[f32]) = match pen {
            Pen::Cut => (self.scribed, 2.0, &[]),
            Pen::Hole => (self.scribed, 1.5, &[]),
            Pen::Bevel => (self.scribed_soft, 1.2, &[]),
            Pen::Scale => (self.scribed_soft, 1.0, &[7.0, 4.0]),
            Pen::Centre => (self.centre, 0.9, &[16.0, 4.0, 2.5, 4.0]),
            Pen::Bar => (self.centre, 1.2, &[]),
            Pen::Waste => (self.scribed_soft, 1.1, &[]),
            _ => (self.scribed_soft, 1.0, &[]),
        };
        Ink { colour, width, dashes: dashes.to_vec() }
    }

    /// The stroke of a pen on paper that is seen at so many points to the millimetre: the very
    /// stroke that is printed.
    pub(crate) fn on_paper(&self, pen: Pen, points_per_mm: f32) -> Ink {
        let stroke = paper::stroke(pen);
        #[expect(clippy::cast_possible_truncation, reason = "screen points")]
        let points = |mm: f64| mm as f32 * points_per_mm;
        Ink {
            colour: self.ink,
            width: points(stroke.width_mm).max(0.55),
            dashes: stroke.dashes_mm.iter().map(|mm| points(*mm)).collect(),
        }
    }
}

/// The family of bold words.
pub(crate) fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("bold".into()))
}

/// The family of figures: every digit equally wide, so that columns stand.
pub(crate) fn figures(size: f32) -> FontId {
    FontId::new(size, FontFamily::Monospace)
}

/// What is typed and tables of text: every letter as wide as the next.
pub(crate) fn typed(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("typed".into()))
}

/// The font of a drawing's lettering.
pub(crate) fn lettering(face: FontFace, size: f32) -> FontId {
    match face {
        FontFace::Regular => FontId::proportional(size),
        FontFace::Bold => bold(size),
    }
}

const FIGURES: &[u8] = include_bytes!("../../../assets/fonts/Barlow-Figures.ttf");

/// Installs the program's faces; they are there from the next pass on.
pub(crate) fn install_fonts(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::default();
    let ours = [
        ("words", paper::font_bytes(FontFace::Regular)),
        ("bold", paper::font_bytes(FontFace::Bold)),
        ("figures", FIGURES),
    ];
    for (name, bytes) in ours {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    let spare = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let typed = fonts.families.get(&FontFamily::Monospace).cloned().unwrap_or_default();
    let with = |first: &[&str]| {
        first.iter().map(|name| (*name).to_owned()).chain(spare.iter().cloned()).collect()
    };
    fonts.families.insert(FontFamily::Proportional, with(&["words"]));
    fonts.families.insert(FontFamily::Monospace, with(&["figures", "words"]));
    fonts.families.insert(FontFamily::Name("bold".into()), with(&["bold"]));
    fonts.families.insert(FontFamily::Name("typed".into()), typed);
    ctx.set_fonts(fonts);
}

/// Applies fonts' sizes, colours and spacing of a theme.
pub(crate) fn apply_style(ctx: &egui::Context, color_theme: ColorTheme) {
    let theme = match color_theme {
        ColorTheme::Light => egui::Theme::Light,
        ColorTheme::Dark => egui::Theme::Dark,
    };
    ctx.set_theme(theme);
    let palette = color_theme.palette();
    ctx.style_mut_of(theme, |style| {
        style.visuals = visuals(palette, color_theme);
        style.text_styles = [
            (TextStyle::Small, FontId::proportional(13.0)),
            (TextStyle::Body, FontId::proportional(15.5)),
            (TextStyle::Button, FontId::proportional(15.5)),
            (TextStyle::Monospace, figures(15.5)),
            (TextStyle::Heading, bold(24.0)),
        ]
        .into();
        style.spacing.item_spacing = egui::vec2(8.0, 7.0);
        style.spacing.button_padding = egui::vec2(10.0, 4.0);
        style.spacing.interact_size.y = 26.0;
        style.spacing.icon_spacing = 7.0;
        style.spacing.menu_margin = egui::Margin::same(8);
        style.spacing.window_margin = egui::Margin::same(18);
        style.spacing.tooltip_width = 320.0;
        let thin = egui::style::ScrollStyle::thin();
        style.spacing.scroll = egui::style::ScrollStyle { floating_allocated_width: 12.0, ..thin };
        style.interaction.selectable_labels = false;
        style.animation_time = 0.08;
    });
}

fn visuals(palette: &Palette, color_theme: ColorTheme) -> Visuals {
    let mut v = match color_theme {
        ColorTheme::Light => Visuals::light(),
        ColorTheme::Dark => Visuals::dark(),
    };
    v.panel_fill = palette.card;
    v.window_fill = palette.card;
    v.window_stroke = Stroke::new(1.0, palette.hair);
    v.window_corner_radius = CornerRadius::same(10);
    v.menu_corner_radius = CornerRadius::same(8);
    let shadow = Shadow { offset: [0, 6], blur: 24, spread: 0, color: palette.paper_shade };
    v.window_shadow = shadow;
    v.popup_shadow = Shadow { blur: 14, offset: [0, 3], ..shadow };
    v.extreme_bg_color = palette.field;
    v.faint_bg_color = palette.button;
    v.code_bg_color = palette.field;
    v.hyperlink_color = palette.accent;
    v.warn_fg_color = palette.care;
    v.error_fg_color = palette.stop;
    v.weak_text_color = Some(palette.weak);
    v.selection.bg_fill = palette.chosen;
    v.selection.stroke = Stroke::new(1.0, palette.text);
    let radius = CornerRadius::same(6);
    for (widget, fill, edge) in [
        (&mut v.widgets.noninteractive, palette.card, palette.hair),
        (&mut v.widgets.inactive, palette.button, palette.hair),
        (&mut v.widgets.hovered, palette.button_near, palette.weak),
        (&mut v.widgets.active, palette.chosen, palette.accent),
        (&mut v.widgets.open, palette.button_near, palette.weak),
    ] {
        widget.bg_fill = fill;
        widget.weak_bg_fill = fill;
        widget.bg_stroke = Stroke::new(1.0, edge);
        widget.fg_stroke = Stroke::new(1.2, palette.text);
        widget.corner_radius = radius;
        widget.expansion = 0.0;
    }
    v.widgets.inactive.bg_stroke = Stroke::new(1.0, palette.hair);
    v
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast by WCAG 2.2, 1.4.3.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |c: Color32| {
            let linear = |v: u8| {
                let v = f64::from(v) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * linear(c.r()) + 0.7152 * linear(c.g()) + 0.0722 * linear(c.b())
        };
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// WCAG 2.2: 4.5 for words (1.4.3), 3 for lines that carry meaning (1.4.11).
    #[test]
    fn everything_can_be_read() {
        for room in [ColorTheme::Light, ColorTheme::Dark] {
            let p = room.palette();
            for ground in [p.head, p.card, p.field, p.button, p.rule] {
                assert!(contrast(p.text, ground) >= 4.5, "{room:?} {ground:?}");
            }
            for word in [p.weak, p.accent, p.stop, p.care, p.note] {
                assert!(contrast(word, p.card) >= 4.5, "{room:?} {word:?}");
            }
            assert!(contrast(p.rule_mark, p.rule) >= 4.5);
            assert!(contrast(p.text, p.chosen) >= 4.5, "{room:?}");
            assert!(contrast(p.ink, p.paper) >= 4.5);
            for steel in [p.steel_high, p.steel_low, p.blank] {
                for pen in [Pen::Cut, Pen::Hole, Pen::Bevel, Pen::Scale, Pen::Centre] {
                    let ratio = contrast(p.on_steel(pen).colour, steel);
                    assert!(ratio >= 3.0, "{room:?} {pen:?} {ratio}");
                }
                assert!(contrast(p.grip_chosen, steel) >= 3.0);
                assert!(contrast(p.ghost, steel) >= 3.0);
                assert!(contrast(p.stop_on_steel, steel) >= 3.0);
            }
            // A dot is light with a dark edge: one of the two stands out on steel lit as it may be.
            for [low, high] in [[0, 1], [1, 2]] {
                for part in 0..=8_u8 {
                    let (low, high) = (p.steel_tones[low], p.steel_tones[high]);
                    let steel = low.lerp_to_gamma(high, f32::from(part) / 8.0);
                    for fill in [p.grip, p.grip_chosen] {
                        let ratio = contrast(fill, steel).max(contrast(p.ink, steel));
                        assert!(ratio >= 3.0, "{room:?} {steel:?} {ratio}");
                    }
                }
            }
        }
    }
}
