//! Runs of timers against their rules: windows closed in time, waits waited out.

use super::begun::{Rule, rule_of};
use super::form::{Form, TimerBox};
use super::judge::{Judge, is_date};
use super::read::{Fields, line, text};
use super::times::{Moment, between, moment, needs_dates};
use super::{FindingKind, Timed, Verdict};
use crate::domain::timer::Duration;
use crate::model::StepNumber;
use crate::model::registers::Span;
use crate::words::{Phrase, say};

impl Judge<'_> {
    pub(super) fn timers(&mut self, form: &Form) -> Vec<Timed> {
        let mut rows = Vec::new();
        for (n, run) in form.timers.iter().enumerate() {
            let def = self.set.catalogue.timers.get(run.timer);
            let before = form.timers.iter().take(n).filter(|t| t.timer == run.timer).count();
            let same = |f: &&Fields| text(f, "timer") == def.id.text;
            let fields = self
                .filled
                .timers
                .iter()
                .filter(same)
                .nth(before)
                .cloned()
                .unwrap_or_default();
            let (verdict, took) = self.timed(run, &fields);
            rows.push(Timed {
                id: def.id.text.clone(),
                what: def.value.what.clone(),
                rule: match self.begun.rules.get(&def.id.text) {
                    Some((begun, _)) => begun.said(),
                    None => rule_of(&def.value),
                },
                start: text(&fields, "start").to_string(),
                end: text(&fields, "end").to_string(),
                took: took.map_or_else(String::new, |t| t.to_string()),
                verdict,
            });
        }
        rows
    }

    /// True if the record's own dates have a midnight between them.
    fn spans_midnight(&self) -> bool {
        let day = |field| self.filled.text(field).get(..10).filter(|d| is_date(d));
        // ISO dates compare as texts.
        day("started")
            .zip(day("finished"))
            .is_some_and(|(started, finished)| started < finished)
    }

    /// A run of a timer against its rule. One that another card ends is judged there: here its start is enough.
    fn timed(&mut self, run: &TimerBox, fields: &Fields) -> (Verdict, Option<Duration>) {
        let def = self.set.catalogue.timers.get(run.timer);
        let (what, id) = (&def.value.what, &def.id.text);
        let step = run.end.or(run.start).map_or_else(String::new, |step| step.to_string());
        let name = say::at_step(what, &step);
        let read = |judge: &mut Self, field: &str, missing: fn(Phrase) -> Phrase, own: Option<StepNumber>| {
            let own = match own {
                Some(step) => say::at_step(what, step.to_string()),
                None => say::on_another_card(what),
            };
            let entry = fields.get(field).cloned().unwrap_or_default();
            let found = moment(&entry.text);
            if entry.text.is_empty() && !judge.is_deferred(id, &step) {
                judge.tell(FindingKind::Missing, entry.line, missing(own));
            } else if found.is_none() && !entry.text.is_empty() {
                judge.tell(FindingKind::Unreadable, entry.line, say::no_time_of_day(&entry.text));
            }
            found
        };
        let start = read(self, "start", say::start_is_missing, run.start);
        // Where both are written they are judged, whichever card ends it.
        if run.end.is_none() && text(fields, "end").is_empty() {
            let verdict = if start.is_some() {
                Verdict::Empty
            } else {
                Verdict::Missing
            };
            return (verdict, None);
        }
        let (Some(start), Some(end)) = (start, read(self, "end", say::end_is_missing, run.end)) else {
            let deferred = self.is_deferred(id, &step);
            return (if deferred { Verdict::Deferred } else { Verdict::Missing }, None);
        };
        let dated = matches!((start, end), (Moment::Dated(_), Moment::Dated(_)));
        // As the record was begun with it; as the card has it where the record doesn't say.
        let own = def.value.span.as_ref().map(|span| match span {
            Span::Within(time) => Rule::Within(time.value.clone()),
            Span::AtLeast(time) => Rule::AtLeast(time.value.clone()),
        });
        let asked = self.begun.rules.get(id).map(|(rule, _)| rule.clone()).or(own);
        let long = matches!(&asked, Some(Rule::AtLeast(wait)) if needs_dates(wait));
        let midnight = self.spans_midnight();
        if let (Moment::OfDay(from), Moment::OfDay(to)) = (start, end)
            && to < from
            && !midnight
        {
            let words = say::ends_before_it_starts(name);
            self.tell(FindingKind::Unreadable, line(fields), words);
            return (Verdict::Missing, None);
        }
        let Some(took) = between(start, end, midnight).filter(|_| dated || !long) else {
            let words = say::start_and_end_not_comparable(name);
            self.tell(FindingKind::Unreadable, line(fields), words);
            return (Verdict::Missing, None);
        };
        let verdict = match &asked {
            Some(Rule::Within(limit)) if took > *limit => {
                let words = say::took_too_long(name, took.to_string(), limit.to_string());
                self.tell(FindingKind::Overrun, line(fields), words);
                Verdict::Fail
            }
            Some(Rule::AtLeast(limit)) if took < *limit => {
                let words = say::waited_too_short(name, took.to_string(), limit.to_string());
                self.tell(FindingKind::TooShort, line(fields), words);
                Verdict::Fail
            }
            _ => Verdict::Pass,
        };
        (verdict, Some(took))
    }
}
