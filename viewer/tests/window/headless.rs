//! Every screen is drawn without a display.

use viewer::strings::ENGLISH;
use viewer::window::headless::{Shot, shoot};
use viewer::window::{Screen, WindowStart};

use crate::made_up_course::{EASY, MadeUp};

#[test]
fn every_screen_becomes_a_picture_of_its_own() {
    let folder = tempfile::tempdir().unwrap();
    let mut made_up = MadeUp::new(folder.path());
    let person = made_up.person("P-07", None);
    for day in EASY {
        made_up.session(&person, day);
    }
    let mut pictures = Vec::new();
    for (name, screen) in Screen::NAMED {
        let start =
            WindowStart { records: Some(made_up.library.clone()), ..WindowStart::default() };
        let theme = egui::Theme::Light;
        let shot = Shot { screen, person: None, theme, size: [1024, 700], scale: 1.0 };
        let pixels = shoot(&ENGLISH, start, &shot).unwrap();
        assert_eq!((pixels.width, pixels.height), (1024, 700));
        // Ink, not only ground: words cover some hundredths of each screen.
        let n_dark = pixels.rgba.chunks_exact(4).filter(|pixel| pixel[0] < 100).count();
        assert!(700 < n_dark, "{name}: {n_dark} dark pixels");
        assert!(!pictures.contains(&pixels), "{name} looks like another screen");
        pictures.push(pixels);
    }
}
