//! How long everything takes: a 40-node blank with 12 holes, and one of 10 000 nodes.

mod sample;

use criterion::{Criterion, criterion_group, criterion_main};
use reckon::tables::Tables;
use reckon::{Shop, numbers_json, readings, reckon};
use sample::knife;
use std::hint::black_box;

fn numbers(c: &mut Criterion) {
    let (shop, tables) = (Shop::default(), Tables::built_in());
    for nodes in [40, 1_000, 10_000] {
        let knife = knife(nodes);
        assert!(reckon(&knife, &shop, tables).profile.is_some_and(|p| p.contacts.is_empty()));
        c.bench_function(&format!("reckon {nodes} nodes, 12 holes"), |b| {
            b.iter(|| reckon(black_box(&knife), &shop, tables));
        });
        let reckoning = reckon(&knife, &shop, tables);
        c.bench_function(&format!("readings and JSON, {nodes} nodes"), |b| {
            b.iter(|| (readings(&knife, &reckoning), numbers_json(&knife, &reckoning).to_string()));
        });
    }
}

criterion_group!(benches, numbers);
criterion_main!(benches);
