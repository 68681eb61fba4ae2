//! Reads pages back out of a PDF's own bytes: every painted path and every text, in millimetres
//! from the lower left corner, with its layer. Knows nothing of the writer.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Size};
use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};
use std::collections::BTreeMap;

const MM_PER_PT: f64 = 25.4 / 72.0;

/// A page as a reader sees it.
pub(crate) struct ReadPage {
    pub(crate) size_mm: Size,
    pub(crate) paths: Vec<ReadPath>,
    pub(crate) texts: Vec<ReadText>,
}

/// A path painted at once.
pub(crate) struct ReadPath {
    pub(crate) layer: String,
    pub(crate) path: BezPath,
    /// Line width; nought for a filled path.
    pub(crate) width_mm: f64,
    pub(crate) filled: bool,
}

/// A text shown at once.
pub(crate) struct ReadText {
    pub(crate) layer: String,
    pub(crate) text: String,
    pub(crate) font: String,
    pub(crate) at: Point,
    /// Type size after all transforms.
    pub(crate) size_mm: f64,
    pub(crate) turn_deg: f64,
}

impl ReadPage {
    /// The paths of a layer.
    pub(crate) fn layer<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a ReadPath> {
        self.paths.iter().filter(move |path| path.layer == name)
    }

    /// All texts in reading order of the file, joined by blanks.
    pub(crate) fn words(&self) -> String {
        self.texts.iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
    }
}

impl ReadPath {
    /// The two ends, if the path is one straight line.
    pub(crate) fn ends(&self) -> Option<(Point, Point)> {
        let mut segments = self.path.segments();
        match (segments.next(), segments.next()) {
            (Some(kurbo::PathSeg::Line(line)), None) => Some((line.p0, line.p1)),
            _ => None,
        }
    }

    /// The box of the line's ink.
    pub(crate) fn ink(&self) -> Rect {
        let half = self.width_mm / 2.0;
        self.path.bounding_box().inflate(half, half)
    }
}

/// Opens a PDF and reads its pages.
pub(crate) fn pages(bytes: &[u8]) -> Vec<ReadPage> {
    let document = Document::load_mem(bytes).unwrap();
    document.get_pages().into_values().map(|id| page(&document, id)).collect()
}

#[derive(Clone)]
struct State {
    ctm: Affine,
    width: f64,
}

