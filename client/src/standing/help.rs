//! The one screen of help at the prompt.

use super::brief;

/// What a stranger needs for the first ten minutes.
const SCREEN: &str = "\
Say what was done, then where, then which tags. Enter says it; the answer says
back what each number is.

  in pot-1 0417 0418        two skulls into pot-1
  look 0417 slipping        how it looks: tight, softening, slipping, clean
  out 0417                  out of where it is
  wash 0417 0418            weigh 0417 1,420 g       note 0417 brass plate
  fill tub-1 18 L 2 L 12 %  heat pot-1 boil          change pot-1
  reading tub-1 2.8 %       reading pot-1 190 F      reading tub-1 ph 7

Shorter: any beginning of a word that begins no other, and these; else it asks
SHORT
  pot-1 look 17 slipping    two digits, where a place is named
  pot-1 out all             everything that is in pot-1
  pot-1                     stand there: `in 0417` is into it, short tags are
                            of it; nowhere ends it
  at 10:40 out 0417         it happened at 10:40
  same 0419                 the last line with this tag; same tub-2: there
  wash same                 the skulls of the last line
  fill tub-1 same           as tub-1 was last filled

Wrong
  strike                    takes back this bench's last line; strike 2: two
  amend                     the last line again, to edit
  amend 0417 weigh 1,240 g  its last weighing, as it should have been
  assign                    lines on no job, by number; assign 1 0417

Asked w, a or n: w it was done and not said, a REASON anyway, n leave it off.
One answer is for all skulls of a line with the same remark; e asks for each.

Reading
  floor  pot-1  next pot-1  find 0417  find Fenn  show 0417  trail 0417
  due  clashes  outbox  calls  lock-up  status

It rings when a look, a lift, a change or a dry is due: do it, or say heard.
hand ines: ines works here from now on. A scanner types one word a line: the
verb, the place, the tags, then GO. Ctrl-C clears the line, Ctrl-D leaves.
help VERB tells of one; help verbs lists them all.
";

/// The screen, with the table of short words in it.
pub fn screen() -> String {
    let short: Vec<String> = brief::lines(74).iter().map(|line| format!("  {line}")).collect();
    SCREEN.replace("SHORT", &short.join("\n"))
}
