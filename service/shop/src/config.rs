//! Where settings come from: flag, then environment, then file, then default.

use std::{
    net::{SocketAddr, ToSocketAddrs as _},
    path::{Path, PathBuf},
};

use burrline_server::shop::{DiskLimits, size};
use serde::Deserialize;
use thiserror::Error;
use tracing_subscriber::filter::Targets;

use crate::status::METRICS;

/// All that `serve` needs to know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Config {
    /// The shop's folder.
    pub data: PathBuf,
    /// Where the door opens.
    pub listen: SocketAddr,
    /// What goes to the log, such as `info` or `burrline_server=debug`.
    pub log: String,
    /// Where metrics are written.
    pub metrics: PathBuf,
    /// How much room there has to be on the disk.
    pub disk: DiskLimits,
    /// Which source each setting comes from, in their order.
    pub sources: Vec<(&'static str, &'static str)>,
}

/// Settings of one source; unset falls through to the next.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Layer {
    /// The shop's folder.
    pub data: Option<PathBuf>,
    /// Where the door opens: an address and a port.
    pub listen: Option<String>,
    /// What goes to the log.
    pub log: Option<String>,
    /// Where metrics are written.
    pub metrics: Option<PathBuf>,
    /// With less room the shop warns.
    pub disk_warn: Option<String>,
    /// With less room it records nothing new.
    pub disk_floor: Option<String>,
}

/// Everything that is wrong with the settings, at once.
#[derive(Debug, Error, PartialEq, Eq)]
#[error("the settings cannot be used:\n  {}", .0.join("\n  "))]
pub struct ConfigErrors(pub Vec<String>);

/// Whether the zone data of this machine have a zone of that name, such as `America/Denver`.
pub fn is_zone(name: &str) -> bool {
    jiff::tz::TimeZone::get(name).is_ok()
}

/// Whether this says what goes to the log: a level, or a level for each part.
fn is_filter(log: &str) -> bool {
    let words = log.split([',', '=']);
    log.parse::<Targets>().is_ok() && words.map(str::trim).all(|word| !word.is_empty())
}

/// A size with its unit, such as `2 GiB`, `500MB` or `0 B`.
fn read_size(text: &str) -> Option<u64> {
    const UNITS: [(&str, u64); 9] = [
        ("B", 1),
        ("KiB", 1 << 10),
        ("MiB", 1 << 20),
        ("GiB", 1 << 30),
        ("TiB", 1 << 40),
        ("kB", 1_000),
        ("MB", 1_000_000),
        ("GB", 1_000_000_000),
        ("TB", 1_000_000_000_000),
    ];
    let text = text.trim();
    let digits = text.find(|c: char| !c.is_ascii_digit())?;
    let (number, unit) = text.split_at_checked(digits)?;
    let (_, bytes) = UNITS.iter().find(|(name, _)| *name == unit.trim())?;
    number.parse::<u64>().ok()?.checked_mul(*bytes)
}

/// Reads the layer of the environment: `BURRLINE_DATA`, `BURRLINE_LISTEN` and so on.
pub fn from_environment(var: impl Fn(&str) -> Option<String>) -> Layer {
    Layer {
        data: var("BURRLINE_DATA").map(PathBuf::from),
        listen: var("BURRLINE_LISTEN"),
        log: var("BURRLINE_LOG"),
        metrics: var("BURRLINE_METRICS").map(PathBuf::from),
        disk_warn: var("BURRLINE_DISK_WARN"),
        disk_floor: var("BURRLINE_DISK_FLOOR"),
    }
}

/// Reads the layer of a file.
///
/// # Errors
/// If it cannot be read, is no TOML, or holds a key that is not known.
pub fn from_file(path: &Path) -> Result<Layer, String> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| format!("{} cannot be read: {error}", path.display()))?;
    toml::from_str(&text).map_err(|error| format!("{}: {error}", path.display()))
}

/// The layers by their names, and what is wrong and where what is taken came from.
struct Layers {
    said: Vec<(&'static str, Layer)>,
    errors: Vec<String>,
    sources: Vec<(&'static str, &'static str)>,
}

impl Layers {
    /// The first layer's word for a setting.
    fn first<T: Clone>(
        &mut self,
        setting: &'static str,
        of: impl Fn(&Layer) -> Option<T>,
    ) -> Option<T> {
        let said = self.said.iter().find_map(|(name, layer)| Some((*name, of(layer)?)));
        self.sources.push((setting, said.as_ref().map_or("default", |(name, _)| name)));
        said.map(|(_, value)| value)
    }

