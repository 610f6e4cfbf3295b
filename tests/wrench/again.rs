//! A thousand random torques, tools, adapters and passes: the setting printed on the card against one worked out here in whole numbers.
//! Nothing of the crate's arithmetic is used: units are fractions of the newton metre by their definitions. The press reads the same cases
//! back from paper.

use crate::harness::{Files, Outcome, settings};
use std::fmt::Write;

/// Units with numerator and denominator of their size in N·m, exact: inch, pound and standard gravity are.
const UNITS: [(&str, i128, i128); 6] = [
    ("N·m", 1, 1),
    ("lbf·ft", 13_558_179_483_314_004, 10_000_000_000_000_000),
    ("lbf·in", 1_129_848_290_276_167, 10_000_000_000_000_000),
    ("kgf·m", 980_665, 100_000),
    ("kgf·cm", 980_665, 10_000_000),
    ("N·cm", 1, 100),
];

/// Steps of scales, in thousandths.
const STEPS: [i128; 7] = [100, 200, 250, 500, 1000, 2000, 5000];

/// Passes, in per cent.
const PASSES: [&[i128]; 4] = [&[100], &[30, 70, 100], &[50, 100], &[25, 60, 85, 100]];

/// Angles of adapters, with twice their cosine.
const ANGLES: [(&str, i128); 4] = [("0°", 2), ("60°", 1), ("90°", 0), ("180°", -2)];

const SEED: u64 = 0x5EED_0F70_8135;
const COUNT: usize = 1000;

/// One case, in whole numbers.
pub struct Case {
    /// The torque, in hundredths of its unit.
    torque: i128,
    unit: usize,
    /// Per cent either way; the usual ten where the author gives none.
    tolerance: Option<i128>,
    tool: usize,
    step: i128,
    /// Ends of the scale, in steps.
    scale: (i128, i128),
    /// Length of the wrench, of the adapter, and the angle.
    adapter: Option<(i128, i128, usize)>,
    passes: usize,
    /// Drag of the nut, in hundredths of the torque's unit.
    drag: Option<i128>,
    /// How far the wrench reads off by its certificate, in thousandths.
    deviation: Option<i128>,
}

/// A small generator (Knuth's multiplier): the same cases on every machine.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: i128) -> i128 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        i128::from(self.0 >> 33) % n
    }

    fn index(&mut self, n: usize) -> usize {
        usize::try_from(self.below(i128::try_from(n).unwrap_or(1))).unwrap_or(0)
    }
}

fn gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

impl Case {
    fn roll(dice: &mut Dice) -> Case {
        let mut case = Case {
            torque: 200 + dice.below(30_000),
            unit: dice.index(UNITS.len()),
            tolerance: [None, Some(5), Some(10), Some(20)][dice.index(4)],
            tool: dice.index(UNITS.len()),
            step: STEPS[dice.index(STEPS.len())],
            scale: (0, 0),
            adapter: (dice.below(3) > 0)
                .then(|| (250 + dice.below(500), 20 + dice.below(120), dice.index(ANGLES.len()))),
            passes: dice.index(PASSES.len()),
            drag: None,
            deviation: None,
        };
        case.drag = (dice.below(3) == 0).then(|| 1 + case.torque / 20 + dice.below(case.torque / 4));
        case.deviation = (dice.below(3) == 0).then(|| dice.below(81) - 40);
        // A scale that the torque lies on, and early passes may not.
        let (over, under) = case.in_steps(100);
        let marks = over / under;
        case.scale = ((marks / 4).max(1), marks * 2 + 4);
        case
    }

