//! A customer's name where a tag belongs: `amsel paid 240 card`, `called amsel, no answer`.
//!
//! A name is no tag: whose heads it means is asked, with the line as it would be recorded. Only a line
//! that cannot be read as it was typed is looked at so, for a name may be any other word too.

use burrline_bench::whose::CustomerHere;
use burrline_domain::verb::spec;
use burrline_line::{
    closed,
    unclear::{Choice, Unclear, line},
};
use burrline_present::alike_names::nearly;
use burrline_terms::Tag;

use super::Known;

/// More heads than this are offered together alone.
const EACH_BY_ITSELF: usize = 5;

/// So many letters has a word that is taken for nearly a name.
const NEARLY_FROM: usize = 6;

/// Whether a line may be one that is asked about once more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Further {
    /// It may.
    MayBeAsked,
    /// It has to be clear.
    No,
}

/// What a line with a name in it could mean; none if no word of it is a name, or no line comes of it.
/// `reads` tells whether a line can be taken as it is; one that begins with the name may be asked about
/// further.
pub fn meant(
    words: &[String],
    here: &[CustomerHere],
    reads: impl Fn(&[String], Further) -> bool,
) -> Option<Unclear> {
    let (at, length, whose) = named(words, here)?;
    // `left msg amsel` is asked what for, once it is clear whose.
    let first = bare(words.first()?);
    let opening = first == "left" || closed::reached(&first).is_some() || first == "told";
    let further = if at == 0 || opening { Further::MayBeAsked } else { Further::No };
    let mut choices = Vec::new();
    let mut names = Vec::new();
    for customer in whose {
        names.push(format!("{} ({})", customer.name, tags(&customer.tags)));
        let each =
            if customer.tags.len() > EACH_BY_ITSELF { &[] } else { customer.tags.as_slice() };
        let each = each.iter().map(std::slice::from_ref).filter(|_| customer.tags.len() > 1);
        let (front, behind) = words.split_at_checked(at)?;
        let behind = behind.get(length..)?;
        // `dorsey agreed 413`: the name says no more than the tag does.
        let said =
            front.iter().chain(behind).any(|word| customer.tags.iter().any(|tag| is(word, tag)));
        let all = if said { &[] } else { customer.tags.as_slice() };
        // A payment is for the whole visit, whichever of its heads is named.
        let all = if pays(words) { all.get(..1).unwrap_or(all) } else { all };
        let each = each.skip(usize::from(pays(words)));
        for heads in std::iter::once(all).chain(each.filter(|_| !said)) {
            let heads = heads.iter().map(ToString::to_string);
            let said: Vec<String> =
                front.iter().cloned().chain(heads).chain(behind.iter().cloned()).collect();
            if reads(&said, further) {
                choices.push(Choice { label: line(&said), words: said });
            }
        }
    }
    let names = burrline_line::words::or(&names);
    let about = format!("a line goes by tags; is it {names}?");
    Some(Unclear { about, choices }).filter(|asked| !asked.choices.is_empty())
}

/// Whether a line says that money was given.
fn pays(words: &[String]) -> bool {
    let words: Vec<String> = words.iter().map(|word| bare(word)).collect();
    words.iter().any(|word| closed::synonym(word).unwrap_or(word) == "pay")
        || words.windows(2).any(|two| {
            matches!(two, [gave, to] if gave == "gave" && (to == "me" || to == "us"))
                || matches!(two, [put, down] if put == "put" && down == "down")
        })
        || words.iter().any(|word| matches!(word.as_str(), "cash" | "card" | "deposit"))
}

/// The words of a line that may be a name: of letters, and none that is known for something else.
pub fn may_be_names(words: &[String], known: &Known) -> Vec<String> {
    let lexicon = &known.lexicon;
    let is_name = |word: &String| {
        word.chars().count() > 2
            && word.chars().all(|c| c.is_alphabetic() || matches!(c, '-' | '\'' | '\u{2019}'))
            && spec(word).is_none()
            && known.place_named(word).is_none()
            && lexicon.hand(word).is_none()
    };
    words.iter().map(|word| bare(word)).filter(is_name).collect()
}

/// Where a name stands in a line, over how many words, and whose it is.
fn named<'a>(
    words: &[String],
    here: &'a [CustomerHere],
) -> Option<(usize, usize, Vec<&'a CustomerHere>)> {
    let bare: Vec<String> = words.iter().map(|word| bare(word)).collect();
    (0..bare.len()).find_map(|at| {
        let word = bare.get(at).filter(|word| word.chars().count() > 2)?;
        let of = |customer: &&CustomerHere| is_of(word, customer, here);
        let whose: Vec<&CustomerHere> = here.iter().filter(of).collect();
        let next = bare.get(at.saturating_add(1));
        // First name and last: whoever has both.
        let both = next.map(|next| {
            let has = |customer: &&&CustomerHere| is_of(next, customer, here);
            whose.iter().filter(has).copied().collect::<Vec<_>>()
        });
        match both {
            Some(both) if !both.is_empty() => Some((at, 2, both)),
            Some(_) | None if whose.is_empty() => None,
            Some(_) | None => Some((at, 1, whose)),
        }
    })
}

