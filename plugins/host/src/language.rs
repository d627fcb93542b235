//! The words of the language that an owner needs, each with an example that is run as a test.

/// Something that may be written in a script.
#[derive(Debug, Clone, Copy)]
pub struct Phrase {
    /// What it is for.
    pub about: &'static str,
    /// How it is written.
    pub code: &'static str,
    /// What it gives.
    pub gives: &'static str,
}

macro_rules! phrases {
    ($($about:literal: $code:literal => $gives:literal;)+) => {
        const LANGUAGE: &[Phrase] =
            &[$(Phrase { about: $about, code: $code, gives: $gives }),+];
    };
}

/// The language, in the order in which the reference shows it.
pub fn language() -> &'static [Phrase] {
    LANGUAGE
}

phrases! {
    "a name for a value": "let base = 120.00; base + 25" => "145.00";
    "a value that changes": "let n = 1; n += 2; n" => "3";
    "exact numbers": "0.1 + 0.2" => "0.3";
    "multiply, divide, what is left over": "[3 * 4, 7 / 2, 7.0 / 2, 7 % 2]" => "[12, 3, 3.5, 1]";
    "compare": r#"[3 > 2, 3 == 3.0, "deer" == "elk", 2 != 2]"# => "[true, true, false, false]";
    "and, or, not": "true && !false || false" => "true";
    "one of two": r#"if 3 > 2 { "more" } else { "less" }"# => r#""more""#;
    "one of many": r#"switch "elk" { "deer" => 120.00, "elk" | "moose" => 210.00, _ => 130.00 }"# => "210.00";
    "is it in a list": r#""elk" in ["deer", "elk"]"# => "true";
    "is it a name in a map": r#""elk" in #{ deer: 120.00, elk: 210.00 }"# => "true";
    "a figure out of a map": "let rates = #{ deer: 120.00 }; rates.deer" => "120.00";
    "by a name that is worked out": r#"let rates = #{ deer: 120.00 }; rates["deer"]"# => "120.00";
    "not known": "let points = (); points == ()" => "true";
    "a value in a text": "let n = 3; `${n} heads`" => r#""3 heads""#;
    "texts one after the other": r#""lower " + "jaw""# => r#""lower jaw""#;
    "does a text hold another": r#"["jaw cracked".contains("jaw"), "jaw".starts_with("j"), "jaw".ends_with("w")]"# => "[true, true, true]";
    "length of a text or a list": r#"["jaw".len(), [1, 2].len()]"# => "[3, 2]";
    "small and capital letters": r#"["Fox".to_lower(), "fox".to_upper()]"# => r#"["fox", "FOX"]"#;
    "cut the blanks off": r#"let s = " fox "; s.trim(); s"# => r#""fox""#;
    "a part of a text": r#""whitetail".sub_string(0, 5)"# => r#""white""#;
    "a text into a list": r#""nose, jaw".split(", ")"# => r#"["nose", "jaw"]"#;
    "add to a list": "let lines = [1]; lines.push(2); lines" => "[1, 2]";
    "each of a list": "let sum = 0; for n in [1, 2, 3] { sum += n; } sum" => "6";
    "again and again, while something holds": "let n = 1; while n < 100 { n *= 3; } n" => "243";
    "each name of a map": r"let out = []; for name in #{ a: 1, b: 2 }.keys() { out.push(name); } out" => r#"["a", "b"]"#;
    "does any fit, do all fit": "[[1, 5].some(|n| n > 3), [1, 5].all(|n| n > 3)]" => "[true, false]";
    "those that fit": "[1, 5, 7].filter(|n| n > 3)" => "[5, 7]";
    "something made of each": "[1, 2].map(|n| n * 2)" => "[2, 4]";
    "all of a list in one": "[1, 2, 3].reduce(|sum, n| sum + n, 0)" => "6";
    "the lesser, the greater, without the sign": "[min(2, 3), max(2, 3), abs(-4)]" => "[2, 3, 4]";
    "down, up, to a whole number": "[2.7.floor(), 2.1.ceiling(), 2.9.to_int()]" => "[2, 3, 2]";
    "leave a function early": r#"let rule = |x| { if x > 2 { return "high"; } "low" }; rule.call(3)"# => r#""high""#;
}
