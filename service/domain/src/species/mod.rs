//! The animals that a shop cleans: one name on the log for each, whatever is typed for it.

mod about;
mod builtin;

use std::{borrow::Cow, collections::BTreeMap, sync::LazyLock};

use burrline_terms::{
    canon::{Canon, Canonical},
    name::Name,
    words::{Bearers, Group, Headgear, Sex},
};

use crate::verb::{AboutSpecies, AddSpecies};
pub use about::About;

/// An animal that a shop cleans.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Species {
    /// Its one name on the log.
    pub name: Cow<'static, str>,
    /// What else is typed for it.
    pub spellings: Vec<Cow<'static, str>>,
    /// What its head bears.
    pub head: Headgear,
    /// In which sex it bears that.
    pub bearers: Bearers,
    /// The kind that it takes after.
    pub group: Group,
    /// What else a shop knows of it: size, grease, times, what is measured.
    pub about: About,
    home: Option<Home>,
    called: &'static [(&'static str, Sex)],
}

impl Species {
    /// Whether a head of this sex has antlers, where nobody counted points.
    pub fn antlered(&self, sex: Option<Sex>) -> bool {
        self.head == Headgear::Antlers && self.borne_by(sex)
    }

    /// Whether a head of this sex has horns with sheaths.
    pub fn horned(&self, sex: Option<Sex>) -> bool {
        self.head == Headgear::Horns && self.borne_by(sex)
    }

    fn borne_by(&self, sex: Option<Sex>) -> bool {
        self.bearers == Bearers::Both || sex != Some(Sex::Female)
    }

    fn sex_called(&self, word: &str) -> Option<Sex> {
        self.called.iter().find(|(called, _)| *called == word).map(|(_, sex)| *sex)
    }
}

/// Where a shop is, as far as a word for an animal depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Home {
    /// North America, and wherever else nothing is known.
    #[default]
    America,
    /// Europe, where an elk is a moose.
    Europe,
}

impl Home {
    /// Where a time zone lies.
    pub fn of_zone(zone: &str) -> Self {
        const ISLANDS: [&str; 5] = [
            "Atlantic/Reykjavik",
            "Atlantic/Canary",
            "Atlantic/Madeira",
            "Atlantic/Faroe",
            "Arctic/Longyearbyen",
        ];
        if zone.starts_with("Europe/") || ISLANDS.contains(&zone) {
            Self::Europe
        } else {
            Self::America
        }
    }
}

/// What words at the front of a line mean.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Found<'a> {
    /// Every animal that can be meant, the likeliest first; none if the words name no animal.
    pub species: Vec<&'a Species>,
    /// The sex that the words say, if all of those animals agree on it.
    pub sex: Option<Sex>,
    /// How many of the words were used.
    pub used: usize,
}

/// The animals of a shop: the built-in ones and its own.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SpeciesList {
    own: Vec<Species>,
    /// What was said of animals beyond their sheet, one decision each.
    more: Vec<AboutSpecies>,
    home: Home,
}

/// The most words that a name with its sex has.
const MOST_WORDS: usize = 5;

impl SpeciesList {
    /// The built-in list, as in North America.
    pub fn builtin() -> Self {
        Self::default()
    }

    /// The built-in list as words are meant there.
    pub fn at_home(home: Home) -> Self {
        Self { own: Vec::new(), more: Vec::new(), home }
    }

