//! The ways by which a shop cleans: named sequences of steps, and what each step is.
//!
//! One table of steps and ways, as there is one of verbs and one of settings. What an owner
//! decides, `way-step` and `way`, stands beside it and goes before it.

mod table;
#[cfg(test)]
mod tests;

use std::{borrow::Cow, sync::LazyLock};

use burrline_terms::{
    canon::{Canon, Canonical},
    field::Typed as _,
    name::{Name, Phrase},
    parts::PlanStep,
    units::Span,
    words::{PlaceKind, Size},
};
use rust_decimal::prelude::ToPrimitive as _;

use crate::verb::{Way, WayStep};
use table::Takes;

/// One step of the work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepRow {
    /// Its name in plans.
    pub word: Cow<'static, str>,
    /// The kind of place that a head lies in for it; none if it is done by hand.
    pub kind: Option<PlaceKind>,
    /// What a head is doing in it.
    pub doing: Cow<'static, str>,
    /// What is to be done when its time is over, such as "look at it".
    pub act: Cow<'static, str>,
    /// How many minutes after a look the next one is due.
    pub again: i64,
    /// The steps after which it must not come.
    pub never_after: Vec<Cow<'static, str>>,
    /// What tells that it is done, and what can go wrong.
    pub care: Cow<'static, str>,
    takes: Takes,
}

impl StepRow {
    /// Whether bone comes clean of tissue in it.
    pub fn cleans(&self) -> bool {
        self.kind.is_some_and(PlaceKind::cleans) && self.word != "soak"
    }

    /// How many minutes it usually takes for such a head.
    pub fn minutes(&self, head: Head) -> i64 {
        let of = |by: [u32; 4], at: usize| by.get(at).copied().unwrap_or_default();
        i64::from(match self.takes {
            Takes::All(minutes) => minutes,
            Takes::Size(by) => of(by, size_at(head.size)),
            Takes::Grease(by) => of(by, usize::try_from(head.grease).unwrap_or(3).min(3)),
        })
    }
}

const fn size_at(size: Size) -> usize {
    match size {
        Size::Small => 0,
        Size::Middle => 1,
        Size::Large => 2,
        Size::Huge => 3,
    }
}

/// What the times of steps go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Head {
    /// How large it is.
    pub size: Size,
    /// How greasy its animal is: 0 not, 1 hardly, 2 greasy, 3 very.
    pub grease: u32,
    /// Whether it bears antlers.
    pub antlered: bool,
}

/// One way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WayRow {
    /// Its name.
    pub name: Cow<'static, str>,
    spellings: Vec<Cow<'static, str>>,
    steps: Vec<Planned>,
}

impl WayRow {
    /// The names of its steps, in order.
    pub fn steps(&self) -> impl Iterator<Item = &str> {
        self.steps.iter().map(|step| step.word.as_ref())
    }

    fn is_called(&self, key: &str) -> bool {
        folded(&self.name) == key || self.spellings.iter().any(|other| folded(other) == key)
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Planned {
    word: Cow<'static, str>,
    /// Only for a head that needs it.
    if_needed: bool,
    /// As the owner wrote it.
    said: Option<Span>,
}

/// The steps and ways of a shop: the built-in ones and its own.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WayList {
    own_steps: Vec<WayStep>,
    own_ways: Vec<Way>,
}

impl WayList {
    /// The built-in lists with a shop's own steps and ways, as they were decided.
    pub fn with_own(steps: Vec<WayStep>, ways: Vec<Way>) -> Self {
        Self { own_steps: steps, own_ways: ways }
    }

    /// The shop's own steps and ways.
    pub fn own(&self) -> (&[WayStep], &[Way]) {
        (&self.own_steps, &self.own_ways)
    }

    /// Every step, the shop's own first.
    pub fn steps(&self) -> impl Iterator<Item = StepRow> + '_ {
        let own = self.own_steps.iter().map(own_step);
        let fresh =
            |row: &&StepRow| !self.own_steps.iter().any(|own| own.name.as_str() == row.word);
        own.chain(STEPS.iter().filter(fresh).cloned())
    }

