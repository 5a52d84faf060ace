//! Packets that wait for the cable.

/// Bytes that may wait: 73 frames, 0.29 s at 250 frames/s.
const N_BYTES: usize = 2048;

/// A ring of whole packets: one that does not fit is refused and leaves no trace.
#[derive(Debug)]
pub(crate) struct TransmitRing {
    bytes: [u8; N_BYTES],
    /// Place of the oldest byte.
    first: usize,
    n_waiting: usize,
}

impl TransmitRing {
    pub(crate) const fn new() -> Self {
        Self { bytes: [0; N_BYTES], first: 0, n_waiting: 0 }
    }

    /// Takes all of a packet, or nothing; says which.
    pub(crate) fn push(&mut self, packet: &[u8]) -> bool {
        if N_BYTES - self.n_waiting < packet.len() {
            return false;
        }
        for &byte in packet {
            let end = (self.first + self.n_waiting) % N_BYTES;
            if let Some(place) = self.bytes.get_mut(end) {
                *place = byte;
                self.n_waiting += 1;
            }
        }
        true
    }

    /// The oldest bytes, as many as lie side by side.
    pub(crate) fn waiting(&self) -> &[u8] {
        let end = (self.first + self.n_waiting).min(N_BYTES);
        self.bytes.get(self.first..end).unwrap_or_default()
    }

    /// Forgets the oldest `n_bytes`, which are sent.
    pub(crate) fn sent(&mut self, n_bytes: usize) {
        let n_bytes = n_bytes.min(self.n_waiting);
        self.first = (self.first + n_bytes) % N_BYTES;
        self.n_waiting -= n_bytes;
    }
}

#[cfg(test)]
mod tests {
    extern crate std;
    use std::collections::VecDeque;
    use std::vec;
    use std::vec::Vec;

    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Against a queue that is plainly right, except that it refuses at the same fullness.
        #[test]
        fn it_is_a_queue_of_whole_packets(
            steps in prop::collection::vec((0_usize..700, 0_usize..900), 0..60),
        ) {
            let mut ring = TransmitRing::new();
            let mut queue = VecDeque::new();
            for (i, (n_pushed, n_sent)) in steps.into_iter().enumerate() {
                let packet = vec![u8::try_from(i).unwrap(); n_pushed];
                let fits = queue.len() + n_pushed <= N_BYTES;
                prop_assert_eq!(ring.push(&packet), fits);
                if fits {
                    queue.extend(packet);
                }
                let waiting = ring.waiting().to_vec();
                prop_assert_eq!(&waiting, &queue.iter().copied().take(waiting.len()).collect::<Vec<u8>>());
                prop_assert_eq!(waiting.is_empty(), queue.is_empty());
                let n_sent = n_sent.min(waiting.len());
                ring.sent(n_sent);
                queue.drain(..n_sent);
            }
        }
    }
}
