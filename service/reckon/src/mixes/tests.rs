use super::*;

fn told(typed: &str) -> Working {
    mix(&typed.split(' ').map(str::to_owned).collect::<Vec<_>>()).unwrap()
}

fn verdict(typed: &str) -> String {
    let told = told(typed);
    let crate::Value::Words(words) = &told.figures.first().unwrap().value else { panic!() };
    words.clone()
}

/// What hurts, by what products are called. Sources: those of the rows.
#[test]
fn what_hurts_is_told_whichever_way_it_is_said() {
    for (one, other) in [
        ("bleach", "ammonia"),
        ("bleach", "limescale remover"),
        ("bleach", "toilet cleaner"),
        ("bleach", "glass cleaner"),
        ("bleach", "vinegar"),
        ("bleach", "lemon juice"),
        ("bleach", "rubbing alcohol"),
        ("bleach", "nail polish remover"),
        ("bleach", "urine"),
        ("bleach", "maceration water"),
        ("bleach", "drain cleaner"),
        ("bleach", "rust remover"),
        ("bleach", "hot water"),
        ("bleach", "dish soap"),
        ("mildew spray", "descaler"),
        ("pool shock", "vinegar"),
        ("vinegar", "peroxide"),
        ("acetone", "Peroxide-12"),
        ("peroxide", "bleach"),
        ("peroxide", "steel"),
        ("peroxide", "brass"),
        ("peroxide", "rag"),
        ("peroxide", "washing soda"),
        ("peroxide", "ammonia"),
        ("permanganate", "peroxide"),
        ("permanganate", "glycerine"),
        ("permanganate", "acetone"),
        ("permanganate", "grease"),
        ("permanganate", "muriatic acid"),
        ("lye", "aluminium pot"),
        ("washing soda", "foil"),
        ("oven cleaner", "aluminum"),
        ("lye", "galvanized bucket"),
        ("acetone", "hot plate"),
        ("white gas", "pilot light"),
        ("mineral spirits", "candle"),
        ("linseed oil", "rags"),
        ("drain opener", "drain cleaner"),
        ("lye", "vinegar"),
        ("lye", "muriatic acid"),
        ("plaster", "hand"),
        ("hardener", "acetone"),
    ] {
        for said in [format!("{one} and {other}"), format!("{other} {one}")] {
            assert_eq!(verdict(&said), "no", "{said}: {}", told(&said).answer);
        }
    }
}

#[test]
fn the_worst_is_said_first_then_what_to_do() {
    let said = told("bleach vinegar soap");
    assert_eq!(
        said.answer,
        "bleach with vinegar with soap: NO, it can kill: bleach with vinegar: chlorine gas, which \
         kills. Everybody out into fresh air; do not mop it up; call 911 or your emergency number, or the poison \
         line."
    );
    let three = told("peroxide acetone vinegar");
    assert!(three.answer.contains("goes off at a touch. Leave"), "{}", three.answer);
    assert!(three.steps.first().unwrap().what.contains("peroxide, acetone and vinegar"));
}

#[test]
fn what_is_not_known_is_treated_as_dangerous() {
    for said in
        ["peroxide goo", "peroxide chrome wash", "bleach pot", "soap vinegar-free", "goo and foo"]
    {
        assert_eq!(verdict(said), "not known", "{said}: {}", told(said).answer);
        assert!(told(said).answer.contains("treat as dangerous"), "{said}");
    }
    let both = told("bleach ammonia goo").answer;
    assert!(
        both.contains("NO, it can kill")
            && both.ends_with(
                "And goo is not known here: treat as \
                                                               dangerous."
            ),
        "{both}"
    );
    // Two chemicals of which no row speaks.
    assert_eq!(verdict("iodine borax"), "not known");
    assert!(mix(&["bleach".to_owned()]).is_err());
    assert!(mix(&["hot".to_owned(), "flame".to_owned()]).is_err());
}

#[test]
fn what_is_meant_to_come_together_is_not_cried_at() {
    for said in [
        "soap water",
        "peroxide bone",
        "peroxide in a plastic tub",
        "peroxide in glass",
        "soda in a stainless pot",
        "ammonia and a greasy skull",
        "soap and hot water",
        "borax soap",
    ] {
        assert_eq!(verdict(said), "no hazard listed", "{said}: {}", told(said).answer);
    }
    for said in ["vinegar baking soda", "peroxide stainless", "vinegar bone", "bleach bone"] {
        assert_eq!(verdict(said), "better not", "{said}: {}", told(said).answer);
    }
}

/// A row that cannot be reached is one that a worse one hides; none may be.
#[test]
fn every_row_can_be_reached() {
    for (at, wanted) in rows::all().enumerate() {
        let mut pairs = wanted.one.iter().flat_map(|a| wanted.other.iter().map(move |b| (*a, *b)));
        assert!(pairs.any(|(a, b)| row(a, b).is_some_and(|found| found.0 == at)), "{wanted:?}");
    }
}

#[test]
fn every_name_is_read_as_itself() {
    for (name, kinds) in words::names() {
        let typed: Vec<String> = name.split(' ').map(str::to_owned).collect();
        let things = read::things(&typed);
        assert_eq!(things.len(), 1, "{name}: {things:?}");
        assert_eq!(things.first().unwrap().kinds, *kinds, "{name}");
    }
}
