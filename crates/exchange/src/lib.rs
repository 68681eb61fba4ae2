//! Knives as solids and cutting files.
