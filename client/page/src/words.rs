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
    looked_at = "Looked at; nothing was recorded";
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
    rings_now = "It rings";
    on_hold = "on hold";
    no_places = "No place was added yet. The owner says: add-place pot-1 pot";
    promised = "Promised";
    no_such_place = "There is no such place.";
    // ---- one skull
    next_steps = "Next";
    more_lines = "Say more";
    facts = "What is known";
    papers = "Papers and dates";
    money = "Money";
    charged = "charged";
    paid = "paid";
    owed = "owed";
    money_lines = "Line by line";
    story = "Story, the newest first";
    where_it_was = "Where it was, as a ribbon; in words below";
    anyway_said = "anyway:";
    photo = "photo";
    photo_words = "What the photo shows";
    take_photo = "Take a photo";
    photo_no_copy = "a photo without a copy to show";
    no_copy_made = "kept as taken, without a copy to show";
    weigh = "Weigh";
    weigh_how = "What it weighs, such as 2 lb 3 oz";
    note = "Note";
    note_how = "What to remember";
    measure = "Measure";
    measure_what = "What was measured";
    measure_how = "How long, such as 21 7/8in";
    damage = "Damage";
    damage_how = "What it is";
    which_part = "Which part";
    whose = "Whose it was";
    skull_drawing = "A skull from the front: touch a part";
    tape_drawing = "Where the tape goes: spread, beam, length, width";
    part_antler = "antler";
    part_cranium = "skull";
    part_burr = "burr";
    part_eye = "eye socket";
    part_nose = "nose";
    part_teeth = "teeth";
    part_jaw = "jaw";
    // ---- one place
    next_potful = "Next potful";
    nobody_next = "Nobody is ready for it.";
    water = "Water";
    heat_lit = "Lit";
    heat_boil = "Boils";
    heat_down = "Turned down";
    heat_off = "Off";
    water_how = "Water, such as 8 gal";
    add_how = "What goes in, such as peroxide=2L@12%";
    strength_how = "Strength, such as 1.2 %";
    temperature_how = "Temperature, such as 180 F";
    top_up = "Top up";
    reading = "Read";
    change = "Change the water";
    dump = "Dump it";
    fill = "Fill";
    peroxide_caution = "Peroxide burns eyes and skin: goggles and gloves, peroxide into water, lids vented. Follow its label and data sheet.";
    // ---- finding
    find = "Find";
    find_how = "A tag, a name, a number";
    found_nothing = "Nothing was found.";
    more_found = "more that have left";
    // ---- the wall
    rings_next = "Rings next";
    nothing_rings = "nothing within twelve hours";
    waters = "Waters";
    does_not_fit = "Does not fit";
    wall_lost = "No word from the bench's own program: this may be old.";
    program_gone = "The bench's own program does not answer. Nothing was recorded; `burrline page` starts it.";
    // ---- the counter
    visit = "A visit";
    begun_visits = "visits that were begun";
    begun = "Begun";
    new_visit = "New visit";
    price_to_say = "Price to be said";
    no_such_visit = "That visit has been written to its end, or was never begun here.";
    customer = "Customer";
    same_visit = "goes on with the visit of";
    name = "Name";
    phone = "Telephone";
    address = "Address";
    licence = "Hunting licence";
    somebody_else = "Somebody else is";
    hunter = "the hunter";
    bringer = "who brings it";
    payer = "who pays";
    collector = "who collects";
    their_name = "Their name and number";
    sealed = "Names, numbers and addresses are sealed before anything is recorded.";
    known_customer = "Is it one of these?";
    new_customer = "somebody new";
    head = "Head";
    tag = "Tag";
    species = "Animal";
    points = "Points";
    sex = "Sex";
    state = "Comes in";
    not_said = "not said";
    wishes = "Wishes, such as nose keep";
    kill_tag = "Kill tag or permit";
    killed = "Day of the kill";
    county = "County and state";
    condition = "What is broken, shot or missing";
    hide_on = "not seen: the hide is on";
    another_head = "Another head";
    price = "Price";
    price_later = "The price stands here once animal and state are said.";
    price_alone = "Each head alone; what changes for several is in the price that is said in the end.";
    no_price = "no price list prices it; say it with quote";
    priced_by = "priced by";
    tax = "tax";
    total = "total";
    write_visit = "Record the visit";
    keep_visit = "Leave it for later";
    drop_visit = "Throw the form away";
    heard_it = "Did the customer hear the price?";
    agreed = "heard and agreed";
    heard_only = "heard";
    later = "later";
    deposit = "Deposit";
    asked_for = "asked for now";
    paid_now = "Paid now";
    means = "How";
    done = "Done";
    // ---- collection
    customer_not_known = "customer not known here";
    owed_not_known = "What is owed is not known here.";
    pay = "Pay";
    who_collects = "Who collects, if not the customer";
    hand_over = "Hand over";
    slip = "Slip of the visit";
    show_damage = "show:";
    // ---- the desk
    calls = "Calls";
    register = "Register";
    till = "Till";
    season = "Season";
    no_calls = "Nobody is to be called.";
    sealed_here = "a customer whose name is sealed here";
    call = "Call";
    write = "Write";
    last_tried = "last";
    tries = "tries";
    spoke = "Spoke";
    left_message = "Left a message";
    no_answer = "No answer";
    wrong_number = "Wrong number";
    no_gaps = "Nothing is missing.";
    missing = "Missing:";
    fill_in = "Fill in";
    drawer = "The drawer";
    opened_with = "opened with";
    expected = "expected";
    counted = "counted";
    over = "over, or short below zero";
    left_in = "left in it";
    cards_waiting = "cards in no batch yet";
    float = "Open";
    float_how = "Opens with";
    count_till = "Count";
    count_how = "Counted, such as 7x20 18x0.25";
    takings = "Taken today";
    given_back = "given back";
    net = "taken less given back";
    earned = "earned";
    held = "held against work";
    still_owed = "still owed";
    full_when = "What is full when";
    goes_wrong = "What goes wrong, with its doubt";
    not_enough = "There is not enough on the log yet to say.";
    // ---- the owner
    scripts = "Scripts";
    kind = "Kind";
    in_use = "In use";
    pricing = "prices";
    stages = "rules";
    yes = "yes";
    use_it = "Use";
    write_script = "Write or change a script";
    try_on = "Try on this tag";
    source = "The script";
    check = "Check";
    try_it = "Try";
    backtest = "Try on what has happened";
    install = "Install";
    right_all_the_same = "Why it is right, if something looks wrong";
    rules = "Rules and how they fared";
    rule = "Rule";
    said_anyway = "anyway";
    said_first = "said first";
    remarked = "remarked";
    settings = "Settings";
    setting = "Setting";
    value = "New value";
    set = "Set";
    all_settings = "All settings";
    unless_set = "unless set:";
    benches = "Benches";
    retired = "retired";
    last_line = "last line";
    invite_how = "`burrline invite` makes a code for another bench.";
    hands = "Hands and places";
    add_hand = "Name of a new hand";
    add_place = "A new place, such as pot-2 pot --volume 15gal";
    add = "Add";
}
