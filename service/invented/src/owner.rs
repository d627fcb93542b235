//! What the owner says: the shop as it opens, stock, hours, and an inspector's visit.

use crate::{
    said::{Desk, Said},
    time::DayNo,
    world::World,
};

/// Name, kind, volume, material, and how many it holds.
const PLACES: &[(&str, &str, &str, &str, usize)] = &[
    ("pot-1", "pot", "80L", "stainless", 5),
    ("pot-2", "pot", "60L", "stainless", 4),
    ("tank-1", "tank", "200L", "plastic", 8),
    ("tank-2", "tank", "200L", "plastic", 8),
    ("tank-3", "tank", "150L", "plastic", 8),
    ("tub-1", "tub", "60L", "plastic", 8),
    ("tub-2", "tub", "60L", "plastic", 8),
    ("freezer-1", "freezer", "", "", 60),
    ("freezer-2", "freezer", "", "", 60),
    ("rack-1", "rack", "", "wood", 24),
    ("rack-2", "rack", "", "wood", 24),
    ("shelf-1", "shelf", "", "", 80),
    ("shelf-2", "shelf", "", "", 80),
];

/// Name, water, what goes in, how long, and when it is changed.
const RECIPES: &[(&str, &str, &[&str], &str, &str)] = &[
    ("pot-soda", "50L", &["soda=250g"], "", ""),
    ("pot-soap", "50L", &["soap=60mL"], "", ""),
    ("bear-soak", "120L", &["soap=240mL"], "21d", "5d"),
    ("hog-soak", "120L", &["soap=300mL"], "14d", "5d"),
    ("deer-soak", "90L", &["soap=150mL"], "4d", "3d"),
    ("tub-white", "36L", &["peroxide=6L@12%"], "7h", "6d"),
];

impl World {
    /// Opens the shop: hands, places, recipes, what each place holds.
    pub fn opens(&mut self) {
        let at = DayNo(3).at(7, 0);
        let owner = |verb| Said::new(at, Desk::Office, verb);
        let setting =
            |name: &str, value: &str| owner("set-shop").with("setting", name).with("value", value);
        self.say(setting("name", "Crooked Lantern Skull Shed"));
        for hand in ["ines", "tom", "bo", "ada"] {
            self.say(owner("add-hand").with("name", hand));
        }
        for (name, kind, volume, material, holds) in PLACES {
            self.say(
                owner("add-place")
                    .with("name", *name)
                    .with("kind", *kind)
                    .maybe("volume", volume)
                    .maybe("material", material),
            );
            let holds = self.room(*holds).to_string();
            self.say(setting(&format!("holds.{name}"), &holds));
        }
        for (name, water, add, soak, change) in RECIPES {
            let mut said = owner("recipe").with("name", *name).with("water", *water);
            for stuff in *add {
                said = said.with("add", *stuff);
            }
            self.say(said.maybe("soak", soak).maybe("change_after", change));
        }
    }

    /// Stock on the first working day of each fourth week, hours every day, and one visit.
    pub fn house(&mut self, day: DayNo) {
        if day.of_week() == 1 && day.0.rem_euclid(28) == 8 {
            self.stock(day);
        }
        if day.0 == 150 {
            self.say(
                Said::new(day.at(11, 0), Desk::Counter, "visit")
                    .with("agency", "state wildlife agency")
                    .with("words", "read the register for November, nothing found"),
            );
        }
        let busy = i64::from((63..110).contains(&day.0));
        for (desk, usual, more, what) in [
            (Desk::Yard1, 6_i64, 3_i64, "knife and pots"),
            (Desk::Yard2, 6, 3, "knife and pots"),
            (Desk::Finish, 4, 2, "finish"),
            (Desk::Counter, 3, 3, "counter"),
        ] {
            // Nobody writes hours down for a day with nothing to do.
            if self.book.iter().any(|said| said.desk == desk && said.at.day() == day) {
                let hours = usual.saturating_add(more.saturating_mul(busy));
                let said = Said::new(day.at(17, 30), desk, "hours");
                self.say(said.with("worked", format!("{hours}h")).with("what", what));
            }
        }
    }

    fn stock(&mut self, day: DayNo) {
        let lot = |what: &str| format!("{what}-{}", day.0);
        for (stuff, cost, name) in [
            ("peroxide=60L@12%", "186.00", "px"),
            ("soap=10L", "54.00", "sp"),
            ("soda=25kg", "31.50", "sd"),
        ] {
            self.say(
                Said::new(day.at(9, 30), Desk::Office, "receive-stock")
                    .with("stuff", stuff)
                    .with("cost", cost)
                    .with("lot", lot(name)),
            );
        }
        if day.0 == 92 {
            self.say(
                Said::new(day.at(9, 45), Desk::Office, "count-stock").with("stuff", "soap=22L"),
            );
        }
    }
}
