//! All sheets of one knife, from its numbers to the bytes of the PDF, in process.

use criterion::{Criterion, criterion_group, criterion_main};
use desk::printing;
use reckon::{Shop, reckon, tables::Tables};
use std::hint::black_box;

fn sheets(c: &mut Criterion) {
    let Some(starter) = knife::starter("drop-point") else { return };
    let knife = starter.knife();
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    for paper in ["letter", "a4", "a0", "roll:610mm"] {
        c.bench_function(&format!("all sheets, {paper}"), |b| {
            b.iter(|| {
                let sheets = printing::sheets(black_box(&knife), &reckoning);
                let pages = printing::pages(&knife, &sheets, paper, None).unwrap_or_default();
                printing::pdf(&knife, &pages, None)
            });
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = sheets
}
criterion_main!(benches);
