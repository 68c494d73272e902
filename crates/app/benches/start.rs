//! From start to the first frame, memory at rest, work while idle, and the size of the program: the real binary with
//! the demo project in a real window. Needs an X display and `xdotool`; without them it says so and measures only the
//! size: `xvfb-run -a -s "-screen 0 1440x900x24" cargo bench -p lineside --bench start`.
#![expect(clippy::print_stdout, reason = "its figures are its purpose")]

use std::error::Error;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use std::{env, fs, thread};

type Outcome<T> = Result<T, Box<dyn Error>>;

const PROGRAM: &str = env!("CARGO_BIN_EXE_lineside");
const STARTS: usize = 15;
/// How long the window stands before memory and idle work are read.
const REST: Duration = Duration::from_secs(3);
/// Longer than any start takes.
const PATIENCE: Duration = Duration::from_secs(20);
/// The kernel counts time in hundredths of a second.
const TICK_MILLISECONDS: u64 = 10;

struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn main() -> Outcome<()> {
    let bytes = fs::metadata(PROGRAM)?.len();
    println!("binary: {:.1} MB", bytes as f64 / 1e6);
    if env::var_os("DISPLAY").is_none() || Command::new("xdotool").arg("version").output().is_err() {
        println!("no display or no xdotool: start and memory are not measured");
        return Ok(());
    }
    let settings = env::temp_dir().join(format!("lineside-start-{}", std::process::id()));
    fs::create_dir_all(&settings)?;
    let measured = measure(&settings);
    fs::remove_dir_all(&settings)?;
    measured
}

fn measure(settings: &Path) -> Outcome<()> {
    let mut times = Vec::new();
    for _ in 0..STARTS {
        times.push(start(settings)?.1);
    }
    times.sort_unstable();
    let at = |share: usize| times.get(times.len() * share / 100).copied().unwrap_or_default();
    println!("start to first frame: median {:?}, fastest {:?}, 90 % within {:?}", at(50), at(0), at(90));
    let (running, _) = start(settings)?;
    thread::sleep(REST);
    println!("memory at rest: {}", resident(running.0.id())?);
    let before = ticks(running.0.id())?;
    thread::sleep(REST);
    let busy = (ticks(running.0.id())? - before) * TICK_MILLISECONDS;
    println!("work while idle: {busy} ms in {REST:?}");
    Ok(())
}

/// Starts the program and waits for its window, which is shown with its first frame.
fn start(settings: &Path) -> Outcome<(Running, Duration)> {
    let begun = Instant::now();
    let child = Command::new(PROGRAM)
        .env("XDG_CONFIG_HOME", settings)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()?;
    let running = Running(child);
    // Its own waiting looks only twice a second, so it is asked again and again.
    let search = ["search", "--onlyvisible", "--name", "Lineside$"];
    while !Command::new("xdotool")
        .args(search)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()?
        .success()
    {
        if begun.elapsed() > PATIENCE {
            return Err("no window came".into());
        }
    }
    Ok((running, begun.elapsed()))
}

fn resident(process: u32) -> Outcome<String> {
    let status = fs::read_to_string(format!("/proc/{process}/status"))?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).ok_or("no figure of memory")?;
    Ok(line.trim().to_owned())
}

/// Time that the process has worked, in ticks of the kernel.
fn ticks(process: u32) -> Outcome<u64> {
    let stat = fs::read_to_string(format!("/proc/{process}/stat"))?;
    // The name of the program may hold spaces; what follows its bracket does not.
    let (_, fields) = stat.rsplit_once(") ").ok_or("no figures of time")?;
    let field = |n: usize| fields.split(' ').nth(n).and_then(|text| text.parse::<u64>().ok());
    Ok(field(11).ok_or("no user time")? + field(12).ok_or("no system time")?)
}
