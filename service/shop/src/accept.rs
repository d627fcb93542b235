//! `burrline-shop accept`: the lines of a bench that cannot send them, from a file that
//! `burrline outbox export` wrote and somebody carried here.
//!
//! They go through the door of the running shop, and where none runs, through a door that is opened on
//! loopback for as long as it takes: one way in, with the same checks.

use std::{
    collections::{BTreeMap, BTreeSet},
    io::Write as _,
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};

use anyhow::{Context as _, bail, ensure};
use burrline_domain::{Outcome, Verb};
use burrline_evidence::seal::{self, KeyId, SealKey};
use burrline_proto::{
    Wire as _, carried, decode_entry,
    v1::{self, shop_client::ShopClient},
};
use burrline_terms::EntryName;
use burrline_tls::address::Address;
use clap::Args;
use prost::Message as _;
use serde_json::json;
use tokio::{net::TcpListener, sync::oneshot, task::JoinHandle};
use tonic::{Code, transport::Channel};

use burrline_server::{
    serve::{ServeError, Spoken, end_process, serve},
    shop::{DiskLimits, Folder, MachineClock, OpenError, Shop, Starting},
};

use crate::{own_door, owner};

/// What to accept, and where.
#[derive(Debug, Clone, Args)]
pub struct Accept {
    /// The file that was carried here
    pub file: PathBuf,
    /// The shop's folder; or set `BURRLINE_DATA`
    #[arg(long, env = "BURRLINE_DATA")]
    pub data: PathBuf,
    /// The code that the export showed, if the file holds customers' details
    #[arg(long)]
    pub code: Option<String>,
    /// Take the lines although nobody has the code: the details in them can never be read
    #[arg(long, conflicts_with = "code")]
    pub without_details: bool,
    /// Print what became of the lines as one JSON object
    #[arg(long)]
    pub json: bool,
}

/// Takes the lines of a file and prints what became of each.
///
/// # Errors
/// If the file or the folder is none, or the shop does not take a line; what was taken stays taken,
/// and the same file can be accepted again.
pub async fn run(accept: &Accept) -> anyhow::Result<ExitCode> {
    owner::become_owner_of(&accept.data)?;
    let name = accept.file.display();
    let bytes = std::fs::read(&accept.file).with_context(|| name.to_string())?;
    let outbox = carried::unpack(&bytes).with_context(|| name.to_string())?;
    let keys = keys(&outbox, accept)?;
    let way = Way::to(&accept.data).await?;
    let told = carry(accept, &way.address, outbox, keys).await;
    way.close().await?;
    told.map(|()| ExitCode::SUCCESS)
}

/// The keys of the customers' details, by the number of their entry.
fn keys(
    outbox: &v1::CarriedOutbox,
    accept: &Accept,
) -> anyhow::Result<BTreeMap<u64, Vec<v1::SealKey>>> {
    let Some(sealed) = &outbox.keys else { return Ok(BTreeMap::new()) };
    let Some(code) = &accept.code else {
        ensure!(
            accept.without_details,
            "customers' details in it are sealed: add --code CODE, as the export showed it. If the \
             code is lost, export again, which shows a new one; if that cannot be, --without-details \
             takes the lines, and nobody will ever read these details"
        );
        return Ok(BTreeMap::new());
    };
    let sealed = seal::Sealed {
        key_id: KeyId(sealed.key_id.as_slice().try_into().unwrap_or_default()),
        nonce: sealed.nonce.as_slice().try_into().unwrap_or_default(),
        ciphertext: sealed.ciphertext.clone(),
    };
    let opened = seal::open(&SealKey::of_code(code.trim()), &sealed);
    let opened = opened.map_err(|_| anyhow::anyhow!("that is not the code of this file"))?;
    let keys = v1::CarriedKeys::decode(opened.as_slice())?.keys;
    Ok(keys.into_iter().map(|one| (one.n, one.keys)).collect())
}

/// A shop that was opened for this.
struct Own {
    stop: oneshot::Sender<()>,
    serving: JoinHandle<Result<(), ServeError>>,
}

/// A door, and the shop behind it if it was opened for this.
struct Way {
    address: Address,
    own: Option<Own>,
}

