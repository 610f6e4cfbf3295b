//! The setting: what a tool is set to so that a torque comes out at the fastener. Unit, scale mark, adapter, rounding and the error
//! against the tolerance are settled here and nowhere else: whatever prints or records a torque asks [`TorqueTool::fit`].

use std::cmp::Ordering;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::{Reach, TorqueTool};
use crate::quantity::{Figure, Measure, Rounding, round_to_digits, round_to_places};
use crate::tightening::TorqueValue;

/// The tolerance of a torque whose author gave none, as a share either way: ± 10 % (US Army TM 9-2330-272-14, paragraph G-2 b, and
/// TM 9-2320-362-14&P, table F-1: the tolerance unless another is given).
pub const UNSTATED_TOLERANCE: Decimal = Decimal::from_parts(10, 0, 0, false, 2);

/// A part in a billion, so that equal figures worked out two ways still count as equal.
const SLACK: Decimal = Decimal::from_parts(1, 0, 0, false, 9);

/// Digits a worked-out torque is kept to before it meets a scale: a ratio of lengths is binary, and noise in its sixteenth digit must
/// not decide between two marks.
const KEPT: u32 = 14;

/// What an adapter makes of a setting: torque at the wrench over torque at the fastener.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lever(Decimal);

impl Lever {
    /// No adapter, or one that changes nothing.
    pub const NONE: Lever = Lever(Decimal::ONE);

    /// From a ratio (see [`Adapter::ratio`](super::Adapter::ratio)); `None` if it isn't above zero.
    pub fn new(ratio: f64) -> Option<Lever> {
        Decimal::from_f64_retain(ratio)
            .filter(|ratio| *ratio > Decimal::ZERO)
            .map(Lever)
    }

    /// True if setting and torque at the fastener are the same.
    pub fn is_none(self) -> bool {
        self == Lever::NONE
    }
}

/// A torque to be given: the author's, or a share of it in a pass; with or without an adapter.
#[derive(Clone, Copy, Debug)]
pub struct Aim<'a> {
    /// The author's torque at the fastener.
    pub torque: &'a TorqueValue,
    /// The share of it: 1, or less in a pass before the last.
    pub share: Decimal,
    /// What an adapter changes.
    pub lever: Lever,
    /// The drag of a self-locking nut, which the wrench shows on top of the torque (FAA AC 43.13-1B, 7-40 c and d).
    pub drag: Option<&'a Measure>,
}

impl<'a> Aim<'a> {
    /// The torque itself, without an adapter.
    pub fn at(torque: &'a TorqueValue) -> Aim<'a> {
        Aim {
            torque,
            share: Decimal::ONE,
            lever: Lever::NONE,
            drag: None,
        }
    }

    fn is_whole(&self) -> bool {
        self.share == Decimal::ONE
    }
}

/// How to set a tool.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The setting, in the tool's own unit and on its scale.
    pub setting: Measure,
    /// How far what comes out at the fastener is from the torque aimed at, as a share of it: −0.01 is one per cent low.
    pub error: f64,
    /// The least and greatest torque the tool may give at that setting, by its accuracy, as shares of the torque aimed at.
    pub spread: (f64, f64),
    /// Whether the setting lies outside the author's tolerance, or outside [`UNSTATED_TOLERANCE`] where there is none. Never in a
    /// pass before the last: the next one goes over it.
    pub misses: bool,
    /// Whether it may with the tool's accuracy added on; `None` where the accuracy isn't known, and in a pass before the last.
    pub may_miss: Option<bool>,
}

/// What a tool makes of a torque.
#[derive(Clone, Debug, PartialEq)]
pub struct ToolFit {
    /// Where the torque lies on the scale.
    pub reach: Reach,
    /// How to set it; `None` where the scale doesn't reach.
    pub setting: Option<Setting>,
}

impl TorqueTool {
    /// A torque of the author's as the tool must show it, in its unit, without drag; not rounded to anything that is printed.
    fn shown(&self, aim: &Aim, torque: &Measure) -> Option<Decimal> {
        let value = torque
            .unit()
            .convert(torque.value(), self.unit())?
            .checked_mul(aim.share)?;
        self.at_wrench(aim, value)
    }

    /// What the tool shows on top of that for the drag.
    fn dragged(&self, aim: &Aim) -> Option<Decimal> {
        let Some(drag) = aim.drag else {
            return Some(Decimal::ZERO);
        };
        self.at_wrench(aim, drag.unit().convert(drag.value(), self.unit())?)
    }

