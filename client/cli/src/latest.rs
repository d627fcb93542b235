//! `burrline photograph TAG latest N`: the newest photos of a folder, by when they were taken.

use std::{
    fs,
    io::Read as _,
    path::{Path, PathBuf},
    time::UNIX_EPOCH,
};

use burrline_bench::{Bench, Error, SystemClock, clock::Clock as _};
use burrline_photo::{Kind, Taken, taken};
use burrline_present::view::Zone;
use burrline_terms::Moment;
use clap::ArgMatches;
use jiff::{Timestamp, civil::DateTime, tz::TimeZone};

use super::terminal::Terminal;

/// Photos that are older than this are asked about, for they may be of another skull. A camera's clock and
/// a file's time that are further apart are told.
const FRESH_MS: i64 = 10 * 60 * 1000;

/// How many first bytes say what a file is, and when it was taken.
const HEAD: u64 = 128 * 1024;

/// So many of the newest files are looked into for what their camera's clock says.
const LOOKED_INTO: usize = 200;

/// A photo of the folder.
struct Found {
    at: Moment,
    by: By,
    file: PathBuf,
}

/// How it is known when a photo was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum By {
    /// The camera's clock, which the file's time bears out.
    Camera,
    /// The camera's clock; the file has another time.
    CameraAgainst(Moment),
    /// The file's time; the camera noted none.
    File,
    /// The file's time; the camera says a moment that has not come yet.
    FileAgainst(Moment),
}

/// The newest photos of a folder, once the hand has seen which; none if it says no.
///
/// # Errors
/// If no folder is meant, it has too few photos, or nobody is there to ask.
pub(super) fn latest(
    bench: &Bench,
    count: usize,
    matches: &ArgMatches,
    terminal: &Terminal,
) -> Result<Option<Vec<PathBuf>>, Error> {
    let from =
        matches.get_one::<String>("from").cloned().or_else(|| bench.settings().photos.clone());
    let from = from.ok_or_else(|| {
        Error::usage(
            "latest: in which folder? Say --from DIR, set BURRLINE_PHOTOS, or write `photos = \
             \"DIR\"` into bench.toml",
        )
    })?;
    let (now, zone) = (SystemClock.now().wall, Zone(bench.zone()));
    let found = newest(Path::new(&from), count, now, &zone, terminal)?;
    if found.len() < count {
        return Err(Error::usage(format!(
            "latest {count}: there are {} photos in {from}, JPEG or PNG",
            found.len()
        )));
    }
    told(&found, now, &zone, terminal);
    let first = found.iter().map(|one| one.at).min().unwrap_or(now);
    let age = now.since(first);
    if age > FRESH_MS && !matches.get_flag("old") {
        let ago = burrline_present::view::minutes(age.checked_div(60_000).unwrap_or(0));
        match terminal.sure(&format!("the oldest is of {ago} ago: is it of this skull?")) {
            Some(true) => {}
            Some(false) => return Ok(None),
            None => {
                return Err(Error::Refused(format!(
                    "the oldest is of {ago} ago, and nobody is there to ask: say --old if it is of \
                     this skull, or name the files"
                )));
            }
        }
    }
    // The oldest first, as they were taken.
    Ok(Some(found.into_iter().rev().map(|one| one.file).collect()))
}

/// Says which photos they are, of when, and by which clock.
fn told(found: &[Found], now: Moment, zone: &Zone, terminal: &Terminal) {
    let names: Vec<String> = found.iter().map(|one| file_name(&one.file)).collect();
    let times = found.iter().map(|one| one.at);
    let (first, last) = (times.clone().min().unwrap_or(now), times.max().unwrap_or(now));
    let span = if first == last {
        zone.time(first, Some(now))
    } else {
        format!("{} to {}", zone.time(first, Some(now)), zone.time(last, Some(now)))
    };
    let by_camera = |one: &Found| matches!(one.by, By::Camera | By::CameraAgainst(_));
    let clock = match (found.iter().all(by_camera), found.iter().any(by_camera)) {
        (true, _) => "by the camera's clock",
        (false, true) => "by the camera's clock or, where it noted none, the file's time",
        (false, false) => "by the files' times",
    };
    let photos = if found.len() == 1 { "photo" } else { "photos" };
    terminal.tell(&format!("{} {photos}, {span} {clock}: {}", found.len(), names.join(", ")));
    for one in found {
        let name = file_name(&one.file);
        match one.by {
            By::Camera | By::File => {}
            By::CameraAgainst(file) => terminal.tell(&format!(
                "{name}: its camera says {}, its file {}: look whether it is of this skull",
                zone.time(one.at, Some(now)),
                zone.time(file, Some(now))
            )),
            By::FileAgainst(camera) => terminal.tell(&format!(
                "{name}: its camera says {}, which has not come yet; set its clock. Its file's time counts",
                zone.time(camera, None)
            )),
        }
    }
}

