//! Peroxide: strengths, densities, mixes, gas, titration, classes.

use super::reckoned::{ask, figure, holds, turned_down};

/// Source: 30 volume is 2.678 mol/L, 91.1 g/L and 9.11 %, a chemistry tutorial's worked example that
/// takes 22.4 L for a mole of gas.
#[test]
fn thirty_volume_by_the_school_value() {
    let question = "strength 30vol --molar-volume school";
    holds(question, "mol_per_litre", 2.6786, 5e-5);
    holds(question, "percent_wv", 9.111, 5e-4);
}

/// Source: the volume strength is 11.2 times the molarity, a calculator's page (22.4 L); CODATA's
/// 22.41396954 L at 1 atm and 22.71095464 L at 1 bar give 11.2070 and 11.3555 (from memory).
#[test]
fn volumes_of_a_mole_in_a_litre_by_each_convention() {
    for (by, volumes) in [("school", 11.2), ("stp", 11.207), ("iupac", 11.3555)] {
        holds(&format!("strength 1mol/L --molar-volume {by}"), "volumes", volumes, 5e-5);
    }
}

/// Source: CODATA's and IUPAC's molar volumes and 34.0147 g/mol (from memory); the per cent follow.
#[test]
fn per_cent_of_each_volume_by_each_convention() {
    for (by, wanted) in [
        ("stp", [3.0351, 6.0703, 9.1054, 12.1405, 30.3513]),
        ("school", [3.0370, 6.0741, 9.1111, 12.1481, 30.3703]),
        ("iupac", [2.9954, 5.9909, 8.9863, 11.9818, 29.9544]),
    ] {
        for (volume, percent) in [10, 20, 30, 40, 100].into_iter().zip(wanted) {
            let question = format!("strength {volume}vol --molar-volume {by}");
            holds(&question, "percent_wv", percent, 1e-4);
        }
    }
}

/// Source: labels of 3 % as "10 vol" and 6 % as "20 vol", safety sheet 17720 (under 8 %), synonyms; the
/// British Pharmacopoeia's "6 %, about 20 times its volume", a reprint. 40 volume as 12 % is common
/// practice, no source.
#[test]
fn a_label_is_told_apart_from_arithmetic() {
    for (volume, label) in [(10, 3.0), (20, 6.0), (40, 12.0)] {
        holds(&format!("strength {volume}vol"), "label_wv", label, 1e-9);
    }
    // "About 20 times": 6 % gives 19.8 volumes, and from 5 to 7 % is allowed.
    holds("strength 6%", "volumes", 20.0, 0.3);
}

/// Source: British and European Pharmacopoeia, monographs 0395 and 0396 (from memory): 3 % about 10
/// times, 9 % about 30 times, 27 % w/w about 100 times, 30 % w/w about 110 times its volume.
#[test]
fn the_pharmacopoeias_volumes() {
    for (strength, volumes, within) in
        [("3%", 10.0, 0.2), ("9%", 30.0, 0.4), ("27%w/w", 100.0, 3.0), ("30%w/w", 110.0, 1.0)]
    {
        holds(&format!("strength {strength}"), "volumes", volumes, within);
    }
}

/// Source: an encyclopaedia's page: 3 % 1.0095 (15 degC), 27 % 1.10, 35 % 1.13, 50 % 1.20 (20 degC);
/// the US Environmental Protection Agency's chemical summary: 30 % 1.1 kg/L. Two degrees are worth
/// 0.001.
#[test]
fn densities_that_others_print() {
    for (strength, density, within) in [
        ("3%w/w", 1.0095, 0.001),
        ("27%w/w", 1.10, 0.005),
        ("30%w/w", 1.1, 0.05),
        ("35%w/w", 1.13, 0.005),
        ("50%w/w", 1.20, 0.005),
    ] {
        holds(&format!("strength {strength}"), "density", density, within);
    }
}

/// Source: densities of International Critical Tables vol. III (from memory), and what follows.
#[test]
fn mass_volume_and_moles_by_the_density() {
    for (ww, wv, moles, volumes) in [
        (3, 3.028, 0.8903, 9.98),
        (6, 6.122, 1.7999, 20.17),
        (12, 12.510, 3.6778, 41.22),
        (30, 33.366, 9.8093, 109.93),
    ] {
        let question = format!("strength {ww}%w/w");
        holds(&question, "percent_wv", wv, 1e-3);
        holds(&question, "mol_per_litre", moles, 1e-4);
        holds(&question, "volumes", volumes, 0.01);
    }
    for (wv, ww) in [(3, 2.972), (6, 5.883), (9, 8.734), (12, 11.530), (30, 27.249)] {
        holds(&format!("strength {wv}%"), "percent_ww", ww, 1e-3);
    }
}

