//! What takes minutes: a fault at every call of a build, real kills, disks too small, thousands of procedures. Seeds are fixed and counts
//! are printed, so that a run can be compared with the last.

use super::many::{five_thousand, thousand};
use super::{Check, OPEN, close, compare, out, pump, run, told};
use crate::harness::fixture;
use crate::program::faulty;
use crate::program::{Scratch, program};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

pub const CHECKS: [(&str, Check); 6] = [
    ("a-fault-at-every-call", every_call),
    ("killed-fifty-times", killed),
    ("disks-too-small", small_disks),
    ("a-disk-that-is-read-only", read_only),
    ("a-thousand-procedures", thousand),
    ("five-thousand-procedures", five_thousand),
];

type Files = BTreeMap<String, Vec<u8>>;

fn files(scratch: &Scratch, below: &str) -> Files {
    scratch.files(below).into_iter().collect()
}

/// A set as it was built, and as it is now: a card changed, one as it was, one gone, one new.
fn old_and_new(scratch: &Scratch) -> (Vec<String>, Files, Files) {
    pump(scratch, "");
    scratch.write("pump/30-gone.md", OPEN.replace("cover", "hood").as_bytes());
    let mut faults = told(scratch, "build pump --out old", 0, &[]);
    let old = files(scratch, "old");
    scratch.write("pump/20-close.md", close("9 N·m").as_bytes());
    scratch.remove("pump/30-gone.md");
    scratch.write("pump/40-new.md", OPEN.replace("cover", "lid").as_bytes());
    faults.extend(told(scratch, "build pump --out new", 0, &[]));
    (faults, old, files(scratch, "new"))
}

/// Copies a folder with what is hidden in it.
fn copy(scratch: &Scratch, from: &str, to: &str) {
    let (from, to) = (scratch.path().join(from), scratch.path().join(to));
    let _ = fs::remove_dir_all(&to);
    for path in fixture::walk(&from) {
        let place = to.join(path.strip_prefix(&from).unwrap_or(&path));
        fs::create_dir_all(place.parent().unwrap_or(&to)).expect("a folder");
        fs::copy(&path, &place).expect("a copy");
    }
}

fn every_call(scratch: &Scratch) -> Vec<String> {
    let (mut faults, old, new) = old_and_new(scratch);
    let build = ["build", "pump", "--out", "out", "--jobs", "2"];
    copy(scratch, "old", "out");
    let mut counts: BTreeMap<(bool, &str), (u64, u64, u64)> = BTreeMap::new();
    // With nothing kept from earlier builds, and with everything.
    for (kept, fault) in [false, true].into_iter().flat_map(|kept| {
        let faults = ["fail", "shorten", "lose", "delay", "kill"];
        faults.map(|fault| (kept, fault))
    }) {
        let forget = || {
            if !kept {
                let _ = fs::remove_dir_all(scratch.cache());
            }
        };
        forget();
        copy(scratch, "old", "out");
        let calls = faulty::run(scratch.path(), "delay", 0, &build).calls;
        if calls < 100 {
            faults.push(format!("a build makes {calls} calls: are they counted?"));
        }
        for at in 1..=calls {
            copy(scratch, "old", "out");
            forget();
            let ended = faulty::run(scratch.path(), fault, at, &build);
            let what = format!("{fault} at call {at}: {ended:?}");
            let found = out(scratch);
            let count = counts.entry((kept, fault)).or_default();
            count.0 += 1;
            match ended.code {
                Some(0) => {
                    count.1 += 1;
                    faults.extend(compare(&what, &found, &new));
                }
                Some(2) => {
                    faults.extend(compare(&what, &found, &old));
                    if !ended.errors.contains("benchleaf: ") {
                        faults.push(format!("{what}: it doesn't say why"));
                    }
                }
                None if fault == "kill" => {
                    let recovery = faulty::run(
                        scratch.path(),
                        "delay",
                        0,
                        &["kit", "pump", "--format", "pdf", "--out", "out"],
                    );
                    let mut found = out(scratch);
                    found.retain(|name, _| name != "pump/kit.pdf");
                    if found != old && found != new {
                        faults.push(format!("{what}: neither old nor new, {recovery:?}"));
                    }
                    count.2 += u64::from(recovery.errors.contains("was cut off"));
                }
                _ => faults.push(what.clone()),
            }
            // Whatever it was, the next build does all of it.
            let again = faulty::run(scratch.path(), "delay", 0, &build);
            let mut found = out(scratch);
            found.retain(|name, _| name != "pump/kit.pdf");
            if again.code != Some(0) {
                faults.push(format!("{what}: then {again:?}"));
            }
            faults.extend(compare(&format!("{what}, then built again"), &found, &new));
        }
    }
    for ((kept, fault), (runs, went_well, set_right)) in counts {
        let kept = if kept { "from what is kept" } else { "from nothing" };
        eprintln!(
            "{fault}, {kept}: {runs} builds, {went_well} of them ended well, {set_right} were set right by the next command"
        );
    }
    faults
}

