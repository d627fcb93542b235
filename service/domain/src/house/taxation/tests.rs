//! Published worked examples, each with its source.

use super::*;
use crate::house::tax::Rates;
use burrline_terms::time::Day;

fn by(rates: &str) -> Taxation {
    let day = Day::read("2026-06-01").unwrap();
    Taxation {
        parts: Rates::read(&format!("{rates} from 2020-01-01")).unwrap().parts_on(day).to_vec(),
        by: TaxBy::Invoice,
        rounding: Rounding::HalfUp,
        digits: 2,
        included: false,
        kinds: TaxedKinds::default(),
        sold_as: BTreeMap::new(),
        exempt: false,
        brackets: None,
        beside: Beside::default(),
    }
}

fn amount(text: &str) -> Decimal {
    text.parse().unwrap()
}

fn tax(taxation: &Taxation, lines: &[(&str, &str)]) -> String {
    let lines: Vec<_> = lines.iter().map(|(what, text)| (*what, amount(text))).collect();
    taxation.tax(&lines).unwrap().tax.to_string()
}

/// Rates: City of Boulder, Tax Rates, 2023; Texas Comptroller, changes of 1 October 2019; City of
/// Warrensburg, Missouri. The taxes on 149.95 are reckoned from these rates, half up on their sum.
#[test]
fn a_rate_in_parts_is_rounded_once_and_its_parts_add_up() {
    for (rates, want) in [
        ("city 3.86% + state 2.9% + county 1.185% + RTD and culture 1.1%", "13.56"),
        ("state 6.25% + city 1.75% + MDD 0.25%", "12.37"),
        ("6.25% + 1.5% + .5%", "12.37"),
        ("4.225% + 4.125%", "12.52"),
        ("4.225% + 4.125% + 0.5%", "13.27"),
    ] {
        let taxed = by(rates).tax(&[("cleaning", amount("149.95"))]).unwrap();
        assert_eq!(taxed.tax.to_string(), want, "{rates}");
        let parts = taxed.parts.iter().fold(Decimal::ZERO, |sum, of| sum + of.tax);
        assert_eq!(parts, taxed.tax, "{rates}");
    }
}

/// Source: R.I. Gen. Laws 44-18.1-25 (the Streamlined agreement, section 324): to the third decimal,
/// up if that is above 4; on the item or on the invoice. 12.95 at 6.25 %: Ohio Tax ST 2005-05.
#[test]
fn an_invoice_is_rounded_once_and_a_line_by_itself() {
    let lines = [("a", "1.50"), ("b", "1.50"), ("c", "1.50")];
    assert_eq!(tax(&by("7%"), &lines), "0.32");
    assert_eq!(tax(&Taxation { by: TaxBy::Line, ..by("7%") }, &lines), "0.33");
    assert_eq!(tax(&by("6.25%"), &[("cleaning", "12.95")]), "0.81");
}

/// Source: Washington Department of Revenue, Restaurants: 5.00 with 8.4 % in it is 4.61, 3.00 is 2.77.
#[test]
fn a_price_with_the_tax_in_it_is_taken_apart() {
    let included = Taxation { included: true, ..by("8.4%") };
    for (gross, net) in [("5.00", "4.61"), ("3.00", "2.77")] {
        let taxed = included.tax(&[("cleaning", amount(gross))]).unwrap();
        assert_eq!((taxed.base.to_string().as_str(), taxed.total), (net, amount(gross)));
    }
}

/// Source: New York TB-ST-838, 2012: a charge for delivery is part of what is taxed: 499.95 + 30 + 20
/// make 549.95. Where only the goods are taxed (common practice, no source), 9.99 + 0.00.
#[test]
fn lines_are_taxed_by_what_they_are_sold_as() {
    let lines =
        [("plaque", amount("499.95")), ("delivery", amount("30")), ("shipping", amount("20"))];
    assert_eq!(by("8%").tax(&lines).unwrap().base, amount("549.95"));
    let goods = Taxation { kinds: TaxedKinds::read("goods").unwrap(), ..by("8%") };
    let taxed = goods.tax(&lines).unwrap();
    assert_eq!((taxed.base, taxed.before), (amount("499.95"), amount("549.95")));
    assert_eq!(tax(&goods, &[("cleaning", "120.00"), ("tip", "10.00")]), "0");
    assert_eq!(tax(&by("8%"), &[("cleaning", "100.00"), ("tip", "10.00")]), "8.00");
    let exempt = Taxation { exempt: true, ..by("8%") };
    assert_eq!(tax(&exempt, &[("cleaning", "100.00")]), "0");
}

/// Source: Minnesota Revenue, coupons and discounts: tax is on what is left after the shop's own
/// discount. Reckoned from it: 100 less 10 at 7 % is 96.30.
#[test]
fn a_discount_takes_its_tax_off() {
    let taxed = by("7%").tax(&[("cleaning", amount("100")), ("discount", amount("-10"))]);
    assert_eq!(taxed.unwrap().total, amount("96.30"));
    let off = by("4% + 3%").within(&[("discount", amount("-10.70"))]).unwrap();
    assert_eq!((off.tax, off.base), (amount("-0.70"), amount("-10.00")));
    let parts: Vec<Decimal> = off.parts.into_iter().map(|of| of.tax).collect();
    assert_eq!(parts, [amount("-0.40"), amount("-0.30")]);
}

