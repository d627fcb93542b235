//! Scripts that try to take the shop down. Each gets a failure in time, and the next call works.
#![cfg(test)]

use std::sync::Arc;
use std::time::Duration;

use burrline_host::{
    Clock, JobFacts, Kind, Limits, MonotonicClock, Pricing, Ruling, Sandbox, Script, ScriptFailure,
    Stages, VerbFacts,
};

/// Time stands still, so that what ends a script is the same on a busy machine.
struct Stopped;

impl Clock for Stopped {
    fn now(&self) -> Duration {
        Duration::ZERO
    }
}

fn sandbox() -> Arc<Sandbox> {
    Arc::new(Sandbox::new(Limits::default(), Arc::new(Stopped)))
}

fn try_price(source: &str) -> Result<(), ScriptFailure> {
    let script = Script::compile(&sandbox(), Kind::Pricing, "attack", source)?;
    let answer = Pricing::new(script)?.price(&JobFacts::in_order());
    answer.map(|_| ())
}

/// Runs `body` inside `price` and gives the words of its failure.
fn fails(body: &str) -> String {
    let source = format!("fn price(job) {{ {body} }}");
    match try_price(&source) {
        Ok(()) => panic!("no failure from: {body}"),
        Err(failure) => {
            assert_eq!(failure.script, "attack");
            assert_eq!(failure.digest.len(), 64);
            failure.words
        }
    }
}

#[track_caller]
fn fails_with(body: &str, part: &str) {
    let words = fails(body);
    assert!(words.contains(part), "{body}: expected \"{part}\" in \"{words}\"");
}

#[test]
fn a_loop_that_does_not_end_is_ended() {
    for body in
        ["while true {}", "loop { let x = 1; }", "loop {}", "for i in 0..9223372036854775807 {}"]
    {
        fails_with(body, "a loop that does not end");
    }
}

#[test]
fn a_script_cannot_catch_its_own_end() {
    fails_with("loop { try { loop {} } catch { } }", "a loop that does not end");
}

#[test]
fn the_deadline_ends_a_script_that_operations_would_allow() {
    let limits = Limits { operations: u64::MAX, ..Limits::default() };
    let sandbox = Arc::new(Sandbox::new(limits, Arc::new(MonotonicClock::start())));
    let script = Script::compile(&sandbox, Kind::Pricing, "slow", "fn price(job) { loop {} }");
    let failure = Pricing::new(script.unwrap()).unwrap().price(&JobFacts::in_order()).unwrap_err();
    assert!(failure.words.contains("`price` took longer than 50 ms"), "{failure}");
}

#[test]
fn the_deadline_is_read_from_the_clock_that_was_handed_in() {
    /// Every reading is a second later than the one before.
    struct Leaping(std::sync::atomic::AtomicU64);
    impl Clock for Leaping {
        fn now(&self) -> Duration {
            Duration::from_secs(self.0.fetch_add(1, std::sync::atomic::Ordering::SeqCst))
        }
    }
    let clock = Arc::new(Leaping(std::sync::atomic::AtomicU64::new(0)));
    let sandbox = Arc::new(Sandbox::new(Limits::default(), clock));
    let source = "fn price(job) { for i in 0..100 { let x = i + 1; } [] }";
    let script = Script::compile(&sandbox, Kind::Pricing, "slow", source).unwrap();
    let failure = Pricing::new(script).unwrap().price(&JobFacts::in_order()).unwrap_err();
    assert!(failure.words.contains("took longer than"), "{failure}");
}

#[test]
fn deep_recursion_is_ended() {
    let source = "fn down(n) { down(n + 1) + 1 } fn price(job) { down(0) }";
    let failure = try_price(source).unwrap_err();
    assert!(failure.words.to_lowercase().contains("stack overflow"), "{failure}");
}

#[test]
fn recursion_at_full_depth_fits_the_smallest_stack_in_use() {
    // The deepest nesting the parser lets through, at every call level, on a 2 MiB stack.
    let deepest = (1..64)
        .rev()
        .map(|n| {
            let (open, close) = ("[".repeat(n), "]".repeat(n));
            format!("fn down(n) {{ {open}down(n + 1){close} }} fn price(job) {{ down(0) }}")
        })
        .find(|source| Script::compile(&sandbox(), Kind::Pricing, "deep", source).is_ok())
        .unwrap();
    let run = move || try_price(&deepest).unwrap_err();
    let thread = std::thread::Builder::new().stack_size(2 * 1024 * 1024).spawn(run).unwrap();
    let failure = thread.join().unwrap();
    assert!(failure.words.to_lowercase().contains("stack overflow"), "{failure}");
}

#[test]
fn recursion_through_a_closure_is_ended() {
    let words = fails("let f = |f, n| f.call(f, n + 1); f.call(f, 0)");
    assert!(words.to_lowercase().contains("stack overflow"), "{words}");
}

