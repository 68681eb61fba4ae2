//! Files for a three-dimensional printer or a modelling program: 3MF and binary STL.

use crate::solid::{Part, cross, minus};
use crate::three_mf;
use stl_io::{Normal, Triangle, Vertex, write_stl};

/// A file could not be put together.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
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
    let bytes = three_mf::package(title, note, parts);
    bytes.map_err(|why| NotWritten { format: "3MF", why: why.to_string() })
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