/// Numbers from a seed (SplitMix64, from memory).
struct Random(u64);

impl Random {
    fn next(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % below
    }
}

fn spawn(scratch: &Scratch, line: &str) -> Child {
    program(scratch.path())
        .args(line.split_whitespace())
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program can be run")
}

/// The files of one set of several.
fn of(files: &Files, set: &str) -> Files {
    let own = files.iter().filter(|(name, _)| name.starts_with(&format!("{set}/")));
    own.map(|(name, bytes)| (name.clone(), bytes.clone())).collect()
}

fn killed(scratch: &Scratch) -> Vec<String> {
    let sets = ["a", "b", "c", "d"];
    let write = |word: &str| {
        for set in sets {
            pump(scratch, &format!("sets/{set}/"));
            let from = scratch.path().join(format!("sets/{set}/pump"));
            let to = scratch.path().join(format!("sets/{set}"));
            for path in fixture::walk(&from) {
                fs::rename(&path, to.join(path.file_name().unwrap_or_default())).expect("moved");
            }
            fs::remove_dir(&from).expect("emptied");
            scratch.write(
                &format!("sets/{set}/10-open.md"),
                OPEN.replace("cover", word).as_bytes(),
            );
        }
    };
    write("cover");
    let mut faults = told(scratch, "build sets --out old", 0, &[]);
    let old = files(scratch, "old");
    write("lid");
    let begun = Instant::now();
    faults.extend(told(scratch, "build sets --out new", 0, &[]));
    let took = u64::try_from(begun.elapsed().as_micros()).unwrap_or(1);
    let new = files(scratch, "new");
    let mut random = Random(20_260_101);
    let (mut died, mut set_right, mut news) = (0, 0, 0);
    for round in 0..50 {
        copy(scratch, "old", "out");
        let mut child = spawn(scratch, "build sets --out out");
        sleep(Duration::from_micros(random.next(took)));
        let _ = child.kill();
        let status = child.wait().expect("it ended");
        died += u32::from(status.code().is_none());
        let (_, errors, _) = run(scratch, "build sets/a/20-close.md --out out");
        set_right += u32::from(errors.contains("was cut off"));
        let found = out(scratch);
        for set in sets {
            let found = of(&found, set);
            if found != of(&old, set) && found != of(&new, set) {
                faults.push(format!("round {round}: {set} is neither old nor new: {errors}"));
            }
            news += u32::from(found == of(&new, set));
        }
        faults.extend(told(scratch, "build sets --out out", 0, &[]));
        faults.extend(compare(&format!("round {round}, built again"), &out(scratch), &new));
    }
    eprintln!(
        "50 builds of {} ms: {died} were killed, {set_right} set right by the next command, {news} of 200 sets were new",
        took / 1000
    );
    faults
}

