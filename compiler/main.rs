//! The `benchleaf` program: everything is in the library's edge.

fn main() -> std::process::ExitCode {
    benchleaf::edge::main()
}