    /// The built-in list with a shop's own animals, as [`SpeciesList::own`] gives them.
    pub fn with_own<'a>(home: Home, own: impl IntoIterator<Item = &'a AddSpecies>) -> Self {
        let mut list = Self::at_home(home);
        own.into_iter().for_each(|said| list.add(said));
        list
    }

    /// Takes in an animal that is being added, for whoever reads the words behind it.
    pub fn also(&mut self, said: &AddSpecies) {
        self.add(said);
    }

    /// The shop's own animals, each as one decision that says all of it.
    pub fn own(&self) -> impl Iterator<Item = AddSpecies> {
        self.own.iter().map(|own| AddSpecies {
            name: Name::clipped(&own.name),
            spellings: own.spellings.iter().map(|spelling| Name::clipped(spelling)).collect(),
            head: Some(own.head),
            borne_by: Some(own.bearers),
            group: Some(own.group),
        })
    }

    /// What the shop said of animals beyond their sheet, as it was decided.
    pub fn more(&self) -> &[AboutSpecies] {
        &self.more
    }

    /// What is known of the animal that was recorded; as in its kind, where nobody knows it.
    pub fn about(&self, said: &str) -> Cow<'_, About> {
        let Some(species) = self.one(said).or_else(|| self.somewhere(said).first().copied()) else {
            return Cow::Owned(About::of_kind(self.group(said)));
        };
        let mut about = Cow::Borrowed(&species.about);
        let name = key(&[&species.name]);
        for more in self.more.iter().filter(|more| key(&[more.species.as_str()]) == name) {
            about.to_mut().take(more);
        }
        about
    }

    /// Takes in what the shop says of an animal beyond its sheet.
    pub fn say_more(&mut self, said: &AboutSpecies) {
        let name = self.name_of(said.species.as_str()).to_owned();
        self.more.push(AboutSpecies { species: Name::clipped(&name), ..said.clone() });
    }

    /// Where the shop is.
    pub const fn home(&self) -> Home {
        self.home
    }

    /// Every animal of the list, the shop's own first.
    pub fn all(&self) -> impl Iterator<Item = &Species> {
        self.own.iter().chain(BUILTIN.rows.iter().filter(|row| self.own_named(&row.name).is_none()))
    }

    /// Everything that may be typed for an animal, for whoever looks for what is a slip away.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        let names = self.all().flat_map(|species| {
            let spellings = species.spellings.iter().map(AsRef::as_ref);
            std::iter::once(species.name.as_ref()).chain(spellings)
        });
        names.chain(builtin::SEXED.iter().map(|(word, ..)| *word))
    }

    /// What the longest run of words at the front means; case, hyphens and a plural s do not count.
    pub fn find(&self, words: &[&str]) -> Found<'_> {
        for used in (1..=words.len().min(MOST_WORDS)).rev() {
            let Some(run) = words.get(..used) else { continue };
            let meant = self.meant(run);
            if !meant.is_empty() {
                return found(meant, used);
            }
        }
        Found::default()
    }

    /// The one animal that a recorded name means, if it means one and nothing else.
    pub fn one(&self, said: &str) -> Option<&Species> {
        let words: Vec<&str> = said.split_whitespace().collect();
        let found = self.find(&words);
        match found.species.as_slice() {
            [one] if found.used == words.len() => Some(one),
            [] | [_, ..] => None,
        }
    }

    /// The list's name for what was recorded; as it was recorded, where the list does not know it or
    /// knows several.
    pub fn name_of<'a>(&'a self, said: &'a str) -> &'a str {
        self.one(said).map_or(said, |species| &species.name)
    }

    /// The kind of what was recorded: of the first words in it that name an animal.
    pub fn group(&self, said: &str) -> Group {
        let kinds: Vec<Group> = self.somewhere(said).iter().map(|species| species.group).collect();
        match kinds.as_slice() {
            [first, rest @ ..] if rest.iter().all(|kind| kind == first) => *first,
            [] | [_, ..] => Group::Other,
        }
    }

    /// Whether a head has antlers: points were counted, or the animal bears them in that sex. What
    /// may be an animal with antlers counts as one, for a wrap too many costs nothing.
    pub fn antlered(&self, said: &str, sex: Option<Sex>, points: Option<u32>) -> bool {
        match points {
            Some(points) => points > 0,
            None => self.somewhere(said).iter().any(|species| species.antlered(sex)),
        }
    }

    /// Whether what was recorded may bear horns or tusks in that sex: what may, is asked about.
    pub fn bears(&self, said: &str, sex: Option<Sex>, what: Headgear) -> bool {
        self.somewhere(said).iter().any(|species| species.head == what && species.borne_by(sex))
    }

    /// The animals that the first words mean that mean any.
    fn somewhere(&self, said: &str) -> Vec<&Species> {
        let words: Vec<&str> = said.split_whitespace().collect();
        let runs = (0..words.len()).filter_map(|from| words.get(from..));
        runs.map(|run| self.find(run).species).find(|all| !all.is_empty()).unwrap_or_default()
    }

    /// What a whole run of words means.
    fn meant(&self, run: &[&str]) -> Vec<(&Species, Option<Sex>)> {
        let whole = self.called(&key(run));
        if !whole.is_empty() {
            return whole;
        }
        match run {
            [word] => self.of_sex(&key(&[*word])),
            [first, rest @ ..] => {
                let before = self.of_one_sex(first, rest);
                if !before.is_empty() {
                    return before;
                }
                let Some((last, rest)) = run.split_last() else { return Vec::new() };
                self.of_one_sex(last, rest)
            }
            [] => Vec::new(),
        }
    }

    /// The animals that a name means, of which a word says the sex.
    fn of_one_sex(&self, word: &str, name: &[&str]) -> Vec<(&Species, Option<Sex>)> {
        let word = key(&[word]);
        let animals = self.called(&key(name)).into_iter();
        let sexed = animals.filter_map(|(species, sex)| {
            let said = species.sex_called(&word)?;
            sex.is_none_or(|sex| sex == said).then_some((species, Some(said)))
        });
        sexed.collect()
    }

    /// The animals that are called by a name.
    fn called(&self, key: &str) -> Vec<(&Species, Option<Sex>)> {
        let own: Vec<_> = self.own.iter().filter(|own| is_called(own, key)).collect();
        if !own.is_empty() {
            return own.into_iter().map(|own| (own, None)).collect();
        }
        let general = BUILTIN.general.get(&(key.to_owned(), self.home));
        let named = general.or_else(|| BUILTIN.named.get(key));
        let rows = named.into_iter().flatten().filter_map(|(at, sex)| {
            let row = BUILTIN.rows.get(*at)?;
            // What the shop says of an animal of the list holds.
            Some((self.own_named(&row.name).unwrap_or(row), *sex))
        });
        rows.collect()
    }

    /// The animals of which a word alone says the sex: those of this part of the world, if there are.
    fn of_sex(&self, word: &str) -> Vec<(&Species, Option<Sex>)> {
        let all = || self.all().filter_map(|row| Some((row, Some(row.sex_called(word)?))));
        let here: Vec<_> = all().filter(|(row, _)| row.home == Some(self.home)).collect();
        if here.is_empty() { all().collect() } else { here }
    }

    fn own_named(&self, name: &str) -> Option<&Species> {
        self.own.iter().find(|own| own.name == name)
    }

    /// Whether `add-species` says anything new, or which name of it means another animal already.
    ///
    /// # Errors
    /// The name that is taken.
    pub fn may_add(&self, said: &AddSpecies) -> Result<(), Name> {
        let key_of = |name: &Name| key(&[name.as_str()]);
        let named = self.called(&key_of(&said.name));
        let known = named.iter().find(|(species, _)| key(&[&species.name]) == key_of(&said.name));
        let taken = !named.is_empty() || !self.of_sex(&key_of(&said.name)).is_empty();
        if taken && known.is_none() {
            return Err(said.name.clone());
        }
        // A spelling may come to mean this animal, but another's name stays its own.
        let others = |spelling: &&Name| {
            self.all().any(|species| {
                let same = key(&[&species.name]);
                same == key_of(spelling) && same != key_of(&said.name)
            })
        };
        if let Some(spelling) = said.spellings.iter().find(others) {
            return Err(spelling.clone());
        }
        let Some((known, _)) = known else { return Ok(()) };
        let fresh = said.spellings.iter().any(|spelling| !is_called(known, &key_of(spelling)))
            || said.head.is_some_and(|head| head != known.head)
            || said.borne_by.is_some_and(|bearers| bearers != known.bearers)
            || said.group.is_some_and(|group| group != known.group);
        if fresh { Ok(()) } else { Err(said.name.clone()) }
    }

    /// Takes in what the shop decided of an animal: what it does not say stays as it was known.
    pub(crate) fn add(&mut self, said: &AddSpecies) {
        let known = self.all().find(|row| key(&[&row.name]) == key(&[said.name.as_str()])).cloned();
        let mut species = known.unwrap_or_else(|| Species {
            name: said.name.to_string().into(),
            spellings: Vec::new(),
            head: Headgear::Bare,
            bearers: Bearers::Males,
            group: Group::Other,
            about: About::unknown(),
            home: None,
            called: &[],
        });
        // What is not known of a new animal is as in the kind that it takes after.
        if self.one(said.name.as_str()).is_none() {
            species.about = About::of_kind(said.group.unwrap_or(Group::Other));
        }
        species.head = said.head.unwrap_or(species.head);
        species.bearers = said.borne_by.unwrap_or(species.bearers);
        if let Some(group) = said.group {
            species.group = group;
            if species.called.is_empty() {
                species.called = builtin::called_in(group);
            }
        }
        for spelling in &said.spellings {
            if !is_called(&species, &key(&[spelling.as_str()])) {
                species.spellings.push(spelling.to_string().into());
            }
        }
        self.own.retain(|own| own.name != species.name);
        self.own.push(species);
    }

    /// Words are meant from now on as in another part of the world.
    pub(crate) fn move_home(&mut self, home: Home) {
        self.home = home;
    }
}

