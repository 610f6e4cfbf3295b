//! `%20` and its like.

/// A text of an address as what it stands for; `None` if that is no text.
pub fn decoded(text: &str) -> Option<String> {
    let mut out = Vec::with_capacity(text.len());
    let mut bytes = text.bytes();
    while let Some(byte) = bytes.next() {
        if byte != b'%' {
            out.push(byte);
            continue;
        }
        let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
        let (high, low) = (digit(bytes.next())?, digit(bytes.next())?);
        out.push((high * 16 + low) as u8);
    }
    String::from_utf8(out).ok().filter(|text| !text.contains('\0'))
}
