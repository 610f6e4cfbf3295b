//! The `benchleaf` program: the command line on top of the crates that do the work.

mod edge;

use benchleaf_core::{
    Compilation, answers, bench, cards, check, compile, diff, finding, fingerprint, kit, model, parse, plan, reckon,
    record, report, rules, source,
};
use benchleaf_domain as domain;

fn main() -> std::process::ExitCode {
    edge::main()
}
