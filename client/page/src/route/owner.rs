//! The owner: settings, benches, and scripts that are checked, tried and put to use.

use std::sync::{Mutex, PoisonError};

use axum::{
    Extension,
    extract::State,
    http::HeaderMap,
    response::{IntoResponse as _, Response},
};
use burrline_bench::{Bench, Error, SystemClock};
use burrline_domain::verb::{ActivateScript, InstallScript};
use burrline_line::Common;
use burrline_present::readings::{Rules, Scripts};
use burrline_proto::v1::PutScriptRequest;
use burrline_screen::{Look, Page, Shows};
use burrline_scripts::{
    before_install,
    local::{self, Source},
    numbers,
};
use burrline_talk::Person as _;
use burrline_terms::{Digest, Name, Typed as _, words};
use jiff::tz::TimeZone;

use super::{desk::read, fields::Fields, page, say, wrong};
use crate::{app::Shared, gate::Came, talk::At, view::owner, words::WORDS};

pub(super) async fn owner(State(app): State<Shared>, Extension(came): Extension<Came>) -> Response {
    match told(&app).await {
        Ok(told) => {
            let main = owner::owner(&told, &came.session.token);
            page(&app, &came, "/owner", WORDS.owner, main).into_response()
        }
        Err(error) => wrong(&app, &came, "/owner", &error),
    }
}

async fn told(app: &Shared) -> Result<owner::Told, Error> {
    let scripts = read(app, Scripts {}).await?;
    let rules = read(app, Rules { since: None }).await?.answer;
    // Away nothing can be set.
    let numbers = numbers::shown(&app.engine.bench()?).await.unwrap_or_default();
    let live = app.engine.locked();
    let look = live.look();
    let state = live.present.as_ref().map(burrline_bench::alone::Alone::state);
    let benches = state.into_iter().flat_map(|state| {
        state.shop().benches.iter().map(|(life, bench)| {
            let own = state.facts().filter(|fact| fact.record.entry.name.life == *life);
            owner::BenchLine {
                name: bench.name.to_string(),
                role: bench.role.word(),
                retired: bench.retired,
                last: own.map(|fact| fact.happened().typed).max().map(|at| look.time(at.0)),
            }
        })
    });
    let benches = benches.collect();
    let settings = state.map(|state| state.settings().clone()).unwrap_or_default();
    let hands = live.known.hands.clone();
    drop(live);
    Ok(owner::Told {
        scripts: scripts.answer,
        rules,
        numbers,
        how_old: scripts.how_old,
        benches,
        settings,
        hands,
        look,
    })
}

/// A script is checked, tried on what happened, or put to use.
pub(super) async fn script(
    State(app): State<Shared>,
    Extension(came): Extension<Came>,
    headers: HeaderMap,
    fields: Fields,
) -> Response {
    let work = Box::new(move |at: &mut At| worked(at, &fields));
    let turn = say::begin(&app, work).await;
    say::answered(&app, &came, &headers, "/owner", turn)
}

fn worked(at: &mut At, fields: &Fields) -> Result<(), Error> {
    match fields.one("do") {
        "use" => {
            at.utter(vec![ActivateScript { digest: Digest::read(fields.one("digest"))? }.into()])
        }
        "install" => install(at, fields),
        "set" => set(at, fields),
        command @ ("check" | "try" | "backtest") => looked_at(at, command, fields),
        _ => Err(Error::usage(WORDS.no_step)),
    }
}

/// The source goes to the shop, and the decision is said; it is not used until it is activated.
fn install(at: &mut At, fields: &Fields) -> Result<(), Error> {
    let (name, source) = (Name::read(fields.one("name"))?, fields.one("source"));
    let pricing = fields.one("kind") == "pricing";
    let kind = if pricing { words::ScriptKind::Pricing } else { words::ScriptKind::Stages };
    let bytes = source.as_bytes().to_vec();
    let anyway = Some(fields.one("anyway").to_owned()).filter(|reason| !reason.is_empty());
    keep(at, Source::typed(&name, kind, bytes), anyway).map(drop)
}