impl Way {
    async fn to(data: &Path) -> anyhow::Result<Self> {
        // A folder without a shop stays one: opening it would begin a new shop.
        let folder = Folder::of_shop(data).context("say which folder with --data DIR")?;
        let opened = {
            let (clock, limits) = (Arc::new(MachineClock), DiskLimits::default());
            Shop::open_heeding(data, "UTC", clock, limits, Starting::default(), end_process).await
        };
        let shop = match opened {
            Ok(shop) => shop,
            Err(OpenError::Log(burrline_ledger::OpenError::AnotherServer { .. })) => {
                let door = folder.door().context(
                    "the shop is open in another process, which does not say where its door is: stop \
                     it, and try again",
                )?;
                return Ok(Self { address: door.parse()?, own: None });
            }
            // Only its server knows how to open a log that is elsewhere.
            Err(error @ OpenError::Elsewhere { .. }) => {
                let door = folder.door().ok_or(error).context("start the server first")?;
                return Ok(Self { address: door.parse()?, own: None });
            }
            Err(error) => return Err(error.into()),
        };
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let address = Address::of(listener.local_addr()?);
        let (stop, stopped) = oneshot::channel::<()>();
        let serving = tokio::spawn(serve(shop, listener, Spoken::Tls, async move {
            let _ = stopped.await;
        }));
        Ok(Self { address, own: Some(Own { stop, serving }) })
    }

    async fn close(self) -> anyhow::Result<()> {
        let Some(Own { stop, serving }) = self.own else { return Ok(()) };
        drop(stop);
        Ok(serving.await??)
    }
}

async fn carry(
    accept: &Accept,
    address: &Address,
    outbox: v1::CarriedOutbox,
    mut keys: BTreeMap<u64, Vec<v1::SealKey>>,
) -> anyhow::Result<()> {
    let mut shop = own_door::connect(&accept.data, address).await?;
    let greeted = shop.greet(v1::GreetRequest { life: outbox.life }).await?.into_inner();
    ensure!(
        !greeted.bench_name.is_empty(),
        "the file is of bench {} of the shop {}: its life {} is not enrolled here",
        outbox.bench_name,
        outbox.shop_name,
        outbox.life
    );
    ensure!(
        greeted.bench_name == outbox.bench_name,
        "the file is of bench {} of the shop {}, life {}; the bench with that life at {} is {}: it is \
         another shop's file, or this shop lost that bench's enrolment (then give the bench a new life \
         with `burrline rejoin --code CODE`). Nothing was taken",
        outbox.bench_name,
        outbox.shop_name,
        outbox.life,
        greeted.shop_name,
        greeted.bench_name
    );
    let withdrawn: BTreeSet<u64> = outbox.withdrawn.iter().copied().collect();
    let mut names = Vec::with_capacity(outbox.entries.len());
    let mut requests = Vec::with_capacity(outbox.entries.len());
    for signed in outbox.entries {
        let entry = decode_entry(&signed.entry).context("the file holds what is no entry")?;
        let name = entry.name;
        // What stands for a line that the bench lost, and the shop may have.
        if matches!(entry.verb, Verb::Void(_)) && name.n <= greeted.held {
            continue;
        }
        requests.push(v1::RecordRequest {
            entry: Some(signed),
            keys: keys.remove(&name.n).unwrap_or_default(),
            now: None,
            carried: Some(clocks_of(outbox.clocks.as_ref(), &entry.clock.boot)),
            withdrawn: withdrawn.contains(&name.n),
        });
        names.push((name, entry.verb.line()));
    }
    let mut each = Vec::new();
    let mut tell = |line: Answered| {
        // Whoever closed standard output wants to hear no more; the lines are taken all the same.
        if accept.json {
            each.push(line.json());
        } else {
            let _ = print(&line.to_string());
        }
    };
    let taken = record(&mut shop, requests, &names, &mut tell).await;
    if accept.json {
        let ended = taken.ended.as_ref().map(tonic::Status::message);
        let (bench, recorded, there) = (&greeted.bench_name, taken.recorded, taken.repeated);
        print(
            &json!({"bench": bench, "lines": each, "recorded": recorded, "thereAlready": there, "ended": ended})
                .to_string(),
        )?;
    } else {
        let told = format!("{} of bench {}: {taken}", counted(names.len()), greeted.bench_name);
        print(&told)?;
    }
    match taken.ended {
        None => Ok(()),
        Some(status) => bail!("{}", advice(&status, &outbox.bench_name)),
    }
}

/// The contacts of the start in which an entry was typed; others tell nothing of it.
fn clocks_of(clocks: Option<&v1::CarriedClocks>, boot: &[u8; 16]) -> v1::CarriedClocks {
    let mut clocks = clocks.cloned().unwrap_or_default();
    let of_boot = |contact: &v1::CarriedContact| {
        contact.clock.as_ref().is_some_and(|clock| clock.boot.as_slice() == boot)
    };
    clocks.contacts.retain(of_boot);
    clocks
}

