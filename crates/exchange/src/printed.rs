//! Files for a three-dimensional printer or a modelling program: 3MF and binary STL.

use crate::solid::{Mesh, Part, cross, minus};
use std::io::Cursor;
use stl_io::{Normal, Triangle, Vertex, write_stl};
use threemf::model::{
    Base, BaseMaterials, Build, Item, Metadata, Model, Object, Resources, Triangles, Vertices,
};

/// The namespace of 3MF's core specification, in which base materials stand.
const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
/// Number of the group of materials; the objects follow it.
const MATERIALS: usize = 1;

/// A file could not be put together.
#[derive(Debug, thiserror::Error)]
#[error("the {format} file could not be put together ({why}); please report this")]
pub struct NotWritten {
    format: &'static str,
    why: String,
}

/// A 3MF file: each part as an object of its own with its name, material and colour, in
/// millimetres. The same parts give the same bytes.
///
/// # Errors
/// [`NotWritten`], which would be a mistake of this program.
pub fn three_mf(title: &str, note: Option<&str>, parts: &[Part]) -> Result<Vec<u8>, NotWritten> {
    let mut bases: Vec<Base> = Vec::new();
    let mut objects = Vec::new();
    for (number, part) in parts.iter().enumerate() {
        let [r, g, b] = part.material.look.color;
        let color = format!("#{r:02X}{g:02X}{b:02X}FF");
        let same = |base: &Base| base.name == part.material.name && base.displaycolor == color;
        let index = bases.iter().position(same).unwrap_or_else(|| {
            bases.push(Base { name: part.material.name.clone(), displaycolor: color.clone() });
            bases.len() - 1
        });
        objects.push(Object {
            id: MATERIALS + 1 + number,
            name: Some(part.name.clone()),
            pid: Some(MATERIALS),
            pindex: Some(index),
            mesh: Some(mesh(&part.mesh)),
            ..Object::default()
        });
    }
    let items = objects.iter().map(|object| Item {
        objectid: object.id,
        transform: None,
        partnumber: None,
    });
    let said = |name: &str, text: &str| Metadata {
        name: name.to_owned(),
        value: Some(text.to_owned()),
    };
    let mut metadata = vec![said("Title", title), said("Application", "Blankwright")];
    metadata.extend(note.map(|note| said("Description", note)));
    let model = Model {
        xmlns: CORE.to_owned(),
        // The library writes base materials with this prefix.
        xmlns_m: Some(CORE.to_owned()),
        metadata,
        build: Build { item: items.collect() },
        resources: Resources {
            object: objects,
            basematerials: Some(vec![BaseMaterials { id: MATERIALS, base: bases }]),
        },
        ..Model::default()
    };
    let mut bytes = Cursor::new(Vec::new());
    threemf::write(&mut bytes, model)
        .map_err(|why| NotWritten { format: "3MF", why: why.to_string() })?;
    Ok(bytes.into_inner())
}

fn mesh(mesh: &Mesh) -> threemf::Mesh {
    // Finer than the lattice that the points lie on: none falls on another.
    let short = |mm: f64| (mm * 1e5).round() / 1e5;
    let vertex = |p: &[f64; 3]| threemf::model::Vertex {
        x: short(p[0]),
        y: short(p[1]),
        z: short(p[2]),
    };
    let triangle = |t: &[u32; 3]| threemf::model::Triangle {
        v1: t[0] as usize,
        v2: t[1] as usize,
        v3: t[2] as usize,
    };
    threemf::Mesh {
        vertices: Vertices { vertex: mesh.points.iter().map(vertex).collect() },
        triangles: Triangles { triangle: mesh.triangles.iter().map(triangle).collect() },
    }
}

/// A binary STL file of all these parts, in millimetres.
///
/// # Errors
/// [`NotWritten`], which would be a mistake of this program.
pub fn stl(parts: &[Part]) -> Result<Vec<u8>, NotWritten> {
    let triangles: Vec<Triangle> = parts
        .iter()
        .flat_map(|part| part.mesh.triangles.iter().map(|t| facet(part.mesh.corners(*t))))
        .collect();
    let mut bytes = Vec::new();
    write_stl(&mut bytes, triangles.iter())
        .map_err(|why| NotWritten { format: "STL", why: why.to_string() })?;
    Ok(bytes)
}

fn facet([a, b, c]: [[f64; 3]; 3]) -> Triangle {
    let normal = cross(minus(b, a), minus(c, a));
    let length = normal.iter().map(|v| v * v).sum::<f64>().sqrt();
    let narrow = |v: [f64; 3]| v.map(|v| v as f32);
    let unit = if length > 0.0 { normal.map(|v| v / length) } else { [0.0; 3] };
    Triangle {
        normal: Normal::new(narrow(unit)),
        vertices: [a, b, c].map(|p| Vertex::new(narrow(p))),
    }
}
