//! Properties of the trade's arithmetic: what goes there and back comes back, what grows keeps growing.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use burrline_reckon::{
    peroxide::{
        bath::{blend, top_up},
        density::{by_mass, by_volume, density},
        dilute::{Wanted, dilute},
        solution::Solution,
        strength::{MolarVolume, moles, percent},
    },
    pot::{
        atmosphere::{Height, pressure},
        heat::{Burner, Pot, Time},
        steam::{boiling, density as water_density, heat_in_water, latent, vapour},
    },
    quantity::{
        Celsius, Kilograms, Litres, Metres, Minutes, OxygenVolumes, Pascals, PercentWv, PercentWw,
        Share, Watts, WattsPerKelvin,
    },
};
use proptest::prelude::*;

fn near(one: f64, other: f64, apart: f64) -> Result<(), TestCaseError> {
    prop_assert!((one - other).abs() <= apart * other.abs().max(1.0), "{one} and {other}");
    Ok(())
}

fn by_wv(percent: f64) -> Solution {
    Solution::mixed_by_volume(PercentWv(percent)).unwrap()
}

proptest! {
    #[test]
    fn mass_and_volume_turn_into_each_other(ww in 0.01_f64..60.0) {
        let there = by_volume(PercentWw(ww)).unwrap();
        near(by_mass(there).unwrap().0, ww, 1e-12)?;
    }

    #[test]
    fn volumes_moles_and_per_cent_turn_into_each_other(volumes in 0.1_f64..150.0, which in 0_usize..3) {
        let by = MolarVolume::WORDS[which].1;
        let mol = by.moles(OxygenVolumes(volumes));
        near(moles(percent(mol)).0, mol.0, 1e-12)?;
        near(by.volumes(mol).0, volumes, 1e-12)?;
    }

    #[test]
    fn stronger_is_heavier(one in 0.0_f64..60.0, more in 0.01_f64..5.0) {
        let stronger = (one + more).min(60.0);
        prop_assume!(stronger > one);
        prop_assert!(density(PercentWw(stronger)).0 > density(PercentWw(one)).0);
    }

    #[test]
    fn what_is_diluted_keeps_its_peroxide(stock in 1.0_f64..35.0, part in 0.01_f64..1.0, make in 0.1_f64..1000.0) {
        let (strong, weak) = (by_wv(stock), by_wv(stock * part));
        let told = dilute(&strong, &weak, Wanted::Volume(Litres(make))).unwrap();
        let (need, water) = (told.number("stock").unwrap(), told.number("water").unwrap());
        near(need + water, make, 1e-12)?;
        near(need * stock, make * stock * part, 1e-9)?;
        // What it makes of that much stock is what was wanted.
        let back = dilute(&strong, &weak, Wanted::From(Litres(need))).unwrap();
        near(back.number("made").unwrap(), make, 1e-9)?;
    }

    #[test]
    fn a_topped_up_bath_has_what_was_in_it_and_what_went_in(
        volume in 1.0_f64..500.0, now in 0.0_f64..10.0, gain in 0.01_f64..10.0, stock in 21.0_f64..35.0,
    ) {
        let told = top_up(Litres(volume), &by_wv(now), &by_wv(now + gain), &by_wv(stock)).unwrap();
        let (add, swap) = (told.number("add").unwrap(), told.number("replace").unwrap());
        near(volume * now + add * stock, (volume + add) * (now + gain), 1e-9)?;
        near((volume - swap) * now + swap * stock, volume * (now + gain), 1e-9)?;
        prop_assert!(swap <= add && swap <= volume);
    }

    #[test]
    fn a_blend_lies_between_its_parts_and_keeps_their_mass(
        first in 0.5_f64..30.0, second in 0.5_f64..30.0, one in 0.1_f64..100.0, other in 0.1_f64..100.0,
    ) {
        let (weak, strong) = (by_wv(first.min(second)), by_wv(first.max(second)));
        let told = blend([(Litres(one), &weak), (Litres(other), &strong)]).unwrap();
        let ww = told.number("percent_ww").unwrap();
        prop_assert!(ww >= weak.ww.0 - 1e-9 && ww <= strong.ww.0 + 1e-9);
        let mass = weak.kilograms(Litres(one)).0 + strong.kilograms(Litres(other)).0;
        near(told.number("mass").unwrap(), mass, 1e-12)?;
    }

    #[test]
    fn higher_up_it_boils_cooler(low in -440.0_f64..10_900.0, up in 1.0_f64..100.0) {
        let at = |metres| boiling(pressure(Metres(metres), Height::Geometric).unwrap()).0;
        prop_assert!(at(low + up) < at(low));
    }

    #[test]
    fn the_boil_and_the_vapour_pressure_are_each_others_inverse(celsius in 1.0_f64..200.0) {
        near(boiling(vapour(Celsius(celsius))).0, celsius, 1e-7)?;
    }

    #[test]
    fn water_takes_heat_thins_and_boils_off_more_easily_as_it_warms(cold in 5.0_f64..95.0, more in 0.1_f64..4.0) {
        let (cold, warm, air) = (Celsius(cold), Celsius(cold + more), Pascals(101_325.0));
        prop_assert!(heat_in_water(warm, air).0 > heat_in_water(cold, air).0);
        prop_assert!(water_density(warm, air).0 < water_density(cold, air).0);
        prop_assert!(latent(warm).0 < latent(cold).0);
    }

    #[test]
    fn losses_only_make_it_longer_and_never_says_where_it_stays(
        litres in 1.0_f64..200.0, from in 1.0_f64..60.0, watts in 200.0_f64..20_000.0, loss in 0.01_f64..60.0,
    ) {
        let air = Pascals(90_000.0);
        let pot = Pot {
            water: Litres(litres), from: Celsius(from), to: boiling(air), pressure: air, heads: Kilograms(0.0),
        };
        let burner = |loss| Burner {
            power: Watts(watts), efficiency: Share(100.0), loss: WattsPerKelvin(loss), air: Celsius(10.0),
        };
        let Time::After(Minutes(ideal)) = burner(0.0).time(&pot).unwrap() else {
            return Err(TestCaseError::fail("without losses every burner boils it"));
        };
        match burner(loss).time(&pot).unwrap() {
            Time::After(Minutes(real)) if from >= 10.0 => prop_assert!(real >= ideal),
            Time::After(Minutes(real)) => prop_assert!(real > 0.0),
            Time::Never(Celsius(warmest)) => prop_assert!(warmest <= pot.to.0),
        }
    }
}
