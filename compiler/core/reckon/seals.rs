//! O-rings and gaskets: squeeze, stretch, fill, with their tolerances.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{MILLIMETRES, PER_CENT, places, span};
use super::tables::rings;
use crate::answers::{Answer, line};
use crate::domain::quantity::Dimension;

const INCH: f64 = 0.0254;

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "o-ring",
        about: "squeeze, stretch and gland fill of an O-ring, with tolerances",
        inputs: &[
            Input::known("size", "size code of ISO 3601-1 or AS568, such as `214`", Wanted::Words),
            Input::known(
                "section",
                "cross-section, such as `3.53 ± 0.10 mm`",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known("inside", "inside diameter", Wanted::Figure(Dimension::Length)),
            Input::known("squeeze", "squeeze wanted, for the depth", Wanted::Number),
            Input::known("stretch", "stretch, instead of what it sits on", Wanted::Number),
            Input::known(
                "depth",
                "depth of the gland, clearance included",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known("width", "width of the gland", Wanted::Figure(Dimension::Length)),
            Input::known(
                "on",
                "diameter that the ring sits on (groove of a piston)",
                Wanted::Figure(Dimension::Length),
            ),
        ],
        work: o_ring,
    },
    Topic {
        name: "gasket",
        about: "squeeze of a flat gasket",
        inputs: &[
            Input::needed("thickness", "thickness as delivered", Wanted::Figure(Dimension::Length)),
            Input::needed(
                "gap",
                "thickness or gap when tightened",
                Wanted::Figure(Dimension::Length),
            ),
        ],
        work: gasket,
    },
];

