//! 3MF: a ZIP archive with the model as XML.
//!
//! 3MF Core Specification 1.3 (chapter 5, base materials, which must stand before the objects that
//! are made of them; chapter 4, objects and meshes) in a package by Open Packaging Conventions.

use crate::package::zipped;
use crate::solid::{Look, Mesh, Part};
use std::fmt::Write as _;
use std::io;

/// Number of the group of materials; the objects follow it.
const MATERIALS: usize = 1;

const TYPES: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
 <Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
 <Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"#;

const RELATIONS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
 <Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"#;

/// The bytes of a 3MF file: each part as an object of its own.
pub(crate) fn package(title: &str, note: Option<&str>, parts: &[Part]) -> io::Result<Vec<u8>> {
    zipped(&[
        ("[Content_Types].xml", TYPES.as_bytes()),
        ("_rels/.rels", RELATIONS.as_bytes()),
        ("3D/3dmodel.model", model(title, note, parts).as_bytes()),
    ])
}

fn model(title: &str, note: Option<&str>, parts: &[Part]) -> String {
    let mut xml = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" xml:lang=\"en\" \
         xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n",
    );
    let said =
        [("Title", Some(title)), ("Application", Some("Blankwright")), ("Description", note)];
    for (name, text) in said.iter().filter_map(|(name, text)| Some((name, (*text)?))) {
        let _ = writeln!(xml, " <metadata name=\"{name}\">{}</metadata>", escaped(text));
    }
    let mut bases: Vec<(&str, String)> = Vec::new();
    let mut of_part = Vec::new();
    for part in parts {
        let base = (part.material.name.as_str(), color(&part.material.look));
        let at = bases.iter().position(|known| *known == base).unwrap_or_else(|| {
            bases.push(base);
            bases.len() - 1
        });
        of_part.push(at);
    }
    let _ = writeln!(xml, " <resources>\n  <basematerials id=\"{MATERIALS}\">");
    for (name, color) in &bases {
        let _ = writeln!(xml, "   <base name=\"{}\" displaycolor=\"{color}\"/>", escaped(name));
    }
    xml.push_str("  </basematerials>\n");
    for (id, (part, base)) in (MATERIALS + 1..).zip(parts.iter().zip(&of_part)) {
        let _ = writeln!(
            xml,
            "  <object id=\"{id}\" type=\"model\" name=\"{}\" pid=\"{MATERIALS}\" pindex=\"{base}\">",
            escaped(&part.name)
        );
        mesh(&mut xml, &part.mesh);
        xml.push_str("  </object>\n");
    }
    xml.push_str(" </resources>\n <build>\n");
    for id in (MATERIALS + 1..).take(parts.len()) {
        let _ = writeln!(xml, "  <item objectid=\"{id}\"/>");
    }
    xml.push_str(" </build>\n</model>\n");
    xml
}

fn mesh(xml: &mut String, mesh: &Mesh) {
    // Finer than the lattice that the points lie on: none falls on another.
    let short = |mm: f64| (mm * 1e5).round() / 1e5 + 0.0;
    xml.push_str("   <mesh>\n    <vertices>\n");
    for [x, y, z] in mesh.points.iter().map(|p| p.map(short)) {
        let _ = writeln!(xml, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    }
    xml.push_str("    </vertices>\n    <triangles>\n");
    for [a, b, c] in &mesh.triangles {
        let _ = writeln!(xml, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
    }
    xml.push_str("    </triangles>\n   </mesh>\n");
}

fn color(look: &Look) -> String {
    let [r, g, b] = look.color;
    format!("#{r:02X}{g:02X}{b:02X}FF")
}

/// Text as it may stand in XML: what XML can't hold is left out.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            sign if sign.is_control() || matches!(sign, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            sign => out.push(sign),
        }
    }
    out
}
