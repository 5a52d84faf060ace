//! The time of a session: the computer's, or for a rehearsal another one that begins where asked.

use acquisition::WallTime;

/// Tells the time of a session.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SessionClock {
    offset_us: i64,
    offset_s: Option<i32>,
}

impl SessionClock {
    /// The computer's clock, or one that shows `asked` now and goes on from there.
    pub(crate) fn new(asked: Option<WallTime>) -> Self {
        let offset_us = asked.map_or(0, |asked| asked.unix_us - WallTime::now().unix_us);
        Self { offset_us, offset_s: asked.map(|asked| asked.offset_s) }
    }

    pub(crate) fn now(&self) -> WallTime {
        let now = WallTime::now();
        WallTime {
            unix_us: now.unix_us.saturating_add(self.offset_us),
            offset_s: self.offset_s.unwrap_or(now.offset_s),
        }
    }

    /// In a rehearsal nobody waits: the clock jumps there. Whether it did.
    pub(crate) fn jump_to(&mut self, unix_us: i64) -> bool {
        if self.offset_s.is_none() {
            return false;
        }
        self.offset_us += (unix_us - self.now().unix_us).max(0);
        true
    }
}
