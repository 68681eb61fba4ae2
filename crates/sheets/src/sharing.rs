//! Which sheets share a page: none, all for which there is room, or as the maker arranged them.

use paper::{Page, PageSetup, Paper, PaperError, Sheet};

/// The sheets that share a page of any size without being asked: drawings. On large paper all do,
/// cards and tables too.
const DRAWN: &[&str] = &["profile", "drilling", "bevels", "scales", "strips", "bar", "plan"];

/// The sheets that are measured themselves, the proof and the mat: they stand alone.
const ALONE: [&str; 2] = [paper::PROOF, "mat"];

/// Whether the sheet of this key may share its page with others.
pub fn may_share(key: &str) -> bool {
    !ALONE.contains(&key)
}

/// Which sheets share a page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Sharing {
    /// None: each has its own.
    Apart,
    /// Neighbours wherever there is room.
    #[default]
    Room,
    /// As arranged: for each page the keys of its sheets, all in order.
    Arranged(Vec<Vec<String>>),
}

impl Sharing {
    /// Whether the sheet of one key is wanted on the page of the one before it; `is_large` tells
    /// whether the paper is.
    pub fn joins(&self, before: &str, key: &str, is_large: bool) -> bool {
        may_share(before)
            && may_share(key)
            && match self {
                Self::Apart => false,
                Self::Room => is_large || [before, key].iter().all(|own| DRAWN.contains(own)),
                Self::Arranged(pages) => pages
                    .iter()
                    .any(|keys| keys.windows(2).any(|pair| pair[0] == before && pair[1] == key)),
            }
    }

    /// The same for these sheets alone: those that are left out are no longer among the arranged,
    /// and those that were not come each on a page of its own, after the page of the one before
    /// it in the order of the work.
    #[must_use]
    pub fn among(&self, keys: &[&str]) -> Self {
        let Self::Arranged(pages) = self else { return self.clone() };
        let mut pages = pages.clone();
        for page in &mut pages {
            page.retain(|key| keys.contains(&key.as_str()));
        }
        pages.retain(|page| !page.is_empty());
        let mut before: Option<&str> = None;
        for key in keys {
            if page_of(&pages, key).is_none() {
                let at = before.and_then(|before| page_of(&pages, before)).map_or(0, |at| at + 1);
                pages.insert(at, vec![(*key).to_owned()]);
            }
            before = Some(key);
        }
        Self::Arranged(pages)
    }

    /// Puts sheets in the order arranged, if one was.
    pub fn order(&self, sheets: &mut [Sheet]) {
        if let Self::Arranged(pages) = self {
            let all: Vec<&String> = pages.iter().flatten().collect();
            sheets.sort_by_key(|sheet| all.iter().position(|key| *key == sheet.key));
        }
    }

    /// The words of the command line that ask for the same, such as `--sheets profile+scales,bar`;
    /// none are needed where sheets share pages as there is room.
    pub fn command_line_value(&self) -> Option<String> {
        match self {
            Self::Apart => Some("--apart".to_owned()),
            Self::Room => None,
            Self::Arranged(pages) => {
                let pages: Vec<String> = pages.iter().map(|keys| keys.join("+")).collect();
                Some(format!("--sheets {}", pages.join(",")))
            }
        }
    }
}

/// Which page a sheet is on.
fn page_of(pages: &[Vec<String>], key: &str) -> Option<usize> {
    pages.iter().position(|keys| keys.iter().any(|other| other == key))
}

/// Takes a sheet off its page and puts it last on the page of another.
pub fn place_beside(pages: &mut Vec<Vec<String>>, key: &str, other: &str) {
    if page_of(pages, other).is_none() || page_of(pages, key) == page_of(pages, other) {
        return;
    }
    for page in pages.iter_mut() {
        page.retain(|on| on != key);
    }
    if let Some(at) = page_of(pages, other) {
        pages[at].push(key.to_owned());
    }
    pages.retain(|page| !page.is_empty());
}

/// Takes a sheet off the page that it shares, and puts it on one of its own after that.
pub fn place_alone(pages: &mut Vec<Vec<String>>, key: &str) {
    let Some(at) = page_of(pages, key).filter(|at| pages[*at].len() > 1) else { return };
    pages[at].retain(|on| on != key);
    pages.insert(at + 1, vec![key.to_owned()]);
}

/// Sheets on their pages, shared as wanted.
#[derive(Clone, Debug, Default)]
pub struct PaperLayout {
    /// The pages. One that sheets share bears the key of the first of them.
    pub pages: Vec<Page>,
    /// For each sheet or sheets that share a page, their keys, in order.
    pub keys: Vec<Vec<&'static str>>,
    /// For each sheet that was arranged to share a page and found no room there, a sentence.
    pub apart: Vec<String>,
    /// For each sheet that the paper has no room for, a sentence: it is on none of the pages.
    pub without_room: Vec<String>,
}

