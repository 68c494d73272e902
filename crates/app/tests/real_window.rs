//! The real window under a real display: an X server gets true pointer and key events, and the accessible tree,
//! read over egui's inspection socket, says where things are and what came of it.
//!
//! Runs with the feature `inspection` and `LINESIDE_DISPLAY_TEST=1`, as in `.ci/run`. Without a display it passes without
//! looking.
#![cfg(feature = "inspection")]
#![expect(clippy::expect_used, clippy::panic, reason = "helpers of tests fail as tests do")]

use egui::accesskit::Node;
use egui_inspection::protocol::read_handshake;
use egui_inspection::{Request, Response, read_message, write_message};
use lineside_core::file;
use lineside_core::project::Project;
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

const CABIN: &str = include_str!("../../../assets/demos/cabin.lineside");
/// Longer than anything here takes on a busy machine.
const PATIENCE: Duration = Duration::from_secs(20);

/// The running program; gone when the test ends, however it ends.
struct Program(Child);

impl Drop for Program {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A folder of its own, gone when the test ends.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("lineside-real-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(path.join("lineside")).expect("a folder can be made");
        std::fs::write(path.join("lineside/settings.ron"), "(theme: light, tour: done)")
            .expect("it is written");
        Self(path)
    }

    /// The demo as a file of its own.
    fn cabin(&self) -> PathBuf {
        let path = self.0.join("cabin.lineside");
        std::fs::write(&path, CABIN).expect("it is written");
        path
    }
}

/// One window at a time: pointer and keys are those of the whole display.
static DISPLAY: Mutex<()> = Mutex::new(());

/// The display, when there is one to test on.
fn display() -> Option<MutexGuard<'static, ()>> {
    std::env::var_os("LINESIDE_DISPLAY_TEST")?;
    Some(DISPLAY.lock().unwrap_or_else(PoisonError::into_inner))
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

struct Window {
    socket: TcpStream,
    program: Program,
}

/// True pointer and key events.
fn xdotool(arguments: &[&str]) {
    let status = Command::new("xdotool").args(arguments).status().expect("xdotool is installed");
    assert!(status.success(), "xdotool {arguments:?}");
}

impl Window {
    fn open(file: Option<&Path>, settings: &Path) -> Self {
        // A port that is free now; the program takes it over.
        let port = TcpListener::bind("127.0.0.1:0")
            .and_then(|free| free.local_addr())
            .expect("a port is free")
            .port();
        let address = format!("127.0.0.1:{port}");
        let program = Command::new(env!("CARGO_BIN_EXE_lineside"))
            .args(file)
            .env("EGUI_INSPECTION", &address)
            .env("XDG_CONFIG_HOME", settings)
            .env("XDG_STATE_HOME", settings)
            .env("XDG_CACHE_HOME", settings)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let program = Program(program);
        let start = Instant::now();
        let mut socket = loop {
            match TcpStream::connect(&address) {
                Ok(socket) => break socket,
                Err(error) => assert!(start.elapsed() < PATIENCE, "{error}"),
            }
            std::thread::yield_now();
        };
        socket.set_read_timeout(Some(PATIENCE)).expect("a time-out can be set");
        read_handshake(&mut socket).expect("the program greets");
        let mut window = Self { socket, program };
        window.settle();
        xdotool(&["search", "--sync", "--onlyvisible", "--name", "Lineside$", "windowfocus", "--sync"]);
        window
    }

    /// What a power cut or `kill -9` does: nothing of the program runs any more.
    fn kill(mut self) {
        self.program.0.kill().expect("it can be killed");
        self.program.0.wait().expect("it ends");
    }

    fn ask(&mut self, request: &Request) -> Response {
        write_message(&mut self.socket, request).expect("the program listens");
        read_message(&mut self.socket).expect("the program answers")
    }

    fn settle(&mut self) {
        self.ask(&Request::Settle { max_steps: 100 });
    }

    fn nodes(&mut self) -> Vec<Node> {
        let Response::Tree { accesskit: Some(tree), .. } = self.ask(&Request::GetTree) else {
            panic!("the program gives no tree");
        };
        tree.nodes.into_iter().map(|(_, node)| node).collect()
    }