#[test]
fn a_text_that_doubles_is_ended() {
    fails_with("let s = \"ab\"; loop { s += s; }", "too large");
    fails_with("let s = \"ab\"; loop { s = `${s}${s}`; }", "too large");
    fails_with("let s = \"a\"; s.pad(1000000000, 'x'); []", "too large");
}

#[test]
fn replacing_every_letter_by_a_long_text_is_refused_before_it_is_built() {
    let body = "let s = \"a\"; s.pad(8000, 'a'); let t = s; s.replace(\"a\", t); []";
    fails_with(body, "too long");
    let by_letter = "let s = \"a\"; s.pad(8000, 'a'); let t = s; s.replace('a', t); []";
    fails_with(by_letter, "too long");
    fails_with(
        "let s = \"aa\"; let t = \"a\"; t.pad(8000, 'b'); s.replace(\"\", t); []",
        "too long",
    );
}

#[test]
fn a_list_that_grows_is_ended() {
    fails_with("let a = [1]; loop { a += a; }", "too large");
    fails_with("let a = []; loop { a.push(a); }", "too large");
    fails_with("let a = []; a.pad(1000000000, 1); []", "too large");
}

#[test]
fn a_map_that_grows_by_index_is_ended() {
    // The engine sees such a map's size only at its next reading; the operations end it before.
    fails("let m = #{}; let i = 0; loop { m[`k${i}`] = i; i += 1; }");
    fails("let m = #{}; let i = 0; while i < 2000 { m[`k${i}`] = i; i += 1; } let n = m; n.len()");
}

#[test]
fn a_function_cannot_carry_values_that_double() {
    // One operation doubles what the function carries; no limit would see it before the memory is gone.
    for body in [
        "let f = |x| x; for i in 0..40 { f = f.curry(f); } []",
        "let f = |x| x; for i in 0..40 { f = curry(f, f); } []",
        "let f = |x| x; for i in 0..40 { f = Fn(\"curry\").call(f, f); } []",
        "let f = |x| x; for i in 0..40 { f = [f].map(Fn(\"curry\"))[0]; } []",
    ] {
        fails_with(body, if body.contains(".curry") { "name of a property" } else { "reserved" });
    }
}

#[test]
fn a_closure_shares_nothing_so_no_ring_is_left_behind() {
    fails_with("let a = [1]; let f = || a; a.push(f); []", "Undefined variable");
}

#[test]
fn a_value_put_into_itself_is_ended() {
    for body in [
        "let a = [0, 0]; for i in 0..40 { a[0] = a; a[1] = a; } []",
        "let m = #{}; for i in 0..40 { m.x = m; m.y = m; } []",
        "let m = #{}; for i in 0..4000 { let n = #{}; n.x = m; m = n; } []",
        "let a = [0, 0]; for i in 0..40 { a.set(0, a); a.set(1, a); } []",
        "let a = [[]]; for i in 0..40 { a[0].push(a); a[0].push(a); } []",
        "let m = #{ a: #{} }; for i in 0..40 { m.a.set(\"x\", m); m.a.set(\"y\", m); } []",
        "let a = []; for i in 0..4000 { a = [a]; } []",
    ] {
        fails_with(body, "too large");
    }
}

#[test]
fn numbers_that_overflow_are_failures() {
    fails_with("9223372036854775807 + 1", "overflow");
    fails_with("-9223372036854775807 - 2", "overflow");
    fails_with("money(\"79228162514264337593543950335\") * 2.0", "overflow");
    fails_with("percent(\"79228162514264337593543950335\", 200)", "too large");
    fails_with("1 / 0", "zero");
    fails_with("1.0 / 0.0", "zero");
    fails_with("1 % 0", "zero");
    fails_with("1.0 % 0", "zero");
    fails_with("half_up(1.5, -1)", "places");
    fails_with("half_up(1.5, 29)", "places");
    fails("2 ** 100");
    fails("2.0 ** 1000.0");
    fails("let x = -9223372036854775807 - 1; -x");
    fails("let x = -9223372036854775807 - 1; x.abs()");
    fails("let x = -9223372036854775807 - 1; x / -1");
    fails("let x = -9223372036854775807 - 1; x % -1");
    fails("79228162514264337593543950335.0.to_int()");
}

