//! At the counter: a visit from its first word to the hand-over.

use crate::{browser::Browser, world::World};

#[test]
fn a_visit_is_priced_as_it_is_typed_recorded_paid_and_collected() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(820, 1180);
    tab.go(&format!("{}?to=/counter", page.once));
    tab.fill("#name", "Ada Fenn");
    tab.fill("#phone", "555-0142");
    tab.fill("#licence", "L-77934");
    tab.fill("#tag-0", "0420");
    tab.fill("#species-0", "whitetail");
    tab.fill("#points-0", "8");
    tab.choose("#state-0", "skinned");
    tab.tap("[data-part=nose]");
    tab.tap("[data-word=cracked]");
    tab.until("document.querySelector('#condition-0').value === 'nose cracked'");
    tab.until("/\\d+\\.\\d\\d/.test(document.querySelector('#prices').innerText)");
    tab.picture("counter-820");

    // Left, and found again.
    tab.go(&page.at("/"));
    tab.go(&page.at("/counter"));
    tab.tap_key("Begun: Ada Fenn 555-0142 0420");
    tab.until("document.querySelector('#species-0')?.value === 'whitetail'");
    tab.tap_key("Record the visit");
    tab.reads("Did the customer hear the price?");
    tab.picture("counter-820-price");
    tab.tap("input[value=agreed]");
    tab.fill("#deposit", "50");
    tab.tap_key("Done");
    tab.until("location.pathname === '/skull/0420'");
    let log = world.log("office");
    for word in ["take-in 0420", "quote", "agree", "pay"] {
        assert!(log.iter().any(|line| line.starts_with(word)), "{word}: {log:?}");
    }

    tab.go(&page.at("/collect?q=fenn"));
    tab.reads("Ada Fenn");
    tab.picture("collect-820");
    tab.tap_key("Pay");
    tab.reads("Recorded");
    tab.go(&page.at("/collect?q=0420"));
    tab.tap("input[name=skull][value='0420']:not(:checked)");
    tab.tap_key("Hand over");
    tab.tap("#slip form:has(button[value=a]) input[name=words]");
    tab.types("he waits outside");
    tab.tap("#slip button[value=a]");
    tab.reads("Recorded");
    let log = world.log("office");
    assert!(log.last().unwrap().starts_with("hand-over"), "{log:?}");
    assert!(!log.iter().any(|line| line.contains("Fenn")), "a name is on the log: {log:?}");
    tab.go(&page.at("/slip/0420"));
    tab.reads("paid in full");
    assert_eq!(tab.complaints(), [""; 0]);
}

#[test]
fn a_call_is_answered_with_one_tap_and_a_gap_is_filled_in_place() {
    let world = World::new();
    world.yard();
    world.says(
        "office",
        "ticket --name \"Otis Marr\" --phone 555-0107
         take-in 0430 whitetail 6 pt skinned
         quote 0430",
    );
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(390, 844);
    tab.go(&format!("{}?to=/desk", page.once));
    tab.picture("desk-390");
    tab.tap_key("No answer");
    tab.reads("Recorded");
    tab.go(&page.at("/desk/register"));
    tab.fill("form[data-of='0411'] input[name=with-kill-tag]", "KT-20411");
    tab.tap("form[data-of='0411']:has(input[name=with-kill-tag]) button");
    tab.reads("Recorded");
    let log = world.log("office");
    assert!(log.iter().any(|line| line.starts_with("tell ")), "{log:?}");
    assert!(log.iter().any(|line| line.contains("KT-20411")), "{log:?}");
}

#[test]
fn an_owner_tries_a_script_sets_a_limit_on_the_page_and_a_hand_steps_up_with_one_tap() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1440, 900);
    tab.go(&format!("{}?to=/owner", page.once));
    tab.tap_key("Write or change a script");
    tab.fill("#script-name", "house");
    tab.fill("#source", "fn price(job) { no_such_thing(job) }");
    tab.tap_key("Check");
    tab.reads("Looked at; nothing was recorded");
    tab.until("document.querySelector('#slip').innerText.includes('no_such_thing')");
    tab.picture("owner-1440-checked");
    tab.key("Escape");
    tab.until("document.querySelector('#slip').children.length === 0");
    // A limit is set without writing a script.
    tab.choose("#number", "not-too-long look-every");
    tab.fill("#number-value", "30 min");
    tab.tap_key("Set it");
    tab.until(
        "document.querySelector('#slip').innerText.includes('look-every from 45 min to 30 min')",
    );
    tab.picture("owner-1440-number");
    tab.key("Escape");
    tab.until("document.querySelector('#slip').children.length === 0");
    tab.go(&page.at("/owner"));
    tab.until(
        "document.querySelector('#number').textContent.includes('look-every: 30 min (as written: 45 min)')",
    );
    tab.tap_key("tom");
    tab.until("document.querySelector('#stand .who').innerText.includes('tom')");
    assert_eq!(tab.complaints(), [""; 0]);
}
