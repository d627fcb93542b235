//! A packet that an earlier release made, held against slips and checkpoints of every kind.
//!
//! Its keys lie beside it, so that a shop or a bench that cheats with its own keys can be played.

#![cfg(test)]
use std::{fs, path::PathBuf};

use burrline_evidence::{
    checkpoint::{Checkpoint, key_of},
    merkle::Hash,
    sign::BenchKey,
};
use burrline_paper::packet::{
    self, Files, made_by,
    manifest::{self, Manifest},
    names,
    outside::Outside,
    verify::{Held, Report, Verdict, verify},
};

fn released(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/released/2026-11").join(name)
}

fn files() -> Files {
    packet::read(&released("packet")).unwrap()
}

fn shop() -> BenchKey {
    let seed = fs::read_to_string(released("shop/shop.key")).unwrap();
    BenchKey::from_seed(hex::decode(seed.trim()).unwrap().try_into().unwrap())
}

fn office() -> BenchKey {
    BenchKey::from_seed(fs::read(released("office/bench.key")).unwrap().try_into().unwrap())
}

/// The heads that the shop gave out, by how many records they are of.
fn given(size: u64) -> String {
    let lines = fs::read_to_string(released("shop/checkpoints")).unwrap();
    let line = lines.lines().find(|line| line.starts_with(&format!("{size} "))).unwrap();
    let [size, root, signature] = line.split(' ').collect::<Vec<_>>()[..] else { panic!() };
    let origin = key_of(shop().public()).name().to_owned();
    format!("{origin}\n{size}\n{root}\n\n\u{2014} {origin} {signature}\n")
}

fn slip(name: &str, text: &str) -> Outside {
    Outside::of_slip(name, &format!("{}\n{text}", key_of(shop().public())))
}

fn resigned(mut files: Files) -> Files {
    let text = String::from_utf8(files[names::MANIFEST].clone()).unwrap();
    let claimed = Manifest::claimed(&text).unwrap();
    let signed = manifest::sign(&claimed.job, claimed.life, &files, &office()).unwrap();
    files.insert(names::MANIFEST.to_owned(), signed.into_bytes());
    files
}

