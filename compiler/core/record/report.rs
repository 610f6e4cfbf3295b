//! A filled-in record and the card it is for in; a report out.

use super::calibration::calibrations;
use super::form::{Form, form};
use super::judge::{Judge, Known, is_date};
use super::read::{Fields, Filled, deferral, line, same_serial, text};
use super::readings::readings;
use super::stray::strays;
use super::times::{Moment, moment};
use super::write::figure;
use super::{Deferral, FindingKind, Report, Serial, Signed, Tightened, Verdict};
use crate::cards::setting;
use crate::check::Facts;
use crate::fingerprint::{Code, Misread};
use crate::model::{Choices, Set};

/// Judges a record. `earlier` are records of other cards, oldest first: those of the same machine lend their readings to calculations.
/// `current` is the fingerprint of the card as it is now, empty if it isn't known.
///
/// # Errors
/// If the record is of another set or of a procedure or choice that the set doesn't have: one sentence.
pub fn judge(set: &Set, facts: &Facts, filled: &Filled, earlier: &[Filled], current: &str) -> Result<Report, String> {
    let mut known = Known::new();
    let (id, serial) = (filled.text("set"), filled.text("serial"));
    for record in earlier
        .iter()
        .filter(|r| r.text("set") == id && same_serial(r.text("serial"), serial))
    {
        let form = form_of(set, record)?;
        readings(&mut Judge::new(set, facts, record), &form, &mut known);
    }
    let form = form_of(set, filled)?;
    Ok(Judge::new(set, facts, filled).report(&form, &mut known, current))
}

/// The form that a record was begun with.
fn form_of(set: &Set, filled: &Filled) -> Result<Form, String> {
    let id = filled.text("procedure");
    let procedure = set.procedures.find(id);
    let procedure = procedure.ok_or_else(|| format!("{} has no procedure `{id}`", set.title))?;
    let mut choices = Choices::defaults(&set.catalogue);
    for (option, value) in &filled.options {
        match choices.choose(&set.catalogue, option, &value.text) {
            Ok(true) => {}
            Ok(false) => return Err(format!("{} has no option `{option}`", set.title)),
            Err(fault) => {
                let values = fault.values.join(", ");
                return Err(format!("option `{option}` takes {values}, not `{}`", value.text));
            }
        }
    }
    Ok(form(set, procedure, &choices))
}

