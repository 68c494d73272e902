//! Pictures that are held: a window must look as it did, or the picture is made anew with `UPDATE_EXPECT=1`.

use super::Window;
use image::RgbaImage;
use std::path::{Path, PathBuf};

/// A difference of one channel that nobody sees.
const SEEN: u8 = 6;
/// Dots that may differ: none that anybody would notice.
const MOST: usize = 12;

/// The folder of the guide's pictures.
pub fn of_guide(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/guide/pictures").join(format!("{name}.png"))
}

/// The folder of the pictures that only tests look at.
pub fn of_tests(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots").join(format!("{name}.png"))
}

/// Holds a window against a picture. With `UPDATE_EXPECT=1` the picture is made anew, where it differs.
pub fn held(window: &mut Window, path: &Path) {
    window.remove_cursor();
    window.run();
    let now = window.render().expect("it can be painted");
    let before = image::open(path).map(image::DynamicImage::into_rgba8);
    let differing = match &before {
        Ok(before) if before.dimensions() == now.dimensions() => difference(before, &now),
        _ => usize::MAX,
    };
    if differing <= MOST {
        return;
    }
    let update = std::env::var_os("UPDATE_EXPECT").is_some_and(|value| value == "1");
    let place = if update { path.to_owned() } else { path.with_extension("new.png") };
    if let Some(folder) = place.parent() {
        std::fs::create_dir_all(folder).expect("a folder can be made");
    }
    now.save(&place).expect("it can be written");
    assert!(
        update,
        "{} no longer looks like the window; what it looks like now is in {}. If that is as it should be, run the test \
         with UPDATE_EXPECT=1.",
        path.display(),
        place.display()
    );
}

fn difference(a: &RgbaImage, b: &RgbaImage) -> usize {
    let far =
        |(a, b): (&image::Rgba<u8>, &image::Rgba<u8>)| a.0.iter().zip(b.0).any(|(a, b)| a.abs_diff(b) > SEEN);
    a.pixels().zip(b.pixels()).filter(|pair| far(*pair)).count()
}
