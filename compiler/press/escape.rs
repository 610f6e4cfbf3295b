//! Escaping by the environment: whatever a template prints with `{{ … }}` comes out as one Typst literal.
//!
//! A template writes calls, `#step(t, {{ step }})`, and the value lands in code mode as a string, number, array or dictionary. So that a
//! template author can't get it wrong, the literal holds in the other modes too: every ASCII character with a meaning in Typst is
//! written `\u{…}`, which code strings and markup both read as that character and nothing else. Inside quotes that a template put
//! there itself the result doesn't parse, and that is reported at the template's line. There is no way around: `safe` and its kin
//! are gone, and strings that were captured or marked safe are quoted like any other.

use std::fmt::Write;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Value, ValueKind};
use minijinja::{AutoEscape, Environment, Error, ErrorKind, UndefinedBehavior};

/// Nesting that no card reaches; a value built by a template could otherwise exhaust the stack.
const DEEPEST: usize = 64;

/// Steps that a template may take for one leaf. The longest demo card takes fewer than a hundredth of it.
const FUEL: u64 = 5_000_000;

/// The environment every template is rendered in.
pub fn environment() -> Environment<'static> {
    let mut env = Environment::new();
    env.set_undefined_behavior(UndefinedBehavior::Strict);
    env.set_auto_escape_callback(|_| AutoEscape::Custom("typst".into()));
    env.set_formatter(|out, _, value| {
        let mut text = String::new();
        write_literal(&mut text, value, 0)?;
        out.write_str(&text).map_err(Error::from)
    });
    // These three exist to step around escaping.
    for name in ["safe", "escape", "e"] {
        env.remove_filter(name);
    }
    env.set_syntax(whitespace());
    env.set_fuel(Some(FUEL));
    env
}

/// Block tags on lines of their own leave no lines behind.
fn whitespace() -> SyntaxConfig {
    SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .keep_trailing_newline(true)
        .build()
        .unwrap_or_default()
}

fn write_literal(out: &mut String, value: &Value, depth: usize) -> Result<(), Error> {
    if depth > DEEPEST {
        return Err(Error::new(ErrorKind::BadSerialization, "value is nested too deeply"));
    }
    match value.kind() {
        ValueKind::None => out.push_str("none"),
        ValueKind::Bool => out.push_str(if value.is_true() { "true" } else { "false" }),
        ValueKind::Number => write_number(out, value),
        ValueKind::String => write_string(out, value.as_str().unwrap_or_default()),
        ValueKind::Seq | ValueKind::Iterable => {
            out.push('(');
            for item in value.try_iter()? {
                write_literal(out, &item, depth + 1)?;
                out.push_str(", ");
            }
            out.push(')');
        }
        ValueKind::Map => {
            out.push_str("(:");
            for (index, key) in value.try_iter()?.enumerate() {
                if index == 0 {
                    out.pop();
                }
                match key.as_str() {
                    Some(text) => write_string(out, text),
                    None => write_string(out, &key.to_string()),
                }
                out.push_str(": ");
                write_literal(out, &value.get_item(&key)?, depth + 1)?;
                out.push_str(", ");
            }
            out.push(')');
        }
        ValueKind::Undefined => return Err(Error::new(ErrorKind::UndefinedError, "undefined value")),
        kind => {
            return Err(Error::new(
                ErrorKind::BadSerialization,
                format!("a {kind} can't be printed in a card"),
            ));
        }
    }
    Ok(())
}

/// Numbers in brackets, so that a sign can't join what stands before it.
fn write_number(out: &mut String, value: &Value) {
    let result = match (i64::try_from(value.clone()), f64::try_from(value.clone())) {
        (Ok(whole), _) if value.is_integer() => match whole {
            // Typst reads a sign as an operator, and the magnitude alone is out of range.
            i64::MIN => write!(out, "(-9223372036854775807 - 1)"),
            _ if whole < 0 => write!(out, "({whole})"),
            _ => write!(out, "{whole}"),
        },
        (_, Ok(real)) if real.is_nan() => write!(out, "float.nan"),
        (_, Ok(real)) if real.is_infinite() => write!(out, "({}float.inf)", if real < 0.0 { "-" } else { "" }),
        (_, Ok(real)) if real.is_sign_negative() => write!(out, "({real:?})"),
        (_, Ok(real)) => write!(out, "{real:?}"),
        // An integer beyond 64 bits: its digits as text lose nothing.
        _ => {
            write_string(out, &value.to_string());
            Ok(())
        }
    };
    // Writing to a string can't fail.
    debug_assert!(result.is_ok());
}

