//! A terminal of 80 columns with the program running on it, and somebody in front of it.

use crate::TODAY;
use crate::common::Yard;
use pty_process::Size;
use pty_process::blocking::{Command, Pty, open};
use std::io::{Read, Write};
use std::process::{Child, ExitStatus};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant};

/// The key that interrupts, and the one that ends the input.
pub const CTRL_C: &[u8] = b"\x03";
pub const CTRL_D: &[u8] = b"\x04";

/// Far longer than the program takes, on a busy machine too.
const PATIENCE: Duration = Duration::from_secs(30);

pub struct Terminal {
    pty: Arc<Pty>,
    child: Child,
    written: Receiver<Vec<u8>>,
    screen: Vec<u8>,
    /// How far the screen has been read.
    seen: usize,
}

impl Terminal {
    /// The program with these words, on the yard's book.
    pub fn running(yard: &Yard, words: &[&str]) -> Self {
        Self::with(yard, words, |command| command)
    }

    /// The same, with something of it not on the terminal.
    pub fn with(yard: &Yard, words: &[&str], but: impl FnOnce(Command) -> Command) -> Self {
        let (pty, of_the_program) = open().expect("a pseudo-terminal");
        pty.resize(Size::new(24, 80)).expect("its size");
        let command = the_program()
            .args(words)
            .env_clear()
            .env("RUNABOUT_BOOK", yard.book())
            .env("RUNABOUT_TODAY", TODAY)
            .env("NO_COLOR", "1")
            .env("LANG", "C.UTF-8");
        let child = but(command).spawn(of_the_program).expect("the program runs");
        let pty = Arc::new(pty);
        let (sender, written) = channel();
        let reading = Arc::clone(&pty);
        thread::spawn(move || {
            let mut bytes = [0; 4096];
            // Reading fails once the program has gone and everything is read.
            while let Ok(count @ 1..) = (&*reading).read(&mut bytes) {
                if sender.send(bytes[..count].to_vec()).is_err() {
                    break;
                }
            }
        });
        Self { pty, child, written, screen: Vec::new(), seen: 0 }
    }

    fn text(&self) -> String {
        String::from_utf8_lossy(&self.screen).replace("\r\n", "\n")
    }

    /// Waits until this stands on the screen, after what was waited for before.
    pub fn sees(&mut self, wanted: &str) {
        let until = Instant::now() + PATIENCE;
        loop {
            let text = self.text();
            if let Some(at) = text.get(self.seen..).and_then(|rest| rest.find(wanted)) {
                self.seen += at + wanted.len();
                return;
            }
            match self.written.recv_timeout(until.saturating_duration_since(Instant::now())) {
                Ok(more) => self.screen.extend(more),
                Err(why) => panic!("{wanted:?} was not shown ({why}): {text}"),
            }
        }
    }

    /// Types a line.
    pub fn types(&mut self, line: &str) {
        self.presses(format!("{line}\n").as_bytes());
    }

    /// Presses keys.
    pub fn presses(&mut self, keys: &[u8]) {
        (&*self.pty).write_all(keys).expect("the terminal takes keys");
    }

    /// Waits until the program has gone: how it ended, and everything on the screen.
    pub fn ends(mut self) -> (ExitStatus, String) {
        drop(self.child.stdin.take());
        let until = Instant::now() + PATIENCE;
        loop {
            match self.written.recv_timeout(until.saturating_duration_since(Instant::now())) {
                Ok(more) => self.screen.extend(more),
                Err(RecvTimeoutError::Disconnected) => break,
                Err(RecvTimeoutError::Timeout) => {
                    let _ = self.child.kill();
                    panic!("the program waits: {}", self.text());
                }
            }
        }
        (self.child.wait().expect("it ended"), self.text())
    }
}

/// The program, whose parent may leave interrupts to be ignored, as a shell does for what it runs in the
/// background: then they are set back first, as they are for whoever sits at a terminal.
fn the_program() -> Command {
    let program = env!("CARGO_BIN_EXE_runabout");
    if interrupts_are_ignored() {
        Command::new("/usr/bin/env").args(["--default-signal=INT", program])
    } else {
        Command::new(program)
    }
}

/// As Linux tells it; elsewhere they are taken to be heard.
fn interrupts_are_ignored() -> bool {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let ignored = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let ignored = ignored.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or_default();
    // Signals are counted from 1, and this one is the second.
    ignored & (1 << 1) != 0
}
