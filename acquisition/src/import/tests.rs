use std::fs;
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};

use analysis::Cop;
use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use proptest::prelude::*;

use super::*;
use crate::stored_trial::{Origin, StoredTrial, TrialFacts};
use crate::trial_file::{self, tests::imported_trial};

fn facts() -> TrialFacts {
    imported_trial(2).facts
}

/// Columns of the open recordings. In them x is antero-posterior and y medio-lateral.
const OPEN_COP: &str = "[time]\ncolumn = \"Time:s\"\n[cop]\nml = \"COPy:cm\"\nap = \"COPx:cm\"\n";
const OPEN_MOMENTS: &str = "[time]\ncolumn = \"Time:s\"\n[moments]\nfz = \"Fz:N\"\nml = \"Mx:Nm\"\n\
     ap = \"-My:Nm\"\n";

/// Santos and Duarte 2016, `PeerJ` 4:e2648, data doi 10.6084/m9.figshare.3394432, CC BY 4.0.
fn open_recordings() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/open-data");
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut paths: Vec<_> =
        entries.filter(|path| path.to_string_lossy().ends_with(".txt.gz")).collect();
    paths.sort();
    paths
}

fn unpacked(path: &Path) -> String {
    let mut text = String::new();
    GzDecoder::new(fs::File::open(path).unwrap()).read_to_string(&mut text).unwrap();
    text
}

#[test]
fn the_open_recordings_are_read_to_the_last_digit() {
    let paths = open_recordings();
    assert_eq!(paths.len(), 36);
    let map = ColumnMap::from_toml(OPEN_COP).unwrap();
    for path in paths {
        let trial = read_delimited(&path, &map, facts()).unwrap();
        let text = unpacked(&path);
        let rows = text.lines().skip(1).map(|line| -> Vec<f64> {
            line.split('\t').map(|cell| cell.trim().parse().unwrap()).collect()
        });
        let wanted: Vec<_> =
            rows.map(|row| Some(Cop { ml_mm: row[8] * 10.0, ap_mm: row[7] * 10.0 })).collect();
        assert_eq!(wanted.len(), 6000, "{}", path.display());
        assert_eq!(trial.samples.cop, wanted, "{}", path.display());
        // 60 s at 100 Hz, from 0.01 s on.
        let times: Vec<u64> = (0..6000).map(|index| index * 10_000).collect();
        assert_eq!(trial.samples.time_us, times, "{}", path.display());
    }
}

#[test]
fn the_sum_of_forces_gives_the_published_centre_of_pressure() {
    let cop = ColumnMap::from_toml(OPEN_COP).unwrap();
    let moments = ColumnMap::from_toml(OPEN_MOMENTS).unwrap();
    for path in open_recordings().iter().step_by(9) {
        let published = read_delimited(path, &cop, facts()).unwrap().samples.cop;
        let computed = read_delimited(path, &moments, facts()).unwrap().samples.cop;
        for (published, computed) in published.iter().zip(&computed) {
            let (published, computed) = (published.unwrap(), computed.unwrap());
            // The file rounds moments to 1e-6 N m, which is 2e-6 mm at 500 N, and both coordinates
            // to 1e-6 cm.
            assert!((published.ml_mm - computed.ml_mm).abs() < 2e-5, "{published:?} {computed:?}");
            assert!((published.ap_mm - computed.ap_mm).abs() < 2e-5, "{published:?} {computed:?}");
        }
    }
}

