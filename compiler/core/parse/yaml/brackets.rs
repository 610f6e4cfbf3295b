//! Brackets and braces that are not closed, that close nothing, or whose end a comment swallows.

use super::fault::{Fault, Search, quoted};
use crate::parse::texts::{line_start, slice, split_while};

impl Search<'_> {
    /// Brackets that are not closed, that close nothing, or whose end a comment swallows.
    pub(super) fn bracket(&self) -> Option<Fault> {
        let mut open: Vec<(char, usize)> = Vec::new();
        let mut quote: Option<char> = None;
        let mut comment: Option<usize> = None;
        let mut before = '\n';
        let mut starts_value = true;
        let piece = slice(self.text, self.range.clone());
        for (place, c) in piece.char_indices() {
            let at = self.range.start + place;
            if c == '\n' {
                comment = comment.filter(|_| false);
            }
            if let Some(hash) = comment {
                if let Some((sign, opened)) = open.last().copied()
                    && c == closer(sign)
                    && !slice(self.text, self.range.start..hash).ends_with('\n')
                {
                    return self.swallowed(hash, opened, sign);
                }
                continue;
            }
            match (quote, c) {
                (Some(q), c) if c == q => quote = None,
                (Some(_), _) => {}
                (None, '"' | '\'') if starts_value => quote = Some(c),
                (None, '#') if before.is_whitespace() => comment = Some(at),
                (None, '{' | '[') if starts_value || !open.is_empty() => open.push((c, at)),
                (None, '}' | ']') => match open.pop() {
                    Some((sign, _)) if closer(sign) == c => {}
                    Some((sign, opened)) => {
                        let close = closer(sign);
                        let change = self.cures(at..at + 1, &close.to_string());
                        return self.fault(
                            at..at + 1,
                            &format!("this `{c}` ends what `{sign}` in column {} began", self.column(opened)),
                            &format!("write `{close}`"),
                            change,
                        );
                    }
                    None => {
                        let change = self.cures(at..at + 1, "");
                        return self.fault(
                            at..at + 1,
                            &format!("this `{c}` closes nothing"),
                            "delete it, or put the value in quotes if it belongs to it",
                            change,
                        );
                    }
                },
                _ => {}
            }
            starts_value = match c {
                ' ' | '\t' => starts_value || matches!(before, ':' | '-' | ','),
                '\n' | '{' | '[' | ',' => true,
                _ => false,
            };
            before = c;
        }
        let (sign, opened) = open.first().copied()?;
        let (value, _) = split_while(slice(self.text, opened..self.range.end), |c| c != '\n');
        let value = value.trim_end();
        let line_end = opened + value.len();
        let inner = value.strip_prefix(sign).unwrap_or(value).trim();
        // A value that only begins like a map or list is meant as words.
        let words = if sign == '{' {
            !inner.contains(':')
        } else {
            !inner.contains(',') && inner.contains(' ')
        };
        if open.len() == 1 && words {
            let change = quoted(value).and_then(|quoted| self.cures(opened..line_end, &quoted));
            return self.fault(
                opened..opened + 1,
                &format!("the `{sign}` that opens here is not closed"),
                "put quotes round the value",
                change,
            );
        }
        let closers: String = open.iter().rev().map(|(sign, _)| closer(*sign)).collect();
        let change = self.cures(line_end..line_end, &closers);
        self.fault(
            opened..opened + 1,
            &format!("the `{sign}` that opens here is not closed"),
            &format!("put `{}` behind its last entry", closer(sign)),
            change,
        )
    }

    fn column(&self, at: usize) -> usize {
        slice(self.text, line_start(self.text, at)..at).chars().count() + 1
    }

    /// A `#` before the bracket that would close.
    fn swallowed(&self, hash: usize, opened: usize, sign: char) -> Option<Fault> {
        let close = closer(sign);
        let head = slice(self.text, opened..hash);
        let head = head.rsplit([',', '{', '[', ':']).next().unwrap_or(head);
        let start = hash - head.trim_start().len();
        let rest = slice(self.text, hash..self.range.end);
        let (comment, _) = split_while(rest, |c| c != ',' && c != close && c != '\n');
        let value = slice(self.text, start..hash + comment.len()).trim_end();
        let change = (!value.contains('"')).then(|| format!("\"{value}\""));
        let change = change.and_then(|cured| self.cures(start..start + value.len(), &cured));
        self.fault(
            hash..hash + 1,
            &format!("`#` behind a space starts a comment, so the `{close}` after it is lost"),
            "put quotes round the value that holds the `#`",
            change,
        )
    }
}

fn closer(sign: char) -> char {
    if sign == '{' { '}' } else { ']' }
}
