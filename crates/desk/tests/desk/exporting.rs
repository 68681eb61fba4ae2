//! Exporting by the same calls as the command line, and importing an outline from DXF.

use super::*;
use exchange::cut::CutHoles;
use exchange::export::{SolidRequest, blank_file, solid_files};
use exchange::solid::MockUp;
use reckon::tables::Tables;
use reckon::{Shop, reckon};
use units::LengthUnit;

fn choose(harness: &mut Harness<'_, Bench>, role: Role, label: &str) {
    harness.get_by_role_and_label(role, label).click();
    harness.run_steps(3);
}

/// Opens the dialog, chooses, and gives the path.
fn export(harness: &mut Harness<'_, Bench>, format: &str, choices: &[&str], path: &str) {
    run(harness, Command::Export);
    harness.get_by_label_contains(format).click();
    harness.run_steps(3);
    for label in choices {
        harness.get_by_label_contains(label).click();
        harness.run_steps(3);
    }
    choose(harness, Role::Button, "Choose the file…");
    harness.get_by_role_and_label(Role::TextInput, "Path").focus();
    harness.run_steps(1);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Path").type_text(path);
    harness.run_steps(1);
    choose(harness, Role::Button, "Save");
    harness.run_steps(3);
}

fn written(harness: &Harness<'_, Bench>, path: &str) -> Vec<u8> {
    harness.state().host.files.get(Path::new(path)).cloned().unwrap_or_default()
}

#[test]
fn what_is_exported_is_what_the_command_line_writes() {
    let mut harness = bench();
    let knife = harness.state().desk.document.knife().clone();
    let (tables, reckoning) =
        (Tables::built_in(), reckon(&knife, &Shop::default(), Tables::built_in()));
    export(&mut harness, "DXF", &["inches", "relief holes"], "/bench/a.dxf");
    let dxf = blank_file(&knife, &reckoning, CutHoles::Relief, LengthUnit::Inch).unwrap();
    assert!(written(&harness, "/bench/a.dxf") == dxf.bytes);
    assert!(harness.query_by_label_contains("the shop takes off its own kerf").is_some());

    export(&mut harness, "SVG", &[], "/bench/a.svg");
    assert!(written(&harness, "/bench/a.svg") == sheets::bare_svg(&knife, &reckoning));

    export(&mut harness, "3MF", &["halves that print flat"], "/bench/half");
    let request = SolidRequest { mock_up: Some(MockUp::Halves), ..SolidRequest::default() };
    let solid = |request| {
        solid_files(&knife, &reckoning, tables, &request, Path::new("/bench/half.3mf")).unwrap()
    };
    assert!(written(&harness, "/bench/half.3mf") == solid(request).files[0].1);
    assert!(harness.query_by_label_contains("for the hand, not for cutting").is_some());

    // What was chosen stays chosen; a file for each part.
    export(&mut harness, "STL", &["The knife's parts", "A file for each part"], "/bench/k.stl");
    let request = SolidRequest { is_stl: true, each: true, ..SolidRequest::default() };
    let solid = solid_files(&knife, &reckoning, tables, &request, Path::new("/bench/k.stl"));
    let files = solid.unwrap().files;
    assert!(files.len() > 3);
    for (path, bytes) in &files {
        assert!(harness.state().host.files.get(path) == Some(bytes), "{}", path.display());
    }
    // What stands under the names of the parts is asked about as well.
    let last = &files.last().unwrap().0;
    harness.state_mut().host.files.insert(last.clone(), b"mine".to_vec());
    export(&mut harness, "STL", &[], "/bench/k.stl");
    assert_eq!(harness.state().host.files[last], b"mine");
    assert!(harness.query_by_label_contains("Would be replaced: /bench/k-").is_some());
    choose(&mut harness, Role::Button, "Replace them");
    assert!(harness.state().host.files[last] == files.last().unwrap().1);
}