    /// The step that a word of a plan means: of that name, else one whose name it holds, as `second
    /// simmer` does.
    pub fn step(&self, word: &str) -> Option<StepRow> {
        let called = |wanted: &str| {
            let own = self.own_steps.iter().find(|own| same(own.name.as_str(), wanted));
            let built_in = || STEPS.iter().find(|row| same(&row.word, wanted)).cloned();
            own.map(own_step).or_else(built_in)
        };
        called(word).or_else(|| word.split([' ', '-']).find_map(called))
    }

    /// The step that a place of a kind is for, where no plan says it.
    pub fn usual(&self, kind: PlaceKind) -> Option<StepRow> {
        // A freezer is where heads wait.
        (kind != PlaceKind::Freezer).then_some(())?;
        let of_kind = |row: &&StepRow| row.kind == Some(kind);
        // Of the two steps of a soak the harmless one.
        let soak = STEPS.iter().find(|row| kind == PlaceKind::Soak && row.word == "soak");
        soak.or_else(|| STEPS.iter().find(of_kind)).cloned()
    }

    /// Every way, the shop's own first.
    pub fn ways(&self) -> impl Iterator<Item = WayRow> + '_ {
        let own = self.own_ways.iter().map(|way| WayRow {
            name: way.name.to_string().into(),
            spellings: Vec::new(),
            steps: way
                .steps
                .iter()
                .map(|step| Planned {
                    word: step.step.to_string().into(),
                    if_needed: false,
                    said: Some(step.expected),
                })
                .collect(),
        });
        let fresh = |row: &&WayRow| {
            !self.own_ways.iter().any(|own| folded(own.name.as_str()) == folded(&row.name))
        };
        own.chain(WAYS.iter().filter(fresh).cloned())
    }

    /// The way of a name.
    pub fn way(&self, name: &str) -> Option<WayRow> {
        let key = folded(name);
        self.ways().find(|way| way.is_called(&key))
    }

    /// Whether a way says the plan itself. That of a simmer is what the shop's rules plan, unless the
    /// shop wrote the way anew.
    pub fn has_a_plan_of_its_own(&self, way: &WayRow) -> bool {
        way.name != "simmer" || self.own_ways.iter().any(|own| same(own.name.as_str(), &way.name))
    }

    /// The plan of a head by a way: its steps, with the times of its animal where those are known.
    pub fn plan(&self, way: &WayRow, head: Head, animal: &[PlanStep]) -> Vec<PlanStep> {
        let needed = |step: &&Planned| {
            !step.if_needed
                || match step.word.as_ref() {
                    "wrap" => head.antlered,
                    "degrease" => head.grease >= 2,
                    _ => true,
                }
        };
        let of_animal = |word: &str| animal.iter().find(|step| step.step.as_str() == word);
        let planned = way.steps.iter().filter(needed).filter_map(|step| {
            let usual = || {
                let minutes = self.step(&step.word).map_or(0, |row| row.minutes(head));
                Span::read(&format!("{minutes}min")).ok()
            };
            let own = of_animal(&step.word).map(|own| own.expected);
            let expected = own.or(step.said).or_else(usual)?;
            Some(PlanStep { step: Name::clipped(&step.word), expected })
        });
        planned.collect()
    }

    /// The first of these steps that nobody knows, if there is one.
    pub fn unknown<'a>(&self, plan: impl IntoIterator<Item = &'a PlanStep>) -> Option<&'a Name> {
        plan.into_iter().map(|step| &step.step).find(|step| self.step(step.as_str()).is_none())
    }

    /// What to say of a step that nobody knows.
    pub fn no_such_step(&self, step: &str) -> Phrase {
        let known: Vec<String> = self.steps().map(|row| row.word.into_owned()).collect();
        Phrase::clipped(&format!(
            "no step is called {step}; there are {}; a step of your own is written first, as in \
             way-step {step} --kind soak --takes 3d",
            known.join(", ")
        ))
    }

    /// What to say of a way that nobody knows.
    pub fn no_such_way(&self, way: &str) -> Phrase {
        let known: Vec<String> = self.ways().map(|way| way.name.into_owned()).collect();
        Phrase::clipped(&format!(
            "no way is called {way}; there are {}; a way of your own is written first, as in way \
             \"{way}\" flesh=30min simmer=2h dry=1d",
            known.join(", ")
        ))
    }

    pub(crate) fn write_step(&mut self, said: &WayStep) {
        self.own_steps.retain(|own| own.name != said.name);
        self.own_steps.push(said.clone());
    }

    pub(crate) fn write_way(&mut self, said: &Way) {
        self.own_ways.retain(|own| folded(own.name.as_str()) != folded(said.name.as_str()));
        self.own_ways.push(said.clone());
    }

    /// Whether the shop wrote none of its own.
    pub(crate) fn is_plain(&self) -> bool {
        self.own_steps.is_empty() && self.own_ways.is_empty()
    }
}

