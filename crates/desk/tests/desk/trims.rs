//! The Paper station: typed sizes, margin, and a printer measured, chosen and printed through.

use super::*;
use reckon::Shop;
use reckon::shop::trim::Trim;
use sheets::{PrintRequest, printing};

fn paper() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Paper));
    harness
}

fn written(harness: &mut Harness<'_, Bench>, purpose: desk::Purpose) -> Option<Vec<u8>> {
    let path = "/bench/out.pdf";
    harness.state_mut().desk.actions.push(desk::Action::PathChosen(purpose, path.into()));
    harness.run_steps(4);
    harness.state_mut().host.files.remove(Path::new(path))
}

/// What `print` writes with these wishes and that shop.
fn by_command(harness: &Harness<'_, Bench>, wanted: &PrintRequest, shop: &Shop) -> Vec<u8> {
    let knife = harness.state().desk.document.knife().clone();
    let reckoning = reckon::reckon(&knife, shop, reckon::tables::Tables::built_in());
    let chosen = printing::default_sheets(&knife, &reckoning);
    let mut setup = printing::setup(&knife.name, &wanted.paper, None).expect("a paper");
    setup = setup.with_margin_mm(wanted.margin_mm.unwrap_or(10.0)).expect("a margin");
    let named = wanted.printer.as_ref();
    if let Some(printer) = shop.printers.iter().find(|printer| Some(&printer.name) == named) {
        setup = printing::with_trim(setup, printer);
    }
    let setup = printing::for_knife(setup, &knife);
    let sharing = sheets::Sharing::default();
    let laid = sheets::sharing::lay_out(chosen, &sharing, &setup, &mut |_, _, _| ());
    let pages = laid.expect("pages").pages;
    paper::pdf(&pages, &printing::meta(&knife, &pages, shop, &setup)).expect("a file")
}

#[test]
fn a_size_and_a_margin_are_typed() {
    let mut harness = paper();
    fill(&mut harness, "Custom size", "roll:24in");
    fill(&mut harness, "Margin", "15 mm");
    let wanted = PrintRequest {
        paper: "roll:24in".to_owned(),
        margin_mm: Some(15.0),
        ..PrintRequest::default()
    };
    let bytes = written(&mut harness, desk::Purpose::Print).unwrap();
    assert!(bytes == by_command(&harness, &wanted, &Shop::default()));
    let list = harness.get_by_role_and_label(Role::ComboBox, "Paper size").accesskit_node().value();
    assert_eq!(list.as_deref(), Some("Roll of 609.6 mm"), "24 in, by hand");
    fill(&mut harness, "Custom size", "huge");
    assert!(harness.query_by_label_contains("is no paper size").is_some());
    assert_eq!(harness.state().desk.session.print.paper.as_deref(), Some("roll:24in"), "refused");
    fill(&mut harness, "Margin", "4 in");
    assert!(harness.query_by_label_contains("margin").is_some());
    assert_eq!(harness.state().desk.session.print.margin_mm, Some(15.0), "refused");
    fill(&mut harness, "Margin", " ");
    fill(&mut harness, "Custom size", " ");
    let usual = PrintRequest { paper: "letter".to_owned(), ..PrintRequest::default() };
    let bytes = written(&mut harness, desk::Purpose::Print).unwrap();
    assert!(bytes == by_command(&harness, &usual, &Shop::default()));
}

/// A printer that prints 2.2 % short across, 1.8 % short up, its right angles true.
fn printed(x_mm: f64, y_mm: f64) -> f64 {
    (0.978 * x_mm).hypot(0.982 * y_mm)
}

/// Types the readings of letter's proof (180 by 230 mm, as the page itself says) in.
fn type_in(harness: &mut Harness<'_, Bench>, trim: Option<&Trim>) {
    let (w, h) = (180.0, 230.0);
    let lines =
        [("A", w, 0.0), ("B", w, 0.0), ("C", 0.0, h), ("D", 0.0, h), ("E", w, h), ("F", w, -h)];
    let [[a, b], [c, d]] = trim.map_or([[1.0, 0.0], [0.0, 1.0]], Trim::correction);
    for (letter, x, y) in lines {
        let mm = printed(a * x + b * y, c * x + d * y);
        fill(harness, &format!("Line {letter}"), &format!("{mm:.1}"));
        fill(harness, &format!("{letter} again"), &format!("{:.3} in", mm / 25.4));
    }
}

