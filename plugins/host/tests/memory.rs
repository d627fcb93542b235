//! How much memory a script can take before it is ended. A binary of its own, so that nothing else
//! is in the figure; Linux only, because it reads the kernel's own peak.
#![cfg(test)]
#![cfg(target_os = "linux")]

use std::sync::Arc;
use std::time::Duration;

use burrline_host::{JobFacts, Kind, Limits, MonotonicClock, Pricing, Sandbox, Script};

/// Growth that slips past the engine's size limits until the next reading, each at its worst.
const BOMBS: &[(&str, &str)] = &[
    ("small map keys", "let m = #{}; let i = 0; loop { m[`${i}`] = i; i += 1; }"),
    (
        "long texts in a map",
        "let s = \"a\"; s.pad(8000, 'a'); let m = #{}; let i = 0; loop { m[`${i}`] = s + i; i += 1; }",
    ),
    (
        "long keys in a map",
        "let s = \"a\"; s.pad(8000, 'a'); let m = #{}; let i = 0; loop { m[s + i] = i; i += 1; }",
    ),
    (
        "long lists in a map",
        "let a = []; a.pad(512, 1); let m = #{}; let i = 0; loop { m[`${i}`] = a; i += 1; }",
    ),
    (
        "lists of lists in a list",
        "let b = []; b.pad(512, 1); let a = []; a.pad(512, 0); \
         for i in 0..512 { let c = []; c.pad(500, 0); a[i] = c; } \
         for i in 0..512 { for k in 0..500 { a[i][k] = b; } } []",
    ),
    (
        "pushing into what is inside a list",
        "let b = []; b.pad(500, 1); let a = []; a.pad(500, []); \
         loop { for i in 0..500 { a[i].push(1); } }",
    ),
    (
        "a closure that makes long texts",
        "let a = []; a.pad(512, 1); a.map(|x| { let s = \"a\"; s.pad(8000, 'a'); s + x }); []",
    ),
    (
        "splitting and replacing",
        "let s = \"a\"; s.pad(8000, 'a'); loop { let p = s.split(\"\"); s.replace(\"a\", \"bb\"); }",
    ),
];

#[test]
fn no_script_takes_more_than_a_bounded_amount_of_memory() {
    // Time is taken out, so that a slow machine measures the same: operations alone must bound it.
    let limits = Limits { deadline: Duration::from_hours(1), ..Limits::default() };
    let sandbox = Arc::new(Sandbox::new(limits, Arc::new(MonotonicClock::start())));
    let before = peak_kib();
    for (what, body) in BOMBS {
        let source = format!("fn price(job) {{ {body} }}");
        let script = Script::compile(&sandbox, Kind::Pricing, what, &source).unwrap();
        let failure = Pricing::new(script).unwrap().price(&JobFacts::in_order());
        println!("{what}: {failure:?}; peak so far {} MiB more", (peak_kib() - before) / 1024);
    }
    let grown_mib = (peak_kib() - before) / 1024;
    assert!(grown_mib < 128, "scripts took {grown_mib} MiB");
}

fn peak_kib() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap();
    line.trim().trim_end_matches(" kB").parse().unwrap()
}