/// Source: alligation as in texts of pharmacy calculations (from memory); a US gallon is 3.785411784
/// L, NIST Handbook 44, appendix C.
#[test]
fn dilution_and_alligation() {
    holds("dilute 40vol to 20vol make 10L", "stock", 5.0, 1e-9);
    holds("dilute 40vol to 10vol make 10L", "stock", 2.5, 1e-9);
    holds("dilute 12% to 6% make 1gal", "stock", 1.8927, 1e-4);
    holds("dilute 35%w/w to 12%w/w make 10kg", "stock", 3.4286, 1e-4);
    holds("dilute 35%w/w to 12%w/w make 10kg", "water", 6.5714, 1e-4);
    assert_eq!(figure("dilute 35%w/w to 12%w/w make 10kg", "parts"), "12 : 23");
    holds("top-up 20L 4% to 6% with 12%", "add", 6.6667, 1e-4);
    holds("top-up 20L 4% to 6% with 12%", "replace", 5.0, 1e-9);
}

/// Source: USP 31, hydrogen peroxide topical solution: 1 mL of 0.1 N permanganate takes up 1.701 mg,
/// 2.5 to 3.5 g in 100 mL; the British Pharmacopoeia's 0.56 mL of oxygen, a reprint.
#[test]
fn titration_by_the_pharmacopoeias() {
    holds("assay 3% in 2mL", "titre", 0.03527, 2e-5);
    holds("assay 2.5% in 2mL", "titre", 0.02939, 2e-5);
    holds("assay 3.5% in 2mL", "titre", 0.04115, 2e-5);
    // One mL in one mL: 1.701 mg, which is 0.1701 % and 0.56 volumes.
    holds("assay 1mL in 1mL", "percent_wv", 0.1701, 5e-5);
    holds("strength 0.1701%", "volumes", 0.56, 5e-3);
    assert_eq!(figure("assay 17.85mL in 1mL used", "reading"), "upper bound");
}

/// Source: 196.1 kJ for two moles, Purdue University, chemistry demonstration 19.6; the gas constant of
/// 2019. The adiabatic rise of 35 %
/// w/w was published as 231.7 K (Piyamongkala and Anothairungrat); ours is within 15 %.
#[test]
fn oxygen_heat_and_pressure() {
    let litre = "gas 1L 12%";
    for (name, value, within) in [
        ("moles", 3.5279, 1e-4),
        ("oxygen_standard", 39.54, 0.01),
        ("oxygen", 43.15, 0.01),
        ("heat", 346.4, 0.1),
        ("rise", 83.0, 0.5),
    ] {
        holds(litre, name, value, within);
    }
    holds("gas 1L 35%w/w", "rise", 231.7, 231.7 * 0.15);
    // A US gallon of 12 % with 5 % of headspace, one per mille gone: 87 kPa.
    holds("gas 1gal 12% gone 0.1% headspace 0.18927L", "pressure", 87_400.0, 200.0);
    holds("gas 20L 6% room 30m3", "oxygen_in_room", 22.07, 0.01);
}

/// Source: 1 ppm is 1.39 mg/m3, the Environmental Protection Agency's chemical summary; the average
/// is that of 29 CFR 1910.1000(d)(1) (from memory).
#[test]
fn the_air_of_a_shift() {
    holds("air 1.5ppm 2h 0.5ppm 4h", "average", 0.625, 1e-12);
    holds("air 1ppm 8h", "mass", 1.39, 0.005);
}

