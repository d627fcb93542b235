use burrline_terms::words::Size;

use super::*;

const ROE: Head = Head { size: Size::Small, grease: 1, antlered: true };
const BADGER: Head = Head { size: Size::Small, grease: 3, antlered: false };

fn planned(list: &WayList, way: &str, head: Head) -> Vec<String> {
    let way = list.way(way).unwrap();
    list.plan(&way, head, &[]).iter().map(burrline_terms::Typed::show).collect()
}

#[test]
fn every_step_of_every_way_is_in_the_table_of_steps() {
    let list = WayList::default();
    for way in list.ways() {
        for step in way.steps() {
            assert!(list.steps().any(|row| row.word == step), "{}: {step}", way.name);
        }
    }
    for row in list.steps() {
        assert!(Name::read(&row.word).is_ok());
        assert!(row.never_after.iter().all(|word| list.step(word).is_some()), "{row:?}");
        assert_eq!(row.kind.is_none(), row.doing.is_empty(), "{row:?}");
    }
}

#[test]
fn no_name_or_spelling_means_two_ways() {
    let list = WayList::default();
    let mut seen = std::collections::BTreeSet::new();
    for way in list.ways() {
        let names = way.spellings.iter().chain([&way.name]).map(|name| folded(name));
        for name in names.collect::<std::collections::BTreeSet<_>>() {
            assert!(seen.insert(name.clone()), "{name}");
        }
    }
}

#[test]
fn a_plan_has_what_the_head_needs_and_times_by_its_size_and_grease() {
    let list = WayList::default();
    let roe = planned(&list, "Warm Bath", ROE);
    assert!(roe.contains(&"wrap=5min".to_owned()), "{roe:?}");
    assert!(roe.contains(&"warm=7200min".to_owned()), "{roe:?}");
    assert!(!roe.iter().any(|step| step.starts_with("degrease")), "{roe:?}");
    let badger = planned(&list, "bugs", BADGER);
    assert!(!badger.iter().any(|step| step.starts_with("wrap")), "{badger:?}");
    assert!(badger.contains(&"beetles=2880min".to_owned()), "{badger:?}");
    assert!(badger.contains(&"degrease=60480min".to_owned()), "{badger:?}");
}

#[test]
fn a_word_of_a_plan_means_the_step_whose_name_it_holds() {
    let list = WayList::default();
    assert_eq!(list.step("second simmer").unwrap().word, "simmer");
    assert_eq!(list.step("Simmer").unwrap().word, "simmer");
    assert!(list.step("polish").is_none());
    let plan = [PlanStep::read("polish=1h").unwrap()];
    assert_eq!(list.unknown(&plan).unwrap().as_str(), "polish");
    assert!(list.no_such_step("polish").as_str().contains("way-step polish"));
}

#[test]
fn an_owner_writes_steps_and_ways_over_those_of_the_table() {
    let mut list = WayList::default();
    list.write_step(&WayStep {
        name: Name::read("polish").unwrap(),
        kind: None,
        takes: Some(Span::read("1h").unwrap()),
        again: None,
        act: None,
        never_after: Vec::new(),
    });
    list.write_step(&WayStep {
        name: Name::read("beetles").unwrap(),
        kind: None,
        takes: Some(Span::read("3d").unwrap()),
        again: None,
        act: None,
        never_after: Vec::new(),
    });
    list.write_way(&Way {
        name: Name::read("beetles").unwrap(),
        steps: ["flesh=20min", "beetles=4d", "polish=30min"]
            .map(|step| PlanStep::read(step).unwrap())
            .to_vec(),
    });
    assert_eq!(planned(&list, "beetles", ROE), ["flesh=20min", "beetles=4d", "polish=30min"]);
    let step = list.step("beetles").unwrap();
    assert_eq!((step.kind, step.minutes(BADGER)), (Some(PlaceKind::Colony), 3 * 1440));
    assert_eq!(step.never_after, ["degrease", "enzyme", "whiten"], "what it does not say stays");
    assert_eq!(list.ways().filter(|way| way.name == "beetles").count(), 1);
    // The times of the animal go before those of the way.
    let way = list.way("beetles").unwrap();
    let own = list.plan(&way, ROE, &[PlanStep::read("beetles=2d").unwrap()]);
    assert_eq!(own[1].show(), "beetles=2d");
}
