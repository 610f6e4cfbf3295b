//! The typesetter's loop, run by us: lay out, look whether what was asked about the finished pages still has the same answers, lay out again.
//!
//! It differs from `typst::compile` in one answer. What is measured asks where its paragraphs and tables stand in the finished document, so
//! that a counter in them would count right. That has another answer after the first run, so everything was measured once more in the
//! second; and most of a leaf is measured, for breaks are chosen by height. No counter stands in what we measure, so what asks is always told
//! that it isn't in the document, as in the first run, and is measured once.

use typst::World;
use typst::comemo::{Constraint, Track};
use typst::diag::{At, SourceDiagnostic, SourceResult, StrResult, Warned};
use typst::ecow::{EcoString, EcoVec};
use typst::engine::{Engine, Route, Sink, Traced};
use typst::foundations::{Content, Label, Output, Selector, StyleChain, Target, TargetElem};
use typst::introspection::{DocumentPosition, EmptyIntrospector, Introspector, Location, MAX_ITERS, analyze};
use typst::model::Numbering;
use typst::syntax::{Span, VirtualPath};
use typst::utils::Protected;
use typst_layout::PagedDocument;

/// Lays the main file of a world out.
pub fn lay_out(world: &dyn World) -> Warned<SourceResult<PagedDocument>> {
    let mut sink = Sink::new();
    let output = runs(world, &mut sink).map_err(each_once);
    Warned {
        output,
        warnings: sink.warnings(),
    }
}

/// Takes back the places where answers that tracked things gave are looked up. Each thing has one of its own, and they are numbered from the last time
/// that this was called; a place keeps the memory that it once had, so that the fewer numbers are in use the less all of them come to hold. What
/// was worked out stays. Once a document is enough: every call goes through all that is remembered.
fn begin_again() {
    typst::comemo::evict(usize::MAX);
}

fn runs(world: &dyn World, sink: &mut Sink) -> SourceResult<PagedDocument> {
    let library = world.library();
    let target = TargetElem::target.set(Target::Paged).wrap();
    let base = StyleChain::new(&library.styles);
    let styles = base.chain(&target);
    let traced = Traced::default();
    let main = world.source(world.main()).at(Span::detached())?;
    let route = Route::default();
    begin_again();
    let content = typst_eval::eval(
        world.track(),
        library,
        traced.track(),
        sink.track_mut(),
        route.track(),
        &main,
    )?
    .content();
    let empty = EmptyIntrospector;
    let mut earlier: Vec<PagedDocument> = Vec::new();
    loop {
        let world = world.track();
        let last = earlier.last().map_or(&empty as &dyn Introspector, Output::introspector);
        let answers = Answers(last);
        let asked = Constraint::new();
        let mut told = Sink::new();
        let mut engine = Engine {
            world,
            library,
            introspector: Protected::new((&answers as &dyn Introspector).track_with(&asked)),
            traced: traced.track(),
            sink: told.track_mut(),
            route: Route::default(),
        };
        let document = PagedDocument::create(&mut engine, &content, styles)?;
        let is_settled = asked.validate(&Answers(Output::introspector(&document)) as &dyn Introspector);
        if !is_settled && earlier.len() + 1 < MAX_ITERS {
            earlier.push(document);
            continue;
        }
        if !is_settled {
            let mut all = [&empty as &dyn Introspector; MAX_ITERS + 1];
            let documents = earlier.iter().chain([&document]);
            for (slot, document) in all.iter_mut().skip(1).zip(documents) {
                *slot = Output::introspector(document);
            }
            for warning in analyze(world, all, told.introspections()) {
                told.warn(warning);
            }
        }
        sink.extend_from_sink(told);
        let delayed = sink.delayed();
        return if delayed.is_empty() { Ok(document) } else { Err(delayed) };
    }
}

/// The same mistake is told once, however many runs met it.
fn each_once(errors: EcoVec<SourceDiagnostic>) -> EcoVec<SourceDiagnostic> {
    let mut once: EcoVec<SourceDiagnostic> = EcoVec::new();
    for error in errors {
        if !once
            .iter()
            .any(|other| other.span == error.span && other.message == error.message)
        {
            once.push(error);
        }
    }
    once
}

/// What a laid-out document answers, except to what is measured.
struct Answers<'a>(&'a dyn Introspector);

impl Introspector for Answers<'_> {
    fn locator(&self, _: u128, _: Location) -> Option<Location> {
        None
    }

    fn query(&self, selector: &Selector) -> EcoVec<Content> {
        self.0.query(selector)
    }

    fn query_first(&self, selector: &Selector) -> Option<Content> {
        self.0.query_first(selector)
    }

    fn query_unique(&self, selector: &Selector) -> StrResult<Content> {
        self.0.query_unique(selector)
    }

    fn query_label(&self, label: Label) -> StrResult<&Content> {
        self.0.query_label(label)
    }

    fn query_labelled(&self) -> EcoVec<Content> {
        self.0.query_labelled()
    }

    fn query_count_before(&self, selector: &Selector, end: Location) -> usize {
        self.0.query_count_before(selector, end)
    }

    fn label_count(&self, label: Label) -> usize {
        self.0.label_count(label)
    }

    fn pages(&self, location: Location) -> Option<std::num::NonZeroUsize> {
        self.0.pages(location)
    }

    fn page(&self, location: Location) -> Option<std::num::NonZeroUsize> {
        self.0.page(location)
    }

    fn position(&self, location: Location) -> Option<DocumentPosition> {
        self.0.position(location)
    }

    fn page_numbering(&self, location: Location) -> Option<&Numbering> {
        self.0.page_numbering(location)
    }

    fn page_supplement(&self, location: Location) -> Option<&Content> {
        self.0.page_supplement(location)
    }

    fn anchor(&self, location: Location) -> Option<&EcoString> {
        self.0.anchor(location)
    }

    fn document(&self, location: Location) -> Option<Location> {
        self.0.document(location)
    }

    fn path(&self, location: Location) -> Option<&VirtualPath> {
        self.0.path(location)
    }
}