#[test]
fn native_calls_with_odd_arguments_never_panic() {
    let bodies = [
        "\"abc\".sub_string(-9223372036854775807 - 1, 9223372036854775807)",
        "let s = \"é\"; s.crop(1, 9223372036854775807); s.len()",
        "let s = \"é\"; s.truncate(9223372036854775807); s.pad(-1, 'x'); s.len()",
        "let a = [1, 2, 3]; a.splice(-9223372036854775807 - 1, 9223372036854775807, [4]); a.len()",
        "let a = [1, 2, 3]; a.extract(9223372036854775807, -1).len()",
        "let a = [3, 1, 2]; a.sort(|x, y| 9223372036854775807); a.len()",
        "let a = [3, 1, 2]; a.sort(|x, y| \"no\"); a.len()",
        "let a = []; for i in 0..64 { a.push(i * 7919 % 64); } a.sort(|x, y| if x % 3 == 0 { 1 } else { -1 }); a.len()",
        "range(0, 10, 0).len()",
        "let x = 1 << 9223372036854775807; x",
        "let x = 1 >> -9223372036854775807; x",
        "0.0 ** -1.0",
        "(-1.0).sqrt()",
        "0.0.ln()",
        "parse_int(\"zz\", 99)",
        "parse_decimal(\"1e400\")",
        "1.5.round(9223372036854775807)",
        "let m = #{a: 1}; m.mixin(m); m.len()",
        "[1, 2].zip([3], |a, b| a + b).len()",
        "let a = [1]; a[9223372036854775807]",
        "let a = [1]; a[-9223372036854775807 - 1]",
        "let n = 5; n[9223372036854775807]",
        "chars(\"abc\", -5, 9223372036854775807).len()",
    ];
    for body in bodies {
        // None of these is a list of lines, so each must end as a failure, and not by a broken engine.
        let words = fails(body);
        assert!(!words.contains("broke down inside"), "{body}: {words}");
    }
}

#[test]
fn nothing_outside_can_be_reached() {
    for body in [
        "eval(\"1\")",
        "import \"x\" as x; []",
        "print(\"x\"); []",
        "debug(\"x\"); []",
        "sleep(1); []",
        "exit(1)",
        "timestamp()",
        "parse_json(\"{}\")",
        "blob(1000000000)",
        "let x = 1.5e3; open(\"/etc/passwd\")",
    ] {
        fails(body);
    }
}

#[test]
fn a_source_that_nests_without_end_is_refused() {
    let deep = |open: &str, close: &str, n: usize| {
        format!("fn price(job) {{ {}1{} }}", open.repeat(n), close.repeat(n))
    };
    for (open, close) in
        [("(", ")"), ("[", "]"), ("{", "}"), ("-", ""), ("if true {", "}"), ("!", "")]
    {
        assert!(try_price(&deep(open, close, 5_000)).is_err(), "{open}");
    }
    let long_sum = format!("fn price(job) {{ 1{} }}", " + 1".repeat(10_000));
    assert!(try_price(&long_sum).is_err());
    let long_else = format!("fn price(job) {{ if true {{}} {} }}", "else if true {}".repeat(3_000));
    assert!(try_price(&long_else).is_err());
}

#[test]
fn a_source_that_is_too_long_or_not_text_is_refused() {
    let long = format!("fn price(job) {{ [] }} //{}", "x".repeat(70_000));
    assert!(try_price(&long).unwrap_err().words.contains("at most 65536"));
    let failure = Script::from_bytes(&sandbox(), Kind::Pricing, "raw", b"fn \xff").unwrap_err();
    assert!(failure.words.contains("not UTF-8"), "{failure}");
}

#[test]
fn a_statement_outside_a_function_is_refused_with_its_place() {
    let failure = try_price("fn price(job) { [] }\nlet x = 1;").unwrap_err();
    assert_eq!(failure.line, Some(2));
    assert!(failure.words.contains("only functions"), "{failure}");
}

#[test]
fn a_mistyped_name_is_an_error_with_line_and_column() {
    let failure = try_price("fn price(job) {\n    let g = job.gruop;\n    []\n}").unwrap_err();
    assert_eq!((failure.line, failure.column.is_some()), (Some(2), true), "{failure}");
    assert!(failure.words.contains("gruop"), "{failure}");
    assert!(failure.to_string().starts_with("attack, line 2, column "), "{failure}");
    let unknown = try_price("fn price(job) {\n  []\n  + spceies }").unwrap_err();
    assert_eq!(unknown.line, Some(3), "{unknown}");
}

#[test]
fn a_script_cannot_change_what_the_shop_knows() {
    let source = "fn check(job, act) { job.papers = true; act.verb = \"note\"; () }";
    let script = Script::compile(&sandbox(), Kind::Stages, "writer", source).unwrap();
    let stages = Stages::new(script).unwrap();
    let job = JobFacts { papers: false, ..JobFacts::in_order() };
    assert!(matches!(stages.check(&job, &VerbFacts::of("flesh")), Ruling::Fine { .. }));
    assert!(!job.papers);
}

