//! The points of an unfinished drawing in a recovery file.

use knife::limits;
use kurbo::{Point, Vec2};
use outline::{Knot, Run};
use serde_json::{Value, json};

/// The points as a recovery file holds them.
pub(super) fn write(knots: &[Knot]) -> Value {
    knots.iter().map(write_one).collect()
}

fn write_one(knot: &Knot) -> Value {
    let run = match knot.run {
        Run::Curve => json!("curve"),
        Run::Straight => json!("straight"),
        Run::Arc(turn) => json!({ "arc": turn }),
        Run::Handles(leave, arrive) => {
            json!({ "handles": [leave.x, leave.y, arrive.x, arrive.y] })
        }
    };
    json!({ "at_mm": [knot.at.x, knot.at.y], "corner": knot.corner, "run": run })
}

/// The points of a recovery file; those before the first that can't be read.
pub(super) fn read(value: Option<&Value>) -> Vec<Knot> {
    let list = value.and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
    list.iter().take(*limits::NODES.end()).map_while(read_one).collect()
}

fn read_one(value: &Value) -> Option<Knot> {
    let [x, y] = numbers(value.get("at_mm")?)?;
    let corner = value.get("corner")?.as_bool()?;
    let run = match value.get("run")? {
        Value::String(word) if word == "curve" => Run::Curve,
        Value::String(word) if word == "straight" => Run::Straight,
        run => match (run.get("arc"), run.get("handles")) {
            (Some(turn), _) => Run::Arc(turn.as_f64().filter(|turn| turn.abs() < 7.0)?),
            (None, handles) => {
                let [a, b, c, d] = numbers(handles?)?;
                Run::Handles(Vec2::new(a, b), Vec2::new(c, d))
            }
        },
    };
    Some(Knot { at: Point::new(x, y), corner, run })
}

/// Numbers that may be coordinates.
fn numbers<const N: usize>(value: &Value) -> Option<[f64; N]> {
    let is_place = |n: &f64| limits::COORDINATE_MM.contains(n);
    let all: Option<Vec<f64>> =
        value.as_array()?.iter().map(|n| n.as_f64().filter(is_place)).collect();
    all?.try_into().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_are_read_as_they_were_written_and_nonsense_ends_them() {
        let at = |x: f64, run| Knot { at: Point::new(x, -0.1), corner: x > 2.0, run };
        let knots = [
            at(1.0, Run::Curve),
            at(2.0, Run::Straight),
            at(3.0, Run::Arc(-1.25)),
            at(4.0, Run::Handles(Vec2::new(0.1, 0.2), Vec2::new(-3.0, 4.0))),
        ];
        let mut value = write(&knots);
        assert_eq!(read(Some(&value)), knots);
        value[1]["at_mm"] = json!([1e300, 0.0]);
        assert_eq!(read(Some(&value)), knots[..1]);
        assert!(read(None).is_empty() && read(Some(&json!(7))).is_empty());
    }
}
