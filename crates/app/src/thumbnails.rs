//! Small pictures of the sheets of the files opened last, in the platform's place for what can be made again.
//!
//! How a picture is made is the window's (`window/thumbnail.rs`); here it is only where it lies.

use crate::disk;
use egui::Theme;
use std::fs;
use std::path::{Path, PathBuf};

/// Where the pictures are kept.
#[derive(Clone, Debug, Default)]
pub struct Thumbnails {
    /// `None` for nowhere: in tests, or without a home folder.
    folder: Option<PathBuf>,
}

impl Thumbnails {
    /// Of this person, in the platform's place.
    pub fn of_this_person() -> Self {
        use etcetera::BaseStrategy;
        let Ok(folders) = etcetera::choose_base_strategy() else { return Self::default() };
        Self::kept_in(folders.cache_dir().join("lineside").join("thumbnails"))
    }

    /// Kept in a folder.
    pub const fn kept_in(folder: PathBuf) -> Self {
        Self { folder: Some(folder) }
    }

    /// Whether any are kept.
    pub const fn are_kept(&self) -> bool {
        self.folder.is_some()
    }

    fn place(&self, of: &Path, theme: Theme) -> Option<PathBuf> {
        let theme = if theme == Theme::Dark { "dark" } else { "light" };
        Some(self.folder.as_ref()?.join(format!("{:016x}-{theme}.png", number_of(of))))
    }

    /// Keeps the picture of a file. One that cannot be kept is made again the next time.
    pub fn keep(&self, of: &Path, theme: Theme, png: &[u8]) {
        let (Some(folder), Some(place)) = (&self.folder, self.place(of, theme)) else { return };
        let _ = fs::create_dir_all(folder);
        let _ = disk::write_whole(&place, png);
    }

    /// The picture of a file.
    pub fn read(&self, of: &Path, theme: Theme) -> Option<Vec<u8>> {
        fs::read(self.place(of, theme)?).ok()
    }

    /// Throws away the pictures of all files but these.
    pub fn keep_only(&self, files: &[PathBuf]) {
        let Some(entries) = self.folder.as_ref().and_then(|folder| fs::read_dir(folder).ok()) else { return };
        let wanted: Vec<PathBuf> = files
            .iter()
            .flat_map(|of| [Theme::Light, Theme::Dark].map(|theme| self.place(of, theme)))
            .flatten()
            .collect();
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.extension().is_some_and(|ending| ending == "png") && !wanted.contains(&path) {
                let _ = fs::remove_file(path);
            }
        }
    }
}

/// A number for a path: FNV-1a over its bytes, the same in every version of the program.
fn number_of(path: &Path) -> u64 {
    path.as_os_str()
        .as_encoded_bytes()
        .iter()
        .fold(0xcbf2_9ce4_8422_2325, |sum, byte| (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_of_a_path_is_the_published_sum() {
        // Test vectors of FNV-1a, 64 bits.
        assert_eq!(number_of(Path::new("")), 0xcbf2_9ce4_8422_2325);
        assert_eq!(number_of(Path::new("a")), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(number_of(Path::new("foobar")), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn pictures_are_kept_by_file_and_theme_and_go_with_it() {
        let folder = std::env::temp_dir().join(format!("lineside-thumbnails-{}", std::process::id()));
        let kept = Thumbnails::kept_in(folder.clone());
        let (one, two) = (Path::new("/p/one.lineside"), Path::new("/p/two.lineside"));
        kept.keep(one, Theme::Light, b"1");
        kept.keep(one, Theme::Dark, b"2");
        kept.keep(two, Theme::Light, b"3");
        assert_eq!(kept.read(one, Theme::Dark).as_deref(), Some(&b"2"[..]));
        kept.keep_only(&[two.to_owned()]);
        assert_eq!((kept.read(one, Theme::Light), kept.read(two, Theme::Light)), (None, Some(b"3".to_vec())));
        fs::remove_dir_all(folder).unwrap();
        assert!(!Thumbnails::default().are_kept());
    }
}
