//! Modules use each other in one direction: no circle of files beyond a parent with its own
//! children. A small scan of `use` and of paths in the code; what macros make is not seen.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::{fs, iter};

/// The crates that are held to it: all of them.
const CRATES: &[&str] = &[
    "units",
    "outline",
    "knife",
    "reckon",
    "marks",
    "drawing",
    "paper",
    "sheets",
    "host",
    "manual",
    "mat",
    "trace",
    "exchange",
    "desk",
    "blankwright",
];

/// A module by its names from the crate's root; the root's is empty.
type Name = Vec<String>;

/// What a module says of others.
struct Source {
    /// The path behind each imported name.
    imports: BTreeMap<String, Name>,
    /// Every path, imported or written out.
    paths: Vec<Name>,
}

impl Source {
    fn read(text: &str) -> Self {
        let tokens = tokens(without_tests(text));
        let (mut imports, mut paths) = (BTreeMap::new(), Vec::new());
        let mut at = 0;
        while at < tokens.len() {
            if tokens[at] == "use" {
                at += 1;
                for (name, path) in import_tree(&tokens, &mut at, &[]) {
                    paths.push(path.clone());
                    imports.insert(name, path);
                }
            } else if is_name(&tokens[at]) {
                let path = path_at(&tokens, &mut at);
                paths.extend((path.len() > 1).then_some(path));
            } else {
                at += 1;
            }
        }
        Self { imports, paths }
    }
}

/// A file without the module of tests at its end.
fn without_tests(text: &str) -> &str {
    let is_module = |(at, _): &(usize, &str)| {
        let after = text[*at..].lines().nth(1).unwrap_or_default();
        after.ends_with("mod tests {")
    };
    let end = text.match_indices("#[cfg(test)]").find(is_module);
    end.map_or(text, |(at, _)| &text[..at])
}

/// Words, `::` and other signs, without comments, strings and characters.
fn tokens(text: &str) -> Vec<String> {
    let mut tokens: Vec<String> = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let next = |n: usize| rest.chars().nth(n);
        let length = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if first == 'r' && rest[1..].trim_start_matches('#').starts_with('"') {
            let hashes = rest[1..].chars().take_while(|c| *c == '#').count();
            let end = format!("\"{}", "#".repeat(hashes));
            let body = hashes + 2;
            rest[body..].find(&end).map_or(rest.len(), |found| body + found + end.len())
        } else if first == '"' {
            let mut escaped = false;
            let closes = |c: char| {
                let is = c == '"' && !escaped;
                escaped = c == '\\' && !escaped;
                is
            };
            rest[1..].find(closes).map_or(rest.len(), |found| found + 2)
        } else if first == '\'' && (next(1) == Some('\\') || next(2) == Some('\'')) {
            let skip =
                if next(1) == Some('\\') { 3 } else { 1 + next(1).map_or(0, char::len_utf8) };
            rest[skip..].find('\'').map_or(rest.len(), |found| skip + found + 1)
        } else if first.is_alphanumeric() || first == '_' {
            let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_'));
            let word = &rest[..end.unwrap_or(rest.len())];
            tokens.push(word.to_owned());
            word.len()
        } else if rest.starts_with("::") {
            tokens.push("::".to_owned());
            2
        } else {
            if !first.is_whitespace() {
                tokens.push(first.to_string());
            }
            first.len_utf8()
        };
        rest = &rest[length..];
    }
    tokens
}

