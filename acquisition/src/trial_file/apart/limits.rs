//! What reading one file may take.

use std::io;
use std::time::Duration;

use rustix::process::{Resource, Rlimit, setrlimit};
use rustix::time::{ClockId, clock_gettime};

/// What a child may take for one file. Our own choices.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Time for a small file, on a busy machine too: a stand of a minute takes some milliseconds.
    pub patience: Duration,
    /// Bytes of a file for which a second more is given.
    pub bytes_per_s: u64,
    /// Address space of the child. The largest trial takes 1 GiB: its file, the library's copy, its
    /// samples, and the same packed.
    pub memory_bytes: u64,
    /// Files after which a child is replaced by a fresh one, so that what a file may have spoilt in
    /// it does not last. A file that the library could not read ends its child at once.
    pub files_per_child: u32,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            patience: Duration::from_secs(10),
            bytes_per_s: 4 * 1024 * 1024,
            memory_bytes: 2 * 1024 * 1024 * 1024,
            files_per_child: 256,
        }
    }
}

impl Limits {
    /// How long a file of `n_bytes` may take.
    pub(super) fn time_for(&self, n_bytes: u64) -> Duration {
        self.patience + Duration::from_secs(n_bytes / self.bytes_per_s.max(1))
    }

    /// Puts the limits on this process that hold for every file: memory, no file written, no image
    /// of the memory left behind by a crash.
    pub(super) fn confine(&self) -> io::Result<()> {
        let at_most = |bytes| Rlimit { current: Some(bytes), maximum: Some(bytes) };
        setrlimit(Resource::As, at_most(self.memory_bytes))?;
        setrlimit(Resource::Fsize, at_most(0))?;
        setrlimit(Resource::Core, at_most(0))?;
        Ok(())
    }

    /// Lets this process compute for as long as a file of `n_bytes` may take, and no longer.
    pub(super) fn allow(&self, n_bytes: u64) -> io::Result<()> {
        let used_s = u64::try_from(clock_gettime(ClockId::ProcessCPUTime).tv_sec).unwrap_or(0);
        let until_s = used_s + self.time_for(n_bytes).as_secs() + 1;
        setrlimit(Resource::Cpu, Rlimit { current: Some(until_s), maximum: None })?;
        Ok(())
    }
}
