//! The gRPC service: one file a group of calls, and one place where failures become codes.
//!
//! **Adding a call.** A call is for what is no reading: a stream, a photo, what is recorded.
//!
//! 1. Request, response and `rpc` in `proto/burrline/v1/shop.proto`, each with a comment. `cargo test
//!    -p burrline-proto` says what to append to `golden/schema.txt`.
//! 2. The method here, and its work in a file of this folder: `blocking` if it computes, reads or
//!    waits for a lock.
//! 3. The bench's side: a method in `client/bench/src/connection.rs`, a command in `client/cli/src`,
//!    what a hand reads in `client/screen/src`.
//! 4. A failure is a `Reason` of the schema and a code in `status`. A program goes by the reason,
//!    never by the words.

mod ask;
mod caller;
mod follow;
pub(crate) mod gate;
mod invite;
mod join;
mod limits;
mod photo;
mod prove;
mod read;
mod reading;
mod record;
mod restore;
mod rights;
mod script;
mod status;
mod turns;

use std::{pin::Pin, sync::Arc};

use burrline_proto::v1::{self, shop_server};
use tokio_stream::Stream;
use tonic::{Request, Response, Status, Streaming};

pub use self::caller::Caller;
use self::{
    limits::within,
    status::{broke_down, malformed, record_status, status},
    turns::Turns,
};
use crate::{connections::Peer, off_thread::off_thread, shop::Shop};

/// The door of a shop.
#[derive(Debug, Clone)]
pub struct Door {
    shop: Arc<Shop>,
    turns: Turns,
    stop: tokio::sync::watch::Receiver<bool>,
}

impl Door {
    /// A door to a shop; long calls end when `stop` turns true.
    pub fn new(shop: Arc<Shop>, stop: tokio::sync::watch::Receiver<bool>) -> Self {
        Self { shop, turns: Turns::default(), stop }
    }
}

type Answers<T> = Pin<Box<dyn Stream<Item = Result<T, Status>> + Send>>;

#[tonic::async_trait]
impl shop_server::Shop for Door {
    type RecordStream = Answers<v1::RecordResponse>;
    type FollowStream = Answers<v1::FollowResponse>;
    type BacktestStream = Answers<v1::BacktestResponse>;
    type GetPhotoStream = Answers<v1::GetPhotoResponse>;

    async fn greet(
        &self,
        request: Request<v1::GreetRequest>,
    ) -> Result<Response<v1::GreetResponse>, Status> {
        let caller = Caller::of(&request)?;
        join::greet(&self.shop, caller, within(request)?).await.map(Response::new)
    }

    async fn join(
        &self,
        request: Request<v1::JoinRequest>,
    ) -> Result<Response<v1::JoinResponse>, Status> {
        let caller = Caller::of(&request)?;
        let peer = request.extensions().get::<Peer>().copied();
        let peer = peer.ok_or_else(|| Status::internal("a call came by no door"))?;
        let turns = (&self.turns, peer.from);
        join::join(&self.shop, caller, turns, within(request)?).await.map(Response::new)
    }

    async fn invite(
        &self,
        request: Request<v1::InviteRequest>,
    ) -> Result<Response<v1::InviteResponse>, Status> {
        invite::invite(&self.shop, within(request)?).await.map(Response::new)
    }

    async fn invites(
        &self,
        request: Request<v1::InvitesRequest>,
    ) -> Result<Response<v1::InvitesResponse>, Status> {
        invite::invites(&self.shop, within(request)?).await.map(Response::new)
    }

    async fn ask(
        &self,
        request: Request<v1::AskRequest>,
    ) -> Result<Response<v1::AskResponse>, Status> {
        let (caller, shop) = (Caller::of(&request)?, Arc::clone(&self.shop));
        let request = within(request)?;
        blocking(move || ask::ask(&shop, caller, &request)).await?.map(Response::new)
    }

    async fn record(
        &self,
        request: Request<Streaming<v1::RecordRequest>>,
    ) -> Result<Response<Self::RecordStream>, Status> {
        let (caller, stop) = (Caller::of(&request)?, self.stop.clone());
        let shop = Arc::clone(&self.shop);
        Ok(Response::new(record::record(shop, caller, request.into_inner(), stop)))
    }

    async fn follow(
        &self,
        request: Request<v1::FollowRequest>,
    ) -> Result<Response<Self::FollowStream>, Status> {
        let stop = self.stop.clone();
        Ok(Response::new(follow::follow(Arc::clone(&self.shop), within(request)?, stop)))
    }

    async fn restore(
        &self,
        request: Request<Streaming<v1::RestoreRequest>>,
    ) -> Result<Response<v1::RestoreResponse>, Status> {
        restore::restore(&self.shop, request.into_inner()).await.map(Response::new)
    }

