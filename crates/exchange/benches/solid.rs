//! How long a whole knife takes to become a mesh, a 3MF file, and a picture.

#![expect(clippy::unwrap_used, reason = "a knife that can't be read stops the measuring")]

use criterion::{Criterion, criterion_group, criterion_main};
use exchange::printed::three_mf;
use exchange::solid::{USUAL_CHORD_MM, knife_parts};
use exchange::view::{Eye, Frame, Scene, picture};
use knife::Knife;
use reckon::tables::Tables;
use reckon::{Shop, reckon};

fn sample() -> Knife {
    let path =
        concat!(env!("CARGO_MANIFEST_DIR"), "/../../samples/bolstered-woodland-knife.blank.json");
    knife::file::open(&std::fs::read(path).unwrap()).unwrap().knife
}

fn solids(c: &mut Criterion) {
    let (knife, tables) = (sample(), Tables::built_in());
    let reckoning = reckon(&knife, &Shop::default(), tables);
    c.bench_function("mesh of a whole knife at 0.05 mm", |b| {
        b.iter(|| knife_parts(&knife, &reckoning, tables, USUAL_CHORD_MM).unwrap());
    });
    let parts = knife_parts(&knife, &reckoning, tables, USUAL_CHORD_MM).unwrap();
    c.bench_function("3MF of it", |b| b.iter(|| three_mf("knife", None, &parts).unwrap()));
    let scene = Scene::of(&parts);
    let eye = Eye::turned(-24.0, 30.0);
    for (what, wide, tall) in [("while it turns", 500, 280), ("still, four dots a dot", 1800, 1000)]
    {
        let frame = Frame::around(&scene, &eye, wide, tall);
        let name = format!("picture of {wide} × {tall} dots, {what}");
        c.bench_function(&name, |b| b.iter(|| picture(&scene, &eye, &frame)));
    }
}

criterion_group!(benches, solids);
criterion_main!(benches);
