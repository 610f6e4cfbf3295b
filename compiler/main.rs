//! The `benchleaf` program: everything is in the library's edge.

#![forbid(unsafe_code)]

fn main() -> std::process::ExitCode {
    benchleaf::edge::main()
}
