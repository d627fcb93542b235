//! Where settings come from: flag, then environment, then file, then default.

use std::{
    net::SocketAddr,
    path::{Path, PathBuf},
};

use serde::Deserialize;
use thiserror::Error;
use tracing_subscriber::filter::Targets;

/// All that `serve` needs to know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Config {
    /// The shop's folder.
    pub data: PathBuf,
    /// Where the door opens.
    pub listen: SocketAddr,
    /// What goes to the log, such as `info` or `burrline_server=debug`.
    pub log: String,
}

/// Settings of one source; unset falls through to the next.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    /// The shop's folder.
    pub data: Option<PathBuf>,
    /// Where the door opens: an address and a port.
    pub listen: Option<String>,
    /// What goes to the log.
    pub log: Option<String>,
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

/// Reads the layer of the environment: `BURRLINE_DATA`, `BURRLINE_LISTEN` and so on.
pub fn from_environment(var: impl Fn(&str) -> Option<String>) -> Layer {
    Layer {
        data: var("BURRLINE_DATA").map(PathBuf::from),
        listen: var("BURRLINE_LISTEN"),
        log: var("BURRLINE_LOG"),
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

/// Puts layers together, the first one first, and reports every error at once.
///
/// # Errors
/// [`ConfigErrors`] with all that is wrong.
pub fn resolve(layers: Vec<Result<Layer, String>>) -> Result<Config, ConfigErrors> {
    let mut errors = Vec::new();
    let mut all = Layer::default();
    for layer in layers {
        match layer {
            Ok(layer) => {
                all.data = all.data.or(layer.data);
                all.listen = all.listen.or(layer.listen);
                all.log = all.log.or(layer.log);
            }
            Err(error) => errors.push(error),
        }
    }
    let listen = all.listen.unwrap_or_else(|| "127.0.0.1:7417".to_owned());
    let address = listen.parse::<SocketAddr>();
    match address {
        Ok(address) if !address.ip().is_loopback() => errors.push(format!(
            "listen = {listen}: without TLS the door opens on loopback only; use 127.0.0.1:PORT"
        )),
        Ok(_) => {}
        Err(_) => errors.push(format!(
            "listen = {listen}: this is no address and port, such as 127.0.0.1:7417"
        )),
    }
    let log = all.log.unwrap_or_else(|| "info".to_owned());
    if !is_filter(&log) {
        errors.push(format!("log = {log}: this is no filter, such as info"));
    }
    let Some(data) = all.data else {
        errors.push("data: say where the shop's folder is, with --data DIR".to_owned());
        return Err(ConfigErrors(errors));
    };
    match address {
        Ok(listen) if errors.is_empty() => Ok(Config { data, listen, log }),
        Ok(_) | Err(_) => Err(ConfigErrors(errors)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flag_goes_before_the_environment_before_the_file() {
        let layer = |data: &str, log: Option<&str>| {
            Ok(Layer { data: Some(data.into()), log: log.map(str::to_owned), ..Layer::default() })
        };
        let config = resolve(vec![layer("a", None), layer("b", Some("warn"))]).unwrap();
        assert_eq!((config.data, config.log), ("a".into(), "warn".to_owned()));
    }

    #[test]
    fn every_error_is_told_at_once() {
        let layer = Layer {
            listen: Some("0.0.0.0:1".to_owned()),
            log: Some("=".to_owned()),
            ..Layer::default()
        };
        let ConfigErrors(errors) = resolve(vec![Ok(layer)]).unwrap_err();
        assert_eq!(errors.len(), 3, "{errors:?}");
    }

    #[test]
    fn a_key_that_is_not_known_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("shop.toml");
        std::fs::write(&path, "listne = \"127.0.0.1:1\"\n").unwrap();
        assert!(from_file(&path).unwrap_err().contains("listne"));
    }
}
