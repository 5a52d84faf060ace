//! Where the interrupt leaves what it saw.

use board_wire::Ticks;

/// A data-ready edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Edge {
    /// When the newest edge came.
    pub time: Ticks,
    /// How many edges before it were never read, because the loop was late.
    pub n_missed: u32,
}

/// Holds the newest data-ready edge between interrupt and loop, and counts those overwritten.
///
/// The interrupt does nothing but read the clock and call [`set`](Self::set), so that the stamp is
/// that of the edge and not that of the reading.
#[derive(Debug, Default)]
pub struct ReadyLatch {
    edge: Option<Edge>,
}

impl ReadyLatch {
    /// Nothing seen yet.
    pub const fn new() -> Self {
        Self { edge: None }
    }

    /// Called by the interrupt.
    pub const fn set(&mut self, time: Ticks) {
        let n_missed = match self.edge {
            Some(unread) => unread.n_missed.saturating_add(1),
            None => 0,
        };
        self.edge = Some(Edge { time, n_missed });
    }

    /// Called by the loop, with the interrupt held off.
    pub const fn take(&mut self) -> Option<Edge> {
        self.edge.take()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_that_was_not_read_is_counted() {
        let mut latch = ReadyLatch::new();
        assert_eq!(latch.take(), None);
        latch.set(Ticks::from_us(1));
        assert_eq!(latch.take(), Some(Edge { time: Ticks::from_us(1), n_missed: 0 }));
        for us in [2, 3, 4] {
            latch.set(Ticks::from_us(us));
        }
        assert_eq!(latch.take(), Some(Edge { time: Ticks::from_us(4), n_missed: 2 }));
        assert_eq!(latch.take(), None);
    }
}
