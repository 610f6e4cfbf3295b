//! The manual as one file for a browser: nothing in it is fetched from anywhere.

use super::PAGES;
use crate::edge::version;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd, html::push_html};

const STYLE: &str = include_str!("../../../templates/manual.css");

/// All pages behind each other under a list of them.
pub fn html() -> String {
    let mut list = String::new();
    let mut body = String::new();
    for page in PAGES {
        let (name, title) = (page.name, page.title());
        list += &format!("<li><a href=\"#{name}\">{}</a></li>\n", escaped(title));
        body += &format!("<section id=\"{name}\">\n{}</section>\n", of(&page.expanded()));
    }
    let version = version::short();
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>benchleaf {version}: manual</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n\
         <nav>\n<p>benchleaf {version}</p>\n<ul>\n{list}</ul>\n</nav>\n<main>\n{body}</main>\n</body>\n</html>\n"
    )
}

/// Markdown as HTML. What would be markup in it is shown as text.
fn of(text: &str) -> String {
    let parser = Parser::new_ext(text, Options::ENABLE_TABLES);
    let mut inside: Vec<bool> = Vec::new();
    let events = parser.filter_map(move |event| match event {
        Event::Html(markup) | Event::InlineHtml(markup) => Some(Event::Text(markup)),
        // The files that it links to lie beside the program's sources: there the words stay.
        Event::Start(Tag::Link { ref dest_url, .. }) => {
            inside.push(is_address(dest_url));
            inside.last().is_some_and(|kept| *kept).then_some(event)
        }
        Event::End(TagEnd::Link) => inside.pop().is_some_and(|kept| kept).then_some(event),
        other => Some(other),
    });
    let mut out = String::new();
    push_html(&mut out, events);
    out
}

/// True for a place on the page itself, or on the web.
fn is_address(link: &str) -> bool {
    link.starts_with('#') || link.starts_with("https://")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}
