//! Facts as a script reads them: asked for one by one, and made only then.
//!
//! A script is handed a [`Shown`]: a small handle on facts that all scripts share. Reading a name
//! makes that one value, so a call costs what it reads, however much is known. To a script a
//! handle is a map in all that it can do with one. What changes a map first puts a map of its own
//! in the handle's place; the shared facts never change.

use std::any::Any;
use std::borrow::Borrow;
use std::marker::PhantomData;
use std::sync::Arc;

use rhai::{Array, Dynamic, Engine, EvalAltResult, ImmutableString, Map, NativeCallContext};

use crate::plain::nearest;

type Answer<T> = Result<T, Box<EvalAltResult>>;

/// Facts as a caller has them: for one script, or shared already for several.
pub trait Share<T>: Borrow<T> {
    /// The facts, to be handed to scripts.
    fn share(&self) -> Arc<T>;
}

impl<T: Clone> Share<T> for T {
    fn share(&self) -> Arc<T> {
        Arc::new(self.clone())
    }
}

impl<T> Share<T> for Arc<T> {
    fn share(&self) -> Arc<T> {
        Self::clone(self)
    }
}

/// Something with names in it.
pub(crate) trait Facts: PartialEq + Send + Sync + Sized + 'static {
    /// The names in it.
    fn names(&self) -> Vec<&str>;
    /// The value of one of them.
    fn read(whole: &Whole<Self>, name: &str) -> Option<Dynamic>;
}

/// Where facts are found: by themselves, or within others that are kept whole.
pub(crate) trait Reach<T>: Send + Sync {
    /// The facts; they are there as long as they are held.
    fn facts(&self) -> Option<&T>;
}

/// Shared facts, or a part of some.
pub(crate) type Whole<T> = Arc<dyn Reach<T>>;

impl<T: Facts> Reach<T> for T {
    fn facts(&self) -> Option<&T> {
        Some(self)
    }
}

/// Facts within others, and the way to them.
struct Part<P, T, G> {
    whole: Whole<P>,
    go: G,
    found: PhantomData<fn() -> T>,
}

impl<P, T, G> Reach<T> for Part<P, T, G>
where
    G: Fn(&P) -> Option<&T> + Send + Sync,
{
    fn facts(&self) -> Option<&T> {
        self.whole.facts().and_then(&self.go)
    }
}

/// Facts of any kind, by their names alone.
trait Named: Send + Sync {
    fn names(&self) -> Vec<&str>;
    fn read(self: Arc<Self>, name: &str) -> Option<Dynamic>;
    fn as_any(&self) -> Option<&dyn Any>;
    fn is(&self, other: &dyn Any) -> bool;
}

impl<T: Facts> Named for T {
    fn names(&self) -> Vec<&str> {
        Facts::names(self)
    }
    fn read(self: Arc<Self>, name: &str) -> Option<Dynamic> {
        let whole: Whole<T> = self;
        T::read(&whole, name)
    }
    fn as_any(&self) -> Option<&dyn Any> {
        Some(self)
    }
    fn is(&self, other: &dyn Any) -> bool {
        other.downcast_ref::<T>().is_some_and(|other| other == self)
    }
}

impl<P, T, G> Named for Part<P, T, G>
where
    P: 'static,
    T: Facts,
    G: Fn(&P) -> Option<&T> + Send + Sync + 'static,
{
    fn names(&self) -> Vec<&str> {
        self.facts().map(Facts::names).unwrap_or_default()
    }
    fn read(self: Arc<Self>, name: &str) -> Option<Dynamic> {
        let whole: Whole<T> = self;
        T::read(&whole, name)
    }
    fn as_any(&self) -> Option<&dyn Any> {
        self.facts().map(|facts| -> &dyn Any { facts })
    }
    fn is(&self, other: &dyn Any) -> bool {
        self.facts().is_some_and(|facts| Named::is(facts, other))
    }
}

/// A handle on shared facts, as a script holds it.
#[derive(Clone)]
pub(crate) struct Shown(Arc<dyn Named>);

