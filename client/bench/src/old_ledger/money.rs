//! What a row says of money: the price, what was paid, and what is due.
//!
//! Two of the three make the third. Where all three stand there, they must agree to the cent, or the
//! row is for a person: a guess would be dunned for, or lost.

use burrline_terms::{Money, Typed as _};

use super::{Column, Row};

/// The money of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Balance {
    /// The price, tax and all; none if the row says none and it cannot be reckoned.
    pub price: Option<Money>,
    /// What was paid; none if nothing was.
    pub paid: Option<Money>,
}

impl Balance {
    /// Reads the money of a row.
    ///
    /// # Errors
    /// The words to tell, if a cell is no amount, or the three do not agree.
    pub fn of(row: &Row, digits: u32) -> Result<Self, String> {
        let [price, paid, due] =
            [("price", Column::Price), ("paid", Column::Paid), ("due", Column::Due)]
                .map(|(name, column)| amount(row.cell(column), name, digits));
        let (price, paid, due) = (price?, paid?, due?);
        let sum = |a: Money, b: Money| a.checked_add(b).unwrap_or(a);
        let less = |a: Money, b: Money| a.checked_sub(b).unwrap_or(a);
        let below = |amount: Money| amount < Money::ZERO;
        if price.is_some_and(below) || paid.is_some_and(below) {
            return Err("a price and what was paid are not below 0".to_owned());
        }
        let (price, paid) = match (price, paid, due) {
            (Some(price), paid, Some(due)) => {
                let reckoned = less(price, due);
                match paid {
                    Some(paid) if paid != reckoned => {
                        return Err(format!(
                            "price {price} less paid {paid} is {}, and due says {due}",
                            less(price, paid)
                        ));
                    }
                    Some(_) | None if below(reckoned) => {
                        return Err(format!("due {due} is more than the price {price}"));
                    }
                    Some(_) | None => (Some(price), Some(reckoned)),
                }
            }
            (None, paid, Some(due)) => {
                let price = sum(paid.unwrap_or_default(), due);
                if below(price) {
                    return Err(format!("due {due} and no price: say what it is that is due"));
                }
                (Some(price), paid)
            }
            (price, paid, None) => (price, paid),
        };
        Ok(Self { price, paid: paid.filter(|paid| *paid != Money::ZERO) })
    }
}

/// An amount of a cell: `120`, `$1,200.00`, `120,50`, `1.200,50`.
fn amount(cell: &str, name: &str, digits: u32) -> Result<Option<Money>, String> {
    let bare: String =
        cell.chars().filter(|c| !c.is_whitespace() && !c.is_alphabetic() && *c != '$').collect();
    if bare.is_empty() {
        return if cell.trim().is_empty() { Ok(None) } else { Err(wrong(cell, name)) };
    }
    if cell.chars().any(char::is_alphabetic) && !cell.to_lowercase().contains("usd") {
        return Err(wrong(cell, name));
    }
    let behind = |mark: char| bare.rsplit_once(mark).map(|(_, behind)| behind.len());
    let plain = match (behind('.'), behind(',')) {
        (Some(point), Some(comma)) if point < comma => bare.replace(',', ""),
        (Some(_), Some(_)) => bare.replace('.', "").replace(',', "."),
        (None, Some(3)) | (Some(3), None) if digits != 3 => {
            return Err(format!(
                "{name}: {cell} could be with thousands or with a third digit of cents; write it \
                 without the mark, or with two digits behind it"
            ));
        }
        (None, Some(_)) => bare.replace(',', "."),
        (Some(_) | None, None) => bare,
    };
    let money = Money::read(&plain).map_err(|_| wrong(cell, name))?;
    if money.amount().scale() > digits {
        return Err(format!("{name}: {cell} has more digits than the shop's currency"));
    }
    Ok(Some(money))
}

fn wrong(cell: &str, name: &str) -> String {
    format!("{name}: \u{201c}{cell}\u{201d} is not an amount of money such as 185.00")
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    fn of(price: &str, paid: &str, due: &str) -> String {
        let cells = [(Column::Price, price), (Column::Paid, paid), (Column::Due, due)];
        let cells: BTreeMap<Column, String> =
            cells.into_iter().map(|(column, text)| (column, text.to_owned())).collect();
        let told = |money: Option<Money>| money.map_or("-".to_owned(), |money| money.to_string());
        match Balance::of(&Row { cells, ..Row::default() }, 2) {
            Ok(balance) => format!("{} {}", told(balance.price), told(balance.paid)),
            Err(words) => words,
        }
    }

    #[test]
    fn two_of_the_three_make_the_third() {
        for (price, paid, due, told) in [
            ("120", "60", "60", "120.00 60.00"),
            ("120", "60", "", "120.00 60.00"),
            ("120", "", "60", "120.00 60.00"),
            ("", "60", "60", "120.00 60.00"),
            ("", "", "60", "60.00 -"),
            ("120", "120", "0", "120.00 120.00"),
            ("", "50", "", "- 50.00"),
            ("", "", "", "- -"),
            ("120", "130", "-10", "120.00 130.00"),
            ("$1,200.50", "1.000,50", "200", "1200.50 1000.50"),
            ("120,50", "0", "120,50", "120.50 -"),
        ] {
            assert_eq!(of(price, paid, due), told, "{price} {paid} {due}");
        }
    }

    #[test]
    fn what_does_not_agree_or_is_no_amount_is_for_a_person() {
        assert_eq!(
            of("120", "60", "50"),
            "price 120.00 less paid 60.00 is 60.00, and due says 50.00"
        );
        assert!(of("120", "", "130").contains("more than the price"));
        assert!(of("call him", "", "").contains("is not an amount of money"));
        assert!(of("1,200", "", "").contains("could be with thousands"));
        assert!(of("-5", "", "").contains("not below 0"));
        assert!(of("12.005", "", "").contains("could be"), "{}", of("12.005", "", ""));
    }
}
