//! Torque wrenches and screwdrivers: range, scale, setting.

use std::cmp::Ordering;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::limit::{Interval, Tolerance};
use crate::quantity::{Figure, Measure, Rounding, Unit, round_to_places};
use crate::tightening::TorqueValue;

/// A torque tool as the shop's register describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueTool {
    /// The marked range; of torques.
    pub range: Interval,
    /// The scale step it can be set to, if marked; a torque.
    pub step: Option<Measure>,
    /// The drive square (a length), if known.
    pub drive: Option<Measure>,
    /// Its accuracy, if known: a share of the reading.
    pub accuracy: Option<Tolerance>,
}

/// Where a torque lies on a tool's scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Within the marked range and at or above a fifth of full scale.
    Within,
    /// Within the marked range but below a fifth of full scale, where some standards state no accuracy: advice, not a fault
    /// (ISO 6789:2003 and US Army TM 1-1500-204-23-9 begin at 20 %; ISO 6789-1:2017 at the lowest marked value).
    LowEnd,
    /// Below the marked range.
    Below,
    /// Above the marked range.
    Above,
}

/// How to set a tool for a torque.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The setting, in the tool's own unit and on its scale.
    pub setting: Measure,
    /// How far the setting is from the torque aimed at, as a share of it: −0.01 is one per cent low.
    pub error: f64,
    /// The least and greatest torque the tool may give at that setting, by its accuracy, as shares of the target from 1.
    pub spread: (f64, f64),
    /// Whether the setting alone lies within the author's tolerance; `None` if there is none.
    pub within_tolerance: Option<bool>,
    /// Whether it does with the tool's accuracy added on; `None` without a tolerance or an accuracy.
    pub spread_within_tolerance: Option<bool>,
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
    /// The tool's own unit: its scale step's, or that of the upper end of its range.
    pub fn unit(&self) -> Unit {
        self.step.as_ref().map_or(self.range.high().unit(), Measure::unit)
    }

    /// What the tool makes of a torque at its drive (with an adapter, the corrected one). `None` if its figures aren't torques.
    pub fn fit(&self, torque: &TorqueValue) -> Option<ToolFit> {
        let target = torque.target().measure();
        let reach = self.reach(target)?;
        let setting = match reach {
            Reach::Within | Reach::LowEnd => Some(self.setting(torque)?),
            Reach::Below | Reach::Above => None,
        };
        Some(ToolFit { reach, setting })
    }

    fn reach(&self, target: &Measure) -> Option<Reach> {
        if target.compare(self.range.low())? == Ordering::Less {
            return Some(Reach::Below);
        }
        if target.compare(self.range.high())? == Ordering::Greater {
            return Some(Reach::Above);
        }
        let full = self
            .range
            .high()
            .unit()
            .convert(self.range.high().value(), target.unit())?;
        let fifth = full.checked_div(Decimal::from(5))?;
        Some(if target.value() < fifth {
            Reach::LowEnd
        } else {
            Reach::Within
        })
    }

    fn setting(&self, torque: &TorqueValue) -> Option<Setting> {
        let target = torque.target().measure();
        let unit = self.unit();
        let exact = target.unit().convert(target.value(), unit)?;
        let setting = match self
            .step
            .as_ref()
            .map(Measure::value)
            .filter(|step| *step > Decimal::ZERO)
        {
            Some(step) => Measure::new(Figure::computed(self.on_scale(exact, step)?), unit),
            None => target.in_unit(unit, Rounding::Nearest)?,
        };
        let error = setting.value().checked_div(exact)?.to_f64()? - 1.0;
        let accuracy = self.accuracy.as_ref().and_then(|accuracy| accuracy.share_of(&setting));
        let off = accuracy.unwrap_or(0.0);
        let spread = ((1.0 + error) * (1.0 - off), (1.0 + error) * (1.0 + off));
        let bounded = torque.has_bounds();
        let within_tolerance = match bounded {
            true => Some(
                setting.compare(torque.low().measure())? != Ordering::Less
                    && setting.compare(torque.high().measure())? != Ordering::Greater,
            ),
            false => None,
        };
        let spread_within_tolerance = (bounded && accuracy.is_some()).then(|| {
            let share = |bound: &Measure| {
                let bound = bound
                    .unit()
                    .convert(bound.value(), unit)
                    .and_then(|bound| bound.checked_div(exact));
                bound.and_then(|bound| bound.to_f64())
            };
            // A part in a billion, so that equal shares computed two ways still count as within.
            let slack = 1e-9;
            share(torque.low().measure()).is_some_and(|low| low <= spread.0 + slack)
                && share(torque.high().measure()).is_some_and(|high| spread.1 <= high + slack)
        });
        Some(Setting {
            setting,
            error,
            spread,
            within_tolerance,
            spread_within_tolerance,
        })
    }

    /// The mark of the scale nearest to a torque, counted from zero, kept within the range.
    fn on_scale(&self, exact: Decimal, step: Decimal) -> Option<Decimal> {
        let unit = self.unit();
        let end = |bound: &Measure| bound.unit().convert(bound.value(), unit);
        let marks = round_to_places(exact.checked_div(step)?, 0, Rounding::Nearest);
        let mut mark = marks.checked_mul(step)?;
        if mark > end(self.range.high())? {
            mark = mark.checked_sub(step)?;
        }
        if mark < end(self.range.low())? {
            mark = mark.checked_add(step)?;
        }
        Some(mark)
    }
}

