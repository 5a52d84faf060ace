//! Which program uses a port, where the system tells.

use std::fmt;
use std::fs;
use std::path::Path;

/// A program that uses a port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PortHolder {
    /// Number of its process.
    pub process_id: u32,
    /// Its name.
    pub program: String,
}

/// As in `footing (process 4711)`.
impl fmt::Display for PortHolder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} (process {})", self.program, self.process_id)
    }
}

/// Another process that has the device at `path` open; `None` if there is none, or where the system
/// does not tell.
///
/// Linux shows the open files of the user's own processes, and to root those of all
/// (`proc_pid_fd(5)`).
pub(crate) fn other_holder(path: &Path) -> Option<PortHolder> {
    let device = fs::canonicalize(path).ok()?;
    let own_id = std::process::id();
    fs::read_dir("/proc")
        .ok()?
        .flatten()
        .filter_map(|entry| entry.file_name().to_str()?.parse().ok())
        .find(|&process_id| process_id != own_id && has_open(process_id, &device))
        .map(|process_id| PortHolder { process_id, program: program_name(process_id) })
}

fn has_open(process_id: u32, device: &Path) -> bool {
    let Ok(open_files) = fs::read_dir(format!("/proc/{process_id}/fd")) else { return false };
    open_files.flatten().any(|file| fs::read_link(file.path()).is_ok_and(|found| found == device))
}

fn program_name(process_id: u32) -> String {
    let name = fs::read_to_string(format!("/proc/{process_id}/comm")).unwrap_or_default();
    // At most 15 bytes by proc_pid_comm(5), but whatever a process calls itself.
    let name: String = name.trim().chars().filter(|c| !c.is_control()).collect();
    if name.is_empty() { "another program".to_owned() } else { name }
}
