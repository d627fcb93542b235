//! With the shop out of reach.

use crate::{browser::Browser, world::World};

#[test]
fn a_potful_is_kept_while_the_shop_is_away_and_goes_out_when_it_is_back() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1024, 768);
    tab.go(&page.once);
    tab.reads("shop in reach");
    world.line.cut();
    for skull in ["0411", "0412"] {
        tab.tap(&format!("label:has(> input[value='{skull}'])"));
    }
    tab.tap_key("wash");
    tab.reads("Kept here");
    tab.reads("2 lines wait");
    tab.reads("from this bench's own copy");
    tab.picture("yard-1024-away");
    let before = world.shop.shop.published().records();
    world.line.mend();
    tab.reads("shop in reach");
    tab.until("!document.querySelector('.waits')");
    assert_eq!(world.shop.shop.published().records(), before + 2);
}

#[test]
fn the_wall_tells_what_rings_and_names_nobody_and_says_when_its_program_is_gone() {
    let world = World::new();
    world.yard();
    world.says("office", "wash 0411 0412 0413");
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1440, 900);
    tab.go(&format!("{}?to=/wall", page.once));
    tab.reads("pot-1");
    tab.picture("wall-1440");
    let text = tab.text();
    assert!(!text.contains("L-77810") && !text.contains(".00"), "{text}");
    drop(page);
    tab.until("document.body.hasAttribute('data-gone')");
    tab.reads("this may be old");
}
