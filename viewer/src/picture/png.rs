//! SVG drawn into PNG with the program's own font, so that every machine gives the same picture.

use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use resvg::tiny_skia::{IntSize, Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};
use tempfile::NamedTempFile;
use thiserror::Error;

use crate::window::headless::Pixels;

/// The family named in every SVG of this module; its bytes come with egui.
pub(super) const FONT_FAMILY: &str = "Ubuntu";

/// Why a picture could not be made or written.
#[derive(Debug, Error)]
pub enum PictureError {
    /// The file's ending says neither SVG nor PNG.
    #[error("{path:?} ends in neither .svg nor .png")]
    UnknownEnding {
        /// The path that was asked for.
        path: PathBuf,
    },
    /// The drawing could not be read back; a fault of this program.
    #[error("the drawing could not be turned into pixels")]
    Draw(#[source] Box<resvg::usvg::Error>),
    /// The picture is too large to draw.
    #[error("a picture of {width} x {height} pixels cannot be drawn")]
    Size {
        /// Width in pixels.
        width: u32,
        /// Height in pixels.
        height: u32,
    },
    /// The pixels could not be packed as PNG.
    #[error("the picture could not be packed as PNG: {reason}")]
    Encode {
        /// What the encoder said.
        reason: String,
    },
    /// There is a file of this name, which nobody said to replace.
    #[error("there is a file {path:?} already")]
    AlreadyThere {
        /// The path that was asked for.
        path: PathBuf,
    },
    /// The file could not be written.
    #[error("{path:?} could not be written")]
    Write {
        /// The path that was asked for.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

/// Draws an SVG into PNG bytes; `pixels_per_unit` scales it (2 for sharp print).
///
/// # Errors
/// [`PictureError`] if the SVG is not one, or the size cannot be drawn.
pub fn png_from_svg(svg: &str, pixels_per_unit: f32) -> Result<Vec<u8>, PictureError> {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(epaint_default_fonts::UBUNTU_LIGHT.to_vec());
    fonts.set_sans_serif_family(FONT_FAMILY);
    let options = Options {
        fontdb: Arc::new(fonts),
        font_family: FONT_FAMILY.to_owned(),
        ..Options::default()
    };
    let tree =
        Tree::from_str(svg, &options).map_err(|source| PictureError::Draw(Box::new(source)))?;
    let size = tree
        .size()
        .to_int_size()
        .scale_by(pixels_per_unit)
        .ok_or(PictureError::Size { width: 0, height: 0 })?;
    let (width, height) = (size.width(), size.height());
    let mut pixels = Pixmap::new(width, height).ok_or(PictureError::Size { width, height })?;
    let scale = Transform::from_scale(pixels_per_unit, pixels_per_unit);
    resvg::render(&tree, scale, &mut pixels.as_mut());
    pixels.encode_png().map_err(|source| PictureError::Encode { reason: source.to_string() })
}

/// What becomes of a file that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IfThere {
    /// It stays as it is.
    Keep,
    /// The picture takes its place.
    Replace,
}

/// Writes a drawing to `path` as SVG or PNG, as its ending says.
///
/// # Errors
/// [`PictureError`] for another ending, if the picture cannot be made or written, or if there is a
/// file that is to be kept.
pub fn write_picture(svg: &str, path: &Path, if_there: IfThere) -> Result<(), PictureError> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
    let bytes = match ending.as_deref() {
        Some("svg") => svg.as_bytes().to_vec(),
        Some("png") => png_from_svg(svg, 2.0)?,
        _ => return Err(PictureError::UnknownEnding { path: path.to_owned() }),
    };
    let written = match if_there {
        IfThere::Replace => replace(path, &bytes),
        IfThere::Keep => write_new(path, &bytes),
    };
    written.map_err(|source| match source.kind() {
        io::ErrorKind::AlreadyExists => PictureError::AlreadyThere { path: path.to_owned() },
        _ => PictureError::Write { path: path.to_owned(), source },
    })
}

/// Puts a whole file in the place of one that is there; on a full disk that one stays.
fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let Ok(before) = fs::metadata(path) else { return write_new(path, bytes) };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let mut file = NamedTempFile::new_in(folder.unwrap_or(Path::new(".")))?;
    file.write_all(bytes)?;
    file.as_file().set_permissions(before.permissions())?;
    file.persist(path).map_err(|failed| failed.error)?;
    Ok(())
}

/// Writes a file that is not there yet; one that cannot be written whole is taken away again.
fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = fs::File::create_new(path)?;
    let written = file.write_all(bytes);
    if written.is_err() {
        fs::remove_file(path)?;
    }
    written
}

/// Writes a picture to a file that ends in .png.
///
/// # Errors
/// [`PictureError`] for another ending, or if the picture cannot be packed or written.
pub fn write_pixels(pixels: &Pixels, path: &Path) -> Result<(), PictureError> {
    if !path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
        return Err(PictureError::UnknownEnding { path: path.to_owned() });
    }
    let side = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let (width, height) = (side(pixels.width), side(pixels.height));
    let no_size = || PictureError::Size { width, height };
    let size = IntSize::from_wh(width, height).ok_or_else(no_size)?;
    let map = Pixmap::from_vec(pixels.rgba.clone(), size).ok_or_else(no_size)?;
    let bytes =
        map.encode_png().map_err(|source| PictureError::Encode { reason: source.to_string() })?;
    fs::write(path, bytes).map_err(|source| PictureError::Write { path: path.to_owned(), source })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_drawn_without_any_system_font() {
        let svg = |word: &str| {
            format!(
                "<svg xmlns='http://www.w3.org/2000/svg' width='80' height='30'>\
                 <text x='5' y='20' font-family='{FONT_FAMILY}'>{word}</text></svg>"
            )
        };
        let blank = png_from_svg(&svg(""), 1.0).unwrap();
        assert_ne!(png_from_svg(&svg("wobble"), 1.0).unwrap(), blank);
    }

    #[test]
    fn another_ending_is_refused_and_nothing_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sway.gif");
        assert!(write_picture("<svg/>", &path, IfThere::Keep).is_err());
        assert!(!path.exists());
    }

    #[test]
    fn a_file_is_only_replaced_if_that_was_said() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sway.svg");
        write_picture("<svg/>", &path, IfThere::Keep).unwrap();
        let again = write_picture("<svg></svg>", &path, IfThere::Keep);
        assert!(matches!(again, Err(PictureError::AlreadyThere { .. })));
        assert_eq!(fs::read_to_string(&path).unwrap(), "<svg/>");
        write_picture("<svg></svg>", &path, IfThere::Replace).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "<svg></svg>");
    }
}
