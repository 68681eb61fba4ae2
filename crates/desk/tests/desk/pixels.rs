//! Pictures of the desk, held against the checked-in ones: every station in both themes, a chosen
//! hole, chain drilling, the shop, findings, the first start, the sheet of keys, and the desk at
//! twice its size. They need a Vulkan driver
//! (Mesa's software one will do), so they run only with the feature `pixels`.

use super::{Bench, run};
use desk::{ColorTheme, Command, Desk, MemoryHost, Settings, Station};
use egui::{Role, vec2};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::wgpu::WgpuTestRenderer;
use egui_kittest::{Harness, SnapshotOptions, SnapshotResults};
use knife::PartId;
use knife::{Edit, HoleId};
use kurbo::Vec2;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// How far a pixel may differ before it counts (a squared distance of colours, the larger the
/// further apart), and how many may count: edges are rounded a little otherwise by every
/// driver, while a control that moved by one point changes hundreds of pixels.
const TOLERANCE: (f32, usize) = (1.5, 60);

/// The desk as it stands after a first start, with these settings.
fn pictured(settings: Settings) -> Harness<'static, Bench> {
    let renderer = catch_unwind(AssertUnwindSafe(WgpuTestRenderer::new));
    let Ok(renderer) = renderer else {
        panic!(
            "there is no Vulkan driver to draw the pictures with: install one (Debian's \
             mesa-vulkan-drivers), or leave the feature pixels off"
        )
    };
    let (threshold, failed) = TOLERANCE;
    let options = SnapshotOptions::new().threshold(threshold).max_failed_pixels(failed);
    let state = Bench { desk: Desk::new(settings), host: MemoryHost::with_data() };
    let builder = Harness::builder().with_size(vec2(1280.0, 800.0)).with_options(options);
    let mut harness = builder.renderer(renderer).build_ui_state(super::frame, state);
    harness.run_steps(6);
    harness
}

fn stations(color_theme: ColorTheme, name: &str) {
    let mut harness = pictured(Settings { color_theme, ..Settings::default() });
    harness.state_mut().desk.session.dialogs.welcomed = true;
    let mut results = SnapshotResults::new();
    for station in Station::ALL {
        run(&mut harness, Command::Station(station));
        harness.run_steps(4);
        let picture = format!("{}_{name}", station.name().to_lowercase());
        results.add(harness.try_snapshot(picture));
    }
}

#[test]
fn every_station_in_the_light_room() {
    stations(ColorTheme::Light, "light");
}

#[test]
fn every_station_in_the_dark_room() {
    stations(ColorTheme::Dark, "dark");
}

#[test]
fn a_first_start_and_the_sheet_of_keys() {
    let mut harness = pictured(Settings::default());
    let mut results = SnapshotResults::new();
    results.add(harness.try_snapshot("first_start"));
    run(&mut harness, Command::Shortcuts);
    harness.run_steps(4);
    results.add(harness.try_snapshot("keys"));
}

#[test]
fn a_chosen_hole_chain_drilling_and_the_shop() {
    let mut results = SnapshotResults::new();
    for (color_theme, name) in [(ColorTheme::Light, "light"), (ColorTheme::Dark, "dark")] {
        let mut harness = pictured(Settings { color_theme, ..Settings::default() });
        harness.state_mut().desk.session.dialogs.welcomed = true;
        run(&mut harness, Command::Station(Station::Holes));
        harness.state_mut().desk.session.selection.choose(PartId::Hole(HoleId(1)), false);
        harness.run_steps(4);
        results.add(harness.try_snapshot(format!("hole_chosen_{name}")));
        run(&mut harness, Command::Chain);
        harness.run_steps(4);
        results.add(harness.try_snapshot(format!("chain_{name}")));
        run(&mut harness, Command::Shop);
        harness.run_steps(4);
        results.add(harness.try_snapshot(format!("shop_{name}")));
    }
}