fn page(document: &Document, id: ObjectId) -> ReadPage {
    let dictionary = document.get_dictionary(id).unwrap();
    let media: Vec<f64> =
        dictionary.get(b"MediaBox").unwrap().as_array().unwrap().iter().map(float).collect();
    let to_mm = Affine::scale(MM_PER_PT) * Affine::translate((-media[0], -media[1]));
    let resources = inner(document, dictionary, b"Resources");
    let properties = inner(document, &resources, b"Properties");
    let fonts = inner(document, &resources, b"Font");
    let content = Content::decode(&document.get_page_content(id)).unwrap();
    let mut read = ReadPage {
        size_mm: Size::new((media[2] - media[0]) * MM_PER_PT, (media[3] - media[1]) * MM_PER_PT),
        paths: Vec::new(),
        texts: Vec::new(),
    };
    let mut stack = Vec::new();
    let mut layers: Vec<String> = Vec::new();
    let mut state = State { ctm: to_mm, width: 1.0 };
    let mut path = BezPath::new();
    let mut text_matrix = Affine::IDENTITY;
    let mut font = (String::new(), 0.0);
    let mut maps: BTreeMap<String, BTreeMap<u16, String>> = BTreeMap::new();
    for operation in &content.operations {
        let n: Vec<f64> = operation.operands.iter().map(float).collect();
        let point = |k: usize| Point::new(n[k], n[k + 1]);
        match operation.operator.as_str() {
            "q" => stack.push(state.clone()),
            "Q" => state = stack.pop().unwrap(),
            "cm" => state.ctm *= matrix(&n),
            "w" => state.width = n[0],
            "BDC" => match operation.operands[1].as_name() {
                Ok(name) => {
                    let group = inner(document, &properties, name);
                    layers.push(string(group.get(b"Name").unwrap()));
                }
                // What the marks mean, within their layer.
                Err(_) => layers.push(layers.last().cloned().unwrap_or_default()),
            },
            "BMC" => layers.push(layers.last().cloned().unwrap_or_default()),
            "EMC" => drop(layers.pop().unwrap()),
            "m" => path.move_to(point(0)),
            "l" => path.line_to(point(0)),
            "c" => path.curve_to(point(0), point(2), point(4)),
            "h" => path.close_path(),
            "re" => {
                let rect = Rect::from_origin_size(point(0), (n[2], n[3]));
                path.extend(rect.path_elements(0.0));
            }
            "S" | "s" | "f" | "B" => {
                let filled = operation.operator == "f";
                let scale = state.ctm.determinant().abs().sqrt();
                read.paths.push(ReadPath {
                    layer: layers.last().cloned().unwrap_or_default(),
                    path: state.ctm * std::mem::take(&mut path),
                    width_mm: if filled { 0.0 } else { state.width * scale },
                    filled,
                });
            }
            "BT" => text_matrix = Affine::IDENTITY,
            "Tf" => {
                let name = operation.operands[0].as_name().unwrap();
                let key = String::from_utf8(name.to_vec()).unwrap();
                maps.entry(key.clone())
                    .or_insert_with(|| to_unicode(document, &inner(document, &fonts, name)));
                font = (key, n[1]);
            }
            "Tm" => text_matrix = matrix(&n),
            "Tj" => {
                let bytes = operation.operands[0].as_str().unwrap();
                let map = &maps[&font.0];
                let codes = bytes.chunks(2).map(|two| u16::from_be_bytes([two[0], two[1]]));
                let whole = state.ctm * text_matrix;
                let c = whole.as_coeffs();
                read.texts.push(ReadText {
                    layer: layers.last().cloned().unwrap_or_default(),
                    text: codes.map(|code| map[&code].clone()).collect(),
                    font: font.0.clone(),
                    at: whole * Point::ORIGIN,
                    size_mm: font.1 * c[2].hypot(c[3]),
                    turn_deg: c[1].atan2(c[0]).to_degrees(),
                });
            }
            "J" | "j" | "d" | "G" | "g" | "ET" => {}
            other => panic!("an operator this reader does not know: {other}"),
        }
    }
    assert!(stack.is_empty() && layers.is_empty(), "q and Q, BDC and EMC come in pairs");
    read
}

fn matrix(n: &[f64]) -> Affine {
    Affine::new([n[0], n[1], n[2], n[3], n[4], n[5]])
}

fn float(object: &Object) -> f64 {
    object.as_float().map_or(f64::NAN, f64::from)
}

/// A dictionary inside another, wherever it is kept.
pub(crate) fn inner(document: &Document, outer: &Dictionary, key: &[u8]) -> Dictionary {
    match outer.get(key).unwrap() {
        Object::Reference(id) => document.get_dictionary(*id).unwrap().clone(),
        object => object.as_dict().unwrap().clone(),
    }
}

/// A text string, ASCII or UTF-16.
pub(crate) fn string(object: &Object) -> String {
    let bytes = object.as_str().unwrap();
    match bytes.strip_prefix(&[0xFE, 0xFF]) {
        Some(units) => {
            let units: Vec<u16> =
                units.chunks(2).map(|two| u16::from_be_bytes([two[0], two[1]])).collect();
            String::from_utf16(&units).unwrap()
        }
        None => String::from_utf8(bytes.to_vec()).unwrap(),
    }
}

/// The font's own map from codes to text.
fn to_unicode(document: &Document, font: &Dictionary) -> BTreeMap<u16, String> {
    let id = font.get(b"ToUnicode").unwrap().as_reference().unwrap();
    let stream = document.get_object(id).unwrap().as_stream().unwrap();
    let map = String::from_utf8(stream.decompressed_content().unwrap()).unwrap();
    let hex = |token: &str| -> Vec<u16> {
        let digits = token.trim_matches(['<', '>']);
        (0..digits.len() / 4)
            .map(|k| u16::from_str_radix(&digits[4 * k..4 * k + 4], 16).unwrap())
            .collect()
    };
    let mut codes = BTreeMap::new();
    let mut inside = false;
    for line in map.lines() {
        match line.split_whitespace().collect::<Vec<_>>()[..] {
            [_, "beginbfchar"] => inside = true,
            ["endbfchar"] => inside = false,
            [code, text] if inside => {
                codes.insert(hex(code)[0], String::from_utf16(&hex(text)).unwrap());
            }
            _ => {}
        }
    }
    codes
}
