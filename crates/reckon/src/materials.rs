//! What to have before the work begins: one line a material, with what to cut or mix of it.

mod sheath_lines;

use crate::tables::{GLUE, Tables};
use crate::{Block, PiecePart, PinKind, Reckoning, RodFigures, Shop};
use knife::Knife;
use std::f64::consts::PI;
use units::{show_decimal, show_number};

/// One material of the list. Measures that don't apply are `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MaterialLine {
    /// What it becomes, in words.
    pub part: &'static str,
    /// Its name, once chosen.
    pub material: Option<String>,
    /// How many pieces.
    pub count: usize,
    /// Length of one piece, mm; of rod and tube all of it, without saw cuts.
    pub length_mm: Option<f64>,
    /// Width of one piece, mm.
    pub width_mm: Option<f64>,
    /// Thickness of one piece, mm.
    pub thickness_mm: Option<f64>,
    /// Diameter, of a screw its shank's, mm.
    pub diameter_mm: Option<f64>,
    /// A tube's bore, or the diameter of a screw's heads, mm.
    pub second_diameter_mm: Option<f64>,
    /// Volume to mix, ml.
    pub volume_ml: Option<f64>,
    /// All pieces together, g, where the density is known.
    pub mass_g: Option<f64>,
    /// What else there is to say.
    pub note: String,
}

impl MaterialLine {
    fn block(part: &'static str, material: Option<&str>, count: usize, block: Block) -> Self {
        Self {
            part,
            material: material.map(str::to_owned),
            count,
            length_mm: Some(block.length_mm),
            width_mm: Some(block.width_mm),
            thickness_mm: Some(block.thickness_mm),
            ..Self::default()
        }
    }

    /// Adds the mass by the table's density of its material.
    fn weighed(mut self, mm3: f64, tables: &Tables) -> Self {
        let density = self.material.as_deref().and_then(|name| tables.material(name));
        self.mass_g = density.map(|material| material.density_g_cm3 * mm3 / 1000.0);
        self
    }

    /// Adds the mass of its blocks.
    fn weighed_whole(self, tables: &Tables) -> Self {
        let sides = [self.length_mm, self.width_mm, self.thickness_mm];
        let one_mm3: f64 = sides.iter().map(|mm| mm.unwrap_or(0.0)).product();
        let mm3 = one_mm3 * f64::from(u32::try_from(self.count).unwrap_or(u32::MAX));
        self.weighed(mm3, tables)
    }
}

/// The list, in the order of the work: bar, scales, liners, bolsters, pins, glue, sheath.
pub fn material_list(
    knife: &Knife,
    reckoning: &Reckoning,
    shop: &Shop,
    tables: &Tables,
) -> Vec<MaterialLine> {
    let mut lines = Vec::new();
    lines.extend(bar(knife, reckoning, shop, tables));
    lines.extend(sides(knife, reckoning, tables));
    if let Some(fit) = &reckoning.fit {
        lines.extend(fit.rods.iter().map(|stock| rod(knife, reckoning, stock, tables)));
        let glue = &fit.glue;
        lines.push(MaterialLine {
            part: "glue",
            material: Some(GLUE.to_owned()),
            count: 1,
            volume_ml: Some(glue.mixed_ml),
            mass_g: glue.mixed_g,
            note: format!("{} ml of it stays in the knife", show_number(glue.stays_ml(), 2)),
            ..MaterialLine::default()
        });
    }
    if let Some(Ok(sheath)) = &reckoning.sheath {
        lines.extend(sheath_lines::lines(knife, sheath, tables));
    }
    lines
}

/// The stretch of bar that the blank takes as it lies, and at both ends what chain drilling or the
/// saw leaves outside the line.
fn bar(knife: &Knife, reckoning: &Reckoning, shop: &Shop, tables: &Tables) -> Option<MaterialLine> {
    let (bar, figures) = (&knife.bar, reckoning.bar.as_ref()?);
    let taken_mm = bar.length_mm - figures.margins.left_mm - figures.margins.right_mm;
    let chained = reckoning.chain.as_ref().filter(|chain| !chain.holes.is_empty());
    let (room_mm, why) = match chained {
        Some(chain) => {
            let cutting = &chain.drilling;
            (cutting.offset_mm() + cutting.drill_mm / 2.0, "drilled out")
        }
        None => (shop.limits.saw_leave_mm, "sawn"),
    };
    let block = Block {
        length_mm: taken_mm + 2.0 * room_mm,
        width_mm: bar.width_mm,
        thickness_mm: bar.thickness_mm,
    };
    let grade = Some(bar.grade.trim()).filter(|grade| !grade.is_empty());
    let mut line = MaterialLine::block("bar", grade, 1, block);
    let density = shop.density_g_cm3(&bar.grade, tables);
    let mm3 = block.length_mm * block.width_mm * block.thickness_mm;
    line.mass_g = density.map(|density| density * mm3 / 1000.0);
    line.note = if block.length_mm > bar.length_mm {
        format!("{why}; longer than the bar stated")
    } else {
        format!("length to cut, {why}")
    };
    Some(line)
}

