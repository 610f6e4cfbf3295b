//! What each file of a compilation is taken for: a set, a shop, a procedure, a picture, something left alone, or something that was
//! meant to be read and isn't.

use super::names;
use super::rules::{looks_like_front_matter, stray_file, unknown_file};
use super::texts::{slice, split_while};
use crate::finding::Finding;
use crate::source::{
    DEFAULTS_FILE, FileId, FileSet, SET_FILE, SourceFile, Span, WORKSHOP_FILE, ending, file_name, folder, lies_in,
};

/// What a file is taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taken {
    Set,
    Shop,
    Procedure,
    /// A picture, whether a card shows it or not.
    Picture,
    /// Nothing of a set: why it is left alone.
    Alone(&'static str),
    /// A set, a shop or a procedure under another name than it must have: there is a finding.
    Misnamed(Own),
    /// Something of which nothing is known: there is a finding.
    Told,
}

/// What a misnamed file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Own {
    Set,
    Shop,
    Procedure,
}

/// Endings of pictures, those that can be printed and others.
pub const PICTURES: [&str; 15] = [
    "svg", "png", "jpg", "jpeg", "gif", "webp", "bmp", "tif", "tiff", "heic", "avif", "svgz", "eps", "ico", "pdf",
];

/// Endings of files that lie beside procedures and are none: documents, tables, drawings, recordings, programs.
const ALONE: [&str; 44] = [
    "doc", "docx", "odt", "rtf", "xls", "xlsx", "ods", "csv", "tsv", "json", "toml", "ini", "xml", "html", "htm",
    "css", "js", "py", "sh", "bat", "rs", "ics", "zip", "gz", "7z", "tar", "stl", "step", "stp", "igs", "iges", "dxf",
    "dwg", "fcstd", "mp4", "mov", "mkv", "webm", "mp3", "wav", "log", "lock", "bak", "typ",
];

/// Names without an ending that lie in repositories.
const NAMES: [&str; 6] = ["LICENSE", "LICENCE", "COPYING", "Makefile", "justfile", "CODEOWNERS"];

/// What a text file is taken for, with its finding if it should be read and isn't.
pub fn taken(id: FileId, source: &SourceFile, in_set: bool) -> (Taken, Option<Finding>) {
    let name = file_name(&source.path);
    match (name, ending(&source.path).as_str()) {
        (SET_FILE, _) => return (Taken::Set, None),
        (WORKSHOP_FILE, _) => return (Taken::Shop, None),
        (DEFAULTS_FILE, _) => return (Taken::Alone("a shop's defaults for options"), None),
        (_, "md") if name.ends_with(".md") => {
            return match front(id, source) {
                Front::Begins => (Taken::Procedure, None),
                Front::Misses(finding) if in_set => (Taken::Misnamed(Own::Procedure), Some(*finding)),
                Front::Misses(_) | Front::None => (Taken::Alone("Markdown without front matter"), None),
            };
        }
        _ => {}
    }
    let span = head(id, source);
    let told = |finding| (Taken::Told, Some(finding));
    let lower = name.to_ascii_lowercase();
    let (stem, ends) = split_while(&lower, |c| c != '.');
    for (wanted, own, kind) in [(SET_FILE, "set", Own::Set), (WORKSHOP_FILE, "workshop", Own::Shop)] {
        let yaml = [".yml", ".yaml", ".yaml.txt", ".yml.txt"].contains(&ends);
        if stem == own && yaml {
            return (Taken::Misnamed(kind), Some(stray_file::renamed(span, name, wanted)));
        }
    }
    match ending(&source.path).as_str() {
        "yaml" | "yml" => {
            let fields = source.text.lines().filter_map(field);
            let mut of_set = fields.filter(|name| names::of_a_head(name)).peekable();
            let record = source.text.lines().any(|line| field(line) == Some("log"));
            if in_set && !record && of_set.peek().is_some() {
                told(stray_file::yaml(span, name))
            } else {
                (Taken::Alone("YAML of something else"), None)
            }
        }
        _ => {
            let bare = [".txt", ".md"].iter().fold(name, |name, end| {
                match name.split_at_checked(name.len().saturating_sub(end.len())) {
                    Some((stem, last)) if last.eq_ignore_ascii_case(end) => stem,
                    _ => name,
                }
            });
            let bare = bare
                .rsplit_once('.')
                .filter(|_| bare == name)
                .map_or(bare, |(stem, _)| stem);
            let is_procedure = match front(id, source) {
                Front::Begins => true,
                Front::Misses(_) => numbered(name) || ending(&source.path) == "md",
                Front::None => false,
            };
            if in_set && is_procedure {
                let finding = stray_file::renamed(span, name, &format!("{bare}.md"));
                (Taken::Misnamed(Own::Procedure), Some(finding))
            } else {
                (Taken::Alone("text"), None)
            }
        }
    }
}

