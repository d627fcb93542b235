//! A share of what is owed, as a sum: `413 paid half`.

use burrline_line::{
    LineChoice, Unclear,
    shares::{Part, Share},
    unclear,
};
use burrline_present::readings::{Show, Then};
use burrline_terms::{Money, Skull, Typed as _};

use crate::{Bench, Error, clock::Clock};

impl Bench {
    /// What is asked where a line says a share of what is owed: the sum that it is.
    ///
    /// # Errors
    /// [`Error::Usage`] where nothing is owed, or it is not known here.
    pub(crate) async fn share_owed(
        &self,
        share: &Share,
        clock: &(dyn Clock + Sync),
    ) -> Result<Unclear, Error> {
        let skull = Skull::read(&share.tag)?;
        let tag = &share.tag;
        let not_known = || {
            Error::usage(format!(
                "pay: nothing is known here that is owed on {tag}, so {} of it is no sum; say the sum, as in `{}`",
                share.said,
                unclear::line(&share.line("90.00")),
            ))
        };
        let read = self.read(Show { skull }, Then::default(), clock).await;
        let job = read.ok().and_then(|read| read.answer.job).ok_or_else(not_known)?;
        let owed =
            Money::read(&job.owed).ok().filter(|owed| *owed > Money::ZERO).ok_or_else(not_known)?;
        let paid = Money::read(&job.paid).unwrap_or(Money::ZERO);
        let digits = job.owed.split_once('.').map_or(0, |(_, cents)| cents.len());
        let digits = u32::try_from(digits).unwrap_or(2);
        let written = |amount: Money| amount.half_up(digits).written(digits);
        let all = written(owed);
        let mut sums = match share.part {
            Part::All => vec![(all.clone(), format!("all that is owed, {all}"))],
            Part::OneOf(parts) => {
                let of = |whole: Money| {
                    Some(written(Money::new(whole.amount().checked_div(parts.into())?)))
                };
                let part = of(owed)
                    .map(|part| (part, format!("{} of the {all} that is owed", share.said)));
                // Where some of it was paid already, it may be that much of the price.
                let price = owed.checked_add(paid).filter(|_| paid > Money::ZERO);
                let of_price = price.and_then(|price| {
                    Some((
                        of(price)?,
                        format!("{} of the whole price of {}", share.said, written(price)),
                    ))
                });
                part.into_iter().chain(of_price).collect()
            }
        };
        sums.dedup_by(|one, other| one.0 == other.0);
        let choices = sums.into_iter().map(|(sum, what)| {
            let words = share.line(&sum);
            LineChoice { label: format!("{sum}, {what}: {}", unclear::line(&words)), words }
        });
        let about = format!("pay: {} on {tag} is how much?", share.said);
        Ok(Unclear { about, choices: choices.collect() })
    }
}
