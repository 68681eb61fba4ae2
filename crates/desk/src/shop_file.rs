//! Keeps the shop between runs, in `shop.json` beside the settings.

use crate::stamp::DiskStamp;
use crate::text::fault_summary;
use host::{FileError, FileProblem, Host};
use reckon::Shop;
use reckon::shop::file;
use std::path::PathBuf;

/// The shop as it was kept, and what there was to say about its file.
#[derive(Default)]
pub(crate) struct StoredShop {
    /// The shop; what was missing or wrong stands at its default.
    pub(crate) shop: Shop,
    /// A sentence when something was wrong.
    pub(crate) message: Option<String>,
    /// What there is to know of the file before it is written anew.
    pub(crate) file: ShopFile,
}

/// The shop's file as it was last read or written here.
#[derive(Default)]
pub(crate) struct ShopFile {
    /// Whether it had faults: what it holds is kept beside it before it is written anew.
    faulty: bool,
    on_disk: Option<DiskStamp>,
}

/// The shop that was kept; the usual one where there is none.
pub(crate) fn read(host: &dyn Host) -> StoredShop {
    let Some(path) = path(host) else { return StoredShop::default() };
    let bytes = match host.read(&path) {
        Ok(bytes) => bytes,
        Err(FileError { problem: FileProblem::NotFound, .. }) => return StoredShop::default(),
        Err(fault) => {
            let message = Some(format!("{fault}; the usual shop is used"));
            return StoredShop { message, ..StoredShop::default() };
        }
    };
    let place = path.display();
    let on_disk = Some(DiskStamp::of(&bytes));
    match file::open(&bytes) {
        Ok(opened) => {
            let faults = fault_summary(&opened.faults, opened.more_faults);
            let message = faults
                .map(|faults| format!("The shop in {place} was read, but not all of it: {faults}"));
            let faulty = message.is_some();
            StoredShop { shop: opened.shop, message, file: ShopFile { faulty, on_disk } }
        }
        Err(why) => {
            let message = format!("the shop in {place} can't be used: {why}");
            let file = ShopFile { faulty: true, on_disk };
            StoredShop { shop: Shop::default(), message: Some(message), file }
        }
    }
}

/// Keeps the shop, whole or not at all. A faulty file, or one that something else has written
/// since, is first kept under another name; a sentence tells of the second. Does nothing where the
/// program has no folder.
///
/// # Errors
/// [`FileError`] when it can't be written; what was kept before stays.
pub(crate) fn write(
    shop: &Shop,
    known: &mut ShopFile,
    host: &mut dyn Host,
) -> Result<Option<String>, FileError> {
    let Some(path) = path(host) else { return Ok(None) };
    let text = file::save_read_back(shop).map_err(|why| FileError::unreadable(&path, why))?;
    let bytes = text.into_bytes();
    if let Some(folder) = path.parent() {
        host.create_private_folder(folder)?;
    }
    let _held = host.lock(&path)?;
    let changed = match known.on_disk {
        Some(stamp) => stamp.is_changed(&path, host)?,
        None => host.exists(&path),
    };
    let mut message = None;
    if (changed || known.faulty) && host.exists(&path) {
        let earlier = host.read(&path)?;
        let aside = host::backup_path(&path, &earlier, host)?;
        let aside = aside.unwrap_or_else(|| path.with_extension("json~"));
        host.write(&aside, &earlier)?;
        let (place, aside) = (path.display(), aside.display());
        message = changed.then(|| {
            format!(
                "Another program has changed {place} since it was read; its version is kept \
                     as {aside}"
            )
        });
    }
    host.write(&path, &bytes)?;
    *known = ShopFile { faulty: false, on_disk: Some(DiskStamp::of(&bytes)) };
    Ok(message)
}

fn path(host: &dyn Host) -> Option<PathBuf> {
    Some(host.data_folder()?.join(file::NAME))
}

#[cfg(test)]
mod tests {
    use super::*;
    use host::MemoryHost;

    #[test]
    fn what_is_kept_comes_back_and_a_faulty_file_is_not_lost() {
        let mut host = MemoryHost::with_data();
        assert_eq!(read(&host).shop, Shop::default());
        let shop = Shop { name: "Hollow Oak".into(), papers: vec!["a4".into()], ..Shop::default() };
        write(&shop, &mut ShopFile::default(), &mut host).unwrap();
        let kept = read(&host);
        assert_eq!((kept.shop, kept.message), (shop.clone(), None));

        let place = PathBuf::from("/data/shop.json");
        let extra = b"{ \"format\": \"blankwright-shop\", \"version\": 1, \"kiln\": 3 }";
        for (text, says, aside) in [
            (&extra[..], "kiln is", "/data/shop.json~"),
            (b"not json", "can't be used", "/data/shop.json~2"),
            // Kept already.
            (extra, "kiln is", "/data/shop.json~"),
        ] {
            host.files.insert(place.clone(), text.to_vec());
            let mut kept = read(&host);
            assert!(kept.message.unwrap().contains(says));
            assert_eq!(write(&shop, &mut kept.file, &mut host), Ok(None));
            assert_eq!(host.files[&PathBuf::from(aside)], text);
            assert_eq!(read(&host).shop, shop);
        }
        let mut nowhere = MemoryHost::default();
        assert_eq!(write(&shop, &mut ShopFile::default(), &mut nowhere), Ok(None));
    }

    /// Two desks, or a desk and a command, with the same shop: neither loses what the other wrote.
    #[test]
    fn what_something_else_wrote_meanwhile_is_kept_beside() {
        let mut host = MemoryHost::with_data();
        let named = |name: &str| Shop { name: name.into(), ..Shop::default() };
        let (mut one, mut other) = (read(&host).file, read(&host).file);
        assert_eq!(write(&named("one"), &mut one, &mut host), Ok(None));
        let message = write(&named("other"), &mut other, &mut host).unwrap().unwrap();
        assert!(message.contains("/data/shop.json~"), "{message}");
        assert_eq!(read(&host).shop.name, "other");
        let beside = &host.files[&PathBuf::from("/data/shop.json~")];
        assert_eq!(file::open(beside).unwrap().shop.name, "one");
        assert_eq!(write(&named("third"), &mut other, &mut host), Ok(None), "its own writing");
    }
}
