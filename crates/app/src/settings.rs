//! What one person sets for all projects: theme, scale, units, motion, the files opened last.
//!
//! Kept as RON in the platform's place for settings. A file that cannot be read is told of and set aside, never lost; what
//! of it is missing has its default.

use crate::disk;
use lineside_core::units::UnitSystem;
use serde::{Deserialize, Serialize};
use std::io;
use std::path::{Path, PathBuf};

/// How many files are remembered.
pub const RECENT: usize = 8;
/// The language that every word of the program is in.
pub const ENGLISH: &str = "en";

/// Which theme the window wears.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Theme {
    /// As the system has it.
    #[default]
    System,
    /// Warm paper and ink.
    Light,
    /// Slate and chalk.
    Dark,
}

/// Whether things may move by themselves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Motion {
    /// Where it helps.
    #[default]
    Shown,
    /// Never.
    Still,
}

/// Whether the tour was offered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Tour {
    /// Not yet.
    #[default]
    Due,
    /// It was gone through, or left.
    Done,
}

/// What one person sets.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Theme.
    pub theme: Theme,
    /// Scale of the whole window, percent.
    pub scale_percent: u16,
    /// Units of new projects.
    pub units: UnitSystem,
    /// Motion.
    pub motion: Motion,
    /// Language, by its tag. There is one so far; another that stands in the file is kept.
    pub language: String,
    /// The tour.
    pub tour: Tour,
    /// Files opened last, newest first.
    pub recent: Vec<PathBuf>,
    /// What is to be told about reading them.
    #[serde(skip)]
    pub told: Option<String>,
    /// Where they are kept; `None` when they are not (in tests, or without a home folder).
    #[serde(skip)]
    place: Option<PathBuf>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            theme: Theme::System,
            scale_percent: 100,
            units: UnitSystem::Us,
            motion: Motion::Shown,
            language: ENGLISH.to_owned(),
            tour: Tour::Due,
            recent: Vec::new(),
            told: None,
            place: None,
        }
    }
}

impl Settings {
    /// Scales that the window offers, percent.
    pub const SCALES: [u16; 8] = [100, 110, 125, 150, 175, 200, 250, 300];

    /// The settings of this person, or the defaults.
    pub fn of_this_person() -> Self {
        use etcetera::BaseStrategy;
        let Ok(folders) = etcetera::choose_base_strategy() else { return Self::default() };
        Self::kept_at(folders.config_dir().join("lineside").join("settings.ron"))
    }

    /// The settings kept in a file, or the defaults. A file that cannot be understood is set aside under another name.
    pub fn kept_at(path: PathBuf) -> Self {
        let mut settings = match std::fs::read_to_string(&path) {
            Ok(text) => ron::from_str::<Self>(&text).unwrap_or_else(|fault| {
                let told = set_aside(&path, &format!("line {}: {}", fault.span.start.line, fault.code));
                Self { told: Some(told), ..Self::default() }
            }),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Self::default(),
            Err(error) => {
                let told = set_aside(&path, &error.to_string());
                Self { told: Some(told), ..Self::default() }
            }
        };
        let [least, .., most] = Self::SCALES;
        settings.scale_percent = settings.scale_percent.clamp(least, most);
        settings.recent.truncate(RECENT);
        settings.place = Some(path);
        settings
    }

    /// Where they are kept.
    pub fn place(&self) -> Option<&Path> {
        self.place.as_deref()
    }

    /// Whether this person has never opened a window before, nor a file.
    pub fn is_first_start(&self) -> bool {
        self.tour == Tour::Due && self.recent.is_empty() && self.told.is_none()
    }

    /// Puts a file at the head of the files opened last.
    pub fn remember(&mut self, path: &Path) {
        self.recent.retain(|other| other != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(RECENT);
    }

    /// Takes a file from the files opened last.
    pub fn forget(&mut self, path: &Path) {
        self.recent.retain(|other| other != path);
    }

    /// The next larger scale, or the next smaller one.
    pub fn scale_by(&mut self, steps: i32) {
        let now = Self::SCALES.iter().position(|scale| *scale >= self.scale_percent).unwrap_or(0);
        let next = i32::try_from(now).unwrap_or(0).saturating_add(steps).max(0);
        let next = usize::try_from(next).unwrap_or(0).min(Self::SCALES.len() - 1);
        self.scale_percent = Self::SCALES.get(next).copied().unwrap_or(100);
    }

    /// Writes them where they are kept. Whoever loses a theme over a full disk has other worries, so a
    /// failure is not reported.
    pub fn keep(&self) {
        let Some(path) = &self.place else { return };
        let Ok(text) = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default()) else { return };
        if let Some(folder) = path.parent() {
            let _ = std::fs::create_dir_all(folder);
        }
        let _ = disk::write_whole(path, text.as_bytes());
    }
}

