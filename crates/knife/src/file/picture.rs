//! The picture under the blank, in the file.

use super::fault::Problem;
use super::fields::{Faults, Fields};
use crate::{Picture, PicturePlacement, limits};
use serde_json::{Value, json};

const SUM: &str = "the 16 hexadecimal digits of a sum";
const NUMBERS: &str = "a number";
const PLACEMENT: &str = "nine numbers that lay a picture in front of the camera, the last one 1";

pub(super) fn read(file: &Fields<'_>, faults: &mut Faults) -> Option<Picture> {
    let known = ["path", "sum", "mm_from_view", "distortion"];
    let fields = Fields::open(file.get("picture")?, "picture", &known, faults)?;
    let path = fields.optional_text("path", limits::PATH_CHARS, faults);
    if fields.get("path").is_none() || path.as_ref().is_some_and(String::is_empty) {
        faults.note(fields.at("path"), Problem::Missing { expected: "the picture's file" });
    }
    let digits = fields.text("sum", 16, faults);
    let sum = u64::from_str_radix(&digits, 16).ok().filter(|_| digits.len() == 16);
    if sum.is_none() {
        let found = format!("\"{digits}\"");
        faults.note(fields.at("sum"), Problem::WrongKind { expected: SUM, found });
    }
    let [a, b, c, d, e, f, g, h, i] = numbers(&fields, "mm_from_view", faults)?;
    let distortion = match fields.get("distortion") {
        Some(_) => numbers(&fields, "distortion", faults)?,
        None => [0.0, 0.0],
    };
    let placement =
        PicturePlacement { mm_from_view: [[a, b, c], [d, e, f], [g, h, i]], distortion };
    if !placement.is_sound() {
        let found = "a placement that no camera gives".to_owned();
        faults.note(fields.at("mm_from_view"), Problem::WrongKind { expected: PLACEMENT, found });
        return None;
    }
    Some(Picture { path: path.filter(|path| !path.is_empty())?, sum: sum?, placement })
}

/// A list of just so many numbers.
fn numbers<const N: usize>(
    fields: &Fields<'_>,
    key: &str,
    faults: &mut Faults,
) -> Option<[f64; N]> {
    let list = fields.list(key, &(N..=N), faults);
    let mut all = [0.0; N];
    for (i, value) in list.iter().enumerate() {
        let Some(number) = value.as_f64() else {
            let found = value.to_string().chars().take(20).collect();
            let place = format!("{}[{i}]", fields.at(key));
            faults.note(place, Problem::WrongKind { expected: NUMBERS, found });
            return None;
        };
        all[i] = number;
    }
    (list.len() == N).then_some(all)
}

pub(super) fn write(picture: &Picture) -> Value {
    let PicturePlacement { mm_from_view, distortion } = picture.placement;
    let mut value = json!({
        "path": picture.path,
        "sum": format!("{:016x}", picture.sum),
        "mm_from_view": mm_from_view.as_flattened(),
    });
    if let (Some(map), true) = (value.as_object_mut(), distortion != [0.0, 0.0]) {
        map.insert("distortion".into(), json!(distortion));
    }
    value
}
