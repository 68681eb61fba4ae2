//! Knives as solids and cutting files: meshes, 3MF and STL out, DXF out and in.
//!
//! Everything comes from the figures of `reckon`; bytes go out and come in, no file is touched.
//!
//! ```
//! use exchange::solid::{USUAL_CHORD_MM, knife_parts};
//! use reckon::{Shop, reckon, tables::Tables};
//!
//! let knife = knife::starter("drop-point").expect("it is shipped").knife();
//! let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
//! let parts = knife_parts(&knife, &reckoning, Tables::built_in(), 10.0 * USUAL_CHORD_MM)?;
//! assert!(parts.iter().all(|part| part.mesh.is_closed()));
//! let bytes = exchange::printed::stl(&parts).expect("it fits into a file");
//! assert!(bytes.len() > 84, "a header and triangles");
//! # Ok::<(), exchange::solid::SolidFault>(())
//! ```

mod bulge;
pub mod cut;
pub mod dxf_import;
pub mod export;
mod package;
pub mod printed;
pub mod solid;
mod three_mf;
pub mod view;
