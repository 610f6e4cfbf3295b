//! A disk on which one call goes wrong: for tests of what is left behind when it does.

use super::{Disk, Lock, NewFile, Stat};
use std::io::{self, ErrorKind};
use std::path::Path;
use std::str::FromStr;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::Duration;

/// What happens at the call.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// It fails, as on a full disk; half of what was to be written may be there.
    Fail,
    /// A write takes half of its bytes and says so; a read stops in the middle. Other calls go well.
    Shorten,
    /// A write takes half of its bytes and says that it took all. Other calls go well.
    Lose,
    /// It takes long.
    Delay,
    /// Nothing after it happens; half of what was to be written may be there.
    Stop,
    /// The program dies there.
    Kill,
}

impl FromStr for Fault {
    type Err = String;

    fn from_str(word: &str) -> Result<Fault, String> {
        match word {
            "fail" => Ok(Fault::Fail),
            "shorten" => Ok(Fault::Shorten),
            "lose" => Ok(Fault::Lose),
            "delay" => Ok(Fault::Delay),
            "stop" => Ok(Fault::Stop),
            "kill" => Ok(Fault::Kill),
            _ => Err(format!("`{word}` is no fault")),
        }
    }
}

/// How long a delayed call takes.
const DELAY: Duration = Duration::from_millis(20);

/// Another disk, with a fault at one of its calls.
pub struct Faulty<D> {
    inner: D,
    state: Arc<State>,
}

struct State {
    fault: Fault,
    /// Number of the call, from 1; none if 0.
    at: u64,
    count: AtomicU64,
    stopped: AtomicBool,
}

/// What a call is to do.
enum Turn {
    Go,
    /// Do half of it where there are halves, then do this.
    Half(After),
}

enum After {
    Fail,
    Short,
    Lie,
}

impl<D: Disk> Faulty<D> {
    pub fn new(inner: D, fault: Fault, at: u64) -> Faulty<D> {
        let state = State {
            fault,
            at,
            count: AtomicU64::new(0),
            stopped: AtomicBool::new(false),
        };
        Faulty {
            inner,
            state: Arc::new(state),
        }
    }

    /// Calls so far.
    pub fn count(&self) -> u64 {
        self.state.count.load(Ordering::SeqCst)
    }
}

impl State {
    fn turn(&self, halves: impl FnOnce()) -> io::Result<Turn> {
        let number = self.count.fetch_add(1, Ordering::SeqCst) + 1;
        if self.stopped.load(Ordering::SeqCst) {
            return Err(stopped());
        }
        if number != self.at {
            return Ok(Turn::Go);
        }
        match self.fault {
            Fault::Fail => Ok(Turn::Half(After::Fail)),
            Fault::Shorten => Ok(Turn::Half(After::Short)),
            Fault::Lose => Ok(Turn::Half(After::Lie)),
            Fault::Delay => {
                std::thread::sleep(DELAY);
                Ok(Turn::Go)
            }
            Fault::Stop => {
                halves();
                self.stopped.store(true, Ordering::SeqCst);
                Err(stopped())
            }
            Fault::Kill => {
                halves();
                std::process::abort();
            }
        }
    }

    /// For the calls that are done or not, with nothing between.
    fn whole(&self) -> io::Result<()> {
        match self.turn(|| {})? {
            Turn::Half(After::Fail) => Err(full()),
            _ => Ok(()),
        }
    }
}

fn full() -> io::Error {
    ErrorKind::StorageFull.into()
}

fn stopped() -> io::Error {
    io::Error::other("the disk is gone")
}

impl<D: Disk> Disk for Faulty<D> {
    fn stat(&self, path: &Path) -> io::Result<Stat> {
        self.state.whole()?;
        self.inner.stat(path)
    }

    fn target(&self, path: &Path) -> io::Result<Stat> {
        self.state.whole()?;
        self.inner.target(path)
    }

    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        match self.state.turn(|| {})? {
            Turn::Half(After::Fail) => Err(full()),
            Turn::Half(After::Short) => {
                let mut bytes = self.inner.read(path)?;
                bytes.truncate(bytes.len() / 2);
                Ok(bytes)
            }
            _ => self.inner.read(path),
        }
    }

    fn list(&self, path: &Path) -> io::Result<Vec<String>> {
        self.state.whole()?;
        self.inner.list(path)
    }

    fn create_dir(&self, path: &Path) -> io::Result<()> {
        self.state.whole()?;
        self.inner.create_dir(path)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        self.state.whole()?;
        let state = Arc::clone(&self.state);
        let inner = self.inner.create(path)?;
        Ok(Box::new(FaultyFile { inner, state }))
    }

    fn sync_dir(&self, path: &Path) -> io::Result<()> {
        self.state.whole()?;
        self.inner.sync_dir(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.state.whole()?;
        self.inner.rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.state.whole()?;
        self.inner.link(from, to)
    }

    fn liken(&self, file: &Path, to: &Path) -> io::Result<()> {
        self.state.whole()?;
        self.inner.liken(file, to)
    }

    fn touch(&self, path: &Path) -> io::Result<()> {
        self.state.whole()?;
        self.inner.touch(path)
    }

    fn remove_file(&self, path: &Path) -> io::Result<()> {
        self.state.whole()?;
        self.inner.remove_file(path)
    }

    fn remove_dir(&self, path: &Path) -> io::Result<()> {
        self.state.whole()?;
        self.inner.remove_dir(path)
    }

    fn lock(&self, path: &Path) -> io::Result<Option<Lock>> {
        self.state.whole()?;
        self.inner.lock(path)
    }
}

struct FaultyFile {
    inner: Box<dyn NewFile>,
    state: Arc<State>,
}

impl NewFile for FaultyFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let half = bytes.get(..bytes.len() / 2).unwrap_or_default();
        let inner = &mut self.inner;
        let turn = self.state.turn(|| {
            let _ = inner.write(half);
        })?;
        match turn {
            Turn::Go => self.inner.write(bytes),
            Turn::Half(After::Fail) => {
                let _ = self.inner.write(half);
                Err(full())
            }
            // Nothing at all would be the sign that nothing more can be written.
            Turn::Half(After::Short) if half.is_empty() => self.inner.write(bytes),
            Turn::Half(After::Short) => self.inner.write(half),
            Turn::Half(After::Lie) => self.inner.write(half).map(|_| bytes.len()),
        }
    }

    fn sync(&mut self) -> io::Result<()> {
        self.state.whole()?;
        self.inner.sync()
    }
}
