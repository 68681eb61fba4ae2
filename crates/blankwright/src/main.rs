//! The program's entry: everything it does is in the library beside it.
fn main() {}
