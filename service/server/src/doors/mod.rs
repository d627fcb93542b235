//! The gRPC service: one file a group of calls, and one place where failures become codes.

mod ask;
mod desk;
mod floor;
mod follow;
pub(crate) mod gate;
mod join;
mod photo;
mod prove;
mod read;
mod record;
mod restore;
mod script;
mod season;
mod status;
mod tally;

use std::{pin::Pin, sync::Arc};

use burrline_proto::v1::{self, shop_server};
use burrline_terms::Moment;
use tokio_stream::Stream;
use tonic::{Request, Response, Status, Streaming};

use self::status::{broke_down, malformed, record_status, status};
use crate::{off_thread::off_thread, shop::Shop};

/// The door of a shop.
#[derive(Debug, Clone)]
pub struct Door {
    shop: Arc<Shop>,
    stop: tokio::sync::watch::Receiver<bool>,
}

impl Door {
    /// A door to a shop; long calls end when `stop` turns true.
    pub const fn new(shop: Arc<Shop>, stop: tokio::sync::watch::Receiver<bool>) -> Self {
        Self { shop, stop }
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
        join::greet(&self.shop, request.into_inner()).await.map(Response::new)
    }

    async fn join(
        &self,
        request: Request<v1::JoinRequest>,
    ) -> Result<Response<v1::JoinResponse>, Status> {
        join::join(&self.shop, request.into_inner()).await.map(Response::new)
    }

