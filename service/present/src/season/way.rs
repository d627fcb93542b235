//! One job's way through the steps.

use burrline_domain::{State, Verb, fold::Job, verb};
use burrline_terms::{
    Day, EntryName, Moment, Phrase,
    words::{Group, Piece, PlaceKind, Whose},
};

/// A step of the work, in the order in which it is usually done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// Taken in, and waiting.
    TakeIn,
    /// Cleaned by knife.
    Flesh,
    /// In a pot.
    Simmer,
    /// With the beetles.
    Beetles,
    /// In cold water, to macerate.
    Macerate,
    /// In warm water, to macerate.
    Warm,
    /// In an enzyme bath.
    Enzyme,
    /// In the ground.
    Bury,
    /// Washed.
    Wash,
    /// In a tank.
    Degrease,
    /// In a tub, or under cream.
    Whiten,
    /// On a rack.
    Dry,
    /// Coated.
    Coat,
}

impl Step {
    /// Every step.
    pub const ALL: &'static [Self] = &[
        Self::TakeIn,
        Self::Flesh,
        Self::Simmer,
        Self::Beetles,
        Self::Macerate,
        Self::Warm,
        Self::Enzyme,
        Self::Bury,
        Self::Wash,
        Self::Degrease,
        Self::Whiten,
        Self::Dry,
        Self::Coat,
    ];

    /// The word, which is that of plans too.
    pub const fn word(self) -> &'static str {
        match self {
            Self::TakeIn => "take-in",
            Self::Flesh => "flesh",
            Self::Simmer => "simmer",
            Self::Beetles => "beetles",
            Self::Macerate => "macerate",
            Self::Warm => "warm",
            Self::Enzyme => "enzyme",
            Self::Bury => "bury",
            Self::Wash => "wash",
            Self::Degrease => "degrease",
            Self::Whiten => "whiten",
            Self::Dry => "dry",
            Self::Coat => "coat",
        }
    }

    /// The kind of place that a skull is in for this step; none if it is done in a moment.
    pub const fn kind(self) -> Option<PlaceKind> {
        match self {
            Self::Simmer => Some(PlaceKind::Pot),
            Self::Beetles => Some(PlaceKind::Colony),
            Self::Macerate => Some(PlaceKind::Soak),
            Self::Warm | Self::Enzyme => Some(PlaceKind::WarmBath),
            Self::Bury => Some(PlaceKind::Ground),
            Self::Degrease => Some(PlaceKind::Tank),
            Self::Whiten => Some(PlaceKind::Tub),
            Self::Dry => Some(PlaceKind::Rack),
            Self::TakeIn | Self::Flesh | Self::Wash | Self::Coat => None,
        }
    }

    /// Whether bone comes clean of tissue in it: of such steps a head goes through one.
    pub const fn cleans(self) -> bool {
        matches!(
            self,
            Self::Simmer | Self::Beetles | Self::Macerate | Self::Warm | Self::Enzyme | Self::Bury
        )
    }

    /// The step that a job is at in a place: by its plan or way, else by the kind of the place.
    pub fn in_place(state: &State, job: &Job, kind: PlaceKind) -> Option<Self> {
        let (row, _) = state.step_in(job, kind)?;
        let named = Self::ALL.iter().copied().find(|step| step.word() == row.word);
        let kind = if kind == PlaceKind::Dryer { PlaceKind::Rack } else { kind };
        // A soak in cold water before the heat is no way to come clean.
        let cleans = row.word != "soak";
        let of_kind = || Self::ALL.iter().copied().find(|step| step.kind() == Some(kind));
        named.or_else(|| of_kind().filter(|_| cleans))
    }

    /// The step that an act begins.
    #[allow(
        clippy::wildcard_enum_match_arm,
        reason = "the few verbs that begin a step are named; all others happen within one"
    )]
    fn begun_by(state: &State, job: &Job, verb: &Verb) -> Option<Self> {
        match verb {
            Verb::TakeIn(_) => Some(Self::TakeIn),
            Verb::Flesh(_) => Some(Self::Flesh),
            Verb::Wash(_) => Some(Self::Wash),
            Verb::Whiten(_) => Some(Self::Whiten),
            Verb::Coat(_) => Some(Self::Coat),
            Verb::In(verb::In { place, .. }) | Verb::FoundIn(verb::FoundIn { place, .. }) => {
                Self::in_place(state, job, state.shop().places.get(place)?.kind)
            }
            _ => None,
        }
    }
}

/// How a way ended, or did not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Ready: inspected without a fault, or given to its customer.
    Ready(Moment),
    /// It left unfinished: given back, taken by an officer, written off.
    Left(Moment),
    /// It is still here.
    Going,
}

