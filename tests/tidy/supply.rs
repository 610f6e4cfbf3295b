//! What the program is made of besides its own code: held against `.deny.toml`, and its notices in `compiler/notices.txt`, which
//! `--licences` prints.
//!
//! Goes by the crates as cargo resolves them for one system, without a network. What only programs for other systems have in them is in
//! `compiler/notices-elsewhere.txt`.

use crate::harness::fixture::{root, text};
use crate::harness::{Outcome, snapshot};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A crate that is linked into the program, or that tests use.
struct Package {
    name: String,
    version: String,
    licence: String,
    source: Option<String>,
    folder: PathBuf,
    /// True of those that are linked into the program.
    shipped: bool,
}

/// The system that tests run on.
const HERE: &str = "x86_64-unknown-linux-gnu";

/// The systems that `.ci/release` makes programs for.
const ELSEWHERE: [&str; 5] = [
    "x86_64-unknown-linux-musl",
    "aarch64-unknown-linux-musl",
    "x86_64-pc-windows-gnu",
    "x86_64-apple-darwin",
    "aarch64-apple-darwin",
];

fn packages(system: &str) -> Result<Vec<Package>, String> {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--offline", "--locked", "--format-version", "1"])
        .args(["--filter-platform", system])
        .current_dir(root())
        .output()
        .map_err(|e| e.to_string())?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned());
    }
    let data: Value = serde_json::from_slice(&output.stdout).map_err(|e| e.to_string())?;
    let word = |value: &Value, field: &str| value[field].as_str().unwrap_or("").to_string();
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let mut needs: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for node in list(&data["resolve"]["nodes"]) {
        let normal = |dep: &Value| list(&dep["dep_kinds"]).iter().any(|kind| kind["kind"].is_null());
        let deps = list(&node["deps"])
            .into_iter()
            .filter(normal)
            .map(|dep| word(&dep, "pkg"));
        needs.insert(word(&node, "id"), deps.collect());
    }
    let all = list(&data["packages"]);
    let program = all.iter().find(|p| p["name"] == "benchleaf").map(|p| word(p, "id"));
    let mut shipped = BTreeSet::new();
    let mut open: Vec<String> = program.into_iter().collect();
    while let Some(id) = open.pop() {
        if shipped.insert(id.clone()) {
            open.extend(needs.get(&id).cloned().unwrap_or_default());
        }
    }
    let package = |p: &Value| Package {
        name: word(p, "name"),
        version: word(p, "version"),
        licence: word(p, "license"),
        source: p["source"].as_str().map(String::from),
        folder: Path::new(&word(p, "manifest_path"))
            .parent()
            .map(PathBuf::from)
            .unwrap_or_default(),
        shipped: shipped.contains(&word(p, "id")),
    };
    let mut packages: Vec<Package> = all.iter().map(package).collect();
    packages.sort_by(|a, b| (&a.name, &a.version).cmp(&(&b.name, &b.version)));
    Ok(packages)
}

/// The words in quotes between a line that begins a list and the bracket that ends it.
fn listed(config: &str, begin: &str) -> BTreeSet<String> {
    let lines = config
        .lines()
        .skip_while(|line| *line != begin)
        .skip(1)
        .take_while(|line| *line != "]");
    lines
        .filter_map(|line| Some(line.split('"').nth(1)?.to_string()))
        .collect()
}

