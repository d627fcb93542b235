//! Words in capitals that stand for a value in a line that the shop proposes: whoever sends such a line as
//! it is has not looked at the paper yet, so it records nothing.

use std::collections::BTreeMap;

use burrline_terms::BadWord;

use crate::{Details, Error};

/// What they are, as lines that fill a blank have them.
const STAND_INS: &[&str] =
    &["NUMBER", "HUNTER", "NAME", "STREET, TOWN", "YYYY-MM-DD", "XX", "SEX", "PURPOSE"];

/// Refuses a line with one of them in it.
///
/// # Errors
/// [`Error::Word`], with what to type instead.
pub(crate) fn refused(
    given: &BTreeMap<&'static str, Vec<String>>,
    words: &[String],
    details: &Details,
) -> Result<(), Error> {
    let Details { name, phone, email, address, licence } = details;
    let sealed = [name, phone, email, address, licence].into_iter().flatten();
    // In a free text it is a word like any other.
    let behind = words.iter().zip(words.iter().skip(1));
    let behind = behind.filter(|(option, _)| option.starts_with("--")).map(|(_, word)| word);
    let mut all = given.values().flatten().chain(sealed).chain(behind);
    match all.find(|word| STAND_INS.contains(&word.as_str())) {
        Some(word) => Err(BadWord::new(
            word,
            "a value: it stands for what is on the paper; type that, or leave it off",
        )
        .into()),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_that_stands_for_a_value_is_none() {
        let words = |text: &str| text.split(' ').map(str::to_owned).collect::<Vec<_>>();
        let (given, nobody) = (BTreeMap::new(), Details::default());
        for line in ["0417 K-18", "0417 his NAME is on the tag"] {
            assert!(refused(&given, &words(line), &nobody).is_ok(), "{line}");
        }
        let said = BTreeMap::from([("kill_tag", words("NUMBER"))]);
        let error = refused(&said, &words("0417"), &nobody).unwrap_err();
        assert!(error.to_string().contains("stands for what is on the paper"), "{error}");
        assert!(refused(&given, &words("0417 --species NAME"), &nobody).is_err());
        let hunter = Details { name: Some("HUNTER".to_owned()), ..Details::default() };
        assert!(refused(&given, &words("0417"), &hunter).is_err());
    }
}
