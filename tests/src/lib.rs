//! End-to-end checks live in the test targets of this package.
