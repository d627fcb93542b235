//! The words that lines are read by.

use crate::readings::{self, Reading, Unreadable, View};
use burrline_domain::{State, house::UnitSystem};
use burrline_proto::v1;
use burrline_terms::words::Piece;

impl Reading for readings::Words {
    type Response = v1::WordsResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::WordsResponse, Unreadable> {
        Ok(words(view.state))
    }
}

/// The shop's places, hands, recipes and animals, and the settings that figures are read by.
pub fn words(state: &State) -> v1::WordsResponse {
    let floor = super::floor(state, "");
    let places = floor.places.into_iter().map(|place| v1::PlaceWords {
        name: place.name,
        tags: place
            .here
            .into_iter()
            .filter(|line| line.piece == Piece::Skull.word() && !line.tag.is_empty())
            .map(|line| line.tag)
            .collect(),
    });
    v1::WordsResponse {
        places: places.collect(),
        hands: state.shop().hands.iter().map(ToString::to_string).collect(),
        recipes: state.shop().recipes.keys().map(ToString::to_string).collect(),
        species: state.species().own().map(|said| v1::AddSpecies::from(&said)).collect(),
        about_species: state.species().more().iter().map(v1::AboutSpecies::from).collect(),
        way_steps: state.shop().ways.own().0.iter().map(v1::WayStep::from).collect(),
        ways: state.shop().ways.own().1.iter().map(v1::Way::from).collect(),
        tables: crate::scripts::tables::listed(state),
        zone: state.settings().zone().unwrap_or_default().to_owned(),
        decimal_point: state.settings().decimal_point(),
        us_units: us_units(state),
        settings: state
            .settings()
            .own()
            .map(|(name, value)| v1::SettingWords {
                name: name.to_owned(),
                value: value.to_owned(),
            })
            .collect(),
    }
}

/// Whether the shop reckons in US units; not known until it says so or its zone is there.
fn us_units(state: &State) -> Option<bool> {
    let units = state.settings().units().or_else(|| state.settings().units_of_zone())?;
    Some(units == UnitSystem::Us)
}
