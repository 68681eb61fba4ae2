//! A file that lies beside another: told from that one's folder in the file, from the root on here.

use std::path::{Component, Path, PathBuf};

/// A path as it is told from a folder, with `/` between folders; whole where the two have nothing
/// in common, such as on another disk. Both lead from the root on.
pub(crate) fn relative_path(folder: &Path, path: &Path) -> String {
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
pub(crate) fn resolved_path(folder: &Path, told: &str) -> PathBuf {
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