/// The newest photos, the newest first. A file of another kind among them is told.
fn newest(
    from: &Path,
    count: usize,
    now: Moment,
    zone: &Zone,
    terminal: &Terminal,
) -> Result<Vec<Found>, Error> {
    let mut files = Vec::new();
    for file in fs::read_dir(from).map_err(|e| Error::file(from, e))? {
        let file = file.map_err(|e| Error::file(from, e))?;
        let hidden = file.file_name().to_string_lossy().starts_with('.');
        let Some(meta) = file.metadata().ok().filter(|meta| meta.is_file() && !hidden) else {
            continue;
        };
        let since = meta.modified().ok().and_then(|at| at.duration_since(UNIX_EPOCH).ok());
        let at = since.and_then(|since| i64::try_from(since.as_millis()).ok()).unwrap_or(0);
        files.push((Moment(at), file.path()));
    }
    files.sort();
    let mut found = Vec::new();
    for (at, file) in files.into_iter().rev().take(LOOKED_INTO.max(count)) {
        let mut head = Vec::new();
        let opened = fs::File::open(&file).map_err(|e| Error::file(&file, e))?;
        opened.take(HEAD).read_to_end(&mut head).map_err(|e| Error::file(&file, e))?;
        match Kind::of(&head) {
            Ok(_) => {
                let camera = taken(&head).and_then(|taken| moment(&taken, &zone.0));
                let (at, by) = chosen(camera, at, now);
                found.push(Found { at, by, file });
            }
            // What is passed over among the newest may be what the hand means.
            Err(why) if found.len() < count => {
                terminal.tell(&format!("passed over {}: {why}", file_name(&file)));
            }
            Err(_) => {}
        }
    }
    // Of one second the later file goes first, as before.
    found.sort_by_key(|one| std::cmp::Reverse(one.at));
    found.truncate(count);
    Ok(found)
}

/// Which moment counts: the camera's, unless it has not come yet.
fn chosen(camera: Option<Moment>, file: Moment, now: Moment) -> (Moment, By) {
    let Some(camera) = camera else { return (file, By::File) };
    if camera.since(now) > FRESH_MS {
        return (file, By::FileAgainst(camera));
    }
    let apart = camera.since(file).saturating_abs();
    (camera, if apart > FRESH_MS { By::CameraAgainst(file) } else { By::Camera })
}

/// The moment that a camera noted; its clock is taken for the shop's where it does not say its zone.
fn moment(taken: &Taken, zone: &TimeZone) -> Option<Moment> {
    let with_zone = taken.offset.as_ref().map(|offset| format!("{}{offset}", taken.local));
    if let Some(at) = with_zone.and_then(|text| text.parse::<Timestamp>().ok()) {
        return Some(Moment(at.as_millisecond()));
    }
    let local: DateTime = taken.local.parse().ok()?;
    Some(Moment(local.to_zoned_datetime(zone.clone()).ok()?.timestamp().as_millisecond()))
}

fn file_name(file: &Path) -> String {
    file.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    const MINUTE: i64 = 60_000;

    #[test]
    fn the_cameras_clock_counts_unless_it_is_ahead_of_now() {
        let (now, at) = (Moment(100 * MINUTE), |minutes| Moment(minutes * MINUTE));
        for (camera, file, expected) in [
            (None, at(98), (at(98), By::File)),
            (Some(at(95)), at(98), (at(95), By::Camera)),
            // Copied to another disk an hour later, or on a card that a telephone wrote to.
            (Some(at(30)), at(98), (at(30), By::CameraAgainst(at(98)))),
            // A clock that is a few minutes fast is no doubt; one of tomorrow is.
            (Some(at(105)), at(98), (at(105), By::Camera)),
            (Some(at(1540)), at(98), (at(98), By::FileAgainst(at(1540)))),
        ] {
            assert_eq!(chosen(camera, file, now), expected);
        }
    }

    #[test]
    fn a_camera_that_does_not_say_its_zone_is_taken_for_the_shops() {
        let zone = TimeZone::get("America/Denver").unwrap();
        let taken = |local: &str, offset: Option<&str>| Taken {
            local: local.to_owned(),
            offset: offset.map(str::to_owned),
        };
        let at = |text: &str| Some(Moment(text.parse::<Timestamp>().unwrap().as_millisecond()));
        let plain = taken("2026-11-07T08:15:30", None);
        assert_eq!(moment(&plain, &zone), at("2026-11-07T15:15:30Z"));
        let there = taken("2026-11-07T08:15:30", Some("+01:00"));
        assert_eq!(moment(&there, &zone), at("2026-11-07T07:15:30Z"));
        assert_eq!(
            moment(&taken("2026-11-07T08:15:30", Some("   :  ")), &zone),
            moment(&plain, &zone)
        );
        assert_eq!(moment(&taken("    -  -  T  :  :  ", None), &zone), None);
    }
}
