//! The code of a leaf for a reader that isn't a person: a QR code of the check code alone, so that its squares are as large as they can
//! be. Modules come as data; the template draws them.

use crate::fingerprint;
use qrcode::bits::Bits;
use qrcode::{Color, EcLevel, QrCode, Version};
use serde::Serialize;

/// A code to be drawn. Its quiet zone of 4 modules is the template's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Code {
    /// What the code says, `WD47-9V4K`, to be printed beside it.
    pub text: String,
    /// Modules along a side: 21, the smallest there is.
    pub side: usize,
    /// Dark modules: column, row and length of each run, from the top left.
    pub runs: Vec<(usize, usize, usize)>,
}

/// A check code as a QR code of version 1 at level H in alphanumeric mode, which holds 10 characters (ISO/IEC 18004:2015, table 7).
pub fn drawn(code: &fingerprint::Code) -> Option<Code> {
    let text = code.to_string();
    let mut bits = Bits::new(Version::Normal(1));
    bits.push_alphanumeric_data(text.as_bytes()).ok()?;
    bits.push_terminator(EcLevel::H).ok()?;
    let code = QrCode::with_bits(bits, EcLevel::H).ok()?;
    let side = code.width();
    let mut runs: Vec<(usize, usize, usize)> = Vec::new();
    for (n, colour) in code.to_colors().into_iter().enumerate() {
        let (x, y) = (n % side, n / side);
        if colour == Color::Light {
            continue;
        }
        match runs.last_mut() {
            Some((from, row, length)) if *row == y && *from + *length == x => *length += 1,
            _ => runs.push((x, y, 1)),
        }
    }
    Some(Code { text, side, runs })
}
