//! The program on a disk that goes wrong: this very test, run once more as the program. `suite --as-program <fault> <call> <file> <arguments>`
//! puts the fault at that call and writes to the file how many calls there were.

use benchleaf::edge::disk::{Fault, Faulty, Real};
use std::ffi::OsString;
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};

use super::{CACHE, beside};

const AS_PROGRAM: &str = "--as-program";

/// How a run of the program ended.
#[derive(Debug)]
pub struct Ended {
    /// `None` if it was killed.
    pub code: Option<i32>,
    pub errors: String,
    /// Calls to the disk; 0 if it was killed.
    pub calls: u64,
}

/// Ends the process as the program would, if it was called as the program.
pub fn as_program() -> Option<ExitCode> {
    let arguments: Vec<OsString> = std::env::args_os().collect();
    let [_, word, fault, at, calls, rest @ ..] = arguments.as_slice() else {
        return None;
    };
    if word.to_str() != Some(AS_PROGRAM) {
        return None;
    }
    let fault: Fault = fault.to_str()?.parse().ok()?;
    let disk = Faulty::new(Real, fault, at.to_str()?.parse().ok()?);
    let name = [OsString::from("benchleaf")];
    let code = benchleaf::edge::run(name.into_iter().chain(rest.iter().cloned()), &disk);
    std::fs::write(calls, disk.count().to_string()).ok()?;
    Some(code)
}

/// Runs the program in a folder with a fault at one call of the disk; at none if `at` is 0.
pub fn run(folder: &Path, fault: &str, at: u64, arguments: &[&str]) -> Ended {
    let calls = folder.join(".calls");
    let _ = std::fs::remove_file(&calls);
    let this = std::env::current_exe().expect("this test has a path");
    let output = Command::new(this)
        .args([AS_PROGRAM, fault, &at.to_string(), ".calls"])
        .args(arguments)
        .current_dir(folder)
        .env(CACHE, beside(folder))
        .env("COLUMNS", "100")
        .stdin(Stdio::null())
        .output()
        .unwrap_or_else(|e| panic!("the program can't be run: {e}"));
    let count = std::fs::read_to_string(&calls).unwrap_or_default();
    Ended {
        code: output.status.code(),
        errors: String::from_utf8_lossy(&output.stderr).into_owned(),
        calls: count.parse().unwrap_or(0),
    }
}
