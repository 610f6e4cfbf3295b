//! The conversation: messages in, answers and findings out.

use super::address;
use super::answers::{self, Answer};
use super::frames;
use super::place::Counts;
use super::workspace::Workspace;
use crate::edge::args::Lsp;
use crate::edge::disk::Disk;
use crate::edge::preview::Beside;
use crate::edge::{Outcome, Trouble, version};
use lsp_server::{Connection, ErrorCode, Message, Notification, Request, RequestId, Response};
use lsp_types::notification::{
    DidChangeTextDocument, DidChangeWatchedFiles, DidChangeWorkspaceFolders, DidCloseTextDocument, DidOpenTextDocument,
    DidSaveTextDocument, Exit, Initialized, Notification as Told, PublishDiagnostics, ShowMessage,
};
use lsp_types::request::{
    CodeActionRequest, Completion, DocumentHighlightRequest, DocumentSymbolRequest, FoldingRangeRequest, Formatting,
    GotoDefinition, HoverRequest, Initialize, PrepareRenameRequest, References, RegisterCapability, Rename,
    Request as Asked, ShowDocument,
};
use lsp_types::{InitializeParams, MessageType, PublishDiagnosticsParams, ShowMessageParams};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Endings of files that are looked at when they change on the disk.
const WATCHED: &str = "**/*.{md,yaml,svg,png,jpg,jpeg}";

/// Serves an editor over standard input and output until it says that it is done.
///
/// # Errors
/// If what the editor says is no message of the protocol, or it goes away in the middle.
pub fn serve(args: &Lsp, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let preview = args.preview.then_some(args.port);
    let input = BufReader::new(io::stdin());
    over(input, io::stdout(), preview, disk).map(|()| Outcome::Clean)
}

/// The same over other bytes; with the port of a preview if one is wanted.
///
/// # Errors
/// As above.
pub fn over(
    input: impl BufRead + Send,
    output: impl Write + Send,
    preview: Option<u16>,
    disk: &dyn Disk,
) -> Result<(), Trouble> {
    let ended = frames::over(input, output, |connection| converse(connection, preview, disk));
    let words = |e| Trouble::new(format!("can't understand the editor: {e}"));
    ended.conversation.and(ended.messages.map_err(words))
}

fn converse(connection: &Connection, preview: Option<u16>, disk: &dyn Disk) -> Result<(), Trouble> {
    let (id, params) = asked_first(connection)?;
    // What can't be read of it is taken for what is usual.
    let watches =
        params.pointer("/capabilities/workspace/didChangeWatchedFiles/dynamicRegistration") == Some(&Value::Bool(true));
    let shows = params.pointer("/capabilities/window/showDocument/support") == Some(&Value::Bool(true));
    let params: InitializeParams = serde_json::from_value(params).unwrap_or_default();
    let offered = params
        .capabilities
        .general
        .as_ref()
        .and_then(|general| general.position_encodings.clone());
    let counts = Counts::best(&offered.unwrap_or_default());
    let about = json!({
        "capabilities": answers::capabilities(counts),
        "serverInfo": {"name": "benchleaf", "version": version::short()},
    });
    answer_first(connection, Response::new_ok(id, about))?;
    let mut server = Server {
        connection,
        counts,
        workspace: Workspace::new(disk, roots(&params)),
        told: BTreeSet::new(),
        beside: None,
        clicks: None,
    };
    if watches {
        server.watch();
    }
    if let Some(port) = preview {
        server.preview(port, shows);
    }
    server.publish();
    for message in &connection.receiver {
        match message {
            Message::Request(request) => {
                let shut = connection.handle_shutdown(&request);
                if shut.map_err(|e| gone(&e.to_string()))? {
                    return Ok(());
                }
                let response = server.answer(request);
                server.say(response);
            }
            Message::Notification(notification) if notification.method == Exit::METHOD => return Ok(()),
            Message::Notification(notification) => server.hear(notification),
            Message::Response(_) => {}
        }
        // While more is waiting, what was typed last is still to come.
        if connection.receiver.is_empty() && server.workspace.is_dirty() {
            server.publish();
        }
    }
    Ok(())
}

fn gone(words: &str) -> Trouble {
    Trouble::new(format!("the editor went away: {words}"))
}

/// The request that a conversation begins with; what is asked before it is answered with a word. The library's own way to begin stops the
/// program where an editor asks and then takes no answer.
fn asked_first(connection: &Connection) -> Result<(RequestId, Value), Trouble> {
    for message in &connection.receiver {
        match message {
            Message::Request(request) if request.method == Initialize::METHOD => {
                return Ok((request.id, request.params));
            }
            Message::Request(request) => {
                let words = format!("`{}` before `initialize`", request.method);
                let refusal = Response::new_err(request.id, ErrorCode::ServerNotInitialized as i32, words);
                // If nobody takes it, the conversation ends with the next message.
                let _ = connection.sender.send(refusal.into());
            }
            Message::Notification(told) if told.method != Exit::METHOD => {}
            Message::Notification(_) | Message::Response(_) => return Err(gone("it begins without `initialize`")),
        }
    }
    Err(gone("it says nothing more before `initialize`"))
}

