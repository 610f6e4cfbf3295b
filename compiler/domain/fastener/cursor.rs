//! A place in a thread's designation, moving forward.

/// Series that may stand in front of their size, the longest first, and what they are called here.
const IN_FRONT: [(&str, &str); 11] = [
    ("NPTF", "NPTF"),
    ("NPT", "NPT"),
    ("BSPP", "G"),
    ("BSPT", "R"),
    ("BSW", "BSW"),
    ("BSF", "BSF"),
    ("Rc", "R"),
    ("Rp", "R"),
    ("R", "R"),
    ("Whitworth", "BSW"),
    ("G", "G"),
];

/// A figure without the zeros that say nothing: `8.0` is M8, `1.50` is a pitch of 1.5.
pub(super) fn plain(figure: &str) -> String {
    let figure = figure.trim_start_matches('0');
    let figure = if figure.contains('.') {
        figure.trim_end_matches('0').trim_end_matches('.')
    } else {
        figure
    };
    if figure.starts_with('.') {
        format!("0{figure}")
    } else {
        figure.to_owned()
    }
}

/// What stands before the first letter that ends it.
pub(super) fn front(text: &str, ends: impl Fn(char) -> bool) -> &str {
    text.split(ends).next().unwrap_or_default()
}

pub(super) struct Cursor<'a> {
    pub(super) text: &'a str,
    /// Always on a character boundary.
    pub(super) at: usize,
}

impl<'a> Cursor<'a> {
    pub(super) fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    pub(super) fn skip_space(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start().len();
    }

    pub(super) fn eat_any(&mut self, letters: &[char]) -> bool {
        match self.rest().chars().next() {
            Some(letter) if letters.contains(&letter) => {
                self.at += letter.len_utf8();
                true
            }
            _ => false,
        }
    }

