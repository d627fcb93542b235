//! What ends a script, and what does not.

use std::sync::atomic::{AtomicU64, Ordering};

use rust_decimal::Decimal;

use super::*;
use crate::value::decimal_from;

/// A deadline that a busy machine does not reach.
fn patient() -> Sandbox {
    let limits = Limits { deadline: Duration::from_secs(10), ..Limits::default() };
    Sandbox::new(limits, Arc::new(MonotonicClock::start()))
}

/// A sandbox with one more function, which panics.
fn breakable() -> Sandbox {
    let mut sandbox = patient();
    sandbox.engine.register_fn("break_down", || -> i64 { panic!("on purpose") });
    sandbox
}

fn number(sandbox: &Sandbox, body: &str) -> Result<Decimal, String> {
    let ast = sandbox.compile(&format!("fn f() {{ {body} }}")).map_err(|p| p.words)?;
    let answer = sandbox.call(&ast, "f", Vec::new).map_err(|p| p.words)?;
    decimal_from(&answer)
}

#[test]
fn a_panic_in_native_code_is_a_failure_and_the_next_call_works() {
    let sandbox = breakable();
    let words = number(&sandbox, "break_down()").unwrap_err();
    assert!(words.contains("broke down inside"), "{words}");
    assert_eq!(number(&sandbox, "1 + 1"), Ok(Decimal::TWO));
}

#[test]
fn a_deadline_that_ended_one_call_does_not_hang_over_the_next() {
    let limits =
        Limits { operations: u64::MAX, deadline: Duration::from_millis(5), ..Limits::default() };
    let sandbox = Sandbox::new(limits, Arc::new(MonotonicClock::start()));
    assert!(number(&sandbox, "loop {}").unwrap_err().contains("longer than 5 ms"));
    assert_eq!(number(&sandbox, "1 + 1"), Ok(Decimal::TWO));
    assert_eq!(DEADLINE.get(), Duration::MAX);
}

/// A machine so busy that a millisecond has gone by whenever one looks at the clock.
struct Busy(AtomicU64);

impl Clock for Busy {
    fn now(&self) -> Duration {
        Duration::from_millis(self.0.fetch_add(1, Ordering::Relaxed))
    }
}

#[test]
fn on_a_busy_machine_a_patient_call_is_ended_by_what_it_does_and_not_by_the_clock() {
    let busy = Arc::new(Busy(AtomicU64::new(0)));
    let sandbox = Sandbox::new(Limits::default(), busy);
    let work = "let n = 0; for i in 0..1000 { n += 1; } n";
    assert!(number(&sandbox, work).unwrap_err().contains("longer than 50 ms"));
    assert_eq!(patiently(|| number(&sandbox, work)), Ok(Decimal::ONE_THOUSAND));
    let endless = patiently(|| number(&sandbox, "loop {}")).unwrap_err();
    assert!(endless.contains("more than 50000 operations"), "{endless}");
    assert!(!PATIENT.get());
}

#[test]
fn what_is_asked_about_one_line_has_one_time_and_the_next_line_its_own() {
    let busy = Arc::new(Busy(AtomicU64::new(0)));
    let limits = Limits {
        deadline: Duration::from_millis(20),
        one_line: Duration::from_millis(30),
        operations: u64::MAX,
        ..Limits::default()
    };
    let sandbox = Sandbox::new(limits, busy);
    let slow = || number(&sandbox, "loop {}").unwrap_err();
    for _ in 0..2 {
        let said: Vec<String> = sandbox.for_one_line(|| (0..4).map(|_| slow()).collect());
        assert!(said[0].contains("longer than 20 ms"), "{said:?}");
        assert!(said[3].contains("took more than 30 ms together"), "{said:?}");
    }
    assert!(slow().contains("longer than 20 ms"), "no line is asked about any more");
    let planned = sandbox.for_one_line(|| patiently(|| number(&sandbox, "1 + 1")));
    assert_eq!(planned, Ok(Decimal::TWO));
}