/// Scales, liners and bolsters as rough blocks.
fn sides(knife: &Knife, reckoning: &Reckoning, tables: &Tables) -> Vec<MaterialLine> {
    let Some(scales) = &reckoning.scales else { return Vec::new() };
    let handle = &knife.handle;
    let left = handle.scales.as_deref();
    let mut lines = Vec::new();
    if let Some(piece) = scales.scale() {
        match handle.right_scale.as_deref().filter(|right| Some(*right) != left) {
            Some(right) => {
                lines.push(MaterialLine::block("left scale", left, 1, piece.block));
                lines.push(MaterialLine::block("right scale", Some(right), 1, piece.block));
            }
            None => {
                let mut line = MaterialLine::block("scales", left, 2, piece.block);
                line.note = scales.book.as_ref().map_or_else(String::new, |book| {
                    let length = |mm: f64| show_decimal(mm, knife.unit, (2, 3));
                    let Block { length_mm, width_mm, thickness_mm } = book.block;
                    format!(
                        "or one block of {} × {} × {}, sawn through its thickness",
                        length(length_mm),
                        length(width_mm),
                        length(thickness_mm)
                    )
                });
                lines.push(line);
            }
        }
    }
    if let Some(liners) = &handle.liners {
        let bounds = scales.outline.bounds();
        let room_mm = 2.0 * handle.allowance_mm();
        let block = Block {
            length_mm: bounds.width() + room_mm,
            width_mm: bounds.height() + room_mm,
            thickness_mm: liners.thickness_mm,
        };
        lines.push(MaterialLine::block("liners", liners.material.as_deref(), 2, block));
    }
    for piece in &scales.pieces {
        let bolster = match piece.part {
            PiecePart::FrontBolster => &handle.front_bolster,
            PiecePart::RearBolster => &handle.rear_bolster,
            PiecePart::Scale => continue,
        };
        let material = bolster.as_ref().and_then(|bolster| bolster.material.as_deref());
        let part = match piece.part {
            PiecePart::FrontBolster => "front bolsters",
            _ => "rear bolsters",
        };
        lines.push(MaterialLine::block(part, material, 2, piece.block));
    }
    lines.into_iter().map(|line| line.weighed_whole(tables)).collect()
}

fn rod(knife: &Knife, reckoning: &Reckoning, stock: &RodFigures, tables: &Tables) -> MaterialLine {
    let all = reckoning.fit.iter().flat_map(|fit| &fit.pins);
    let own = all.filter(|pin| {
        pin.kind == stock.kind && pin.diameter_mm.to_bits() == stock.diameter_mm.to_bits()
    });
    let mut lengths: Vec<String> =
        own.map(|pin| show_decimal(pin.length_mm, knife.unit, (2, 3))).collect();
    let round = |mm: f64| PI * mm * mm / 4.0;
    let section_mm2 = match stock.kind {
        PinKind::Tube { bore_mm } => (round(stock.diameter_mm) - round(bore_mm)).max(0.0),
        _ => round(stock.diameter_mm),
    };
    let is_screw = matches!(stock.kind, PinKind::Screw { .. });
    lengths.dedup();
    let line = MaterialLine {
        part: match stock.kind {
            PinKind::Rod => "rod for pins",
            PinKind::Tube { .. } => "tube",
            PinKind::Screw { .. } => "screws",
        },
        material: knife.handle.pins.clone(),
        count: stock.count,
        length_mm: Some(if is_screw { stock.longest_mm } else { stock.total_mm }),
        diameter_mm: Some(stock.diameter_mm),
        second_diameter_mm: stock.kind.other_mm(),
        note: if is_screw {
            "length over both heads, before they are filed flush".to_owned()
        } else {
            format!("all pieces, {} each; saw cuts come on top", lengths.join(", "))
        },
        ..MaterialLine::default()
    };
    // A screw is bought as it is: its mass is its maker's matter.
    if is_screw { line } else { line.weighed(section_mm2 * stock.total_mm, tables) }
}

/// The columns of the list as CSV.
const COLUMNS: [&str; 11] = [
    "part",
    "material",
    "count",
    "length_mm",
    "width_mm",
    "thickness_mm",
    "diameter_mm",
    "second_diameter_mm",
    "volume_ml",
    "mass_g",
    "note",
];

