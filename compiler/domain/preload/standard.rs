//! Published torques and rules that go with them: a standard table, drag of self-locking nuts, castle nuts, scatter by method.

use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::{Force, Torque};

use crate::fastener::{Fastener, Thread};
use crate::limit::Interval;
use crate::named;
use crate::quantity::{Dimension, ValueError};
use crate::table;

const TORQUES: &str = include_str!("../../tables/standard-torques.csv");
const SCATTER: &str = include_str!("../../tables/preload-scatter.csv");

#[derive(Deserialize)]
struct TorqueRow {
    thread: String,
    low: String,
    high: String,
    unit: String,
    source: String,
}

/// A published torque range for a thread.
#[derive(Clone, Debug)]
pub struct StandardTorque {
    /// The thread.
    pub thread: Thread,
    /// The range, as printed.
    pub range: Interval,
    /// The table it is from.
    pub source: String,
}

/// Published torques, in table order. The table jumps between 3/8 and 7/16 in; that is the table, not a slip.
pub fn standard_torques() -> &'static [StandardTorque] {
    static ROWS: OnceLock<Vec<StandardTorque>> = OnceLock::new();
    ROWS.get_or_init(|| {
        // An embedded table: a test finds as many entries as it has rows.
        let read = |row: TorqueRow| {
            let range =
                Interval::parse(&format!("{}..{} {}", row.low, row.high, row.unit), &[Dimension::Torque]).ok()?;
            Some(StandardTorque {
                thread: Fastener::parse(&row.thread).ok()?.thread(),
                range,
                source: row.source,
            })
        };
        table::rows("standard-torques.csv", TORQUES)
            .into_iter()
            .filter_map(read)
            .collect()
    })
}

/// The published torque range of a thread, if the table has one.
pub fn standard_torque(thread: Thread) -> Option<&'static StandardTorque> {
    standard_torques().iter().find(|row| row.thread == thread)
}

/// What the wrench must show for a self-locking nut: the wanted torque plus the drag measured while running it down
/// (FAA AC 43.13-1B, 7-40 c-d).
pub fn with_drag(wanted: Torque, drag: Torque) -> Torque {
    wanted + drag
}

/// Where to look for the pin hole of a castle nut: from the least torque plus drag, never past the greatest plus drag
/// (FAA AC 43.13-1B, 7-40 f).
pub fn castle_nut_window(least: Torque, greatest: Torque, drag: Torque) -> (Torque, Torque) {
    (with_drag(least, drag), with_drag(greatest, drag))
}

/// How far preload scatters by a method of tightening.
#[derive(Clone, Debug, Deserialize)]
pub struct MethodScatter {
    /// The method and its condition.
    pub method: String,
    /// Low end of the scatter, ± per cent.
    pub low: f64,
    /// High end of the scatter, ± per cent.
    pub high: f64,
    /// Where it is from.
    pub source: String,
}

/// Scatter by method, in table order.
pub fn method_scatters() -> &'static [MethodScatter] {
    static ROWS: OnceLock<Vec<MethodScatter>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("preload-scatter.csv", SCATTER))
}

/// The scatter of a method by its name in the table.
///
/// # Errors
/// If the table doesn't hold it.
pub fn method_scatter(method: &str) -> Result<&'static MethodScatter, ValueError> {
    named::find_by_name(
        "method of tightening",
        method,
        method_scatters().iter().map(|row| (row.method.as_str(), row)),
    )
}

/// The range around a nominal preload at a scatter of ± `scatter` (0.25 for 25 %): F (1 − G) to F (1 + G), NASA-STD-5020.
pub fn scattered(nominal: Force, scatter: f64) -> (Force, Force) {
    (nominal * (1.0 - scatter), nominal * (1.0 + scatter))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read_and_sourced() {
        table::assert_sourced("standard-torques.csv", TORQUES);
        table::assert_sourced("preload-scatter.csv", SCATTER);
        assert_eq!(standard_torques().len(), TORQUES.lines().count() - 1);
        assert_eq!(method_scatters().len(), SCATTER.lines().count() - 1);
    }
}
