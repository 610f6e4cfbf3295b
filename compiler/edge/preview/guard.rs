//! Who may ask: the browser that has the address with its token, for pages of this server, and nobody else. A page of another site can't read
//! an answer, a name that somebody points at this machine is refused, and another user of the machine lacks the token.

/// Where the server is, as its own pages name it.
#[derive(Debug, Clone)]
pub struct Place {
    pub port: u16,
    /// Letters and digits; the first part of every path.
    pub token: String,
}

impl Place {
    /// The address to open.
    pub fn address(&self) -> String {
        format!("http://{}/{}/", self.host(), self.token)
    }

    fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }
}

/// What is known of a request.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// It asks to read.
    pub reads: bool,
    pub path: &'a str,
    /// Each of these as often as it stands there.
    pub hosts: &'a [&'a str],
    pub origins: &'a [&'a str],
    /// `Sec-Fetch-Site`, which browsers of today send: what sort of page asks.
    pub sites: &'a [&'a str],
}

/// Why a request is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Nothing can be written here.
    Method,
    /// It was sent to another name, which somebody may have pointed at this machine.
    Host,
    /// A page of another site asks.
    Origin,
    /// The token is missing or another.
    Token,
}

impl Refusal {
    /// As HTTP has it (RFC 9110, section 15.5).
    pub fn status(self) -> u16 {
        match self {
            Refusal::Method => 405,
            Refusal::Host | Refusal::Origin | Refusal::Token => 403,
        }
    }
}

/// What of the path comes after the token, without the first slash; or why it isn't answered.
///
/// # Errors
/// The first reason to refuse it.
pub fn judge<'a>(asked: &Asked<'a>, place: &Place) -> Result<&'a str, Refusal> {
    if asked.hosts != [place.host()] {
        return Err(Refusal::Host);
    }
    let own = format!("http://{}", place.host());
    if asked.origins.iter().any(|origin| *origin != own) {
        return Err(Refusal::Origin);
    }
    // `none`: somebody typed the address.
    if asked.sites.iter().any(|site| !["same-origin", "none"].contains(site)) {
        return Err(Refusal::Origin);
    }
    if !asked.reads {
        return Err(Refusal::Method);
    }
    let path = asked.path.strip_prefix('/').ok_or(Refusal::Token)?;
    let (token, rest) = path.split_once('/').ok_or(Refusal::Token)?;
    match same(token, &place.token) {
        true => Ok(rest),
        false => Err(Refusal::Token),
    }
}

/// Compares in a time that doesn't tell where the first difference is.
fn same(one: &str, other: &str) -> bool {
    let differ = one.bytes().zip(other.bytes()).fold(0, |all, (a, b)| all | (a ^ b));
    one.len() == other.len() && differ == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place() -> Place {
        Place {
            port: 4321,
            token: "0123456789abcdef".to_string(),
        }
    }

    const OWN: Asked = Asked {
        reads: true,
        path: "/0123456789abcdef/state?n=1",
        hosts: &["127.0.0.1:4321"],
        origins: &[],
        sites: &["same-origin"],
    };

    #[test]
    fn its_own_page_is_answered() {
        assert_eq!(judge(&OWN, &place()), Ok("state?n=1"));
        let typed = Asked {
            sites: &["none"],
            ..OWN
        };
        assert_eq!(judge(&typed, &place()), Ok("state?n=1"));
        let old_browser = Asked {
            sites: &[],
            origins: &["http://127.0.0.1:4321"],
            ..OWN
        };
        assert_eq!(judge(&old_browser, &place()), Ok("state?n=1"));
    }

    #[test]
    fn everybody_else_is_refused() {
        let cases: [(&str, Asked, Refusal); 14] = [
            (
                "a rebound name",
                Asked {
                    hosts: &["evil.example:4321"],
                    ..OWN
                },
                Refusal::Host,
            ),
            (
                "a name of this machine",
                Asked {
                    hosts: &["localhost:4321"],
                    ..OWN
                },
                Refusal::Host,
            ),
            (
                "another port",
                Asked {
                    hosts: &["127.0.0.1:80"],
                    ..OWN
                },
                Refusal::Host,
            ),
            ("no host", Asked { hosts: &[], ..OWN }, Refusal::Host),
            (
                "two hosts",
                Asked {
                    hosts: &["127.0.0.1:4321", "evil.example"],
                    ..OWN
                },
                Refusal::Host,
            ),
            (
                "another site",
                Asked {
                    origins: &["https://evil.example"],
                    ..OWN
                },
                Refusal::Origin,
            ),
            (
                "a page from a file",
                Asked {
                    origins: &["null"],
                    ..OWN
                },
                Refusal::Origin,
            ),
            (
                "a name of this machine",
                Asked {
                    origins: &["http://localhost:4321"],
                    ..OWN
                },
                Refusal::Origin,
            ),
            (
                "a picture on another site",
                Asked {
                    sites: &["cross-site"],
                    ..OWN
                },
                Refusal::Origin,
            ),
            (
                "another port of this machine",
                Asked {
                    sites: &["same-site"],
                    ..OWN
                },
                Refusal::Origin,
            ),
            ("writing", Asked { reads: false, ..OWN }, Refusal::Method),
            ("no token", Asked { path: "/state", ..OWN }, Refusal::Token),
            (
                "half a token",
                Asked {
                    path: "/01234567/state",
                    ..OWN
                },
                Refusal::Token,
            ),
            (
                "another token",
                Asked {
                    path: "/0123456789abcdee/state",
                    ..OWN
                },
                Refusal::Token,
            ),
        ];
        for (what, asked, refusal) in cases {
            assert_eq!(judge(&asked, &place()), Err(refusal), "{what}");
        }
    }
}
