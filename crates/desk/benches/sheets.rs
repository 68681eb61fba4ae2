//! All sheets of one knife, from its numbers to the bytes of the PDF, in process.

use criterion::{Criterion, criterion_group, criterion_main};
use reckon::{Shop, reckon, tables::Tables};
use sheets::printing;
use std::hint::black_box;

#[expect(clippy::print_stderr, reason = "size and memory are figures that no timing tells")]
fn sheets(c: &mut Criterion) {
    let Some(starter) = knife::starter("drop-point") else { return };
    let knife = starter.knife();
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    let set = printing::sheets(&knife, &reckoning);
    let pages = printing::pages(&knife, &set, "letter", None).unwrap_or_default();
    let bytes = printing::pdf(&knife, &pages, None).map_or(0, |pdf| pdf.len());
    eprintln!("all sheets, letter: {} pages, {bytes} bytes, {}", pages.len(), peak());
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

/// The most memory this process has held so far, as Linux tells it.
fn peak() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.map_or("memory unknown".to_owned(), |kb| format!("at most {} of memory", kb.trim()))
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = sheets
}
criterion_main!(benches);
