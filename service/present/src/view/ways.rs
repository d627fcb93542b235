//! The ways by which the shop cleans and the animals that it knows, as lists.

use burrline_domain::{
    State,
    ways::{Head, StepRow},
};
use burrline_proto::v1;
use burrline_terms::{Name, Typed as _, words::Size};

use crate::readings::{self, Reading, Unreadable, View};

impl Reading for readings::Ways {
    type Response = v1::WaysResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::WaysResponse, Unreadable> {
        ways(view.state, self.way.as_ref().map(Name::as_str)).map_err(Unreadable::malformed)
    }
}

impl Reading for readings::Animals {
    type Response = v1::AnimalsResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::AnimalsResponse, Unreadable> {
        let species = self.species.as_ref().map(Name::as_str);
        animals(view.state, species).map_err(Unreadable::malformed)
    }
}

/// Every way and step, or one way with its steps.
///
/// # Errors
/// The words to tell, if there is no such way.
fn ways(state: &State, one: Option<&str>) -> Result<v1::WaysResponse, String> {
    let list = &state.shop().ways;
    let own = |name: &str| list.own().1.iter().any(|way| way.name.as_str() == name);
    let way = one.map(|name| list.way(name).ok_or_else(|| list.no_such_way(name).to_string()));
    let ways: Vec<_> = match way.transpose()? {
        Some(way) => vec![way],
        None => list.ways().collect(),
    };
    let steps: Vec<StepRow> = match (one, ways.first()) {
        (Some(_), Some(way)) => way.steps().filter_map(|step| list.step(step)).collect(),
        _ => list.steps().collect(),
    };
    Ok(v1::WaysResponse {
        ways: ways
            .iter()
            .map(|way| v1::WayLine {
                name: way.name.to_string(),
                own: own(&way.name),
                steps: way.steps().map(str::to_owned).collect(),
            })
            .collect(),
        steps: steps.iter().map(|step| step_line(state, step)).collect(),
    })
}

fn step_line(state: &State, step: &StepRow) -> v1::StepLine {
    let minutes = |size: &Size| {
        let head = Head { size: *size, grease: 1, antlered: false };
        u32::try_from(step.minutes(head)).unwrap_or(u32::MAX)
    };
    v1::StepLine {
        name: step.word.to_string(),
        own: state.is_own_step(step),
        kind: step.kind.map(|kind| kind.word().to_owned()).unwrap_or_default(),
        act: step.act.to_string(),
        minutes: Size::ALL.iter().map(minutes).collect(),
        again: u32::try_from(step.again).unwrap_or(u32::MAX),
        never_after: step.never_after.iter().map(ToString::to_string).collect(),
        care: step.care.to_string(),
    }
}

/// Every animal, or all that is known of one.
///
/// # Errors
/// The words to tell, if the shop knows none of that name.
fn animals(state: &State, one: Option<&str>) -> Result<v1::AnimalsResponse, String> {
    let list = state.species();
    let own: Vec<String> = list.own().map(|said| said.name.to_string()).collect();
    let wanted: Vec<_> = match one {
        Some(name) => {
            let words: Vec<&str> = name.split_whitespace().collect();
            let found = list.find(&words);
            if found.species.is_empty() {
                return Err(format!(
                    "no animal is called {name}; `burrline animals` lists them, and one is added as in \
                     `burrline add-species {name} --head horns --borne-by both --group horned`"
                ));
            }
            found.species
        }
        None => list.all().collect(),
    };
    let line = |species: &burrline_domain::species::Species| {
        let about = list.about(&species.name);
        let more = list.more().iter().any(|more| more.species.as_str() == species.name);
        v1::AnimalLine {
            name: species.name.to_string(),
            own: more || own.iter().any(|name| *name == species.name),
            spellings: species.spellings.iter().map(ToString::to_string).collect(),
            head: species.head.word().to_owned(),
            borne_by: species.bearers.word().to_owned(),
            group: species.group.word().to_owned(),
            size: about.size.word().to_owned(),
            grease: about.grease,
            most_heat: about.most_heat.map(|span| span.show()).unwrap_or_default(),
            usual: about.usual.iter().map(burrline_proto::Wire::to_item).collect(),
            measure: about.measure.iter().map(ToString::to_string).collect(),
            pieces: about.pieces.iter().map(|piece| piece.word().to_owned()).collect(),
            care: about.care.to_string(),
        }
    };
    Ok(v1::AnimalsResponse { animals: wanted.into_iter().map(line).collect() })
}
