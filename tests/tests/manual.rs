//! The manual holds: its generated pages are those of the program, its links lead somewhere, and
//! its commands run.

use bench_tests::{Bench, blanks, hold_page, root};
use manual::{Block, PAGES, Span, blocks};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn folder() -> PathBuf {
    root().join("assets/manual")
}

/// The pages and, first of all, the README: name and text.
fn texts() -> Vec<(PathBuf, String)> {
    let pages = PAGES.iter().map(|page| folder().join(format!("{}.md", page.topic)));
    let files = [root().join("README.md"), root().join("DEVELOPERS.md")].into_iter().chain(pages);
    files.map(|path| (path.clone(), fs::read_to_string(path).unwrap())).collect()
}

/// A cell of a table.
fn cell(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").replace('|', "\\|")
}

#[test]
fn the_page_of_findings_is_that_of_the_rules() {
    let mut page =
        "# Findings\n\nA finding says what is wrong, where, and what to do. **Stop** means \
        that the knife can't be made that way, **caution** that it may go wrong; a note is for \
        information. `check` lists them, and so do the desk and the sheets. This page is made from \
        the program's own rules, in the order of the work; the limits they are judged by are in \
        [Limits](limits.md).\n\nA finding can be accepted with a reason, see [The blank \
        file](file-format.md): it then no longer stops, and comes back when it gets worse.\n"
            .to_owned();
    for rule in reckon::findings::RULES {
        assert!(rule.checks.ends_with('.') && rule.remedy.ends_with('.'), "{}", rule.key);
        let _ = write!(
            page,
            "\n## {}\n\n- Checks: {}\n- Why: {}\n- What to do: {}\n",
            rule.key, rule.checks, rule.rationale, rule.remedy
        );
    }
    hold_page("findings", &page);
}

#[test]
fn the_page_of_limits_is_that_of_the_shop() {
    let usual = reckon::shop::Limits::default();
    let mut page = "# Limits\n\nThe findings measure against these limits. Change one in the desk's \
        shop (Work menu) or under `limits` in the shop file, see [The shop](shop.md); a finding then \
        says that its limit is set in this shop. Lengths are in mm; a name that ends in \
        `_diameters` counts in hole or pin diameters, one that ends in `_share` is a part of 1.\n\n"
        .to_owned();
    for row in reckon::shop::LIMITS {
        let (min, max) = (row.range.start(), row.range.end());
        let _ = write!(
            page,
            "## {}\n\n{}. Usual {:?}, from {min:?} to {max:?}.\n\nSource: {}.\n\n",
            row.key,
            row.label,
            (row.get)(&usual),
            cell(row.source).trim_end_matches('.')
        );
    }
    hold_page("limits", &format!("{}\n", page.trim_end()));
}

/// What a field holds, in words, and the names of structs that are told apart.
fn kind(schema: &Value, named: &mut Vec<String>) -> String {
    if let Some(name) = schema["$ref"].as_str().and_then(|path| path.rsplit('/').next()) {
        if !named.iter().any(|known| known == name) {
            named.push(name.to_owned());
        }
        return name.to_owned();
    }
    if let Some(any) = schema["anyOf"].as_array() {
        return any.iter().map(|one| kind(one, named)).collect::<Vec<_>>().join(" or ");
    }
    let types: Vec<&str> = match &schema["type"] {
        Value::String(one) => vec![one],
        Value::Array(several) => several.iter().filter_map(Value::as_str).collect(),
        _ => vec!["any"],
    };
    let message = types.iter().map(|one| match *one {
        "array" => {
            let count = schema["minItems"].as_u64().filter(|n| schema["maxItems"] == *n);
            let count = count.map_or_else(String::new, |count| format!("{count} × "));
            format!("list of {count}{}", kind(&schema["items"], named))
        }
        "boolean" => "true or false".to_owned(),
        "integer" => "whole number".to_owned(),
        "string" => "text".to_owned(),
        other => other.to_owned(),
    });
    message.collect::<Vec<_>>().join(" or ")
}

/// The fields of one struct as a table.
fn fields(page: &mut String, schema: &Value, named: &mut Vec<String>) {
    if let Some(about) = schema["description"].as_str() {
        let _ = write!(page, "{}\n\n", cell(about));
    }
    page.push_str("| Field | Holds | Meaning |\n|---|---|---|\n");
    for (key, field) in schema["properties"].as_object().unwrap() {
        let about = field["description"].as_str().unwrap_or_default();
        assert!(!about.is_empty(), "{key} has no description");
        let _ = writeln!(page, "| `{key}` | {} | {} |", kind(field, named), cell(about));
    }
    page.push('\n');
}

