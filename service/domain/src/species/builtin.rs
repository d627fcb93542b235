//! The animals of North America and Europe that come over a counter, and some trophies from farther
//! away. Names, spellings, headgear and kinds: common practice, no source.
//!
//! # Adding an animal
//!
//! A row of `ROWS` in `domain/src/species/builtin.rs`: its one name on the log, its spellings,
//! what its head bears and in which sex, its kind, its home, and the names of its sexes. A word
//! with several meanings is a row of `MEANS`. Ask `State::species_of`, `group_of` and
//! `antlered`, never the recorded word. What `add-species` adds lies in the fold's
//! `SpeciesList`. Show figures by `present/src/units.rs`.

use burrline_terms::words::{
    Bearers::{self, Both, Males},
    Group::{self, Bear, Deer, Elk, Hog, Horned, Moose, Small},
    Headgear::{self, Antlers, Bare, Horns, Tusks},
    Sex::{self, Female, Male},
};

use super::Home::{self, America, Europe};

/// One animal of the built-in list.
pub(super) struct Row {
    /// Its one name on the log.
    pub(super) name: &'static str,
    /// What else is typed for it, between bars.
    pub(super) spellings: &'static str,
    pub(super) head: Headgear,
    pub(super) bearers: Bearers,
    pub(super) group: Group,
    /// Where it is at home; nothing for both or neither.
    pub(super) home: Option<Home>,
    /// What its sexes are called.
    pub(super) called: &'static [(&'static str, Sex)],
}

const fn row(
    name: &'static str,
    spellings: &'static str,
    head: (Headgear, Bearers),
    group: Group,
    home: Option<Home>,
    called: &'static [(&'static str, Sex)],
) -> Row {
    let (head, bearers) = head;
    Row { name, spellings, head, bearers, group, home, called }
}

const BUCK: &[(&str, Sex)] = &[("buck", Male), ("doe", Female)];
const BULL: &[(&str, Sex)] = &[("bull", Male), ("cow", Female)];
const STAG: &[(&str, Sex)] = &[("stag", Male), ("hind", Female)];
const BOAR: &[(&str, Sex)] = &[("boar", Male), ("sow", Female)];
const RAM: &[(&str, Sex)] = &[("ram", Male), ("ewe", Female)];
const BILLY: &[(&str, Sex)] = &[("billy", Male), ("nanny", Female)];
const TOM: &[(&str, Sex)] = &[("tom", Male)];
const VIXEN: &[(&str, Sex)] = &[("vixen", Female)];
const NO_WORD: &[(&str, Sex)] = &[];

/// What the sexes are called in a kind, for an animal that a shop added itself.
pub(super) const fn called_in(group: Group) -> &'static [(&'static str, Sex)] {
    match group {
        Deer => &[("buck", Male), ("doe", Female), ("stag", Male), ("hind", Female)],
        Elk | Moose => BULL,
        Bear | Hog => BOAR,
        Horned => &[
            ("bull", Male),
            ("cow", Female),
            ("ram", Male),
            ("ewe", Female),
            ("billy", Male),
            ("nanny", Female),
            ("buck", Male),
            ("doe", Female),
        ],
        Small => &[("tom", Male), ("boar", Male), ("sow", Female)],
        Group::Other => NO_WORD,
    }
}

const A: Option<Home> = Some(America);
const E: Option<Home> = Some(Europe);