/// What became of the lines.
#[derive(Debug, Default)]
struct TakenLines {
    recorded: usize,
    repeated: usize,
    ended: Option<tonic::Status>,
}

impl std::fmt::Display for TakenLines {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} recorded, {} there already", self.recorded, self.repeated)
    }
}

async fn record(
    shop: &mut ShopClient<Channel>,
    requests: Vec<v1::RecordRequest>,
    names: &[(EntryName, String)],
    tell: &mut impl FnMut(Answered),
) -> TakenLines {
    let mut taken = TakenLines::default();
    let mut answers = match shop.record(tokio_stream::iter(requests)).await {
        Ok(answers) => answers.into_inner(),
        Err(status) => return TakenLines { ended: Some(status), ..taken },
    };
    for (name, line) in names {
        match answers.message().await {
            Ok(Some(v1::RecordResponse { receipt: Some(receipt) })) => {
                let count = if receipt.repeat { &mut taken.repeated } else { &mut taken.recorded };
                *count = count.saturating_add(1);
                tell(Answered::of(*name, line, &receipt));
            }
            Ok(_) => {
                let words = "the shop hung up; accept the file again";
                return TakenLines { ended: Some(tonic::Status::unavailable(words)), ..taken };
            }
            Err(status) => return TakenLines { ended: Some(status), ..taken },
        }
    }
    taken
}

/// One line and what the shop answered to it.
struct Answered {
    name: EntryName,
    line: String,
    /// The skull that it is about; its state is not what this line said.
    skull: Option<String>,
    repeat: bool,
    remarks: Vec<String>,
    refused: Option<String>,
    clashes: Vec<String>,
}

impl Answered {
    fn of(name: EntryName, line: &str, receipt: &v1::Receipt) -> Self {
        let (remarks, refused) = match receipt.outcome.as_ref().map(Outcome::from_item) {
            Some(Ok(Outcome::Done(remarks))) => {
                (remarks.iter().map(|remark| remark.words.to_string()).collect(), None)
            }
            Some(Ok(Outcome::Refused(why))) => (Vec::new(), Some(why.to_string())),
            Some(Err(_)) | None => (Vec::new(), None),
        };
        let skull = receipt.said_back.split_once(": ").map(|(skull, _)| skull.to_owned());
        let clashes = receipt.clashes.clone();
        Self {
            name,
            line: line.to_owned(),
            skull,
            repeat: receipt.repeat,
            remarks,
            refused,
            clashes,
        }
    }

    fn json(&self) -> serde_json::Value {
        json!({
            "entry": self.name.to_string(),
            "line": self.line,
            "skull": self.skull,
            "thereAlready": self.repeat,
            "remarks": self.remarks,
            "refused": self.refused,
            "doesNotFit": self.clashes,
        })
    }
}

impl std::fmt::Display for Answered {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let what = if self.repeat { "there already" } else { "recorded" };
        write!(f, "{}  {}  ({what}", self.name, self.line)?;
        if let Some(skull) = &self.skull {
            write!(f, " on {skull}")?;
        }
        f.write_str(")")?;
        for remark in &self.remarks {
            write!(f, "\n  remark: {remark}")?;
        }
        if let Some(why) = &self.refused {
            write!(f, "\n  refused: {why}")?;
        }
        for clash in &self.clashes {
            write!(f, "\n  does not fit: {clash}")?;
        }
        Ok(())
    }
}

/// What the shop says, and what to do about it.
fn advice(status: &tonic::Status, bench: &str) -> String {
    let words = status.message();
    let what = if status.code() == Code::OutOfRange {
        "The shop has less of this bench than the bench thinks: write the file again with `burrline \
         outbox export FILE --all`"
            .to_owned()
    } else if status.code() == Code::FailedPrecondition {
        format!(
            "Take the folder of {bench} to a machine that reaches the shop, and give it a new life \
             there: `burrline --bench FOLDER rejoin --code CODE`"
        )
    } else {
        return words.to_owned();
    };
    format!("{words}. {what}")
}

fn counted(lines: usize) -> String {
    if lines == 1 { "1 line".to_owned() } else { format!("{lines} lines") }
}

fn print(line: &str) -> std::io::Result<()> {
    writeln!(std::io::stdout(), "{line}")
}