#[test]
fn the_page_of_json_fields_is_that_of_the_schemas() {
    let mut page = "# JSON: fields\n\nEvery field that a command writes with `--json`, from \
        the same schemas that `blankwright schema` prints. Lengths are in mm, areas \
        in mm², angles in degrees counter-clockwise; what is not known is `null`. Fields are added, \
        never renamed. How the figures are defined stands in [JSON: definitions](json.md).\n\n"
        .to_owned();
    for (command, schema) in blankwright::schemas() {
        let (schema, mut named) = (schema.as_value(), Vec::new());
        let _ = write!(page, "## {command} --json\n\n");
        fields(&mut page, schema, &mut named);
        let mut message = 0;
        while let Some(name) = named.get(message).cloned() {
            message += 1;
            let part = &schema["$defs"][&name];
            if part["properties"].is_object() {
                let _ = write!(page, "### {command}: {name}\n\n");
                fields(&mut page, part, &mut named);
            }
        }
        assert_eq!(message, schema["$defs"].as_object().map_or(0, serde_json::Map::len));
    }
    hold_page("json-fields", &format!("{}\n", page.trim_end()));
}

#[test]
fn every_file_of_the_manual_is_a_page_or_a_small_picture() {
    for path in bench_tests::files(&folder()) {
        let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
        match path.extension().and_then(|ending| ending.to_str()) {
            Some("md") => assert!(manual::page(&stem).is_some(), "{stem} is no page"),
            Some("png") => assert!(fs::metadata(&path).unwrap().len() < 200_000, "{stem}"),
            _ => panic!("{} in the manual", path.display()),
        }
    }
}

/// Every link and picture of a text.
fn links(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for block in blocks(text) {
        match block {
            Block::Text(spans) | Block::Item(_, spans) => {
                found.extend(spans.into_iter().filter_map(|span| match span {
                    Span::Link { to, .. } => Some(to),
                    _ => None,
                }));
            }
            Block::Picture(about, file) => {
                assert!(about.len() > 10, "{file} says in words what it shows");
                found.push(file);
            }
            _ => {}
        }
    }
    found
}

#[test]
fn no_link_is_broken() {
    let (mut count, mut reached) = (0, BTreeSet::new());
    for (path, text) in texts() {
        for link in links(&text) {
            assert!(!link.contains("://") && !link.contains('#'), "{}: {link}", path.display());
            let to = path.parent().unwrap().join(&link);
            assert!(to.exists(), "{} leads to {link}, which is not there", path.display());
            if path.ends_with("README.md") {
                reached.extend(Path::new(&link).file_stem().map(ToOwned::to_owned));
            }
            count += 1;
        }
    }
    assert!(count > 50, "{count}");
    for page in PAGES {
        assert!(reached.contains(std::ffi::OsStr::new(page.topic)), "README: {}", page.topic);
    }
}

/// The commands of a text's blocks of code, as words.
fn commands(text: &str) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    for block in blocks(text) {
        let Block::Code(code) = block else { continue };
        for line in code.lines() {
            let typed = match line.split_once(" -- ") {
                Some((cargo, rest)) if cargo.starts_with("cargo run") => rest,
                _ => match line.strip_prefix("blankwright ") {
                    Some(rest) => rest,
                    None => continue,
                },
            };
            found.push(typed.split_whitespace().map(str::to_owned).collect());
        }
    }
    found
}

/// What the commands of the manual take for granted: a blank, a shop, a drawing, the samples.
fn prepare(bench: &Bench) {
    fs::create_dir(bench.path("samples")).unwrap();
    for path in bench_tests::files(&root().join("samples")) {
        fs::copy(&path, bench.path("samples").join(path.file_name().unwrap())).unwrap();
    }
    fs::copy(&blanks()[0], bench.path("mine.blank.json")).unwrap();
    let drawing = root().join("samples/hollow-oak-hunter.svg");
    fs::copy(drawing, bench.path("shape.svg")).unwrap();
}

#[test]
fn every_command_of_the_manual_runs() {
    let mut count = 0;
    for (path, text) in texts() {
        let bench = Bench::new();
        prepare(&bench);
        for typed in commands(&text) {
            if typed[0] == "open" {
                continue; // It needs a window.
            }
            count += 1;
            // `new` replaces no file.
            if let Some(at) = typed.iter().position(|word| word == "--out")
                && typed[0] == "new"
            {
                let _ = fs::remove_file(bench.path(&typed[at + 1]));
            }
            let is_file = |word: &&String| {
                [".json", ".pdf", ".svg", ".png", ".jpg", ".dxf", ".3mf", ".stl"]
                    .iter()
                    .any(|ending| word.ends_with(ending))
            };
            let words: Vec<String> = typed
                .iter()
                .map(|word| if is_file(&word) { format!("@{word}") } else { word.clone() })
                .collect();
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let done = bench.run(&words);
            assert_eq!(done.code, 0, "{}: {typed:?}: {}", path.display(), done.err);
        }
    }
    assert!(count > 40, "{count}");
}

