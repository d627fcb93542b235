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
            assert!(hurts(&said), "{said}: {}", told(&said).answer);
        }
    }
}

fn hurts(typed: &str) -> bool {
    ["no", "deadly"].contains(&verdict(typed).as_str())
}

/// Every word counts: an amount that is written onto a name, a name that begins with a digit, a color or a
/// form without a name, marks without spaces.
#[test]
fn no_word_is_dropped_so_that_a_danger_is_not_seen() {
    for said in [
        "12%peroxide acetone water",
        "10%bleach vinegar water",
        "bleach 5%vinegar water",
        "5.25%bleach vinegar",
        "40vol peroxide acetone",
        "12%w/v-peroxide acetone water",
        "bleach+vinegar",
        "bleach,vinegar",
        "bleach;vinegar",
        "bleach&vinegar",
        "bleach.vinegar",
        "bleach vinegar?",
        "bleach/ammonia",
        "bleach 2 cups white vinegar",
        "half a cup of bleach and vinegar",
        "can I mix bleach and vinegar",
        "is it safe to mix bleach with ammonia",
        "bleach water 2-butanone 2-propanol acetone",
        "12% peroxide acetone",
    ] {
        assert!(hurts(said), "{said}: {}", told(said).answer);
    }
    for said in
        ["bleach 70%alcohol water", "bleach water 2-propanol", "peroxide plastic 2-butanone"]
    {
        assert!(hurts(said), "{said}: {}", told(said).answer);
    }
    for said in [
        "bleach water white powder",
        "peroxide plastic blue liquid",
        "bleach water green crystals",
        "soap water white",
        "peroxide bone 3-goo",
        "12%goo water bone",
        "peroxide bone powder and paste",
    ] {
        assert_eq!(verdict(said), "not known", "{said}: {}", told(said).answer);
    }
    let said = told("2 cups of 12% peroxide with white vinegar").answer;
    assert!(said.starts_with("12% peroxide with white vinegar: NO"), "{said}");
}

/// What was called harmless, or a smaller harm, and kills. Sources: those of the rows.
#[test]
fn what_kills_in_a_shop_and_a_garage_is_deadly() {
    for said in [
        "spray can flame",
        "spray can hot",
        "steel wool torch black powder",
        "black powder flame steel",
        "nitric acid muriatic acid",
        "nitric acid vinegar",
        "nitric acid formic acid",
        "rubber cement hot",
        "rubber cement pilot light",
        "magnesium flame",
        "magnesium water flame",
        "aluminum powder flame",
        "aluminum dust torch",
        "aluminum dust lye",
        "charcoal closed",
        "propane in closed",
        "acetone crock pot",
        "white gas crock pot",
        "rubbing alcohol slow cooker",
        "acetone turkey fryer",
        "gasoline turkey fryer",
        "varnish rags",
        "polyurethane rags",
        "wood stain rags",
        "wood hardener hot",
        "rat poison vinegar",
        "dry ice closed jug",
        "dry ice glass jar lid on",
        "peroxide glass jar lid on",
        "peroxide plastic bucket lid on",
        "burner closed garage",
        "camp stove closed room",
        "heater closed room",
        "propane heater closed shed",
        "generator in garage",
        "car running garage door closed",
        "natural gas leak",
        "gas smell",
        "natural gas light switch",
        "danish oil steel wool",
        "linseed oil steel wool",
        "flour dust flame",
        "sawdust dust collector spark",
        "gasoline fire water",
        "ammonium nitrate diesel",
        "acetone 40vol",
    ] {
        assert_eq!(verdict(said), "deadly", "{said}: {}", told(said).answer);
    }
    for said in [
        "hot oil water",
        "frozen turkey hot oil",
        "pool acid water",
        "acid water",
        "hot water glass jar lid on",
        "vinegar glass jar lid on baking soda",
        "lithium battery water",
        "hot grease and water",
        "boiling water hot fat",
        "wax hot water hot",
        "brake fluid burner",
        "antifreeze flame",
        "antifreeze hot plate",
        "glycerin hot plate",
        "battery fire",
        "battery water",
        "peroxide crock pot",
        "salt sulfuric acid",
        "salt battery acid",
        "sulfuric acid baking soda",
        "drain opener baking soda",
        "oxalic acid hot",
        "formic acid flame",
        "ammonia lye",
        "muriatic acid water",
        "nitric acid water",
        "lead torch",
        "galvanized pot torch",
        "super glue cotton",
        "epoxy hardener hand",
        "maceration water closed",
    ] {
        assert!(hurts(said), "{said}: {}", told(said).answer);
    }
}

