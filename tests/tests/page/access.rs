//! For everybody: every screen by a checker of accessibility, by keyboard alone, at every width, and
//! without its script.
//!
//! The checker is axe-core, from a package archive: AXE names its file. It is not part of the tree.

use burrline_terms::words::Role;
use serde_json::Value;

use crate::{browser::Browser, tab::Tab, world::World};

const SCREENS: [&str; 14] = [
    "/",
    "/place/pot-1",
    "/place/tub-1",
    "/skull/0411",
    "/find?q=whitetail",
    "/find?q=nothing",
    "/counter",
    "/collect?q=0411",
    "/desk",
    "/desk/register",
    "/desk/till",
    "/desk/season",
    "/owner",
    "/wall",
];

fn world() -> World {
    let world = World::new();
    world.yard();
    world.says("office", "wash 0411 0412\nin pot-1 0413 --anyway once-more");
    world
}

/// What the checker finds wrong on a page, each with where.
fn wrong(tab: &mut Tab<'_>, axe: &str) -> Vec<String> {
    tab.eval(&format!("{axe}; true"));
    let found = tab.eval(
        "axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']})
            .then((found) => found.violations.flatMap((one) => one.nodes.map((node) => \
            `${one.id}: ${node.target} ${node.failureSummary}`)))",
    );
    found.as_array().into_iter().flatten().filter_map(Value::as_str).map(str::to_owned).collect()
}

#[test]
fn every_screen_passes_a_checker_of_accessibility_light_and_dark() {
    let file = std::env::var("AXE").expect("AXE names axe.min.js of the package axe-core");
    let axe = std::fs::read_to_string(file).unwrap();
    let world = world();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1024, 768);
    tab.go(&page.once);
    let mut all = Vec::new();
    for scheme in ["light", "dark"] {
        tab.prefers(&[("prefers-color-scheme", scheme), ("prefers-reduced-motion", "reduce")]);
        for screen in SCREENS {
            tab.go(&page.at(screen));
            all.extend(
                wrong(&mut tab, &axe).into_iter().map(|one| format!("{scheme} {screen} {one}")),
            );
        }
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn no_screen_is_wider_than_the_window_from_320_to_2560() {
    let world = world();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(320, 640);
    tab.go(&page.once);
    for (width, height) in [(320, 640), (390, 844), (820, 1180), (1440, 900), (2560, 1440)] {
        tab.size(width, height);
        for screen in SCREENS {
            tab.go(&page.at(screen));
            let wide =
                tab.eval("document.documentElement.scrollWidth - innerWidth").as_i64().unwrap();
            assert!(wide <= 0, "{screen} at {width} is {wide} too wide");
            if [390, 820, 1440].contains(&width) {
                let name = screen.trim_matches('/').replace(['/', '?', '='], "-");
                tab.picture(&format!("screen-{name}-{width}"));
            }
        }
    }
    assert_eq!(tab.complaints(), [""; 0]);
}

#[test]
fn what_is_touched_at_the_pots_is_at_least_64_pixels_high() {
    let world = world();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(390, 844);
    tab.go(&page.once);
    tab.tap("label.tag");
    tab.tap("#all summary");
    let small = tab.eval(
        "[...document.querySelectorAll('.tag, .likely button, .all .keys button')]
            .filter((one) => one.getBoundingClientRect().height < 64).map((one) => one.textContent)",
    );
    assert_eq!(small, serde_json::json!([]));
}

#[test]
fn a_keyboard_alone_washes_a_skull() {
    let world = world();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1024, 768);
    tab.go(&page.once);
    let at = |tab: &mut Tab<'_>, holds: &str| {
        for _ in 0..80 {
            tab.key("Tab");
            if tab.eval(holds) == true {
                return;
            }
        }
        panic!("not reached by Tab: {holds}");
    };
    at(&mut tab, "document.activeElement.value === '0411'");
    tab.key(" ");
    tab.until("document.querySelector('input[value=\"0411\"]').checked");
    at(&mut tab, "document.activeElement.matches('summary')");
    tab.key("Enter");
    at(&mut tab, "document.activeElement.textContent === 'wash'");
    tab.key("Enter");
    tab.reads("Recorded");
    let log = world.log("office");
    assert_eq!(log.iter().filter(|line| line.starts_with("wash 0411")).count(), 2, "{log:?}");
}

#[test]
fn without_its_script_a_line_is_said_and_a_question_answered() {
    let world = world();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1024, 768);
    tab.go(&page.once);
    tab.scripts(false);
    tab.go(&page.at("/skull/0414"));
    tab.tap_key("out");
    tab.loaded();
    tab.reads("Recorded");
    tab.go(&page.at("/skull/0414"));
    tab.tap_key("flesh");
    tab.loaded();
    tab.reads("say the condition first");
    tab.tap("button[value=n]");
    tab.loaded();
    tab.reads("Nothing was recorded");
    let log = world.log("office");
    assert!(log.iter().any(|line| line.starts_with("out 0414")), "{log:?}");
}

#[test]
fn a_bench_at_the_pots_is_shown_no_money_and_no_counter() {
    let world = world();
    world.joins("yard-1", Role::Bench);
    world.runtime.block_on(async {
        let bench = burrline_bench::Bench::open(&world.folder("yard-1")).unwrap();
        bench.catch_up(&burrline_bench::SystemClock, None).await.unwrap();
    });
    let page = world.page("yard-1");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1024, 768);
    tab.go(&page.once);
    tab.reads("0411");
    let text = tab.text();
    assert!(!text.contains("Counter") && !text.contains("Owner"), "{text}");
    tab.go(&page.at("/skull/0411"));
    tab.reads("Story");
    assert!(!tab.text().contains("Money"));
    tab.go(&page.at("/desk/till"));
    tab.reads("That did not work");
}

#[test]
fn the_first_paint_is_told() {
    let world = world();
    let page = world.page("office");
    let mut browser = Browser::start();
    let mut tab = browser.tab(1024, 768);
    tab.go(&page.once);
    for screen in ["/", "/skull/0411", "/desk"] {
        tab.go(&page.at(screen));
        let paint = tab.eval(
            "new Promise((done) => new PerformanceObserver((all) => all.getEntries()
                .filter((one) => one.name === 'first-contentful-paint').forEach((one) => done(one.startTime)))
                .observe({type: 'paint', buffered: true}))",
        );
        println!("{screen}: first paint after {:.0} ms", paint.as_f64().unwrap());
    }
}