/// Answers that request, and waits for the word that the answer is understood.
fn answer_first(connection: &Connection, answer: Response) -> Result<(), Trouble> {
    let _ = connection.sender.send(answer.into());
    match connection.receiver.recv() {
        Ok(Message::Notification(told)) if told.method == Initialized::METHOD => Ok(()),
        _ => Err(gone("it doesn't say `initialized`")),
    }
}

/// The folders that the editor has open.
fn roots(params: &InitializeParams) -> Vec<PathBuf> {
    let folders: Vec<PathBuf> = params
        .workspace_folders
        .iter()
        .flatten()
        .filter_map(|folder| address::path(&folder.uri))
        .collect();
    if !folders.is_empty() {
        return folders;
    }
    #[allow(deprecated, reason = "editors that know no folders say it so")]
    let root = params.root_uri.as_ref().and_then(address::path);
    root.into_iter().collect()
}

/// Sends a message, from whatever thread.
type Say = dyn Fn(Message) + Send + Sync;

struct Server<'a> {
    connection: &'a Connection,
    counts: Counts,
    workspace: Workspace<'a>,
    /// Files that the editor shows findings of.
    told: BTreeSet<String>,
    /// Where what is being written is seen.
    beside: Option<Beside>,
    /// For clicks on its pages, as long as the conversation lasts: what is still held somewhere keeps the output open.
    clicks: Option<Arc<Say>>,
}