/// Source: Tennessee Department of Revenue, help on the single article tax: a table of 4,000 at 7 % and
/// a local 2.25 % on the first 1,600, with 2.75 % from there to 3,200, is taxed 280 + 36 + 44 = 360. The
/// cap is on an article, not on the invoice, and there is none for services.
#[test]
fn an_article_is_capped_and_work_is_not() {
    let capped = by("state 7% + local 2.25% up to 1600 + article 2.75% over 1600 up to 3200");
    let taxed = capped.tax(&[("plaque", amount("4000"))]).unwrap();
    assert_eq!(taxed.tax, amount("360.00"));
    let parts: Vec<(Decimal, Decimal)> = taxed.parts.iter().map(|of| (of.base, of.tax)).collect();
    let figures = [("4000", "280.00"), ("1600", "36.00"), ("1600", "44.00")];
    assert_eq!(parts, figures.map(|(base, tax)| (amount(base), amount(tax))));
    // Two articles have two caps, and 4,000 of work is taxed at 9.25 % (reckoned from the same rates).
    let two = capped.tax(&[("plaque", amount("2000")), ("plaque", amount("2000"))]).unwrap();
    assert_eq!(two.tax, amount("374"));
    assert_eq!(capped.tax(&[("cleaning", amount("4000"))]).unwrap().tax, amount("370"));
    // With the tax in it, the same table is taken apart again.
    let within = capped.within(&[("plaque", amount("4360"))]).unwrap();
    assert_eq!((within.base, within.tax), (amount("4000.00"), amount("360.00")));
}

/// Source: Florida Department of Revenue, DR-15 instructions: the surtax is on the first 5,000 of an
/// item, 6,500 has 1,500 outside; reckoned at 6 % and 1 %: 440. GT-800019: no cap for services.
#[test]
fn a_surtax_stops_at_its_cap() {
    let florida = by("state 6% + surtax 1% up to 5000");
    assert_eq!(tax(&florida, &[("plaque", "6500")]), "440");
    assert_eq!(tax(&florida, &[("cleaning", "6500")]), "455");
}

/// Source: Florida, TIP 21A01-02, as retold: any fraction of a cent went up until 30 June 2021, then
/// half up. Reckoned: 10.05 at 7 % was .71 and is .70.
#[test]
fn any_fraction_may_go_up() {
    let before = Taxation { rounding: Rounding::Up, ..by("7%") };
    assert_eq!(tax(&before, &[("cleaning", "10.05")]), "0.71");
    assert_eq!(tax(&by("7%"), &[("cleaning", "10.05")]), "0.70");
}

/// Source: Laws of Maryland 2007, chapter 3, the brackets of 6 %. The taxes are read off that table.
#[test]
fn brackets_go_before_rounding() {
    let table = "0.20 0.21 0.34 0.51 0.67 0.84, then 0.01 0.17 0.34 0.51 0.67 0.84 of each 1.00";
    let maryland = Taxation { brackets: Some(Brackets::read(table).unwrap()), ..by("6%") };
    for (price, want) in
        [("6.33", "0.38"), ("6.34", "0.39"), ("0.19", "0.00"), ("0.20", "0.01"), ("120", "7.20")]
    {
        let taxed = maryland.tax(&[("cleaning", amount(price))]).unwrap();
        assert_eq!(taxed.tax, amount(want), "{price}");
        let gross = amount(price) + amount(want);
        let within = maryland.within(&[("cleaning", gross)]).unwrap();
        assert_eq!((within.base, within.tax), (amount(price), amount(want)), "{price}");
    }
    assert_eq!(tax(&by("6%"), &[("cleaning", "6.34")]), "0.38");
    assert_eq!(tax(&Taxation { parts: Vec::new(), ..maryland }, &[("cleaning", "6.34")]), "0");
}

/// Source: R.I. Gen. Laws 44-18.1-25: 3 lines of 1.50 at 7 % are .33 by line and .32 by invoice
/// (reckoned from it). As three heads of a visit, they are heard as .11, .10 and .11.
#[test]
fn a_visit_is_rounded_once_and_the_last_price_takes_the_cent() {
    let mut rest = Beside::default();
    let mut heard = Vec::new();
    for _ in 0..3 {
        let visit = Taxation { by: TaxBy::Visit, beside: rest, ..by("7%") };
        let taxed = visit.tax(&[("cleaning", amount("1.50"))]).unwrap();
        assert_eq!(taxed.tax - taxed.cent, amount("0.11"));
        heard.push(taxed.tax.to_string());
        let more = visit.beside(&[("cleaning", amount("1.50"))], taxed.tax).unwrap();
        rest = Beside {
            base: rest.base + more.base,
            exact: rest.exact + more.exact,
            tax: rest.tax + more.tax,
        };
    }
    assert_eq!(heard, ["0.11", "0.10", "0.11"]);
    assert_eq!(rest.tax, amount("0.32"));
}
