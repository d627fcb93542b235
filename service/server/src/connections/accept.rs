//! Takes connections off a listener, shakes hands beside one another, and gives those that are through.

use std::{io, net::IpAddr, sync::Arc, time::Duration};

use burrline_tls::{PublicKey, server::Acceptor};
use tokio::{
    net::{TcpListener, TcpStream},
    sync::mpsc,
};
use tokio_stream::wrappers::ReceiverStream;
use tokio_util::sync::CancellationToken;

use super::{
    places::{Place, Places},
    stream::{Connection, Peer, Speech},
};

/// How long nothing is taken after the system had no more of what a connection needs.
const EXHAUSTED: Duration = Duration::from_millis(100);
/// How many wait for the transport; it takes them at once.
const WAITING: usize = 16;

/// Whether a key is of somebody whom the shop knows.
pub(crate) type Knows = Arc<dyn Fn(PublicKey) -> bool + Send + Sync>;

/// The connections of a listener, until `until` comes; without an acceptor in the clear.
pub(crate) fn incoming(
    listener: TcpListener,
    acceptor: Option<Acceptor>,
    (places, knows): (Places, Knows),
    until: CancellationToken,
) -> ReceiverStream<io::Result<Connection>> {
    let (through, stream) = mpsc::channel(WAITING);
    tokio::spawn(async move {
        loop {
            let accepted = tokio::select! {
                accepted = listener.accept() => accepted,
                () = until.cancelled() => return,
            };
            match accepted {
                Ok((socket, from)) => {
                    // Without a place it is closed at once, and its bench tries again later.
                    if let Some(place) = places.take(from.ip()) {
                        let taken = (socket, from.ip(), place);
                        let (acceptor, knows) = (acceptor.clone(), Arc::clone(&knows));
                        tokio::spawn(shake(taken, acceptor, knows, through.clone()));
                    }
                }
                Err(error) if is_of_the_caller(&error) => {}
                Err(error) => {
                    tracing::warn!(%error, "no connection can be taken for a moment");
                    tokio::time::sleep(EXHAUSTED).await;
                }
            }
        }
    });
    ReceiverStream::new(stream)
}

/// Shakes hands; gives the connection if they are shaken.
async fn shake(
    (socket, from, place): (TcpStream, IpAddr, Place),
    acceptor: Option<Acceptor>,
    knows: Knows,
    through: mpsc::Sender<io::Result<Connection>>,
) {
    // Small answers must not wait for each other; one who is gone needs no answer.
    if socket.set_nodelay(true).is_err() {
        return;
    }
    let cut = place.cut();
    let shaken = async move {
        let Some(acceptor) = acceptor else { return Ok((Speech::Plain(socket), None)) };
        let (stream, key) = acceptor.accept(socket).await?;
        Ok::<_, io::Error>((Speech::Tls(Box::new(stream)), Some(key)))
    };
    let shaken = tokio::select! {
        shaken = shaken => shaken,
        () = cut.cancelled() => return,
    };
    match shaken {
        Ok((speech, key)) if place.shaken(key, key.is_none_or(|key| knows(key.0))) => {
            let _ = through.send(Ok(Connection::new(speech, Peer { key, from }, place))).await;
        }
        Ok(_) => tracing::debug!("too many connections by one key"),
        Err(error) => tracing::debug!(%error, "a handshake failed"),
    }
}

/// Whether it is the affair of the one who called, and others go on.
fn is_of_the_caller(error: &io::Error) -> bool {
    use io::ErrorKind::{ConnectionAborted, ConnectionRefused, ConnectionReset, Interrupted};
    matches!(error.kind(), ConnectionAborted | ConnectionRefused | ConnectionReset | Interrupted)
}

#[cfg(test)]
mod tests {
    use burrline_evidence::sign::BenchKey;
    use burrline_tls::{
        address::Address,
        client::{Connector, Expected},
    };
    use tokio_stream::StreamExt as _;

    use super::*;

    async fn listening(
        acceptor: Option<Acceptor>,
    ) -> (Address, ReceiverStream<io::Result<Connection>>) {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = Address::of(listener.local_addr().unwrap());
        let knows: Knows = Arc::new(|_| true);
        (address, incoming(listener, acceptor, (Places::new(), knows), CancellationToken::new()))
    }

    #[tokio::test]
    async fn answers_to_whoever_is_taken_in_go_out_at_once() {
        let (address, mut plain) = listening(None).await;
        let caller = TcpStream::connect((address.host(), address.port())).await.unwrap();
        let taken = plain.next().await.unwrap().unwrap();
        assert!(taken.sends_at_once().unwrap());
        drop((taken, caller));

        let key = Arc::new(BenchKey::from_seed([1; 32]));
        let (address, mut tls) = listening(Some(Acceptor::new(Arc::clone(&key)).unwrap())).await;
        let own = Arc::new(BenchKey::from_seed([2; 32]));
        let connector = Connector::new(own, Expected::Key(key.public())).unwrap();
        let (caller, taken) = tokio::join!(connector.connect(&address), tls.next());
        assert!(taken.unwrap().unwrap().sends_at_once().unwrap());
        drop(caller);
    }
}