impl Server<'_> {
    /// Sends a message. If the editor is gone, the conversation ends with its next message.
    fn say(&self, message: impl Into<Message>) {
        let _ = self.connection.sender.send(message.into());
    }

    fn notify<N: Told>(&self, params: N::Params)
    where
        N::Params: Serialize,
    {
        let params = serde_json::to_value(params).unwrap_or_default();
        let method = N::METHOD.to_string();
        self.say(Notification { method, params });
    }

    /// Asks to be told of files that change on the disk.
    fn watch(&self) {
        let watchers = json!([{"globPattern": WATCHED}]);
        let registration = json!({
            "id": "files",
            "method": DidChangeWatchedFiles::METHOD,
            "registerOptions": {"watchers": watchers},
        });
        self.say(Request {
            id: RequestId::from("files".to_string()),
            method: RegisterCapability::METHOD.to_string(),
            params: json!({"registrations": [registration]}),
        });
    }

    /// Shows what is being written in a browser, and tells the editor the address; one that `shows` documents opens it, and goes to the lines
    /// that somebody clicks on.
    fn preview(&mut self, port: u16, shows: bool) {
        let sender = self.connection.sender.clone();
        let clicks: Arc<Say> = Arc::new(move |message| {
            let _ = sender.send(message);
        });
        let say = Arc::downgrade(&clicks);
        self.clicks = Some(clicks);
        let go = move |file: &str, line: usize| {
            let Some(uri) = address::of(Path::new(file)).filter(|_| shows) else {
                return;
            };
            let at = json!({"line": line - 1, "character": 0});
            let params = json!({"uri": uri, "takeFocus": true, "selection": {"start": at, "end": at}});
            if let Some(say) = say.upgrade() {
                say(show_document("line", params).into());
            }
        };
        let (typ, message) = match Beside::start(port, Box::new(go)) {
            Ok(beside) => {
                let address = beside.address.clone();
                if shows {
                    let params = json!({"uri": address, "external": true});
                    self.say(show_document("page", params));
                }
                self.beside = Some(beside);
                (MessageType::INFO, format!("the leaves are shown at {address}"))
            }
            Err(trouble) => (MessageType::WARNING, trouble.0),
        };
        self.notify::<ShowMessage>(ShowMessageParams { typ, message });
    }

    /// Tells every file's findings, and that those are gone which are.
    fn publish(&mut self) {
        let counts = self.counts;
        let state = self.workspace.state();
        let found = answers::diagnostics(state, counts);
        let mut now = BTreeSet::new();
        let mut messages = Vec::new();
        for (path, diagnostics) in found {
            messages.push((path.clone(), diagnostics));
            now.insert(path);
        }
        for path in self.told.difference(&now) {
            messages.push((path.clone(), Vec::new()));
        }
        for (path, diagnostics) in messages {
            let version = self.workspace.version(&path);
            if let Some(uri) = address::of(Path::new(&path)) {
                self.notify::<PublishDiagnostics>(PublishDiagnosticsParams {
                    uri,
                    diagnostics,
                    version,
                });
            }
        }
        self.told = now;
        if let Some(beside) = &self.beside {
            beside.show(self.workspace.state().files.clone());
        }
        for message in std::mem::take(&mut self.workspace.troubles) {
            let typ = MessageType::WARNING;
            self.notify::<ShowMessage>(ShowMessageParams { typ, message });
        }
    }

    /// Takes in what the editor tells.
    fn hear(&mut self, notification: Notification) {
        let params = notification.params;
        match notification.method.as_str() {
            DidOpenTextDocument::METHOD => {
                if let Some(params) = read::<DidOpenTextDocument>(params) {
                    let document = params.text_document;
                    self.workspace.opened(&document.uri, document.text, document.version);
                }
            }
            DidChangeTextDocument::METHOD => {
                if let Some(params) = read::<DidChangeTextDocument>(params) {
                    let document = params.text_document;
                    self.workspace
                        .changed(&document.uri, document.version, params.content_changes, self.counts);
                }
            }
            DidCloseTextDocument::METHOD => {
                if let Some(params) = read::<DidCloseTextDocument>(params) {
                    self.workspace.closed(&params.text_document.uri);
                }
            }
            DidSaveTextDocument::METHOD | DidChangeWatchedFiles::METHOD => self.workspace.reload(),
            DidChangeWorkspaceFolders::METHOD => {
                if let Some(params) = read::<DidChangeWorkspaceFolders>(params) {
                    let paths = |folders: Vec<lsp_types::WorkspaceFolder>| -> Vec<PathBuf> {
                        folders.iter().filter_map(|folder| address::path(&folder.uri)).collect()
                    };
                    self.workspace
                        .folders(paths(params.event.added), &paths(params.event.removed));
                }
            }
            // What a server doesn't know of, it may pass over.
            _ => {}
        }
    }

    fn answer(&mut self, request: Request) -> Response {
        let id = request.id;
        let params = request.params;
        let method = request.method.as_str();
        let counts = self.counts;
        match method {
            Completion::METHOD => {
                self.asked::<Completion>(id, params, |state, params| answers::completion(state, &params, counts))
            }
            HoverRequest::METHOD => {
                self.asked::<HoverRequest>(id, params, |state, params| answers::hover(state, &params, counts))
            }
            GotoDefinition::METHOD => {
                self.asked::<GotoDefinition>(id, params, |state, params| answers::definition(state, &params, counts))
            }
            References::METHOD => {
                self.asked::<References>(id, params, |state, params| answers::references(state, &params, counts))
            }
            DocumentHighlightRequest::METHOD => self.asked::<DocumentHighlightRequest>(id, params, |state, params| {
                answers::highlights(state, &params, counts)
            }),
            PrepareRenameRequest::METHOD => self.asked::<PrepareRenameRequest>(id, params, |state, params| {
                answers::prepare_rename(state, &params, counts)
            }),
            Rename::METHOD => self.asked::<Rename>(id, params, |state, params| answers::rename(state, &params, counts)),
            CodeActionRequest::METHOD => {
                self.asked::<CodeActionRequest>(id, params, |state, params| answers::actions(state, &params, counts))
            }
            DocumentSymbolRequest::METHOD => self
                .asked::<DocumentSymbolRequest>(id, params, |state, params| answers::symbols(state, &params, counts)),
            FoldingRangeRequest::METHOD => {
                self.asked::<FoldingRangeRequest>(id, params, |state, params| answers::folds(state, &params, counts))
            }
            Formatting::METHOD => {
                self.asked::<Formatting>(id, params, |state, params| answers::formatting(state, &params, counts))
            }
            other => {
                let words = format!("this server has no `{other}`");
                Response::new_err(id, ErrorCode::MethodNotFound as i32, words)
            }
        }
    }

    /// Answers a request of one kind.
    fn asked<R: Asked>(
        &mut self,
        id: RequestId,
        params: Value,
        answer: impl FnOnce(&super::workspace::State, R::Params) -> Answer<R::Result>,
    ) -> Response
    where
        R::Params: DeserializeOwned,
        R::Result: Serialize,
    {
        let params = match serde_json::from_value(params) {
            Ok(params) => params,
            Err(error) => return Response::new_err(id, ErrorCode::InvalidParams as i32, error.to_string()),
        };
        match answer(self.workspace.state(), params) {
            Ok(found) => Response {
                id,
                response_result: Ok(serde_json::to_value(found).unwrap_or_default()),
            },
            Err(words) => Response::new_err(id, ErrorCode::RequestFailed as i32, words),
        }
    }
}

/// A request to show something. What the editor answers to it changes nothing.
fn show_document(id: &str, params: Value) -> Request {
    Request {
        id: RequestId::from(id.to_string()),
        method: ShowDocument::METHOD.to_string(),
        params,
    }
}

/// What a notification says, if it can be read.
fn read<N: Told>(params: Value) -> Option<N::Params>
where
    N::Params: DeserializeOwned,
{
    serde_json::from_value(params).ok()
}
