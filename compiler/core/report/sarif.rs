//! Findings for code scanning: one SARIF 2.1.0 log (OASIS, 2020), with every rule and its page.

use crate::finding::{Finding, Rule, Severity};
use crate::rules::RULES;
use crate::source::{FileSet, Span};
use serde_json::{Map, Value, json};

/// The whole log, ending in a line break.
pub fn render<'f>(files: &FileSet, findings: impl IntoIterator<Item = &'f Finding>) -> String {
    let results: Vec<Value> = findings.into_iter().map(|finding| result(files, finding)).collect();
    let log = json!({
        "$schema": "https://json.schemastore.org/sarif-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": "benchleaf",
                "version": env!("CARGO_PKG_VERSION"),
                "rules": RULES.iter().map(|rule| described(rule)).collect::<Vec<_>>(),
            }},
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    });
    // A value of strings and numbers always serialises.
    serde_json::to_string_pretty(&log).unwrap_or_default() + "\n"
}

fn described(rule: &Rule) -> Value {
    let page = rule.explanation();
    let title = page.lines().next().unwrap_or("").trim_start_matches("# ");
    json!({
        "id": rule.code,
        "name": rule.name,
        "shortDescription": {"text": title},
        "help": {"text": page, "markdown": page},
        "defaultConfiguration": {"level": level(rule.severity)},
    })
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Advice => "note",
    }
}

fn result(files: &FileSet, finding: &Finding) -> Value {
    let index = RULES.iter().position(|rule| *rule == finding.rule);
    let help = finding
        .fix
        .as_ref()
        .map_or_else(String::new, |fix| format!("\n{}", fix.text));
    let mut result = Map::new();
    let mut put = |key: &str, value: Value| drop(result.insert(key.to_string(), value));
    put("ruleId", json!(finding.rule.code));
    put("level", json!(level(finding.severity())));
    put("message", json!({"text": format!("{}{help}", finding.message)}));
    let at = place(files, finding.primary.span);
    put("locations", json!([{"physicalLocation": at}]));
    if let Some(index) = index {
        put("ruleIndex", json!(index));
    }
    if !finding.secondary.is_empty() {
        let related = finding.secondary.iter().enumerate().map(|(n, label)| {
            json!({
                "id": n,
                "physicalLocation": place(files, label.span),
                "message": {"text": if label.text.is_empty() { "here" } else { label.text.as_str() }},
            })
        });
        put("relatedLocations", related.collect());
    }
    if let Some(fix) = &finding.fix
        && let Some((span, text)) = &fix.replace
    {
        let fixes = json!([{
            "description": {"text": fix.text},
            "artifactChanges": [{
                "artifactLocation": {"uri": uri(&files.get(span.file).path)},
                "replacements": [{"deletedRegion": region(files, *span), "insertedContent": {"text": text}}],
            }],
        }]);
        put("fixes", fixes);
    }
    Value::Object(result)
}

fn place(files: &FileSet, span: Span) -> Value {
    json!({
        "artifactLocation": {"uri": uri(&files.get(span.file).path)},
        "region": region(files, span),
    })
}

fn region(files: &FileSet, span: Span) -> Value {
    let file = files.get(span.file);
    let start = file.lines().position(&file.text, span.start as usize);
    let end = file.lines().position(&file.text, span.end as usize);
    json!({
        "startLine": start.line,
        "startColumn": start.column,
        "endLine": end.line,
        "endColumn": end.column,
    })
}

/// A path as the reference of a URI: what is no letter, digit, `-`, `.`, `_`, `~` or `/` is escaped (RFC 3986).
fn uri(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => out.push(byte as char),
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}
