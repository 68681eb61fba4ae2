//! What the paper tests share: drawings to lay out, and a reader of what a PDF really says.

#![allow(dead_code, reason = "each test binary uses its own part")]

pub(crate) mod demo;
pub(crate) mod read;
