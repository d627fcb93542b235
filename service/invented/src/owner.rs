//! What the owner says: the shop as it opens, stock, hours, and an inspector's visit.

use burrline_domain::Settings;

use crate::{
    said::{Desk, Said},
    time::{DayNo, ZONE},
    world::{World, money},
};

/// Name, kind, volume, material, and how many it holds.
const PLACES: &[(&str, &str, &str, &str, usize)] = &[
    ("pot-1", "pot", "80L", "stainless", 5),
    ("pot-2", "pot", "60L", "stainless", 4),
    ("tank-1", "tank", "200L", "plastic", 8),
    ("tank-2", "tank", "200L", "plastic", 8),
    ("tank-3", "tank", "250L", "plastic", 12),
    ("tank-4", "tank", "250L", "plastic", 5),
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
    ("deer-soak", "150L", &["soap=250mL"], "4d", "3d"),
    ("elk-soak", "150L", &["soap=250mL"], "7d", "3d"),
    ("tub-white", "36L", &["peroxide=6L@12%"], "7h", "6d"),
];

/// What the till opens with, in cents.
const FLOAT: i64 = 20_000;

/// How many heads a place of the shop holds.
pub(crate) fn holds(place: &str) -> usize {
    PLACES.iter().find(|(name, ..)| *name == place).map_or(0, |(.., holds)| *holds)
}

/// How long the hands are busy with what a line says, by the minutes that hold where a shop sets none;
/// a water takes ten.
fn minutes(said: &Said) -> i64 {
    let place = said.fields.iter().find(|(field, _)| *field == "place");
    let kind = place.and_then(|(_, place)| place.split('-').next()).unwrap_or_default();
    let step = match (said.verb, kind) {
        ("in", "pot") => "simmer",
        ("in", "tank") => "degrease",
        ("in", "tub") => "whiten",
        ("in", "rack") => "dry",
        ("ship", _) => "hand-over",
        ("fill" | "change" | "dump", _) => return 10,
        (verb, _) => verb,
    };
    let each = i64::try_from(Settings::default().step_minutes(step)).unwrap_or(0);
    let skulls = i64::try_from(said.skulls.len()).unwrap_or(0);
    each.saturating_mul(skulls)
}

impl World {
    /// Opens the shop: hands, places, recipes, what each place holds.
    pub fn opens(&mut self) {
        let at = DayNo(3).at(7, 0);
        let owner = |verb| Said::new(at, Desk::Office, verb);
        let setting =
            |name: &str, value: &str| owner("set-shop").with("setting", name).with("value", value);
        // Its tills are those of its own days, whoever reads its lines.
        self.say(setting("zone", ZONE));
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
        self.say(owner("float").with("amount", money(FLOAT)));
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
        self.till(day);
        if day.0 == 150 {
            self.say(
                Said::new(day.at(11, 0), Desk::Counter, "visit")
                    .with("agency", "state wildlife agency")
                    .with("words", "read the register for November, nothing found"),
            );
        }
        for (desk, what) in [
            (Desk::Yard1, "knife and pots"),
            (Desk::Yard2, "knife and pots"),
            (Desk::Finish, "finish"),
            (Desk::Counter, "counter"),
        ] {
            let of_the_day = self.book.iter().rev().take_while(|said| said.at.day() >= day);
            let of_the_day = of_the_day.filter(|said| said.desk == desk && said.at.day() == day);
            let minutes = of_the_day.map(minutes).fold(0_i64, i64::saturating_add);
            // Nobody writes hours down for a day with nothing to do.
            if minutes > 0 {
                // Setting up, clearing away, and a fifth for what goes slower than the clock says; by
                // the quarter of an hour, as people write it.
                let all = minutes.saturating_mul(6).div_euclid(5).saturating_add(20);
                let quarters = all.saturating_add(14).div_euclid(15);
                let said = Said::new(day.at(17, 30), desk, "hours");
                let worked = format!("{}min", quarters.saturating_mul(15));
                self.say(said.with("worked", worked).with("what", what));
            }
        }
    }

    /// The till of a day: counted, what is over the float to the bank, the cards with their fee, closed.
    pub fn till(&mut self, day: DayNo) {
        let cents = |said: &Said| -> i64 {
            let amount = said.fields.iter().find(|(field, _)| *field == "amount");
            let digits = amount.map(|(_, amount)| amount.replace('.', "")).unwrap_or_default();
            digits.parse().unwrap_or(0)
        };
        let by = |said: &Said, means: &str| {
            said.fields.iter().any(|(field, value)| *field == "means" && value == means)
        };
        let of_day = || self.book.iter().filter(|said| said.verb == "pay" && said.at.day() == day);
        let cash: i64 = of_day().filter(|said| by(said, "cash")).map(cents).sum();
        let cards: Vec<i64> = of_day().filter(|said| by(said, "card")).map(cents).collect();
        if of_day().next().is_none() {
            return;
        }
        // One evening the drawer is 4.25 short, and nobody finds out why.
        let short = if day.0 == 92 { 425 } else { 0 };
        let says = |minute: i64, verb| Said::new(day.at(17, 35).plus(minute), Desk::Counter, verb);
        let counted = FLOAT.saturating_add(cash).saturating_sub(short);
        let to_bank = counted.saturating_sub(FLOAT);
        let mut lines = vec![says(0, "count-till").with("amount", money(counted))];
        if to_bank > 0 {
            let out = says(1, "pay-out").with("amount", money(to_bank));
            lines.push(out.with("purse", "bank"));
        }
        if !cards.is_empty() {
            // 2.9 % and 0.30 for each payment, invented.
            let each = |cents: &i64| {
                cents.saturating_mul(29).saturating_add(500).div_euclid(1000).saturating_add(30)
            };
            let batch = says(2, "card-batch").with("amount", money(cards.iter().sum()));
            lines.push(batch.with("fee", money(cards.iter().map(each).sum())));
        }
        lines.push(says(3, "close-till").with("day", day.date().to_string()));
        self.book.extend(lines);
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
