//! Invented names. Nobody is meant.

use crate::dice::Dice;

const FIRST: &[&str] = &[
    "Walt", "Lena", "Otis", "Ruth", "June", "Cal", "Mabel", "Enoch", "Willa", "Silas", "Petra",
    "Amos", "Greta", "Harlan", "Nell", "Rufus", "Opal", "Jonas", "Vera", "Clem", "Dora", "Ezra",
    "Faye", "Gus", "Hattie", "Ivo", "Josie", "Knut", "Lotte", "Milo", "Nora", "Orrin",
];
const LAST: &[&str] = &[
    "Pender", "Voss", "Marr", "Amsel", "Sarkis", "Dorsey", "Fenn", "Quill", "Harrow", "Tindle",
    "Okafor", "Brandt", "Selig", "Marsh", "Ruiz", "Halvor", "Winslow", "Teague", "Lund", "Abbas",
    "Crane", "Dace", "Ebner", "Foss", "Garrick", "Hobb", "Isley", "Juhl", "Kestrel", "Lowe",
];
/// Counties of no map.
pub const COUNTIES: &[&str] = &["Alder", "Tamarack", "Willow Fork", "Graystone", "Two Benches"];

/// A person who brings a head.
#[derive(Debug, Clone)]
pub struct Person {
    /// First and last name.
    pub name: String,
    /// A telephone number of the kind that no telephone has.
    pub phone: String,
    /// The number of a licence.
    pub licence: String,
}

impl Person {
    /// Somebody.
    pub fn somebody(dice: &mut Dice) -> Self {
        let first = dice.pick(FIRST, "Walt");
        let last = dice.pick(LAST, "Pender");
        Self {
            name: format!("{first} {last}"),
            phone: format!("555-01{:02}", dice.below(100)),
            licence: format!("L-{}", dice.between(70_000, 79_999)),
        }
    }
}
