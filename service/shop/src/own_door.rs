//! The door of a shop as a command at the server uses it: by the shop's own key.

use std::{path::Path, sync::Arc};

use anyhow::Context as _;
use burrline_proto::v1::shop_client::ShopClient;
use burrline_server::shop::Folder;
use burrline_tls::{
    address::Address,
    client::{Connector, Expected},
    dial::Dial,
};
use tonic::transport::{Channel, Endpoint};

/// Connects to the shop of a folder.
///
/// # Errors
/// If the folder has no key, or nobody answers by it.
pub(crate) async fn connect(data: &Path, address: &Address) -> anyhow::Result<ShopClient<Channel>> {
    let silent = || format!("the shop at {address} does not answer");
    if address.is_plain() {
        return ShopClient::connect(address.to_string()).await.with_context(silent);
    }
    let key = Arc::new(Folder::own_key_in(data)?);
    let shop = Expected::Key(key.public());
    let dial = Dial::new(address.clone(), Ok(Connector::new(key, shop)?));
    let channel = Endpoint::from_static("http://shop.invalid").connect_with_connector(dial).await;
    Ok(ShopClient::new(channel.with_context(silent)?))
}