#[rustfmt::skip] // A table is read across.
pub(super) const ROWS: &[Row] = &[
    // ---- North America
    row("whitetail", "wt|white tailed deer|whitetailed|whitetail deer|virginia deer|coues deer|coues|weißwedelhirsch", (Antlers, Males), Deer, A, BUCK),
    row("mule deer", "muley|mulie|maultierhirsch", (Antlers, Males), Deer, A, BUCK),
    row("blacktail", "black tailed deer|blacktailed|blacktail deer|sitka blacktail|columbia blacktail", (Antlers, Males), Deer, A, BUCK),
    row("elk", "wapiti|american elk|rocky mountain elk|roosevelt elk|tule elk", (Antlers, Males), Elk, A, BULL),
    row("moose", "elch|eurasian elk|european elk|shiras moose", (Antlers, Males), Moose, None, BULL),
    row("caribou", "barren ground caribou|woodland caribou|karibu", (Antlers, Both), Elk, A, BULL),
    row("pronghorn", "antelope|pronghorn antelope|prong horn|speed goat|gabelbock", (Horns, Males), Horned, A, BUCK),
    row("bighorn", "bighorn sheep|big horn|rocky mountain bighorn|desert bighorn|desert sheep|dickhornschaf", (Horns, Both), Horned, A, RAM),
    row("dall sheep", "dall|stone sheep|thinhorn|thinhorn sheep", (Horns, Both), Horned, A, RAM),
    row("mountain goat", "mtn goat|rocky mountain goat|schneeziege", (Horns, Both), Horned, A, BILLY),
    row("bison", "american bison|american buffalo|plains bison", (Horns, Both), Horned, A, BULL),
    row("muskox", "muskoxen|moschusochse", (Horns, Both), Horned, A, BULL),
    row("aoudad", "barbary sheep|mähnenspringer|maehnenspringer", (Horns, Both), Horned, A, RAM),
    row("javelina", "peccary|collared peccary", (Tusks, Both), Hog, A, BOAR),
    row("hog", "wild hog|feral hog|wild pig|feral pig|pig|razorback", (Tusks, Males), Hog, A, BOAR),
    row("black bear", "cinnamon bear|schwarzbär|schwarzbaer", (Bare, Both), Bear, A, BOAR),
    row("grizzly", "grizzly bear|griz|grizz", (Bare, Both), Bear, A, BOAR),
    row("brown bear", "kodiak bear|kodiak|braunbär|braunbaer", (Bare, Both), Bear, None, BOAR),
    row("polar bear", "eisbär|eisbaer", (Bare, Both), Bear, None, BOAR),
    row("mountain lion", "cougar|puma|panther|lion", (Bare, Both), Small, A, TOM),
    row("coyote", "yote|kojote", (Bare, Both), Small, A, NO_WORD),
    row("bobcat", "bob cat", (Bare, Both), Small, A, TOM),
    row("wolverine", "vielfraß|vielfrass", (Bare, Both), Small, None, NO_WORD),
    row("raccoon", "racoon|coon|waschbär|waschbaer", (Bare, Both), Small, None, BOAR),
    row("beaver", "biber", (Bare, Both), Small, None, NO_WORD),
    row("gray fox", "grey fox|grayfox", (Bare, Both), Small, A, VIXEN),
    row("river otter", "otter|fischotter", (Bare, Both), Small, None, BOAR),
    row("opossum", "possum", (Bare, Both), Small, A, NO_WORD),
    row("skunk", "striped skunk", (Bare, Both), Small, A, NO_WORD),
    row("muskrat", "bisamratte|bisam", (Bare, Both), Small, None, NO_WORD),
    row("marten", "pine marten|baummarder|steinmarder", (Bare, Both), Small, None, NO_WORD),
    row("fisher", "fisher cat", (Bare, Both), Small, A, NO_WORD),
    row("ringtail", "ringtail cat", (Bare, Both), Small, A, NO_WORD),
    row("alligator", "gator", (Bare, Both), Group::Other, A, BULL),
    row("turkey", "wild turkey", (Bare, Both), Group::Other, A, TOM),
    // ---- Europe
    row("red deer", "rothirsch|rotwild|cerf", (Antlers, Males), Deer, E, STAG),
    row("roe deer", "roe|reh|rehwild|chevreuil", (Antlers, Males), Deer, E, BUCK),
    row("fallow deer", "fallow|damhirsch|damwild|daim", (Antlers, Males), Deer, E, BUCK),
    row("sika", "sika deer|sikahirsch|sikawild", (Antlers, Males), Deer, E, STAG),
    row("reindeer", "rentier", (Antlers, Both), Elk, E, BULL),
    row("muntjac", "muntjac deer|muntjak", (Antlers, Males), Deer, E, BUCK),
    row("water deer", "chinese water deer|wasserreh", (Tusks, Males), Deer, E, BUCK),
    row("chamois", "gams|gämse|gaemse|gemse|gamswild", (Horns, Both), Horned, E, BUCK),
    row("ibex", "steinbock|alpine ibex|steinwild", (Horns, Both), Horned, E, BILLY),
    row("mouflon", "muffel|muffelwild|muflon", (Horns, Males), Horned, E, RAM),
    row("wild boar", "wildschwein|schwarzwild|eurasian boar|russian boar|sanglier", (Tusks, Males), Hog, E, BOAR),
    row("wolf", "wolves|gray wolf|grey wolf|timber wolf", (Bare, Both), Small, None, NO_WORD),
    row("lynx", "canada lynx|luchs|eurasian lynx", (Bare, Both), Small, None, TOM),
    row("wisent", "european bison", (Horns, Both), Horned, E, BULL),
    row("red fox", "rotfuchs|fuchs", (Bare, Both), Small, None, VIXEN),
    row("badger", "dachs|european badger|american badger", (Bare, Both), Small, None, BOAR),
    row("jackal", "golden jackal|goldschakal", (Bare, Both), Small, E, NO_WORD),
    row("raccoon dog", "marderhund|enok", (Bare, Both), Small, E, NO_WORD),
    row("wildcat", "wildkatze", (Bare, Both), Small, E, TOM),
    // ---- kept by people
    row("domestic sheep", "hausschaf", (Horns, Both), Horned, None, RAM),
    row("domestic goat", "feral goat|spanish goat|boer goat|hausziege", (Horns, Both), Horned, None, BILLY),
    row("cattle", "longhorn|steer|texas longhorn|rind", (Horns, Both), Horned, None, BULL),
    row("horse", "pferd", (Bare, Both), Group::Other, None, NO_WORD),
    row("dog", "hund", (Bare, Both), Small, None, NO_WORD),
    row("cat", "house cat|katze", (Bare, Both), Small, None, TOM),
    row("rabbit", "cottontail|kaninchen", (Bare, Both), Small, None, BUCK),
    // ---- from farther away
    row("axis deer", "axis|chital", (Antlers, Males), Deer, None, BUCK),
    row("sambar", "sambar deer", (Antlers, Males), Deer, None, STAG),
    row("rusa", "rusa deer", (Antlers, Males), Deer, None, STAG),
    row("hog deer", "", (Antlers, Males), Deer, None, BUCK),
    row("blackbuck", "black buck|hirschziegenantilope", (Horns, Males), Horned, None, NO_WORD),
    row("nilgai", "blue bull|nilgau", (Horns, Males), Horned, None, BULL),
    row("tahr", "thar|himalayan tahr", (Horns, Both), Horned, None, BULL),
    row("kudu", "greater kudu|koedoe", (Horns, Males), Horned, None, BULL),
    row("impala", "rooibok", (Horns, Males), Horned, None, BUCK),
    row("springbok", "springbuck", (Horns, Both), Horned, None, NO_WORD),
    row("gemsbok", "oryx|scimitar oryx|scimitar horned oryx", (Horns, Both), Horned, None, BULL),
    row("wildebeest", "blue wildebeest|black wildebeest|gnu", (Horns, Both), Horned, None, BULL),
    row("blesbok", "blesbuck", (Horns, Both), Horned, None, NO_WORD),
    row("eland", "", (Horns, Both), Horned, None, BULL),
    row("nyala", "", (Horns, Males), Horned, None, BULL),
    row("bushbuck", "", (Horns, Males), Horned, None, NO_WORD),
    row("waterbuck", "", (Horns, Males), Horned, None, BULL),
    row("sable", "sable antelope", (Horns, Both), Horned, None, BULL),
    row("hartebeest", "red hartebeest", (Horns, Both), Horned, None, BULL),
    row("steenbok", "", (Horns, Males), Horned, None, NO_WORD),
    row("duiker", "", (Horns, Males), Horned, None, NO_WORD),
    row("cape buffalo", "african buffalo|kaffernbüffel|kaffernbueffel", (Horns, Both), Horned, None, BULL),
    row("water buffalo", "", (Horns, Both), Horned, None, BULL),
    row("banteng", "", (Horns, Both), Horned, None, BULL),
    row("warthog", "wart hog", (Tusks, Both), Hog, None, BOAR),
    row("bushpig", "bush pig", (Tusks, Both), Hog, None, BOAR),
    row("zebra", "", (Bare, Both), Group::Other, None, NO_WORD),
    row("leopard", "", (Bare, Both), Small, None, TOM),
    row("african lion", "", (Bare, Both), Small, None, NO_WORD),
    row("hippo", "hippopotamus", (Tusks, Both), Group::Other, None, BULL),
];