    fn size(
        &mut self,
        setting: &'static str,
        default: u64,
        of: impl Fn(&Layer) -> Option<String>,
    ) -> u64 {
        let Some(said) = self.first(setting, of) else { return default };
        read_size(&said).unwrap_or_else(|| {
            self.errors.push(format!("{setting} = {said}: this is no size, such as 2 GiB"));
            default
        })
    }
}

/// Puts layers together, the first one first, and reports every error at once.
///
/// # Errors
/// [`ConfigErrors`] with all that is wrong.
pub fn resolve(layers: Vec<(&'static str, Result<Layer, String>)>) -> Result<Config, ConfigErrors> {
    let mut all = Layers { said: Vec::new(), errors: Vec::new(), sources: Vec::new() };
    for (name, layer) in layers {
        match layer {
            Ok(layer) => all.said.push((name, layer)),
            Err(error) => all.errors.push(error),
        }
    }
    let data = all.first("data", |layer| layer.data.clone());
    if data.is_none() {
        all.errors.push("data: say where the shop's folder is, with --data DIR".to_owned());
    }
    let listen = all.first("listen", |layer| layer.listen.clone());
    let listen = listen.unwrap_or_else(|| "127.0.0.1:7417".to_owned());
    let address = listen.to_socket_addrs().ok().and_then(|mut found| found.next());
    if address.is_none() {
        all.errors.push(format!(
            "listen = {listen}: this is no address and port of this machine, such as 127.0.0.1:7417, or \
             0.0.0.0:7417 for every bench in the house"
        ));
    }
    let log = all.first("log", |layer| layer.log.clone()).unwrap_or_else(|| "info".to_owned());
    if !is_filter(&log) {
        all.errors.push(format!("log = {log}: this is no filter, such as info"));
    }
    let metrics = all.first("metrics", |layer| layer.metrics.clone());
    let usual = DiskLimits::default();
    let disk = DiskLimits {
        warn: all.size("disk-warn", usual.warn, |layer| layer.disk_warn.clone()),
        floor: all.size("disk-floor", usual.floor, |layer| layer.disk_floor.clone()),
    };
    if disk.warn < disk.floor {
        let (warn, floor) = (size(disk.warn), size(disk.floor));
        all.errors.push(format!(
            "disk-warn = {warn}: it must not be less than disk-floor, which is {floor}"
        ));
    }
    let Layers { errors, sources, .. } = all;
    match (data, address) {
        (Some(data), Some(listen)) if errors.is_empty() => {
            let metrics = metrics.unwrap_or_else(|| data.join(METRICS));
            Ok(Config { data, listen, log, metrics, disk, sources })
        }
        _ => Err(ConfigErrors(errors)),
    }
}

impl Config {
    /// Each setting with its value and its source, a line each.
    pub fn in_words(&self) -> String {
        let value = |setting: &str| match setting {
            "data" => self.data.display().to_string(),
            "listen" => self.listen.to_string(),
            "log" => self.log.clone(),
            "metrics" => self.metrics.display().to_string(),
            "disk-warn" => size(self.disk.warn),
            _ => size(self.disk.floor),
        };
        let line = |(setting, source): &(&'static str, &'static str)| {
            format!("{setting:<10} {:<28} {source}\n", value(setting))
        };
        self.sources.iter().map(line).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flag_goes_before_the_environment_before_the_file_and_the_source_is_said() {
        let layer = |data: &str, log: Option<&str>| {
            Ok(Layer { data: Some(data.into()), log: log.map(str::to_owned), ..Layer::default() })
        };
        let layers = vec![("flag", layer("a", None)), ("environment", layer("b", Some("warn")))];
        let config = resolve(layers).unwrap();
        assert_eq!((config.data.clone(), config.log.clone()), ("a".into(), "warn".to_owned()));
        let words = config.in_words();
        let lines: Vec<Vec<&str>> =
            words.lines().map(|line| line.split_whitespace().collect()).collect();
        assert_eq!(lines[0], ["data", "a", "flag"]);
        assert_eq!(lines[2], ["log", "warn", "environment"]);
        assert_eq!(lines[3], ["metrics", "a/metrics", "default"]);
        assert_eq!(lines[4], ["disk-warn", "2.0", "GiB", "default"]);
    }

    #[test]
    fn every_error_is_told_at_once() {
        let layer = Layer {
            listen: Some("0.0.0.0".to_owned()),
            log: Some("=".to_owned()),
            disk_warn: Some("2".to_owned()),
            disk_floor: Some("3 GiB".to_owned()),
            ..Layer::default()
        };
        let file = Err("shop.toml: no such key".to_owned());
        let ConfigErrors(errors) = resolve(vec![("flag", Ok(layer)), ("file", file)]).unwrap_err();
        assert_eq!(errors.len(), 6, "{errors:?}");
    }

    #[test]
    fn a_key_that_is_not_known_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("shop.toml");
        std::fs::write(&path, "listne = \"127.0.0.1:1\"\n").unwrap();
        assert!(from_file(&path).unwrap_err().contains("listne"));
    }

    #[test]
    fn the_file_that_is_shipped_names_every_setting() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../deploy/burrline-shop.toml");
        let config = resolve(vec![("file", from_file(&path))]).unwrap();
        assert!(config.sources.iter().all(|(_, source)| *source == "file"), "{config:?}");
        assert_eq!(config.disk, DiskLimits::default());
    }

    #[test]
    fn a_size_has_a_unit() {
        assert_eq!(read_size("2 GiB"), Some(2 << 30));
        assert_eq!(read_size("500MB"), Some(500_000_000));
        assert_eq!(read_size("0 B"), Some(0));
        for bad in ["2", "GiB", "-1 GiB", "2 gb", "99999999999 TiB", ""] {
            assert_eq!(read_size(bad), None, "{bad}");
        }
    }
}
