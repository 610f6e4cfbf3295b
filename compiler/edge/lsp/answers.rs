//! Answers: the compiler's own, in the protocol's words.

use super::place::{Counts, offset, range};
use super::workspace::State;
use crate::desk::format::{Edit, wanted_edits};
use crate::desk::outline::{self, Part};
use crate::desk::things::{at, same};
use crate::desk::{complete, hover as said, rename as renaming};
use crate::finding::{Finding, Severity};
use crate::source::{FileId, Span};
use lsp_types::{
    CodeAction, CodeActionKind, CodeActionOrCommand, CodeActionParams, CodeActionResponse, CompletionItem,
    CompletionItemKind, CompletionList, CompletionParams, CompletionResponse, CompletionTextEdit, Diagnostic,
    DiagnosticRelatedInformation, DiagnosticSeverity, DocumentChanges, DocumentFormattingParams, DocumentHighlight,
    DocumentHighlightKind, DocumentHighlightParams, DocumentSymbol, DocumentSymbolParams, DocumentSymbolResponse,
    FoldingRange, FoldingRangeParams, GotoDefinitionParams, GotoDefinitionResponse, Hover, HoverContents, HoverParams,
    Location, MarkupContent, MarkupKind, NumberOrString, OneOf, OptionalVersionedTextDocumentIdentifier,
    PrepareRenameResponse, Range, ReferenceParams, RenameParams, SymbolKind, TextDocumentEdit,
    TextDocumentPositionParams, TextEdit, Uri, WorkspaceEdit,
};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// An answer, or a sentence why there is none.
pub type Answer<T> = Result<T, String>;

/// What the server can do.
pub fn capabilities(counts: Counts) -> Value {
    json!({
        "positionEncoding": counts.name(),
        "textDocumentSync": {"openClose": true, "change": 2, "save": {"includeText": false}},
        "completionProvider": {"triggerCharacters": ["[", " ", "=", "|", "/", ":", "(", "!"]},
        "hoverProvider": true,
        "definitionProvider": true,
        "referencesProvider": true,
        "documentHighlightProvider": true,
        "renameProvider": {"prepareProvider": true},
        "codeActionProvider": {"codeActionKinds": [CodeActionKind::QUICKFIX]},
        "documentSymbolProvider": true,
        "foldingRangeProvider": true,
        "documentFormattingProvider": true,
        "workspace": {"workspaceFolders": {"supported": true, "changeNotifications": true}},
    })
}

/// The file and the place in it that a request is about; `None` for a file that is none of ours.
fn place(state: &State, params: &TextDocumentPositionParams, counts: Counts) -> Option<(FileId, usize)> {
    let file = state.file(&params.text_document.uri)?;
    let source = state.files.get(file);
    Some((file, offset(&source.text, source.lines(), params.position, counts)))
}

fn shown(state: &State, span: Span, counts: Counts) -> Range {
    range(state.files.get(span.file), span, counts)
}

fn location(state: &State, span: Span, counts: Counts) -> Option<Location> {
    Some(Location::new(state.address(span)?, shown(state, span, counts)))
}

/// Findings by the path of their file.
pub fn diagnostics(state: &State, counts: Counts) -> BTreeMap<String, Vec<Diagnostic>> {
    let mut found: BTreeMap<String, Vec<Diagnostic>> = BTreeMap::new();
    for finding in &state.compilation.findings {
        let path = state.files.get(finding.primary.span.file).path.clone();
        found.entry(path).or_default().push(diagnostic(state, finding, counts));
    }
    found
}

fn diagnostic(state: &State, finding: &Finding, counts: Counts) -> Diagnostic {
    let severity = match finding.severity() {
        Severity::Error => DiagnosticSeverity::ERROR,
        Severity::Warning => DiagnosticSeverity::WARNING,
        Severity::Advice => DiagnosticSeverity::INFORMATION,
    };
    let help = finding
        .fix
        .as_ref()
        .map(|fix| format!("\nhelp: {}", fix.text))
        .unwrap_or_default();
    let related = finding.secondary.iter().filter_map(|label| {
        Some(DiagnosticRelatedInformation {
            location: location(state, label.span, counts)?,
            message: label.text.clone(),
        })
    });
    let related: Vec<DiagnosticRelatedInformation> = related.filter(|related| !related.message.is_empty()).collect();
    Diagnostic {
        range: shown(state, finding.primary.span, counts),
        severity: Some(severity),
        code: Some(NumberOrString::String(finding.rule.code.to_string())),
        source: Some("benchleaf".to_string()),
        message: format!("{}{help}", finding.message),
        related_information: (!related.is_empty()).then_some(related),
        ..Diagnostic::default()
    }
}