#[test]
fn four_corners_give_the_centre_of_pressure() {
    // Teaching data of Duarte and Watanabe, CC BY 4.0: four sensors, 20 s at 100 Hz. Its mean
    // force and its mean and SD of the centre of pressure were computed with numpy.
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/open-data/four-corner-stand.csv");
    let header = fs::read_to_string(&path).unwrap().lines().next().unwrap().to_owned();
    let names: Vec<&str> = header.split(',').collect();
    let corner = |n: usize, ml: i32, ap: i32| {
        let name = names[names.len() - 5 + n];
        format!("[[corner]]\nforce = '{name}:N'\nml_mm = {ml}\nap_mm = {ap}\n")
    };
    let corners: String = [(1, 120, 200), (2, -120, 200), (3, -120, -200), (4, 120, -200)]
        .map(|(n, ml, ap)| corner(n, ml, ap))
        .concat();
    let map = ColumnMap::from_toml(&format!("[time]\nrate_hz = 100\n{corners}")).unwrap();
    let trial = read_delimited(&path, &map, facts()).unwrap();
    let n = trial.samples.n_samples() as f64;
    let forces = trial.samples.forces_newtons.as_ref().unwrap();
    let mean_newtons = forces.iter().flatten().sum::<f64>() / n;
    let cop: Vec<Cop> = trial.samples.cop.iter().map(|cop| cop.unwrap()).collect();
    let mean = |of: fn(&Cop) -> f64| cop.iter().map(of).sum::<f64>() / n;
    let sd = |of: fn(&Cop) -> f64| {
        (cop.iter().map(|cop| (of(cop) - mean(of)).powi(2)).sum::<f64>() / n).sqrt()
    };
    let found =
        [mean_newtons, mean(|c| c.ml_mm), mean(|c| c.ap_mm), sd(|c| c.ml_mm), sd(|c| c.ap_mm)];
    let published = [437.18, 11.4828, -18.3134, 3.3893, 1.9684];
    let places = [0.005, 5e-5, 5e-5, 5e-5, 5e-5];
    for ((found, published), half_digit) in found.iter().zip(published).zip(places) {
        assert!((found - published).abs() <= half_digit * 1.001, "{found} {published}");
    }
}

#[test]
fn an_import_can_be_sealed_and_measured() {
    let map = ColumnMap::from_toml(OPEN_COP).unwrap();
    let path = &open_recordings()[0];
    let trial = read_delimited(path, &map, facts()).unwrap();
    let Origin::Imported(origin) = &trial.origin else { panic!("{:?}", trial.origin) };
    assert_eq!(origin.file_name, "BDS00001.txt.gz");
    // Computed with sha256sum.
    assert_eq!(origin.sha256, "b181dafc738ce6a90daa37251fd7fa7d627d4303ee6f5357641f5abe72aca1e2");
    assert_eq!(ColumnMap::from_toml(&origin.column_map), Ok(map));
    let folder = tempfile::tempdir().unwrap();
    let sealed = trial_file::seal(&trial, folder.path()).unwrap();
    assert_eq!(trial_file::open(&sealed).unwrap(), trial);
    let (measured, continuity) = trial.trial().unwrap();
    assert_eq!(measured.trace.points().len(), 6000);
    assert_eq!((continuity.n_lost, measured.trace.rate().hz().to_bits()), (0, 100_f64.to_bits()));
}

fn read(text: impl AsRef<[u8]>, map: &str) -> Result<StoredTrial, ImportError> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("stand.txt");
    fs::write(&path, text).unwrap();
    read_delimited(&path, &ColumnMap::from_toml(map).unwrap(), facts())
}

const PLAIN: &str = "[time]\ncolumn = \"t:s\"\n[cop]\nml = \"x:mm\"\nap = \"-y:m\"\n";

/// Two samples, at 0 and 2.5 ms, at (1.5, -2000) and (-3, 500) mm.
fn check_two(text: impl AsRef<[u8]>, map: &str) {
    let samples = read(text, map).unwrap().samples;
    assert_eq!(samples.time_us, [0, 2500]);
    assert_eq!(samples.sequence, [0, 1]);
    assert_eq!(samples.cop, [Some(Cop::new(1.5, -2000.0)), Some(Cop::new(-3.0, 500.0))]);
}