    /// The torque at the wrench at so many per cent, counted in steps of the scale, as a fraction.
    fn in_steps(&self, percent: i128) -> (i128, i128) {
        let ((_, own, of), (_, tool, tool_of)) = (UNITS[self.unit], UNITS[self.tool]);
        let (mut over, mut under) = (own * tool_of, of * tool);
        let shared = gcd(over, under);
        (over, under) = (over / shared, under / shared);
        // T L / (L + E cos φ), doubled above and below so that half a cosine stays whole.
        let (length, arm) = self.adapter.map_or((1, 1), |(length, offset, angle)| {
            (2 * length, 2 * length + offset * ANGLES[angle].1)
        });
        // Hundredths of the unit, per cent of it, and thousandths of a step.
        // Drag comes on top of whatever share of the torque a pass takes, and the wrench shows all of it too low or too high.
        over *= (self.torque * percent + self.drag.unwrap_or(0) * 100) * length * 1000;
        under *= 100 * 100 * arm * self.step;
        let shared = gcd(over, under);
        (over, under) = (over / shared, under / shared);
        over *= 1000 + self.deviation.unwrap_or(0);
        under *= 1000;
        let shared = gcd(over, under);
        (over / shared, under / shared)
    }

    /// The mark to set, in steps; `None` below the scale. Ties go to the even mark.
    fn mark(&self, percent: i128) -> Option<i128> {
        let (over, under) = self.in_steps(percent);
        if over < self.scale.0 * under {
            return None;
        }
        let (whole, rest) = (over / under, over % under);
        let up = 2 * rest > under || (2 * rest == under && whole % 2 == 1);
        Some(whole + i128::from(up))
    }

    /// True if the mark for the whole torque lies outside the tolerance. Off the scale there is none.
    fn misses(&self) -> bool {
        let off = self.tolerance.unwrap_or(10);
        let ((low, of_low), (high, of_high)) = (self.in_steps(100 - off), self.in_steps(100 + off));
        self.mark(100)
            .is_some_and(|mark| mark * of_low < low || mark * of_high > high)
    }

    /// The passes, each by its share as printed, with the setting worked out: empty below the scale.
    pub fn passes(&self) -> Vec<(String, String)> {
        let passes = PASSES[self.passes].iter();
        passes
            .map(|percent| (format!("{percent} %"), self.set_to(*percent)))
            .collect()
    }

    /// The unit of the tool.
    pub fn tool_unit(&self) -> &'static str {
        UNITS[self.tool].0
    }

    fn set_to(&self, percent: i128) -> String {
        let Some(mark) = self.mark(percent) else {
            return String::new();
        };
        let thousandths = mark * self.step;
        format!(
            "{}.{:03} {}",
            thousandths / 1000,
            thousandths % 1000,
            UNITS[self.tool].0
        )
    }
}

/// A figure with its unit, to thousandths, however many noughts it was printed with.
pub fn plain(text: &str) -> Result<String, String> {
    let Some((figure, unit)) = text.split_once(' ') else {
        return Ok(text.to_string());
    };
    let (whole, part) = figure.split_once('.').unwrap_or((figure, ""));
    match part.len() {
        0..=3 => Ok(format!("{whole}.{part:0<3} {unit}")),
        _ => Err(format!("{text} has more digits than any scale")),
    }
}