/// What a file that is no text is taken for, by its path.
pub fn taken_unread(path: &str) -> Taken {
    let ending = ending(path);
    if PICTURES.contains(&ending.as_str()) {
        Taken::Picture
    } else if ALONE.contains(&ending.as_str()) || NAMES.contains(&file_name(path)) {
        Taken::Alone("a kind that is not read")
    } else {
        Taken::Told
    }
}

/// Every file with what it is taken for, by path.
pub fn all(files: &FileSet) -> Vec<(String, Taken)> {
    let sets = sets(files);
    let in_set = |path: &str| sets.iter().any(|(_, set)| lies_in(folder(path), set));
    let texts = files.ids().map(|id| {
        let source = files.get(id);
        (source.path.clone(), taken(id, source, in_set(&source.path)).0)
    });
    let others = files.assets().keys().map(|path| (path.clone(), taken_unread(path)));
    let mut all: Vec<(String, Taken)> = texts.chain(others).collect();
    all.sort_by(|one, other| one.0.cmp(&other.0));
    all
}

/// The sets' own files with their folders.
pub fn sets(files: &FileSet) -> Vec<(FileId, String)> {
    let own = files.ids().filter(|id| file_name(&files.get(*id).path) == SET_FILE);
    own.map(|id| (id, folder(&files.get(id).path).to_string())).collect()
}

/// Files that are no text and of which nothing is known, told of at the set that they lie in.
pub fn unknown(files: &FileSet) -> Vec<Finding> {
    let sets = sets(files);
    let mut findings = Vec::new();
    for (id, set) in &sets {
        for path in below(files, set).filter(|path| taken_unread(path) == Taken::Told) {
            let nearer = |(_, other): &(FileId, String)| other.len() > set.len() && lies_in(folder(path), other);
            if !sets.iter().any(nearer) {
                findings.push(unknown_file::finding(head(*id, files.get(*id)), file_name(path)));
            }
        }
    }
    findings
}

/// Files that are no text, in a folder and in those inside it. Looks at no others, of which there may be many.
fn below<'a>(files: &'a FileSet, place: &'a str) -> impl Iterator<Item = &'a String> {
    let start = match place {
        "" => String::new(),
        place => format!("{place}/"),
    };
    let from = files.assets().range(start.clone()..).map(|(path, _)| path);
    from.take_while(move |path| path.starts_with(&start))
}

fn head(id: FileId, source: &SourceFile) -> Span {
    let line = source.head();
    Span::new(id, line.start, line.end)
}

/// True of `10-strip.md`: the form of procedures' names.
fn numbered(name: &str) -> bool {
    let rest = name.trim_start_matches(|c: char| c.is_ascii_digit());
    rest.len() < name.len() && rest.starts_with(['-', '_', ' ', '.'])
}

/// The field that a line at the left edge gives.
fn field(line: &str) -> Option<&str> {
    let (name, rest) = line.split_once(':')?;
    let fits = !name.is_empty() && name.chars().all(|c| c.is_ascii_lowercase() || c == '-');
    (fits && (rest.is_empty() || rest.starts_with(char::is_whitespace))).then_some(name)
}

/// How a Markdown file begins.
enum Front {
    /// With a line `---`.
    Begins,
    /// Like a procedure, but for that line.
    Misses(Box<Finding>),
    /// Like any other text.
    None,
}