/// Another value for a number of a script in use.
fn set(at: &mut At, fields: &Fields) -> Result<(), Error> {
    let number = fields.one("number");
    let (script, number) =
        number.split_once(' ').ok_or_else(|| Error::usage(WORDS.no_step.to_owned()))?;
    let (source, _) = at.wait(numbers::in_use(script, &at.bench))?;
    let (changed, told) = numbers::set(&source, number, fields.one("value"))?;
    for line in &told {
        at.person.tell(line);
    }
    let digest = keep(at, changed, None)?;
    at.utter(vec![ActivateScript { digest }.into()])
}

/// Checks a source, sends it to the shop and installs it. What the version in use said and this one does
/// not is told.
fn keep(at: &mut At, source: Source, anyway: Option<String>) -> Result<Digest, Error> {
    let shown = Shown { bench: at.bench.folder().path(""), lines: Mutex::default() };
    let fits = before_install(&source, anyway.as_deref(), &shown);
    tell(at, shown);
    fits?;
    for line in at.wait(burrline_scripts::replaced(&source, &at.bench))? {
        at.person.tell(&line);
    }
    let there = at.wait(local::is_installed(&source, &at.bench))?;
    let kind = source.script_kind();
    let name = Name::read(&source.name)?;
    let request =
        PutScriptRequest { kind: kind.number(), name: name.to_string(), source: source.bytes };
    let put = at.wait(at.bench.connection().put_script(request))?;
    let digest = <[u8; 32]>::try_from(put.digest.as_slice())
        .map_err(|_| Error::Nonsense("a digest of a wrong length".into()))?;
    let common = Common { anyway, ..Common::default() };
    let digest = Digest(digest);
    if !there {
        at.utter_with(common, vec![InstallScript { kind, name, digest }.into()])?;
    }
    Ok(digest)
}

/// Tells what a command showed.
fn tell(at: &mut At, shown: Shown) {
    for line in &shown.lines.into_inner().unwrap_or_else(PoisonError::into_inner) {
        at.person.tell(line);
    }
}

/// The same commands as at a terminal, over a file that goes away.
fn looked_at(at: &mut At, command: &str, fields: &Fields) -> Result<(), Error> {
    let folder = tempfile::tempdir().map_err(|e| Error::Refused(e.to_string()))?;
    let name = Name::read(fields.one("name"))?.to_string();
    let plain = |c: char| if c.is_alphanumeric() || c == '-' { c } else { '_' };
    let file =
        folder.path().join(name.chars().map(plain).collect::<String>()).with_extension("rhai");
    std::fs::write(&file, fields.one("source")).map_err(|e| Error::file(&file, e))?;
    let mut args = vec![command.to_owned(), file.display().to_string()];
    args.extend(["--kind".to_owned(), fields.one("kind").to_owned()]);
    if command == "try" && !fields.one("job").is_empty() {
        args.extend(["--job".to_owned(), fields.one("job").to_owned()]);
    }
    let all = burrline_scripts::commands();
    let Some(spec) = all.into_iter().find(|spec| spec.get_name() == command) else {
        return Err(Error::Bug(format!("there is no command {command}")));
    };
    let matches = spec.try_get_matches_from(args).map_err(|e| Error::usage(e.to_string()))?;
    let shown = Shown { bench: at.bench.folder().path(""), lines: Mutex::default() };
    at.looked = true;
    at.wait(burrline_scripts::run(command, &matches, &shown))?;
    tell(at, shown);
    Ok(())
}

/// What a command of scripts shows, kept for the slip.
struct Shown {
    bench: std::path::PathBuf,
    lines: Mutex<Vec<String>>,
}

impl Shows for Shown {
    fn page(&self, page: &Page) {
        self.lines.lock().unwrap_or_else(PoisonError::into_inner).extend(page.text.iter().cloned());
    }

    fn tell(&self, words: &str) {
        self.lines.lock().unwrap_or_else(PoisonError::into_inner).push(words.to_owned());
    }

    fn look(&self, zone: TimeZone) -> Look {
        let now = burrline_bench::Clock::now(&SystemClock).wall;
        Look { zone, now, width: None, color: false }
    }

    fn is_watched(&self) -> bool {
        false
    }

    fn bench(&self) -> Result<Bench, Error> {
        Bench::open(&self.bench)
    }
}