/// What is no danger is not cried at, or nobody listens the next time.
#[test]
fn the_shops_ordinary_work_is_no_alarm() {
    for (said, wanted) in [
        ("dish soap hot water stainless pot propane burner", "no hazard listed"),
        ("hot water stainless pot gas burner", "no hazard listed"),
        ("water gas stove stainless pot", "no hazard listed"),
        ("epoxy acetone", "no hazard listed"),
        ("epoxy hardener acetone", "no hazard listed"),
        ("acetone soda can", "no hazard listed"),
        ("peroxide soda bottle", "no hazard listed"),
        ("peroxide spray bottle", "no hazard listed"),
        ("lemon dish soap water", "no hazard listed"),
        ("lemon scented soap water", "no hazard listed"),
        ("concrete water", "no hazard listed"),
        ("cement water", "no hazard listed"),
        ("garden lime water", "no hazard listed"),
        ("borax vinegar", "no hazard listed"),
        ("vinegar closed bottle", "no hazard listed"),
        ("baking soda closed jar", "no hazard listed"),
        ("peroxide deer skull", "no hazard listed"),
        ("peroxide elk skull", "no hazard listed"),
        ("peroxide nasal bones", "no hazard listed"),
        ("blood stain peroxide", "better not"),
        ("acrylic sealer peroxide", "better not"),
        ("bleach sugar", "better not"),
        ("motor oil bleach", "better not"),
        ("concrete bleach", "not known"),
    ] {
        assert_eq!(verdict(said), wanted, "{said}: {}", told(said).answer);
    }
    // A listed pair says what it asks for.
    for said in [
        "acetone skull",
        "white gas skull closed",
        "acetone grease antler",
        "white gas greasy skull sun",
    ] {
        let answer = told(said).answer;
        assert!(answer.contains("far from flame, spark and heat: the vapor burns"), "{answer}");
    }
}

#[test]
fn what_is_not_known_says_what_to_say() {
    for (said, words) in [
        ("bleech vinegar", "If that is bleach with vinegar: NO, it can kill: chlorine gas"),
        ("bleech vinigar", "If that is bleach with vinegar: NO, it can kill: chlorine gas"),
        ("acitone peroxide", "If that is acetone with peroxide: NO, it can kill"),
        ("amonia bleach", "if it is ammonia, say ammonia"),
        ("peroxyde acetone", "if it is peroxide, say peroxide"),
        ("peroxide tub", "nobody said what the tub is made of. Say it, such as plastic"),
        ("peroxide in a pot", "nobody said what the pot is made of"),
    ] {
        let answer = told(said).answer.replace('\n', " ");
        assert!(verdict(said) == "not known" && answer.contains(words), "{answer}");
    }
    let none = mix(&["dermestid".to_owned(), "snake".to_owned(), "goo".to_owned()]).unwrap_err();
    assert!(none.to_string().contains("say `and` between them"), "{none}");
    for twice in [["bleach", "bleach"], ["soap", "Soap"]] {
        assert!(mix(&twice.map(str::to_owned)).is_err());
    }
}