#[test]
fn a_loop_that_does_not_end_is_said_with_its_line_and_column() {
    let limits = Limits { deadline: Duration::from_millis(5), ..Limits::default() };
    for operations in [20_000, u64::MAX] {
        let limits = Limits { operations, ..limits };
        let sandbox = Sandbox::new(limits, Arc::new(MonotonicClock::start()));
        let source = "fn f() {\n  let n = 1;\n  g(n)\n}\nfn g(n) {\n  loop {\n    n += 1;\n  }\n}";
        let ast = sandbox.compile(source).unwrap();
        let problem = sandbox.call(&ast, "f", Vec::new).unwrap_err();
        assert!(matches!(problem.line, Some(6 | 7)), "{problem:?}");
        assert!(problem.column.is_some_and(|column| column >= 3), "{problem:?}");
    }
}

#[test]
fn what_grows_too_large_is_said_with_its_line_and_column() {
    let sandbox = patient();
    let source = "fn f() {\n  let s = \"bone\";\n  loop {\n    s += s;\n  }\n}";
    let ast = sandbox.compile(source).unwrap();
    let problem = sandbox.call(&ast, "f", Vec::new).unwrap_err();
    assert_eq!((problem.line, problem.column.is_some()), (Some(4), true), "{problem:?}");
    assert!(problem.words.contains("too large"), "{problem:?}");
}

/// IBM's decimal arithmetic tests: `quax094`, `quax126` (half up), and the halves of a cent that
/// banker's rounding would take down.
#[test]
fn half_up_rounds_as_people_do() {
    let sandbox = patient();
    for (body, wanted) in [
        ("half_up(1.2355)", "1.24"),
        ("half_up(1.05, 1)", "1.1"),
        ("half_up(0.005)", "0.01"),
        ("half_up(0.025)", "0.03"),
        ("half_up(2.675)", "2.68"),
        ("half_up(10.125)", "10.13"),
        ("half_up(-0.125)", "-0.13"),
        ("half_up(\"7.5\", 0)", "8"),
        ("half_up(percent(120, 8.25))", "9.90"),
    ] {
        let wanted: Decimal = wanted.parse().unwrap();
        assert_eq!(number(&sandbox, body), Ok(wanted), "{body}");
    }
}

#[test]
fn a_half_is_never_rounded_to_the_even_side() {
    let sandbox = patient();
    for body in ["round(2.5)", "2.5.round()", "round(2.675, 2)"] {
        let words = number(&sandbox, body).unwrap_err();
        assert!(words.contains("half_up(amount)"), "{body}: {words}");
    }
}

#[test]
fn there_are_no_floats_in_a_script() {
    let sandbox = patient();
    assert_eq!(number(&sandbox, "0.1 + 0.2"), Ok("0.3".parse().unwrap()));
    assert_eq!(number(&sandbox, "money(\"12.50\") * 3"), Ok("37.50".parse().unwrap()));
    assert!(number(&sandbox, "money(\"12,50\")").unwrap_err().contains("12,50"));
    assert!(number(&sandbox, "money(\"1e3\")").unwrap_err().contains("1e3"));
    assert!(number(&sandbox, "money(true)").unwrap_err().contains("amount"));
}

#[test]
fn a_number_in_a_text_has_three_figures_behind_the_point_at_most() {
    let sandbox = patient();
    let text = |body: &str| {
        let ast = sandbox.compile(&format!("fn f() {{ {body} }}")).unwrap();
        let answer = sandbox.call(&ast, "f", Vec::new).unwrap();
        answer.into_immutable_string().unwrap().to_string()
    };
    for (body, words) in [
        ("`at ${celsius(190)} C`", "at 87.778 C"),
        ("\"at \" + celsius(190)", "at 87.778"),
        ("celsius(190) + \" C\"", "87.778 C"),
        ("celsius(190).to_string()", "87.778"),
        ("`${[celsius(190), 1.5]}`", "[87.778, 1.5]"),
        ("let t = \"\"; t += celsius(190); t", "87.778"),
        ("`${45.00} still owed`", "45.00 still owed"),
        ("`${2.0005}`", "2.001"),
        ("`${litres(5)} L`", "18.927 L"),
        ("`${1.25 * 4}`", "5.00"),
    ] {
        assert_eq!(text(body), words, "{body}");
    }
    let exact = number(&sandbox, "celsius(190) * 9 / 5 + 32 - 190").unwrap();
    assert!(exact.abs() < Decimal::new(1, 20), "{exact}");
}