/// The list as CSV (RFC 4180): a head of column names, then a row a line; what doesn't apply or
/// isn't known is empty. Numbers have a point and three decimals.
///
/// # Errors
/// What the writer says; none is known to happen in memory.
pub fn material_csv(lines: &[MaterialLine]) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for line in lines {
        let number = |value: Option<f64>| match value.filter(|value| value.is_finite()) {
            Some(value) => format!("{value:.3}"),
            None => String::new(),
        };
        writer.write_record([
            line.part.to_owned(),
            line.material.clone().unwrap_or_default(),
            line.count.to_string(),
            number(line.length_mm),
            number(line.width_mm),
            number(line.thickness_mm),
            number(line.diameter_mm),
            number(line.second_diameter_mm),
            number(line.volume_ml),
            number(line.mass_g),
            line.note.clone(),
        ])?;
    }
    let bytes = writer.into_inner().map_err(|why| csv::Error::from(why.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::drilled;
    use crate::{Shop, reckon};
    use knife::{Bolster, Fixing, HoleId, Liners, Scales};

    fn list(knife: &Knife) -> Vec<MaterialLine> {
        let (shop, tables) = (Shop::default(), Tables::built_in());
        material_list(knife, &reckon(knife, &shop, tables), &shop, tables)
    }

    fn handled() -> Knife {
        let mut knife = drilled(&[(150.0, 0.0, 6.35), (170.0, 0.0, 6.35), (185.0, 0.0, 6.0)]);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        knife.handle.glue_mm = Some(0.1);
        knife.handle.allowance_mm = Some(4.0);
        knife.handle.pins = Some("brass C26000".to_owned());
        knife.handle.scales = Some("sugar maple".to_owned());
        knife
    }

    fn near(found: Option<f64>, expected: f64) {
        assert!(found.is_some_and(|found| (found - expected).abs() < 1e-9), "{found:?} {expected}");
    }

    // By hand: one side of 80 × 30 mm with 4 mm on every side is 88 × 38 × 6; a pair in maple of
    // 0.706 g/cm³ weighs 28.33 g. Three pins of 18.375 mm, of which two are of one rod.
    #[test]
    fn everything_is_listed_with_what_to_cut_of_it() {
        let lines = list(&handled());
        let parts: Vec<&str> = lines.iter().map(|line| line.part).collect();
        assert_eq!(parts, ["bar", "scales", "rod for pins", "rod for pins", "glue"]);
        let scales = &lines[1];
        near(scales.length_mm, 88.0);
        near(scales.width_mm, 38.0);
        near(scales.thickness_mm, 6.0);
        near(scales.mass_g, 2.0 * 88.0 * 38.0 * 6.0 * 0.706 / 1000.0);
        assert_eq!((scales.count, lines[2].count), (2, 2));
        near(lines[2].length_mm, 36.75);
        near(lines[2].mass_g, PI * 6.35 * 6.35 / 4.0 * 36.75 * 8.53 / 1000.0);
        assert!(lines[2].note.starts_with("all pieces, 18.38 mm each"), "{}", lines[2].note);
        // The blank lies 200 mm along its bar.
        let cutting = handled().cutting;
        assert!(cutting.is_none());
        let room = lines[0].length_mm.unwrap() - 200.0;
        assert!((0.0..20.0).contains(&room), "{room}");
        near(lines[4].mass_g, lines[4].volume_ml.unwrap() * 1.15);
    }

    #[test]
    fn liners_bolsters_tubes_screws_and_two_kinds_of_scales_have_lines_of_their_own() {
        let mut knife = handled();
        knife.handle.right_scale = Some("black walnut".to_owned());
        knife.handle.liners = Some(Liners { thickness_mm: 1.0, material: None });
        knife.handle.front_bolster = Some(Bolster { length_mm: 10.0, material: None });
        let screw = Fixing::Screw { head_mm: 9.0, head_deep_mm: 3.0 };
        knife.handle.fixings = vec![(HoleId(1), screw), (HoleId(2), Fixing::Tube { bore_mm: 5.0 })];
        let lines = list(&knife);
        let parts: Vec<&str> = lines.iter().map(|line| line.part).collect();
        let expected = [
            "bar",
            "left scale",
            "right scale",
            "liners",
            "front bolsters",
            "screws",
            "tube",
            "rod for pins",
            "glue",
        ];
        assert_eq!(parts, expected);
        // By hand: 70 mm of scale, 80 of liner, 10 of bolster, 4 mm on every side.
        near(lines[1].length_mm, 78.0);
        near(lines[3].length_mm, 88.0);
        near(lines[4].length_mm, 18.0);
        assert_eq!(
            (lines[5].second_diameter_mm, lines[6].second_diameter_mm),
            (Some(9.0), Some(5.0))
        );
        assert_eq!((&lines[3].material, lines[3].mass_g), (&None, None));
    }

    /// RFC 4180: fields with a comma, a quote or a line break stand in quotes, quotes doubled.
    #[test]
    fn csv_holds_any_name() {
        let mut knife = handled();
        knife.handle.scales = Some("curly \"tiger\" maple,\nstabilised".to_owned());
        let csv = material_csv(&list(&knife)).unwrap();
        assert!(csv.contains("\"curly \"\"tiger\"\" maple,\nstabilised\""), "{csv}");
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), COLUMNS);
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), 5);
        assert_eq!(&rows[1][1], "curly \"tiger\" maple,\nstabilised");
        assert_eq!(&rows[1][3], "88.000");
    }
}