#[test]
fn a_printer_is_measured_chosen_by_name_and_never_kept_in_use() {
    let mut harness = paper();
    let untrimmed = written(&mut harness, desk::Purpose::Print).unwrap();
    let proof = written(&mut harness, desk::Purpose::Proof).unwrap();
    let setup = printing::setup("Printer", "letter", None).unwrap();
    let page = printing::proof(&setup, None).unwrap();
    assert!(proof == printing::proof_pdf(&setup, &page).unwrap(), "as the command writes it");

    pick(&mut harness, Role::DisclosureTriangle, "Measure a printer");
    fill(&mut harness, "Printer's name", "club");
    type_in(&mut harness, None);
    pick(&mut harness, Role::Button, "Use these readings");
    let shop = harness.state().desk.derived.shop().clone();
    let trim = shop.printers[0].trim.clone().unwrap();
    // True over printed: 1/0.978 = 1.0225, 1/0.982 = 1.0183, by hand.
    assert!((trim.scale_x - 1.0225).abs() < 5e-4 && (trim.scale_y - 1.0183).abs() < 5e-4, "{trim}");
    assert_eq!(trim.readings.len(), 12);
    assert_eq!(
        harness.state().desk.session.print.printer,
        None,
        "measured, but not in use unasked"
    );
    assert!(written(&mut harness, desk::Purpose::Print).unwrap() == untrimmed);

    pick(&mut harness, Role::ComboBox, "Printer correction");
    pick(&mut harness, Role::Button, "club");
    let told = harness.query_by_label_contains("True on this printer only").unwrap();
    let words = told.accesskit_node().value().unwrap();
    assert!(words.contains("±") && words.contains("measured on letter"), "{words}");
    let wanted = PrintRequest {
        paper: "letter".to_owned(),
        printer: Some("club".to_owned()),
        ..PrintRequest::default()
    };
    let bytes = written(&mut harness, desk::Purpose::Print).unwrap();
    assert!(bytes != untrimmed && bytes == by_command(&harness, &wanted, &shop));
    assert!(
        harness.state().desk.session.toasts.latest().unwrap().contains("Printer correction: club")
    );

    // The second proof, sent through the trim, confirms it; the first one does not.
    type_in(&mut harness, None);
    let disabled = |harness: &Harness<'_, Bench>| {
        harness.get_by_label("Use these readings").accesskit_node().is_disabled()
    };
    assert!(disabled(&harness), "it isn't said how the proof was printed");
    pick(&mut harness, Role::RadioButton, "with its correction");
    pick(&mut harness, Role::Button, "Use these readings");
    assert!(harness.query_by_label_contains("printed without the correction").is_some());
    assert_eq!(harness.state().desk.derived.shop(), &shop, "refused");
    type_in(&mut harness, Some(&trim));
    pick(&mut harness, Role::Button, "Use these readings");
    let better = harness.state().desk.derived.shop().printers[0].trim.clone().unwrap();
    assert_eq!(better.readings.len(), 24);
    assert!(better.within_mm.unwrap() < trim.within_mm.unwrap());

    // On another paper it is said so; started again, nothing is trimmed.
    pick(&mut harness, Role::ComboBox, "Paper size");
    pick(&mut harness, Role::Button, "A4");
    assert!(harness.query_by_label_contains("was measured on letter").is_some());
    let host = harness.state().host.clone();
    let mut desk = Desk::new(Settings::read(&host).0);
    desk.open_shop(&host);
    let mut again = with(Bench { desk, host });
    run(&mut again, Command::Station(Station::Paper));
    assert_eq!(again.state().desk.derived.shop().printers.len(), 1);
    assert_eq!(again.state().desk.session.print.printer, None);
    assert!(again.query_by_label_contains("True on this printer only").is_none());
}

#[test]
fn readings_that_make_no_trim_are_refused_in_words() {
    let mut harness = paper();
    pick(&mut harness, Role::DisclosureTriangle, "Measure a printer");
    fill(&mut harness, "Printer's name", "club");
    fill(&mut harness, "Line A", "long");
    assert!(harness.query_by_label_contains("isn't a length").is_some());
    fill(&mut harness, "Line A", "180");
    pick(&mut harness, Role::Button, "Use these readings");
    assert!(harness.query_by_label_contains("at least one line across").is_some());
    assert_eq!(harness.state().desk.derived.shop(), &Shop::default());
}

/// A printer that is taken out of the shop takes its trim from the sheets.
#[test]
fn a_trim_goes_with_its_printer_and_the_shop_is_the_author() {
    let mut harness = paper();
    let trim = Trim { scale_x: 1.01, scale_y: 1.0, ..Trim::default() };
    let printer = reckon::shop::Printer { name: "club".into(), trim: Some(trim) };
    let shop = Shop { printers: vec![printer], name: "Hollow Oak".into(), ..Shop::default() };
    let wish = |shop: &Shop| desk::Action::SetShop(Box::new(shop.clone()));
    harness.state_mut().desk.actions.push(wish(&shop));
    harness.run_steps(4);
    harness.state_mut().desk.session.print.printer = Some("Club".into());
    harness.run_steps(4);
    assert!(harness.query_by_label_contains("how good it is isn't known").is_some());
    let bytes = written(&mut harness, desk::Purpose::Print).unwrap();
    let wanted = PrintRequest {
        paper: "letter".to_owned(),
        printer: Some("club".to_owned()),
        ..PrintRequest::default()
    };
    let nobodys = Shop { name: String::new(), ..shop.clone() };
    assert!(bytes == by_command(&harness, &wanted, &shop));
    assert!(bytes != by_command(&harness, &wanted, &nobodys), "the shop is named in it");
    harness.state_mut().desk.actions.push(wish(&Shop { printers: Vec::new(), ..shop }));
    harness.run_steps(4);
    let bytes = written(&mut harness, desk::Purpose::Print).unwrap();
    let said = harness.state().desk.session.toasts.latest().unwrap().to_owned();
    assert!(!said.contains("Trim"), "{said}");
    let usual = PrintRequest { paper: "letter".to_owned(), ..PrintRequest::default() };
    let named = Shop { name: "Hollow Oak".into(), ..Shop::default() };
    assert!(bytes == by_command(&harness, &usual, &named));
}
