//! What a return of sales tax asks for: what was sold in some days, its tax by rate, and what was not
//! taxed.
//!
//! A job is sold when it is handed over or sent, as in `takings`; what is given back lowers the sales of
//! the day on which it is given back. Tips and balances of an older ledger are no sales. Sold less tax = taxed + exempt + untaxed, to the cent.

use burrline_domain::{State, house::tax::Part};
use burrline_proto::v1;
use burrline_terms::{Day, Money};
use rust_decimal::Decimal;

use super::{held::Standing, people::customer_of, takings::moments};
use crate::readings::{self, Reading, Unreadable, View};
use crate::taxes::InIt;
use crate::view;

impl Reading for readings::TaxReturn {
    type Response = v1::TaxReturnResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::TaxReturnResponse, Unreadable> {
        let days = match self.on {
            Some(days) => days,
            None => readings::Days::of(view.today()?).whole_months(),
        };
        Ok(tax_return(view.state, days.from, days.to))
    }
}

/// What was sold from the first day to the last, both counted in, and its tax.
pub fn tax_return(state: &State, first: Day, last: Day) -> v1::TaxReturnResponse {
    let (from, until) = moments(state, first, last);
    let digits = state.settings().minor_digits();
    let shown = |amount: Decimal| state.settings().shown(Money::new(amount));
    let (mut all, mut exempt_sales) = (InIt::default(), Vec::new());
    for job in state.jobs().values() {
        let [before, now] = [from.plus(-1), until].map(|by| Standing::of(state, job, by));
        let sold = now.tax(digits).less(&before.tax(digits));
        // What it brought is known to the cent, and the parts are reckoned from it.
        let brought = super::minus(now.earned, before.earned).amount();
        let no_sale = sold.no_sale();
        let sold = InIt { gross: brought.saturating_sub(no_sale), ..sold };
        if !sold.exempt.is_zero() {
            let customer = customer_of(state, job).map(|(_, customer)| customer);
            let certificate = customer.and_then(|customer| customer.certificate());
            exempt_sales.push(v1::ExemptSale {
                skull: Some(view::skull_line(state, job)),
                certificate: certificate.map(ToString::to_string).unwrap_or_default(),
                amount: shown(sold.exempt),
            });
        }
        all = all.and(&sold);
    }
    let tax = all.tax();
    let untaxed = [tax, all.base, all.exempt].into_iter().fold(all.gross, Decimal::saturating_sub);
    let line = |(part, (taxed, tax)): (&Part, &(Decimal, Decimal))| v1::TaxReturnLine {
        name: part.name.clone(),
        percent: part.percent.normalize().to_string(),
        taxed: shown(*taxed),
        tax: shown(*tax),
    };
    let sold =
        |(_, (taxed, tax)): &(&Part, &(Decimal, Decimal))| !(taxed.is_zero() && tax.is_zero());
    v1::TaxReturnResponse {
        from_day: first.to_string(),
        to_day: last.to_string(),
        sold: shown(all.gross),
        tax: shown(tax),
        taxed: shown(all.base),
        exempt: shown(all.exempt),
        untaxed: shown(untaxed),
        lines: all.parts.iter().filter(sold).map(line).collect(),
        exempt_sales,
        no_sale: shown(all.no_sale()),
    }
}
