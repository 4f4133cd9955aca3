//! The fingerpost program.

fn main() {}
