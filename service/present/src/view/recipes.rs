//! Recipes, version by version, and by which of them a water is.

use std::sync::Arc;

use crate::readings::{self, Reading, Unreadable, View};
use burrline_domain::{
    State,
    fold::{Bath, Key, Opened, RecipeState, Water},
};
use burrline_proto::v1;
use burrline_terms::{Name, Typed};

impl Reading for readings::Recipes {
    type Response = v1::RecipesResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::RecipesResponse, Unreadable> {
        let recipe = self.recipe.as_ref().map_or("", Name::as_str);
        recipes(view.state, recipe)
            .map_err(|words| Unreadable::new(v1::Reason::NoSuchRecipe, words))
    }
}

/// Every version of every recipe, or of one.
///
/// # Errors
/// The words to tell, if there is no such recipe.
pub fn recipes(state: &State, name: &str) -> Result<v1::RecipesResponse, String> {
    let all = &state.shop().recipes;
    if !name.is_empty() && !all.keys().any(|known| known.as_str() == name) {
        let known: Vec<&str> = all.keys().map(Name::as_str).take(8).collect();
        return Err(if known.is_empty() {
            "no recipe was written yet; write one with `burrline recipe bear-soak --water 30L --soak \
             3d`"
                .to_owned()
        } else {
            format!("no recipe is called {name}; there are {}", known.join(", "))
        });
    }
    let mut out = v1::RecipesResponse::default();
    for (recipe, versions) in all.iter().filter(|(one, _)| name.is_empty() || one.as_str() == name)
    {
        for (number, (key, version)) in (1..).zip(versions) {
            out.versions.push(line(state, recipe, number, *key, version));
        }
    }
    Ok(out)
}

fn line(
    state: &State,
    recipe: &Name,
    number: u32,
    key: Key,
    version: &RecipeState,
) -> v1::RecipeVersion {
    let now =
        state.waters().iter().filter_map(|(place, water)| Some((place, water, water.bath()?)));
    let by_this = now.filter(|(_, water, bath)| {
        bath.recipe.as_ref() == Some(recipe) && version_of(state, water, bath) == number
    });
    let hand = state.fact(key.name).and_then(|fact| fact.record.entry.hand.clone());
    v1::RecipeVersion {
        name: recipe.to_string(),
        version: number,
        from_ms: key.at.0,
        hand: hand.map(|hand| hand.to_string()).unwrap_or_default(),
        water: version.water.as_ref().map(Typed::show).unwrap_or_default(),
        add: version.add.iter().map(Typed::show).collect(),
        soak: version.soak.as_ref().map(Typed::show).unwrap_or_default(),
        change_after: version.change_after.as_ref().map(Typed::show).unwrap_or_default(),
        waters: by_this.map(|(place, ..)| place.to_string()).collect(),
    }
}

/// By which version of its recipe a water is, from 1; 0 if it is by none. A water that was filled
/// alike is by the version of the one before.
pub fn version_of(state: &State, water: &Water, bath: &Bath) -> u32 {
    let Some(versions) = bath.recipe.as_ref().and_then(|name| state.shop().recipes.get(name))
    else {
        return 0;
    };
    let mut upto = water.baths.iter().rev().skip_while(|one| one.id != bath.id);
    let filled = upto.find(|one| one.opened != Opened::Changed);
    let filled = filled.map_or(bath, Arc::as_ref);
    let began = Key { at: filled.from.at, name: filled.id };
    count(versions.range(..=began).count())
}

/// How many versions a recipe of a water has by now; 0 if it is by none.
pub fn newest_of(state: &State, bath: &Bath) -> u32 {
    let versions = bath.recipe.as_ref().and_then(|name| state.shop().recipes.get(name));
    versions.map_or(0, |versions| count(versions.len()))
}

fn count(many: usize) -> u32 {
    u32::try_from(many).unwrap_or(u32::MAX)
}
