//! Dates that the law sets: dated readings of texts, never today's law.

use serde_json::json;

use super::reckoned::{ask, figure, turned_down};

/// Sources, each as read: 4VAC15-290-80 (three years), New York ECL 11-1733 (at least five years),
/// MCA 87-4-201 (while in possession or five years, whichever is longer), 15A NCAC 10H .1003 (one
/// year past the licence year), Texas Parks and Wildlife Code 62.023 (90 days after notification;
/// papers to the second anniversary of completion).
#[test]
fn records_are_kept_as_long_as_the_texts_say() {
    for (question, name, told) in [
        ("law VA returned 2025-02-10 area no", "records_va", "keep through 2028-02-10"),
        ("law NY returned 2025-02-10 area no", "records_ny", "keep through 2030-02-10"),
        ("law MT taken-in 2019-11-01 area no", "records_mt", "not yet: it is still here"),
        (
            "law MT taken-in 2019-11-01 returned 2026-03-01 area no",
            "records_mt",
            "keep through 2026-03-01",
        ),
        (
            "law MT taken-in 2024-11-01 returned 2025-03-01 area no",
            "records_mt",
            "keep through 2029-11-01",
        ),
        (
            "law NC returned 2025-02-10 licence-year-end 2025-06-30 area no",
            "records_nc",
            "keep through 2026-06-30",
        ),
        ("law TX completed 2025-12-20 area no", "records_tx", "keep through 2027-12-20"),
        ("law TX notice 2026-01-05 area no", "unclaimed_tx", "not before 2026-04-05"),
    ] {
        assert_eq!(figure(question, name), json!(told), "{question}");
    }
}

#[test]
fn where_there_is_no_row_the_answer_is_to_ask_and_never_advice() {
    let answer = ask("law NV returned 2025-02-10").unwrap();
    assert!(answer["answer"].as_str().unwrap().contains("records NV: ask"), "{answer}");
    assert!(answer["working"].to_string().contains("ask how long records are kept"));
    assert!(answer["cautions"].to_string().contains("Not legal advice"), "{answer}");
    assert!(answer["answer"].as_str().unwrap().contains("No row of NV is kept here"), "{answer}");
    turned_down("law Virginia", "two letters");
    turned_down("law ZZ returned 2025-02-10", "no state, province or territory");
}