impl Canonical for WayList {
    fn canon(&self, out: &mut Canon) {
        let Self { own_steps, own_ways } = self;
        out.add(own_steps);
        out.add(own_ways);
    }
}

/// A step as the shop wrote it, over the built-in one of its name or of its kind of place.
fn own_step(said: &WayStep) -> StepRow {
    let before = STEPS.iter().find(|row| said.name.as_str() == row.word);
    let of_kind = || STEPS.iter().find(|row| said.kind.is_some() && row.kind == said.kind);
    let kind = said.kind.or_else(|| before.and_then(|row| row.kind));
    let minutes = |span: &Span| span.minutes().to_i64();
    let takes = said.takes.as_ref().and_then(minutes).and_then(|m| u32::try_from(m).ok());
    let again = said.again.as_ref().and_then(minutes);
    let usual = before.or_else(of_kind);
    let act = said.act.as_ref().map(|act| Cow::from(act.to_string()));
    StepRow {
        word: said.name.to_string().into(),
        kind,
        doing: match before {
            Some(row) => row.doing.clone(),
            None => format!("at {}", said.name).into(),
        },
        act: act.or_else(|| usual.map(|row| row.act.clone())).unwrap_or("look at it".into()),
        again: again.or_else(|| usual.map(|row| row.again)).unwrap_or(24 * 60),
        never_after: if said.never_after.is_empty() {
            before.map(|row| row.never_after.clone()).unwrap_or_default()
        } else {
            said.never_after.iter().map(|step| step.to_string().into()).collect()
        },
        care: before.map(|row| row.care.clone()).unwrap_or_default(),
        takes: takes
            .map(Takes::All)
            .or_else(|| usual.map(|row| row.takes))
            .unwrap_or(Takes::All(0)),
    }
}

/// Whether two words are spelt alike; capitals, blanks and hyphens do not count.
fn same(a: &str, b: &str) -> bool {
    folding(a).eq(folding(b))
}

fn folding(word: &str) -> impl Iterator<Item = char> + '_ {
    word.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase)
}

/// Capitals, blanks and hyphens do not count.
fn folded(word: &str) -> String {
    folding(word).collect()
}

static STEPS: LazyLock<Vec<StepRow>> = LazyLock::new(|| {
    let rows = table::STEPS.iter().map(|row| StepRow {
        word: row.word.into(),
        kind: row.kind,
        doing: row.doing.into(),
        act: row.act.into(),
        again: i64::from(row.again),
        never_after: row.never_after.iter().map(|step| Cow::Borrowed(*step)).collect(),
        care: row.care.into(),
        takes: row.takes,
    });
    rows.collect()
});

static WAYS: LazyLock<Vec<WayRow>> = LazyLock::new(|| {
    let planned = |word: &'static str| Planned {
        word: word.trim_end_matches('?').into(),
        if_needed: word.ends_with('?'),
        said: None,
    };
    let rows = table::WAYS.iter().map(|(name, spellings, steps)| WayRow {
        name: (*name).into(),
        spellings: spellings.split('|').map(Cow::Borrowed).collect(),
        steps: steps.split(' ').map(planned).collect(),
    });
    rows.collect()
});
