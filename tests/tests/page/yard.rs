//! At the pots, with wet gloves.

use crate::{browser::Browser, world::World};

fn tag(tag: &str) -> String {
    format!("label:has(> input[value='{tag}'])")
}

#[test]
fn a_wash_of_three_takes_four_taps_and_is_on_the_log_and_taken_back_with_one() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(390, 844);
    tab.go(&page.once);
    tab.reads("0411");
    for skull in ["0411", "0412", "0413"] {
        tab.tap(&tag(skull));
    }
    tab.picture("yard-390-chosen");
    tab.tap_key("wash");
    assert_eq!(tab.taps, 4);
    tab.reads("Recorded");
    tab.picture("yard-390-recorded");
    let log = world.log("office");
    let washed = log.iter().filter(|line| line.starts_with("wash ")).count();
    assert_eq!(washed, 3, "{log:?}");
    tab.tap_key("Take it back");
    tab.until("document.querySelector('#slip').innerText.includes('strike')");
    let log = world.log("office");
    assert_eq!(log.iter().filter(|line| line.starts_with("strike ")).count(), 1, "{log:?}");
    tab.fill("#line", "note 0411 left eye");
    tab.key("Enter");
    tab.until("document.querySelector('#slip').innerText.includes('left eye')");
    tab.fill("#line", "undo");
    tab.key("Enter");
    tab.until("document.querySelector('#slip').innerText.includes('strike')");
    assert!(world.log("office").last().unwrap().starts_with("strike "));
    assert_eq!(tab.complaints(), [""; 0]);
}

#[test]
fn what_a_rule_objects_to_is_asked_with_the_keys_of_the_terminal() {
    let world = World::new();
    world.yard();
    world.says(
        "office",
        "take-in 0415 whitetail 4 pt skinned
         condition 0415 --nose whole --jaw whole --shot no
         papers 0415 --licence L-77810
         flesh 0415 brain",
    );
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(820, 1180);
    tab.go(&page.once);
    tab.tap(&tag("0415"));
    tab.tap_key("into pot-1");
    tab.reads("wrap the antlers at the burr first");
    tab.picture("yard-820-asked");
    tab.tap("#slip button[value=w]");
    tab.reads("Recorded");
    let log = world.log("office");
    let [.., wrap, into] = log.as_slice() else { panic!("{log:?}") };
    assert!(wrap.starts_with("wrap 0415") && into.starts_with("in pot-1 0415"), "{log:?}");
}

#[test]
fn what_is_said_elsewhere_comes_in_by_itself_and_keeps_what_was_tapped() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1440, 900);
    tab.go(&page.once);
    tab.tap(&tag("0413"));
    world.joins("yard-1", burrline_terms::words::Role::Bench);
    world.says("yard-1", "in rack-1 0411 --anyway tried");
    tab.until("document.querySelector('.rack input[value=\"0411\"]') !== null");
    tab.until("document.querySelector('input[value=\"0413\"]').checked");
    assert_eq!(tab.complaints(), [""; 0]);
}

#[test]
fn digits_find_a_tag_and_a_photo_goes_into_evidence() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(390, 844);
    tab.go(&page.once);
    tab.tap("#keypad-open");
    tab.tap("[data-digit='1']");
    tab.tap("[data-digit='2']");
    tab.picture("keypad-390");
    tab.tap("#matches button");
    tab.reads("1 chosen: 0412");
    tab.tap("#open-skull");
    tab.reads("mule deer 10 pt");
    let photo = world.folder("nose.png");
    image::RgbImage::from_pixel(64, 48, image::Rgb([200, 180, 140])).save(&photo).unwrap();
    tab.until("!document.querySelector('[data-photo]').hidden");
    tab.file("#photo-file", &photo);
    tab.reads("Recorded");
    tab.go(&page.at("/skull/0412"));
    tab.until("document.querySelector('.shot img')?.naturalWidth > 0");
    tab.picture("skull-390");
    let log = world.log("office");
    assert!(log.iter().any(|line| line.starts_with("photograph 0412")), "{log:?}");
}
