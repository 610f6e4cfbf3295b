//! `benchleaf.yaml`: what a shop wants every time, so that nobody has to say it each time. Each key is an option of some commands, and is given
//! to those as if it stood on the command line; what does stand there goes before it.

use super::args::Args;
use super::disk::{Disk, Kind, there};
use super::{Trouble, escape};
use crate::finding::did_you_mean;
use crate::source::{DEFAULTS_FILE, WORKSHOP_FILE};
use clap::parser::ValueSource;
use clap::{ArgMatches, Command, CommandFactory, FromArgMatches};
use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::{Component, Path, PathBuf};

/// The word that leaves it out of account.
const WITHOUT: &str = "no_defaults";

/// What a key's value is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    /// `yes` or `no`.
    Flag,
    Word,
    /// A path below the file's own folder.
    Path,
}

/// The keys, and what they are.
const KEYS: [(&str, Sort); 13] = [
    ("out", Sort::Path),
    ("paper", Sort::Word),
    ("mono", Sort::Flag),
    ("templates", Sort::Path),
    ("jobs", Sort::Word),
    ("longest", Sort::Word),
    ("no-cache", Sort::Flag),
    ("ppi", Sort::Word),
    ("port", Sort::Word),
    ("sitting", Sort::Word),
    ("every", Sort::Word),
    ("step", Sort::Word),
    ("deny", Sort::Word),
];

/// Why a command line came to nothing.
pub enum Refused {
    /// By the reader of the command line.
    Usage(clap::Error),
    Trouble(Trouble),
}

/// Reads the command line, with the defaults of the shop that it is about.
///
/// # Errors
/// If it can't be understood, or what the file has can't be.
pub fn read(arguments: Vec<OsString>, disk: &dyn Disk) -> Result<Args, Refused> {
    let parsed = |arguments: &[OsString]| Args::command().try_get_matches_from(arguments).map_err(Refused::Usage);
    let args = |matches: &ArgMatches| Args::from_arg_matches(matches).map_err(Refused::Usage);
    let matches = parsed(&arguments)?;
    if matches.get_flag(WITHOUT) {
        return args(&matches);
    }
    let program = Args::command();
    let (command, words, own) = innermost(&program, &matches);
    let takes = |argument: &clap::Arg| KEYS.iter().any(|(key, _)| argument.get_long() == Some(key));
    if !command.get_arguments().any(takes) {
        return args(&matches);
    }
    let Some(found) = find(disk, &about(own)).map_err(Refused::Trouble)? else {
        return args(&matches);
    };
    let keys = keys(disk, &found).map_err(Refused::Trouble)?;
    let more = more(disk, command, own, &keys, &found).map_err(Refused::Trouble)?;
    // Behind the words of the command: what follows `--` is none of its options.
    let place = |at: usize, word: &String| arguments.iter().skip(at).position(|a| *a == **word).map(|n| at + n + 1);
    let Some(behind) = words.iter().try_fold(1, place).filter(|_| !more.is_empty()) else {
        return args(&matches);
    };
    let mut all = arguments;
    all.splice(behind..behind, more);
    let matches = Args::command().try_get_matches_from(&all).map_err(|error| {
        // The command line by itself was understood, so it is something of the file.
        let words = error.to_string();
        let first = words.lines().next().unwrap_or_default();
        let said = first.strip_prefix("error: ").unwrap_or(first);
        Refused::Trouble(Trouble::new(format!("{}: {said}", escape::path(&found))))
    })?;
    args(&matches)
}

/// The command that was given, in its words, with what was said of it: `log report` is one in another.
fn innermost<'a>(program: &'a Command, matches: &'a ArgMatches) -> (&'a Command, Vec<String>, &'a ArgMatches) {
    let (mut command, mut words, mut own) = (program, Vec::new(), matches);
    while let Some((name, inner)) = own.subcommand() {
        let Some(next) = command.find_subcommand(name) else {
            break;
        };
        words.push(name.to_string());
        (command, own) = (next, inner);
    }
    (command, words, own)
}

/// The value of an argument of a command, whatever its type; `None` for one that it hasn't got.
fn value<'a>(own: &'a ArgMatches, name: &str) -> Option<&'a std::ffi::OsStr> {
    own.try_get_raw(name).ok().flatten()?.next_back()
}

/// The place that a command is about: its path, or the folder that it looks at.
fn about(own: &ArgMatches) -> PathBuf {
    let path = ["path", "at"].iter().find_map(|name| value(own, name));
    path.filter(|path| *path != "-")
        .map_or_else(|| PathBuf::from("."), PathBuf::from)
}

