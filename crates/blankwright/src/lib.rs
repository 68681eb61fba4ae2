//! blankwright