    /// A torque at the fastener as this tool shows it: by the adapter's lever, and as far off as its certificate says.
    fn at_wrench(&self, aim: &Aim, torque: Decimal) -> Option<Decimal> {
        let reads = match &self.deviation {
            Some(deviation) => deviation.share()?.checked_add(Decimal::ONE)?,
            None => Decimal::ONE,
        };
        let value = torque.checked_mul(aim.lever.0)?.checked_mul(reads)?;
        Some(round_to_digits(value, KEPT, Rounding::Nearest))
    }

    /// What the tool makes of a torque. `None` if its figures aren't torques.
    pub fn fit(&self, aim: &Aim) -> Option<ToolFit> {
        let unit = self.unit();
        let own = self.shown(aim, aim.torque.target().measure())?;
        let target = own.checked_add(self.dragged(aim)?)?;
        let end = |bound: &Measure| bound.unit().convert(bound.value(), unit);
        let (low, high) = (end(self.range.low())?, end(self.range.high())?);
        let bounds = self.allowed(aim, own)?;
        // Of a range any torque will do: where its middle is off the scale, what of it is on the scale.
        let target = match aim.torque.is_range() && aim.is_whole() {
            true if bounds.0 <= high && low <= bounds.1 => target.clamp(low, high),
            _ => target,
        };
        let reach = match target {
            target if target < low => Reach::Below,
            target if target > high => Reach::Above,
            target if target.checked_mul(Decimal::from(5))? < high => Reach::LowEnd,
            _ => Reach::Within,
        };
        let setting = match reach {
            Reach::Within | Reach::LowEnd => Some(self.set_to(aim, target, (low, high), bounds)?),
            Reach::Below | Reach::Above => None,
        };
        Some(ToolFit { reach, setting })
    }

    /// The least and the greatest torque allowed at the wrench, drag included, in the tool's unit; `own` is what it shows for the torque
    /// without drag.
    fn allowed(&self, aim: &Aim, own: Decimal) -> Option<(Decimal, Decimal)> {
        let torque = aim.torque;
        let drag = self.dragged(aim)?;
        if torque.has_bounds() {
            let bound = |bound| self.shown(aim, bound)?.checked_add(drag);
            return Some((bound(torque.low().measure())?, bound(torque.high().measure())?));
        }
        let off = own.checked_mul(UNSTATED_TOLERANCE)?;
        let middle = own.checked_add(drag)?;
        Some((middle.checked_sub(off)?, middle.checked_add(off)?))
    }

    fn set_to(
        &self,
        aim: &Aim,
        target: Decimal,
        scale: (Decimal, Decimal),
        (least, most): (Decimal, Decimal),
    ) -> Option<Setting> {
        let step = self.step.as_ref().map(Measure::value).filter(|s| *s > Decimal::ZERO);
        let setting = match step {
            Some(step) => Measure::new(Figure::computed(on_scale(target, step, scale)?), self.unit()),
            None => self.unmarked(aim, target)?,
        };
        let mark = setting.value();
        let drag = self.dragged(aim)?;
        let own = target.checked_sub(drag)?;
        // What is left for the fastener once the drag is overcome, over what it is to get.
        let share = |torque: Decimal| torque.checked_sub(drag)?.checked_div(own)?.to_f64();
        let error = share(mark)? - 1.0;
        let accuracy = self.accuracy.as_ref().and_then(|accuracy| accuracy.share_of(&setting));
        // The tool is off by a share of all that it shows.
        let off = accuracy.unwrap_or(0.0) * mark.checked_div(own)?.to_f64()?;
        let spread = (1.0 + error - off, 1.0 + error + off);
        let slack = target.checked_mul(SLACK)?;
        let misses = mark.checked_add(slack)? < least || mark.checked_sub(slack)? > most;
        let slack = slack.checked_div(own)?.to_f64()?;
        let may_miss = spread.0 + slack < share(least)? || spread.1 - slack > share(most)?;
        Some(Setting {
            setting,
            error,
            spread,
            misses: misses && aim.is_whole(),
            may_miss: (accuracy.is_some() && aim.is_whole()).then_some(may_miss),
        })
    }

    /// On a scale whose steps nobody gave: the author's own figure where nothing changes it, else to the digits of the figure, and
    /// three at least where an adapter, drag, a certificate or a pass changed it.
    fn unmarked(&self, aim: &Aim, target: Decimal) -> Option<Measure> {
        let written = aim.torque.target().measure();
        let untouched = aim.is_whole() && aim.lever.is_none() && aim.drag.is_none() && self.deviation.is_none();
        if untouched && self.shown(aim, written)? == target {
            return written.in_unit(self.unit(), Rounding::Nearest);
        }
        let digits = written.figure().digits().max(2) + 1;
        let figure = round_to_digits(target, digits.min(KEPT), Rounding::Nearest);
        Some(Measure::new(Figure::computed(figure), self.unit()))
    }
}

