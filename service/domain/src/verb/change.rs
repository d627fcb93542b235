//! A verb with one of its fields said anew, and all others as they were.

#[allow(clippy::wildcard_imports, reason = "the table names every verb")]
use super::*;

macro_rules! define_changes {
    ($($number:literal $class:ident $on:ident $role:ident $Verb:ident $word:literal $help:literal {
        $($field:ident: $ty:ty = $fhelp:literal),* $(,)?
    })*) => {
        impl Verb {
            /// The same line with one field said anew.
            ///
            /// # Errors
            /// [`BadWord`] if the verb has no such field, or the words are wrong for it.
            pub fn with(&self, field: &str, words: &[String]) -> Result<Self, BadWord> {
                let mut changed = self.clone();
                match &mut changed {
                    $(Self::$Verb(verb) => match field {
                        $(stringify!($field) => {
                            verb.$field = Field::from_words(stringify!($field), words)?;
                        })*
                        _ => return Err(BadWord::new(field, format!("a field of {}", $word))),
                    },)*
                }
                Ok(changed)
            }

            /// The same line with what it leaves unsaid as an earlier one of the same verb said it.
            #[must_use]
            pub fn filled_from(&self, before: &Self) -> Self {
                match (self.clone(), before) {
                    $((Self::$Verb(mut verb), Self::$Verb(before)) => {
                        $(if verb.$field.to_words().is_empty() {
                            verb.$field = before.$field.clone();
                        })*
                        Self::$Verb(verb)
                    })*
                    (other, _) => other,
                }
            }
        }
    };
}

with_verbs!(define_changes);

#[cfg(test)]
mod tests {
    use super::*;

    fn verb(word: &str, said: &[(&str, &str)]) -> Verb {
        let given = |field: &str| {
            let words = said.iter().filter(|(name, _)| *name == field);
            words.map(|(_, word)| (*word).to_owned()).collect()
        };
        Verb::read(word, &given).unwrap()
    }

    #[test]
    fn a_field_that_is_said_anew_leaves_all_others_as_they_were() {
        let before =
            verb("look", &[("skull", "0417"), ("tissue", "softening"), ("teeth", "opening")]);
        let now = before.with("tissue", &["clean".to_owned()]).unwrap();
        let wanted = verb("look", &[("skull", "0417"), ("tissue", "clean"), ("teeth", "opening")]);
        assert_eq!(now, wanted);
        assert!(before.with("mass", &["12 g".to_owned()]).is_err());
        assert!(before.with("tissue", &["soggy".to_owned()]).is_err());
    }

    #[test]
    fn what_is_left_unsaid_is_taken_from_the_line_before_of_the_same_verb_alone() {
        let before = verb("flesh", &[("skull", "0417"), ("brain", "yes")]);
        let again = verb("flesh", &[("skull", "0418")]);
        let wanted = verb("flesh", &[("skull", "0418"), ("brain", "yes")]);
        assert_eq!(again.filled_from(&before), wanted);
        let wash = verb("wash", &[("skull", "0418")]);
        assert_eq!(wash.filled_from(&before), wash);
    }
}
