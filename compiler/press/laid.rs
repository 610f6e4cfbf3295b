//! `laid-out`, a function of our own for templates: what is measured and then printed is laid out once.
//!
//! `measure` throws away what it has laid out and keeps its size. Most of a leaf is measured, for breaks are chosen by height, and so all of
//! it was laid out twice. Here the size comes with a block that, wherever it is put, is what was measured: it asks the typesetter for the very
//! same thing again, which remembers it. For that what belongs to the place doesn't count: the room there, the styles, and where on the leaf it is.
//!
//! It is for blocks of a fixed width that are never cut, each printed once at most.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use typst::comemo::Tracked;
use typst::diag::{At, SourceResult, bail};
use typst::engine::Engine;
use typst::foundations::{
    Args, Array, CastInfo, Content, Context, Dict, Func, IntoValue, NativeElement, NativeFuncData, NativeFuncPtr,
    Packed, Resolve, Scope, Smart, Str, StyleChain, Value,
};
use typst::introspection::{Location, Locator, MetadataElem};
use typst::layout::{Abs, Axes, BlockElem, Frame, Length, Region, Size};
use typst::syntax::Span;
use typst::utils::hash128;

/// The function as templates have it: `laid-out(key, width, ..bodies)` gives a dictionary for each body, with its `width`, its `height` and the
/// `body` to print. A `width` of `auto` is as wide as the body comes. With `alone: true` the key is the only one of its kind in a document, and what is laid out is known again
/// wherever it is asked for, after a change in what stands around it too. Two calls from one place (one `context`) have other keys. Needs context.
pub fn function() -> Func {
    Func::from(&DATA)
}

static DATA: NativeFuncData = NativeFuncData {
    function: NativeFuncPtr(&laid_out),
    name: "laid-out",
    title: "Laid out",
    docs: "Content as it is laid out at a width, to print, and how high it is.",
    def_site: None,
    keywords: &[],
    contextual: true,
    scope: LazyLock::new(&Scope::new),
    params: LazyLock::new(&Vec::new),
    returns: LazyLock::new(&|| CastInfo::Any),
};

fn laid_out(engine: &mut Engine, context: Tracked<Context>, args: &mut Args) -> SourceResult<Value> {
    let span = args.span;
    let key: Str = args.expect("key")?;
    let width: Smart<Length> = args.expect("width")?;
    let alone: bool = args.named("alone")?.unwrap_or(false);
    let bodies: Vec<Content> = args.all()?;
    args.take().finish()?;
    let styles = context.styles().at(span)?;
    let here = if alone { 0 } else { context.location().at(span)?.hash() };
    let width = width.map(|width| Length::from(width.resolve(styles)));
    let styles = styles.to_map();
    let mut seen: BTreeMap<u128, usize> = BTreeMap::new();
    let mut all = Array::new();
    for body in bodies {
        // By what it says, so that one more before it changes nothing; and which one of those that say the same.
        let says = hash128(&body);
        let count = seen.entry(says).or_default();
        *count += 1;
        let location = Location::new(hash128(&(here, key.as_str(), says, *count)));
        let kept: Array = [Value::Content(body), width.into_value(), Value::Styles(styles.clone())]
            .into_iter()
            .collect();
        let mut kept = Packed::new(MetadataElem::new(Value::Array(kept)));
        kept.set_location(location);
        let Size { x, y } = frame(&kept, engine)?.size();
        let block = BlockElem::single_layouter(kept, |kept, engine, _, _, _| frame(kept, engine)).pack();
        let mut one = Dict::new();
        one.insert("width".into(), x.into_value());
        one.insert("height".into(), y.into_value());
        one.insert("body".into(), Value::Content(block));
        all.push(Value::Dict(one));
    }
    Ok(Value::Array(all))
}

/// What was kept, laid out, or remembered.
fn frame(kept: &Packed<MetadataElem>, engine: &mut Engine) -> SourceResult<Frame> {
    let (Value::Array(parts), Some(location)) = (&kept.value, kept.location()) else {
        bail!(Span::detached(), "laid out without a place of its own");
    };
    let [Value::Content(body), width, Value::Styles(styles)] = parts.as_slice() else {
        bail!(Span::detached(), "laid out is not what was kept");
    };
    let region = match width {
        Value::Length(width) => Region::new(Size::new(width.abs, Abs::inf()), Axes::new(true, false)),
        _ => Region::new(Size::splat(Abs::inf()), Axes::splat(false)),
    };
    let styles = StyleChain::new(styles);
    typst_layout::layout_frame(engine, body, Locator::synthesize(location), styles, region)
}
