//! Who comes when: the weeks of the season, its Saturdays, and the rush on the opening.

use crate::{
    dice::Dice,
    head::Head,
    people::{COUNTIES, Person},
    time::{DayNo, Minute},
};

/// Of a thousand heads, how many come in each week.
const WEEKS: &[u64] = &[
    0, 14, 12, 12, 14, 22, 45, 40, 35, 190, 120, 80, 90, 60, 45, 35, 25, 22, 20, 20, 15, 12, 10, 8,
];

/// One visit of a customer.
#[derive(Debug, Clone)]
pub struct Ticket {
    /// Its number in the season.
    pub number: usize,
    /// When the customer came.
    pub came: Minute,
    /// The heads.
    pub heads: Vec<usize>,
    /// Who.
    pub person: Person,
    /// The county of the kill.
    pub county: &'static str,
    /// Paid so far, in cents.
    pub paid: i64,
    /// Whether the customer was reached since all of it is ready.
    pub reached: bool,
    /// The day on which the customer is next called, or comes.
    pub next: DayNo,
    /// How often the shop called.
    pub calls: i64,
    /// Its own dice.
    pub dice: Dice,
}

/// All visits with their heads.
pub fn everybody(heads: usize, dice: &Dice) -> (Vec<Ticket>, Vec<Head>) {
    let mut days: Vec<DayNo> = (0..heads).map(|n| day_of(&mut dice.of(seed(n)))).collect();
    days.sort();
    let (mut tickets, mut all) = (Vec::<Ticket>::new(), Vec::<Head>::new());
    let mut open: Option<(DayNo, usize)> = None;
    let mut counts = std::collections::BTreeMap::<DayNo, i64>::new();
    for (number, day) in days.iter().enumerate() {
        let mut own = dice.of(seed(number).wrapping_add(1 << 40));
        let joins = matches!(open, Some((on, left)) if on == *day && left > 0);
        if !joins {
            let more = own.weighed(&[(70, 0_usize), (18, 1), (8, 2), (4, 3)], 0);
            open = Some((*day, more));
            tickets.push(visit(tickets.len(), *day, &mut counts, own.clone()));
        } else if let Some((_, left)) = &mut open {
            *left = left.saturating_sub(1);
        }
        let ticket = tickets.len().saturating_sub(1);
        if let Some(last) = tickets.last_mut() {
            let later = i64::try_from(last.heads.len()).unwrap_or(0);
            last.heads.push(number);
            all.push(Head::that_comes(
                number,
                ticket,
                last.came.plus(later.saturating_add(1)),
                own,
            ));
        }
    }
    (tickets, all)
}

fn seed(number: usize) -> u64 {
    u64::try_from(number).unwrap_or(u64::MAX).wrapping_add(1)
}

/// A visit; those of one day come one after the other from eight on.
fn visit(
    number: usize,
    day: DayNo,
    counts: &mut std::collections::BTreeMap<DayNo, i64>,
    mut dice: Dice,
) -> Ticket {
    let before = counts.entry(day).or_default();
    // A shop with many more heads than four hands can take in has a longer day at the counter.
    let came = day.at(8, before.saturating_mul(9).checked_rem(660).unwrap_or(0));
    *before = before.saturating_add(1);
    let person = Person::somebody(&mut dice);
    Ticket {
        number,
        came,
        heads: Vec::new(),
        person,
        county: dice.pick(COUNTIES, "Alder"),
        paid: 0,
        reached: false,
        next: DayNo(0),
        calls: 0,
        dice,
    }
}

fn day_of(dice: &mut Dice) -> DayNo {
    let weeks: Vec<(u64, i64)> = WEEKS.iter().copied().zip(0..).collect();
    let week = dice.weighed(&weeks, 9);
    let first = DayNo(week.saturating_mul(7));
    let on_saturday = if first.plus(6) == DayNo::OPENING { 75 } else { 40 };
    let rest: u64 = 100_u64.saturating_sub(on_saturday);
    let monday = rest.div_euclid(3);
    let other = rest.saturating_sub(monday).div_euclid(4);
    let days = [(monday, 1), (other, 2), (other, 3), (other, 4), (other, 5), (on_saturday, 6)];
    first.plus(dice.weighed(&days, 6))
}