impl Shown {
    /// Shows facts that nothing is around.
    pub(crate) fn whole<T: Facts>(facts: Arc<T>) -> Dynamic {
        Dynamic::from(Self(facts))
    }

    /// Shows facts within others.
    pub(crate) fn part<P: 'static, T: Facts>(
        whole: &Whole<P>,
        go: impl Fn(&P) -> Option<&T> + Send + Sync + 'static,
    ) -> Dynamic {
        let whole = Arc::clone(whole);
        Dynamic::from(Self(Arc::new(Part { whole, go, found: PhantomData })))
    }

    /// The value of a name; an error says which name may be meant.
    fn read(&self, name: &str) -> Answer<Dynamic> {
        Arc::clone(&self.0).read(name).ok_or_else(|| {
            let near = nearest(name, self.0.names().into_iter());
            let near = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
            let short: String = name.chars().take(40).collect();
            EvalAltResult::ErrorPropertyNotFound(format!("{short}{near}"), rhai::Position::NONE)
                .into()
        })
    }

    /// The value of a name, if there is one.
    pub(crate) fn value(&self, name: &str) -> Option<Dynamic> {
        Arc::clone(&self.0).read(name)
    }

    /// All names in it.
    pub(crate) fn all_names(&self) -> Vec<&str> {
        self.0.names()
    }

    fn has(&self, name: &str) -> bool {
        self.0.names().contains(&name)
    }

    /// All of it, made at once.
    fn to_map(&self) -> Map {
        let value = |name: &str| Arc::clone(&self.0).read(name).unwrap_or(Dynamic::UNIT);
        self.0.names().into_iter().map(|name| (name.into(), value(name))).collect()
    }

    fn is(&self, other: &Self) -> bool {
        other.0.as_any().is_some_and(|other| self.0.is(other))
    }
}

/// A value as it stands in a map: a handle makes a map of itself.
fn as_map(value: &Dynamic) -> Dynamic {
    match value.read_lock::<Shown>() {
        Some(shown) => shown.to_map().into(),
        None => value.clone(),
    }
}

/// Whether a value is the one that was read, so that nothing was changed. Only what is plainly the
/// same counts.
fn unchanged(read: &Dynamic, now: &Dynamic) -> bool {
    if let (Ok(read), Ok(now)) = (read.as_array_ref(), now.as_array_ref()) {
        return read.len() == now.len()
            && read.iter().zip(now.iter()).all(|(read, now)| unchanged(read, now));
    }
    if let (Some(read), Some(now)) = (read.read_lock::<Shown>(), now.read_lock::<Shown>()) {
        return read.is(&now);
    }
    if let (Ok(read), Ok(now)) = (read.as_immutable_string_ref(), now.as_immutable_string_ref()) {
        return *read == *now;
    }
    (read.is_unit() && now.is_unit())
        || matches!((read.as_int(), now.as_int()), (Ok(read), Ok(now)) if read == now)
        || matches!((read.as_bool(), now.as_bool()), (Ok(read), Ok(now)) if read == now)
        || matches!((read.as_decimal(), now.as_decimal()), (Ok(read), Ok(now)) if read == now)
}

/// Makes handles known to an engine. `names` are all that any facts have.
pub(crate) fn register(engine: &mut Engine, names: impl Iterator<Item = &'static str>) {
    engine.register_type_with_name::<Shown>("map");
    for name in names {
        engine.register_get(name, move |shown: &mut Shown| shown.read(name));
        // A list is fed back after each look at it, so its way is short.
        for value in [std::any::TypeId::of::<Array>(), std::any::TypeId::of::<Dynamic>()] {
            let kinds = [std::any::TypeId::of::<Shown>(), value];
            register_raw(engine, &format!("set${name}"), &kinds, move |_, args| {
                write(name, args);
                Ok(Dynamic::UNIT)
            });
        }
    }
    // Names that are no fact of ours, such as a setting's, and names that are worked out.
    engine
        .register_indexer_get(|shown: &mut Shown, name: ImmutableString| shown.read(&name))
        .register_fn("contains", |shown: &mut Shown, name: &str| shown.has(name))
        // A name that does not exist is an error here as well, while a map gives `()`.
        .register_fn("get", |shown: &mut Shown, name: &str| shown.read(name))
        .register_fn("==", |shown: &mut Shown, other: Shown| shown.is(&other))
        .register_fn("!=", |shown: &mut Shown, other: Shown| !shown.is(&other))
        .register_fn("==", |_: &mut Shown, (): ()| false)
        .register_fn("!=", |_: &mut Shown, (): ()| true)
        .register_fn("==", |(): (), _: Shown| false)
        .register_fn("!=", |(): (), _: Shown| true);
    as_maps(engine);
}