pub fn completion(state: &State, params: &CompletionParams, counts: Counts) -> Answer<Option<CompletionResponse>> {
    let Some((file, at)) = place(state, &params.text_document_position, counts) else {
        return Ok(None);
    };
    let proposals = complete::at(&state.files, &state.compilation, file, at);
    let item = |(n, proposal): (usize, complete::Proposal)| {
        let kind = match proposal.sort {
            complete::Sort::Verb => CompletionItemKind::KEYWORD,
            complete::Sort::Field => CompletionItemKind::FIELD,
            complete::Sort::Id => CompletionItemKind::REFERENCE,
            complete::Sort::Value => CompletionItemKind::ENUM_MEMBER,
            complete::Sort::Word => CompletionItemKind::VALUE,
            complete::Sort::Unit => CompletionItemKind::UNIT,
            complete::Sort::File => CompletionItemKind::FILE,
        };
        let edit = TextEdit::new(shown(state, proposal.span, counts), proposal.insert);
        CompletionItem {
            filter_text: Some(proposal.label.clone()),
            label: proposal.label,
            kind: Some(kind),
            detail: (!proposal.detail.is_empty()).then_some(proposal.detail),
            sort_text: Some(format!("{n:05}")),
            text_edit: Some(CompletionTextEdit::Edit(edit)),
            ..CompletionItem::default()
        }
    };
    Ok(Some(CompletionResponse::List(CompletionList {
        is_incomplete: false,
        items: proposals.into_iter().enumerate().map(item).collect(),
    })))
}

pub fn hover(state: &State, params: &HoverParams, counts: Counts) -> Answer<Option<Hover>> {
    let Some((file, at)) = place(state, &params.text_document_position_params, counts) else {
        return Ok(None);
    };
    let found = said::at(&state.files, &state.compilation, &state.mentions, file, at);
    Ok(found.map(|found| Hover {
        contents: HoverContents::Markup(MarkupContent {
            kind: MarkupKind::Markdown,
            value: found.text,
        }),
        range: Some(shown(state, found.span, counts)),
    }))
}

pub fn definition(
    state: &State,
    params: &GotoDefinitionParams,
    counts: Counts,
) -> Answer<Option<GotoDefinitionResponse>> {
    let spans = spans(state, &params.text_document_position_params, counts, |declares| {
        declares
    });
    let places: Vec<Location> = spans
        .into_iter()
        .filter_map(|span| location(state, span, counts))
        .collect();
    Ok((!places.is_empty()).then_some(GotoDefinitionResponse::Array(places)))
}

pub fn references(state: &State, params: &ReferenceParams, counts: Counts) -> Answer<Option<Vec<Location>>> {
    let all = params.context.include_declaration;
    let spans = spans(state, &params.text_document_position, counts, |declares| {
        all || !declares
    });
    Ok(Some(
        spans
            .into_iter()
            .filter_map(|span| location(state, span, counts))
            .collect(),
    ))
}

pub fn highlights(
    state: &State,
    params: &DocumentHighlightParams,
    counts: Counts,
) -> Answer<Option<Vec<DocumentHighlight>>> {
    let params = &params.text_document_position_params;
    let here = state.file(&params.text_document.uri);
    let spans = spans(state, params, counts, |_| true);
    let own = spans.into_iter().filter(|span| Some(span.file) == here);
    Ok(Some(
        own.map(|span| DocumentHighlight {
            range: shown(state, span, counts),
            kind: Some(DocumentHighlightKind::TEXT),
        })
        .collect(),
    ))
}

/// Where the thing at a place is named, those places that are wanted: declared or used.
fn spans(
    state: &State,
    params: &TextDocumentPositionParams,
    counts: Counts,
    wanted: impl Fn(bool) -> bool,
) -> Vec<Span> {
    let found = place(state, params, counts).and_then(|(file, offset)| at(&state.mentions, file, offset));
    let all = found.map(|mention| same(&state.mentions, mention)).unwrap_or_default();
    all.into_iter()
        .filter(|mention| wanted(mention.declares))
        .map(|mention| mention.span)
        .collect()
}

pub fn prepare_rename(
    state: &State,
    params: &TextDocumentPositionParams,
    counts: Counts,
) -> Answer<Option<PrepareRenameResponse>> {
    let Some((file, at)) = place(state, params, counts) else {
        return Ok(None);
    };
    let mention = renaming::named(&state.files, &state.mentions, file, at)?;
    Ok(Some(PrepareRenameResponse::Range(shown(state, mention.span, counts))))
}

pub fn rename(state: &State, params: &RenameParams, counts: Counts) -> Answer<Option<WorkspaceEdit>> {
    let Some((file, at)) = place(state, &params.text_document_position, counts) else {
        return Ok(None);
    };
    let mention = renaming::named(&state.files, &state.mentions, file, at)?;
    let edits = renaming::edits(
        &state.files,
        &state.compilation,
        &state.mentions,
        mention,
        &params.new_name,
    )?;
    Ok(Some(workspace_edit(state, edits, counts)))
}

