use std::collections::BTreeSet;

use burrline_terms::field::Typed as _;

use super::*;

/// The names, sex and used words of a line's beginning.
fn found(list: &SpeciesList, line: &str) -> (Vec<String>, Option<Sex>, usize) {
    let words: Vec<&str> = line.split(' ').collect();
    let found = list.find(&words);
    let names = found.species.iter().map(|species| species.name.to_string()).collect();
    (names, found.sex, found.used)
}

fn one(line: &str) -> (String, Option<Sex>, usize) {
    let (names, sex, used) = found(&SpeciesList::builtin(), line);
    let [name] = names.as_slice() else { panic!("{line}: {names:?}") };
    (name.clone(), sex, used)
}

#[test]
fn each_animal_has_one_name_whatever_is_typed_for_it() {
    for (typed, name) in [
        ("whitetail", "whitetail"),
        ("Whitetail", "whitetail"),
        ("White tail", "whitetail"),
        ("white-tail", "whitetail"),
        ("WHITE-TAILED deer", "whitetail"),
        ("whitetails", "whitetail"),
        ("wt", "whitetail"),
        ("muley", "mule deer"),
        ("mulie", "mule deer"),
        ("mule_deer", "mule deer"),
        ("blacktail", "blacktail"),
        ("wapiti", "elk"),
        ("antelope", "pronghorn"),
        ("wild hog", "hog"),
        ("pig", "hog"),
        ("coon", "raccoon"),
        ("racoons", "raccoon"),
        ("foxes", "foxes"), // red or gray
        ("red foxes", "red fox"),
        ("Dall's sheep", "dall sheep"),
        ("musk ox", "muskox"),
        ("cougar", "mountain lion"),
        ("wolves", "wolf"),
        ("Rothirsch", "red deer"),
        ("G\u{e4}mse", "chamois"),
        ("Steinbock", "ibex"),
        ("Dachs", "badger"),
    ] {
        assert_eq!(SpeciesList::builtin().name_of(typed), name, "{typed}");
    }
}

#[test]
fn a_word_for_the_sex_goes_with_its_animal() {
    for (line, name, sex, used) in [
        ("cow elk 3 pt", "elk", Some(Sex::Female), 2),
        ("bull elk", "elk", Some(Sex::Male), 2),
        ("elk bull", "elk", Some(Sex::Male), 2),
        ("elk 6x6", "elk", None, 1),
        ("mule deer buck 8 pt", "mule deer", Some(Sex::Male), 3),
        ("muley doe", "mule deer", Some(Sex::Female), 2),
        ("white tail doe", "whitetail", Some(Sex::Female), 3),
        ("boar hog", "hog", Some(Sex::Male), 2),
        ("sow black bear", "black bear", Some(Sex::Female), 3),
        ("billy mountain goat", "mountain goat", Some(Sex::Male), 3),
        ("bighorn ewe", "bighorn", Some(Sex::Female), 2),
        ("Rehbock", "roe deer", Some(Sex::Male), 1),
        ("Keiler", "wild boar", Some(Sex::Male), 1),
        ("red deer stag", "red deer", Some(Sex::Male), 3),
        // Nobody calls it so: the second word is left for whoever reads the line.
        ("elk buck", "elk", None, 1),
    ] {
        assert_eq!(one(line), (name.to_owned(), sex, used), "{line}");
    }
}

#[test]
fn a_word_that_means_several_animals_gives_all_of_them() {
    let here = SpeciesList::builtin();
    let there = SpeciesList::at_home(Home::Europe);
    for (list, line, names, sex) in [
        (&here, "elk", vec!["elk"], None),
        (&there, "elk", vec!["moose", "elk"], None),
        (&there, "cow elk", vec!["moose", "elk"], Some(Sex::Female)),
        (&here, "bear", vec!["black bear", "grizzly", "brown bear"], None),
        (&here, "buffalo", vec!["bison", "cape buffalo"], None),
        (&here, "buck", vec!["whitetail", "mule deer", "blacktail", "pronghorn"], Some(Sex::Male)),
        (&here, "stag", vec!["red deer", "sika", "sambar", "rusa"], Some(Sex::Male)),
        (&there, "stag", vec!["red deer", "sika"], Some(Sex::Male)),
        (&there, "boar", vec!["wild boar"], None),
        (&here, "deer", vec!["whitetail", "mule deer", "blacktail"], None),
        (&here, "sow bear", vec!["black bear", "grizzly", "brown bear"], Some(Sex::Female)),
    ] {
        let (found, said, _) = found(list, line);
        assert_eq!((found, said), (names.iter().map(ToString::to_string).collect(), sex), "{line}");
    }
    let (boars, sex, _) = found(&here, "boar");
    assert!(boars.len() > 1 && boars.contains(&"hog".to_owned()), "{boars:?}");
    assert_eq!(sex, Some(Sex::Male));
}

