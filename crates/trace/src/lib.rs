//! Pictures to outlines in millimetres.