impl Canonical for SpeciesList {
    fn canon(&self, out: &mut Canon) {
        // Where the shop is follows from its zone, and what the sexes are called from the kind.
        let Self { own, more, home: _ } = self;
        out.number(i64::try_from(own.len()).unwrap_or(i64::MAX));
        for species in own {
            let Species { name, spellings, head, bearers, group, about: _, home: _, called: _ } =
                species;
            out.bytes(name.as_bytes());
            let spellings: Vec<String> = spellings.iter().map(ToString::to_string).collect();
            out.add(&spellings);
            out.add(&(head, bearers, group));
        }
        // A shop that said no more has the digest that it had before it could.
        if !more.is_empty() {
            out.add(more);
        }
    }
}

fn found(meant: Vec<(&Species, Option<Sex>)>, used: usize) -> Found<'_> {
    let sex = meant.first().and_then(|(_, sex)| *sex);
    let agreed = meant.iter().all(|(_, other)| *other == sex);
    let species = meant.into_iter().map(|(species, _)| species).collect();
    Found { species, sex: sex.filter(|_| agreed), used }
}

fn is_called(species: &Species, wanted: &str) -> bool {
    let mut spellings = species.spellings.iter();
    key(&[&species.name]) == wanted || spellings.any(|spelling| key(&[spelling]) == wanted)
}

