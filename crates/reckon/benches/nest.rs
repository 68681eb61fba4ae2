//! How long it takes to lay blanks on a bar, and to chain-drill one.

use criterion::{Criterion, criterion_group, criterion_main};
use knife::{Knife, STARTERS, starter};
use reckon::tables::Tables;
use reckon::{NestOptions, Shop, nest, reckon};

fn some(keys: &[&str]) -> Vec<Knife> {
    let made = keys.iter().filter_map(|key| starter(key)).map(|starter| starter.knife());
    made.map(|knife| Knife { bar: STARTERS[0].knife().bar, ..knife }).collect()
}

fn laying(c: &mut Criterion) {
    let (shop, tables) = (Shop::default(), Tables::built_in());
    let mut group = c.benchmark_group("nest");
    group.sample_size(10);
    let four: &[&str] = &["drop-point", "skinner", "tanto", "clip-point"];
    let one: &[&str] = &["drop-point"];
    let cases = [
        ("24 of one on 2 in", one, 24, 50.8, None),
        ("24 of one on bars of 48 in", one, 24, 50.8, Some(1219.2)),
        ("24 of four on 2 in", four, 6, 50.8, None),
        ("24 of four on 3 in", four, 6, 76.2, None),
        ("24 of four on 8 in", four, 6, 203.2, None),
    ];
    for (name, keys, copies, width_mm, length_mm) in cases {
        let knives = some(keys);
        let all: Vec<&Knife> = knives.iter().collect();
        let wish =
            NestOptions { copies, width_mm: Some(width_mm), length_mm, ..NestOptions::default() };
        group.bench_function(name, |b| {
            b.iter(|| nest(&all, &wish, &shop, tables, &mut |_| true));
        });
    }
    group.finish();
    let knife = some(&["drop-point"]).remove(0);
    c.bench_function("reckon a starter with its chain", |b| {
        b.iter(|| reckon(&knife, &shop, tables));
    });
}

criterion_group!(benches, laying);
criterion_main!(benches);
