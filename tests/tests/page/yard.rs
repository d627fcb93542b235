//! At the pots, with wet gloves.

use crate::{browser::Browser, world::World};

#[test]
fn a_wash_of_three_takes_four_taps_and_is_on_the_log() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(390, 844);
    tab.go(&page.once);
    tab.reads("0411");
    for tag in ["0411", "0412", "0413"] {
        tab.tap(&format!("label:has(> input[value='{tag}'])"));
    }
    tab.picture("yard-390-chosen");
    tab.tap_key("wash");
    assert_eq!(tab.taps, 4);
    tab.reads("Recorded");
    tab.picture("yard-390-recorded");
    let log = world.log("office");
    let washed: Vec<&String> = log.iter().filter(|line| line.starts_with("wash ")).collect();
    assert_eq!(washed.len(), 3, "{log:?}");
    assert_eq!(tab.complaints(), [""; 0]);
}