/// The nearest file: in the folder or above it, as far as its repository or, without git, its outermost shop goes.
fn find(disk: &dyn Disk, path: &Path) -> Result<Option<PathBuf>, Trouble> {
    let Ok(path) = std::path::absolute(path) else {
        return Ok(None);
    };
    let is = |place: &Path, kind: Kind| disk.target(place).is_ok_and(|stat| stat.kind == kind);
    let folder = match is(&path, Kind::Folder) {
        true => path.as_path(),
        false => path.parent().unwrap_or(&path),
    };
    let above: Vec<&Path> = folder.ancestors().collect();
    let repository = above
        .iter()
        .position(|folder| there(disk, &folder.join(".git")).is_ok_and(|it| it.is_some()));
    let shop = above
        .iter()
        .rposition(|folder| is(&folder.join(WORKSHOP_FILE), Kind::File));
    let last = repository.or(shop).unwrap_or(0);
    for folder in above.iter().take(last + 1) {
        let file = folder.join(DEFAULTS_FILE);
        match there(disk, &file) {
            Ok(None) => {}
            Ok(Some(stat)) if stat.kind == Kind::File => return Ok(Some(file)),
            Ok(Some(_)) => {
                let file = escape::path(&file);
                return Err(Trouble::new(format!(
                    "{file} is no regular file, and no link is followed there"
                )));
            }
            Err(error) => return Err(Trouble::file("read", &file, &error)),
        }
    }
    Ok(None)
}

/// The keys of a file with their values as they are written.
fn keys(disk: &dyn Disk, file: &Path) -> Result<BTreeMap<String, String>, Trouble> {
    let shown = escape::path(file);
    let bytes = disk.read(file).map_err(|e| Trouble::file("read", file, &e))?;
    let text = String::from_utf8(bytes).map_err(|_| Trouble::new(format!("{shown} is no UTF-8 text")))?;
    let keys: BTreeMap<String, String> = match text
        .lines()
        .all(|line| line.trim_start().starts_with('#') || line.trim().is_empty())
    {
        true => BTreeMap::new(),
        false => serde_saphyr::from_str(&text).map_err(|error| {
            let words = error.to_string();
            let first = words.lines().next().unwrap_or_default();
            Trouble::new(format!(
                "{shown}: {} (one `key: value` a line is wanted)",
                escape::word(first)
            ))
        })?,
    };
    for key in keys.keys() {
        if !KEYS.iter().any(|(known, _)| known == key) {
            let known = KEYS.map(|(known, _)| known);
            let meant = did_you_mean(key, known).map_or_else(String::new, |meant| format!("; did you mean `{meant}`?"));
            return Err(Trouble::new(format!(
                "{shown}: `{}` is no default{meant} There are: {}",
                escape::word(key),
                known.join(", ")
            )));
        }
    }
    Ok(keys)
}

/// What a command is given from a file: the options that it has, that mean something to what was asked, and that nobody gave.
fn more(
    disk: &dyn Disk,
    command: &Command,
    own: &ArgMatches,
    keys: &BTreeMap<String, String>,
    file: &Path,
) -> Result<Vec<OsString>, Trouble> {
    let mut more = Vec::new();
    for (key, value) in keys {
        let Some((_, sort)) = KEYS.iter().find(|(known, _)| known == key) else {
            continue;
        };
        let wrong = |words: &str| {
            let (file, value) = (escape::path(file), escape::word(value));
            Trouble::new(format!("{file}: `{key}: {value}` {words}"))
        };
        // Whatever the command, so that a slip is told the first time.
        let word = match (sort, value.as_str()) {
            (Sort::Flag, "yes" | "true") => Some(OsString::from(format!("--{key}"))),
            (Sort::Flag, "no" | "false") => None,
            (Sort::Flag, _) => return Err(wrong("is neither yes nor no")),
            (Sort::Word, value) => Some(OsString::from(format!("--{key}={value}"))),
            (Sort::Path, value) => {
                let path = Path::new(value);
                let below = |part: Component| matches!(part, Component::Normal(_) | Component::CurDir);
                if value.is_empty() || !path.components().all(below) {
                    return Err(wrong("leads out of the folder that the file lies in"));
                }
                let own = file.parent().unwrap_or(file);
                let place = own.join(path);
                // Somebody's repository may bring a link along that leads anywhere.
                let below = place.ancestors().take_while(|place| *place != own);
                let link = |place: &Path| disk.stat(place).is_ok_and(|stat| stat.kind == Kind::Link);
                if below.into_iter().any(link) {
                    return Err(wrong("goes through a link, and links are not followed there"));
                }
                let mut word = OsString::from(format!("--{key}="));
                word.push(place);
                Some(word)
            }
        };
        let argument = command
            .get_arguments()
            .find(|argument| argument.get_long() == Some(key));
        let given = |id: &str| own.value_source(id) == Some(ValueSource::CommandLine);
        if let Some(argument) = argument
            && means_something(command.get_name(), key, own)
            && !given(argument.get_id().as_str())
        {
            more.extend(word);
        }
    }
    Ok(more)
}

/// True if an option of a command bears on what was asked: what is for paper is none where nothing is printed.
fn means_something(command: &str, key: &str, own: &ArgMatches) -> bool {
    let set = |name: &str| own.try_get_one::<bool>(name).ok().flatten() == Some(&true);
    match command {
        "build" | "reissue" | "preview" => true,
        "check" => key == "deny" || set("pages"),
        "manual" => value(own, "pdf").is_some(),
        "lsp" => set("preview"),
        "plan" if ["sitting", "every", "step"].contains(&key) => true,
        // Where the answer goes is for who asks.
        _ => key != "out" && value(own, "format").is_some_and(|format| format == "pdf"),
    }
}
