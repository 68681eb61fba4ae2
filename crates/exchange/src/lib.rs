//! Knives as solids and cutting files: meshes, 3MF, STL, DXF out and in.
//!
//! Everything comes from the figures of `reckon`; bytes go out and come in, no file is touched.

pub mod solid;
