//! The station on an RP2040: four bridge converters on SPI, USB serial, watchdog.
//!
//! Pins are those of `board-hardware/WIRING.md`. Built and linked; not yet run on hardware.
#![no_std]
#![no_main]

mod identity;
mod ready_edge;
mod temperature;

use core::cell::RefCell;

use board_firmware::converters::FourBridges;
use board_firmware::{ResetCause, Station};
use board_wire::Ticks;
use cortex_m_rt::entry;
use embedded_hal::digital::OutputPin as _;
use embedded_hal_bus::spi::RefCellDevice;
use fugit::{ExtU32 as _, RateExtU32 as _};
use rp2040_hal::clocks::{Clock as _, init_clocks_and_plls};
use rp2040_hal::gpio::{FunctionSioInput, FunctionSpi, Interrupt, Pins, PullNone, PullUp};
use rp2040_hal::usb::UsbBus;
use rp2040_hal::{Sio, Spi, Timer, Watchdog, pac};
use usb_device::UsbError;
use usb_device::bus::UsbBusAllocator;
use usb_device::device::{StringDescriptors, UsbDeviceBuilder, UsbVidPid};
use usbd_serial::{SerialPort, USB_CLASS_CDC};

/// First program the boot ROM runs: sets up reading from the flash chip.
#[unsafe(link_section = ".boot2")]
#[used]
static BOOT2: [u8; 256] = rp2040_boot2::BOOT_LOADER_GENERIC_03H;

const CRYSTAL_HZ: u32 = 12_000_000;

/// The converters take up to 10 MHz; 2 MHz forgives long wires.
const SPI_KHZ: u32 = 2000;

/// The loop comes round every fraction of a millisecond; half a second means that it hangs.
const WATCHDOG_MS: u32 = 500;

/// Vendor and product of the test range of pid.codes, which anybody may use on a bench.
const USB_IDS: UsbVidPid = UsbVidPid(0x1209, 0x0001);

/// The product text by which the host knows the board (`board-hardware/PROTOCOL.md`).
const USB_PRODUCT: &str = "Footing board";

/// The temperature is told every 10 s; a second is fresh enough.
const TEMPERATURE_EVERY_US: u32 = 1_000_000;

#[entry]
fn main() -> ! {
    let mut chip = pac::Peripherals::take().expect("taken once");
    let reset = if chip.WATCHDOG.reason().read().timer().bit_is_set() {
        ResetCause::Watchdog
    } else {
        // Power-up and brown-out are one and the same to this chip.
        ResetCause::PowerOn
    };
    let mut watchdog = Watchdog::new(chip.WATCHDOG);
    let clocks = init_clocks_and_plls(
        CRYSTAL_HZ,
        chip.XOSC,
        chip.CLOCKS,
        chip.PLL_SYS,
        chip.PLL_USB,
        &mut chip.RESETS,
        &mut watchdog,
    )
    .ok()
    .expect("the crystal starts");
    let timer = Timer::new(chip.TIMER, &mut chip.RESETS, &clocks);
    let sio = Sio::new(chip.SIO);
    let pins = Pins::new(chip.IO_BANK0, chip.PADS_BANK0, sio.gpio_bank0, &mut chip.RESETS);

    let jumpers = (
        pins.gpio14.into_function::<FunctionSioInput>().into_pull_type::<PullUp>(),
        pins.gpio15.into_function::<FunctionSioInput>().into_pull_type::<PullUp>(),
    );
    let identity = identity::identity(jumpers);

    let spi_pins = (
        pins.gpio3.into_function::<FunctionSpi>(),
        pins.gpio4.into_function::<FunctionSpi>(),
        pins.gpio2.into_function::<FunctionSpi>(),
    );
    let bus = RefCell::new(Spi::<_, _, _, 8>::new(chip.SPI0, spi_pins).init(
        &mut chip.RESETS,
        clocks.peripheral_clock.freq(),
        SPI_KHZ.kHz(),
        embedded_hal::spi::MODE_1,
    ));
    let converters = [
        pins.gpio5.into_push_pull_output().into_dyn_pin(),
        pins.gpio6.into_push_pull_output().into_dyn_pin(),
        pins.gpio7.into_push_pull_output().into_dyn_pin(),
        pins.gpio8.into_push_pull_output().into_dyn_pin(),
    ]
    .map(|select| RefCellDevice::new(&bus, select, timer).expect("an output can be set high"));
    let start = pins.gpio9.into_push_pull_output();

    let ready = pins.gpio10.into_function::<FunctionSioInput>().into_pull_type::<PullNone>();
    ready.set_interrupt_enabled(Interrupt::EdgeLow, true);
    ready_edge::begin(ready.into_dyn_pin());

    let mut lamp = pins.gpio25.into_push_pull_output();
    let mut thermometer = temperature::Thermometer::new(chip.ADC, &mut chip.RESETS);

    let usb = UsbBusAllocator::new(UsbBus::new(
        chip.USBCTRL_REGS,
        chip.USBCTRL_DPRAM,
        clocks.usb_clock,
        true,
        &mut chip.RESETS,
    ));
    let mut serial = SerialPort::new(&usb);
    let digits = identity::digits(identity.unique_id);
    let number = core::str::from_utf8(&digits).expect("digits are ASCII");
    let strings = StringDescriptors::default().product(USB_PRODUCT).serial_number(number);
    let mut device = UsbDeviceBuilder::new(&usb, USB_IDS)
        .strings(&[strings])
        .expect("one language")
        .device_class(USB_CLASS_CDC)
        .build();

    let mut station = Station::new(FourBridges::new(converters, start, timer), identity, reset);
    watchdog.start(WATCHDOG_MS.millis());
    let mut temperature_us = timer.get_counter_low();
    station.set_temperature_centidegrees(thermometer.centidegrees());
    loop {
        if let Some(edge) = ready_edge::take() {
            station.data_ready(edge);
        }
        let now_us = timer.get_counter_low();
        let now = Ticks::from_us(now_us);
        station.poll(now);
        if TEMPERATURE_EVERY_US <= now_us.wrapping_sub(temperature_us) {
            temperature_us = now_us;
            station.set_temperature_centidegrees(thermometer.centidegrees());
        }

        if device.poll(&mut [&mut serial]) {
            let mut bytes = [0; 64];
            if let Ok(n_bytes) = serial.read(&mut bytes) {
                station.receive(bytes.get(..n_bytes).unwrap_or_default(), now);
            }
        }
        match serial.write(station.to_send()) {
            Ok(n_bytes) => station.sent(n_bytes),
            // Nobody reads: what finds no room in the ring is lost, and the numbers say so.
            Err(UsbError::WouldBlock) => (),
            Err(_) => station.sent(usize::MAX),
        }

        let lit = if station.is_converting() { lamp.set_high() } else { lamp.set_low() };
        lit.expect("an output can be set");
        if station.is_well() {
            watchdog.feed();
        }
    }
}

/// A panic is a mistake in the program: the board stops, and the watchdog restarts it.
#[panic_handler]
fn stop(_: &core::panic::PanicInfo<'_>) -> ! {
    loop {
        cortex_m::asm::nop();
    }
}