fn is_name(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

/// `a::b::c`, from its first word on.
fn path_at(tokens: &[String], at: &mut usize) -> Name {
    let mut path = vec![tokens[*at].clone()];
    *at += 1;
    while tokens.get(*at).is_some_and(|t| t == "::")
        && tokens.get(*at + 1).is_some_and(|t| is_name(t))
    {
        path.push(tokens[*at + 1].clone());
        *at += 2;
    }
    path
}

/// The imports of one tree after `use`, each by the name it gets.
fn import_tree(tokens: &[String], at: &mut usize, before: &[String]) -> Vec<(String, Name)> {
    let mut path = before.to_vec();
    while let Some(token) = tokens.get(*at) {
        *at += 1;
        match token.as_str() {
            "::" => {}
            "{" => {
                let mut found = Vec::new();
                while tokens.get(*at).is_some_and(|t| t != "}" && t != ";") {
                    found.extend(import_tree(tokens, at, &path));
                    *at += usize::from(tokens.get(*at).is_some_and(|t| t == ","));
                }
                *at += 1;
                return found;
            }
            "as" => {
                let alias = tokens.get(*at).cloned().unwrap_or_default();
                *at += 1;
                return vec![(alias, path)];
            }
            "self" if !path.is_empty() => {}
            word if is_name(word) || word == "*" => path.push(word.to_owned()),
            _ => {
                *at -= 1;
                break;
            }
        }
    }
    path.last().cloned().map(|name| (name, path)).into_iter().collect()
}

/// The modules of a crate.
struct Modules(BTreeMap<Name, Source>);

impl Modules {
    /// Reads a crate's sources.
    fn of(folder: &Path) -> Self {
        let mut modules = BTreeMap::new();
        read_folder(folder, &[], &mut modules);
        // What only tests know stands at no one's root.
        let root = fs::read_to_string(folder.join("lib.rs")).unwrap_or_default();
        modules.retain(|name: &Name, _| {
            let declared = name.first().map(|name| format!("#[cfg(test)]\nmod {name};"));
            !declared.is_some_and(|declared| root.contains(&declared))
        });
        Self(modules)
    }

    /// The module in which a path ends that is written in another; `None` outside the crate.
    fn resolve(&self, from: &[String], path: &[String], depth: usize) -> Option<Name> {
        let (first, mut rest) = path.split_first().filter(|_| depth < 12)?;
        let mut module: Name = match first.as_str() {
            "crate" => Vec::new(),
            "self" => from.to_vec(),
            "super" => from.split_last()?.1.to_vec(),
            _ => {
                let child = [from, std::slice::from_ref(first)].concat();
                if !self.0.contains_key(&child) {
                    let import = self.0.get(from)?.imports.get(first)?;
                    let same = import.first() == Some(first);
                    return if same { None } else { self.follow(from, import, rest, depth) };
                }
                child
            }
        };
        while let Some((next, after)) = rest.split_first() {
            let child = [&module[..], std::slice::from_ref(next)].concat();
            if next == "super" {
                module.pop();
            } else if self.0.contains_key(&child) {
                module = child;
            } else {
                let import = self.0.get(&module).and_then(|source| source.imports.get(next));
                let found = import.and_then(|import| self.follow(&module, import, after, depth));
                return Some(found.unwrap_or(module));
            }
            rest = after;
        }
        Some(module)
    }

    fn follow(
        &self,
        at: &[String],
        import: &[String],
        rest: &[String],
        depth: usize,
    ) -> Option<Name> {
        self.resolve(at, &[import, rest].concat(), depth + 1)
    }

    /// Which modules each module uses.
    fn uses(&self) -> BTreeMap<&Name, BTreeSet<Name>> {
        let used = |name: &Name, source: &Source| {
            let found = source.paths.iter().filter_map(|path| self.resolve(name, path, 0));
            found.filter(|other| other != name).collect()
        };
        self.0.iter().map(|(name, source)| (name, used(name, source))).collect()
    }

    /// The circles: whatever isn't a parent with its own children, and among those children as
    /// if their parent used none of them.
    fn circles(&self) -> Vec<String> {
        let uses = self.uses();
        let below =
            |name: &Name, parent: &Name| name.len() > parent.len() && name.starts_with(parent);
        let mut inner = uses.clone();
        for (name, used) in &mut inner {
            used.retain(|other| !below(other, name));
        }
        let family = |circle: &BTreeSet<&Name>| {
            let parent = circle.iter().min_by_key(|name| name.len());
            parent.is_some_and(|parent| {
                !parent.is_empty()
                    && circle.iter().all(|name| name == parent || below(name, parent))
            })
        };
        let outer = circles_in(&uses).into_iter().filter(|circle| !family(circle));
        let all = outer.chain(circles_in(&inner));
        let shown = |circle: BTreeSet<&Name>| {
            circle.iter().map(|name| name.join("::")).collect::<Vec<_>>().join(", ")
        };
        all.map(shown).collect::<BTreeSet<_>>().into_iter().collect()
    }
}

/// Sets of modules each of which reaches every other.
fn circles_in<'a>(uses: &BTreeMap<&'a Name, BTreeSet<Name>>) -> BTreeSet<BTreeSet<&'a Name>> {
    let reached = |from: &'a Name| {
        let mut reached: BTreeSet<&'a Name> = BTreeSet::new();
        let mut open = vec![from];
        while let Some(name) = open.pop() {
            for (other, _) in uses[name].iter().filter_map(|other| uses.get_key_value(other)) {
                if reached.insert(other) {
                    open.push(other);
                }
            }
        }
        reached
    };
    let all: BTreeMap<&Name, BTreeSet<&Name>> =
        uses.keys().map(|name| (*name, reached(name))).collect();
    let circle = |name: &&'a Name| {
        let back = all[*name].iter().copied().filter(|other| all[*other].contains(*name));
        back.chain(iter::once(*name)).collect::<BTreeSet<_>>()
    };
    uses.keys().map(circle).filter(|circle| circle.len() > 1).collect()
}