/// Source: UN2984 from 8 to under 20 %, UN2014 from 20 to 60 %, UN2015 above, US OSHA's sampling
/// sheet; oxidiser class 1 from 8 to 27.5 %, class 2 to 52 %, 2015 Minnesota State Fire Code,
/// appendix E; eyes and skin by the limits of Regulation (EC) 1272/2008, annex VI; 12 % w/w,
/// Regulation (EU) 2019/1148, annex I (from memory).
#[test]
fn classes_at_their_exact_boundaries() {
    for (strength, transport, fire, eyes) in [
        ("4.99", "not listed", "no oxidiser", "under the limits"),
        ("5", "not listed", "no oxidiser", "Eye Irrit. 2"),
        ("7.99", "not listed", "no oxidiser", "Eye Irrit. 2"),
        ("8", "UN2984", "class 1", "Eye Dam. 1"),
        ("19.99", "UN2984", "class 1", "Eye Dam. 1"),
        ("20", "UN2014", "class 1", "Eye Dam. 1"),
        ("27.5", "UN2014", "class 1", "Eye Dam. 1"),
        ("27.51", "UN2014", "class 2", "Eye Dam. 1"),
        ("34.99", "UN2014", "class 2", "Eye Dam. 1"),
        ("35", "UN2014", "class 2", "Skin Irrit. 2"),
        ("49.99", "UN2014", "class 2", "Skin Irrit. 2"),
        ("50", "UN2014", "class 2", "Skin Corr. 1B"),
        ("52", "UN2014", "class 2", "Skin Corr. 1B"),
        ("52.01", "UN2014", "class 3", "Skin Corr. 1B"),
        ("60", "UN2014", "class 3", "Skin Corr. 1B"),
        ("60.01", "UN2015", "class 3", "Skin Corr. 1B"),
        ("70", "UN2015", "class 3", "Skin Corr. 1A"),
        ("91", "UN2015", "class 3", "Skin Corr. 1A"),
        ("91.01", "UN2015", "class 4", "Skin Corr. 1A"),
    ] {
        let question = format!("class {strength}%w/w");
        for (name, class) in [("transport", transport), ("fire", fire), ("eyes_and_skin", eyes)] {
            let told = figure(&question, name);
            assert!(told.as_str().unwrap().contains(class), "{question}: {told}, not {class}");
        }
    }
    for (strength, sale) in
        [("12", "free"), ("12.01", "licence"), ("35", "licence"), ("35.01", "not")]
    {
        let told = figure(&format!("class {strength}%w/w"), "sale");
        assert!(told.as_str().unwrap().contains(sale), "{strength}: {told}");
    }
}

/// Source: 2015 Minnesota State Fire Code, appendix E, section E102.1.10: unstable class 1 from 35 to
/// 52 %, class 3 above.
#[test]
fn what_goes_by_itself_by_the_fire_code() {
    for (strength, class) in [
        ("34.99", "not listed (under 35 %)"),
        ("35", "unstable class 1"),
        ("52", "unstable class 1"),
        ("52.01", "unstable class 3"),
    ] {
        assert_eq!(figure(&format!("class {strength}%w/w"), "unstable"), class, "{strength}");
    }
}

/// Source: 20 volume in grams a litre, a textbook's question (68 g of peroxide give 22.4 L): 60.7 g/L,
/// 6.07 %. An encyclopaedia of chemistry's page: 30 % w/w is 1.11 g/cm3 at 20 degC.
#[test]
fn a_textbooks_twenty_volume_and_a_handbooks_density() {
    holds("strength 20vol --molar-volume school", "percent_wv", 6.07, 5e-3);
    holds("strength 30%w/w", "density", 1.11, 5e-3);
}

/// Source: by the limits above, 40 volume is 11.5 % w/w and 6 % w/v is 5.9 % w/w.
#[test]
fn a_bath_says_which_classes_it_leaves() {
    let answer = ask("dilute 40vol to 6% make 20L").unwrap().to_string();
    for words in ["UN2984", "not listed (under 8 %)", "Eye Dam. 1 -> Eye Irrit. 2"] {
        assert!(answer.contains(words), "{words}: {answer}");
    }
}

/// Source: a public fire-safety page (bleach with ammonia, bleach with vinegar, peroxide with
/// vinegar), an encyclopaedia's page (peroxide with acetone, with bleach), makers' safety sheets
/// (iron, copper).
#[test]
fn what_must_not_come_together() {
    for (things, verdict) in [
        ("bleach ammonia", "deadly"),
        ("bleach vinegar", "deadly"),
        ("vinegar peroxide", "no"),
        ("peroxide acetone", "deadly"),
        ("peroxide bleach", "no"),
        ("peroxide steel", "no"),
        ("peroxide copper", "no"),
    ] {
        assert_eq!(figure(&format!("mix {things}"), "verdict"), verdict, "{things}");
    }
}

