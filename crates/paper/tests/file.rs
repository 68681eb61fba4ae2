//! What the PDF says around its pages, as another reader of it finds it.

#![expect(clippy::unwrap_used, reason = "a test fails where it unwraps")]

mod common;

use common::{demo, read};
use kurbo::{Affine, BezPath, Circle, Point, Size};
use lopdf::{Dictionary, Document, Object, ObjectId};
use marks::{Drawing, Label, Mark, Pen};
use paper::{Meta, Page, PaperError, lay_out, pdf};

fn pages() -> Vec<Page> {
    lay_out(&[demo::sheet(215.0), demo::sheet(500.0)], &demo::setup("letter")).unwrap()
}

fn opened(pages: &[Page]) -> Document {
    Document::load_mem(&pdf(pages, &Meta::default()).unwrap()).unwrap()
}

/// All dictionaries of the file with this key.
fn with_key<'a>(document: &'a Document, key: &'a [u8]) -> impl Iterator<Item = &'a Dictionary> {
    document.objects.values().filter_map(|object| object.as_dict().ok()).filter(move |d| d.has(key))
}

fn named(dictionary: &Dictionary, key: &[u8]) -> String {
    String::from_utf8(dictionary.get(key).unwrap().as_name().unwrap().to_vec()).unwrap()
}

#[test]
fn pages_are_labelled_by_the_number_printed_on_them_and_their_name() {
    let pages = pages();
    assert!(pages.len() > 2);
    // A page alone keeps its number.
    for pages in [&pages[..], &pages[1..2]] {
        let document = opened(pages);
        let labels = read::inner(&document, document.catalog().unwrap(), b"PageLabels");
        let labels = labels.get(b"Nums").unwrap().as_array().unwrap();
        assert_eq!(labels.len(), 2 * pages.len());
        for ((place, page), label) in (0..).zip(pages).zip(labels.chunks(2)) {
            assert_eq!(label[0].as_i64().unwrap(), place);
            let said = read::string(label[1].as_dict().unwrap().get(b"P").unwrap());
            assert_eq!(said, format!("{} {}", page.number, page.name));
        }
    }
}

#[test]
fn every_page_has_its_bookmark_and_many_open_the_panel() {
    let pages = pages();
    let document = opened(&pages);
    assert_eq!(named(document.catalog().unwrap(), b"PageMode"), "UseOutlines");
    let sheets: Vec<_> = document.page_iter().collect();
    let mut found = Vec::new();
    let outlines = read::inner(&document, document.catalog().unwrap(), b"Outlines");
    let mut next = outlines.get(b"First").ok().cloned();
    while let Some(id) = next {
        let mark = document.get_dictionary(id.as_reference().unwrap()).unwrap();
        let place = mark.get(b"Dest").unwrap().as_array().unwrap();
        assert_eq!(place[1].as_name().unwrap(), b"Fit");
        let sheet = place[0].as_reference().unwrap();
        let at = sheets.iter().position(|id| *id == sheet).unwrap();
        found.push((at, read::string(mark.get(b"Title").unwrap())));
        next = mark.get(b"Next").ok().cloned();
    }
    let wanted: Vec<_> = pages.iter().map(|page| page.name.clone()).enumerate().collect();
    assert_eq!(found, wanted);
    // Pages of one name are told apart.
    let twice = [pages[0].clone(), pages[1].clone(), pages[0].clone()];
    let document = opened(&twice);
    let titles: Vec<String> = with_key(&document, b"Title")
        .filter(|mark| mark.has(b"Dest"))
        .map(|mark| read::string(mark.get(b"Title").unwrap()))
        .collect();
    let name = &pages[0].name;
    let wanted = [format!("{name}, 1 of 2"), pages[1].name.clone(), format!("{name}, 2 of 2")];
    assert_eq!(titles, wanted);
    let alone = opened(&pages[..1]);
    assert_eq!(named(alone.catalog().unwrap(), b"PageMode"), "UseNone");
}

#[test]
fn scaling_may_not_be_brought_back_and_layers_start_shown() {
    let document = opened(&pages());
    let catalog = document.catalog().unwrap();
    let wishes = read::inner(&document, catalog, b"ViewerPreferences");
    assert_eq!(wishes.get(b"Enforce").unwrap(), &Object::from(vec![Object::from("PrintScaling")]));
    let layers = read::inner(&document, catalog, b"OCProperties");
    let shown = layers.get(b"D").unwrap().as_dict().unwrap();
    assert_eq!(named(shown, b"BaseState"), "ON");
    assert_eq!(shown.get(b"ON").unwrap(), layers.get(b"OCGs").unwrap());
    // A layer says what it is called and nothing about what it is used for.
    for layer in layers.get(b"OCGs").unwrap().as_array().unwrap() {
        let layer = document.get_dictionary(layer.as_reference().unwrap()).unwrap();
        assert_eq!(layer.iter().count(), 2, "{layer:?}");
    }
}

