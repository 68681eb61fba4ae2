//! Knives as solids and cutting files: meshes, 3MF and STL out, DXF out and in.
//!
//! Everything comes from the figures of `reckon`; bytes go out and come in, no file is touched.

mod bulge;
pub mod cut;
pub mod dxf_import;
pub mod export;
mod package;
pub mod printed;
pub mod solid;
mod three_mf;
pub mod view;
