//! Ports that could have a board.

use std::fs;
use std::io;
use std::path::Path;

use serialport::SerialPortType;

use super::BoardPlaces;
use crate::transport::BoardAddress;

/// What a board calls itself as a USB device; see `board-hardware/PROTOCOL.md`.
const USB_PRODUCT: &str = "Footing board";

/// A USB serial port, and what the device behind it calls itself.
#[derive(Debug, Clone, PartialEq, Eq)]
struct UsbPort {
    name: String,
    product: Option<String>,
}

/// Where to ask, in order of name.
pub(super) fn addresses(places: &BoardPlaces) -> io::Result<Vec<BoardAddress>> {
    Ok(match places {
        BoardPlaces::System => worth_asking(usb_ports()?),
        BoardPlaces::Folder(folder) => in_folder(folder)?,
        BoardPlaces::At(address) => vec![address.clone()],
    })
}

/// Where a board may be after it was unplugged.
pub(super) fn addresses_after_a_loss(places: &BoardPlaces) -> io::Result<Vec<BoardAddress>> {
    let mut addresses = addresses(places)?;
    if let BoardPlaces::At(BoardAddress::Serial(_)) = places {
        addresses.extend(worth_asking(usb_ports()?));
        addresses.dedup();
    }
    Ok(addresses)
}

/// A device that says it is a board is one; without any, each USB port is asked who it is. Ports
/// that are not USB are never asked: what hangs there may take the question for an order.
fn worth_asking(ports: Vec<UsbPort>) -> Vec<BoardAddress> {
    let is_board = |port: &UsbPort| port.product.as_deref() == Some(USB_PRODUCT);
    let any_board = ports.iter().any(is_board);
    let mut names: Vec<String> = ports
        .into_iter()
        .filter(|port| !any_board || is_board(port))
        .map(|port| port.name)
        .collect();
    names.sort();
    names.dedup();
    names.into_iter().map(BoardAddress::Serial).collect()
}

fn usb_ports() -> io::Result<Vec<UsbPort>> {
    // The library takes this folder for granted.
    if cfg!(target_os = "linux") && !Path::new("/sys/class/tty").is_dir() {
        return Ok(Vec::new());
    }
    let ports = serialport::available_ports()?;
    Ok(ports
        .into_iter()
        .filter_map(|port| match port.port_type {
            SerialPortType::UsbPort(usb) => {
                Some(UsbPort { name: port.port_name, product: usb.product })
            }
            SerialPortType::PciPort | SerialPortType::BluetoothPort | SerialPortType::Unknown => {
                None
            }
        })
        .collect())
}

fn in_folder(folder: &Path) -> io::Result<Vec<BoardAddress>> {
    let mut paths =
        fs::read_dir(folder)?.map(|entry| Ok(entry?.path())).collect::<io::Result<Vec<_>>>()?;
    // A link whose device is gone is no port.
    paths.retain(|path| path.exists() && !path.is_dir());
    paths.sort();
    Ok(paths.iter().map(|path| BoardAddress::Serial(path.to_string_lossy().into_owned())).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(ports: &[(&str, Option<&str>)]) -> Vec<String> {
        let port = |&(name, product): &(&str, Option<&str>)| UsbPort {
            name: name.to_owned(),
            product: product.map(ToOwned::to_owned),
        };
        worth_asking(ports.iter().map(port).collect()).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_device_that_says_it_is_a_board_is_asked_alone_and_else_every_usb_port_is() {
        let board = Some("Footing board");
        assert_eq!(asked(&[("b", None), ("c", board), ("a", Some("Modem"))]), ["c"]);
        assert_eq!(asked(&[("b", None), ("a", Some("Modem")), ("a", None)]), ["a", "b"]);
        assert_eq!(asked(&[]), [] as [&str; 0]);
    }

    #[test]
    fn a_folder_gives_its_devices_and_not_links_to_what_is_gone() {
        let folder = tempfile::tempdir().unwrap();
        let link = |name: &str, to: &str| {
            std::os::unix::fs::symlink(to, folder.path().join(name)).unwrap();
        };
        link("two", "/dev/null");
        link("one", "/dev/zero");
        link("gone", "/dev/no-such-board");
        fs::create_dir(folder.path().join("folder")).unwrap();
        let found = addresses(&BoardPlaces::Folder(folder.path().to_owned())).unwrap();
        let wanted =
            ["one", "two"].map(|name| folder.path().join(name).to_string_lossy().into_owned());
        assert_eq!(found, wanted.map(BoardAddress::Serial));
    }
}
