//! A filled-in record and the card it is for in; a report out.

use super::calibration::calibrations;
use super::form::{Form, form_of};
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
use crate::model::Set;
use crate::words::{Phrase, say};

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
                let words = say::code_of_an_older_form(&fingerprint);
                self.tell(FindingKind::CardChanged, self.head_line("fingerprint"), words);
                false
            }
            Err(misread) => {
                let words = match misread {
                    Misread::Length(count) => say::no_code_length(&fingerprint, *count),
                    Misread::Character(c) => say::no_code_character(&fingerprint, c.to_string()),
                    Misread::Check | Misread::Older => say::no_code_check(&fingerprint),
                };
                self.tell(FindingKind::Unreadable, self.head_line("fingerprint"), words);
                false
            }
        };
        let rev = head("rev");
        if fingerprint.is_empty() && !rev.is_empty() && rev != procedure.rev {
            let words = say::record_of_another_revision(&rev, &procedure.rev);
            self.tell(FindingKind::CardChanged, self.head_line("rev"), words);
        }
        let (serial, by, started, finished) = (head("serial"), head("by"), head("started"), head("finished"));
        if changed {
            let words = say::card_changed_since();
            self.tell(FindingKind::CardChanged, self.head_line("fingerprint"), words);
        }
        self.head(&[
            ("serial", say::serial_is_missing(), &serial),
            ("by", say::who_is_missing(), &by),
        ]);
        for (field, missing, text) in [
            ("started", say::started_is_missing(), &started),
            ("finished", say::finished_is_missing(), &finished),
        ] {
            match text.is_empty() {
                true => self.tell(FindingKind::Missing, self.head_line(field), missing),
                false if moment(text).is_none() && !is_date(text) => {
                    let words = say::no_time(text);
                    self.tell(FindingKind::Unreadable, self.head_line(field), words);
                }
                false => {}
            }
        }
        if let (Some(Moment::Dated(from)), Some(Moment::Dated(to))) = (moment(&started), moment(&finished))
            && to < from
        {
            let words = say::finished_before_started();
            self.tell(FindingKind::Unreadable, self.head_line("finished"), words);
        }
        let readings = readings(&mut self, form, known);
        let torques = self.torques(form);
        let timers = self.timers(form);
        let holds = self.holds(form);
        self.cures(form);
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

    fn head(&mut self, fields: &[(&str, Phrase, &String)]) {
        for (field, missing, text) in fields {
            if text.is_empty() {
                self.tell(FindingKind::Missing, self.head_line(field), missing.clone());
            }
        }
    }

    fn torques(&mut self, form: &Form) -> Vec<Tightened> {
        let mut rows = Vec::new();
        for (n, torque) in form.torques.iter().enumerate() {
            let def = self.set.catalogue.torques.get(torque.torque);
            let before = form.torques.iter().take(n).filter(|t| *t == torque).count();
            let step = torque.step.to_string();
            let of = |f: &Fields| text(f, "torque") == def.id.text && text(f, "step") == step;
            let same = |f: &&Fields| of(f) && text(f, "member") == torque.member;
            let fields = self
                .filled
                .torques
                .iter()
                .filter(same)
                .nth(before)
                .cloned()
                .unwrap_or_default();
            let (written, at) = (text(&fields, "tightened"), line(&fields));
            let named = match torque.member.as_str() {
                "" => def.value.name.clone(),
                member => format!("{}, {member}", def.value.name),
            };
            let name = say::at_step(&named, &step);
            let begun = self.begun.counts.get(&def.id.text).map(|(count, _)| *count);
            let of = begun.unwrap_or(def.value.count());
            let verdict = match written.parse::<u32>() {
                Ok(count) if count == of => Verdict::Pass,
                Ok(count) => {
                    self.tell(
                        FindingKind::NotTightened,
                        at,
                        say::so_many_tightened(count as usize, of as usize, name),
                    );
                    Verdict::Fail
                }
                Err(_) if self.is_deferred(&def.id.text, &step) => Verdict::Deferred,
                Err(_) if written.is_empty() => {
                    self.tell(FindingKind::Missing, at, say::tightened_is_missing(name));
                    Verdict::Missing
                }
                Err(_) => {
                    self.tell(FindingKind::Unreadable, at, say::no_number_of(written, name));
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
                name: named,
                step,
                of,
                tightened: written.to_string(),
                figure: begun
                    .map(Phrase::from)
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
            let name = say::at_step(format!("`{}`", def.id.text), &step);
            let fault = match (by.is_empty(), def.value.second_person) {
                (true, _) => Some(say::hold_not_signed(&name)),
                (false, true) if second.is_empty() => Some(say::hold_not_signed_twice(&name)),
                (false, true) if same_person(by, second) => Some(say::hold_signed_by_one(&name)),
                _ => None,
            };
            let at = fields.get("at").cloned().unwrap_or_default();
            let verdict = match fault {
                None if at.text.is_empty() => {
                    let words = say::hold_time_is_missing(name);
                    self.tell(FindingKind::Missing, at.line, words);
                    Verdict::Missing
                }
                None if moment(&at.text).is_none() && !is_date(&at.text) => {
                    let words = say::no_time_of_day(&at.text);
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

    /// Says of each wait for what cures that the record can't tell whether anybody waited.
    fn cures(&mut self, form: &Form) {
        for (consumable, step) in &form.cures {
            let consumable = &self.set.catalogue.consumables[*consumable];
            let Some(cure) = &consumable.cure else { continue };
            let name = say::at_step(&consumable.name, step.to_string());
            self.tell(
                FindingKind::NotTimed,
                0,
                say::cure_not_timed(name, cure.value.to_string()),
            );
        }
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
                let (what, from) = (&carried.what, &carried.from);
                let words = match carried.due.as_str() {
                    "" => say::still_open(what, from),
                    due if is_date(begun) && due < begun => say::still_open_was_due(what, from, due),
                    due => say::still_open_is_due(what, from, due),
                };
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
                self.tell(FindingKind::DeferredBadly, at, say::what_is_put_off_is_missing());
            } else if found.reason.is_empty() {
                self.tell(FindingKind::DeferredBadly, at, say::put_off_without_reason(&found.what));
            } else if holds.contains(&found.what.as_str()) {
                let words = say::hold_put_off(&found.what);
                self.tell(FindingKind::DeferredBadly, at, words);
            } else if !is_date(&found.due) {
                let words = say::put_off_without_date(&found.what);
                self.tell(FindingKind::DeferredBadly, at, words);
            } else if is_date(begun) && found.due.as_str() < begun {
                let words = say::put_off_before_it_began(&found.what, &found.due);
                self.tell(FindingKind::DeferredBadly, at, words);
            } else {
                let words = say::put_off_until(&found.what, &found.due, &found.reason);
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