impl Judge<'_> {
    fn report(mut self, form: &Form, known: &mut Known, current: &str) -> Report {
        let procedure = &self.set.procedures[form.procedure];
        let head = |field: &str| self.filled.text(field).to_string();
        let fingerprint = head("fingerprint");
        let code = Code::parse(&fingerprint);
        let changed = match &code {
            _ if fingerprint.is_empty() || current.is_empty() => false,
            Ok(code) => Code::parse(current).as_ref() != Ok(code),
            Err(Misread::Older) => {
                let words = format!(
                    "`{fingerprint}` is the code of a card printed by an older form: whether it has changed since isn't known"
                );
                self.tell(FindingKind::CardChanged, self.head_line("fingerprint"), words);
                false
            }
            Err(misread) => {
                let words = format!("`{fingerprint}` is no code of a card: {misread}");
                self.tell(FindingKind::Unreadable, self.head_line("fingerprint"), words);
                false
            }
        };
        let rev = head("rev");
        if fingerprint.is_empty() && !rev.is_empty() && rev != procedure.rev {
            let words = format!(
                "the record is of revision {rev}, and the card is of revision {}",
                procedure.rev
            );
            self.tell(FindingKind::CardChanged, self.head_line("rev"), words);
        }
        let (serial, by, started, finished) = (head("serial"), head("by"), head("started"), head("finished"));
        if changed {
            let words =
                "the card has changed since this record was begun: it is judged by the figures that stand in it";
            self.tell(
                FindingKind::CardChanged,
                self.head_line("fingerprint"),
                words.to_string(),
            );
        }
        self.head(&[
            ("serial", "the serial number of the machine", &serial),
            ("by", "who did it", &by),
        ]);
        for (field, text) in [("started", &started), ("finished", &finished)] {
            match text.is_empty() {
                true => self.tell(
                    FindingKind::Missing,
                    self.head_line(field),
                    format!("when it was {field} is missing"),
                ),
                false if moment(text).is_none() && !is_date(text) => {
                    let words = format!("`{text}` is no time: write 2026-03-02T18:05");
                    self.tell(FindingKind::Unreadable, self.head_line(field), words);
                }
                false => {}
            }
        }
        if let (Some(Moment::Dated(from)), Some(Moment::Dated(to))) = (moment(&started), moment(&finished))
            && to < from
        {
            let words = "it was finished before it was started".to_string();
            self.tell(FindingKind::Unreadable, self.head_line("finished"), words);
        }
        let readings = readings(&mut self, form, known);
        let torques = self.torques(form);
        let timers = self.timers(form);
        let holds = self.holds(form);
        let parts = self.parts(form);
        let carried = self.carried();
        self.deferrals();
        self.tell_begun(code.is_ok() && Code::parse(current) == code);
        strays(&mut self, form);
        calibrations(&mut self, form);
        let mut findings = std::mem::take(&mut self.findings);
        findings.sort_by_key(|f| (f.line == 0, f.line, f.kind));
        Report {
            set: self.set.id.clone(),
            set_title: self.set.title.clone(),
            machine: self.set.machine.clone(),
            procedure: procedure.id.clone(),
            title: procedure.title.clone(),
            rev: self.filled.text("rev").to_string(),
            serial,
            by,
            started,
            finished,
            fingerprint,
            changed,
            choices: form.choices.clone(),
            readings,
            torques,
            timers,
            holds,
            parts,
            pass: !findings.iter().any(|f| f.kind.fails()),
            findings,
            deferred: self.deferred.clone(),
            carried,
            remarks: self.filled.text("remarks").to_string(),
        }
    }

    fn head_line(&self, field: &str) -> usize {
        self.filled.head.get(field).map_or(0, |e| e.line)
    }

    fn head(&mut self, fields: &[(&str, &str, &String)]) {
        for (field, words, text) in fields {
            if text.is_empty() {
                self.tell(
                    FindingKind::Missing,
                    self.head_line(field),
                    format!("{words} is missing"),
                );
            }
        }
    }

    fn torques(&mut self, form: &Form) -> Vec<Tightened> {
        let mut rows = Vec::new();
        for (n, torque) in form.torques.iter().enumerate() {
            let def = self.set.catalogue.torques.get(torque.torque);
            let before = form.torques.iter().take(n).filter(|t| *t == torque).count();
            let step = torque.step.to_string();
            let same = |f: &&Fields| text(f, "torque") == def.id.text && text(f, "step") == step;
            let fields = self
                .filled
                .torques
                .iter()
                .filter(same)
                .nth(before)
                .cloned()
                .unwrap_or_default();
            let (written, at) = (text(&fields, "tightened"), line(&fields));
            let name = format!("{} (step {step})", def.value.name);
            let begun = self.begun.counts.get(&def.id.text).map(|(count, _)| *count);
            let of = begun.unwrap_or(def.value.count());
            let verdict = match written.parse::<u32>() {
                Ok(count) if count == of => Verdict::Pass,
                Ok(count) => {
                    self.tell(
                        FindingKind::NotTightened,
                        at,
                        format!("{count} of {of} {name} are tightened"),
                    );
                    Verdict::Fail
                }
                Err(_) if self.is_deferred(&def.id.text, &step) => Verdict::Deferred,
                Err(_) if written.is_empty() => {
                    self.tell(
                        FindingKind::Missing,
                        at,
                        format!("how many {name} are tightened is missing"),
                    );
                    Verdict::Missing
                }
                Err(_) => {
                    self.tell(
                        FindingKind::Unreadable,
                        at,
                        format!("`{written}` is no number of {name}"),
                    );
                    Verdict::Missing
                }
            };
            let facts = self.facts.torques.torques.get(&torque.torque);
            let tools = facts.map_or(&[][..], |facts| &facts.stages);
            // With its settings, unless the record was begun with another figure.
            let begun = self
                .begun
                .figures
                .get(&def.id.text)
                .filter(|was| **was != figure(&def.value));
            rows.push(Tightened {
                id: def.id.text.clone(),
                name: def.value.name.clone(),
                step,
                of,
                tightened: written.to_string(),
                figure: begun
                    .cloned()
                    .unwrap_or_else(|| setting::in_words(self.set, &def.value, tools)),
                tool: text(&fields, "tool").to_string(),
                verdict,
            });
        }
        rows
    }

    fn holds(&mut self, form: &Form) -> Vec<Signed> {
        let mut rows = Vec::new();
        for (n, hold) in form.holds.iter().enumerate() {
            let def = self.set.catalogue.holds.get(hold.hold);
            let before = form.holds.iter().take(n).filter(|h| *h == hold).count();
            let step = hold.step.to_string();
            let same = |f: &&Fields| text(f, "hold") == def.id.text && text(f, "step") == step;
            let fields = self
                .filled
                .holds
                .iter()
                .filter(same)
                .nth(before)
                .cloned()
                .unwrap_or_default();
            let (by, second) = (text(&fields, "by"), text(&fields, "second"));
            let name = format!("`{}` (step {step})", def.id.text);
            let fault = match (by.is_empty(), def.value.second_person) {
                (true, _) => Some(format!("hold {name} is not signed")),
                (false, true) if second.is_empty() => Some(format!("hold {name} is not signed by a second person")),
                (false, true) if same_person(by, second) => {
                    Some(format!("hold {name} is signed twice by the same person"))
                }
                _ => None,
            };
            let at = fields.get("at").cloned().unwrap_or_default();
            let verdict = match fault {
                None if at.text.is_empty() => {
                    let words = format!("when hold {name} was signed is missing");
                    self.tell(FindingKind::Missing, at.line, words);
                    Verdict::Missing
                }
                None if moment(&at.text).is_none() && !is_date(&at.text) => {
                    let words = format!("`{}` is no time: write 18:05", at.text);
                    self.tell(FindingKind::Unreadable, at.line, words);
                    Verdict::Missing
                }
                None => Verdict::Pass,
                Some(words) => {
                    self.tell(FindingKind::NotSigned, line(&fields), words);
                    Verdict::Missing
                }
            };
            rows.push(Signed {
                id: def.id.text.clone(),
                what: def.value.what.clone(),
                step,
                by: by.to_string(),
                second: second.to_string(),
                at: text(&fields, "at").to_string(),
                verdict,
            });
        }
        rows
    }

    fn parts(&self, form: &Form) -> Vec<Serial> {
        let of = |(part, _): &(crate::model::Handle<_>, u32)| {
            let def = self.set.catalogue.parts.get(*part);
            let written = self.filled.parts.get(&def.id.text)?;
            let numbers: Vec<String> = written
                .iter()
                .map(|e| e.text.clone())
                .filter(|t| !t.is_empty())
                .collect();
            (!numbers.is_empty()).then(|| Serial {
                id: def.id.text.clone(),
                name: def.value.name.clone(),
                numbers,
            })
        };
        form.parts.iter().filter_map(of).collect()
    }

    /// What earlier jobs put off: done, put off again, or still open.
    fn carried(&mut self) -> Vec<Deferral> {
        let mut all = Vec::new();
        for fields in &self.filled.carried {
            let carried = deferral(fields, text(fields, "from"));
            if carried.what.is_empty() {
                continue;
            }
            let again = self.deferred.iter().any(|d| d.what == carried.what);
            if carried.done.is_empty() && !again {
                // Both are ISO dates, so they compare as texts.
                let begun = self.filled.text("started").get(..10).unwrap_or("");
                let due = match carried.due.as_str() {
                    "" => String::new(),
                    due if is_date(begun) && due < begun => format!("was due {due} and "),
                    due => format!("is due {due} and "),
                };
                let words = format!(
                    "{}, put off in {}, {due}is neither done nor put off again",
                    carried.what, carried.from
                );
                self.tell(FindingKind::StillOpen, line(fields), words);
            }
            all.push(carried);
        }
        all
    }

    fn deferrals(&mut self) {
        let set = self.set;
        let holds: Vec<&str> = set
            .catalogue
            .holds
            .iter()
            .map(|(_, def)| def.id.text.as_str())
            .collect();
        // Dates are ISO, so they compare as texts.
        let begun = self.filled.text("started").get(..10).unwrap_or("");
        for fields in &self.filled.deferred {
            let found = deferral(fields, "");
            if found.what.is_empty() && found.reason.is_empty() && found.due.is_empty() {
                continue;
            }
            let at = line(fields);
            if found.what.is_empty() {
                self.tell(FindingKind::DeferredBadly, at, "what is put off is missing".to_string());
            } else if found.reason.is_empty() {
                self.tell(
                    FindingKind::DeferredBadly,
                    at,
                    format!("{} is put off without a reason", found.what),
                );
            } else if holds.contains(&found.what.as_str()) {
                let words = format!("{} is a hold point and can't be put off", found.what);
                self.tell(FindingKind::DeferredBadly, at, words);
            } else if !is_date(&found.due) {
                let words = format!("{} is put off without a date: write 2026-06-30", found.what);
                self.tell(FindingKind::DeferredBadly, at, words);
            } else if is_date(begun) && found.due.as_str() < begun {
                let words = format!("{} is put off until {}, before this job began", found.what, found.due);
                self.tell(FindingKind::DeferredBadly, at, words);
            } else {
                let words = format!("{} is put off until {}: {}", found.what, found.due, found.reason);
                self.tell(FindingKind::Deferred, at, words);
            }
        }
    }
}

/// Names are the same however they are spaced and in whatever case.
fn same_person(one: &str, other: &str) -> bool {
    let folded = |name: &str| name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    folded(one) == folded(other)
}