/// The tool chosen from several.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Its place among the tools given.
    pub index: usize,
    /// What it makes of the torque.
    pub fit: ToolFit,
}

/// The best tool for a torque, `None` if none reaches it. Preferred in this order: a setting within the tolerance, the upper four
/// fifths of the scale, the smaller full scale, the smaller setting error, the earlier in the list. A drive asked for rules out
/// tools of another; a tool whose drive isn't known stays in.
pub fn choose(tools: &[TorqueTool], torque: &TorqueValue, drive: Option<&Measure>) -> Option<Choice> {
    let drive_fits = |tool: &TorqueTool| match (drive, &tool.drive) {
        (Some(wanted), Some(own)) => own.compare(wanted) == Some(Ordering::Equal),
        _ => true,
    };
    let mut best: Option<(Choice, &TorqueTool)> = None;
    for (index, tool) in tools.iter().enumerate().filter(|(_, tool)| drive_fits(tool)) {
        let Some(fit) = tool.fit(torque).filter(|fit| fit.setting.is_some()) else {
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
    let misses = |fit: &ToolFit| {
        fit.setting
            .as_ref()
            .is_some_and(|setting| setting.within_tolerance == Some(false))
    };
    let error = |fit: &ToolFit| fit.setting.as_ref().map_or(f64::MAX, |setting| setting.error.abs());
    misses(one.0)
        .cmp(&misses(other.0))
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
    use crate::quantity::Dimension;

    fn tool(range: &str, step: &str) -> TorqueTool {
        TorqueTool {
            range: Interval::parse(range, &[Dimension::Torque]).unwrap(),
            step: (!step.is_empty()).then(|| Measure::parse(step).unwrap()),
            drive: None,
            accuracy: Some(Tolerance::parse("± 4 %", &[]).unwrap()),
        }
    }

    fn torque(text: &str) -> TorqueValue {
        TorqueValue::parse(text).unwrap()
    }

    #[test]
    fn the_setting_is_in_the_tools_own_unit() {
        let fit = tool("10..80 lbf·ft", "1 lbf·ft").fit(&torque("30 N·m ± 10 %")).unwrap();
        let setting = fit.setting.unwrap();
        assert_eq!(
            (fit.reach, setting.setting.to_string()),
            (Reach::Within, "22 lbf·ft".to_owned())
        );
        // 30 N·m is 22.127 lbf·ft.
        assert!((setting.error + 0.00574).abs() < 1e-4);
        assert_eq!(
            (setting.within_tolerance, setting.spread_within_tolerance),
            (Some(true), Some(true))
        );
    }

    #[test]
    fn ends_of_the_scale() {
        let wrench = tool("5..50 N·m", "0.5 N·m");
        let reach = |text: &str| wrench.fit(&torque(text)).unwrap().reach;
        assert_eq!(reach("4 N·m"), Reach::Below);
        assert_eq!(reach("5 N·m"), Reach::LowEnd);
        assert_eq!(reach("9.9 N·m"), Reach::LowEnd);
        assert_eq!(reach("10 N·m"), Reach::Within);
        assert_eq!(reach("50 N·m"), Reach::Within);
        assert_eq!(reach("51 N·m"), Reach::Above);
    }

    #[test]
    fn a_coarse_scale_misses_a_tight_tolerance() {
        let fit = tool("40..200 N·m", "10 N·m").fit(&torque("44 N·m ± 5 %")).unwrap();
        assert_eq!(fit.setting.unwrap().within_tolerance, Some(false));
    }

    #[test]
    fn the_smallest_tool_that_reaches_wins() {
        let tools = [
            tool("40..200 N·m", "5 N·m"),
            tool("5..25 N·m", "0.5 N·m"),
            tool("10..60 N·m", "1 N·m"),
        ];
        assert_eq!(choose(&tools, &torque("24 N·m"), None).unwrap().index, 1);
        assert_eq!(choose(&tools, &torque("50 N·m"), None).unwrap().index, 2);
        assert!(choose(&tools, &torque("250 N·m"), None).is_none());
        // The low end only if nothing else reaches.
        assert_eq!(choose(&tools[..2], &torque("39.9 N·m"), None), None);
    }
}
