//! What is in stock, lot by lot, and what the waters cost.

use burrline_domain::{
    State,
    fold::{Kind, Lot, StockLine},
};
use burrline_proto::{Wire, v1};
use burrline_terms::Typed as _;
use rust_decimal::Decimal;

use crate::readings::{self, Reading, Unreadable, View};
use crate::units::Units;

impl Reading for readings::Stock {
    type Response = v1::StockResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::StockResponse, Unreadable> {
        Ok(stock(view.state))
    }
}

/// The stock, and the cost of each water that is in a place now.
pub fn stock(state: &State) -> v1::StockResponse {
    let stock = state.stock();
    let digits = state.settings().minor_digits();
    let now = state.waters().iter().filter_map(|(place, water)| Some((place, water.bath()?)));
    let waters = now.map(|(place, bath)| {
        let cost = stock.cost_of(bath.id);
        v1::WaterCost {
            place: place.to_string(),
            bath: Some(bath.id.to_item()),
            since_ms: bath.from.at.0,
            cost: cost.known.half_up(digits).to_string(),
            more: cost.more,
        }
    });
    v1::StockResponse {
        lines: stock.lines.iter().map(|(kind, line)| stock_line(state, kind, line)).collect(),
        waters: waters.collect(),
    }
}

fn stock_line(state: &State, kind: &Kind, line: &StockLine) -> v1::StockLine {
    let units = Units::of(state);
    v1::StockLine {
        what: kind.what.clone(),
        strength_wv: kind.strength_wv.map(plain).unwrap_or_default(),
        unit: kind.measure.unit().to_owned(),
        on_hand: plain(line.on_hand()),
        counted_ms: line.counted.map(|key| key.at.0),
        lots: line.lots.iter().map(|one| lot(units, kind, one)).collect(),
        there: units.stock(kind.measure, line.on_hand()),
        order: order(state, kind, line).unwrap_or_default(),
    }
}

/// That it is time to order, and from whom.
fn order(state: &State, kind: &Kind, line: &StockLine) -> Option<String> {
    let settings = state.settings();
    let at = settings.order_at(&kind.what).filter(|at| kind.is_low(line.on_hand(), *at))?;
    let from = settings.supplier(&kind.what).map(|from| format!(" from {from}"));
    Some(format!("order{}: at {} or less", from.unwrap_or_default(), at.show()))
}

fn lot(units: Units, kind: &Kind, lot: &Lot) -> v1::StockLot {
    let (left, all) = (units.stock(kind.measure, lot.left), units.stock(kind.measure, lot.amount));
    v1::StockLot {
        entry: Some(lot.entry.to_item()),
        lot: lot.lot.as_ref().map(ToString::to_string).unwrap_or_default(),
        amount: plain(lot.amount),
        left: plain(lot.left),
        cost: lot.cost.map(|cost| cost.to_string()).unwrap_or_default(),
        there: if lot.left == lot.amount { left } else { format!("{left} of {all}") },
    }
}

fn plain(number: Decimal) -> String {
    // What was booked in gallons has nine places in litres.
    number.round_dp(3).normalize().to_string()
}