    /// Waits until some node will do: X events arrive when they arrive.
    fn find(&mut self, what: &str, will_do: impl Fn(&Node) -> bool) -> Node {
        let start = Instant::now();
        loop {
            if let Some(node) = self.nodes().into_iter().find(|node| will_do(node)) {
                return node;
            }
            assert!(start.elapsed() < PATIENCE, "nothing is {what}");
        }
    }

    /// The middle of what has that name.
    fn middle(&mut self, name: &str) -> (i32, i32) {
        let node = self.find(name, |node| node.label() == Some(name) && node.bounds().is_some());
        middle_of(&node)
    }

    fn drag(&mut self, from: (i32, i32), to: (i32, i32)) {
        let at = |share: i32| (from.0 + (to.0 - from.0) * share / 8, from.1 + (to.1 - from.1) * share / 8);
        // egui sees one pointer position a frame, so press and release stand still for a while.
        let mut script = move_to(from);
        script.extend(["sleep", "0.08", "mousedown", "1", "sleep", "0.08"].map(str::to_owned));
        for share in 1..=8 {
            script.extend(move_to(at(share)));
            script.extend(["sleep", "0.03"].map(str::to_owned));
        }
        script.extend(["sleep", "0.08", "mouseup", "1", "sleep", "0.08"].map(str::to_owned));
        xdotool(&script.iter().map(String::as_str).collect::<Vec<_>>());
        self.settle();
    }

    fn click(&mut self, at: (i32, i32)) {
        let mut script = move_to(at);
        script.extend(["sleep", "0.08", "click", "1", "sleep", "0.08"].map(str::to_owned));
        xdotool(&script.iter().map(String::as_str).collect::<Vec<_>>());
        self.settle();
    }
}

fn move_to(at: (i32, i32)) -> Vec<String> {
    vec!["mousemove".to_owned(), at.0.to_string(), at.1.to_string()]
}

#[expect(clippy::cast_possible_truncation, reason = "points on a screen")]
fn middle_of(node: &Node) -> (i32, i32) {
    let bounds = node.bounds().expect("it has a place on the screen");
    (f64::midpoint(bounds.x0, bounds.x1) as i32, f64::midpoint(bounds.y0, bounds.y1) as i32)
}

/// The file, once it holds what will do.
fn saved(path: &Path, will_do: impl Fn(&Project) -> bool) -> Project {
    let start = Instant::now();
    loop {
        let project = std::fs::read(path).ok().and_then(|bytes| file::read_bytes(&bytes).ok());
        if let Some(project) = project.filter(&will_do) {
            return project;
        }
        assert!(start.elapsed() < PATIENCE, "the file was not saved");
        std::thread::yield_now();
    }
}

/// What stands in a folder of journals.
fn kept(folder: &Path) -> Option<Project> {
    let entries = std::fs::read_dir(folder.join("lineside/journal")).ok()?;
    let mut paths = entries.flatten().map(|entry| entry.path());
    let path = paths.find(|path| path.extension().is_some_and(|ending| ending == "lineside"))?;
    file::read(&std::fs::read_to_string(path).ok()?).ok()
}

/// Waits until the journal holds what will do.
fn journal(folder: &Path, will_do: impl Fn(&Project) -> bool) -> Project {
    let start = Instant::now();
    loop {
        if let Some(project) = kept(folder).filter(&will_do) {
            return project;
        }
        assert!(start.elapsed() < PATIENCE, "the work was not kept");
        std::thread::yield_now();
    }
}