/// A disk in memory of so many KiB, at `out`; gone at the end.
struct Small<'a>(&'a Scratch);

impl<'a> Small<'a> {
    fn mount(scratch: &'a Scratch, kib: u64) -> Result<Small<'a>, String> {
        let place = scratch.path().join("out");
        let _ = fs::remove_dir_all(&place);
        fs::create_dir_all(&place).expect("a folder");
        let size = format!("size={kib}k");
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &size, "benchleaf"])
            .arg(&place)
            .status();
        match mounted {
            Ok(status) if status.success() => Ok(Small(scratch)),
            other => Err(format!("a disk can't be mounted, which takes root: {other:?}")),
        }
    }

    fn remount(&self, how: &str) {
        let place = self.0.path().join("out");
        let status = Command::new("mount")
            .args(["-o", &format!("remount,{how}")])
            .arg(place)
            .status();
        assert!(status.is_ok_and(|s| s.success()), "remount {how}");
    }
}

impl Drop for Small<'_> {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.0.path().join("out")).status();
    }
}

fn small_disks(scratch: &Scratch) -> Vec<String> {
    let (mut faults, old, new) = old_and_new(scratch);
    let needed = old
        .values()
        .chain(new.values())
        .map(|b| b.len() as u64 / 1024 + 4)
        .sum::<u64>()
        + 64;
    let (mut full, mut whole) = (0, 0);
    for kib in (8..needed).step_by(12) {
        let disk = match Small::mount(scratch, kib + 4096) {
            Ok(disk) => disk,
            Err(why) => return vec![why],
        };
        for (name, bytes) in scratch.files("old").into_iter().chain(hidden(scratch, "old")) {
            scratch.write(&format!("out/{name}"), &bytes);
        }
        let used: u64 = fixture::walk(&scratch.path().join("out"))
            .iter()
            .map(|p| fs::metadata(p).map_or(0, |m| m.len().div_ceil(4096) * 4))
            .sum();
        disk.remount(&format!("size={}k", used + kib));
        let (_, errors, code) = run(scratch, "build pump --out out");
        match code {
            Some(0) => {
                whole += 1;
                faults.extend(compare(&format!("{kib} KiB free"), &out(scratch), &new));
            }
            Some(2) if errors.contains("No space left") && errors.contains("which are old") => {
                full += 1;
                faults.extend(compare(&format!("{kib} KiB free"), &out(scratch), &old));
            }
            _ => faults.push(format!("{kib} KiB free: {code:?} {errors}")),
        }
    }
    eprintln!("{full} disks were too small, {whole} were not");
    if full == 0 || whole == 0 {
        faults.push(format!(
            "{full} disks were too small, {whole} were not: the sizes prove nothing"
        ));
    }
    faults
}

/// What the program keeps for itself.
fn hidden(scratch: &Scratch, below: &str) -> Vec<(String, Vec<u8>)> {
    let root = scratch.path().join(below);
    let all = fixture::walk(&root.join(".benchleaf"));
    let name = |path: &Path| path.strip_prefix(&root).unwrap_or(path).to_string_lossy().into_owned();
    all.iter()
        .map(|path| (name(path), fs::read(path).unwrap_or_default()))
        .collect()
}

fn read_only(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let disk = match Small::mount(scratch, 4096) {
        Ok(disk) => disk,
        Err(why) => return vec![why],
    };
    let mut faults = told(scratch, "build pump --out out", 0, &[]);
    let before = out(scratch);
    scratch.write("pump/10-open.md", OPEN.replace("cover", "lid").as_bytes());
    disk.remount("ro");
    faults.extend(told(scratch, "build pump --out out", 2, &["Read-only file system"]));
    faults.extend(told(scratch, "check pump", 0, &[]));
    disk.remount("rw");
    faults.extend(compare("after it was read-only", &out(scratch), &before));
    faults.extend(told(scratch, "build pump --out out", 0, &[]));
    faults
}
