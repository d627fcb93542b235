//! A word to the service manager: that the shop is ready, what it does, that it closes. It asks for it
//! by a socket whose name is in the environment; where there is none, nothing is said.

use std::os::{
    linux::net::SocketAddrExt as _,
    unix::net::{SocketAddr, UnixDatagram},
};

/// Says something, such as `READY=1`. That nobody hears it is no failure.
pub fn notify(words: &str) {
    let Some(name) = std::env::var_os("NOTIFY_SOCKET") else { return };
    if let Err(error) = send(&name, words) {
        tracing::warn!(%error, "the service manager does not hear the shop");
    }
}

fn send(name: &std::ffi::OsStr, words: &str) -> std::io::Result<()> {
    let address = match name.as_encoded_bytes() {
        [b'@', rest @ ..] => SocketAddr::from_abstract_name(rest)?,
        _ => SocketAddr::from_pathname(name)?,
    };
    UnixDatagram::unbound()?.send_to_addr(words.as_bytes(), &address).map(drop)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_reaches_a_socket_by_its_path_and_by_its_abstract_name() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("notify");
        let heard = UnixDatagram::bind(&path).unwrap();
        send(path.as_os_str(), "READY=1").unwrap();
        let mut buffer = [0; 64];
        let length = heard.recv(&mut buffer).unwrap();
        assert_eq!(&buffer[..length], b"READY=1");

        let name = format!("burrline-test-{}", std::process::id());
        let address = SocketAddr::from_abstract_name(&name).unwrap();
        let heard = UnixDatagram::bind_addr(&address).unwrap();
        send(format!("@{name}").as_ref(), "STOPPING=1").unwrap();
        let length = heard.recv(&mut buffer).unwrap();
        assert_eq!(&buffer[..length], b"STOPPING=1");
    }
}