#[test]
fn the_many_forms_of_one_table() {
    check_two("t,x,y\n1,1.5,2\n1.0025,-3,-0.5\n", PLAIN);
    check_two("t\tx\ty\r\n1\t1.5\t2\r\n1.0025\t-3\t-0.5", PLAIN);
    check_two("\u{feff}t;x;y\n\n1;1.5;2;\n1.0025;-3;-0.5;\n\n", PLAIN);
    check_two("  t   x  y\n 1   1.5  2\n 1.0025  -3\t-0.5\n", PLAIN);
    check_two("y [m],\"t [s]\",x (mm)\n2,1,1.5\n\"-0.5\",1.0025,-3\n", PLAIN);
    let comma = format!("decimal = \",\"\n{PLAIN}");
    check_two("t;x;y\n1;1,5;2\n1,0025;-3;-0,5\n", &comma);
    let preamble = format!("header_line = 3\nfirst_data_line = 5\ncomment = \"//\"\n{PLAIN}");
    check_two("Plate A\n// note\nt,x,y\ns,mm,m\n1,1.5,2\n// late\n1.0025,-3,-0.5\n", &preamble);
    let numbered = "header_line = 0\ndelimiter = \"|\"\n[time]\ncolumn = \"#1:ms\"\n[cop]\n\
                    ml = \"#2:cm\"\nap = \"-#3:m\"\n";
    check_two("-2.5|0.15|2\n0|-0.3|-0.5\n", numbered);
    let rate = "[time]\nrate_hz = 400\n[cop]\nml = \"x:mm\"\nap = \"-y:m\"\n";
    check_two("x,y\n1.5,2\n-3,-0.5\n", rate);
    let moments = "[time]\ncolumn = \"t:s\"\n[moments]\nfz = \"-F:kN\"\nml = \"M:N m\"\n\
                   ap = \"L:N mm\"\n";
    check_two("t,F,M,L\n0,-0.5,0.75,-1000000\n0.0025,-0.5,-1.5,250000\n", moments);
}

#[test]
fn packed_text_is_unpacked() {
    let pack = |text: &str| {
        let mut packer = GzEncoder::new(Vec::new(), Compression::default());
        packer.write_all(text.as_bytes()).unwrap();
        packer.finish().unwrap()
    };
    let whole = pack("t,x,y\n1,1.5,2\n1.0025,-3,-0.5\n");
    check_two(&whole, PLAIN);
    check_two([pack("t,x,y\n1,1.5,2\n"), pack("1.0025,-3,-0.5\n")].concat(), PLAIN);
    let cut = read(&whole[..whole.len() - 9], PLAIN).unwrap_err();
    assert!(matches!(cut, ImportError::Unreadable(_)), "{cut}");
}

#[test]
fn a_small_packed_file_cannot_unpack_without_end() {
    let mut packer = GzEncoder::new(Vec::new(), Compression::best());
    packer.write_all(b"t,x,y\n").unwrap();
    let blank = [[b' '; 1023].as_slice(), b"\n"].concat().repeat(1024);
    for _ in 0..=256 {
        packer.write_all(&blank).unwrap();
    }
    let packed = packer.finish().unwrap();
    assert!(packed.len() < 1_000_000);
    let error = read(packed, PLAIN).unwrap_err();
    assert_eq!(error.to_string(), "it is larger, unpacked, than the limit of 268435456 bytes");
}

#[test]
fn too_little_load_has_no_centre() {
    let moments =
        "[time]\nrate_hz = 100\n[moments]\nfz = \"F:N\"\nml = \"M:N m\"\nap = \"L:N m\"\n";
    let samples = read("F,M,L\n49.9,1,1\n0,0,0\n50,1,1\n-600,1,1\n", moments).unwrap().samples;
    assert_eq!(samples.cop, [None, None, Some(Cop::new(20.0, 20.0)), None]);
}

fn check_error(text: impl AsRef<[u8]>, map: &str, wanted: &str) {
    assert_eq!(read(text, map).unwrap_err().to_string(), wanted);
}