#[test]
fn one_sandbox_serves_many_threads_and_survives_failures() {
    let sandbox = sandbox();
    let source =
        "fn price(job) { if job.tag == \"bad\" { loop {} } [#{ what: \"x\", amount: 1.5 }] }";
    let script = Script::compile(&sandbox, Kind::Pricing, "shared", source).unwrap();
    let pricing = Pricing::new(script).unwrap();
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| {
                let bad = JobFacts { tag: "bad".to_owned(), ..JobFacts::in_order() };
                assert!(pricing.price(&bad).is_err());
                assert_eq!(pricing.price(&JobFacts::in_order()).unwrap().lines.len(), 1);
            });
        }
    });
}

/// Everything that an owner could do to the shop by mistake or by malice, each with a real clock: all
/// of it is over in time, and somebody else's price is made all the while.
#[test]
fn every_attack_ends_within_the_deadline_while_others_go_on() {
    const PATIENCE: Duration = Duration::from_secs(2);
    let ten_thousand = "    let x = 1;\n".repeat(4_000);
    let nested = format!("{}1{}", "[".repeat(500), "]".repeat(500));
    let literal = format!("let s = \"{}\"; s.len()", "x".repeat(60_000));
    let digits = format!("let n = {};", "9".repeat(5_000));
    let bodies = [
        ("endless loop", "loop {}"),
        ("endless recursion", "let f = |f| f.call(f); f.call(f)"),
        ("text bomb", "let s = \"ab\"; loop { s += s; }"),
        ("list bomb", "let a = [1]; loop { a += a; }"),
        ("map bomb by index", "let m = #{}; let i = 0; loop { m[`k${i}`] = m; i += 1; }"),
        ("currying bomb", "let f = |x| x; loop { f = f.curry(f); }"),
        ("deep nesting", nested.as_str()),
        ("huge literal", literal.as_str()),
        ("huge number", digits.as_str()),
        ("four thousand lines", ten_thousand.as_str()),
        ("eval", "eval(\"loop {}\")"),
        ("sleep", "sleep(60)"),
        ("import", "import \"std\" as s; []"),
        ("overflow", "9223372036854775807 * 2"),
        ("division by zero", "1 / 0"),
        ("a float in money", "[#{ what: \"x\", amount: 1e3 }]"),
        ("money that is no number", "[#{ what: \"x\", amount: \"NaN\" }]"),
        ("far day", "add_days(\"2026-11-24\", 9223372036854775807)"),
        ("near the end of time", "days_between(\"-999-01-01\", \"9999-12-31\")"),
        ("odd days", "weekday_of(\"2026-02-30\")"),
        ("hours past counting", "hours(9223372036854775807)"),
        ("steps of nothing", "up_to_next(1, 0)"),
        ("steps past counting", "up_to_next(\"79228162514264337593543950335\", 0.0001)"),
        ("water past counting", "mixed(\"79228162514264337593543950335\", 2, 1, 1)"),
    ];
    let sandbox = Arc::new(Sandbox::default());
    let good = "fn price(job) { [#{ what: \"cleaning\", amount: 120.00 }] }";
    let good = Script::compile(&sandbox, Kind::Pricing, "good", good).unwrap();
    let good = Pricing::new(good).unwrap();
    let done = std::sync::atomic::AtomicBool::new(false);
    std::thread::scope(|scope| {
        let others = scope.spawn(|| {
            let mut prices = 0_u32;
            // However busy the machine is: each one beside the attacks comes out right.
            while prices < 100 || !done.load(std::sync::atomic::Ordering::SeqCst) {
                assert_eq!(good.price(&JobFacts::in_order()).unwrap().lines.len(), 1);
                prices += 1;
            }
        });
        let clock = MonotonicClock::start();
        for (what, body) in bodies {
            let began = clock.now();
            let source = format!("fn price(job) {{\n{body}\n}}");
            let ended = Script::compile(&sandbox, Kind::Pricing, "attack", &source)
                .and_then(Pricing::new)
                .and_then(|pricing| pricing.price(&JobFacts::in_order()));
            let took = clock.now().saturating_sub(began);
            assert!(ended.is_err(), "{what} gave {ended:?}");
            assert!(took < PATIENCE, "{what} took {took:?}");
        }
        done.store(true, std::sync::atomic::Ordering::SeqCst);
        others.join().unwrap();
    });
}

#[test]
fn ten_thousand_lines_are_refused_by_their_size_or_run_within_the_limits() {
    let short = format!("fn price(job) {{\n{}[]\n}}", "1;\n".repeat(10_000));
    let began = MonotonicClock::start();
    let ended = try_price(&short);
    assert!(began.now() < Duration::from_secs(5));
    // Ten thousand statements fit the source and the operations; what is over either is refused.
    assert!(ended.is_ok() || ended.unwrap_err().words.contains("operations"));
    let long = format!("fn price(job) {{\n{}[]\n}}", "    let total = 0;\n".repeat(10_000));
    assert!(try_price(&long).unwrap_err().words.contains("at most 65536"));
}
