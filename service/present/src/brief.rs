//! What a hand needs to go on, and what is there to be asked for.

/// Lines in their order, each needed to go on or not.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Brief(Vec<(bool, String)>);

impl Brief {
    /// Lines that are needed.
    pub fn needed(lines: impl IntoIterator<Item = String>) -> Self {
        Self(lines.into_iter().map(|line| (true, line)).collect())
    }

    /// Lines that are not.
    pub fn beside(lines: impl IntoIterator<Item = String>) -> Self {
        Self(lines.into_iter().map(|line| (false, line)).collect())
    }

    /// Adds a line that is needed.
    pub fn need(&mut self, line: String) {
        self.0.push((true, line));
    }

    /// Adds a line that is not.
    pub fn add(&mut self, line: String) {
        self.0.push((false, line));
    }

    /// These, with others behind them.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }

    /// The lines that are needed.
    pub fn first(&self) -> Vec<String> {
        self.part(true)
    }

    /// The rest.
    pub fn rest(&self) -> Vec<String> {
        self.part(false)
    }

    fn part(&self, needed: bool) -> Vec<String> {
        self.0.iter().filter(|(is, _)| *is == needed).map(|(_, line)| line.clone()).collect()
    }

    /// How many are needed, for a message that has all of them in one list.
    pub fn count(&self) -> u32 {
        u32::try_from(self.0.iter().filter(|(needed, _)| *needed).count()).unwrap_or(u32::MAX)
    }

    /// That list: those that are needed in front.
    pub fn in_parts(&self) -> Vec<String> {
        [self.first(), self.rest()].concat()
    }

    /// All lines in their order.
    pub fn all(self) -> Vec<String> {
        self.0.into_iter().map(|(_, line)| line).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_needed_stands_in_front_and_the_order_is_kept_beside_it() {
        let mut brief = Brief::beside(["how much".to_owned()]);
        brief.need("when".to_owned());
        let brief = brief.and(Brief::needed(["who".to_owned()]));
        assert_eq!(brief.count(), 2);
        assert_eq!(brief.in_parts(), ["when", "who", "how much"]);
        assert_eq!(brief.all(), ["how much", "when", "who"]);
    }
}
