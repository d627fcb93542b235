//! Every word of the page, in one table, so that another language is another table.
//!
//! What the shop and the engine say (lines, remarks, questions of the rules) comes in their own words.

macro_rules! words {
    ($($name:ident = $words:literal;)*) => {
        /// The words of the page in one language.
        #[derive(Debug)]
        pub(crate) struct Words {
            $(pub(crate) $name: &'static str,)*
        }

        /// As they are shown.
        pub(crate) const WORDS: Words = Words { $($name: $words,)* };
    };
}

words! {
    // ---- the frame
    lang = "en";
    skip = "to the content";
    yard = "Yard";
    counter = "Counter";
    collect = "Collect";
    desk = "Desk";
    owner = "Owner";
    wall = "Wall";
    parts = "parts of the page";
    line = "Say a line, or look for a tag or a name";
    line_short = "wash 0417, or 0417";
    say = "Say";
    leave = "Leave";
    left = "You have left. `burrline page` opens the page anew.";
    in_reach = "shop in reach";
    no_copy = "no copy of the shop's log is here yet";
    waits_one = "1 line waits";
    wait_many = "lines wait";
    works_here = "Works here";
    nobody = "nobody";
    // ---- answers
    asked_first = "Asked first";
    record_nothing = "Record nothing";
    was_done = "It was done, not recorded";
    anyway = "Anyway, with a reason";
    reason = "Reason";
    no_reason = "without a reason in words it is not done";
    seal_it = "It is who it is for: seal it";
    each_by_itself = "Ask for each by itself";
    not_seen = "not seen";
    old_water = "how did the old water look?";
    say_it = "Say it";
    unknown_hand = "The shop knows no hand";
    keep_new_hand = "new here:";
    talk_lost = "The question is gone; nothing was recorded for it. Say it again.";
    recorded = "Recorded";
    kept = "Kept here, goes out later";
    not_recorded = "Nothing was recorded";
    take_back = "Take it back";
    close = "Close";
    heard = "heard; it rings no more for now";
    no_step = "say what was done: press one of the keys";
    no_skull = "tap the skulls first, then the step";
    not_a_line = "that is no line; say what was done, such as wash 0417";
    did_not_work = "That did not work";
    // ---- the gate
    no_such_host = "This address is not the page's own. Open it with `burrline page`.";
    from_another_page = "This came from another page, or from one that was left. Nothing was done.";
    no_session = "Nobody has come in here yet, or the session has ended. `burrline page` opens it.";
    opened_already = "This address was opened already, or is too old. `burrline page` gives another.";
    no_such_page = "There is no such page.";
    // ---- the yard
    nothing_here = "empty";
    nowhere = "In no place";
    since = "since";
    lit_since = "lit since";
    change_at = "change the water";
    rings_at = "rings";
    now = "now";
    chosen = "chosen";
    none_chosen = "Tap skulls, then a step";
    all_steps = "All steps";
    into = "Into";
    open_skull = "Open";
    clear = "Clear";
    keypad = "Digits";
    keypad_long = "A tag by its digits";
    erase = "Erase";
    allow_sound = "Let it ring here";
    hear_it = "Heard";
    full_screen = "Full screen";
    on_hold = "on hold";
    sounds = "It rings here, with sound.";
    no_places = "No place was added yet. The owner says: add-place pot-1 pot";
}