/// Lays sheets out, shared as wanted; each is named as its turn comes, for whoever waits.
///
/// # Errors
/// [`PaperError`] when a sheet can't be drawn, or there is room for none of them.
pub fn lay_out(
    sheets: Vec<Sheet>,
    sharing: &Sharing,
    setup: &PageSetup,
    progress: &mut dyn FnMut(usize, usize, &Sheet),
) -> Result<PaperLayout, PaperError> {
    let is_large = paper::is_large(setup);
    let shared = paper::share(sheets, setup, |before, key| sharing.joins(before, key, is_large))?;
    let keys = shared.groups.iter().map(|group| group.keys.clone()).collect();
    let apart = shared.apart.clone();
    let (pages, without_room) = paper::lay_out_shared(shared, setup, progress)?;
    // Wherever there is room was all that was asked for, unless they were arranged.
    let message = matches!(sharing, Sharing::Arranged(_));
    let apart = apart.iter().filter(|_| message);
    // A sheet asked for twice is told once.
    let mut reasons: Vec<String> = Vec::new();
    for reason in without_room.iter().map(ToString::to_string) {
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    Ok(PaperLayout {
        pages,
        keys,
        apart: apart.map(|(sheet, beside)| no_room_beside(sheet, beside, &setup.paper)).collect(),
        without_room: reasons,
    })
}

/// What is said of a sheet for which there was no room on another's page.
fn no_room_beside(sheet: &str, beside: &str, paper: &Paper) -> String {
    format!("{sheet} has no room beside {beside} on {}: it gets a page of its own.", paper.title())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pages(all: &[&[&str]]) -> Vec<Vec<String>> {
        let owned = |keys: &&[&str]| keys.iter().map(|key| (*key).to_owned()).collect();
        all.iter().map(owned).collect()
    }

    #[test]
    fn a_sheet_goes_beside_another_and_off_again() {
        let mut all = pages(&[&["profile"], &["drilling"], &["scales", "bar"]]);
        place_beside(&mut all, "profile", "bar");
        assert_eq!(all, pages(&[&["drilling"], &["scales", "bar", "profile"]]));
        place_beside(&mut all, "scales", "bar");
        assert_eq!(all, pages(&[&["drilling"], &["scales", "bar", "profile"]]), "is there");
        place_beside(&mut all, "scales", "strips");
        assert_eq!(all, pages(&[&["drilling"], &["scales", "bar", "profile"]]), "no such page");
        place_alone(&mut all, "scales");
        assert_eq!(all, pages(&[&["drilling"], &["bar", "profile"], &["scales"]]));
        place_alone(&mut all, "scales");
        assert_eq!(all, pages(&[&["drilling"], &["bar", "profile"], &["scales"]]), "is alone");
    }

    #[test]
    fn an_arrangement_follows_what_is_left_out_and_what_comes_back() {
        let arranged = Sharing::Arranged(pages(&[&["scales", "profile", "bar"], &["drilling"]]));
        let fewer = arranged.among(&["drilling", "scales", "bar"]);
        assert_eq!(fewer, Sharing::Arranged(pages(&[&["scales", "bar"], &["drilling"]])));
        let joins = |own: &Sharing| own.joins("scales", "bar", false);
        assert!(joins(&fewer) && !joins(&arranged));
        let more = fewer.among(&["profile", "drilling", "bevels", "scales", "bar"]);
        let want = pages(&[&["profile"], &["scales", "bar"], &["drilling"], &["bevels"]]);
        assert_eq!(more, Sharing::Arranged(want));
        assert_eq!(
            more.command_line_value().as_deref(),
            Some("--sheets profile,scales+bar,drilling,bevels")
        );
        assert_eq!(Sharing::Room.among(&["bar"]), Sharing::Room);
    }

    #[test]
    fn cards_and_tables_share_large_paper_or_where_they_are_arranged() {
        let arranged = Sharing::Arranged(pages(&[&["profile", "offsets"]]));
        for (sharing, is_large, want) in [
            (&Sharing::Room, false, false),
            (&Sharing::Room, true, true),
            (&Sharing::Apart, true, false),
            (&arranged, false, true),
        ] {
            assert_eq!(sharing.joins("profile", "offsets", is_large), want, "{sharing:?}");
        }
        assert!(Sharing::Room.joins("profile", "bar", false));
        assert!(!Sharing::Room.joins("profile", "mat", true));
    }

    #[test]
    fn a_sheet_without_room_is_told_and_the_others_are_laid_out() {
        let mut drawing = marks::Drawing::new();
        drawing.line(marks::Pen::Bar, (0.0, 0.0).into(), (50.0, 0.0).into());
        let bar = Sheet {
            key: "bar",
            title: "Bar".to_owned(),
            drawing,
            notes: Vec::new(),
            inserts: Vec::new(),
            ..Sheet::default()
        };
        // A proof wants 100 mm between its crosses.
        let proof = || paper::proof_sheet(Vec::new());
        let sheets = vec![proof(), bar, proof()];
        let setup = PageSetup::new(Paper::parse("140x400mm").unwrap(), paper::Heading::default());
        let laid = lay_out(sheets, &Sharing::Apart, &setup, &mut |_, _, _| ()).unwrap();
        let keys: Vec<&str> = laid.pages.iter().map(|page| page.key).collect();
        assert_eq!(keys, ["bar"]);
        assert!(laid.without_room.len() == 1 && laid.without_room[0].contains("\"proof\""));
    }
}
