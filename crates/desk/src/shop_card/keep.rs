//! Keeps the shop between runs, in `shop.json` beside the settings.

use crate::{FileFault, FileProblem, Host, shop_bytes};
use reckon::Shop;
use reckon::shop::file;
use std::path::PathBuf;

/// The shop as it was kept, and what there was to say about its file.
#[derive(Default)]
pub(crate) struct Kept {
    /// The shop; what was missing or wrong stands at its default.
    pub(crate) shop: Shop,
    /// A sentence when something was wrong.
    pub(crate) told: Option<String>,
    /// What stood in a file with faults: it is kept beside it before the file is written anew.
    pub(crate) faulty: Option<Vec<u8>>,
}

/// The shop that was kept; the usual one where there is none.
pub(crate) fn read(host: &dyn Host) -> Kept {
    let Some(path) = path(host) else { return Kept::default() };
    let bytes = match host.read(&path) {
        Ok(bytes) => bytes,
        Err(FileFault { problem: FileProblem::NotThere, .. }) => return Kept::default(),
        Err(fault) => {
            let told = Some(format!("{fault}; the shop is taken to be the usual one"));
            return Kept { told, ..Kept::default() };
        }
    };
    let place = path.display();
    match file::open(&bytes) {
        Ok(opened) => {
            let told = opened.faults.first().map(|first| {
                let more = match opened.faults.len() + opened.more_faults {
                    1 => String::new(),
                    n => format!(" and {} more", n - 1),
                };
                format!("The shop in {place} was read, but not all of it: {first}{more}")
            });
            let faulty = told.is_some().then_some(bytes);
            Kept { shop: opened.shop, told, faulty }
        }
        Err(why) => {
            let told = format!("the shop in {place} can't be used: {why}");
            Kept { shop: Shop::default(), told: Some(told), faulty: Some(bytes) }
        }
    }
}

/// Keeps the shop, whole or not at all; a faulty file is first kept under another name. Does
/// nothing where the program has no folder.
///
/// # Errors
/// [`FileFault`] when it can't be written; what was kept before stays.
pub(crate) fn write(
    shop: &Shop,
    faulty: &mut Option<Vec<u8>>,
    host: &mut dyn Host,
) -> Result<(), FileFault> {
    let Some(path) = path(host) else { return Ok(()) };
    let bytes = shop_bytes(shop, &path)?;
    if let Some(folder) = path.parent() {
        host.make_folder(folder)?;
    }
    if let Some(bytes) = faulty {
        host.write(&path.with_extension("json~"), bytes)?;
        *faulty = None;
    }
    host.write(&path, &bytes)
}

fn path(host: &dyn Host) -> Option<PathBuf> {
    Some(host.data_folder()?.join(file::NAME))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::MemoryHost;

    #[test]
    fn what_is_kept_comes_back_and_a_faulty_file_is_not_lost() {
        let mut host = MemoryHost::with_data();
        assert_eq!(read(&host).shop, Shop::default());
        let shop = Shop { name: "Hollow Oak".into(), papers: vec!["a4".into()], ..Shop::default() };
        write(&shop, &mut None, &mut host).unwrap();
        let kept = read(&host);
        assert_eq!((kept.shop, kept.told), (shop.clone(), None));

        let place = PathBuf::from("/data/shop.json");
        for (text, says) in [
            (&b"{ \"format\": \"blankwright-shop\", \"version\": 1, \"kiln\": 3 }"[..], "kiln is"),
            (&b"not json"[..], "can't be used"),
        ] {
            host.files.insert(place.clone(), text.to_vec());
            let mut kept = read(&host);
            assert!(kept.told.unwrap().contains(says));
            write(&shop, &mut kept.faulty, &mut host).unwrap();
            assert_eq!(host.files.get(&PathBuf::from("/data/shop.json~")).unwrap(), text);
            assert_eq!(read(&host).shop, shop);
        }
        assert_eq!(write(&shop, &mut None, &mut MemoryHost::default()), Ok(()));
    }
}
