//! The prompt's own keys and short words, as one screen of help.

use super::brief;

/// What a hand types at the prompt beside whole lines.
const KEYS: &str = "\
At the prompt a line may be shorter. Any beginning of a word that begins no
other does; so do these:
SHORT
  pot-1                stand there: `in 0417` is into it, short tags are of it
  look softening       all that is where you stand; nowhere: stand no more
  pot-1 look 17 clean  two digits of a tag, where a place is named
  pot-1 out all        everything that is in pot-1
  same 0419            the last line with this tag; same tub-2: there
  wash same            the skulls of the last line
  fill tub-1 same      as tub-1 itself was last filled
  soda 8 oz            into where you stand

Asked w, a or n: w done but not recorded, a REASON anyway, n record nothing.
e asks for each skull, r records all but this one; y takes what is suggested.

It rings when a look, a lift, a change or a dry is due: do it, or say heard.
hand ines: ines works here from now on. status: how things stand. more: the
rest of the last answer. A scanner types one word a line, then GO. Ctrl-C
clears the line, Ctrl-D leaves.
";

/// The screen, with the table of short words in it.
pub fn keys() -> String {
    let short: Vec<String> = brief::lines(74).iter().map(|line| format!("  {line}")).collect();
    KEYS.replace("SHORT", &short.join("\n"))
}