/// `facts.name = value`, and the value that comes back after something was done to it.
fn write(name: &str, args: &mut [&mut Dynamic]) {
    if let [target, value] = args {
        let map = {
            let Some(shown) = target.read_lock::<Shown>() else { return };
            if Arc::clone(&shown.0).read(name).is_some_and(|read| unchanged(&read, value)) {
                return;
            }
            let mut map = shown.to_map();
            map.insert(name.into(), value.clone());
            map
        };
        **target = map.into();
    }
}

/// What a map can do that a handle has no shorter way for: it is done by a map of it.
fn as_maps(engine: &mut Engine) {
    use std::any::TypeId;
    let (shown, map, text, function) = (
        TypeId::of::<Shown>(),
        TypeId::of::<Map>(),
        TypeId::of::<ImmutableString>(),
        TypeId::of::<rhai::FnPtr>(),
    );
    let read: &[(&'static str, &[TypeId])] = &[
        ("len", &[]),
        ("is_empty", &[]),
        ("keys", &[]),
        ("values", &[]),
        ("to_json", &[]),
        ("to_string", &[]),
        ("to_debug", &[]),
        ("map", &[function]),
        ("filter", &[function]),
        ("+", &[map]),
        ("+", &[shown]),
        ("==", &[map]),
        ("!=", &[map]),
    ];
    for &(name, others) in read {
        let kinds: Vec<TypeId> = [&[shown], others].concat();
        register_raw(engine, name, &kinds, move |context, args| {
            let mut values: Vec<Dynamic> = args.iter().map(|value| as_map(value)).collect();
            let mut values: Vec<&mut Dynamic> = values.iter_mut().collect();
            context.call_native_fn_raw(name, true, &mut values)
        });
    }
    // What changes it: from then on it is a map, its own and no longer shared.
    let change: &[(&'static str, &[TypeId])] = &[
        ("clear", &[]),
        ("set", &[text, TypeId::of::<Dynamic>()]),
        ("remove", &[text]),
        ("mixin", &[map]),
        ("mixin", &[shown]),
        ("+=", &[map]),
        ("+=", &[shown]),
        ("fill_with", &[map]),
        ("fill_with", &[shown]),
        ("drain", &[function]),
        ("retain", &[function]),
        ("index$set$", &[text, TypeId::of::<Dynamic>()]),
    ];
    for &(name, others) in change {
        let kinds: Vec<TypeId> = [&[shown], others].concat();
        register_raw(engine, name, &kinds, move |context, args| {
            for value in args.iter_mut() {
                **value = as_map(value);
            }
            let name = if name == "index$set$" { "set" } else { name };
            context.call_native_fn_raw(name, true, args)
        });
    }
    // A map that is done something with a handle.
    for name in ["+", "==", "!=", "mixin", "+=", "fill_with"] {
        register_raw(engine, name, &[map, shown], move |context, args| {
            if let [_, other] = args {
                **other = as_map(other);
            }
            context.call_native_fn_raw(name, true, args)
        });
    }
}

fn register_raw(
    engine: &mut Engine,
    name: &str,
    kinds: &[std::any::TypeId],
    work: impl Fn(NativeCallContext, &mut [&mut Dynamic]) -> Answer<Dynamic> + Send + Sync + 'static,
) {
    engine.register_raw_fn(name, kinds, work);
}