/// The mark of a scale nearest to a torque, counted from zero, kept between the scale's ends.
fn on_scale(torque: Decimal, step: Decimal, (low, high): (Decimal, Decimal)) -> Option<Decimal> {
    let marks = round_to_places(torque.checked_div(step)?, 0, Rounding::Nearest);
    let mut mark = marks.checked_mul(step)?;
    if mark > high {
        mark = mark.checked_sub(step)?;
    }
    if mark < low {
        mark = mark.checked_add(step)?;
    }
    Some(mark)
}

/// The tool chosen from several.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Its place among the tools given.
    pub index: usize,
    /// What it makes of the torque.
    pub fit: ToolFit,
}

/// The best tool for a torque, each with what an adapter on it changes; `None` if none reaches it. Preferred in this order: a setting
/// within the tolerance, one that stays there with the tool's accuracy, the upper four fifths of the scale, the smaller full scale, the smaller setting error, the earlier in the list.
pub fn choose(
    tools: &[(TorqueTool, Lever)],
    torque: &TorqueValue,
    drag: Option<&Measure>,
    share: Decimal,
) -> Option<Choice> {
    let mut best: Option<(Choice, &TorqueTool)> = None;
    for (index, (tool, lever)) in tools.iter().enumerate() {
        let aim = Aim {
            torque,
            share,
            lever: *lever,
            drag,
        };
        let Some(fit) = tool.fit(&aim).filter(|fit| fit.setting.is_some()) else {
            continue;
        };
        let better = best
            .as_ref()
            .is_none_or(|(known, known_tool)| compare((&fit, tool), (&known.fit, known_tool)) == Ordering::Less);
        if better {
            best = Some((Choice { index, fit }, tool));
        }
    }
    best.map(|(choice, _)| choice)
}

