//! reckon

pub mod tables;