    pub(super) fn digits(&mut self) -> &'a str {
        let digits = front(self.rest(), |letter| !letter.is_ascii_digit());
        self.at += digits.len();
        digits
    }

    /// Goes past a word that a space or a digit follows.
    pub(super) fn eat_front(&mut self, word: &str) -> bool {
        let front = self.rest().get(..word.len());
        let after = self.rest().get(word.len()..).and_then(|rest| rest.chars().next());
        let found = front.is_some_and(|front| front.eq_ignore_ascii_case(word))
            && after.is_some_and(|next| next.is_whitespace() || next.is_ascii_digit());
        if found {
            self.at += word.len();
        }
        found
    }

    /// A series in front of its size.
    pub(super) fn front_series(&mut self) -> Option<&'static str> {
        IN_FRONT
            .into_iter()
            .find(|(word, _)| self.eat_front(word))
            .map(|(_, series)| series)
    }

    /// `LH`, `L.H.`, `left-hand`, `-LH` (true), or the same of right (false).
    pub(super) fn hand(&mut self) -> Option<bool> {
        let mark = self.at;
        self.skip_space();
        self.eat_any(&['-', '–']);
        self.skip_space();
        let written = front(self.rest(), |letter| matches!(letter, ' ' | '\t' | ',' | ';' | ')'));
        let word: String = written.chars().filter(|l| !matches!(l, '.' | '-')).collect();
        let hand = match word.to_ascii_lowercase().as_str() {
            "lh" | "lefthand" | "lefthanded" => Some(true),
            "rh" | "righthand" | "righthanded" => Some(false),
            word @ ("left" | "right") => {
                let left = word == "left";
                self.at += written.len();
                self.skip_space();
                let hand = ["handed", "hand"].iter().find(|hand| {
                    self.rest()
                        .get(..hand.len())
                        .is_some_and(|front| front.eq_ignore_ascii_case(hand))
                });
                let Some(hand) = hand else {
                    self.at = mark;
                    return None;
                };
                self.at += hand.len();
                return Some(left);
            }
            _ => None,
        };
        match hand {
            Some(_) => self.at += written.len(),
            None => self.at = mark,
        }
        hand
    }

    /// Digits with at most one decimal point between them.
    pub(super) fn figure(&mut self) -> &'a str {
        let start = self.at;
        self.digits();
        let mark = self.at;
        if self.eat_any(&['.']) && self.digits().is_empty() {
            self.at = mark;
        }
        self.text.get(start..self.at).unwrap_or_default()
    }

    /// `3/8`, `1-1/8` or `1 1/8`, `1`, `No. 10`, `#10`, `10` (a numbered size when it is above one).
    pub(super) fn inch_size(&mut self) -> Option<String> {
        if self.eat_any(&['#']) || self.eat_number_word() {
            self.skip_space();
            let number = self.digits();
            return (!number.is_empty()).then(|| format!("No. {number}"));
        }
        let whole = self.digits();
        if whole.is_empty() {
            return None;
        }
        if let Some(under) = self.denominator() {
            return Some(format!("{whole}/{under}"));
        }
        let mark = self.at;
        if self.eat_any(&['-', '–', ' ']) {
            let over = self.digits();
            if let (false, Some(under)) = (over.is_empty(), self.denominator()) {
                return Some(format!("{whole}-{over}/{under}"));
            }
        }
        self.at = mark;
        Some(if whole == "1" {
            "1".to_owned()
        } else {
            format!("No. {whole}")
        })
    }

    pub(super) fn denominator(&mut self) -> Option<&'a str> {
        let mark = self.at;
        if self.eat_any(&['/', '⁄']) {
            let under = self.digits();
            if !under.is_empty() {
                return Some(under);
            }
        }
        self.at = mark;
        None
    }

    /// `No.`, `No`, `Nr.` in any case.
    pub(super) fn eat_number_word(&mut self) -> bool {
        let rest = self.rest();
        let word = rest.get(..2).unwrap_or("");
        if !word.eq_ignore_ascii_case("no") && !word.eq_ignore_ascii_case("nr") {
            return false;
        }
        self.at += 2;
        self.eat_any(&['.', '°']);
        true
    }

    pub(super) fn series(&mut self) -> Option<&'static str> {
        let mark = self.at;
        self.skip_space();
        self.eat_any(&['-']);
        for (spelling, series) in [
            ("UNREF", "UNEF"),
            ("UNEF", "UNEF"),
            ("UNRC", "UNC"),
            ("UNRF", "UNF"),
            ("UNC", "UNC"),
            ("UNF", "UNF"),
            ("UNS", "UNS"),
            ("UNR", "UN"),
            ("UN", "UN"),
            ("NPTF", "NPTF"),
            ("NPT", "NPT"),
            ("NEF", "UNEF"),
            ("NC", "UNC"),
            ("NF", "UNF"),
            ("BSPP", "G"),
            ("BSPT", "R"),
            ("BSP", "BSP"),
            ("BSW", "BSW"),
            ("BSF", "BSF"),
            ("Whitworth", "BSW"),
        ] {
            if self
                .rest()
                .get(..spelling.len())
                .is_some_and(|front| front.eq_ignore_ascii_case(spelling))
            {
                self.at += spelling.len();
                return Some(series);
            }
        }
        self.at = mark;
        None
    }

    /// `-6g`, `-6H`, `-6g6g`, `-2A`, ` 2B`: digit and letter, which say how well the thread fits, not how strong it is.
    /// A G thread has `A` or `B`.
    pub(super) fn skip_tolerance_class(&mut self, pipe: bool) {
        let mark = self.at;
        self.skip_space();
        self.eat_any(&['-']);
        let word = front(self.rest(), |letter| letter.is_whitespace() || letter == '-');
        let bytes = word.as_bytes();
        let pairs = matches!(bytes.len(), 2 | 4)
            && bytes
                .chunks(2)
                .all(|pair| matches!(pair, [b'1'..=b'9', b'A' | b'B' | b'e'..=b'h' | b'G' | b'H']));
        if pairs || (pipe && matches!(word, "A" | "B")) {
            self.at += word.len();
        } else {
            self.at = mark;
        }
    }
}
