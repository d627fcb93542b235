//! The words that lines are read by, as the shop last gave them: places, hands, recipes,
//! animals, settings.
//!
//! They lie in the bench's file `words`, so that a line needs nobody's answer to be read. A
//! word that is not in there is looked for again before anybody is asked about it.

use burrline_domain::{
    settings::Settings as ShopSettings,
    species::{Home, SpeciesList},
    verb::{AboutSpecies, AddSpecies, Way, WayStep},
    ways::WayList,
};
use burrline_line::{
    lexicon::{DecimalMark, LastLine, Lexicon, PlaceHere, TableHere},
    when,
};
use burrline_present::{readings::Words, view};
use burrline_proto::v1;
use burrline_terms::{Moment, words::CellKind};
use prost::Message as _;

use super::{Bench, alone::Then, contact::Reading, patience::ASK};
use crate::{Error, clock::Clock};

/// The file that holds them.
const FILE: &str = "words";

impl Bench {
    /// The words as they were last given, without a day; nothing on a bench that was never given any.
    pub fn lexicon(&self) -> Lexicon {
        let kept = self.folder.text(FILE).and_then(|text| hex::decode(text.trim()).ok());
        let words = kept.and_then(|bytes| v1::WordsResponse::decode(bytes.as_slice()).ok());
        let known = words.map(|words| Lexicon { fresh: false, ..of_words(&words) });
        known.unwrap_or_default()
    }

    /// The words as they are now: the shop's, else those of the bench's own copy.
    pub async fn fresh_lexicon(&self, clock: &(dyn Clock + Sync)) -> Lexicon {
        let answer = match self.in_pause() {
            Some(away) => Err(away),
            None => self.read_at_shop(Words {}, ASK).await,
        };
        let answer = match answer {
            Ok(words) => Some(words),
            Err(_) => match self.alone(clock, Then::default()) {
                Ok(Some(alone)) => Some(view::words(alone.state())),
                Ok(None) | Err(_) => None,
            },
        };
        let today = Some(self.today(clock));
        let last = self.last_line();
        let Some(words) = answer else { return Lexicon { today, last, ..self.lexicon() } };
        // What cannot be kept is asked for again the next time.
        let _ = self.folder.keep_text(FILE, &hex::encode(words.encode_to_vec()));
        Lexicon { today, last, ..of_words(&words) }
    }

    /// What was said last here, if it was one line and not of several skulls at once.
    fn last_line(&self) -> Option<LastLine> {
        let said = self.last_lines("amend", 1).ok()?;
        let [(entry, verb)] = <[_; 1]>::try_from(said).ok()?;
        Some(LastLine { entry, verb })
    }

    /// What the shop set: the shop's answer, else that of the bench's own copy.
    ///
    /// # Errors
    /// As [`Bench::read`].
    pub async fn shop_settings(
        &self,
        clock: &(dyn Clock + Sync),
    ) -> Result<Reading<ShopSettings>, Error> {
        let Reading { answer, how_old } = self.read(Words {}, Then::default(), clock).await?;
        Ok(Reading { answer: settings_of(&answer), how_old })
    }

    /// The day that it is in the shop.
    pub fn today(&self, clock: &dyn Clock) -> burrline_terms::Day {
        let now: Moment = clock.now().wall;
        when::day(now, &self.zone())
    }
}

fn settings_of(words: &v1::WordsResponse) -> ShopSettings {
    words.settings.iter().map(|set| (set.name.as_str(), set.value.as_str())).collect()
}

/// A lexicon of a shop's words, without a day.
pub fn of_words(words: &v1::WordsResponse) -> Lexicon {
    // An animal that a newer program added in a way that this one cannot read is not known here.
    let own: Vec<AddSpecies> =
        words.species.iter().filter_map(|said| AddSpecies::try_from(said).ok()).collect();
    let mut species = SpeciesList::with_own(Home::of_zone(&words.zone), &own);
    let more = words.about_species.iter().filter_map(|said| AboutSpecies::try_from(said).ok());
    more.for_each(|said| species.say_more(&said));
    let steps = words.way_steps.iter().filter_map(|said| WayStep::try_from(said).ok());
    let ways = words.ways.iter().filter_map(|said| Way::try_from(said).ok());
    let default_way = settings_of(words).default_way().map(str::to_owned);
    let mark = |point| if point { DecimalMark::Point } else { DecimalMark::Comma };
    Lexicon {
        known: true,
        fresh: true,
        places: words
            .places
            .iter()
            .map(|here| PlaceHere { place: here.name.clone(), tags: here.tags.clone() })
            .collect(),
        hands: words.hands.clone(),
        recipes: words.recipes.clone(),
        species,
        ways: WayList::with_own(steps.collect(), ways.collect()),
        default_way,
        tables: words.tables.iter().map(table).collect(),
        decimal_mark: words.decimal_point.map(mark),
        fahrenheit: words.us_units,
        short_tags: false,
        last: None,
        today: None,
    }
}

/// A table of the shop's own, for whoever checks a script.
fn table(line: &v1::TableLine) -> TableHere {
    TableHere {
        name: line.name.clone(),
        of: CellKind::from_number(line.of),
        rows: line.rows.iter().map(|row| (row.row.clone(), row.value.clone())).collect(),
    }
}