pub fn chain() -> Vec<String> {
    let config = text(&root().join(".deny.toml"));
    let (allowed, banned) = (listed(&config, "allow = ["), listed(&config, "deny = ["));
    let packages = match packages(HERE) {
        Ok(packages) => packages,
        Err(fault) => return vec![fault],
    };
    let mut faults = Vec::new();
    for package in &packages {
        let name = format!("{} {}", package.name, package.version);
        if banned.contains(&package.name) {
            faults.push(format!("{name} is banned"));
        }
        match &package.source {
            Some(source) if !source.starts_with("registry+") => faults.push(format!("{name} is from {source}")),
            _ => {}
        }
        let licence = clarified(&config, &package.name).unwrap_or(&package.licence);
        if !permits(licence, &allowed) {
            faults.push(format!(
                "{name} is under {:?}, which .deny.toml doesn't list",
                package.licence
            ));
        }
    }
    if packages.iter().filter(|p| p.shipped).count() < 100 || allowed.len() < 5 || banned.len() < 5 {
        faults.push("the crates or the lists weren't read".to_string());
    }
    // What isn't listed, and one half of two, permit nothing.
    for (licence, right) in [
        ("GPL-3.0", false),
        ("MIT AND GPL-3.0", false),
        ("MIT OR GPL-3.0", true),
        ("(MIT OR X) AND ISC", true),
        ("", false),
    ] {
        if permits(licence, &allowed) != right {
            faults.push(format!("`{licence}` is judged wrongly"));
        }
    }
    faults
}

/// The licence that `.deny.toml` says of a crate whose manifest says none.
fn clarified<'c>(config: &'c str, name: &str) -> Option<&'c str> {
    let (_, rest) = config.split_once(&format!("crate = \"{name}\"\nexpression = \""))?;
    rest.split('"').next()
}

/// True if a licence expression (SPDX; `/` is an older `OR`) can be met with what is allowed.
fn permits(expression: &str, allowed: &BTreeSet<String>) -> bool {
    let expression = expression.replace('/', " OR ");
    expression.split(" AND ").all(|part| {
        let part = part.trim().trim_matches(['(', ')']);
        part.split(" OR ").any(|licence| allowed.contains(licence.trim()))
    })
}

/// The notices are those of the crates as they are.
pub fn notices() -> Outcome {
    let packages = packages(HERE)?;
    let mut out = String::from(
        "benchleaf is free software under the MIT licence or the Apache License 2.0, whichever you like.\n\n\
         It is built from the crates below, each under the licence that stands with it. Texts that differ in nothing but the\n\
         copyright line stand once.\n",
    );
    let fonts = packages
        .iter()
        .find(|p| p.name == "dejavu")
        .map(|p| p.folder.join("assets"));
    let fonts = fonts.iter().flat_map(|folder| crate::harness::fixture::walk(folder));
    for file in fonts.filter(|file| file.ends_with("LICENSE")) {
        let rule = "=".repeat(100);
        out += &format!(
            "\n{rule}\nThe fonts DejaVu\n{rule}\n\n{}\n",
            text(&file).trim().replace("\r\n", "\n")
        );
    }
    let (written, texts) = licences(&packages);
    if texts < 10 {
        return Err("there are hardly any licences".into());
    }
    snapshot::compare(&root().join("compiler/notices.txt"), &(out + &written))
}

/// So are those of what only programs for other systems have in them.
pub fn notices_elsewhere() -> Outcome {
    let path = root().join("compiler/notices-elsewhere.txt");
    let name = |p: &Package| format!("{} {}", p.name, p.version);
    let shipped = |packages: Vec<Package>| packages.into_iter().filter(|p| p.shipped && p.source.is_some());
    let here: BTreeSet<String> = shipped(packages(HERE)?).map(|p| name(&p)).collect();
    let mut others: BTreeMap<String, Package> = BTreeMap::new();
    for system in ELSEWHERE {
        let Ok(packages) = packages(system) else {
            // Cargo fetches what it builds, so crates for other systems may not be here. Then their versions are compared.
            return versions(&text(&path), &text(&root().join("Cargo.lock")));
        };
        let further = shipped(packages).filter(|p| !here.contains(&name(p)));
        others.extend(further.map(|p| (name(&p), p)));
    }
    let others: Vec<Package> = others.into_values().collect();
    let libraries = text(&root().join("tests/tidy/libraries.txt"));
    snapshot::compare(&path, &(libraries + &licences(&others).0))
}

