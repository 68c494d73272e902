//! Kills a program that edits, saves and keeps its journal, at two hundred instants: what was saved is whole, and what
//! was not is in the journal but for the last state.
#![expect(clippy::expect_used, reason = "helpers of tests fail as tests do")]

use lineside::disk::{self, Conflict};
use lineside::journal::Journals;
use lineside_core::file;
use lineside_core::project::Project;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

const FOLDER: &str = "LINESIDE_KILL_FOLDER";
const KILLS: u64 = 200;
const HUT: &str = include_str!("../../../assets/demos/hut.lineside");

/// A project whose title holds a count.
fn numbered(number: u64) -> Project {
    let mut project = file::read(HUT).expect("the demo reads");
    project.title.system = format!("Hut {number}");
    project
}

fn number_of(project: &Project) -> u64 {
    project.title.system.strip_prefix("Hut ").and_then(|text| text.parse().ok()).unwrap_or_default()
}

fn saved_in(folder: &Path) -> PathBuf {
    folder.join("hut.lineside")
}

/// The program that is killed: it works until then. Every other state is saved, the others are kept in the journal, and
/// each is told when it is on the disk.
#[test]
fn the_one_that_is_killed() {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else { return };
    let journals = Journals::kept_in(folder.join("journal"));
    let path = saved_in(&folder);
    let mut out = std::io::stdout();
    let mut entry = journals.begin();
    for number in 1.. {
        let project = numbered(number);
        if number % 2 == 0 {
            let text = file::write(&project).expect("it writes");
            if disk::save(&path, text.as_bytes(), None, Conflict::Overwrite).is_ok() {
                entry = None;
                let _ = writeln!(out, "saved {number}");
            }
        } else {
            if entry.is_none() {
                entry = journals.begin();
            }
            if let Some(entry) = &entry
                && entry.write(&project, Some(&path), "")
            {
                while !entry.is_settled() {
                    std::thread::yield_now();
                }
                let _ = writeln!(out, "kept {number}");
            }
        }
        let _ = out.flush();
    }
}

struct Running {
    child: Child,
    lines: std::sync::mpsc::Receiver<(String, u64)>,
}

fn start(folder: &Path) -> Running {
    let mut child = Command::new(std::env::current_exe().expect("this program"))
        .args(["--exact", "the_one_that_is_killed", "--nocapture"])
        .env(FOLDER, folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("it starts");
    let out = child.stdout.take().expect("a pipe");
    let (send, lines) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        for line in BufReader::new(out).lines().map_while(Result::ok) {
            // The first word may stand behind what the test runner prints.
            let mut words = line.split_whitespace().rev();
            let number = words.next().and_then(|word| word.parse().ok());
            if let (Some(number), Some(what)) = (number, words.next())
                && send.send((what.to_owned(), number)).is_err()
            {
                return;
            }
        }
    });
    Running { child, lines }
}

#[test]
fn two_hundred_kills_lose_nothing_that_was_saved() {
    let folder = std::env::temp_dir().join(format!("lineside-kills-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let (mut whole, mut given_back) = (0, 0);
    for kill in 0..KILLS {
        let mut running = start(&folder);
        // Instants spread over the work of some states, from a plain sequence, so that a failure can be repeated.
        let first = running.lines.recv_timeout(Duration::from_secs(20)).expect("it works");
        let until = Instant::now() + Duration::from_micros(kill * 7919 % 110_000);
        while Instant::now() < until {
            std::thread::yield_now();
        }
        running.child.kill().expect("it can be killed");
        running.child.wait().expect("it ends");
        let told: Vec<(String, u64)> = std::iter::once(first).chain(running.lines.iter()).collect();
        let last = |what: &str| told.iter().rev().find(|it| it.0 == what).map(|it| it.1);
        let path = saved_in(&folder);
        let saved = path.exists().then(|| {
            let (project, _) = disk::open(&path).expect("what was saved is whole");
            whole += 1;
            number_of(&project)
        });
        if let Some(number) = last("saved") {
            assert!(saved.is_some_and(|saved| saved >= number), "saved {saved:?}, told {number}");
        }
        let lost = Journals::kept_in(folder.join("journal")).lost();
        let kept = lost.iter().map(|work| number_of(&work.project)).max();
        if let Some(number) = last("kept").filter(|number| saved.is_none_or(|saved| saved < *number)) {
            // Its entry goes with the save that follows; then that save is on the disk.
            assert!(kept.is_some_and(|kept| kept >= number), "kept {kept:?}, told {number}, saved {saved:?}");
            given_back += 1;
        }
        for work in lost {
            work.forget();
        }
        let _ = std::fs::remove_file(&path);
    }
    let _ = std::fs::remove_dir_all(&folder);
    assert!(whole > 20 && given_back > 20, "{whole} whole, {given_back} given back");
}