/// What makes two spellings the same: letters and digits without case, each word without its plural s.
fn key(words: &[&str]) -> String {
    let mut key = String::new();
    for word in words {
        let lower = word.to_lowercase();
        let kept = |c: char| c != '\'' && c != '\u{2019}';
        let bare: String = lower.chars().filter(|c| kept(*c)).collect();
        for part in bare.split(|c: char| !c.is_alphanumeric()) {
            key.push_str(singular(part));
        }
    }
    key
}

fn singular(word: &str) -> &str {
    let es = word.strip_suffix("es").filter(|bare| bare.ends_with(['x', 's', 'z']));
    let s = word.strip_suffix('s').filter(|bare| bare.len() >= 2 && !bare.ends_with('s'));
    es.or(s).unwrap_or(word)
}

/// An animal by its place in the list, and the sex that the word says with it.
type At = (usize, Option<Sex>);

/// The built-in list with what leads to its rows.
struct Builtin {
    rows: Vec<Species>,
    named: BTreeMap<String, Vec<At>>,
    general: BTreeMap<(String, Home), Vec<At>>,
}

static BUILTIN: LazyLock<Builtin> = LazyLock::new(|| {
    let rows: Vec<Species> = builtin::ROWS.iter().map(species_of).collect();
    let at = |name: &str| rows.iter().position(|row| row.name == name);
    let mut named: BTreeMap<String, Vec<At>> = BTreeMap::new();
    for (at, row) in rows.iter().enumerate() {
        let spellings = row.spellings.iter().map(AsRef::as_ref);
        for spelling in std::iter::once(row.name.as_ref()).chain(spellings) {
            let all = named.entry(key(&[spelling])).or_default();
            if !all.contains(&(at, None)) {
                all.push((at, None));
            }
        }
    }
    for (word, name, sex) in builtin::SEXED {
        let all = named.entry(key(&[word])).or_default();
        all.extend(at(name).map(|at| (at, Some(*sex))));
    }
    let mut general: BTreeMap<(String, Home), Vec<At>> = BTreeMap::new();
    for (word, home, names) in builtin::MEANS {
        let all: Vec<At> = names.iter().filter_map(|name| Some((at(name)?, None))).collect();
        for one in [Home::America, Home::Europe] {
            if home.is_none_or(|home| home == one) {
                general.insert((key(&[word]), one), all.clone());
            }
        }
    }
    Builtin { rows, named, general }
});

fn species_of(row: &builtin::Row) -> Species {
    let spellings = row.spellings.split('|').filter(|spelling| !spelling.is_empty());
    Species {
        name: row.name.into(),
        spellings: spellings.map(Cow::Borrowed).collect(),
        head: row.head,
        bearers: row.bearers,
        group: row.group,
        about: about::of(row),
        home: row.home,
        called: row.called,
    }
}

#[cfg(test)]
mod tests;