/// Whether a word is a part of a customer's name; or nearly one, where nobody has it as it was typed.
fn is_of(word: &str, customer: &CustomerHere, here: &[CustomerHere]) -> bool {
    let written = |customer: &CustomerHere| parts(&customer.name).any(|part| part == word);
    // A short word is a slip away from too many: `price` is no Prince.
    let long = word.chars().count() >= NEARLY_FROM;
    written(customer) || (long && !here.iter().any(written) && nearly(word, &customer.name))
}

/// A word as names are compared: small, without a mark behind it and without `\u{2019}s`.
fn bare(word: &str) -> String {
    let word = word.trim_end_matches([',', '.', ';', ':', '?']).to_lowercase();
    let owned = word.strip_suffix("'s").or_else(|| word.strip_suffix("\u{2019}s"));
    owned.unwrap_or(&word).to_owned()
}

fn parts(name: &str) -> impl Iterator<Item = String> {
    name.split_whitespace().map(bare)
}

/// Whether a word is a tag, nought or none before it.
fn is(word: &str, tag: &Tag) -> bool {
    let number = |text: &str| text.trim_start_matches('0').to_lowercase();
    number(word.trim_end_matches(',')) == number(&tag.to_string())
}

fn tags(tags: &[Tag]) -> String {
    tags.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use burrline_terms::Typed as _;

    use super::*;

    fn here() -> Vec<CustomerHere> {
        let one = |name: &str, tags: &[&str]| CustomerHere {
            name: name.to_owned(),
            tags: tags.iter().map(|tag| Tag::read(tag).unwrap()).collect(),
        };
        vec![
            one("Ada Fenn", &["0418", "0419"]),
            one("Wade Orrin", &["0420"]),
            one("Cora Orrin", &["0421"]),
        ]
    }

    fn asked(text: &str) -> Option<(String, Vec<String>)> {
        let words: Vec<String> = text.split(' ').map(str::to_owned).collect();
        let asked = meant(&words, &here(), |_, _| true)?;
        Some((asked.about, asked.choices.into_iter().map(|choice| choice.label).collect()))
    }

    #[test]
    fn a_name_stands_for_the_heads_that_are_here_and_is_asked_about() {
        let (about, lines) = asked("fenn paid 240 card").unwrap();
        assert_eq!(about, "a line goes by tags; is it Ada Fenn (0418, 0419)?");
        // A payment is for the whole visit, so that one head of it is named.
        assert_eq!(lines, ["0418 paid 240 card", "0419 paid 240 card"]);
        let (_, lines) = asked("fenn washed").unwrap();
        assert_eq!(lines, ["0418 0419 washed", "0418 washed", "0419 washed"]);
        assert_eq!(asked("called Ada Fenn, no answer").unwrap().1[0], "called 0418 0419 no answer");
        assert_eq!(asked("fenn's slip").unwrap().1[1], "0418 slip");
        assert_eq!(asked("fenn agreed 418").unwrap().1, ["agreed 418"]);
    }

    #[test]
    fn of_two_with_one_name_each_is_offered_and_a_first_name_tells_them_apart() {
        let (about, lines) = asked("orrin called").unwrap();
        assert_eq!(about, "a line goes by tags; is it Wade Orrin (0420) or Cora Orrin (0421)?");
        assert_eq!(lines, ["0420 called", "0421 called"]);
        assert_eq!(asked("cora orrin called").unwrap().1, ["0421 called"]);
    }

    #[test]
    fn a_name_that_is_a_slip_away_is_asked_about() {
        let kay =
            CustomerHere { name: "Kay Johnson".to_owned(), tags: vec![Tag::read("0422").unwrap()] };
        let words = ["jonson", "called"].map(str::to_owned);
        let asked = meant(&words, std::slice::from_ref(&kay), |_, _| true).unwrap();
        assert_eq!(asked.about, "a line goes by tags; is it Kay Johnson (0422)?");
        assert_eq!(asked.choices[0].label, "0422 called");
        // A short word is a slip away from too many.
        let words = ["orin", "called"].map(str::to_owned);
        assert_eq!(meant(&words, &here(), |_, _| true), None);
    }

    #[test]
    fn a_line_without_a_name_or_that_cannot_be_read_with_the_tag_offers_nothing() {
        assert_eq!(asked("wash 0418"), None);
        let words = ["push".to_owned(), "orrin".to_owned()];
        assert_eq!(meant(&words, &here(), |_, _| false), None);
    }
}