pub fn files(cases: &[Case]) -> Files {
    let (mut tools, mut torques, mut patterns, mut steps) = Default::default();
    let add = |text: &mut String, line: String| writeln!(text, "{line}").unwrap_or_default();
    for (n, passes) in PASSES.iter().enumerate() {
        let shares: Vec<String> = passes.iter().map(|p| format!("{p} %")).collect();
        let line = format!(
            "  p{n}: {{circle: {{count: 4, diameter: 80 mm}}, passes: [{}]}}",
            shares.join(", ")
        );
        add(&mut patterns, line);
    }
    for (n, case) in cases.iter().enumerate() {
        let unit = UNITS[case.tool].0;
        let scale = |marks: i128| {
            let thousandths = marks * case.step;
            format!("{}.{:03}", thousandths / 1000, thousandths % 1000)
        };
        let length = case
            .adapter
            .map_or(String::new(), |(length, ..)| format!(", length: {length} mm"));
        let deviation = case.deviation.map_or(String::new(), |deviation| {
            let (way, share) = (if deviation < 0 { "-" } else { "+" }, deviation.abs());
            format!(", deviation: {way}{}.{} %", share / 10, share % 10)
        });
        let (low, high, step) = (scale(case.scale.0), scale(case.scale.1), scale(1));
        add(
            &mut tools,
            format!(
                "  w{n}: {{kind: torque-wrench, range: {low}..{high} {unit}, step: {step} {unit}{length}{deviation}}}"
            ),
        );
        let adapter = case.adapter.map_or(String::new(), |(_, offset, angle)| {
            format!(", adapter: {{length: {offset} mm, angle: {}}}", ANGLES[angle].0)
        });
        let in_unit = |hundredths: i128| format!("{}.{:02} {}", hundredths / 100, hundredths % 100, UNITS[case.unit].0);
        let figure = in_unit(case.torque);
        let drag = case
            .drag
            .map_or(String::new(), |drag| format!(", drag: {}", in_unit(drag)));
        let tolerance = case.tolerance.map_or(String::new(), |t| format!(" ± {t} %"));
        add(
            &mut torques,
            format!(
                "  t{n}: {{name: N{n:04}, torque: {figure}{tolerance}, count: 4, pattern: p{}, tool: w{n}{adapter}{drag}}}",
                case.passes
            ),
        );
        add(&mut steps, format!("1. Tighten the [torque t{n}]."));
    }
    let card = format!("---\ntitle: Close\ntools:\n{tools}torques:\n{torques}patterns:\n{patterns}---\n\n{steps}");
    let set = "machine: Invented pump\ntitle: Rebuild\n".to_string();
    [("p/10-close.md", card), ("p/set.yaml", set)]
        .map(|(path, text)| (path.to_string(), text.into_bytes()))
        .into()
}

/// The thousand cases.
pub fn cases() -> Vec<Case> {
    let mut dice = Dice(SEED);
    (0..COUNT).map(|_| Case::roll(&mut dice)).collect()
}

/// Every setting, of stages and of passes, is the one worked out here; and exactly those outside their tolerance are errors.
pub fn thousand() -> Outcome {
    let cases = cases();
    let (checked, torques) = settings::torques(&files(&cases));
    let mut wrong = Vec::new();
    let (mut settings, mut below, mut missed) = (0, 0, 0);
    if torques.len() != COUNT {
        return Err(format!("{} torques: {}", torques.len(), checked.listing()).into());
    }
    for (n, (case, torque)) in cases.iter().zip(&torques).enumerate() {
        let [stage] = torque.stages.as_slice() else {
            return Err(format!("t{n} has {} stages", torque.stages.len()).into());
        };
        let mut hold = |what: String, found: &str, expected: String| -> Result<(), String> {
            settings += usize::from(!expected.is_empty());
            below += usize::from(expected.is_empty());
            if plain(found)? != expected {
                wrong.push(format!("t{n} {what}: printed `{found}`, worked out `{expected}`"));
            }
            Ok(())
        };
        hold("stage".to_string(), &stage.setting, case.set_to(100))?;
        for (percent, pass) in PASSES[case.passes].iter().zip(&stage.passes) {
            hold(pass.share.clone(), &pass.setting, case.set_to(*percent))?;
        }
        missed += usize::from(case.misses());
    }
    let errors = checked.codes().get("BL603").copied().unwrap_or(0);
    if errors != missed {
        wrong.push(format!(
            "{errors} settings outside their tolerance are told, worked out {missed}"
        ));
    }
    // So many that neither kind goes untried.
    if settings < 2000 || below < 50 || missed < 30 {
        wrong.push(format!(
            "only {settings} settings, {below} passes below the scale, {missed} misses"
        ));
    }
    if wrong.is_empty() {
        Ok(())
    } else {
        Err(wrong.join("\n").into())
    }
}