#[test]
fn readme_and_manual_name_every_command() {
    let bench = Bench::new();
    let list = bench.done(&["help"]);
    let commands = list.split("Commands;").nth(1).unwrap();
    let commands = commands.lines().skip(1).take_while(|line| !line.is_empty());
    let names = commands.filter_map(|line| line.split_whitespace().next());
    let page = manual::page("commands").unwrap().text;
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let mut count = 0;
    for name in names {
        count += 1;
        for text in [page, readme.as_str()] {
            let message = [format!("| `{name} "), format!("| `{name}` ")];
            assert!(message.iter().any(|row| text.contains(row)), "{name}");
        }
        assert!(bench.done(&["help", name]).contains("Usage: blankwright"), "{name}");
    }
    assert!(count >= 15, "{count}");
    for page in PAGES {
        assert!(list.contains(&format!("  {} ", page.topic)), "{}", page.topic);
        let message = bench.done(&["help", page.topic]);
        assert!(message.starts_with(page.title()), "{message}");
        assert!(!message.contains("```") && !message.contains("]("), "{}", page.topic);
    }
    let message = bench.run(&["help", "first", "knife"]).out;
    assert!(message.starts_with("Your first knife\n"), "{message}");
    let wrong = bench.run(&["help", "bevel"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("no page \"bevel\", did you mean bevels?"), "{}", wrong.err);
}

/// The shell and groff's own macros (man(7)) want these words.
#[test]
fn completions_and_man_pages_come_from_the_commands() {
    let bench = Bench::new();
    for (shell, word) in
        [("bash", "complete -F"), ("zsh", "#compdef blankwright"), ("fish", "-c blankwright")]
    {
        let message = bench.done(&["completions", shell]);
        assert!(message.contains(word) && message.contains("materials"), "{shell}: {message}");
    }
    assert!(bench.done(&["man"]).contains(".TH blankwright"));
    let print = bench.done(&["man", "print"]);
    assert!(print.contains(".TH blankwright-print") && print.contains("sheets"), "{print}");
    assert_eq!(bench.run(&["man", "pint"]).code, 2);
}

/// The icon in the sizes that window and menus want, from its one drawing.
#[test]
fn icons_are_those_of_the_drawing() {
    use resvg::{tiny_skia, usvg};
    let folder = root().join("assets/linux");
    let drawing = fs::read_to_string(folder.join("blankwright.svg")).unwrap();
    let drawing = usvg::Tree::from_str(&drawing, &usvg::Options::default()).unwrap();
    for side in [16_u16, 24, 32, 48, 64, 128, 256] {
        let mut picture = tiny_skia::Pixmap::new(side.into(), side.into()).unwrap();
        let scale = f32::from(side) / drawing.size().width();
        let to_pixels = tiny_skia::Transform::from_scale(scale, scale);
        resvg::render(&drawing, to_pixels, &mut picture.as_mut());
        let path = folder.join(format!("icons/{side}.png"));
        let drawn = picture.encode_png().unwrap();
        if env::var_os("BLESS").is_some() {
            fs::write(&path, &drawn).unwrap();
        }
        assert!(fs::read(&path).unwrap() == drawn, "{}: write it with BLESS=1", path.display());
    }
}

/// The files for a Linux desktop speak of one program, one file type and the version that is built.
#[test]
fn the_files_for_linux_agree() {
    let read = |name: &str| fs::read_to_string(root().join("assets/linux").join(name)).unwrap();
    let kind = "application/x-blankwright-blank+json";
    let meta = read("org.example.blankwright.metainfo.xml");
    for text in [&read("blankwright.desktop"), &read("blankwright.xml"), &meta] {
        assert!(text.contains(kind), "{text}");
    }
    assert!(read("blankwright.xml").contains(&format!("*{}", knife::file::EXTENSION)));
    assert!(meta.contains(&format!("version=\"{}\"", env!("CARGO_PKG_VERSION"))));
    let icon =
        resvg::usvg::Tree::from_str(&read("blankwright.svg"), &resvg::usvg::Options::default());
    assert!(icon.is_ok_and(|icon| icon.size().width() == icon.size().height()));
}