/// Edits by file, as an editor makes them.
fn workspace_edit(state: &State, edits: BTreeMap<FileId, Vec<Edit>>, counts: Counts) -> WorkspaceEdit {
    let of_file = |(_, edits): (FileId, Vec<Edit>)| {
        let uri: Uri = state.address(edits.first()?.span)?;
        Some(TextDocumentEdit {
            text_document: OptionalVersionedTextDocumentIdentifier { uri, version: None },
            edits: text_edits(state, &edits, counts).into_iter().map(OneOf::Left).collect(),
        })
    };
    WorkspaceEdit {
        document_changes: Some(DocumentChanges::Edits(edits.into_iter().filter_map(of_file).collect())),
        ..WorkspaceEdit::default()
    }
}

fn text_edits(state: &State, edits: &[Edit], counts: Counts) -> Vec<TextEdit> {
    edits
        .iter()
        .map(|edit| TextEdit::new(shown(state, edit.span, counts), edit.text.clone()))
        .collect()
}

/// The changes that findings offer where the cursor or the selection is.
pub fn actions(state: &State, params: &CodeActionParams, counts: Counts) -> Answer<Option<CodeActionResponse>> {
    let Some(file) = state.file(&params.text_document.uri) else {
        return Ok(None);
    };
    let source = state.files.get(file);
    let at = |position| offset(&source.text, source.lines(), position, counts) as u32;
    let (start, end) = (at(params.range.start), at(params.range.end));
    let here = |finding: &&Finding| {
        let span = finding.primary.span;
        span.file == file && span.start <= end && start <= span.end
    };
    let action = |finding: &Finding| {
        let fix = finding.fix.as_ref()?;
        let (span, text) = fix.replace.clone()?;
        Some(CodeActionOrCommand::CodeAction(CodeAction {
            title: capital(&fix.text),
            kind: Some(CodeActionKind::QUICKFIX),
            diagnostics: Some(vec![diagnostic(state, finding, counts)]),
            edit: Some(workspace_edit(
                state,
                BTreeMap::from([(span.file, vec![Edit { span, text }])]),
                counts,
            )),
            is_preferred: Some(fix.certain),
            ..CodeAction::default()
        }))
    };
    Ok(Some(
        state
            .compilation
            .findings
            .iter()
            .filter(here)
            .filter_map(action)
            .collect(),
    ))
}

/// A sentence with a capital.
fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

pub fn symbols(state: &State, params: &DocumentSymbolParams, counts: Counts) -> Answer<Option<DocumentSymbolResponse>> {
    let Some(file) = state.file(&params.text_document.uri) else {
        return Ok(None);
    };
    let parts = outline::parts(&state.files, file);
    Ok(Some(DocumentSymbolResponse::Nested(
        parts.iter().map(|part| symbol(state, part, counts)).collect(),
    )))
}

fn symbol(state: &State, part: &Part, counts: Counts) -> DocumentSymbol {
    let kind = match part.sort {
        outline::Sort::Field => SymbolKind::PROPERTY,
        outline::Sort::Register => SymbolKind::NAMESPACE,
        outline::Sort::Entry => SymbolKind::CONSTANT,
        outline::Sort::Phase => SymbolKind::MODULE,
        outline::Sort::Message => SymbolKind::EVENT,
        outline::Sort::Step => SymbolKind::FUNCTION,
    };
    let children: Vec<DocumentSymbol> = part.parts.iter().map(|part| symbol(state, part, counts)).collect();
    #[allow(deprecated, reason = "the type has no other way to be made")]
    DocumentSymbol {
        name: if part.name.trim().is_empty() {
            "-".to_string()
        } else {
            part.name.clone()
        },
        detail: None,
        kind,
        tags: None,
        deprecated: None,
        range: shown(state, part.span, counts),
        selection_range: shown(state, part.head, counts),
        children: (!children.is_empty()).then_some(children),
    }
}

pub fn folds(state: &State, params: &FoldingRangeParams, counts: Counts) -> Answer<Option<Vec<FoldingRange>>> {
    let Some(file) = state.file(&params.text_document.uri) else {
        return Ok(None);
    };
    let mut found = Vec::new();
    fold(state, &outline::parts(&state.files, file), counts, &mut found);
    Ok(Some(found))
}

fn fold(state: &State, parts: &[Part], counts: Counts, found: &mut Vec<FoldingRange>) {
    for part in parts {
        // What ends with a line end ends on the line before.
        let text = state.files.text(part.span).trim_end().len();
        let range = shown(state, part.span.slice(0..text), counts);
        if range.start.line < range.end.line {
            found.push(FoldingRange {
                start_line: range.start.line,
                end_line: range.end.line,
                ..FoldingRange::default()
            });
        }
        fold(state, &part.parts, counts, found);
    }
}

pub fn formatting(state: &State, params: &DocumentFormattingParams, counts: Counts) -> Answer<Option<Vec<TextEdit>>> {
    let Some(file) = state.file(&params.text_document.uri) else {
        return Ok(None);
    };
    let own = state.files.get(file).path.as_str();
    let mut edits = wanted_edits(&state.files, &|path| path == own);
    Ok(Some(text_edits(
        state,
        &edits.remove(&file).unwrap_or_default(),
        counts,
    )))
}