/// Two holes moved to where they can't stay: findings in their rows, rings at their places.
#[test]
fn findings_and_their_places() {
    let mut harness = pictured(Settings { color_theme: ColorTheme::Light, ..Settings::default() });
    harness.state_mut().desk.session.dialogs.welcomed = true;
    run(&mut harness, Command::Station(Station::Holes));
    let holes: Vec<_> =
        harness.state().desk.document.knife().holes.iter().take(2).cloned().collect();
    let low = holes[0].at - Vec2::new(0.0, 6.0);
    let to = [low, low + Vec2::new(5.0, 0.0)];
    let edits = holes.iter().zip(to).map(|(hole, to)| Edit::MoveHole { hole: hole.id, to });
    let done = harness.state_mut().desk.document.edit(&edits.collect::<Vec<_>>());
    assert_eq!(done, Ok(()));
    harness.run_steps(6);
    harness.snapshot("findings");
}

#[test]
fn the_desk_at_twice_its_size() {
    let mut harness = pictured(Settings { scale: 2.0, ..Settings::default() });
    harness.state_mut().desk.session.dialogs.welcomed = true;
    run(&mut harness, Command::Station(Station::Profile));
    harness.run_steps(4);
    harness.snapshot("twice_as_large");
}

/// A blade with everything that one can have: taper, swedge, leaning plunge, grind line of its
/// own, timed filing; its stiffness below, and in light from the side.
#[test]
fn a_blade_in_full_and_in_light_from_the_side() {
    let mut results = SnapshotResults::new();
    for (color_theme, name) in [(ColorTheme::Light, "light"), (ColorTheme::Dark, "dark")] {
        let mut harness = pictured(Settings { color_theme, ..Settings::default() });
        harness.state_mut().desk.session.dialogs.welcomed = true;
        run(&mut harness, Command::Station(Station::Bevels));
        let knife = harness.state().desk.document.knife().as_ref().clone();
        let mut bevel = knife.bevel.unwrap_or_default();
        bevel.plunge_lean_deg = 8.0;
        bevel.plunge_file_mm = 6.35;
        let swedge = knife::Swedge { from_x_mm: 42.0, height_mm: 5.0, thickness_mm: 1.2 };
        let taper = knife::Taper { from_x_mm: 100.0, tip_mm: 1.8 };
        let timing = knife::FilingTrial { minutes: 10.0, done: knife::FiledAmount::Height(3.0) };
        let edits = [
            Edit::SetBevel(Some(bevel)),
            Edit::SetTaper(Some(taper)),
            Edit::SetSwedge(Some(swedge)),
            Edit::SetFiling(Some(knife::Filing { facets: 4, timing: Some(timing) })),
        ];
        assert_eq!(harness.state_mut().desk.document.edit(&edits), Ok(()));
        harness.run_steps(4);
        harness.get_by_label("Filing by hand").click();
        run(&mut harness, Command::Stiffness);
        harness.run_steps(6);
        results.add(harness.try_snapshot(format!("blade_{name}")));
        run(&mut harness, Command::Stiffness);
        harness.get_by_label("Filing by hand").click();
        harness.get_by_label("Own line").click();
        harness.run_steps(4);
        run(&mut harness, Command::Shaded);
        harness.run_steps(6);
        results.add(harness.try_snapshot(format!("shaded_{name}")));
    }
}