#[test]
fn a_block_is_inserted_into_a_run_and_taken_back() {
    let Some(_display) = display() else { return };
    let folder = Folder::new("insert");
    let path = folder.cabin();
    let before = file::read(CABIN).unwrap();
    let mut window = Window::open(Some(&path), &folder.0);
    let search = window.middle("Find equipment in stock");
    window.click(search);
    xdotool(&["type", "--delay", "20", "DC breaker, 80 A, 125 V"]);
    let item = window.find("a breaker on the shelf", |node| {
        node.label().is_some_and(|label| label.starts_with("DC breaker, 80 A, 125 V"))
            && node.bounds().is_some()
            && node.role() != egui::Role::TextInput
    });
    let run = window.find("a run from the bank", |node| {
        node.label().is_some_and(|label| label.starts_with("Run W13 from")) && node.bounds().is_some()
    });
    window.drag(middle_of(&item), middle_of(&run));
    // In the run: one block and one run more than before.
    xdotool(&["key", "ctrl+s"]);
    let inserted = saved(&path, |project| *project != before);
    assert_eq!(inserted.circuit.block_count(), before.circuit.block_count() + 1);
    assert_eq!(inserted.circuit.run_count(), before.circuit.run_count() + 1);
    let undo = window.middle("Undo");
    window.click(undo);
    xdotool(&["key", "ctrl+s"]);
    let undone = saved(&path, |project| project.circuit.block_count() == before.circuit.block_count());
    assert!(undone == before, "undo gives back exactly what was there");
    let redo = window.middle("Redo");
    window.click(redo);
    xdotool(&["key", "ctrl+s"]);
    saved(&path, |project| *project == inserted);
}

#[test]
fn work_of_a_killed_window_is_offered_back() {
    let Some(_display) = display() else { return };
    let folder = Folder::new("killed");
    let path = folder.cabin();
    let before = file::read(CABIN).unwrap();
    let mut window = Window::open(Some(&path), &folder.0);
    let from = window.middle("Charge controller C1");
    window.drag(from, (from.0, from.1 - 40));
    let at = |project: &Project| project.circuit.block_by_tag("C1").map(|block| block.at);
    let lost = journal(&folder.0, |project| at(project) != at(&before));
    window.kill();
    assert!(file::read(&std::fs::read_to_string(&path).unwrap()).unwrap() == before, "the file is as it was");
    // The next start, on nothing in particular, offers it.
    let mut window = Window::open(None, &folder.0);
    let open = window.middle("Open it");
    window.click(open);
    window.find("the controller", |node| node.label() == Some("Charge controller C1"));
    window.find("unsaved", |node| node.value() == Some("unsaved") || node.label() == Some("unsaved"));
    xdotool(&["key", "ctrl+s"]);
    let after = saved(&path, |project| *project != before);
    assert!(after == lost, "all of it came back");
}

#[test]
fn a_person_drags_types_and_saves() {
    let Some(_display) = display() else { return };
    let folder = Folder::new("drag");
    let path = folder.cabin();
    let before = file::read(CABIN).unwrap();
    let mut window = Window::open(Some(&path), &folder.0);

    let from = window.middle("Charge controller C1");
    window.drag(from, (from.0, from.1 - 40));
    let start = Instant::now();
    while window.middle("Charge controller C1").1 > from.1 - 25 {
        assert!(start.elapsed() < PATIENCE, "the controller did not follow the pointer");
    }

    let strings = window.middle("Strings S1");
    window.click(strings);
    let entry = window.find("the entry for modules in series", |node| {
        node.label() == Some("Modules in series") && node.role() == egui::Role::TextInput
    });
    assert_eq!(entry.value(), Some("3"));
    window.click(middle_of(&entry));
    xdotool(&["key", "ctrl+a", "type", "--delay", "20", "5"]);
    // Five in series rise above what the controller survives on the coldest morning: the finding is there while
    // the text still has the cursor.
    window.find("a danger", |node| {
        node.role() == egui::Role::ListBoxOption
            && node.label().is_some_and(|label| label.contains("danger") && label.contains("C1"))
    });
    window.find("unsaved", |node| node.value() == Some("unsaved") || node.label() == Some("unsaved"));
    xdotool(&["key", "Return", "sleep", "0.1", "key", "ctrl+s"]);
    let after = saved(&path, |project| *project != before);
    let controller = |project: &Project| project.circuit.block_by_tag("C1").unwrap().at;
    assert!(controller(&after).y < controller(&before).y);
    assert_eq!(controller(&after).x, controller(&before).x);
    let series = |project: &Project| {
        project.circuit.block_by_tag("S1").unwrap().equipment.get("modules_in_series").unwrap()
    };
    assert_eq!(series(&after), lineside_core::kinds::field::Value::Whole(5));
    window.find("saved", |node| node.value() == Some("saved") || node.label() == Some("saved"));
    assert!(lineside::disk::previous_of(&path).exists());
}
