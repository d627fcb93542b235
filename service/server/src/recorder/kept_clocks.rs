//! What is known of the benches' clocks as bytes, for a snapshot. A cache, and no part of the schema.

use burrline_terms::Moment;
use prost::Message;

use super::happened::{Boot, Clocks, Contact, Life};

#[derive(Clone, PartialEq, Message)]
struct Kept {
    #[prost(sint64, optional, tag = "1")]
    opened: Option<i64>,
    #[prost(message, repeated, tag = "2")]
    lives: Vec<KeptLife>,
    #[prost(message, repeated, tag = "3")]
    boots: Vec<KeptBoot>,
}

#[derive(Clone, PartialEq, Message)]
struct KeptLife {
    #[prost(uint32, tag = "1")]
    life: u32,
    #[prost(sint64, optional, tag = "2")]
    typed: Option<i64>,
    #[prost(sint64, optional, tag = "3")]
    not_before: Option<i64>,
    #[prost(bytes = "vec", tag = "4")]
    boot: Vec<u8>,
    #[prost(sint64, tag = "5")]
    uptime: i64,
}

#[derive(Clone, PartialEq, Message)]
struct KeptBoot {
    #[prost(uint32, tag = "1")]
    life: u32,
    #[prost(bytes = "vec", tag = "2")]
    boot: Vec<u8>,
    #[prost(sint64, repeated, tag = "3")]
    uptimes: Vec<i64>,
    #[prost(sint64, repeated, tag = "4")]
    started: Vec<i64>,
}

impl Clocks {
    /// As bytes.
    pub fn to_bytes(&self) -> Vec<u8> {
        let Self { contacts, lives, opened } = self;
        let lives = lives.iter().map(|(life, known)| {
            let Life { typed, not_before, last } = *known;
            KeptLife {
                life: *life,
                typed: typed.map(|at| at.0),
                not_before: not_before.map(|at| at.0),
                boot: last.map(|(boot, _)| boot.to_vec()).unwrap_or_default(),
                uptime: last.map(|(_, uptime)| uptime).unwrap_or_default(),
            }
        });
        let boots = contacts.iter().map(|((life, boot), contacts)| KeptBoot {
            life: *life,
            boot: boot.to_vec(),
            uptimes: contacts.iter().map(|contact| contact.uptime).collect(),
            started: contacts.iter().map(|contact| contact.started.0).collect(),
        });
        let (lives, boots) = (lives.collect(), boots.collect());
        Kept { opened: opened.map(|at| at.0), lives, boots }.encode_to_vec()
    }

    /// Those of these bytes; none if they say something else.
    pub fn of_bytes(bytes: &[u8]) -> Option<Self> {
        let kept = Kept::decode(bytes).ok()?;
        let mut clocks = Self { opened: kept.opened.map(Moment), ..Self::default() };
        for life in kept.lives {
            let last = match life.boot.as_slice() {
                [] => None,
                boot => Some((Boot::try_from(boot).ok()?, life.uptime)),
            };
            let (typed, not_before) = (life.typed.map(Moment), life.not_before.map(Moment));
            clocks.lives.insert(life.life, Life { typed, not_before, last });
        }
        for KeptBoot { life, boot, uptimes, started } in kept.boots {
            if uptimes.len() != started.len() {
                return None;
            }
            let contacts = uptimes.into_iter().zip(started);
            let contacts =
                contacts.map(|(uptime, at)| Contact { uptime, started: Moment(at) }).collect();
            clocks.contacts.insert((life, Boot::try_from(boot).ok()?), contacts);
        }
        Some(clocks)
    }
}