/// A text as a Typst string.
pub fn literal(text: &str) -> String {
    let mut out = String::new();
    write_string(&mut out, text);
    out
}

fn write_string(out: &mut String, text: &str) {
    out.push('"');
    for c in text.chars() {
        if is_plain(c) {
            out.push(c);
        } else {
            let written = write!(out, "\\u{{{:x}}}", c as u32);
            debug_assert!(written.is_ok());
        }
    }
    out.push('"');
}

/// Characters with no meaning in a Typst string nor in markup. Control, format and line-separating characters are never plain, so that the
/// generated source has the lines the template gave it.
fn is_plain(c: char) -> bool {
    match c {
        'a'..='z' | 'A'..='Z' | '0'..='9' | ' ' | '.' | ',' | ';' | ':' | '%' | '?' => true,
        '\0'..='\u{9f}' | '\u{ad}' => false,
        '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' => false,
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use minijinja::context;
    use proptest::prelude::*;
    use typst::syntax::ast::{Expr, Markup};
    use typst::syntax::{SyntaxNode, parse, parse_code};

    /// Renders one template in the environment.
    fn render(template: &str, value: Value) -> Result<String, Error> {
        environment().render_str(template, context! { value })
    }

    /// The one string literal that a piece of code consists of.
    fn read_back(code: &str) -> Option<String> {
        let root = parse_code(code);
        let mut children = root.children();
        let node: &SyntaxNode = children.next()?;
        match (node.cast::<Expr>()?, children.next()) {
            (Expr::Str(text), None) => Some(text.get().to_string()),
            _ => None,
        }
    }

    fn parses(root: &SyntaxNode) -> bool {
        root.errors_and_warnings().0.is_empty()
    }

    proptest! {
        #[test]
        fn any_string_is_read_back_from_code(text in any::<String>()) {
            let code = render("{{ value }}", Value::from(text.clone())).unwrap();
            prop_assert_eq!(read_back(&code), Some(text));
        }

        #[test]
        fn any_string_stays_text_in_markup(text in any::<String>()) {
            let markup = render("{{ value }}", Value::from(text)).unwrap();
            let root = parse(&markup);
            prop_assert!(parses(&root));
            for node in root.cast::<Markup>().unwrap().exprs() {
                let harmless =
                    matches!(node, Expr::Text(_) | Expr::Escape(_) | Expr::Space(_) | Expr::SmartQuote(_) | Expr::Shorthand(_));
                prop_assert!(harmless, "{:?}", node);
            }
        }

        #[test]
        fn safe_by_any_road_is_quoted(text in any::<String>()) {
            for template in [
                "{% autoescape false %}{{ value }}{% endautoescape %}",
                "{% set v %}{{ value }}{% endset %}{{ v }}",
                "{% macro m() %}{{ value }}{% endmacro %}{{ m() }}",
                "{% filter upper %}{{ value }}{% endfilter %}",
            ] {
                let code = render(template, Value::from(text.clone())).unwrap();
                prop_assert!(read_back(&code).is_some(), "{} gave {}", template, code);
            }
            let code = render("{{ value }}", Value::from_safe_string(text.clone())).unwrap();
            prop_assert_eq!(read_back(&code), Some(text));
        }

        #[test]
        fn numbers_parse(whole in any::<i64>(), real in any::<f64>()) {
            for value in [Value::from(whole), Value::from(real)] {
                let code = render("{{ value }}", value).unwrap();
                prop_assert!(parses(&parse_code(&code)), "{}", code);
            }
        }
    }

    #[test]
    fn containers() {
        assert_eq!(render("{{ value }}", Value::from(vec!["a"])).unwrap(), "(\"a\", )");
        assert_eq!(render("{{ [] }}", ().into()).unwrap(), "()");
        assert_eq!(render("{{ {} }}", ().into()).unwrap(), "(:)");
        assert_eq!(
            render("{{ {'k': [1, none, true]} }}", ().into()).unwrap(),
            "(\"k\": (1, none, true, ), )"
        );
    }

    #[test]
    fn no_filter_turns_escaping_off() {
        for filter in ["safe", "escape", "e"] {
            assert!(render(&format!("{{{{ value|{filter} }}}}"), "x".into()).is_err());
        }
    }

    #[test]
    fn undefined_is_an_error() {
        assert!(render("{{ valeu }}", ().into()).is_err());
        assert!(render("{{ value.nothing }}", context! { something => 1 }).is_err());
    }

    #[test]
    fn quotes_round_a_value_do_not_parse() {
        let code = render("\"{{ value }}\"", "pagebreak()".into()).unwrap();
        assert!(!parses(&parse_code(&code)));
    }
}
