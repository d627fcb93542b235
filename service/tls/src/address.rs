//! Where a shop is: `HOST:PORT`. With `http://` before it, it is spoken to in the clear, which is for
//! trying on one machine alone.

use std::{fmt, net::IpAddr, str::FromStr};

use thiserror::Error;

/// The port of a shop, unless another is said.
pub const PORT: u16 = 7417;

/// Where a shop is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Address {
    host: String,
    port: u16,
    is_plain: bool,
}

/// It is no address of a shop.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NoAddress {
    /// It cannot be read.
    #[error(
        "{0} is no address of a shop; one is a name or a number with a port, such as \
         shop.local:7417 or 192.168.1.20:7417"
    )]
    Unreadable(String),
    /// In the clear to another machine.
    #[error(
        "{0} would be spoken to in the clear, and is another machine: leave http:// away. http:// is for \
         trying on this machine alone, at a shop that serves with --plain-loopback"
    )]
    PlainAfar(String),
}

impl Address {
    /// Of a listener, with TLS.
    pub fn of(at: std::net::SocketAddr) -> Self {
        Self { host: at.ip().to_string(), port: at.port(), is_plain: false }
    }

    /// The same, spoken to in the clear.
    #[must_use]
    pub fn plain(self) -> Self {
        Self { is_plain: true, ..self }
    }

    /// The name or number of the machine.
    pub fn host(&self) -> &str {
        &self.host
    }

    /// The port.
    pub const fn port(&self) -> u16 {
        self.port
    }

    /// Whether it is spoken to in the clear.
    pub const fn is_plain(&self) -> bool {
        self.is_plain
    }

    fn is_loopback(&self) -> bool {
        let ip: Result<IpAddr, _> = self.host.parse();
        ip.map_or(self.host == "localhost", |ip| ip.is_loopback())
    }
}

impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let scheme = if self.is_plain { "http://" } else { "" };
        if self.host.contains(':') {
            write!(f, "{scheme}[{}]:{}", self.host, self.port)
        } else {
            write!(f, "{scheme}{}:{}", self.host, self.port)
        }
    }
}

impl FromStr for Address {
    type Err = NoAddress;

    fn from_str(text: &str) -> Result<Self, NoAddress> {
        let wrong = || NoAddress::Unreadable(text.chars().take(80).collect());
        let (is_plain, rest) = match text.trim().strip_prefix("http://") {
            Some(rest) => (true, rest.trim_end_matches('/')),
            None => (false, text.trim()),
        };
        let (host, port) = parts(rest).ok_or_else(wrong)?;
        let allowed =
            |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_' | ':' | '%');
        if host.is_empty() || !host.chars().all(allowed) {
            return Err(wrong());
        }
        let address = Self { host: host.to_owned(), port, is_plain };
        if is_plain && !address.is_loopback() {
            return Err(NoAddress::PlainAfar(address.to_string()));
        }
        Ok(address)
    }
}

/// Host and port; a number with colons stands in brackets where a port follows.
fn parts(text: &str) -> Option<(&str, u16)> {
    if text.parse::<std::net::Ipv6Addr>().is_ok() {
        return Some((text, PORT));
    }
    if let Some(rest) = text.strip_prefix('[') {
        let (host, rest) = rest.split_once(']')?;
        host.parse::<std::net::Ipv6Addr>().ok()?;
        let port = rest.strip_prefix(':').map_or(Some(PORT), |port| port.parse().ok())?;
        return Some((host, port));
    }
    match text.split_once(':') {
        None => Some((text, PORT)),
        Some((host, port)) => Some((host, port.parse().ok().filter(|port| *port > 0)?)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_read_as_it_is_shown() {
        for (typed, shown) in [
            ("192.168.1.20", "192.168.1.20:7417"),
            ("shop.local:7500", "shop.local:7500"),
            ("::1", "[::1]:7417"),
            ("[fd00::7]:80", "[fd00::7]:80"),
            ("http://127.0.0.1:7417/", "http://127.0.0.1:7417"),
            ("http://localhost", "http://localhost:7417"),
        ] {
            let address: Address = typed.parse().unwrap();
            assert_eq!(address.to_string(), shown);
            assert_eq!(shown.parse(), Ok(address));
        }
    }

    #[test]
    fn what_is_no_address_is_refused_and_so_is_another_machine_in_the_clear() {
        for wrong in
            ["", ":7417", "shop:", "shop:0", "shop:70000", "a b:1", "https://shop:1", "[::1"]
        {
            assert!(matches!(wrong.parse::<Address>(), Err(NoAddress::Unreadable(_))), "{wrong}");
        }
        let afar = "http://192.168.1.20:7417".parse::<Address>().unwrap_err();
        assert!(matches!(afar, NoAddress::PlainAfar(_)));
    }
}
