//! What there is to know about a thread.

use super::figures::{both_lengths, lengths, line, number};
use crate::domain::fastener::{Fastener, Thread, ThreadSystem};
use crate::domain::quantity::ValueError;
use uom::si::area::{square_inch, square_millimeter};
use uom::si::length::{inch, millimeter};

/// The geometry of a thread with its source.
///
/// # Errors
/// If the text isn't a thread of the tables or one that follows from its diameter and pitch.
pub fn thread(text: &str) -> Result<Vec<String>, ValueError> {
    let fastener = Fastener::parse(text)?;
    let thread = fastener.thread();
    let mut lines = vec![line("thread", format!("{thread}, {}", kind(thread)))];
    lines.push(match thread.is_left_handed() {
        true => line("hand", "LEFT-HAND: turns the other way, tightens counter-clockwise"),
        false => line("hand", "right-hand, tightens clockwise"),
    });
    lines.extend(match thread.system() {
        ThreadSystem::Npt => npt(thread),
        ThreadSystem::Pipe => pipe(thread),
        ThreadSystem::Trapezoidal => trapezoidal(thread),
        ThreadSystem::Metric | ThreadSystem::Unified | ThreadSystem::Whitworth => fastening(thread),
    });
    if let Some(class) = fastener.class() {
        lines.push(line(
            "class",
            format!("`benchleaf class \"{class}\" \"{thread}\"` has its strengths and loads"),
        ));
    }
    lines.push(line("source", thread.source()));
    Ok(lines)
}

fn kind(thread: Thread) -> String {
    match thread.system() {
        ThreadSystem::Metric => format!("ISO metric, {}", thread.series()),
        ThreadSystem::Unified => format!("unified inch, {}", thread.series()),
        ThreadSystem::Whitworth if thread.series() == "BSF" => "British Standard Fine, 55°".to_string(),
        ThreadSystem::Whitworth => "British Standard Whitworth, 55°".to_string(),
        ThreadSystem::Pipe if thread.series() == "R" => "ISO 7-1 taper pipe thread (Rc and Rp inside), 55°".to_string(),
        ThreadSystem::Pipe => {
            "ISO 228-1 parallel pipe thread, 55°: seals on a washer or ring, not on the thread".to_string()
        }
        ThreadSystem::Npt if thread.series() == "NPTF" => "taper pipe thread, dry seal, 60°".to_string(),
        ThreadSystem::Npt => "taper pipe thread, 60°: needs a sealant".to_string(),
        ThreadSystem::Trapezoidal if thread.starts() > 1 => {
            format!("ISO metric trapezoidal, 30°, {} starts", thread.starts())
        }
        ThreadSystem::Trapezoidal => "ISO metric trapezoidal, 30°".to_string(),
    }
}

/// How far below the crests handbooks of inch threads take the root, both sides together, in pitches: 1.5 H, with H = √3/2 P.
const HANDBOOK_ROOT: f64 = 1.299_038;

/// Pitch in both systems.
fn pitch(thread: Thread) -> String {
    let pitch = thread.pitch();
    if thread.counts_per_inch() {
        let count = thread.pitch_text();
        format!(
            "{count} threads per inch, {:.4} mm ({:.5} in)",
            pitch.get::<millimeter>(),
            pitch.get::<inch>()
        )
    } else {
        let count = 25.4 / pitch.get::<millimeter>();
        format!("{} mm ({count:.2} threads per inch)", thread.pitch_text())
    }
}

