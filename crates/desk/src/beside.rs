//! A file that lies beside another: told from that one's folder in the file, from the root on here.

use knife::{Knife, Picture};
use std::path::{Component, Path, PathBuf};

/// The knife as it is written to a file, with its picture told from that file's folder. `base` is
/// the file by which a path that doesn't begin at the root was told.
pub(crate) fn knife_for_file(knife: &Knife, base: Option<&Path>, file: &Path) -> Knife {
    let mut knife = knife.clone();
    if let (Some(picture), Some(folder)) = (&mut knife.picture, file.parent()) {
        picture.path = relative_path(folder, &picture_file(picture, base));
    }
    knife
}

/// Makes the picture's path of a knife that was read from a file begin at the root. One that is no
/// Unicode stays as it is told, and [`picture_file`] finds it.
pub(crate) fn resolve_picture(knife: &mut Knife, file: &Path) {
    if let Some(picture) = &mut knife.picture {
        picture.path = picture_path(&picture_file(picture, Some(file)), Some(file));
    }
}

/// What is kept as the path of a picture's file.
pub(crate) fn picture_path(path: &Path, base: Option<&Path>) -> String {
    match (path.to_str(), base.and_then(Path::parent)) {
        (Some(path), _) => path.to_owned(),
        (None, Some(folder)) => relative_path(folder, path),
        (None, None) => path.to_string_lossy().into_owned(),
    }
}

/// The picture's file.
pub(crate) fn picture_file(picture: &Picture, base: Option<&Path>) -> PathBuf {
    let folder = base.and_then(Path::parent).unwrap_or(Path::new(""));
    resolved_path(folder, &picture.path)
}

/// A path as it is told from a folder, with `/` between folders; whole where the two have nothing
/// in common, such as on another disk. Both lead from the root on.
fn relative_path(folder: &Path, path: &Path) -> String {
    let (folder, path) = (plain(folder), plain(path));
    let (from, to): (Vec<_>, Vec<_>) = (folder.components().collect(), path.components().collect());
    let common = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let rooted = to.first().is_some_and(|c| matches!(c, Component::RootDir | Component::Prefix(_)));
    if common == 0 || !rooted {
        return path.to_string_lossy().into_owned();
    }
    let up = from[common..].iter().map(|_| "..".to_owned());
    let down = to[common..].iter().map(|c| c.as_os_str().to_string_lossy().into_owned());
    up.chain(down).collect::<Vec<_>>().join("/")
}

/// The path from the root on of what is told from a folder.
fn resolved_path(folder: &Path, told: &str) -> PathBuf {
    plain(&folder.join(told))
}

/// The same path without `.` and, where a folder stands before it, `..`.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for component in path.components() {
        match component {
            Component::CurDir => {}
            Component::ParentDir
                if matches!(plain.components().next_back(), Some(Component::Normal(_))) =>
            {
                plain.pop();
            }
            other => plain.push(other),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_told_leads_back() {
        for (folder, path, told) in [
            ("/bench/blades", "/bench/blades/heron.jpg", "heron.jpg"),
            ("/bench/blades", "/bench/pictures/a b.jpg", "../pictures/a b.jpg"),
            ("/bench", "/bench/in/deep/x.png", "in/deep/x.png"),
            ("/bench/./blades/../blades", "/bench/x.png", "../x.png"),
            ("/", "/x.png", "x.png"),
        ] {
            assert_eq!(relative_path(Path::new(folder), Path::new(path)), told);
            assert_eq!(resolved_path(Path::new(folder), told), Path::new(path));
        }
        assert_eq!(resolved_path(Path::new("/bench"), "/else/x.png"), Path::new("/else/x.png"));
    }
}
