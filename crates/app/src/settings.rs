//! What one person sets for all projects: theme, scale, the files opened last.
//!
//! Kept as RON in the platform's place for settings. A file that cannot be read is left alone and the
//! defaults are used; settings are never worth an error in somebody's way.

use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// How many files are remembered.
const RECENT: usize = 8;

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

/// What one person sets.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Theme.
    pub theme: Theme,
    /// Scale of the whole window, percent.
    pub scale_percent: u16,
    /// Files opened last, newest first.
    pub recent: Vec<PathBuf>,
    /// Where they are kept; `None` when they are not (in tests, or without a home folder).
    #[serde(skip)]
    kept_at: Option<PathBuf>,
}

impl Default for Settings {
    fn default() -> Self {
        Self { theme: Theme::System, scale_percent: 100, recent: Vec::new(), kept_at: None }
    }
}

impl Settings {
    /// Scales that the window offers, percent.
    pub const SCALES: [u16; 9] = [75, 90, 100, 110, 125, 150, 200, 250, 300];

    /// The settings of this person, or the defaults.
    pub fn of_this_person() -> Self {
        use etcetera::BaseStrategy;
        let Ok(folders) = etcetera::choose_base_strategy() else { return Self::default() };
        Self::kept_at(folders.config_dir().join("lineside").join("settings.ron"))
    }

    /// The settings kept in a file, or the defaults.
    pub fn kept_at(path: PathBuf) -> Self {
        let read = std::fs::read_to_string(&path).ok().and_then(|text| ron::from_str::<Self>(&text).ok());
        let mut settings = read.unwrap_or_default();
        settings.scale_percent = settings.scale_percent.clamp(50, 300);
        settings.recent.truncate(RECENT);
        settings.kept_at = Some(path);
        settings
    }

    /// Puts a file at the head of the files opened last.
    pub fn remember(&mut self, path: &Path) {
        self.recent.retain(|other| other != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(RECENT);
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
        let Some(path) = &self.kept_at else { return };
        let Ok(text) = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default()) else { return };
        if let Some(folder) = path.parent() {
            let _ = std::fs::create_dir_all(folder);
        }
        let _ = crate::disk::write_whole(path, text.as_bytes());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
    }

    #[test]
    fn scale_stays_among_those_offered() {
        let mut settings = Settings::default();
        settings.scale_by(1);
        assert_eq!(settings.scale_percent, 110);
        settings.scale_by(-9);
        assert_eq!(settings.scale_percent, 75);
        settings.scale_by(99);
        assert_eq!(settings.scale_percent, 300);
    }

    #[test]
    fn a_damaged_file_gives_the_defaults() {
        let folder = std::env::temp_dir().join(format!("lineside-settings-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let path = folder.join("settings.ron");
        std::fs::write(&path, "(theme: purple").unwrap();
        assert_eq!(Settings::kept_at(path.clone()).theme, Theme::System);
        let mut settings = Settings::kept_at(path.clone());
        settings.theme = Theme::Dark;
        settings.keep();
        assert_eq!(Settings::kept_at(path).theme, Theme::Dark);
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