/// A handle with everything that one can have, two parts of its card opened; and the same at
/// twice its size.
#[test]
fn a_handle_in_full() {
    let mut results = SnapshotResults::new();
    let rooms = [
        (ColorTheme::Light, "light", 1.0),
        (ColorTheme::Dark, "dark", 1.0),
        (ColorTheme::Light, "twice", 2.0),
    ];
    for (color_theme, name, scale) in rooms {
        let mut harness = pictured(Settings { color_theme, scale, ..Settings::default() });
        harness.state_mut().desk.session.dialogs.welcomed = true;
        run(&mut harness, Command::Station(Station::Handle));
        let mut handle = harness.state().desk.document.knife().handle.clone();
        handle.scales = Some("stabilised wood".into());
        handle.right_scale = Some("East Indian rosewood".into());
        handle.pins = Some("stainless steel 304/316".into());
        handle.liners = Some(knife::Liners { thickness_mm: 0.8, material: None });
        handle.shaping.corner = Some(knife::Corner::Round(4.0));
        let place = |x_mm, thickness_mm| knife::ThicknessAt { x_mm, thickness_mm };
        handle.shaping.thickness = vec![place(125.0, 6.0), place(165.0, 8.0), place(205.0, 5.0)];
        let holes = harness.state().desk.document.knife().holes.clone();
        let screw = knife::Fixing::Screw { head_mm: 9.0, head_deep_mm: 3.0 };
        handle.fixings =
            vec![(holes[5].id, screw), (holes[6].id, knife::Fixing::Tube { bore_mm: 4.8 })];
        handle.front.curve = knife::FrontCurve::Round(40.0);
        handle.front_bolster = Some(knife::Bolster { length_mm: 9.0, material: None });
        handle.jimping = Some(knife::Jimping {
            side: knife::OutlineSide::Spine,
            from_x_mm: 88.0,
            to_x_mm: 112.0,
            pitch: knife::Pitch::Mm(1.27),
            depth_mm: 0.5,
            groove: knife::Groove::Vee(90.0),
        });
        handle.scallops = Some(knife::Scallops {
            spacing: knife::ScallopSpacing::Count(5),
            front_mm: 12.0,
            butt_mm: 16.0,
            drum_mm: 25.4,
            angle_deg: 40.0,
            depth_mm: 0.8,
        });
        harness.state_mut().desk.session.section.pinned_mm = Some(150.0);
        let edit = Edit::SetHandle(handle);
        assert_eq!(harness.state_mut().desk.document.edit(&[edit]), Ok(()));
        harness.run_steps(4);
        for part in ["Corners and girth", "Pins", "Materials"] {
            harness.get_by_role_and_label(Role::DisclosureTriangle, part).click();
            harness.run_steps(4);
        }
        results.add(harness.try_snapshot(format!("handle_full_{name}")));
        if scale < 1.5 {
            run(&mut harness, Command::Shaded);
            harness.run_steps(6);
            results.add(harness.try_snapshot(format!("handle_shaded_{name}")));
        }
    }
}

/// Heat and finish with a temper chosen, in both rooms and at twice its size.
#[test]
fn heat_and_finish_with_the_temper_chart() {
    let mut results = SnapshotResults::new();
    let rooms = [
        (ColorTheme::Light, "light", 1.0),
        (ColorTheme::Dark, "dark", 1.0),
        (ColorTheme::Light, "twice", 2.0),
    ];
    for (color_theme, name, scale) in rooms {
        let mut harness = pictured(Settings { color_theme, scale, ..Settings::default() });
        harness.state_mut().desk.session.dialogs.welcomed = true;
        run(&mut harness, Command::Station(Station::Bevels));
        let edits = [
            Edit::ChooseHeating(Some(knife::Heating::Oven)),
            Edit::ChooseTemper(Some(knife::Temper::Hardness(60.0))),
            Edit::ChooseFinish(Some(knife::Finish::Satin)),
        ];
        assert_eq!(harness.state_mut().desk.document.edit(&edits), Ok(()));
        run(&mut harness, Command::Heat);
        harness.run_steps(6);
        results.add(harness.try_snapshot(format!("heat_{name}")));
    }
}

/// A printer's trim in use, with its readings unfolded: in both rooms, and at twice its size.
#[test]
fn a_printers_trim_in_use() {
    let mut results = SnapshotResults::new();
    let rooms = [
        (ColorTheme::Light, "light", 1.0),
        (ColorTheme::Dark, "dark", 1.0),
        (ColorTheme::Light, "twice", 2.0),
    ];
    for (color_theme, name, scale) in rooms {
        let mut harness = pictured(Settings { color_theme, scale, ..Settings::default() });
        harness.state_mut().desk.session.dialogs.welcomed = true;
        let trim = reckon::shop::trim::Trim {
            scale_x: 1.0194,
            scale_y: 1.0163,
            skew_deg: 0.2,
            within_mm: Some(0.12),
            paper: "a4".into(),
            readings: Vec::new(),
        };
        let printer = reckon::shop::Printer { name: "club".into(), trim: Some(trim) };
        let shop = reckon::Shop { printers: vec![printer], ..reckon::Shop::default() };
        harness.state_mut().desk.actions.push(desk::Action::SetShop(Box::new(shop)));
        harness.state_mut().desk.session.print.printer = Some("club".into());
        run(&mut harness, Command::Station(Station::Paper));
        harness.get_by_role_and_label(Role::DisclosureTriangle, "Measure a printer").click();
        harness.run_steps(6);
        results.add(harness.try_snapshot(format!("trim_{name}")));
    }
}
