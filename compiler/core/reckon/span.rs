//! A figure with its range.

/// Low end, figure aimed at (or the middle) and high end, in coherent SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    pub low: f64,
    pub usual: f64,
    pub high: f64,
}

impl Span {
    pub const fn one(value: f64) -> Span {
        Span {
            low: value,
            usual: value,
            high: value,
        }
    }

    pub fn between(low: f64, high: f64) -> Span {
        Span {
            low,
            usual: f64::midpoint(low, high),
            high,
        }
    }

    pub fn is_one(self) -> bool {
        (self.high - self.low).abs() <= self.usual.abs() * 1e-12
    }

    /// The range of a formula over all ends of its values. Right for any formula that only rises or only falls with each of them.
    pub fn of<const N: usize>(values: [Span; N], formula: impl Fn([f64; N]) -> f64) -> Span {
        let usual = formula(values.map(|value| value.usual));
        let (mut low, mut high) = (usual, usual);
        for corner in 0..1_u32 << N.min(10) {
            let mut ends = corner;
            let found = formula(values.map(|value| {
                let end = if ends & 1 == 0 { value.low } else { value.high };
                ends >>= 1;
                end
            }));
            low = low.min(found);
            high = high.max(found);
        }
        Span { low, usual, high }
    }
}
