//! The program: nothing but a way into the command line.

fn main() {}
