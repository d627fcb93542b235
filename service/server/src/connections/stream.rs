//! One connection as the transport reads it: with its place, its key, and an end to every silence.

use std::{
    io,
    net::IpAddr,
    pin::Pin,
    task::{Context, Poll, ready},
    time::Duration,
};

use burrline_tls::PeerKey;
use tokio::{
    io::{AsyncRead, AsyncWrite, ReadBuf},
    net::TcpStream,
    time::{Instant, Sleep},
};
use tokio_util::sync::WaitForCancellationFutureOwned;
use tonic::transport::server::Connected;

use super::places::Place;

/// How long the first words may take: who says nothing wants nothing.
const FIRST_WORDS: Duration = Duration::from_secs(10);
/// What every HTTP/2 connection begins with, in bytes.
const PREFACE: usize = 24;
/// How long the other side may be silent; it is asked for a sign of life three times as often.
const SILENCE: Duration = Duration::from_mins(1);
/// How long what is sent may find no room on the way.
const STUCK: Duration = Duration::from_mins(1);

/// What is spoken through.
#[derive(Debug)]
pub(crate) enum Speech {
    /// TLS.
    Tls(Box<burrline_tls::server::Stream>),
    /// In the clear, on this machine.
    Plain(TcpStream),
}

/// A connection.
#[derive(Debug)]
pub(crate) struct Connection {
    speech: Speech,
    peer: Peer,
    heard: usize,
    silence: Pin<Box<Sleep>>,
    stuck: Option<Pin<Box<Sleep>>>,
    cut: Pin<Box<WaitForCancellationFutureOwned>>,
    _place: Place,
}

/// Who is at the other end; without a key in the clear.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Peer {
    pub(crate) key: Option<PeerKey>,
    /// From where it comes.
    pub(crate) from: IpAddr,
}

impl Connection {
    pub(crate) fn new(speech: Speech, peer: Peer, place: Place) -> Self {
        let cut = Box::pin(place.cut().cancelled_owned());
        let silence = Box::pin(tokio::time::sleep(FIRST_WORDS));
        Self { speech, peer, heard: 0, silence, stuck: None, cut, _place: place }
    }

    /// Whether small answers go out at once.
    #[cfg(test)]
    pub(super) fn sends_at_once(&self) -> io::Result<bool> {
        match &self.speech {
            Speech::Tls(stream) => stream.get_ref().0.nodelay(),
            Speech::Plain(socket) => socket.nodelay(),
        }
    }

    fn is_over(&mut self, cx: &mut Context<'_>) -> Poll<io::Error> {
        ready!(self.cut.as_mut().poll(cx));
        Poll::Ready(io::ErrorKind::ConnectionAborted.into())
    }

    /// Waits for room to send in, but not for ever.
    fn in_time<T>(
        &mut self,
        sent: Poll<io::Result<T>>,
        cx: &mut Context<'_>,
    ) -> Poll<io::Result<T>> {
        if sent.is_ready() {
            self.stuck = None;
            return sent;
        }
        let stuck = self.stuck.get_or_insert_with(|| Box::pin(tokio::time::sleep(STUCK)));
        ready!(stuck.as_mut().poll(cx));
        Poll::Ready(Err(io::ErrorKind::TimedOut.into()))
    }
}

impl Connected for Connection {
    type ConnectInfo = Peer;

    fn connect_info(&self) -> Peer {
        self.peer
    }
}

impl AsyncRead for Connection {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        if let Poll::Ready(error) = self.is_over(cx) {
            return Poll::Ready(Err(error));
        }
        let before = buffer.filled().len();
        let read = match &mut self.speech {
            Speech::Tls(stream) => Pin::new(stream).poll_read(cx, buffer),
            Speech::Plain(stream) => Pin::new(stream).poll_read(cx, buffer),
        };
        if read.is_ready() {
            let count = buffer.filled().len().saturating_sub(before);
            let had_preface = self.heard >= PREFACE;
            self.heard = self.heard.saturating_add(count);
            // A preface that comes letter by letter gets no more time than one that does not come.
            if had_preface || self.heard >= PREFACE {
                let until = Instant::now().checked_add(SILENCE).unwrap_or_else(Instant::now);
                self.silence.as_mut().reset(until);
            }
            return read;
        }
        ready!(self.silence.as_mut().poll(cx));
        Poll::Ready(Err(io::ErrorKind::TimedOut.into()))
    }
}

impl AsyncWrite for Connection {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        if let Poll::Ready(error) = self.is_over(cx) {
            return Poll::Ready(Err(error));
        }
        let sent = match &mut self.speech {
            Speech::Tls(stream) => Pin::new(stream).poll_write(cx, bytes),
            Speech::Plain(stream) => Pin::new(stream).poll_write(cx, bytes),
        };
        self.in_time(sent, cx)
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        if let Poll::Ready(error) = self.is_over(cx) {
            return Poll::Ready(Err(error));
        }
        let sent = match &mut self.speech {
            Speech::Tls(stream) => Pin::new(stream).poll_flush(cx),
            Speech::Plain(stream) => Pin::new(stream).poll_flush(cx),
        };
        self.in_time(sent, cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let shut = match &mut self.speech {
            Speech::Tls(stream) => Pin::new(stream).poll_shutdown(cx),
            Speech::Plain(stream) => Pin::new(stream).poll_shutdown(cx),
        };
        self.in_time(shut, cx)
    }
}