#[test]
fn the_worst_is_said_first_then_what_to_do() {
    let said = told("bleach vinegar soap");
    let lines: Vec<&str> = said.answer.lines().collect();
    assert_eq!(
        lines,
        [
            "bleach with vinegar: NO, it can kill: chlorine gas, which kills.",
            "Everybody out into fresh air; do not mop it up; call 911 or your emergency number, or the \
             poison line.",
            "Also bleach with soap: NO.",
        ]
    );
    let three = told("peroxide acetone vinegar");
    assert!(three.answer.contains("goes off at a touch.\nLeave"), "{}", three.answer);
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
                "And goo is not known here: treat as dangerous, read the label and data sheet."
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

/// Some five hundred pairs and triples, each with the verdict that somebody who could be hurt needs.
#[test]
fn pairs_and_triples_have_the_verdict_that_was_reread() {
    let mut wanted = "";
    let mut wrong = Vec::new();
    for line in include_str!("pairs.txt").lines().filter(|line| !line.starts_with('#')) {
        if let Some(verdict) = line.strip_prefix("= ") {
            wanted = verdict;
        } else if !line.is_empty() && verdict(line) != wanted {
            wrong.push(format!("{line}: {} and not {wanted}", verdict(line)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A wet hand reads a few lines: at most eight of 80 columns, the worst in the first.
#[test]
fn an_answer_is_short_and_begins_with_the_worst() {
    for line in include_str!("pairs.txt").lines().filter(|line| !line.starts_with(['#', '='])) {
        if line.is_empty() {
            continue;
        }
        let answer = told(line).answer;
        let rows: usize = answer.lines().map(|line| line.chars().count().div_ceil(76)).sum();
        assert!(rows <= 8, "{line}: {rows} lines\n{answer}");
        let first = answer.lines().next().unwrap();
        let shown = first.contains(": NO") || !["no", "deadly"].contains(&verdict(line).as_str());
        assert!(shown, "{line}: {first}");
    }
}

/// What is passed over is said, and nothing is taken off for it.
#[test]
fn denials_and_orders_in_time_take_nothing_off() {
    for said in ["bleach not ammonia", "bleach without ammonia", "bleach, then rinse, then ammonia"]
    {
        assert_eq!(verdict(said), "deadly", "{said}");
        let cautions: Vec<String> =
            told(said).cautions.into_iter().map(|caution| caution.0).collect();
        let said_so = cautions.iter().any(|caution| {
            caution.contains("is passed over") || caution.contains("what is rinsed between")
        });
        assert!(said_so, "{said}: {cautions:?}");
    }
}

/// European limits, index 008-003-00-9: eyes from 5 % and 8 %, skin from 35 %; fire code: from 8 %.
#[test]
fn a_strength_says_what_it_changes_and_is_never_milder_than_without() {
    for (said, words) in [
        ("3 % peroxide vinegar", "is under the limits for eyes and skin"),
        ("6% peroxide vinegar", "irritates eyes"),
        ("12% peroxide vinegar", "damages eyes for good, slightly feeds fire"),
        ("40 vol developer vinegar", "damages eyes for good"),
        ("35% peroxide vinegar", "irritates skin and airways"),
        ("60% peroxide vinegar", "burns skin"),
    ] {
        let answer = told(said).answer;
        assert!(answer.contains(words), "{said}: {answer}");
    }
    let rank = |said: &str| {
        ["no hazard listed", "better not", "not known", "no", "deadly"]
            .iter()
            .position(|word| *word == verdict(said))
    };
    for other in [
        "rags",
        "vinegar",
        "acetone",
        "grease",
        "sugar",
        "hand",
        "hot",
        "stainless",
        "bone",
        "steel",
        "garage",
    ] {
        let bare = rank(&format!("peroxide {other}"));
        let mut last = bare;
        for percent in ["3%", "8%", "12%", "20%", "35%", "50%"] {
            let with = rank(&format!("{percent} peroxide {other}"));
            assert!(with >= last, "{percent} {other}");
            last = with;
        }
    }
}

/// Whichever is said first, and with a third thing beside it, a danger stays as bad.
#[test]
fn a_danger_hangs_on_no_order_and_goes_by_no_third_thing() {
    let names: Vec<&str> = words::names().map(|(name, _)| *name).collect();
    let grade = |typed: &str| {
        let words: Vec<String> = typed.split(' ').map(str::to_owned).collect();
        known(&words).first().map_or(Grade::Fine, |found| found.grade)
    };
    for (at, one) in names.iter().enumerate().step_by(31) {
        for other in names.iter().skip(at % 37).step_by(37) {
            let pair = grade(&format!("{one} and {other}"));
            assert_eq!(pair, grade(&format!("{other} and {one}")), "{one}, {other}");
            for third in ["tap water", "dish soap", "a bone", "goo"] {
                let three = grade(&format!("{one} and {third} and {other}"));
                assert!(three >= pair, "{one}, {third}, {other}");
            }
        }
    }
}