#[test]
fn words_that_name_no_animal_are_left() {
    for line in ["", "8 pt male", "male", "hunted skinned", "the elk"] {
        assert_eq!(found(&SpeciesList::builtin(), line).2, 0, "{line}");
    }
}

#[test]
fn antlers_go_by_points_then_by_animal_and_sex() {
    let list = SpeciesList::builtin();
    let (male, female) = (Some(Sex::Male), Some(Sex::Female));
    for (said, sex, points, antlered) in [
        ("whitetail", male, None, true),
        ("whitetail", None, None, true),
        ("whitetail", female, None, false),
        // A doe with antlers: they were counted.
        ("whitetail", female, Some(3), true),
        ("whitetail", male, Some(0), false),
        ("caribou", female, None, true),
        ("water deer", male, None, false),
        ("pronghorn", male, None, false),
        ("black bear", male, None, false),
        // Nobody knows the animal, but points were counted.
        ("", None, Some(8), true),
        ("walrus", None, None, false),
        ("deer", None, None, true),
        ("spike whitetail buck", None, None, true),
    ] {
        assert_eq!(list.antlered(said, sex, points), antlered, "{said} {sex:?} {points:?}");
    }
}

#[test]
fn a_shop_adds_animals_of_its_own_and_says_more_of_known_ones() {
    let mut list = SpeciesList::builtin();
    let name = |word: &str| Name::read(word).unwrap();
    let add = |word: &str, spellings: &[&str], head, group| AddSpecies {
        name: name(word),
        spellings: spellings.iter().map(|word| name(word)).collect(),
        head,
        borne_by: None,
        group,
    };
    let barasingha = add("barasingha", &["swamp deer"], Some(Headgear::Antlers), Some(Group::Deer));
    assert_eq!(list.may_add(&barasingha), Ok(()));
    list.add(&barasingha);
    assert_eq!(list.name_of("Swamp Deer"), "barasingha");
    assert_eq!(list.group("swamp-deer"), Group::Deer);
    assert!(list.antlered("barasingha", Some(Sex::Male), None));
    assert_eq!(found(&list, "barasingha stag").1, Some(Sex::Male));
    assert_eq!(list.may_add(&barasingha), Err(name("barasingha")), "nothing new");

    let more = add("whitetail", &["flagtail"], None, None);
    assert_eq!(list.may_add(&more), Ok(()));
    list.add(&more);
    assert_eq!(list.name_of("flagtail"), "whitetail");
    assert_eq!(list.name_of("wt"), "whitetail");
    assert!(list.antlered("wt", None, None), "what was known of it stays");
    assert_eq!(list.all().filter(|species| species.name == "whitetail").count(), 1);

    for (word, spellings, taken) in
        [("muley", vec![], "muley"), ("buck", vec![], "buck"), ("takin", vec!["elk"], "elk")]
    {
        assert_eq!(list.may_add(&add(word, &spellings, None, None)), Err(name(taken)), "{word}");
    }
}

#[test]
fn the_built_in_list_fits_together() {
    let names: BTreeSet<&str> = builtin::ROWS.iter().map(|row| row.name).collect();
    assert_eq!(names.len(), builtin::ROWS.len(), "a name stands for two");
    for (_, _, all) in builtin::MEANS {
        assert!(all.iter().all(|name| names.contains(name)), "{all:?}");
    }
    assert!(builtin::SEXED.iter().all(|(_, name, _)| names.contains(name)));
    // A spelling means one animal, unless the table of general words says otherwise.
    let twice = BUILTIN.named.iter().filter(|(_, all)| all.len() > 1);
    assert_eq!(twice.collect::<Vec<_>>(), []);
    for species in SpeciesList::builtin().all() {
        assert!(Name::read(&species.name).is_ok());
    }
}

#[test]
fn a_species_is_of_the_kind_that_its_name_says() {
    for (species, group) in [
        ("Whitetail", Group::Deer),
        ("mule deer", Group::Deer),
        ("big whitetail from the north fence", Group::Deer),
        ("black bear", Group::Bear),
        ("wild boar", Group::Hog),
        ("bighorn sheep", Group::Horned),
        ("bobcat", Group::Small),
        ("walrus", Group::Other),
        ("", Group::Other),
    ] {
        assert_eq!(SpeciesList::builtin().group(species), group, "{species}");
    }
}