    async fn ask(
        &self,
        request: Request<v1::AskRequest>,
    ) -> Result<Response<v1::AskResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || ask::ask(&shop, &request)).await?.map(Response::new)
    }

    async fn record(
        &self,
        request: Request<Streaming<v1::RecordRequest>>,
    ) -> Result<Response<Self::RecordStream>, Status> {
        let stop = self.stop.clone();
        Ok(Response::new(record::record(Arc::clone(&self.shop), request.into_inner(), stop)))
    }

    async fn follow(
        &self,
        request: Request<v1::FollowRequest>,
    ) -> Result<Response<Self::FollowStream>, Status> {
        let stop = self.stop.clone();
        Ok(Response::new(follow::follow(Arc::clone(&self.shop), request.into_inner(), stop)))
    }

    async fn restore(
        &self,
        request: Request<Streaming<v1::RestoreRequest>>,
    ) -> Result<Response<v1::RestoreResponse>, Status> {
        restore::restore(&self.shop, request.into_inner()).await.map(Response::new)
    }

    async fn find(
        &self,
        request: Request<v1::FindRequest>,
    ) -> Result<Response<v1::FindResponse>, Status> {
        desk::read(&self.shop, request.into_inner(), |shop, asked| Ok(read::find(shop, asked)))
            .await
    }

    async fn show(
        &self,
        request: Request<v1::ShowRequest>,
    ) -> Result<Response<v1::ShowResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || read::show(&shop, &request)).await?.map(Response::new)
    }

    async fn trail(
        &self,
        request: Request<v1::TrailRequest>,
    ) -> Result<Response<v1::TrailResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || read::trail(&shop, &request)).await?.map(Response::new)
    }

    async fn floor(
        &self,
        request: Request<v1::FloorRequest>,
    ) -> Result<Response<v1::FloorResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || read::floor(&shop, &request)).await?.map(Response::new)
    }

    async fn due(
        &self,
        request: Request<v1::DueRequest>,
    ) -> Result<Response<v1::DueResponse>, Status> {
        desk::read(&self.shop, request.into_inner(), |shop, asked| Ok(read::due(shop, *asked)))
            .await
    }

    async fn clashes(
        &self,
        _request: Request<v1::ClashesRequest>,
    ) -> Result<Response<v1::ClashesResponse>, Status> {
        desk::read(&self.shop, (), |shop, ()| Ok(read::clashes(shop))).await
    }

    async fn compare(
        &self,
        request: Request<v1::CompareRequest>,
    ) -> Result<Response<v1::CompareResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || read::compare(&shop, &request)).await?.map(Response::new)
    }

    async fn dates(
        &self,
        request: Request<v1::DatesRequest>,
    ) -> Result<Response<v1::DatesResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || read::dates(&shop, &request)).await?.map(Response::new)
    }

    async fn stock(
        &self,
        _request: Request<v1::StockRequest>,
    ) -> Result<Response<v1::StockResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        blocking(move || read::stock(&shop)).await.map(Response::new)
    }

    async fn put_script(
        &self,
        request: Request<v1::PutScriptRequest>,
    ) -> Result<Response<v1::PutScriptResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || read::put_script(&shop, request)).await?.map(Response::new)
    }

    async fn get_script(
        &self,
        request: Request<v1::GetScriptRequest>,
    ) -> Result<Response<v1::GetScriptResponse>, Status> {
        desk::read(&self.shop, request.into_inner(), read::get_script).await
    }

    async fn script_facts(
        &self,
        request: Request<v1::ScriptFactsRequest>,
    ) -> Result<Response<v1::ScriptFactsResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || script::facts(&shop, &request)).await?.map(Response::new)
    }

    async fn scripts(
        &self,
        _request: Request<v1::ScriptsRequest>,
    ) -> Result<Response<v1::ScriptsResponse>, Status> {
        let listed = |shop: &Shop, (): &()| {
            Ok(burrline_present::scripts::listed(&shop.published(), shop.judge()))
        };
        desk::read(&self.shop, (), listed).await
    }

    async fn rules(
        &self,
        request: Request<v1::RulesRequest>,
    ) -> Result<Response<v1::RulesResponse>, Status> {
        let (shop, from) = (Arc::clone(&self.shop), Moment(request.into_inner().from_ms));
        let rules = move || burrline_present::scripts::rules(&shop.published(), from);
        blocking(rules).await.map(Response::new)
    }

    async fn refused(
        &self,
        request: Request<v1::RefusedRequest>,
    ) -> Result<Response<v1::RefusedResponse>, Status> {
        desk::read(&self.shop, request.into_inner(), desk::refused).await
    }

    async fn backtest(
        &self,
        request: Request<v1::BacktestRequest>,
    ) -> Result<Response<Self::BacktestStream>, Status> {
        script::backtest(Arc::clone(&self.shop), request.into_inner()).await.map(Response::new)
    }

    async fn digest(
        &self,
        _request: Request<v1::DigestRequest>,
    ) -> Result<Response<v1::DigestResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        blocking(move || read::digest(&shop)).await.map(Response::new)
    }

    async fn checkpoint(
        &self,
        request: Request<v1::CheckpointRequest>,
    ) -> Result<Response<v1::CheckpointResponse>, Status> {
        prove::checkpoint(&self.shop, request.into_inner()).await.map(Response::new)
    }

    async fn evidence(
        &self,
        request: Request<v1::EvidenceRequest>,
    ) -> Result<Response<v1::EvidenceResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || read::evidence(&shop, &request)).await?.map(Response::new)
    }

    async fn prove(
        &self,
        request: Request<v1::ProveRequest>,
    ) -> Result<Response<v1::ProveResponse>, Status> {
        prove::prove(&self.shop, request.into_inner()).await.map(Response::new)
    }

    async fn leaves(
        &self,
        request: Request<v1::LeavesRequest>,
    ) -> Result<Response<v1::LeavesResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || prove::leaves(&shop, &request)).await?.map(Response::new)
    }

    async fn ready_by(
        &self,
        request: Request<v1::ReadyByRequest>,
    ) -> Result<Response<v1::ReadyByResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || season::ready_by(&shop, &request)).await?.map(Response::new)
    }

    async fn rates(
        &self,
        _request: Request<v1::RatesRequest>,
    ) -> Result<Response<v1::RatesResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        blocking(move || season::rates(&shop)).await.map(Response::new)
    }

    async fn load(
        &self,
        request: Request<v1::LoadRequest>,
    ) -> Result<Response<v1::LoadResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || season::load(&shop, &request)).await?.map(Response::new)
    }

    async fn tally(
        &self,
        request: Request<v1::TallyRequest>,
    ) -> Result<Response<v1::TallyResponse>, Status> {
        let (shop, request) = (Arc::clone(&self.shop), request.into_inner());
        blocking(move || tally::tally(&shop, &request)).await?.map(Response::new)
    }

    async fn next(
        &self,
        request: Request<v1::NextRequest>,
    ) -> Result<Response<v1::NextResponse>, Status> {
        let (shop, place) = (Arc::clone(&self.shop), request.into_inner().place);
        blocking(move || floor::next(&shop, &place)).await?.map(Response::new)
    }

    async fn take_out(
        &self,
        request: Request<v1::TakeOutRequest>,
    ) -> Result<Response<v1::TakeOutResponse>, Status> {
        let (shop, potfuls) = (Arc::clone(&self.shop), request.into_inner().potfuls);
        blocking(move || floor::take_out(&shop, potfuls)).await?.map(Response::new)
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
        photo::get(Arc::clone(&self.shop), request.into_inner()).await.map(Response::new)
    }

    async fn lacked_photos(
        &self,
        request: Request<v1::LackedPhotosRequest>,
    ) -> Result<Response<v1::LackedPhotosResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || photo::lacked(&shop, &request)).await?.map(Response::new)
    }

    async fn photos(
        &self,
        request: Request<v1::PhotosRequest>,
    ) -> Result<Response<v1::PhotosResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || photo::list(&shop, &request)).await?.map(Response::new)
    }

    async fn calls(
        &self,
        request: Request<v1::CallsRequest>,
    ) -> Result<Response<v1::CallsResponse>, Status> {
        let life = request.into_inner().life;
        desk::read(&self.shop, life, |shop, life| Ok(desk::calls(shop, *life))).await
    }

    async fn takings(
        &self,
        request: Request<v1::TakingsRequest>,
    ) -> Result<Response<v1::TakingsResponse>, Status> {
        desk::read(&self.shop, request.into_inner(), desk::takings).await
    }

    async fn register(
        &self,
        request: Request<v1::RegisterRequest>,
    ) -> Result<Response<v1::RegisterResponse>, Status> {
        desk::read(&self.shop, request.into_inner(), desk::register).await
    }

    async fn ends(
        &self,
        request: Request<v1::EndsRequest>,
    ) -> Result<Response<v1::EndsResponse>, Status> {
        desk::read(&self.shop, request.into_inner(), desk::ends).await
    }

    async fn collect(
        &self,
        request: Request<v1::CollectRequest>,
    ) -> Result<Response<v1::CollectResponse>, Status> {
        desk::read(&self.shop, request.into_inner(), desk::collect).await
    }

    async fn sides(
        &self,
        request: Request<v1::SidesRequest>,
    ) -> Result<Response<v1::SidesResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        let request = request.into_inner();
        blocking(move || read::sides(&shop, &request)).await?.map(Response::new)
    }

    async fn lock_up(
        &self,
        _request: Request<v1::LockUpRequest>,
    ) -> Result<Response<v1::LockUpResponse>, Status> {
        let shop = Arc::clone(&self.shop);
        blocking(move || floor::lock_up(&shop)).await.map(Response::new)
    }

    async fn strays(
        &self,
        request: Request<v1::StraysRequest>,
    ) -> Result<Response<v1::StraysResponse>, Status> {
        let (shop, all) = (Arc::clone(&self.shop), request.into_inner().all);
        blocking(move || floor::strays(&shop, all)).await.map(Response::new)
    }

    async fn check_roll(
        &self,
        request: Request<v1::CheckRollRequest>,
    ) -> Result<Response<v1::CheckRollResponse>, Status> {
        let (shop, request) = (Arc::clone(&self.shop), request.into_inner());
        blocking(move || floor::check_roll(&shop, &request)).await?.map(Response::new)
    }

    async fn recipes(
        &self,
        request: Request<v1::RecipesRequest>,
    ) -> Result<Response<v1::RecipesResponse>, Status> {
        let name = request.into_inner().name;
        desk::read(&self.shop, name, |shop, name| floor::recipes(shop, name)).await
    }

    async fn words(
        &self,
        _request: Request<v1::WordsRequest>,
    ) -> Result<Response<v1::WordsResponse>, Status> {
        desk::read(&self.shop, (), |shop, ()| Ok(floor::words(shop))).await
    }
}

/// Runs what blocks or computes on a thread of its own.
async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Status> {
    off_thread(work).await.map_err(broke_down)
}