/// Moves a file that cannot be understood out of the way, and says so. An earlier one that was set aside stays too.
fn set_aside(path: &Path, why: &str) -> String {
    let names = std::iter::once("damaged.ron".to_owned()).chain((2..100).map(|n| format!("damaged-{n}.ron")));
    for name in names {
        let aside = path.with_extension(name);
        if aside.exists() {
            continue;
        }
        if std::fs::rename(path, &aside).is_ok() {
            let aside = aside.display();
            return format!(
                "Your settings could not be read ({why}). They were kept as {aside}; the ordinary ones are in force."
            );
        }
        break;
    }
    format!("Your settings in {} could not be read ({why}). The ordinary ones are in force.", path.display())
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Folder(PathBuf);

    impl Folder {
        fn new(name: &str) -> Self {
            let path = std::env::temp_dir().join(format!("lineside-settings-{}-{name}", std::process::id()));
            std::fs::create_dir_all(&path).unwrap();
            Self(path)
        }
        fn file(&self, name: &str) -> PathBuf {
            self.0.join(name)
        }
    }

    impl Drop for Folder {
        fn drop(&mut self) {
            let _ = std::fs::remove_dir_all(&self.0);
        }
    }

    #[test]
    fn recent_files_are_few_and_the_newest_is_first() {
        let mut settings = Settings::default();
        for n in 0..20 {
            settings.remember(Path::new(&format!("/p/{n}.lineside")));
        }
        settings.remember(Path::new("/p/15.lineside"));
        assert_eq!(settings.recent.len(), RECENT);
        assert_eq!(settings.recent[0], Path::new("/p/15.lineside"));
        assert_eq!(settings.recent.iter().filter(|p| p.ends_with("15.lineside")).count(), 1);
        settings.forget(Path::new("/p/15.lineside"));
        assert_eq!(settings.recent.len(), RECENT - 1);
    }

    #[test]
    fn scale_stays_among_those_offered() {
        let mut settings = Settings::default();
        settings.scale_by(1);
        assert_eq!(settings.scale_percent, 110);
        settings.scale_by(-9);
        assert_eq!(settings.scale_percent, 100);
        settings.scale_by(99);
        assert_eq!(settings.scale_percent, 300);
    }

    #[test]
    fn a_damaged_file_is_told_of_and_kept() {
        let folder = Folder::new("damaged");
        let path = folder.file("settings.ron");
        for (n, aside) in ["settings.damaged.ron", "settings.damaged-2.ron"].into_iter().enumerate() {
            let text = format!("(theme: purple, scale_percent: {n})");
            std::fs::write(&path, &text).unwrap();
            let settings = Settings::kept_at(path.clone());
            assert_eq!(settings.theme, Theme::System);
            let told = settings.told.clone().unwrap();
            assert!(told.contains("line 1") && told.contains(aside), "{told}");
            assert_eq!(std::fs::read_to_string(folder.file(aside)).unwrap(), text);
            assert!(!settings.is_first_start(), "somebody was here before");
        }
        let mut settings = Settings::kept_at(path.clone());
        assert_eq!(settings.told, None, "it is told once");
        settings.theme = Theme::Dark;
        settings.keep();
        assert_eq!(Settings::kept_at(path).theme, Theme::Dark);
    }

    #[test]
    fn settings_of_an_older_version_and_of_another_language_are_kept() {
        let folder = Folder::new("older");
        let path = folder.file("settings.ron");
        std::fs::write(
            &path,
            "(theme: dark, scale_percent: 75, language: \"fr\", recent: [\"/a.lineside\"])",
        )
        .unwrap();
        let settings = Settings::kept_at(path.clone());
        assert_eq!(
            (settings.theme, settings.scale_percent, settings.motion),
            (Theme::Dark, 100, Motion::Shown)
        );
        settings.keep();
        let again = Settings::kept_at(path);
        assert_eq!((again.language.as_str(), again.told), ("fr", None));
        assert_eq!(again.recent, [PathBuf::from("/a.lineside")]);
    }
}
