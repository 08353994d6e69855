//! A plan while it is being looked for: cubes by child, day and candidate, before they are parted into meals.

use crate::planning::frame::Frame;

/// Whole cubes and whole trays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Draft {
    /// By child, day and candidate.
    cubes: Vec<Vec<Vec<u32>>>,
    /// By candidate; 1 for a batch.
    pub(super) trays: Vec<u32>,
}

impl Draft {
    /// Nothing on any plate.
    pub(super) fn empty(frame: &Frame<'_>) -> Self {
        let nothing = vec![0; frame.candidates.len()];
        let days = |cells: &Vec<_>| vec![nothing.clone(); cells.len()];
        Self {
            cubes: frame.cells.iter().map(days).collect(),
            trays: frame
                .candidates
                .iter()
                .map(|one| u32::from(!one.cooked()))
                .collect(),
        }
    }

    /// Cubes of a child on a day, by candidate.
    pub(super) fn day(&self, child: usize, day: usize) -> &[u32] {
        &self.cubes[child][day]
    }

    /// The same, to be changed.
    pub(super) fn day_mut(&mut self, child: usize, day: usize) -> &mut [u32] {
        &mut self.cubes[child][day]
    }

    /// Cubes of a child on a day, all together.
    pub(super) fn total(&self, child: usize, day: usize) -> u32 {
        self.cubes[child][day].iter().sum()
    }

    /// Candidates on a day of a child.
    pub(super) fn distinct(&self, child: usize, day: usize) -> u32 {
        let used = self.cubes[child][day].iter().filter(|cubes| **cubes > 0);
        u32::try_from(used.count()).unwrap_or(u32::MAX)
    }

    /// Cubes of a candidate that are served.
    pub(super) fn served(&self, candidate: usize) -> u32 {
        let days = self.cubes.iter().flatten();
        days.map(|day| day[candidate]).sum()
    }

    /// Cubes of a candidate that stay in the freezer.
    pub(super) fn left(&self, frame: &Frame<'_>, candidate: usize) -> u32 {
        let there = frame.candidates[candidate]
            .cubes
            .saturating_mul(self.trays[candidate]);
        there.saturating_sub(self.served(candidate))
    }

    /// Every part: child, day, candidate, cubes.
    pub(super) fn parts(&self) -> impl Iterator<Item = (usize, usize, usize, u32)> + '_ {
        let days = self.cubes.iter().enumerate();
        days.flat_map(|(child, days)| {
            days.iter().enumerate().flat_map(move |(day, cubes)| {
                let some = cubes.iter().enumerate().filter(|(_, cubes)| **cubes > 0);
                some.map(move |(candidate, cubes)| (child, day, candidate, *cubes))
            })
        })
    }
}
