//! Temporary: completes the samples by edits.
use knife::*;
use std::fs;

fn go(
    name: &str,
    notes: &str,
    scales: &str,
    pins: &str,
    hrc: f64,
    finish: Finish,
    heating: Heating,
    angle: f64,
) {
    let path = format!("{}/../../samples/{name}.blank.json", env!("CARGO_MANIFEST_DIR"));
    let mut k = file::open(&fs::read(&path).unwrap()).unwrap().knife;
    let mut handle = k.handle.clone();
    handle.scales = Some(scales.into());
    handle.pins = Some(pins.into());
    for edit in [
        Edit::SetNotes(notes.into()),
        Edit::SetHandle(handle),
        Edit::ChooseTemper(Some(Temper::Hardness(hrc))),
        Edit::ChooseFinish(Some(finish)),
        Edit::ChooseHeating(Some(heating)),
        Edit::SetSharpening(Some(Sharpening { angle_deg: angle, edge_mm: None })),
    ] {
        k = edit.apply(&k).unwrap();
    }
    fs::write(&path, file::save(&k)).unwrap();
}

#[test]
fn complete() {
    go(
        "first-knife",
        "A first knife: short, strong and forgiving. Hollow Oak evening class, first term: every curve can be reached with a half-round file or a small drum, and the two pins stand well away from every edge.",
        "sugar maple",
        "brass C36000",
        59.0,
        Finish::Satin,
        Heating::OpenForge,
        20.0,
    );
    go(
        "woodland-camp-knife",
        "A stout blade for splitting kindling and carving pegs. Hollow Oak evening class, second term: the spine stays full thickness right up to the drop.",
        "canvas phenolic",
        "stainless steel 304/316",
        58.0,
        Finish::Stonewash,
        Heating::Oven,
        22.0,
    );
    go(
        "scalloped-camp-knife",
        "The woodland blade again, with jimping for the thumb and scallops along the scales. Hollow Oak evening class, second term.",
        "linen phenolic",
        "stainless steel 304/316",
        58.0,
        Finish::Stonewash,
        Heating::Oven,
        22.0,
    );
    go(
        "bolstered-woodland-knife",
        "The woodland blade again, with nickel silver at both ends of a book-matched handle. Hollow Oak evening class, third term.",
        "black walnut",
        "nickel silver C75200",
        58.0,
        Finish::Satin,
        Heating::Oven,
        20.0,
    );
    go(
        "long-slicer",
        "A slicer for the harvest supper, longer than a sheet of paper. Hollow Oak evening class: join the printed sheets on their marks and check the full length with a steel rule before you scribe.",
        "black cherry",
        "brass C36000",
        60.0,
        Finish::Satin,
        Heating::OpenForge,
        17.0,
    );
    go(
        "petty-for-a-friend",
        "A thin kitchen blade, 15 cm on the edge, with a handle for a large hand. Hollow Oak evening class: leave the tip full until after the quench, as 90MnCrV8 is cut here from 3 mm bar and the point is thin.",
        "ebony",
        "stainless steel 304/316",
        60.0,
        Finish::Satin,
        Heating::Oven,
        15.0,
    );
}