#[test]
fn a_file_is_not_replaced_unasked_nor_named_wrongly() {
    let mut harness = bench();
    harness.state_mut().host.files.insert("/bench/a.dxf".into(), b"mine".to_vec());
    export(&mut harness, "DXF", &[], "/bench/a.dxf");
    assert_eq!(written(&harness, "/bench/a.dxf"), b"mine");
    choose(&mut harness, Role::Button, "Replace it");
    assert!(written(&harness, "/bench/a.dxf").starts_with(b"999"));
    export(&mut harness, "DXF", &[], "/bench/b.blank.json");
    assert!(written(&harness, "/bench/b.blank.json").is_empty());
    assert!(harness.query_by_label_contains("should end in .dxf").is_some());
    // Out of range it is refused below the field.
    run(&mut harness, Command::Export);
    harness.get_by_label_contains("3MF").click();
    harness.run_steps(3);
    fill(&mut harness, "Tolerance", "3 mm");
    assert!(harness.query_by_label_contains("between 0.005 and 1 mm").is_some());
    assert_eq!(harness.state().desk.session.export.chord_mm, 0.05);
    fill(&mut harness, "Tolerance", "0.1 mm");
    assert!((harness.state().desk.session.export.chord_mm - 0.1).abs() < 1e-12);
}

/// A plate of 4 × 1 with a hole of 0.25 across; one corner stays open by 0.02.
fn plate(units: &str) -> String {
    let line = |a: (f64, f64), b: (f64, f64)| {
        format!("0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1)
    };
    let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (0.0, 1.0), (0.0, 0.02)];
    let lines: String = corners.windows(2).map(|pair| line(pair[0], pair[1])).collect();
    format!(
        "0\nSECTION\n2\nHEADER\n{units}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{lines}\
         0\nCIRCLE\n8\n0\n10\n2\n20\n0.5\n40\n0.125\n0\nENDSEC\n0\nEOF\n"
    )
}

fn import(harness: &mut Harness<'_, Bench>, text: String) {
    harness.state_mut().host.files.insert("/bench/plate.dxf".into(), text.into_bytes());
    run(harness, Command::ImportOutline);
    fill(harness, "Path", "/bench/plate.dxf");
}

#[test]
fn a_dxf_asks_for_what_it_leaves_open() {
    let mut harness = bench();
    let before = saved(&harness);
    import(&mut harness, plate(""));
    assert!(harness.query_by_label_contains("doesn't say which unit its numbers are in").is_some());
    choose(&mut harness, Role::RadioButton, "inches");
    // 0.02 in are 0.508 mm: more than is closed unasked.
    assert!(harness.query_by_label("The outline found").is_none());
    fill(&mut harness, "Gap to close", "0.6 mm");
    harness.get_by_label("The outline found");
    assert!(harness.query_by_label_contains("101.60 mm").is_some());
    assert!(saved(&harness) == before, "nothing is changed yet");
    choose(&mut harness, Role::Button, "Use this outline");
    let knife = harness.state().desk.document.knife();
    assert_eq!((knife.holes.len(), knife.name.as_str()), (1, "plate"));
    let area = knife.profile.outline().unwrap().area();
    assert!((area / (4.0 * 25.4 * 25.4) - 1.0).abs() < 0.02, "{area}");
    assert_eq!(harness.state().desk.document.history().past().len(), 1);
    run(&mut harness, Command::Undo);
    assert!(saved(&harness) == before);
}

#[test]
fn a_dxf_that_says_its_unit_isnt_asked_and_a_broken_one_is_told() {
    let mut harness = bench();
    import(&mut harness, plate("9\n$INSUNITS\n70\n1\n"));
    assert!(harness.query_by_role_and_label(Role::RadioButton, "inches").is_none());
    choose(&mut harness, Role::Button, "Cancel");
    import(&mut harness, "no drawing at all".to_owned());
    assert!(harness.query_by_label_contains("isn't a DXF drawing").is_some());
    choose(&mut harness, Role::Button, "Cancel");
    assert!(harness.state().desk.document.history().past().is_empty());
}
