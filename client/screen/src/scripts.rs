//! Scripts, and how their rules fared; the words that lines are read by.

use burrline_proto::v1;
use burrline_terms::words::{CellKind, ScriptKind};

use super::{Look, Table, Told};

impl Told for v1::ScriptsResponse {
    const EXAMPLES: &'static [&'static str] = &["script list"];

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&["kind", "name", "digest", "in use", "since"]);
        for script in &self.scripts {
            let kind = ScriptKind::from_number(script.kind);
            let last = script.steps.last().map(|step| look.time(step.at_ms)).unwrap_or_default();
            let used = match (script.active, script.prices) {
                (_, true) if script.place > 1 => format!("prices, as number {}", script.place),
                (_, true) => "prices".to_owned(),
                (true, false) if kind == Some(ScriptKind::Pricing) => "no longer prices".to_owned(),
                (true, false) => "yes".to_owned(),
                (false, false) => String::new(),
            };
            let digest: String = hex::encode(&script.digest).chars().take(8).collect();
            let kind = kind.map_or("", ScriptKind::word).to_owned();
            table.row([kind, script.name.clone(), digest, used, last]);
        }
        let text = table.lines(look);
        if text.is_empty() {
            return vec![
                "no script is installed; begin with `burrline script new house.rhai`".to_owned(),
            ];
        }
        text
    }
}

/// A rule that is answered "anyway" this often, of a hundred, is wrong.
const TOO_OFTEN: u64 = 20;

/// It has to have objected this often before its share says something.
const OFTEN_ENOUGH: u64 = 5;

impl Told for v1::RulesResponse {
    const EXAMPLES: &'static [&'static str] = &["rules", "rules --since 2026-09-01"];

    fn more() -> String {
        "The share is of the times that it objected: done anyway, made good first (w), left off (n), or \
         recorded with nobody asked, as by a bench that was away. `burrline refused` lists what was left \
         off. A rule with more than a fifth, of five or more, is wrong or wants other words."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut table = Table::new(&[
            "rule",
            "in use",
            "anyway",
            "made good",
            "left off",
            "nobody asked",
            "remarked",
            "failed",
            "share",
            "last reasons",
        ]);
        let mut wrong = Vec::new();
        for rule in &self.rules {
            let share = share(rule);
            if objected(rule) >= OFTEN_ENOUGH && share.is_some_and(|s| s > TOO_OFTEN) {
                wrong.push(rule.rule.as_str());
            }
            let count = |n: u64| if n == 0 { String::new() } else { n.to_string() };
            table.row([
                rule.rule.clone(),
                if rule.active { "yes" } else { "no" }.to_owned(),
                count(rule.anyway),
                count(rule.said_first),
                count(rule.left_off),
                count(rule.unasked),
                count(rule.remarked),
                count(rule.not_checked),
                share.map(|share| format!("{share} %")).unwrap_or_default(),
                rule.reasons.join("; "),
            ]);
        }
        let mut text = table.lines(look);
        if text.is_empty() {
            text.push("no stage rule is in use, and none ever objected".to_owned());
        }
        if !wrong.is_empty() {
            text.push(format!(
                "Answered \"anyway\" more than one time in five: {}. The rule is wrong, or wants other \
                 words.",
                wrong.join(", ")
            ));
        }
        text
    }
}

/// How often it was answered "anyway", of a hundred times that it objected; none if it never did.
fn share(rule: &v1::RuleLine) -> Option<u64> {
    rule.anyway.saturating_mul(100).checked_div(objected(rule))
}

/// How often it objected, as far as that is on the log.
fn objected(rule: &v1::RuleLine) -> u64 {
    let answered = rule.anyway.saturating_add(rule.said_first).saturating_add(rule.left_off);
    answered.saturating_add(rule.unasked)
}

impl Told for v1::ShadowResponse {
    const EXAMPLES: &'static [&'static str] = &["shadow", "shadow strict"];

    fn more() -> String {
        "`burrline script shadow FILE` begins, for a week if nothing else is said. Nobody is asked by such a \
         rule and nothing is stopped; what it would have said lies with each record."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut text = Vec::new();
        for rule in &self.rules {
            let so_far = if rule.over { "over" } else { "so far" };
            let asked =
                if rule.asked_known { format!(" of {}", rule.asked) } else { String::new() };
            text.push(format!(
                "{} from {} until {}, {so_far}: would have objected to {}{asked}, remarked on {}, and could \
                 not check {}",
                rule.rule,
                look.time(rule.from_ms),
                look.time(rule.until_ms),
                rule.objected,
                rule.remarked,
                rule.not_checked
            ));
            let mut table = Table::new(&["WHEN", "BY", "WHAT", "SKULL", "WOULD HAVE SAID"]);
            for act in &rule.acts {
                let how = match (act.not_checked, act.objects) {
                    (true, _) => "",
                    (false, true) => "no: ",
                    (false, false) => "remark: ",
                };
                table.row([
                    look.time(act.at_ms),
                    act.hand.clone(),
                    act.line.clone(),
                    act.skull.clone(),
                    format!("{how}{}", act.words),
                ]);
            }
            text.extend(table.lines(look).into_iter().map(|line| format!("  {line}")));
        }
        if text.is_empty() {
            text.push("no rule is shadowed; begin with `burrline script shadow FILE`".to_owned());
        }
        text
    }
}

impl Told for v1::TablesResponse {
    const EXAMPLES: &'static [&'static str] = &["tables", "tables county-fee"];

    fn more() -> String {
        "`burrline add-table county-fee money` begins one, and `burrline set-row county-fee larimer 2.50` \
         writes a row. A script asks for it with `job.tables.row(\"county-fee\", job.county)`."
            .to_owned()
    }

    fn text(&self, look: &Look) -> Vec<String> {
        let mut text = Vec::new();
        for table in &self.tables {
            let of = CellKind::from_number(table.of).map_or("", CellKind::word);
            let says =
                if table.says.is_empty() { String::new() } else { format!(": {}", table.says) };
            text.push(format!("{} ({of}){says}", table.name));
            let mut rows = Table::new(&["ROW", "VALUE"]);
            for row in &table.rows {
                rows.row([row.row.clone(), row.value.clone()]);
            }
            let rows = rows.lines(look);
            if rows.is_empty() {
                text.push(format!(
                    "  no row yet; write one with: set-row {} ROW VALUE",
                    table.name
                ));
            }
            text.extend(rows.into_iter().map(|line| format!("  {line}")));
        }
        if text.is_empty() {
            text.push("there is no table; begin one with: add-table county-fee money".to_owned());
        }
        text
    }
}

impl Told for v1::WordsResponse {
    const EXAMPLES: &'static [&'static str] = &["help add-place"];

    fn text(&self, _: &Look) -> Vec<String> {
        let places: Vec<&str> = self.places.iter().map(|place| place.name.as_str()).collect();
        let species: Vec<&str> = self.species.iter().map(|one| one.name.as_str()).collect();
        let lists = [
            ("places", places.join(", ")),
            ("hands", self.hands.join(", ")),
            ("recipes", self.recipes.join(", ")),
            ("animals of its own", species.join(", ")),
        ];
        let said = lists.into_iter().filter(|(_, words)| !words.is_empty());
        let text: Vec<String> = said.map(|(what, words)| format!("{what}: {words}")).collect();
        if text.is_empty() { vec!["no place, hand or recipe yet".to_owned()] } else { text }
    }
}
