//! Temperature of the chip, which sits beside the converters.

use embedded_hal_0_2::adc::OneShot as _;
use rp2040_hal::adc::{Adc, TempSense};
use rp2040_hal::pac;

/// The chip's own sensor.
pub(crate) struct Thermometer {
    adc: Adc,
    sensor: TempSense,
}

impl Thermometer {
    pub(crate) fn new(adc: pac::ADC, resets: &mut pac::RESETS) -> Self {
        let mut adc = Adc::new(adc, resets);
        let sensor = adc.take_temp_sensor().expect("taken once");
        Self { adc, sensor }
    }

    /// Hundredths of a degree Celsius: 27 degrees at 0.706 V, 1.721 mV less for each degree more
    /// (RP2040 data sheet, section 4.9.5), with a supply of 3.3 V.
    pub(crate) fn centidegrees(&mut self) -> i16 {
        let reading: u16 = self.adc.read(&mut self.sensor).unwrap_or_default();
        let microvolts = i32::from(reading) * 3_300_000 / 4096;
        i16::try_from(2700 - (microvolts - 706_000) * 100 / 1721).unwrap_or(i16::MAX)
    }
}