fn front(id: FileId, source: &SourceFile) -> Front {
    let text = source.text.as_str();
    let start = source.head().start;
    if slice(text, start..).lines().next().unwrap_or("").trim_end() == "---" {
        return Front::Begins;
    }
    match begins_wrong(id, text, start).or_else(|| acts(id, source)) {
        Some(finding) => Front::Misses(Box::new(finding)),
        None => Front::None,
    }
}

/// A first line that is nearly the one of front matter.
fn begins_wrong(id: FileId, text: &str, start: usize) -> Option<Finding> {
    let mut lines = lines(text, start);
    let mut before: Option<&'static str> = None;
    let (at, written) = loop {
        let (at, line) = lines.next()?;
        let words = line.trim();
        if words.is_empty() {
            before = before.or(Some("an empty line"));
        } else if words.starts_with("<!--") && words.ends_with("-->") {
            before = Some("a comment");
        } else {
            break (at, line);
        }
    };
    let words = written.trim();
    let at = at + written.len() - written.trim_start().len();
    let span = Span::new(id, at, at + words.len());
    let rest: Vec<&str> = lines.take(40).map(|(_, line)| line.trim()).collect();
    let next = rest.iter().find(|line| !line.is_empty());
    let begins = |line: &str| {
        let (name, rest) = split_while(line, |c| !matches!(c, ':' | '=' | ' '));
        names::of_a_head(name) && rest.trim_start().starts_with([':', '='])
    };
    let fields = next.is_some_and(|line| begins(line));
    if words == "---" && fields {
        let before = before.unwrap_or("a space");
        let lead = (before != "a comment").then_some(Span::new(id, start, at));
        return Some(looks_like_front_matter::preceded(span, before, lead));
    }
    if is_fence(words) && fields {
        return Some(looks_like_front_matter::fence(
            span,
            words,
            rest.contains(&"---") && before.is_none(),
        ));
    }
    let name = field(words).filter(|name| names::of_a_head(name))?;
    // `source: a book` may begin a note.
    let more = rest
        .iter()
        .any(|line| is_fence(line) || field(line).is_some_and(names::of_a_head));
    (name == "title" || more).then(|| looks_like_front_matter::bare(span))
}

/// Lines that hold what a procedure has, in a file that has the name of one or uses marks.
fn acts(id: FileId, source: &SourceFile) -> Option<Finding> {
    let text = source.text.as_str();
    let numbered = numbered(file_name(&source.path));
    let mut fenced = false;
    for (at, line) in lines(text, source.head().start) {
        let words = line.trim();
        if words.starts_with("```") || words.starts_with("~~~") {
            fenced = !fenced;
            continue;
        }
        let at = at + line.len() - line.trim_start().len();
        let span = Span::new(id, at, at + words.len());
        let step = words.starts_with("1. ") || words.starts_with("1) ");
        if fenced {
            continue;
        }
        if step && numbered {
            return Some(looks_like_front_matter::missing(span, "steps"));
        }
        if words.starts_with("> [!") && numbered {
            return Some(looks_like_front_matter::missing(span, "safety messages"));
        }
        if !words.contains('`') && super::body::bracketed(words).is_some() {
            return Some(looks_like_front_matter::missing(span, "marks"));
        }
    }
    None
}

/// True of lines that authors and word processors write for `---`.
pub fn is_fence(words: &str) -> bool {
    let dashes = |c: char| matches!(c, '-' | '–' | '—' | '―' | '−' | '‐' | '‑' | '_' | '=' | '~');
    let long = words.chars().count() >= 3 && words.chars().all(dashes);
    let converted = words.chars().all(|c| matches!(c, '—' | '–' | '-')) && words.contains(['—', '–']);
    long && words != "---" || converted || matches!(words, "+++" | ";;;" | "```yaml" | "```yml" | "```")
}

/// The lines of a text from `start` on, without their ends, and where each begins.
fn lines(text: &str, start: usize) -> impl Iterator<Item = (usize, &str)> {
    let mut next = start;
    slice(text, start..).split_inclusive('\n').map(move |line| {
        let at = next;
        next += line.len();
        (at, line.trim_end_matches(['\n', '\r']))
    })
}