/// Sources: EPA 550-F-01-003 (pool chemicals that are mixed or wetted); Torrance Fire Department (bleach
/// with a toilet bowl cleaner); NOAA reactivity documentation (strong bases with aluminum and zinc);
/// Fire Engineering, June 1987 (acetone and a flame); an encyclopaedia's pages on potassium
/// permanganate (glycerol, alcohols, sulfuric acid) and on linseed oil (rags); OSHA's guideline for
/// hydrogen peroxide (wood, oil, iron, copper, brass, permanganate, alcohols).
#[test]
fn products_are_what_they_usually_hold() {
    for (things, verdict) in [
        ("pool shock and pool chlorine", "deadly"),
        ("bleach and toilet bowl cleaner", "deadly"),
        ("mildew spray and limescale remover", "deadly"),
        ("lye in an aluminum pot", "deadly"),
        ("oven cleaner with foil", "deadly"),
        ("caustic soda in a galvanized tub", "no"),
        ("acetone near a pilot light", "deadly"),
        ("permanganate with glycerine", "deadly"),
        ("permanganate with rubbing alcohol", "deadly"),
        ("purple crystals with battery acid", "deadly"),
        ("linseed oil on rags", "deadly"),
        ("peroxide with wood", "no"),
        ("peroxide with a rusty pot", "no"),
        ("hair developer with permanganate", "no"),
    ] {
        assert_eq!(figure(&format!("mix {things}"), "verdict"), verdict, "{things}");
    }
    for things in ["peroxide and goo", "bleach and brass wash", "acid-free and bleach"] {
        assert_eq!(figure(&format!("mix {things}"), "verdict"), "not known", "{things}");
    }
}

/// Source: Purdue University, chemistry demonstration 19.6: 75 kJ/mol with no catalyst; by arithmetic
/// e^(75000 / 8.31446 x (1 / 298.15 - 1 / 308.15)) = 2.67 times as fast at 35 as at 25 degrees.
#[test]
fn stock_keeps_by_the_published_activation_energy() {
    holds("keep 12% for 365d at 25C", "faster", 1.0, 1e-12);
    holds("keep 12% for 365d at 35C", "faster", 2.67, 0.01);
}

/// Source: alligation, as in pharmacy texts; by arithmetic 9 : 23 parts of 35 and 3 % make 12 %.
#[test]
fn a_weaker_solution_stands_in_for_water() {
    holds("dilute 35%w/w to 12%w/w make 10kg with 3%w/w", "stock", 2.8125, 1e-9);
    // USP 31: 1 mL of 0.02 mol/L takes up 1.701 mg; 25 mL of 5 in 250 are 0.5 mL of the bath.
    holds("assay 18mL in 25mL from 5mL to 250mL", "percent_wv", 6.12, 0.005);
}

#[test]
fn what_cannot_be_is_turned_down_with_what_to_type() {
    for (question, words) in [
        ("dilute 12% to 3% make 0L", "20L"),
        ("dilute 200% to 3% make 20L", "12%"),
        ("dilute 12% to 3% make -3L", "make 20L"),
        ("dilute 12% to 3% make 20", "make 20L"),
        ("dilute 3% to 12% make 20L", "stronger stock"),
        ("dilute 50%w/w to 3% make 20L", "35%w/w or less"),
        ("dilute 12% to 0% make 20L", "3%"),
        ("strength 35% called 40vol", "read the label again"),
        ("strength 101%w/w", "40vol"),
        ("strength 70%w/w", "same basis"),
        ("dilute 35% called 40vol to 3% make 20L", "read the label again"),
        ("top-up 20L 6% to 3% with 12%", "with water"),
        ("top-up 0L 6% to 3% with water", "20L"),
        ("gas 1L 12% gone 101%", "gone 1%"),
        ("gas 1L 12% headspace 0L", "20L"),
        ("assay 17mL in 0mL", "in 1mL"),
        ("assay 2000mL in 1mL", "same basis"),
        ("strip 300mg/L times 0", "times 100"),
        ("air 1ppm 25h", "air 1.5ppm 2h"),
        ("mix peroxide", "mix peroxide vinegar"),
        ("class 12%w/w sideways", "class 12%w/w"),
    ] {
        turned_down(question, words);
    }
}