/// A time on hold that does not count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paused {
    /// Why.
    pub why: Phrase,
    from: Moment,
    until: Moment,
}

/// One job's way through the shop, up to its first end.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The job.
    pub job: EntryName,
    /// The kind of animal.
    pub group: Group,
    /// Each passage of a step, in order.
    pub passages: Vec<(Step, Moment)>,
    /// How it ended.
    pub end: End,
    /// It counts as ready because it was collected or sent; nobody said before that it was.
    pub by_leaving: bool,
    /// Holds that stop the clock.
    pub paused: Vec<Paused>,
    /// The first day that was promised, and when.
    pub promised: Option<(Moment, Day)>,
    /// Damages that were not there when it came.
    pub damaged: Vec<Moment>,
}

/// A hold whose reason begins with this does not stop the clock: waiting for ourselves is a part
/// of how long we take.
const OURS: &str = "ours";

/// The way of every job.
pub fn ways(state: &State) -> Vec<Way> {
    state.jobs().values().map(|job| Way::of(state, job)).collect()
}

impl Way {
    /// The way of a job.
    pub fn of(state: &State, job: &Job) -> Self {
        let mut way = Self {
            job: job.id,
            group: state.group_of(job),
            passages: Vec::new(),
            end: End::Going,
            by_leaving: false,
            paused: paused(job),
            promised: None,
            damaged: Vec::new(),
        };
        for (key, active) in job.facts() {
            let Some(verb) = state.meaning(key.name).filter(|_| active) else { continue };
            way.take(state, job, key.at, verb);
            if way.end != End::Going {
                break;
            }
        }
        way
    }

    #[allow(
        clippy::wildcard_enum_match_arm,
        reason = "what neither begins a step, ends the way nor goes wrong changes nothing here"
    )]
    fn take(&mut self, state: &State, job: &Job, at: Moment, verb: &Verb) {
        let of_skull = verb.skull().is_none_or(|skull| skull.piece == Piece::Skull);
        if let (Some(step), true) = (Step::begun_by(state, job, verb), of_skull) {
            self.passages.push((step, at));
        }
        match verb {
            Verb::Inspect(inspect) if inspect.faults.is_none() => self.end = End::Ready(at),
            Verb::HandOver(_) | Verb::Ship(_) => {
                (self.end, self.by_leaving) = (End::Ready(at), true);
            }
            verb if verb.ends_job() => self.end = End::Left(at),
            Verb::Promise(promise) if self.promised.is_none() => {
                self.promised = Some((at, promise.by));
            }
            Verb::Damage(damage) if damage.whose != Some(Whose::AsFound) => self.damaged.push(at),
            _ => {}
        }
    }

    /// When it first came to a step.
    pub fn first(&self, step: Step) -> Option<Moment> {
        self.passages.iter().find(|(passed, _)| *passed == step).map(|(_, at)| *at)
    }

    /// The step that it is at, or was at last.
    pub fn step(&self) -> Option<Step> {
        self.passages.last().map(|(step, _)| *step)
    }

    /// The end of what is known by `now`.
    pub const fn until(&self, now: Moment) -> Moment {
        match self.end {
            End::Ready(at) | End::Left(at) => at,
            End::Going => now,
        }
    }

    /// The milliseconds between two moments without those on hold.
    pub fn active_ms(&self, from: Moment, until: Moment) -> i64 {
        let held = self.held_ms(from, until).map(|(_, ms)| ms);
        until.since(from).saturating_sub(held.fold(0, i64::saturating_add)).max(0)
    }

    /// The milliseconds on hold between two moments, by reason.
    pub fn held_ms(&self, from: Moment, until: Moment) -> impl Iterator<Item = (&Phrase, i64)> {
        self.paused.iter().filter_map(move |pause| {
            let ms = pause.until.min(until).since(pause.from.max(from));
            (ms > 0).then_some((&pause.why, ms))
        })
    }

    /// How long each passage took, up to the next one or the end; none for one that goes on.
    pub fn stretches(&self) -> impl Iterator<Item = (Step, Moment, Option<Moment>)> {
        let next = self.passages.iter().skip(1).map(|(_, at)| Some(*at));
        let last = match self.end {
            End::Ready(at) | End::Left(at) => Some(at),
            End::Going => None,
        };
        let ends = next.chain([last]);
        self.passages.iter().zip(ends).map(|((step, from), until)| (*step, *from, until))
    }
}

fn paused(job: &Job) -> Vec<Paused> {
    let theirs = job.pauses.iter().filter(|pause| !pause.why.as_str().starts_with(OURS));
    theirs
        .map(|pause| Paused {
            why: pause.why.clone(),
            from: pause.from.at,
            until: pause.until.map_or(Moment(i64::MAX), |until| until.at),
        })
        .collect()
}
