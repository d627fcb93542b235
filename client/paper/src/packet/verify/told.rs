//! What a folder tells beside its records: page, words, schema, scripts and photos.
//!
//! Page, words and schema are held against the program's own where this very version made them. What
//! another version made is told as that: it is as the bench left it, and the records decide.

use std::collections::BTreeMap;

use burrline_evidence::checkpoint::Checkpoint;
use burrline_proto::OF_RECORDS;
use sha2::{Digest as _, Sha256};

use super::{
    super::{
        Files, README, made_by, manifest, names, page, pictures,
        story::{self, Story},
    },
    Held, Report, text,
};

/// The schema files of earlier forms.
const SCHEMAS: &str = include_str!("../schemas.txt");

/// Whether the schema in a folder is one of an earlier form, file by file and no file more.
fn is_of_earlier(files: &Files) -> bool {
    let held = files.keys().filter(|name| name.starts_with(names::SCHEMA)).count();
    let rows = SCHEMAS.lines().filter(|line| !line.starts_with('#'));
    let mut forms: BTreeMap<&str, Vec<(&str, &str)>> = BTreeMap::new();
    for row in rows {
        if let [form, digest, name] = row.split(' ').collect::<Vec<_>>()[..] {
            forms.entry(form).or_default().push((digest, name));
        }
    }
    let is_there = |(digest, name): &(&str, &str)| {
        let bytes = files.get(&format!("{}{name}", names::SCHEMA));
        bytes.is_some_and(|bytes| hex::encode(Sha256::digest(bytes)) == *digest)
    };
    forms.values().any(|form| form.len() == held && form.iter().all(is_there))
}

/// Whether the page and the scripts are what the records say.
pub(super) fn told(
    files: &Files,
    story: Result<&Story, &String>,
    head: &Checkpoint,
    report: &mut Report,
) {
    let what = "the page says what the records say";
    let story = match story {
        Ok(story) => story,
        Err(why) => {
            report.note(what, Held::No(why.clone()));
            return;
        }
    };
    made(files, story, head, report);
    scripts(files, story, report);
    photos(story, files, report);
}

/// Whether page, words and schema are the program's own; made by another version, they are told as
/// that.
fn made(files: &Files, story: &Story, head: &Checkpoint, report: &mut Report) {
    let shown = text(files, names::PAGE).unwrap_or_default();
    let is_own = made_by::is_own(shown);
    let version = made_by::words(shown);
    let same = |name: &str, made: &str| files.get(name).is_some_and(|is| is == made.as_bytes());
    let drawn = page::page(story, head, &pictures::pictures(story, files));
    for (what, name, made, instead) in [
        (
            "the page says what the records say",
            names::PAGE,
            drawn.as_str(),
            "this version draws it otherwise; --page FILE draws it anew, from the records alone",
        ),
        (
            "the words on what is proved are the program's own",
            names::README,
            README,
            "this version says it otherwise",
        ),
    ] {
        let held = if same(name, made) {
            Held::Yes
        } else if !files.contains_key(name) {
            Held::No(format!("{name} is missing"))
        } else if is_own {
            Held::No(format!("{name}: it was changed since this version made it"))
        } else {
            Held::Told(format!("{name} was made by {version}; {instead}"))
        };
        report.note(what, held);
    }
    let what = "the schema of the records is the program's own, of now or earlier";
    let differs = |(name, text): &(&str, &str)| {
        let name = format!("{}{name}", names::SCHEMA);
        (!same(&name, text)).then_some(name)
    };
    let all = if is_of_earlier(files) { &[][..] } else { &OF_RECORDS[..] };
    let differ: Vec<String> = all.iter().filter_map(differs).collect();
    // Another version has other files of it, so that none can be missed.
    if !is_own && !differ.is_empty() {
        report.note(what, Held::Told(format!("it is that of {version}")));
        return;
    }
    let changed = |name| format!("{name}: it was changed since this version made it");
    report.all(what, &differ.into_iter().map(changed).collect::<Vec<_>>());
}

/// Whether the scripts are those that the quotes name, and there is nothing else in the folder.
fn scripts(files: &Files, story: &Story, report: &mut Report) {
    let mut wanted: Vec<String> =
        story::price_scripts(story).into_iter().map(hex::encode).collect();
    // A price by several scripts names the list of them, and that names each.
    let lists = wanted.iter().filter_map(|digest| files.get(&format!("scripts/{digest}.rhai")));
    let listed: Vec<_> = lists.filter_map(|list| burrline_host::Prices::read_list(list)).collect();
    wanted.extend(listed.into_iter().flatten().map(|(digest, _)| digest));
    report
        .all("there is nothing in the folder that has no place in it", &strangers(files, &wanted));
    let missing: Vec<String> = wanted
        .into_iter()
        .filter(|digest| {
            let source = files.get(&format!("scripts/{digest}.rhai"));
            source.is_none_or(|source| manifest::digest(source) != *digest)
        })
        .map(|digest| format!("the source of {digest} is missing or was changed"))
        .collect();
    report.all("the price scripts are those that the quotes name", &missing);
}

/// The files that no such folder has; those of the photos are looked at with them.
fn strangers(files: &Files, scripts: &[String]) -> Vec<String> {
    let is_own = text(files, names::PAGE).is_some_and(made_by::is_own);
    let fixed =
        [names::PAGE, names::README, names::CHECKPOINT, names::KEY, names::LEAVES, names::MANIFEST];
    let has_place = |name: &str| {
        let (folder, file) = name.split_once('/').unwrap_or(("", name));
        match folder {
            "" => fixed.contains(&file),
            "records" => file.ends_with(".record"),
            "proofs" => file
                .strip_suffix(".tlog-proof")
                .is_some_and(|stem| files.contains_key(&format!("records/{stem}.record"))),
            "scripts" => {
                file.strip_suffix(".rhai").is_some_and(|digest| scripts.iter().any(|d| d == digest))
            }
            "schema" if is_own => OF_RECORDS.iter().any(|(known, _)| *known == file),
            "schema" => file
                .strip_prefix("burrline/v1/")
                .and_then(|file| file.strip_suffix(".proto"))
                .is_some_and(|theme| theme.bytes().all(|byte| byte.is_ascii_lowercase())),
            "photos" => true,
            _ => false,
        }
    };
    let strange = files.keys().filter(|name| !has_place(name));
    strange.map(|name| format!("{name} was put in")).collect()
}

/// Whether the photos are those that the signed lines name.
fn photos(story: &Story, files: &Files, report: &mut Report) {
    let looked = pictures::look(story, files);
    let what = format!("{} photos are those that the lines name", looked.count);
    report.all(what, &looked.wrong);
    if !looked.absent.is_empty() {
        let lines: Vec<String> = looked.absent.iter().map(ToString::to_string).collect();
        let why = format!("the shop could not give those of lines {}", lines.join(", "));
        report.note("the photos that are not in the folder", Held::Unknown(why));
    }
}