fn o_ring(given: &Given) -> Result<Answer, String> {
    given.positive(&["section", "inside", "depth", "width", "on"])?;
    let mut lines = Vec::new();
    let (mut section, mut inside) = (given.known("section"), given.known("inside"));
    if let Some(code) = given.words("size") {
        let bare = code.trim().trim_start_matches(['-', '−']);
        let wanted = format!("{bare:0>3}");
        let ring = rings().iter().find(|ring| ring.code == wanted);
        let ring = ring.ok_or_else(|| {
            format!("the tables hold no O-ring `{code}`; write a code such as `214`, or `section=…` and `inside=…`")
        })?;
        let around = |size: f64, tolerance: f64| Span {
            low: (size - tolerance) * INCH,
            usual: size * INCH,
            high: (size + tolerance) * INCH,
        };
        let (d2, d1) = (
            around(ring.section, ring.section_tolerance),
            around(ring.inside, ring.inside_tolerance),
        );
        lines.push(line(
            "ring",
            format!("size {}: {} × {}", ring.code, size_line(d1), size_line(d2)),
        ));
        // ISO 3601-1, tolerance of d1 in class B; from memory.
        let millimetres = d1.usual * 1e3;
        let class_b = 0.009 * millimetres.powf(0.95) + 0.11;
        lines.push(line(
            "",
            format!("class B of ISO 3601-1 allows ± {class_b:.2} mm on the inside diameter"),
        ));
        lines.push(line("source", &ring.source));
        section = section.or(Some(d2));
        inside = inside.or(Some(d1));
    }
    let depth = given.known("depth");
    let width = given.known("width");
    let seated = given
        .known("on")
        .zip(inside)
        .map(|(on, inside)| Span::of([on, inside], |[on, inside]| (on - inside) / inside));
    let stretched = seated.or(given.known("stretch"));
    if let Some(stretch) = stretched {
        lines.push(line(
            "stretch",
            format!("{}, (seat − inside) / inside", span(stretch, PER_CENT, 3)),
        ));
        if stretch.high > 0.05 {
            lines.push(line(
                "",
                "above 5 % for good: rings age sooner (common practice of seal makers)",
            ));
        }
    }
    // A ring that is stretched keeps its volume, so its section gets thinner by the root of its stretch.
    let thinner = stretched.filter(|stretch| stretch.high > 0.0);
    let worked = section.map(|section| match thinner {
        Some(stretch) => Span::of([section, stretch], |[section, stretch]| {
            section / (1.0 + stretch.max(0.0)).sqrt()
        }),
        None => section,
    });
    if let Some(stretch) = thinner {
        let loses = Span::of([stretch], |[stretch]| 1.0 - 1.0 / (1.0 + stretch.max(0.0)).sqrt());
        lines.push(line(
            "loses",
            format!("{} of its section by that stretch", span(loses, PER_CENT, 2)),
        ));
    }
    if let (Some(section), Some(squeeze)) = (worked, given.known("squeeze")) {
        if squeeze.low < 0.0 || squeeze.high >= 1.0 {
            return Err("`squeeze` must lie between 0 and 100 %".to_string());
        }
        let depth = Span::of([section, squeeze], |[section, squeeze]| section * (1.0 - squeeze));
        lines.push(line(
            "depth",
            format!("{} for that squeeze", places(depth, MILLIMETRES, 3)),
        ));
    }
    if let (Some(worked), Some(_)) = (worked, thinner) {
        lines.push(line(
            "section",
            format!("{} once stretched (its volume stays)", places(worked, MILLIMETRES, 2)),
        ));
    }
    if depth.is_none() && !lines.is_empty() {
        lines.push(usual());
    }
    if let (Some(section), Some(depth)) = (worked, depth) {
        let squeeze = Span::of([section, depth], |[section, depth]| (section - depth) / section);
        lines.push(line(
            "squeeze",
            format!("{}, (section − depth) / section", span(squeeze, PER_CENT, 3)),
        ));
        if squeeze.low <= 0.0 {
            lines.push(line("", "NONE at the least: the ring doesn't touch both sides"));
        }
        if let Some(width) = width {
            let fill = Span::of([section, depth, width], |[section, depth, width]| {
                std::f64::consts::FRAC_PI_4 * section * section / (depth * width)
            });
            lines.push(line(
                "fill",
                format!("{}, π/4 section² / (depth × width)", span(fill, PER_CENT, 3)),
            ));
            if fill.high > 0.9 {
                lines.push(line(
                    "",
                    "above 90 % at the most: no room to swell (common practice of seal makers: 60 to 85 %)",
                ));
            }
        }
        lines.push(usual());
    }
    if lines.is_empty() || (given.words("size").is_none() && section.is_none()) {
        return Err(
            "give the ring (`size=…`, or `section=…` and `inside=…`), and its gland (`depth=…`, `width=…`, `on=…`)"
                .to_string(),
        );
    }
    Ok(Answer { lines, refused: false })
}

fn usual() -> String {
    line(
        "usual",
        "squeeze 10 to 20 % moving, 15 to 30 % still; stretch 1 to 3 %; fill 60 to 85 %, of a still seal 85 to 90 % by some (practice of seal makers; they disagree)",
    )
}

fn size_line(size: Span) -> String {
    let millimetres = size.usual * 1e3;
    let tolerance = (size.high - size.usual) * 1e3;
    format!(
        "{millimetres:.2} ± {tolerance:.2} mm ({:.3} ± {:.3} in)",
        size.usual / INCH,
        (size.high - size.usual) / INCH
    )
}

fn gasket(given: &Given) -> Result<Answer, String> {
    given.positive(&["thickness", "gap"])?;
    let squeeze = Span::of([given.span("thickness")?, given.span("gap")?], |[thickness, gap]| {
        (thickness - gap) / thickness
    });
    let mut lines = vec![line(
        "squeeze",
        format!("{}, (thickness − gap) / thickness", span(squeeze, PER_CENT, 3)),
    )];
    let refused = squeeze.low <= 0.0;
    if refused {
        lines.push(line("", "NONE at the least: the gasket is not clamped"));
    }
    Ok(Answer { lines, refused })
}
