//! Every grade on every blank, paper and shop, with and without a heat treatment: what is printed
//! when nothing is asked for, and the cards. A sample of them in the quick run; all with
//! `BLANKWRIGHT_WHOLE=1`, as `.ci/run` does.

use bench_tests::pages::{covered, faults};
use bench_tests::{blanks, root};
use knife::{Finish, Knife, Temper};
use marks::Pen;
use paper::Page;
use reckon::{Reckoning, Shop, reckon, tables::Tables};
use sheets::printing;
use sheets::sharing::{self, Sharing};
use std::collections::BTreeMap;
use std::env;
use std::fs;
use std::path::PathBuf;

const PAPERS: [&str; 7] = ["letter", "a4", "legal", "a5", "a3", "a0", "roll:610mm"];
/// The quick run takes every so manieth case: primes, so that every paper and shop is among them.
const SET_STRIDE: usize = 11;
const CARD_STRIDE: usize = 199;

/// A blank with what was worked out by a shop, on a paper.
struct Case<'a> {
    knife: &'a Knife,
    reckoning: &'a Reckoning,
    paper: &'a str,
}

impl Case<'_> {
    fn name(&self, page: &Page) -> String {
        let Knife { name, bar, .. } = self.knife;
        format!("{name} of {} on {}, {} {}", bar.grade, self.paper, page.number, page.name)
    }

    fn pages(&self, keys: &[&str], sharing: &Sharing) -> Vec<Page> {
        let has = printing::keys(self.reckoning);
        let sheets = keys.iter().filter(|key| has.contains(key));
        let sheets = sheets.filter_map(|key| printing::sheet(key, self.knife, self.reckoning));
        let setup = printing::setup(&self.knife.name, self.paper, Some("2026-11-26".into()));
        let setup = printing::for_knife(setup.unwrap(), self.knife);
        let laid = sharing::lay_out(sheets.collect(), sharing, &setup, &mut |_, _, _| ()).unwrap();
        assert!(laid.without_room.is_empty(), "{}: {:?}", self.knife.name, laid.without_room);
        laid.pages
    }
}

fn knives() -> Vec<Knife> {
    let open = |path: &PathBuf| knife::file::open(&fs::read(path).unwrap()).unwrap().knife;
    blanks().iter().map(open).collect()
}

fn shops() -> [Shop; 2] {
    let bytes = fs::read(root().join("samples/hollow-oak.shop.json")).unwrap();
    [Shop::default(), reckon::shop::file::open(&bytes).unwrap().shop]
}

