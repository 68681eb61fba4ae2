//! All sheets of one knife, from its numbers to the bytes of the PDF, in process, sharing pages as
//! they print. Wanted: 50 ms on letter, 100 ms off a roll.

use criterion::{Criterion, criterion_group, criterion_main};
use reckon::{Shop, reckon, tables::Tables};
use sheets::printing;
use sheets::sharing::{self, Sharing};
use std::hint::black_box;

#[expect(clippy::print_stderr, reason = "size and memory are figures that no timing tells")]
fn sheets(c: &mut Criterion) {
    let Some(starter) = knife::starter("drop-point") else { return };
    let knife = starter.knife();
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    let print = |paper: &str| -> Option<(usize, usize)> {
        let sheets = printing::sheets(black_box(&knife), &reckoning);
        let setup = printing::setup(&knife.name, paper, None).ok()?;
        let laid = sharing::lay_out(sheets, &Sharing::Room, &setup, &mut |_, _, _| ()).ok()?;
        let bytes = printing::pdf(&knife, &laid.pages, None).ok()?;
        Some((laid.pages.len(), bytes.len()))
    };
    for paper in ["letter", "a4", "a0", "roll:610mm"] {
        let (pages, bytes) = print(paper).unwrap_or_default();
        eprintln!("all sheets, {paper}: {pages} pages, {bytes} bytes, {}", peak());
        c.bench_function(&format!("all sheets, {paper}"), |b| b.iter(|| print(paper)));
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
