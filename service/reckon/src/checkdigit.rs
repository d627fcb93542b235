//! Check digits with their working.

use burrline_terms::checkdigit::{NoCheck, Scheme, bare, slips};

use crate::{Absurd, Known, Value, Working};

/// The check digit of a number that has none yet.
///
/// # Errors
/// [`Absurd`] if it is no number of the scheme.
pub fn check_digit(scheme: Scheme, number: &str) -> Result<Working, Absurd> {
    let say = |why: &NoCheck| Absurd::new(why.to_string(), "say it like `check-digit 572`");
    let check = scheme.check(number).map_err(|why| say(&why))?;
    let bare = bare(number).map_err(|why| say(&why))?;
    let working = Working::new()
        .answer(format!("{bare} ends in {check} by {scheme}: {bare}{check}"))
        .words("check", check)
        .words("whole", format!("{bare}{}", scheme.check(number).unwrap_or_default()));
    steps(working, scheme, &bare)
}

/// Whether a number agrees with the check digit that it ends in, and what may have been meant.
///
/// # Errors
/// [`Absurd`] if it is no number of the scheme.
pub fn check_number(scheme: Scheme, whole: &str) -> Result<Working, Absurd> {
    let agrees = scheme.agrees(whole).map_err(|why| absurd(&why))?;
    let (number, typed) = scheme.parted(whole).map_err(|why| absurd(&why))?;
    let near = slips(scheme, whole).map_err(|why| absurd(&why))?;
    let answer = if agrees {
        format!("{number}{typed} agrees with its check digit by {scheme}")
    } else {
        format!(
            "{number}{typed} is not right by {scheme}: read it again; one typing mistake away are {}",
            near.join(", ")
        )
    };
    let working = Working::new()
        .answer(answer)
        .value("agrees", Value::Flag(agrees), "")
        .words("near", near.join(" "))
        .caution("A check digit catches a slip, not a wrong number that happens to be right.");
    steps(working, scheme, &number)
}

fn absurd(why: &NoCheck) -> Absurd {
    Absurd::new(why.to_string(), "say it like `check-number 5724`")
}

fn steps(working: Working, scheme: Scheme, number: &str) -> Result<Working, Absurd> {
    let walk = scheme.walked(number).map_err(|why| absurd(&why))?;
    let from_right = matches!(scheme, Scheme::Verhoeff | Scheme::Luhn | Scheme::Gs1);
    let characters: Vec<char> =
        if from_right { number.chars().rev().collect() } else { number.chars().collect() };
    let pairs = characters.iter().zip(&walk.after);
    let along: Vec<String> = pairs.map(|(c, after)| format!("{c} to {after}")).collect();
    let last = walk.after.last().copied().unwrap_or_default();
    let (what, start, end) = match scheme {
        Scheme::Damm => ("row of the table", 0, format!("the row at the end is {last}")),
        Scheme::Verhoeff => (
            "product in the group, from the right",
            0,
            format!("the inverse of {last} is {}", walk.check),
        ),
        Scheme::Luhn => (
            "sum, each second digit doubled, from the right",
            0,
            format!("{last} + {} is a full ten", walk.check),
        ),
        Scheme::Gs1 => (
            "sum, weights 3 and 1, from the right",
            0,
            format!("{last} + {} is a full ten", walk.check),
        ),
        Scheme::Mod11And10 => ("product mod 11", 10, to_one(last, walk.check, 10)),
        Scheme::Mod37And36 => ("product mod 37", 36, to_one(last, walk.check, 36)),
        Scheme::Mod11Radix2 => ("twice the sum mod 11", 0, to_one(last, walk.check, 11)),
        Scheme::Mod37Radix2 => ("twice the sum mod 37", 0, to_one(last, walk.check, 37)),
        Scheme::Mod97Radix10 => (
            "rest by 97",
            0,
            format!(
                "98 - ({last} x 100 mod 97) = 98 - {} = {}",
                last.saturating_mul(100) % 97,
                walk.check
            ),
        ),
    };
    Ok(working
        .step(what, format!("from {start}: {}", along.join(", ")))
        .step("check digit", end)
        .source(scheme.source(), known(scheme)))
}

fn to_one(last: u32, check: u32, modulus: u32) -> String {
    format!("({last} + {check}) mod {modulus} = 1")
}

const fn known(scheme: Scheme) -> Known {
    match scheme {
        // Its table and its example were read.
        Scheme::Damm => Known::Read,
        Scheme::Verhoeff
        | Scheme::Luhn
        | Scheme::Gs1
        | Scheme::Mod11And10
        | Scheme::Mod11Radix2
        | Scheme::Mod37Radix2
        | Scheme::Mod37And36
        | Scheme::Mod97Radix10 => Known::Memory,
    }
}
