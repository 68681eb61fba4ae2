//! How long a whole knife takes to become a mesh, and a 3MF file.

#![expect(clippy::unwrap_used, reason = "a knife that can't be read stops the measuring")]

use criterion::{Criterion, criterion_group, criterion_main};
use exchange::printed::three_mf;
use exchange::solid::{USUAL_CHORD_MM, knife_parts};
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
}

criterion_group!(benches, solids);
criterion_main!(benches);
