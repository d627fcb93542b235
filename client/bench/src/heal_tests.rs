//! A bench folder whose files are broken one by one: what is left is used, and what happened is told.

use std::fs;

use super::{
    Bench,
    away_tests::{Away, NOON},
    folder::Folder,
};

fn told(away: &Away) -> String {
    Folder::at(away.dir()).told().join("\n")
}

#[tokio::test]
async fn numbers_that_are_garbage_or_flipped_are_set_aside_and_found_out_anew() {
    let away = Away::bench().await;
    for line in ["wash 0417", "wash 0418", "wash 0419"] {
        away.says(line, NOON).await.unwrap();
    }
    away.bench.folder.keep_number("receipts", 1).unwrap();
    assert_eq!(away.bench.waiting().unwrap().len(), 2);
    let sound = fs::read(away.dir().join("receipts")).unwrap();
    let mut flipped = sound.clone();
    flipped[0] ^= 2;
    // Garbage, no text at all, one bit, and a bare number that no outbox can have reached.
    for damaged in [b"q\n".to_vec(), vec![0xff; 4], flipped, b"9\n".to_vec(), Vec::new()] {
        fs::write(away.dir().join("receipts"), &damaged).unwrap();
        assert_eq!(away.bench.waiting().unwrap().len(), 3, "{damaged:?}");
        let words = told(&away);
        assert!(words.contains("receipts-damaged-"), "{words}");
    }
    fs::write(away.dir().join("receipts"), "2\n").unwrap();
    assert_eq!(away.bench.waiting().unwrap().len(), 1, "as older programs wrote it");
    assert_eq!(told(&away), "");
}

#[tokio::test]
async fn a_bench_without_its_key_says_what_to_do_and_carries_out_what_is_signed() {
    let away = Away::bench().await;
    away.says("wash 0417", NOON).await.unwrap();
    let key = fs::read(away.dir().join("bench.key")).unwrap();
    let mut flipped = key.clone();
    flipped[7] ^= 1;
    for (bytes, why) in
        [(None, "gone"), (Some(&key[..9]), "damaged"), (Some(&flipped[..]), "not the key")]
    {
        match bytes {
            Some(bytes) => fs::write(away.dir().join("bench.key"), bytes).unwrap(),
            None => fs::remove_file(away.dir().join("bench.key")).unwrap(),
        }
        if bytes.is_some() {
            let alone = std::os::unix::fs::PermissionsExt::from_mode(0o600);
            fs::set_permissions(away.dir().join("bench.key"), alone).unwrap();
        }
        let bench = Bench::open(away.dir()).unwrap();
        let line = bench.say("wash 0418", &Away::clock(NOON), &mut crate::Nobody).await;
        let error = line.unwrap_err().to_string();
        assert!(error.contains(why) && error.contains("burrline rejoin --code CODE"), "{error}");
        assert_eq!(bench.waiting().unwrap().len(), 1, "nothing was kept");
        let carried = bench.carried(false, &Away::clock(NOON)).unwrap();
        assert_eq!(carried.lines, 1);
    }
}

#[tokio::test]
async fn a_lost_bench_toml_is_put_back_from_its_spare_and_without_that_the_words_say_how() {
    let away = Away::bench().await;
    away.says("wash 0417", NOON).await.unwrap();
    let settings = away.bench.settings().clone();
    fs::remove_file(away.dir().join("bench.toml")).unwrap();
    assert_eq!(Bench::open(away.dir()).unwrap().settings(), &settings);
    assert!(told(&away).contains("bench.toml was gone"));
    fs::write(away.dir().join("bench.toml"), "shop = ").unwrap();
    assert_eq!(Bench::open(away.dir()).unwrap().settings(), &settings);
    assert!(told(&away).contains("bench.toml-damaged-1"));
    fs::remove_file(away.dir().join("bench.toml")).unwrap();
    fs::remove_file(away.dir().join("bench.toml.spare")).unwrap();
    let error = Bench::open(away.dir()).unwrap_err().to_string();
    assert!(error.contains("holds 1 lines of a bench, enrollment 3"), "{error}");
    assert!(error.contains("join ADDRESS --code CODE --name NAME"), "{error}");
}

#[tokio::test]
async fn heads_that_cannot_be_read_are_kept_and_told_loudly() {
    let away = Away::bench().await;
    for name in ["checkpoint", "copied-head"] {
        for damaged in [vec![0xff, 0xfe, 0x00], b"no head".to_vec()] {
            fs::write(away.dir().join(name), damaged).unwrap();
            assert_eq!(away.bench.notes().unwrap(), [""; 0]);
            let words = told(&away);
            assert!(words.contains(&format!("{name}-damaged-")), "{words}");
            assert!(words.contains("WARNING") && words.contains("tell the owner"), "{words}");
        }
        assert!(away.dir().join(format!("{name}-damaged-2")).exists());
    }
}

#[tokio::test]
async fn what_a_process_that_is_gone_had_half_written_is_swept() {
    let away = Away::bench().await;
    // No process has so high a number: the kernel gives none above 4194304 (proc(5), pid_max).
    let (gone, own) = (".keys-3.4194999".to_owned(), format!(".receipts.{}", std::process::id()));
    for name in [&gone, &own] {
        fs::write(away.dir().join(name), "a key").unwrap();
    }
    away.bench.never_shown(|_, _| {}).unwrap();
    assert!(!away.dir().join(&gone).exists());
    assert!(away.dir().join(&own).exists(), "whoever writes it is still at it");
}

#[tokio::test]
async fn a_said_time_is_read_by_the_shops_clock_and_said_where_that_differs() {
    let away = Away::bench().await;
    // The wall clock is two years and six hours behind, and the bench has heard the shop since.
    let behind = (2 * 365 * 24 + 6) * 3_600_000;
    let heard = Away::clock(NOON - behind).0;
    let mut copy = away.bench.copy.append(true).unwrap().unwrap();
    copy.mark(super::copy::Mark {
        records: 0,
        shop_now: burrline_terms::Moment(NOON),
        clock: heard,
    })
    .unwrap();
    drop(copy);
    let said = away.says("at 00:05 note 0417 out by then", NOON - behind).await.unwrap();
    let words = said.talk.join("\n");
    assert!(words.contains("00:05 is taken as") && words.contains("slow"), "{words}");
    let entry = super::unshown::read(&away.bench.waiting().unwrap()[0]).unwrap();
    let at = entry.said.unwrap().from.0;
    assert!(at <= NOON && at > NOON - 24 * 3_600_000, "within the last day of the shop: {at}");
}

#[tokio::test]
async fn a_copy_that_cannot_be_read_at_all_is_put_aside() {
    let away = Away::bench().await;
    fs::create_dir(away.dir().join("copy")).unwrap();
    assert_eq!(away.bench.copied().unwrap().size(), 0);
    away.says("wash 0417", NOON).await.unwrap();
    assert!(told(&away).contains("copy-damaged-1"));
}
