//! Parses, calls, and turns the outcome into an exit code.

fn main() {}
