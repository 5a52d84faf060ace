//! `footing calibrate`: one mass on marked spots into the board's next calibration.

use acquisition::calibrate::{
    CalibrationPlan, CalibrationRecord, CalibrationRefused, GuidedCalibration, Made,
    STATED_REACH_MM,
};
use acquisition::{BoardAddress, BoardSession, Calibration, WallTime, new_trial_id};
use serde_json::json;

use super::board_arguments::CalibrateArguments;
use super::data_folder::DataFolder;
use super::guided::read_course;
use super::output::{self, Talk};
use super::problem::Problem;
use super::stand_facts::within;
use crate::strings::decimals;

/// Masses a calibration takes, in kilograms: lighter ones drown in creep, heavier ones are no longer
/// put down to half a millimetre.
const MASS_KG: (f64, f64) = (10.0, 60.0);

pub(crate) fn run(
    arguments: &CalibrateArguments,
    data: &DataFolder,
    talk: Talk,
) -> Result<(), Problem> {
    within("mass in kilograms", Some(arguments.mass_kg), MASS_KG)?;
    let address: BoardAddress = match arguments.port.parse() {
        Ok(address) => address,
        Err(never) => match never {},
    };
    let session = BoardSession::connect(&address)?;
    let identity = session.identity();
    let folder = data.board(&identity)?;
    let plan = CalibrationPlan {
        mass_kg: arguments.mass_kg,
        jig: arguments.jig,
        n_hold_outs: usize::from(arguments.check_spots),
    };
    // The drawing, not the last calibration: what was wrong once must not be carried on.
    let drawn = Calibration::nominal(&identity.board_id, identity.gain);
    let guided = GuidedCalibration::new(drawn, plan);
    let readings = read_course(
        &session,
        guided.course(f64::from(identity.frames_per_s)),
        talk,
        &mut |readings| Ok(guided.look(readings.readings()).map_err(CalibrationRefused::from)?),
    )?;
    let made = Made {
        id: new_trial_id(),
        version: folder.next_calibration_version()?,
        at: WallTime::now(),
        temperature_c: Some(session.identity().temperature_c),
    };
    let record = guided.finish(readings.readings(), &made)?;
    let file = folder.store_calibration(&record)?;
    output::result(&if arguments.json {
        json!({
            "file": file,
            "board": identity.board_id,
            "version": record.calibration.version,
            "spots": record.spots.len(),
            "chi_square": record.chi_square,
            "degrees_of_freedom": record.degrees_of_freedom,
            "corner_load_spread": record.corner_load_spread,
            "largest_uncertainty_mm": record.largest_uncertainty_mm,
            "check_rms_mm": record.hold_out.map(|check| check.radial_rms_mm),
            "check_largest_mm": record.hold_out.map(|check| check.largest_mm),
        })
        .to_string()
    } else {
        words(&record, &file.display().to_string())
    });
    Ok(())
}

fn words(record: &CalibrationRecord, file: &str) -> String {
    let check = record.hold_out.map_or_else(String::new, |check| {
        format!(
            "On {} spots not used in the fit it is off by {} mm (rms), at most {} mm.\n",
            check.n_spots,
            decimals(check.radial_rms_mm, 2),
            decimals(check.largest_mm, 2),
        )
    });
    format!(
        "Calibration {} of this board is kept and used from now on: {file}\n\
         Within {} mm of the centre a place is known to ±{} mm on each axis (k = 2, 60 kg).\n\
         {check}\
         The four corners read the mass alike to {} %.\n",
        record.calibration.version,
        decimals(STATED_REACH_MM, 0),
        decimals(record.largest_uncertainty_mm, 2),
        decimals(100.0 * record.corner_load_spread, 2),
    )
}