/// The faces as their own files describe them, cut down to the signs in use.
#[test]
fn faces_are_subsets_that_tell_their_true_measures() {
    let document = opened(&pages());
    let descriptors: Vec<_> = with_key(&document, b"FontFile2").collect();
    assert_eq!(descriptors.len(), 2);
    for descriptor in descriptors {
        let called = named(descriptor, b"FontName");
        let (tag, face) = called.split_once('+').unwrap();
        assert!(tag.len() == 6 && tag.bytes().all(|sign| sign.is_ascii_uppercase()), "{called}");
        let bytes = match face {
            "Barlow-Regular" => paper::font_bytes(marks::FontFace::Regular),
            "Barlow-Bold" => paper::font_bytes(marks::FontFace::Bold),
            other => panic!("{other}"),
        };
        let whole = ttf_parser::Face::parse(bytes, 0).unwrap();
        let number = |key: &[u8]| descriptor.get(key).unwrap().as_float().unwrap();
        assert_eq!(number(b"CapHeight"), f32::from(whole.capital_height().unwrap()));
        assert_eq!(number(b"Ascent"), f32::from(whole.ascender()));
        assert_eq!(number(b"Descent"), f32::from(whole.descender()));
        let bounds = whole.global_bounding_box();
        let wanted = [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max];
        let message = descriptor.get(b"FontBBox").unwrap().as_array().unwrap();
        assert_eq!(message.len(), 4);
        for (message, wanted) in message.iter().zip(wanted) {
            assert_eq!(message.as_i64().unwrap(), i64::from(wanted));
        }
        let file = descriptor.get(b"FontFile2").unwrap().as_reference().unwrap();
        let file = document.get_object(file).unwrap().as_stream().unwrap();
        let length = file.decompressed_content().unwrap().len();
        assert_eq!(file.dict.get(b"Length1").unwrap().as_i64().unwrap(), length as i64);
        assert!(length < bytes.len() / 2, "{length}");
    }
}

#[test]
fn every_stream_is_deflated_and_nothing_lies_about_unused() {
    let mut document = opened(&pages());
    for object in document.objects.values() {
        // But the table of all objects, which the library writes as it is, and the streams of
        // objects, which it has opened by now.
        if let Object::Stream(stream) = object
            && !stream.dict.has_type(b"XRef")
            && !stream.dict.has_type(b"ObjStm")
        {
            assert_eq!(named(&stream.dict, b"Filter"), "FlateDecode");
        }
    }
    // The streams that hold the others, and the table of all, are named by their places only.
    let all = document.objects.clone();
    let unused = document.prune_objects();
    let holds = |id: &ObjectId| {
        let stream = all[id].as_stream().unwrap();
        ["ObjStm", "XRef"].contains(&named(&stream.dict, b"Type").as_str())
    };
    assert!(unused.iter().all(holds), "{unused:?}");
}

/// No file at all is better than one with a line that isn't where it should be.
#[test]
fn a_number_that_is_none_makes_no_file() {
    let sound = &pages()[0];
    let label = |at: Point, height: f64, turn_deg: f64| {
        Mark::Text(Label { turn_deg, ..Label::new("Ø6", at, height) })
    };
    for wrong in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        let mut bent = BezPath::new();
        bent.move_to((0.0, 0.0));
        bent.curve_to((1.0, 1.0), (2.0, wrong), (3.0, 3.0));
        let mut line = BezPath::new();
        line.move_to((wrong, 0.0));
        line.line_to((1.0, 1.0));
        let mut broken: Vec<Page> = [
            (Pen::Cut, Mark::Path(bent.clone())),
            (Pen::Centre, Mark::Path(line)),
            (Pen::Dimension, Mark::Fill(bent)),
            (Pen::Hole, Mark::Circle(Circle::new((wrong, 1.0), 3.0))),
            (Pen::Hole, Mark::Circle(Circle::new((1.0, 1.0), wrong))),
            (Pen::Lettering, label(Point::new(10.0, wrong), 2.5, 0.0)),
            (Pen::Lettering, label(Point::new(10.0, 10.0), wrong, 0.0)),
        ]
        .map(|(pen, mark)| {
            let mut drawing = Drawing::new();
            drawing.add(pen, mark);
            Page { drawing, ..sound.clone() }
        })
        .into();
        let turned = Affine::new([1.0, 0.0, 0.0, 1.0, 0.0, wrong]);
        broken.push(Page { trim: Some(turned), ..sound.clone() });
        broken.push(Page { size_mm: Size::new(210.0, wrong), ..sound.clone() });
        if wrong.abs() > 1e301 || wrong.is_nan() {
            let mut drawing = Drawing::new();
            drawing.add(Pen::Lettering, label(Point::new(10.0, 10.0), 2.5, wrong));
            broken.push(Page { drawing, ..sound.clone() });
        }
        for page in broken {
            let error = pdf(&[sound.clone(), page], &Meta::default()).unwrap_err();
            assert!(matches!(error, PaperError::NotFinite { .. }), "{error}");
            let message = error.to_string();
            assert!(
                message.contains("\"profile\"") && message.contains("not a number"),
                "{message}"
            );
        }
    }
}