fn fastening(thread: Thread) -> Vec<String> {
    let area = thread.stress_area();
    let drill = thread.diameter() - thread.pitch();
    let across = |diameter: f64| std::f64::consts::FRAC_PI_4 * diameter * diameter;
    let root = across(thread.root_diameter().get::<millimeter>());
    let handbook = across((thread.diameter() - HANDBOOK_ROOT * thread.pitch()).get::<millimeter>());
    let mut lines = vec![
        line("d", format!("{}, nominal diameter", lengths(thread.diameter()))),
        line("pitch", pitch(thread)),
        line("d2", format!("{}, pitch diameter", lengths(thread.pitch_diameter()))),
        line(
            "d3",
            format!(
                "{}, root of the external thread, {root:.2} mm² across",
                lengths(thread.root_diameter())
            ),
        ),
        line(
            "D1",
            format!(
                "{}, minor diameter of the internal thread",
                lengths(thread.internal_minor_diameter())
            ),
        ),
        line(
            "root area",
            format!(
                "{} mm² at d − 1.2990 P, as some handbooks take the root (Shigley 9th ed., table 8-2)",
                area_figure(handbook)
            ),
        ),
        line(
            "stress area",
            format!(
                "{} mm² ({} in²)",
                area_figure(area.get::<square_millimeter>()),
                number(area.get::<square_inch>(), 4)
            ),
        ),
    ];
    if thread.system() == ThreadSystem::Whitworth {
        lines.push(line("", "by the mean of d2 and d3, as for metric threads: an estimate"));
    }
    lines.push(line(
        "tapping drill",
        format!(
            "about {:.2} mm, d − P (common practice, no source)",
            drill.get::<millimeter>()
        ),
    ));
    lines
}

/// Four significant figures, and a tenth at least.
fn area_figure(square_millimetres: f64) -> String {
    if square_millimetres >= 1000.0 {
        format!("{square_millimetres:.1}")
    } else {
        number(square_millimetres, 4)
    }
}

fn pipe(thread: Thread) -> Vec<String> {
    let taper = thread.pipe().and_then(|pipe| pipe.gauge_length());
    let at = if taper.is_some() { " at the gauge plane" } else { "" };
    let mut lines = vec![
        line("d", format!("{}, major diameter{at}", lengths(thread.diameter()))),
        line("pitch", pitch(thread)),
        line(
            "d2",
            format!("{}, pitch diameter{at}", lengths(thread.pitch_diameter())),
        ),
        line("d1", format!("{}, minor diameter{at}", lengths(thread.root_diameter()))),
    ];
    if let Some(length) = taper {
        lines.push(line(
            "gauge length",
            format!("{}, small end to gauge plane", lengths(length)),
        ));
        lines.push(line("taper", "1 in 16 on the diameter"));
    }
    lines
}

fn npt(thread: Thread) -> Vec<String> {
    let mut lines = vec![
        line("D", format!("{}, outside of the pipe", lengths(thread.diameter()))),
        line("pitch", pitch(thread)),
        line(
            "E1",
            format!(
                "{}, pitch diameter at the gauge plane",
                both_lengths(thread.pitch_diameter())
            ),
        ),
    ];
    if let Some(pipe) = thread.pipe() {
        let rows = [
            ("E0", pipe.end_pitch_diameter(), "pitch diameter at the small end"),
            ("L1", pipe.gauge_length(), "length engaged by hand"),
            ("L2", pipe.effective_length(), "length of the effective external thread"),
        ];
        for (name, length, what) in rows {
            if let Some(length) = length {
                lines.push(line(name, format!("{}, {what}", both_lengths(length))));
            }
        }
    }
    lines.push(line(
        "taper",
        "1 in 16 on the diameter (3/4 in a foot), 1.790° half angle",
    ));
    lines
}

fn trapezoidal(thread: Thread) -> Vec<String> {
    let mut lines = vec![
        line("d", format!("{}, nominal diameter", lengths(thread.diameter()))),
        line("pitch", pitch(thread)),
    ];
    if thread.starts() > 1 {
        lines.push(line(
            "lead",
            format!("{}, what a turn advances", lengths(thread.lead())),
        ));
    }
    lines.extend([
        line("d2", format!("{}, pitch diameter", lengths(thread.pitch_diameter()))),
        line("d3", format!("{}, root of the screw", lengths(thread.root_diameter()))),
        line(
            "D4",
            format!(
                "{}, major diameter of the nut",
                lengths(thread.internal_major_diameter())
            ),
        ),
        line(
            "D1",
            format!(
                "{}, minor diameter of the nut",
                lengths(thread.internal_minor_diameter())
            ),
        ),
    ]);
    lines
}