#[test]
fn every_fault_is_told_with_its_place() {
    check_error("", PLAIN, "it is empty");
    check_error("t,x,y\n", PLAIN, "it holds 0 samples, at least 2 are needed");
    check_error("t,x,y\n0,1,1\n", PLAIN, "it holds 1 samples, at least 2 are needed");
    check_error(
        "a\nb\n",
        &format!("header_line = 5\n{PLAIN}"),
        "its 2 lines end before line 5, which should name the columns",
    );
    check_error("t,x,z\n0,1,1\n", PLAIN, "there is no column \"y\"; there are: t, x, z");
    check_error("t,x,z\n", PLAIN, "there is no column \"y\"; there are: t, x, z");
    check_error(
        "t,x,y,x\n0,1,1,1\n",
        PLAIN,
        "2 columns are named \"x\"; give the one meant by its number, as in #3",
    );
    check_error(
        "t,x [cm],y\n0,1,1\n",
        PLAIN,
        "the column \"x\" is said to be in mm, but its own name says cm",
    );
    check_error("t,x,y\n0,1,1\n1,2\n", PLAIN, "line 3 has no cell for column \"y\"");
    check_error("t,x,y\n0,1,1\n1,one,1\n", PLAIN, "line 3, column \"x\": \"one\" is not a number");
    check_error("t,x,y\n0,,1\n", PLAIN, "line 2, column \"x\": \"\" is not a number");
    for cell in ["nan", "-inf", "1e999"] {
        check_error(
            format!("t,x,y\n0,1,{cell}\n"),
            PLAIN,
            &format!("line 2, column \"y\": {cell:?} is not a finite number"),
        );
    }
    check_error(
        "t,x,y\n5,1,1\n\n4.5,1,1\n",
        PLAIN,
        "line 4: the time 4.5 s is before that of the sample above it",
    );
    check_error(
        "t,x,y\n5,1,1\n6,1,1\n5.5,1,1\n",
        PLAIN,
        "line 4: the time 5.5 s is before that of the sample above it",
    );
    check_error(
        "t,x,y\n5,1,1\n5.0000001,1,1\n",
        PLAIN,
        "line 3: the time 5.0000001 s is that of the sample above it",
    );
    check_error("t,x,y\n1e10,1,1\n", PLAIN, "line 2: a time of 10000000000 s is out of range");
    check_error(b"t,x,y\n0,\xff,1\n", PLAIN, "line 2 is not text in UTF-8");
    check_error(b"\xff\xfet\0,\0", PLAIN, "line 1 is not text in UTF-8");
    check_error("x".repeat(65_537), PLAIN, "line 1 is longer than the limit of 65536 bytes");
}

#[test]
fn what_is_no_file_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let map = ColumnMap::from_toml(PLAIN).unwrap();
    let error = |path: &Path| read_delimited(path, &map, facts()).unwrap_err().to_string();
    assert_eq!(error(&folder.path().join("none.txt")), "there is no such file");
    assert_eq!(error(folder.path()), "it is not a file");
}

proptest! {
    #[test]
    fn no_text_panics(text in "(t,x,y\n)?([-0-9.,;\t \"e\n]|\\PC){0,300}", blanks in any::<bool>()) {
        let map = if blanks { format!("delimiter = \"blanks\"\n{PLAIN}") } else { PLAIN.to_owned() };
        if let Ok(trial) = read(text, &map) {
            prop_assert!(trial.samples.cop.iter().flatten().all(|c| c.ml_mm.is_finite()));
        }
    }

    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..300), packed in any::<bool>()) {
        let bytes = if packed { [&[0x1f, 0x8b, 8, 0][..], &bytes].concat() } else { bytes };
        prop_assert!(read(bytes, PLAIN).is_err());
    }

    #[test]
    fn numbers_written_by_us_are_read_exactly(
        points in prop::collection::vec((-1e6..1e6_f64, -1e6..1e6_f64), 2..50),
    ) {
        use std::fmt::Write as _;
        let mut text = "x,y\n".to_owned();
        for (ml_mm, ap_mm) in &points {
            writeln!(text, "{ml_mm},{ap_mm:e}").unwrap();
        }
        let map = "[time]\nrate_hz = 1000\n[cop]\nml = \"x:mm\"\nap = \"y:mm\"\n";
        let samples = read(text, map).unwrap().samples;
        let wanted: Vec<_> = points.iter().map(|&(ml, ap)| Some(Cop::new(ml, ap))).collect();
        prop_assert_eq!(samples.cop, wanted);
    }
}
