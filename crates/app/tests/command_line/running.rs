//! Running the built program in a folder of its own.

use crate::Outcome;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The built program.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_lineside");

/// How a run of the program ended.
#[derive(Debug, PartialEq, Eq)]
pub struct Ended {
    /// Exit code; `None` when a signal ended it.
    pub code: Option<i32>,
    /// What it printed.
    pub out: String,
    /// What it remarked.
    pub err: String,
}

/// A folder in which one test keeps its files and runs the program.
pub struct Folder {
    path: PathBuf,
}

impl Folder {
    /// An empty one. Its name must be no other test's.
    pub fn new(name: &str) -> Outcome<Self> {
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("command_line").join(name);
        if path.exists() {
            fs::remove_dir_all(&path)?;
        }
        fs::create_dir_all(&path)?;
        Ok(Self { path })
    }
    /// With one file in it.
    pub fn with(name: &str, file: &str, bytes: impl AsRef<[u8]>) -> Outcome<Self> {
        let folder = Self::new(name)?;
        folder.write(file, bytes)?;
        Ok(folder)
    }
    /// Where a file of that name stands.
    pub fn at(&self, file: &str) -> PathBuf {
        self.path.join(file)
    }
    /// Writes a file.
    pub fn write(&self, file: &str, bytes: impl AsRef<[u8]>) -> Outcome<()> {
        Ok(fs::write(self.at(file), bytes)?)
    }
    /// Reads a file.
    pub fn read(&self, file: &str) -> Outcome<String> {
        Ok(fs::read_to_string(self.at(file))?)
    }

    /// The program, to be started in this folder, without a display.
    pub fn program(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(PROGRAM);
        command.args(arguments).current_dir(&self.path).stdin(Stdio::null());
        // What the person who runs the tests keeps must not be in their way.
        command.env("XDG_CONFIG_HOME", self.path.join("config")).env("APPDATA", self.path.join("config"));
        command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").env_remove("WAYLAND_SOCKET");
        command
    }
    /// Runs the program with these arguments.
    pub fn run(&self, arguments: &[&str]) -> Outcome<Ended> {
        ended(self.program(arguments).output()?)
    }
    /// Runs the program and gives it bytes to read.
    pub fn feed(&self, arguments: &[&str], bytes: &[u8]) -> Outcome<Ended> {
        let mut child = self
            .program(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()?;
        child.stdin.take().ok_or("a pipe")?.write_all(bytes)?;
        ended(child.wait_with_output()?)
    }
    /// Runs the program and reads what it printed as JSON.
    pub fn json(&self, arguments: &[&str]) -> Outcome<serde_json::Value> {
        Ok(serde_json::from_str(&self.run(arguments)?.out)?)
    }
}

fn ended(output: std::process::Output) -> Outcome<Ended> {
    Ok(Ended {
        code: output.status.code(),
        out: String::from_utf8(output.stdout)?,
        err: String::from_utf8(output.stderr)?,
    })
}

/// A file that comes with the repository.
pub fn in_repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(path)
}
