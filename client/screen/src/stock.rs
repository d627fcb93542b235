//! What is in stock, and what the waters cost.

use burrline_proto::v1;

use super::{Look, Table, Told};

impl Told for v1::StockResponse {
    const EXAMPLES: &'static [&'static str] = &[
        "receive-stock peroxide=20L@12% --cost 80.00 --lot A7",
        "count-stock peroxide=14L@12%",
        "stock",
    ];

    fn more() -> String {
        "By stuff and strength, the oldest lot first.\n\nThe oldest lot is used first. What was booked in \
         less what was used since is what is there; a count ends the sum before it. Waters use what goes in. \
         `set-shop uses.mount \"1 plaque\"` says what one of some work uses. `set-shop order-at.plaque 5` says \
         when to order, and `set-shop supplier.plaque \"Alder Supply\"` from whom."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["STUFF", "THERE", "COUNTED", "LOTS, THE OLDEST FIRST", ""]);
        for line in &self.lines {
            let counted = line.counted_ms.map(|at| look.time(at)).unwrap_or_default();
            let lots: Vec<String> =
                line.lots.iter().map(|lot| lot_words(lot, &line.unit)).collect();
            // A shop of an older release says the figures alone.
            let there = Some(line.there.clone()).filter(|words| !words.is_empty());
            let there = there.unwrap_or_else(|| format!("{} {}", line.on_hand, line.unit));
            table.row([stuff(line), there, counted, lots.join(", "), line.order.clone()]);
        }
        let mut text = table.lines(look);
        if text.is_empty() {
            text.push(
                "nothing is booked in; `burrline receive-stock peroxide=20L@12% --cost 80.00`"
                    .to_owned(),
            );
        }
        let mut waters = Table::new(&["WATER IN", "SINCE", "COST", ""]);
        for water in &self.waters {
            let more = if water.more { "and what nobody knows the cost of" } else { "" };
            let since = look.time(water.since_ms);
            waters.row([water.place.clone(), since, water.cost.clone(), more.to_owned()]);
        }
        let waters = waters.lines(look);
        if !waters.is_empty() {
            text.push(String::new());
            text.extend(waters);
        }
        text
    }
}

fn stuff(line: &v1::StockLine) -> String {
    if line.strength_wv.is_empty() {
        line.what.clone()
    } else {
        format!("{} {} %", line.what, line.strength_wv)
    }
}

fn lot_words(lot: &v1::StockLot, unit: &str) -> String {
    let name = if lot.lot.is_empty() { "no lot number" } else { &lot.lot };
    if !lot.there.is_empty() {
        return format!("{name}: {}", lot.there);
    }
    let of = if lot.left == lot.amount { String::new() } else { format!(" of {}", lot.amount) };
    format!("{name}: {}{of} {unit}", lot.left)
}

#[cfg(test)]
mod tests {
    use burrline_terms::Moment;

    use super::*;

    #[test]
    fn stock_reads_as_a_shelf_does_and_says_what_nobody_knows() {
        let lot = v1::StockLot {
            entry: Some(v1::EntryName { life: 1, n: 4 }),
            lot: "A7".to_owned(),
            amount: "20".to_owned(),
            left: "17.5".to_owned(),
            cost: "80.00".to_owned(),
            ..v1::StockLot::default()
        };
        let line = v1::StockLine {
            what: "peroxide".to_owned(),
            strength_wv: "12".to_owned(),
            unit: "L".to_owned(),
            on_hand: "17.5".to_owned(),
            counted_ms: None,
            lots: vec![lot],
            ..v1::StockLine::default()
        };
        let water = v1::WaterCost {
            place: "tub-1".to_owned(),
            bath: None,
            since_ms: 0,
            cost: "10.00".to_owned(),
            more: true,
        };
        let all = v1::StockResponse { lines: vec![line], waters: vec![water] };
        let zone = jiff::tz::TimeZone::UTC;
        let look = Look { zone, now: Moment(0), width: None, color: false };
        let text = all.text(&look).join("\n");
        for words in ["peroxide 12 %", "17.5 L", "A7: 17.5 of 20 L", "tub-1", "10.00", "nobody"] {
            assert!(text.contains(words), "{words} is not in\n{text}");
        }
        let none = v1::StockResponse::default().text(&look);
        assert!(none[0].contains("nothing is booked in"), "{none:?}");
    }
}
