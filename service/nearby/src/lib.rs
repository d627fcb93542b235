//! Shops of the house's own network: announced, and looked for, by multicast DNS (RFC 6762) and DNS-based
//! service discovery (RFC 6763).
//!
//! Anybody in the network can announce anything. So what is found here is a hint where to knock: who
//! answers is told by the key that it proves ([`burrline_tls`]).

use std::{
    collections::BTreeMap,
    net::{IpAddr, SocketAddr},
    time::{Duration, Instant},
};

use burrline_tls::{address::Address, fingerprint::Fingerprint};
use mdns_sd::{ScopedIp, ServiceDaemon, ServiceEvent, ServiceInfo};
use thiserror::Error;

/// The kind of service, as it is announced.
const KIND: &str = "_burrline._tcp.local.";
/// Under what its fingerprint stands beside it.
const FINGERPRINT: &str = "key";
/// How long the last words may take.
const GOODBYE: Duration = Duration::from_millis(300);

/// Why nothing is announced or looked for.
#[derive(Debug, Error)]
pub enum NoNetwork {
    /// This machine's network does not let it.
    #[error("the network cannot be asked: {0}")]
    Network(#[from] mdns_sd::Error),
}

/// A shop that is announced, until it is dropped.
pub struct Announced {
    daemon: ServiceDaemon,
    name: String,
}

impl std::fmt::Debug for Announced {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Announced").field("name", &self.name).finish_non_exhaustive()
    }
}

/// Announces a shop by its name, where it listens.
///
/// # Errors
/// [`NoNetwork`] if the network cannot be used.
pub fn announce(shop: &str, key: Fingerprint, port: u16) -> Result<Announced, NoNetwork> {
    let daemon = ServiceDaemon::new()?;
    // The fingerprint keeps two shops of one name apart.
    let letters = key.to_string();
    let short: String = letters.chars().take(4).collect();
    let host = format!("burrline-{}.local.", letters.to_lowercase());
    let instance: String = format!("{} {short}", shop.replace('.', " ")).chars().take(50).collect();
    let properties = [(FINGERPRINT, letters.as_str())];
    let info = ServiceInfo::new(KIND, &instance, &host, "", port, &properties[..])?;
    let info = info.enable_addr_auto();
    let name = info.get_fullname().to_owned();
    daemon.register(info)?;
    Ok(Announced { daemon, name })
}

impl Drop for Announced {
    fn drop(&mut self) {
        // Whoever listens forgets it sooner; without this they forget it later.
        if let Ok(gone) = self.daemon.unregister(&self.name) {
            let _ = gone.recv_timeout(GOODBYE);
        }
        stop(&self.daemon);
    }
}

/// The numbers of this machine in its networks, the likeliest first: a bench may find it by them.
pub fn own_numbers() -> Vec<IpAddr> {
    let found = if_addrs::get_if_addrs().unwrap_or_default();
    let mut ips: Vec<IpAddr> = found.iter().map(if_addrs::Interface::ip).collect();
    ips.retain(|ip| {
        !ip.is_loopback() && !matches!(ip, IpAddr::V6(ip) if ip.is_unicast_link_local())
    });
    ips.sort_by_key(|ip| (ip.is_ipv6(), *ip));
    ips
}

/// A shop that was heard of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heard {
    /// The name that it gives itself.
    pub name: String,
    /// The fingerprint that it claims.
    pub key: Fingerprint,
    /// Where it may be, the likeliest first.
    pub addresses: Vec<Address>,
}

#[allow(
    clippy::disallowed_methods,
    reason = "how long is listened is no time that anything is recorded by"
)]
/// Listens for shops; ends early as soon as one is heard of that `is_it`.
///
/// # Errors
/// [`NoNetwork`] if the network cannot be used.
pub fn look(patience: Duration, is_it: impl Fn(&Heard) -> bool) -> Result<Vec<Heard>, NoNetwork> {
    let daemon = ServiceDaemon::new()?;
    let events = daemon.browse(KIND)?;
    let began = Instant::now();
    let mut heard: BTreeMap<String, Heard> = BTreeMap::new();
    while let Some(left) = patience.checked_sub(began.elapsed()) {
        let Ok(event) = events.recv_timeout(left) else { break };
        let ServiceEvent::ServiceResolved(found) = event else { continue };
        let key = found.get_property_val_str(FINGERPRINT).and_then(|text| text.parse().ok());
        let Some(key) = key else { continue };
        let fullname = found.get_fullname().to_owned();
        let name = fullname.strip_suffix(KIND).unwrap_or(&fullname).trim_end_matches('.');
        let mut ips: Vec<IpAddr> = found.get_addresses().iter().map(ScopedIp::to_ip_addr).collect();
        // A number of version 6 on one link alone cannot be typed, and one of version 4 can.
        ips.retain(|ip| !matches!(ip, IpAddr::V6(ip) if ip.is_unicast_link_local()));
        ips.sort_by_key(|ip| (ip.is_loopback(), ip.is_ipv6(), *ip));
        let port = found.get_port();
        let addresses = ips.into_iter().map(|ip| Address::of(SocketAddr::new(ip, port))).collect();
        let one = Heard { name: shown(name), key, addresses };
        let done = is_it(&one);
        heard.insert(fullname, one);
        if done {
            break;
        }
    }
    stop(&daemon);
    Ok(heard.into_values().collect())
}

/// What anybody may have announced, without what moves a terminal.
fn shown(name: &str) -> String {
    name.chars().filter(|c| !c.is_control()).take(60).collect()
}

fn stop(daemon: &ServiceDaemon) {
    if let Ok(stopped) = daemon.shutdown() {
        let _ = stopped.recv_timeout(GOODBYE);
    }
}