fn read_folder(folder: &Path, parent: &[String], modules: &mut BTreeMap<Name, Source>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
        let name = [parent, std::slice::from_ref(&stem)].concat();
        if path.is_dir() {
            read_folder(&path, &name, modules);
        } else if path.extension().is_some_and(|ending| ending == "rs") && stem != "tests" {
            let is_own = ["mod", "lib", "main"].contains(&stem.as_str());
            let source = Source::read(&fs::read_to_string(&path).unwrap());
            modules.insert(if is_own { parent.to_vec() } else { name }, source);
        }
    }
}

#[test]
fn no_module_stands_in_a_circle() {
    for name in CRATES {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates").join(name).join("src");
        let modules = Modules::of(&folder);
        assert!(!modules.0.is_empty(), "{name} has sources");
        let circles = modules.circles();
        assert!(circles.is_empty(), "{name}: these use each other in a circle: {circles:#?}");
    }
}

#[test]
fn a_circle_is_found_and_named() {
    let modules = |files: &[(&str, &str)]| {
        let name = |path: &str| -> Name {
            path.split("::").filter(|s| !s.is_empty()).map(str::to_owned).collect()
        };
        let files = files.iter().map(|(path, text)| (name(path), Source::read(text)));
        Modules(files.collect())
    };
    // Through a re-export, an imported module and a path written out.
    let circle = modules(&[
        ("", "pub use a::One;"),
        ("a", "use crate::b;\npub struct One;\nfn f() { b::two() }"),
        ("b", "// crate::c\nfn two() { let _ = (\"crate::c\", 'c'); crate::c::three() }"),
        ("c", "use crate::{One, d::{self as other, Four}};\nfn three() {}"),
        ("d", "pub struct Four;"),
    ]);
    assert_eq!(circle.circles(), ["a, b, c"]);
    // A parent with its children is none; two of its children that use each other are.
    let family = [("p", "mod x; mod y; use x::X;"), ("p::x", "use super::f;"), ("p::y", "")];
    assert!(modules(&family).circles().is_empty());
    let quarrel = [
        ("p", "use x::X; use y::Y;"),
        ("p::x", "use super::y::Y;\npub struct X;"),
        ("p::y", "use super::X;\npub struct Y;"),
    ];
    assert_eq!(modules(&quarrel).circles(), ["p::x, p::y"]);
    // What a parent does with others counts for whoever uses the parent.
    let outside = [
        ("p", "use crate::q::Q;\npub fn f() {}"),
        ("p::x", ""),
        ("q", "use crate::p::f;\npub struct Q;"),
    ];
    assert_eq!(modules(&outside).circles(), ["p, q"]);
}
