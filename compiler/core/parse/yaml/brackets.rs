//! Brackets and braces that are not closed, that close nothing, or whose end a comment swallows.

use super::fault::{Fault, Search, quoted};

impl Search<'_> {
    /// Brackets that are not closed, that close nothing, or whose end a comment swallows.
    pub(super) fn bracket(&self) -> Option<Fault> {
        let mut open: Vec<(char, usize)> = Vec::new();
        let mut quote: Option<char> = None;
        let mut comment: Option<usize> = None;
        let mut before = '\n';
        let mut starts_value = true;
        let piece = &self.text[self.range.clone()];
        for (place, c) in piece.char_indices() {
            let at = self.range.start + place;
            if c == '\n' {
                comment = comment.filter(|_| false);
            }
            if let Some(hash) = comment {
                if let Some((sign, opened)) = open.last().copied()
                    && c == closer(sign)
                    && !piece[..hash - self.range.start].ends_with('\n')
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
        let line_end = self.text[opened..self.range.end]
            .find('\n')
            .map_or(self.range.end, |end| opened + end);
        let line_end = opened + self.text[opened..line_end].trim_end().len();
        let inner = self.text[opened + 1..line_end].trim();
        // A value that only begins like a map or list is meant as words.
        let words = if sign == '{' {
            !inner.contains(':')
        } else {
            !inner.contains(',') && inner.contains(' ')
        };
        if open.len() == 1 && words {
            let value = &self.text[opened..line_end];
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
        let start = self.text[..at].rfind('\n').map_or(0, |end| end + 1);
        self.text[start..at].chars().count() + 1
    }

    /// A `#` before the bracket that would close.
    fn swallowed(&self, hash: usize, opened: usize, sign: char) -> Option<Fault> {
        let head = &self.text[opened..hash];
        let start = opened + head.rfind([',', '{', '[', ':']).map_or(0, |at| at + 1);
        let start = start + self.text[start..hash].len() - self.text[start..hash].trim_start().len();
        let rest = &self.text[hash..self.range.end];
        let end = hash + rest.find([',', closer(sign), '\n']).unwrap_or(rest.len());
        let value = self.text[start..end].trim_end();
        let change = (!value.contains('"')).then(|| format!("\"{value}\""));
        let change = change.and_then(|cured| self.cures(start..start + value.len(), &cured));
        self.fault(
            hash..hash + 1,
            &format!(
                "`#` behind a space starts a comment, so the `{}` after it is lost",
                closer(sign)
            ),
            "put quotes round the value that holds the `#`",
            change,
        )
    }
}

fn closer(sign: char) -> char {
    if sign == '{' { '}' } else { ']' }
}