/// Each crate that notices name, `name 1.2.3 (licence)`, is locked in that version.
fn versions(notices: &str, lock: &str) -> Outcome {
    let named = notices.lines().filter_map(|line| {
        let (crate_, _) = line.split_once(" (")?;
        let (name, version) = crate_.split_once(' ')?;
        let is_version = version.starts_with(|c: char| c.is_ascii_digit()) && !version.contains(' ');
        (is_version && !name.is_empty()).then_some((name, version))
    });
    let is_locked =
        |(name, version): &(&str, &str)| lock.contains(&format!("name = \"{name}\"\nversion = \"{version}\"\n"));
    match named.clone().find(|crate_| !is_locked(crate_)) {
        _ if named.count() < 5 => Err("hardly any crate is named".into()),
        Some((name, version)) => {
            Err(format!("{name} {version} isn't in Cargo.lock (`cargo fetch`, then BLESS=1)").into())
        }
        None => Ok(()),
    }
}

/// The licences of crates, those that differ in nothing but the copyright line once, and how many there are.
fn licences(packages: &[Package]) -> (String, usize) {
    let mut out = String::new();
    // By a text without its copyright lines: the text, and who holds the copyright of what.
    let mut texts: BTreeMap<String, (String, BTreeMap<String, BTreeSet<String>>)> = BTreeMap::new();
    let mut bare = Vec::new();
    for package in packages.iter().filter(|p| p.shipped && p.source.is_some()) {
        let name = format!("{} {} ({})", package.name, package.version, package.licence);
        let files = licence_files(package);
        if files.is_empty() {
            bare.push(name.clone());
        }
        for file in files {
            let whole = String::from_utf8_lossy(&fs::read(&file).unwrap_or_default()).replace("\r\n", "\n");
            let is_notice = |line: &&str| line.trim_start().to_lowercase().starts_with("copyright");
            let held: BTreeSet<String> = whole
                .lines()
                .filter(is_notice)
                .map(|line| line.trim().to_string())
                .collect();
            let rest: Vec<&str> = whole
                .lines()
                .filter(|line| !is_notice(line))
                .map(str::trim_end)
                .collect();
            let rest = rest.join("\n").trim().to_string();
            let key: String = rest.split_whitespace().collect::<Vec<_>>().join(" ");
            let entry = texts.entry(key).or_insert_with(|| (rest, BTreeMap::new()));
            entry.1.entry(name.clone()).or_default().extend(held);
        }
    }
    for (text, crates) in texts.values() {
        let rule = "=".repeat(100);
        out += &format!("\n{rule}\n");
        for (name, held) in crates {
            out += &format!("{name}\n");
            held.iter().for_each(|line| out += &format!("    {line}\n"));
        }
        out += &format!("{rule}\n\n{text}\n");
    }
    if !bare.is_empty() {
        out += "\nThese bring no text of their own; their licences stand above:\n";
        bare.iter().for_each(|name| out += &format!("{name}\n"));
    }
    (out, texts.len())
}

/// The texts that a crate brings; of several licences to choose from the MIT one, if it is among them.
fn licence_files(package: &Package) -> Vec<PathBuf> {
    let names = ["licen", "copying", "notice", "unlicense"];
    let is_one = |path: &PathBuf| {
        let name = path
            .file_name()
            .map_or_else(String::new, |name| name.to_string_lossy().to_lowercase());
        path.is_file() && names.iter().any(|begin| name.starts_with(begin))
    };
    let files: Vec<PathBuf> = crate::harness::fixture::entries(&package.folder)
        .into_iter()
        .filter(is_one)
        .collect();
    let choice = package.licence.contains("MIT") && !package.licence.contains(" AND ");
    let is_mit = |path: &&PathBuf| {
        path.file_name()
            .is_some_and(|name| name.to_string_lossy().to_lowercase().contains("mit"))
    };
    match files.iter().find(is_mit) {
        Some(mit) if choice => vec![mit.clone()],
        _ => files,
    }
}
