//! How heavy a peroxide solution is, and what follows: per cent by mass to per cent by volume.

use burrline_terms::density::ROWS;

use crate::{
    Absurd,
    quantity::{KilogramsPerLitre, PercentWv, PercentWw},
};

/// The strongest solution whose density is known.
pub const STRONGEST: PercentWw = PercentWw(60.0);

/// The density at 18 degrees Celsius, by straight lines between the rows (good to 0.0002).
pub fn density(strength: PercentWw) -> KilogramsPerLitre {
    let mut below = (0.0, 0.9986);
    for (percent, tenths) in ROWS {
        let row = (f64::from(percent), f64::from(tenths) / 10_000.0);
        if strength.0 <= row.0 {
            let part =
                if row.0 > below.0 { (strength.0 - below.0) / (row.0 - below.0) } else { 1.0 };
            return KilogramsPerLitre(below.1 + (row.1 - below.1) * part);
        }
        below = row;
    }
    KilogramsPerLitre(below.1)
}

/// Per cent by mass as per cent by volume.
///
/// # Errors
/// [`Absurd`] above [`STRONGEST`], where the density is not known here.
pub fn by_volume(strength: PercentWw) -> Result<PercentWv, Absurd> {
    known(strength)?;
    Ok(PercentWv(strength.0 * density(strength).0))
}

/// Per cent by volume as per cent by mass: the strength whose density turns it back.
///
/// # Errors
/// [`Absurd`] above [`STRONGEST`], where the density is not known here.
pub fn by_mass(strength: PercentWv) -> Result<PercentWw, Absurd> {
    if strength.0 > by_volume(STRONGEST)?.0 {
        return Err(unknown());
    }
    if strength.0 <= 0.0 {
        return Ok(PercentWw(0.0));
    }
    let (mut low, mut high) = (0.0, STRONGEST.0);
    // Sixty halvings of 60 per cent are below what a number can tell apart.
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if by_volume(PercentWw(middle))?.0 < strength.0 { low = middle } else { high = middle }
    }
    Ok(PercentWw(f64::midpoint(low, high)))
}

fn known(strength: PercentWw) -> Result<(), Absurd> {
    if strength.0 > STRONGEST.0 { Err(unknown()) } else { Ok(()) }
}

fn unknown() -> Absurd {
    Absurd::new(
        "the density of peroxide over 60 % w/w is not known here, so mass and volume do not turn \
         into each other",
        "say strength and amount on the same basis, and leave such stock to licensed practice",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: International Critical Tables vol. III (densities from memory); the products are
    /// exact.
    #[test]
    fn mass_and_volume_turn_into_each_other() {
        for (ww, wv) in [(3.0, 3.0284), (6.0, 6.1224), (12.0, 12.51), (30.0, 33.366)] {
            assert!((by_volume(PercentWw(ww)).unwrap().0 - wv).abs() < 1e-3, "{ww}");
        }
        for (wv, ww) in [(3.0, 2.972), (6.0, 5.883), (9.0, 8.734), (12.0, 11.530), (30.0, 27.249)] {
            assert!((by_mass(PercentWv(wv)).unwrap().0 - ww).abs() < 1e-3, "{wv}");
        }
    }

    #[test]
    fn beyond_the_table_it_says_so() {
        assert!(by_volume(PercentWw(60.01)).is_err());
        assert!(by_mass(PercentWv(74.6)).is_err());
    }
}