/// What says animal and sex in one word.
#[rustfmt::skip] // A table is read across.
pub(super) const SEXED: &[(&str, &str, Sex)] = &[
    ("rehbock", "roe deer", Male), ("ricke", "roe deer", Female), ("roebuck", "roe deer", Male),
    ("hirsch", "red deer", Male), ("hirschkuh", "red deer", Female), ("alttier", "red deer", Female),
    ("damschaufler", "fallow deer", Male),
    ("keiler", "wild boar", Male), ("bache", "wild boar", Female),
    ("gamsbock", "chamois", Male), ("gamsgeiß", "chamois", Female), ("gamsgeiss", "chamois", Female),
    ("steingeiß", "ibex", Female), ("steingeiss", "ibex", Female),
    ("muffelwidder", "mouflon", Male), ("widder", "mouflon", Male),
    ("elchkuh", "moose", Female), ("elchbulle", "moose", Male),
];

/// What means another animal in another part of the world, or several anywhere: all that it can mean,
/// the likeliest first.
#[rustfmt::skip] // A table is read across.
pub(super) const MEANS: &[(&str, Option<Home>, &[&str])] = &[
    ("elk", E, &["moose", "elk"]),
    ("bear", A, &["black bear", "grizzly", "brown bear"]),
    ("bear", E, &["brown bear", "black bear"]), ("bär", None, &["brown bear", "black bear"]),
    ("buffalo", A, &["bison", "cape buffalo"]),
    ("buffalo", E, &["cape buffalo", "water buffalo", "bison"]),
    ("boar", E, &["wild boar"]),
    ("wild boar", A, &["hog", "wild boar"]),
    ("deer", A, &["whitetail", "mule deer", "blacktail"]),
    ("deer", E, &["red deer", "roe deer", "fallow deer", "sika"]),
    ("sheep", A, &["bighorn", "dall sheep", "domestic sheep"]),
    ("sheep", E, &["mouflon", "domestic sheep"]),
    ("goat", A, &["mountain goat", "domestic goat"]), ("goat", E, &["domestic goat", "ibex"]),
    ("fox", A, &["red fox", "gray fox"]), ("fox", E, &["red fox"]),
    ("lion", E, &["african lion", "mountain lion"]),
    ("lion", A, &["mountain lion", "african lion"]),
    ("antelope", E, &["pronghorn", "impala", "gemsbok"]),
    ("wild cat", A, &["bobcat", "mountain lion", "wildcat"]),
];