fn said(report: &Report) -> String {
    let checks = report.checks.iter().map(|check| format!("{}: {:?}", check.what, check.held));
    let lines = report.about.iter().chain(&report.pinned).cloned().chain(checks);
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_packet_of_an_earlier_release_holds_and_its_page_is_told_as_made_by_that() {
    let report = verify(&files(), &[slip("slip.txt", &given(41))]);
    assert_eq!(report.verdict(), Verdict::Proved, "{}", said(&report));
    let told = |report: &Report, what: &str| {
        report.checks.iter().any(|c| matches!(&c.held, Held::Told(why) if why.contains(what)))
    };
    assert!(told(&report, "index.html was made by an earlier version"), "{}", said(&report));
    assert!(report.about[0].contains("whitetail 8 pt: tag 0417 from"), "{:?}", report.about);

    // Page, words and a schema file as another version would have them, listed and signed by it.
    let mut other = files();
    let page = "<p class=\"made\">Made by Burrline 9.1.0, drawing 00ff.</p>";
    other.insert(names::PAGE.to_owned(), page.as_bytes().to_vec());
    other.insert(names::README.to_owned(), b"other words".to_vec());
    let verbs = format!("{}burrline/v1/verbs.proto", names::SCHEMA);
    other.get_mut(&verbs).unwrap().extend(b"// more\n");
    let report = verify(&resigned(other), &[slip("slip.txt", &given(41))]);
    assert_eq!(report.verdict(), Verdict::Proved, "{}", said(&report));
    for what in ["index.html was made by Burrline 9.1.0", "README.txt was made by", "it is that of"]
    {
        assert!(told(&report, what), "{what}: {}", said(&report));
    }
}

#[test]
fn a_page_that_was_altered_is_told_whichever_version_made_it() {
    let mut altered = files();
    altered.get_mut(names::PAGE).unwrap()[1000] ^= 1;
    let report = verify(&altered, &[slip("slip.txt", &given(41))]);
    assert_eq!(report.verdict(), Verdict::Damaged("index.html was changed".to_owned()));
    assert!(!report.is_sound());

    // Whoever signs the list anew cannot have another page pass for this version's.
    let page = format!("<p>whole</p><p class=\"made\">Made by Burrline {}.</p>", made_by::VERSION);
    altered.insert(names::PAGE.to_owned(), page.into_bytes());
    let report = verify(&resigned(altered), &[]);
    assert_eq!(report.verdict(), Verdict::Broken, "{}", said(&report));
    assert!(said(&report).contains("index.html: it was changed since this version made it"));
}

#[test]
fn a_slip_says_how_much_it_pins_and_what_rests_on_the_shops_word() {
    let report = verify(&files(), &[slip("early.txt", &given(31)), slip("late.txt", &given(33))]);
    assert_eq!(report.verdict(), Verdict::ProvedUpTo { records: 33, of: 40 }, "{}", said(&report));
    let pins: Vec<_> =
        report.pins.iter().map(|pin| (pin.name.as_str(), pin.size, pin.of)).collect();
    assert_eq!(pins, [("early.txt", 31, 40), ("late.txt", 33, 40)]);
    let told = report.pinned.join("\n");
    for words in [
        "early.txt pins 31 of 40 records, up to ",
        "late.txt pins 33 of 40 records, up to ",
        "not pinned, and on the shop's word alone: ",
        "the photo of ",
    ] {
        assert!(told.contains(words), "{words} in {told}");
    }
    // A head alone, as a neighbor keeps it, shows the key that signed it too.
    let report = verify(&files(), &[Outside::of_slip("head.txt", &given(33))]);
    assert_eq!(report.verdict(), Verdict::ProvedUpTo { records: 33, of: 40 }, "{}", said(&report));
    let report = verify(&files(), &[slip("narrow.txt", "")]);
    assert_eq!(report.verdict(), Verdict::ProvedByKey);
    assert!(report.pinned[0].contains("narrow.txt has no checkpoint on it"), "{:?}", report.pinned);
}

#[test]
fn a_slip_that_cannot_be_read_is_its_own_fault_and_never_passed_over() {
    let good = given(33);
    let (above, _) = good.split_once("\n\n").unwrap();
    for (text, why) in [
        (above.to_owned(), "cut off"),
        (good.replace("=\n", "\n"), "copied wrongly"),
        (good.replacen("33\n", "34\n", 1), "copied wrongly"),
    ] {
        let report = verify(&files(), &[slip("late.txt", &given(41)), slip("bad.txt", &text)]);
        let Verdict::BadSlip(what) = report.verdict() else { panic!("{}", said(&report)) };
        assert!(what.contains("bad.txt"), "{what}");
        assert!(!report.is_sound());
        assert!(report.problems()[0].contains(why), "{:?}", report.problems());
        assert!(report.pinned[0].contains("late.txt pins all 40"), "{:?}", report.pinned);
    }
}

#[test]
fn a_damaged_folder_is_no_second_past_and_a_second_past_is_no_damage() {
    let mut damaged = files();
    damaged.get_mut(names::LEAVES).unwrap()[40] ^= 1;
    let report = verify(&damaged, &[slip("slip.txt", &given(33))]);
    assert_eq!(report.verdict(), Verdict::Damaged("leaf-hashes was changed".to_owned()));
    assert!(!said(&report).contains("two different pasts"), "{}", said(&report));
    assert!(
        said(&report).contains("leaf-hashes of this folder is missing or damaged"),
        "{}",
        said(&report)
    );

    let other = Checkpoint::of(shop().public(), 33, Hash([9; 32])).sign(&shop()).unwrap();
    let report = verify(&files(), &[slip("slip.txt", &other)]);
    assert_eq!(report.verdict(), Verdict::TwoPasts);
    assert!(report.problems()[0].contains("two different pasts"), "{:?}", report.problems());

    // Two slips tell of two pasts by themselves, also where both are newer than the folder.
    let signed =
        |root| Checkpoint::of(shop().public(), 90, Hash([root; 32])).sign(&shop()).unwrap();
    let slips = [slip("a.txt", &signed(1)), slip("b.txt", &signed(2))];
    let report = verify(&files(), &slips);
    assert_eq!(report.verdict(), Verdict::TwoPasts);
    assert!(said(&report).contains("a.txt and b.txt have the same past"), "{}", said(&report));
    let report = verify(&files(), &slips[..1]);
    assert_eq!(report.verdict(), Verdict::Partly);
    assert!(said(&report).contains("a.txt is newer than this folder"), "{}", said(&report));
}

#[test]
fn what_a_computer_leaves_in_a_folder_is_told_and_what_somebody_puts_in_is_refused() {
    let mut more = files();
    for name in ["Thumbs.db", ".layout", "photos/desktop.ini"] {
        more.insert(name.to_owned(), b"x".to_vec());
    }
    let report = verify(&more, &[slip("slip.txt", &given(41))]);
    assert_eq!(report.verdict(), Verdict::Proved, "{}", said(&report));
    assert!(said(&report).contains(".layout, Thumbs.db, photos/desktop.ini"), "{}", said(&report));
    more.insert("records/00000037.record".to_owned(), b"x".to_vec());
    let report = verify(&more, &[]);
    assert_eq!(
        report.verdict(),
        Verdict::Damaged("records/00000037.record was put in later".to_owned())
    );
}

#[test]
fn a_slip_about_another_job_says_so_and_whether_the_tag_is_the_same() {
    let of = |text: &str| verify(&files(), &[slip("slip.txt", &format!("{text}\n{}", given(41)))]);
    let number = String::from_utf8(files()[names::MANIFEST].clone()).unwrap();
    let number = Manifest::claimed(&number).unwrap().job;
    let report = of(&format!("tag 0417, whitetail 8 pt   job {number}"));
    assert_eq!(report.verdict(), Verdict::Proved, "{}", said(&report));
    let report = of("tag 0417, elk   job 7-7-7");
    assert_eq!(report.verdict(), Verdict::Partly, "{}", said(&report));
    assert!(
        said(&report).contains("about job 7-7-7, which wore tag 0417 too"),
        "{}",
        said(&report)
    );
    let report = of("tag 0418, elk   job 7-7-7");
    assert!(said(&report).contains("its checkpoint is compared all the same"));
}