    async fn read(
        &self,
        request: Request<v1::ReadRequest>,
    ) -> Result<Response<v1::ReadResponse>, Status> {
        let (caller, shop) = (Caller::of(&request)?, Arc::clone(&self.shop));
        let request = within(request)?;
        let is_now = request.as_of_ms.is_none() && request.as_known.is_none();
        let turn = if is_now { self.turns.reading().await? } else { self.turns.refold().await? };
        blocking(move || {
            let _turn = turn;
            reading::read(&shop, caller, &request)
        })
        .await?
        .map(Response::new)
    }

    async fn put_script(
        &self,
        request: Request<v1::PutScriptRequest>,
    ) -> Result<Response<v1::PutScriptResponse>, Status> {
        let (caller, shop) = (Caller::of(&request)?, Arc::clone(&self.shop));
        let request = within(request)?;
        self.turns.put(caller.life(0), request.source.len())?;
        let turn = self.turns.reading().await?;
        blocking(move || {
            let _turn = turn;
            read::put_script(&shop, request)
        })
        .await?
        .map(Response::new)
    }

    async fn get_script(
        &self,
        request: Request<v1::GetScriptRequest>,
    ) -> Result<Response<v1::GetScriptResponse>, Status> {
        let (shop, request) = (Arc::clone(&self.shop), within(request)?);
        let turn = self.turns.reading().await?;
        blocking(move || {
            let _turn = turn;
            read::get_script(&shop, &request)
        })
        .await?
        .map(Response::new)
    }

    async fn script_facts(
        &self,
        request: Request<v1::ScriptFactsRequest>,
    ) -> Result<Response<v1::ScriptFactsResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = within(request)?;
        let turn = if request.when_quoted {
            self.turns.refold().await?
        } else {
            self.turns.reading().await?
        };
        blocking(move || {
            let _turn = turn;
            script::facts(&shop, &request)
        })
        .await?
        .map(Response::new)
    }

    async fn backtest(
        &self,
        request: Request<v1::BacktestRequest>,
    ) -> Result<Response<Self::BacktestStream>, Status> {
        let turn = self.turns.trial().await?;
        script::backtest(Arc::clone(&self.shop), within(request)?, turn).await.map(Response::new)
    }

    async fn digest(
        &self,
        _request: Request<v1::DigestRequest>,
    ) -> Result<Response<v1::DigestResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let turn = self.turns.reading().await?;
        blocking(move || {
            let _turn = turn;
            read::digest(&shop)
        })
        .await
        .map(Response::new)
    }

    async fn checkpoint(
        &self,
        request: Request<v1::CheckpointRequest>,
    ) -> Result<Response<v1::CheckpointResponse>, Status> {
        let _turn = self.turns.reading().await?;
        prove::checkpoint(&self.shop, within(request)?).await.map(Response::new)
    }

    async fn evidence(
        &self,
        request: Request<v1::EvidenceRequest>,
    ) -> Result<Response<v1::EvidenceResponse>, Status> {
        let (caller, shop) = (Caller::of(&request)?, Arc::clone(&self.shop));
        let request = within(request)?;
        let turn = self.turns.reading().await?;
        blocking(move || {
            let _turn = turn;
            read::evidence(&shop, caller, &request)
        })
        .await?
        .map(Response::new)
    }

    async fn exported(
        &self,
        request: Request<v1::ExportedRequest>,
    ) -> Result<Response<v1::ExportedResponse>, Status> {
        let caller = Caller::of(&request)?;
        read::exported(&self.shop, caller, within(request)?);
        Ok(Response::new(v1::ExportedResponse {}))
    }

    async fn prove(
        &self,
        request: Request<v1::ProveRequest>,
    ) -> Result<Response<v1::ProveResponse>, Status> {
        let _turn = self.turns.reading().await?;
        prove::prove(&self.shop, within(request)?).await.map(Response::new)
    }

    async fn leaves(
        &self,
        request: Request<v1::LeavesRequest>,
    ) -> Result<Response<v1::LeavesResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = within(request)?;
        let turn = self.turns.reading().await?;
        blocking(move || {
            let _turn = turn;
            prove::leaves(&shop, &request)
        })
        .await?
        .map(Response::new)
    }

    async fn put_photo(
        &self,
        request: Request<Streaming<v1::PutPhotoRequest>>,
    ) -> Result<Response<v1::PutPhotoResponse>, Status> {
        photo::put(Arc::clone(&self.shop), request.into_inner()).await.map(Response::new)
    }

    async fn get_photo(
        &self,
        request: Request<v1::GetPhotoRequest>,
    ) -> Result<Response<Self::GetPhotoStream>, Status> {
        let caller = Caller::of(&request)?;
        photo::get(Arc::clone(&self.shop), caller, within(request)?).await.map(Response::new)
    }

    async fn lacked_photos(
        &self,
        request: Request<v1::LackedPhotosRequest>,
    ) -> Result<Response<v1::LackedPhotosResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = within(request)?;
        let turn = self.turns.reading().await?;
        blocking(move || {
            let _turn = turn;
            photo::lacked(&shop, &request)
        })
        .await?
        .map(Response::new)
    }
}

/// Runs what blocks or computes on a thread of its own.
async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Status> {
    off_thread(work).await.map_err(broke_down)
}
