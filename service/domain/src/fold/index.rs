//! Small numbers for what a snapshot names over and over.

use std::collections::BTreeMap;

/// Index for what is named over and over.
#[derive(Debug)]
pub(super) struct Index<T>(BTreeMap<T, u32>, pub(super) Vec<T>);

impl<T> Default for Index<T> {
    fn default() -> Self {
        Self(BTreeMap::new(), Vec::new())
    }
}

impl<T: Ord + Clone> Index<T> {
    /// Those of an earlier snapshot first, so that its rows can be taken as they are.
    pub(super) fn after(before: &[T]) -> Self {
        let mut numbers = Self::default();
        for it in before {
            numbers.0.entry(it.clone()).or_insert(number_of(numbers.1.len()));
            numbers.1.push(it.clone());
        }
        numbers
    }

    pub(super) fn of(&mut self, it: &T) -> u32 {
        if let Some(number) = self.0.get(it) {
            return *number;
        }
        let number = number_of(self.1.len());
        self.0.insert(it.clone(), number);
        self.1.push(it.clone());
        number
    }
}

fn number_of(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}