/// Calls for every blank of every grade, by both shops, with and without treatment, on every
/// paper; in the quick run for every so manieth of them. Returns how many there were.
fn for_cases(grades: &[&str], stride: usize, act: &mut dyn FnMut(&Case<'_>)) -> usize {
    let stride = if env::var_os("BLANKWRIGHT_WHOLE").is_some() { 1 } else { stride };
    let shops = shops();
    let (mut count, mut taken) = (0, 0);
    for own in knives() {
        for grade in grades {
            for (shop, treated) in shops.iter().flat_map(|shop| [(shop, false), (shop, true)]) {
                let papers: Vec<&str> = PAPERS
                    .into_iter()
                    .filter(|_| {
                        count += 1;
                        count % stride == 0
                    })
                    .collect();
                if papers.is_empty() {
                    continue;
                }
                let mut knife = own.clone();
                if !grade.is_empty() {
                    (*grade).clone_into(&mut knife.bar.grade);
                }
                knife.treatment.temper = treated.then_some(Temper::Hardness(60.0));
                knife.treatment.finish = treated.then_some(Finish::Mirror);
                let reckoning = reckon(&knife, shop, Tables::built_in());
                for paper in papers {
                    taken += 1;
                    act(&Case { knife: &knife, reckoning: &reckoning, paper });
                }
            }
        }
    }
    taken
}

/// What is wrong with the pages of a case.
fn wrong(case: &Case<'_>, pages: &[Page]) -> Vec<String> {
    let mut found = Vec::new();
    for (i, page) in pages.iter().enumerate() {
        let name = case.name(page);
        found.extend(faults(page, 10.0).into_iter().map(|fault| format!("{name}: {fault}")));
        let rulers = page.drawing.items.iter().any(|item| item.pen == Pen::Ruler);
        let cut = page.drawing.items.iter().any(|item| item.pen == Pen::Cut);
        if cut && !rulers {
            found.push(format!("{name}: nothing shows its scale"));
        }
        if page.name.contains("tile") && ["heat", "build", "offsets"].contains(&page.key) {
            found.push(format!("{name}: text in tiles"));
        }
        if page.turn_deg != 0.0 && page.turn_deg.abs() < 10.0 {
            found.push(format!("{name}: turned by {}", page.turn_deg));
        }
        // The last page of a sheet may leave white.
        let last = pages.get(i + 1).is_none_or(|next| next.key != page.key);
        let share = covered(page, 10.0);
        // A tile's window is as large as its neighbours', whatever of the drawing it shows; and a
        // drawing comes in the reductions of ISO 5455 only, however much white that leaves.
        let min = match page.name.as_str() {
            name if name.contains("tile") => 0.4,
            name if name.contains("1 : ") => 0.35,
            _ => 0.5,
        };
        if !last && share < min {
            found.push(format!("{name}: only {share:.2} of it has anything on it"));
        }
    }
    found
}

#[test]
fn the_shop_set_is_small_and_clean_on_every_paper() {
    let mut found = Vec::new();
    let mut counts: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    let taken = for_cases(&[""], SET_STRIDE, &mut |case| {
        let pages = case.pages(printing::DEFAULT_SHEETS, &Sharing::Room);
        found.extend(wrong(case, &pages));
        let (min, max) = counts.entry(case.paper.to_owned()).or_insert((usize::MAX, 0));
        (*min, *max) = ((*min).min(pages.len()), (*max).max(pages.len()));
    });
    println!("{taken} cases; pages by paper: {counts:?}");
    assert!(taken > 40 && counts.len() == PAPERS.len(), "{taken} {counts:?}");
    assert!(found.is_empty(), "{} faults:\n{}", found.len(), found.join("\n"));
    for (paper, (_, max)) in counts {
        // Of a blank longer than its paper template, drilling and bevels take two tiles each; the
        // longest has 413 mm, more than A3 takes.
        let most = match paper.as_str() {
            "letter" | "a4" | "legal" => 10,
            "a5" if env::var_os("BLANKWRIGHT_WHOLE").is_some() => 28,
            "a5" => 24,
            "a3" => 6,
            _ => 1,
        };
        assert!(max <= most, "{paper}: {max} pages");
    }
}

/// As asked: large paper is filled without being asked, a roll is cut to its content.
#[test]
fn everything_stands_together_on_large_paper() {
    let mut found = Vec::new();
    for knife in knives() {
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        for (paper, most, least) in [("a0", 2, 0.5), ("a1", 3, 0.5), ("roll:610mm", 1, 0.6)] {
            let case = Case { knife: &knife, reckoning: &reckoning, paper };
            let pages = case.pages(printing::SHEETS, &Sharing::Room);
            for (i, page) in pages.iter().enumerate() {
                let name = case.name(page);
                found
                    .extend(faults(page, 10.0).into_iter().map(|fault| format!("{name}: {fault}")));
                let share = covered(page, 10.0);
                // The last page takes what is left.
                if share < least && (i == 0 || i + 1 < pages.len()) {
                    found.push(format!("{name}: only {share:.2} of it has anything on it"));
                }
            }
            if pages.len() > most {
                found.push(format!("{} on {paper}: {} pages", knife.name, pages.len()));
            }
            let on_pages = |title: &str| pages.iter().any(|page| page.name.contains(title));
            for title in ["Profile", "Build", "Heat", "Plan", "Offsets", "Sections", "Jigs"] {
                if !on_pages(title) {
                    found.push(format!("{} on {paper}: no {title}", knife.name));
                }
            }
        }
    }
    assert!(found.is_empty(), "{} faults:\n{}", found.len(), found.join("\n"));
}

#[test]
fn cards_flow_in_few_pages() {
    let grades: Vec<&str> =
        Tables::built_in().steels().iter().map(|steel| steel.grade.as_str()).collect();
    let mut found = Vec::new();
    let taken = for_cases(&grades, CARD_STRIDE, &mut |case| {
        for (key, most) in [("heat", 2), ("build", 2), ("offsets", 2)] {
            let pages = case.pages(&[key], &Sharing::Apart);
            found.extend(wrong(case, &pages));
            let most = match case.paper {
                "a5" => 3 * most,
                "a0" | "a3" | "roll:610mm" => 2.min(most),
                _ => most,
            };
            if pages.len() > most {
                found.push(format!("{}: {} pages", case.name(&pages[0]), pages.len()));
            }
        }
    });
    assert!(taken > 40, "{taken}");
    assert!(found.is_empty(), "{} faults:\n{}", found.len(), found.join("\n"));
}

/// As asked: four to five letter pages for a drop point.
#[test]
fn a_drop_point_prints_on_five_letter_pages() {
    let knife = knife::starter("drop-point").unwrap().knife();
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    for paper in ["letter", "a4"] {
        let case = Case { knife: &knife, reckoning: &reckoning, paper };
        let pages = case.pages(printing::DEFAULT_SHEETS, &Sharing::Room);
        let names: Vec<&str> = pages.iter().map(|page| page.name.as_str()).collect();
        assert!((4..=5).contains(&pages.len()), "{paper}: {names:?}");
        assert!(pages.iter().all(|page| page.turn_deg == 0.0 && !page.name.contains("tile")));
    }
}