fn compare(one: (&ToolFit, &TorqueTool), other: (&ToolFit, &TorqueTool)) -> Ordering {
    let misses = |fit: &ToolFit| fit.setting.as_ref().is_some_and(|setting| setting.misses);
    let may_miss = |fit: &ToolFit| {
        fit.setting
            .as_ref()
            .is_some_and(|setting| setting.may_miss == Some(true))
    };
    let error = |fit: &ToolFit| fit.setting.as_ref().map_or(f64::MAX, |setting| setting.error.abs());
    misses(one.0)
        .cmp(&misses(other.0))
        .then(may_miss(one.0).cmp(&may_miss(other.0)))
        .then(one.0.reach.cmp(&other.0.reach))
        .then(
            one.1
                .range
                .high()
                .compare(other.1.range.high())
                .unwrap_or(Ordering::Equal),
        )
        .then(error(one.0).total_cmp(&error(other.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limit::{Interval, Tolerance};
    use crate::quantity::Dimension;
    use crate::tool::Deviation;

    fn tool(range: &str, step: &str) -> TorqueTool {
        TorqueTool {
            range: Interval::parse(range, &[Dimension::Torque]).unwrap(),
            step: (!step.is_empty()).then(|| Measure::parse(step).unwrap()),
            accuracy: Some(Tolerance::parse("± 4 %", &[]).unwrap()),
            deviation: None,
        }
    }

    fn torque(text: &str) -> TorqueValue {
        TorqueValue::parse(text).unwrap()
    }

    fn set(tool: &TorqueTool, text: &str) -> Setting {
        tool.fit(&Aim::at(&torque(text))).unwrap().setting.unwrap()
    }

    #[test]
    fn the_setting_is_in_the_tools_own_unit() {
        let setting = set(&tool("10..80 lbf·ft", "1 lbf·ft"), "30 N·m ± 10 %");
        assert_eq!(setting.setting.to_string(), "22 lbf·ft");
        // 30 N·m is 22.127 lbf·ft.
        assert!((setting.error + 0.00574).abs() < 1e-4);
        assert_eq!((setting.misses, setting.may_miss), (false, Some(false)));
    }

    #[test]
    fn ends_of_the_scale() {
        let wrench = tool("5..50 N·m", "0.5 N·m");
        let reach = |text: &str| wrench.fit(&Aim::at(&torque(text))).unwrap().reach;
        assert_eq!(reach("4 N·m"), Reach::Below);
        assert_eq!(reach("5 N·m"), Reach::LowEnd);
        assert_eq!(reach("9.9 N·m"), Reach::LowEnd);
        assert_eq!(reach("10 N·m"), Reach::Within);
        assert_eq!(reach("50 N·m"), Reach::Within);
        assert_eq!(reach("51 N·m"), Reach::Above);
        // Of a range what lies on the scale will do.
        assert_eq!(set(&wrench, "40..80 N·m").setting.to_string(), "50.0 N·m");
        assert_eq!(reach("51..80 N·m"), Reach::Above);
    }

    #[test]
    fn a_coarse_scale_misses_a_tolerance_stated_or_not() {
        assert!(set(&tool("40..200 N·m", "10 N·m"), "44 N·m ± 5 %").misses);
        assert!(!set(&tool("40..200 N·m", "10 N·m"), "44 N·m").misses);
        assert!(set(&tool("20..200 N·m", "10 N·m"), "24 N·m").misses);
        // 43 N·m is 2 % low, and 4 % below that is outside 5 %.
        assert_eq!(
            set(&tool("10..200 N·m", "1 N·m"), "43.9 N·m ± 4 %").may_miss,
            Some(true)
        );
    }

    #[test]
    fn an_adapter_and_a_pass_meet_the_scale_once() {
        let wrench = tool("10..60 N·m", "1 N·m");
        let torque = torque("45 N·m ± 10 %");
        let at = |share: i64, lever: f64| {
            let aim = Aim {
                torque: &torque,
                share: Decimal::new(share, 2),
                lever: Lever::new(lever).unwrap(),
                drag: None,
            };
            wrench.fit(&aim).unwrap().setting.unwrap().setting.to_string()
        };
        // 300 mm of wrench and 60 mm of adapter: 37.5 N·m, a tie, to the even mark.
        assert_eq!(at(100, 300.0 / 360.0), "38 N·m");
        assert_eq!(at(70, 300.0 / 360.0), "26 N·m");
        assert_eq!(at(30, 300.0 / 360.0), "11 N·m");
        assert_eq!(Lever::new(0.0), None);
        assert_eq!(Lever::new(f64::NAN), None);
    }

    #[test]
    fn drag_comes_on_top_and_a_wrench_that_reads_low_is_set_lower() {
        let mut wrench = tool("10..60 N·m", "0.5 N·m");
        let torque = torque("40 N·m ± 10 %");
        let drag = Measure::parse("4 N·m").unwrap();
        let at = |wrench: &TorqueTool, drag, lever| {
            let aim = Aim {
                lever,
                drag,
                ..Aim::at(&torque)
            };
            wrench.fit(&aim).unwrap().setting.unwrap()
        };
        let dragged = at(&wrench, Some(&drag), Lever::NONE);
        // FAA AC 43.13-1B, 7-40 d: the drag is added to the torque.
        assert_eq!(
            (dragged.setting.to_string(), dragged.misses),
            ("44.0 N·m".to_owned(), false)
        );
        // 4 % of the 44 shown is 1.76 N·m of the 40 that arrive.
        assert!((dragged.spread.1 - 1.044).abs() < 1e-9, "{:?}", dragged.spread);
        // Torque and drag both act at the bolt, so the adapter's lever takes both: 44 × 300 / 360 = 36.67.
        let both = at(&wrench, Some(&drag), Lever::new(300.0 / 360.0).unwrap());
        assert_eq!(both.setting.to_string(), "36.5 N·m");
        wrench.deviation = Deviation::parse("-3 %").ok();
        // ISO 6789: it shows 3 % too little, so 40 N·m are there when it shows 38.8.
        let low = at(&wrench, None, Lever::NONE);
        assert_eq!(low.setting.to_string(), "39.0 N·m");
        assert!((low.error - (39.0 / 38.8 - 1.0)).abs() < 1e-9);
        assert!(Deviation::parse("60 %").is_err() && Deviation::parse("3 N·m").is_err());
        let high = Deviation::parse("+2.5 %").unwrap();
        assert_eq!((high.amount().as_str(), high.is_low()), ("2.5 %", false));
    }

    #[test]
    fn the_smallest_tool_that_reaches_wins() {
        let tools: Vec<(TorqueTool, Lever)> = ["40..200 N·m", "5..25 N·m", "10..60 N·m"]
            .map(|range| (tool(range, "0.5 N·m"), Lever::NONE))
            .into();
        let chosen = |tools: &[(TorqueTool, Lever)], text: &str| {
            choose(tools, &torque(text), None, Decimal::ONE).map(|choice| choice.index)
        };
        assert_eq!(chosen(&tools, "24 N·m"), Some(1));
        assert_eq!(chosen(&tools, "50 N·m"), Some(2));
        assert_eq!(chosen(&tools, "250 N·m"), None);
        assert_eq!(chosen(&tools[..2], "39.9 N·m"), None);
    }
}
