//! Own threads, one piece of work at a time each.
//!
//! The typesetter uses a thread pool inside. A worker that waits for its own part of that may be handed any other work of the same
//! pool, a whole card on top of its stack among them, and cards on cards until the stack ends. So each worker has a pool to itself, of a
//! stated stack, and the typesetter finds nothing in it but the parts of one card.

use super::Trouble;
use rayon::{ThreadPool, ThreadPoolBuilder};
use std::any::Any;
use std::ops::ControlFlow;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError, mpsc};
use std::thread;
use std::time::{Duration, Instant};

/// Stack of the thread that works, in bytes. The deepest demo card takes less than 2 MiB in a build with optimisation and some 6 MiB
/// without; only what is touched is taken from memory.
const STACK: usize = 64 << 20;

/// As many threads as the machine runs at once.
pub fn cores() -> usize {
    thread::available_parallelism().map_or(1, std::num::NonZero::get)
}

/// So many threads for one job at a time: of a stated stack, and a pool to themselves. Pages of a document may be laid out side by side.
///
/// # Errors
/// If there is no thread to be had.
pub fn bench_of(threads: usize) -> Result<ThreadPool, String> {
    let pool = ThreadPoolBuilder::new().num_threads(threads).stack_size(STACK).build();
    pool.map_err(|e| e.to_string())
}

/// How often the watch looks.
const TICK: Duration = Duration::from_millis(100);

/// A watch over the work: the typesetter has no limit of time of its own, and a thread can't be ended from outside.
pub struct Watch<'a> {
    /// The longest that one job may take.
    pub longest: Duration,
    /// Called with the index of a job that takes longer, never while a result is being dealt with; it is to end the process.
    pub late: &'a (dyn Fn(usize) + Sync),
}

/// `run`, watched.
///
/// # Errors
/// As those of `run`.
pub fn run_watched<J: Sync, T: Send>(
    threads: usize,
    watch: &Watch,
    jobs: &[J],
    work: impl Fn(&J) -> T + Sync,
    mut done: impl FnMut(usize, Result<T, String>) -> ControlFlow<()>,
) -> Result<(), Trouble> {
    let begun: Mutex<Vec<(usize, Instant)>> = Mutex::new(Vec::new());
    let begun = || begun.lock().unwrap_or_else(PoisonError::into_inner);
    let numbers: Vec<usize> = (0..jobs.len()).collect();
    // Held while a result is dealt with, so that nothing is ended half way through putting a set in place.
    let dealing = Mutex::new(());
    let (ended, end) = mpsc::channel::<()>();
    thread::scope(|scope| {
        let (begun, dealing) = (&begun, &dealing);
        scope.spawn(move || {
            while end.recv_timeout(TICK) == Err(mpsc::RecvTimeoutError::Timeout) {
                let _still = dealing.lock().unwrap_or_else(PoisonError::into_inner);
                let late = begun()
                    .iter()
                    .find(|(_, at)| at.elapsed() > watch.longest)
                    .map(|(index, _)| *index);
                if let Some(index) = late {
                    (watch.late)(index);
                }
            }
        });
        let worked = run(
            threads,
            &numbers,
            |number| {
                begun().push((*number, Instant::now()));
                let result = catch_unwind(AssertUnwindSafe(|| jobs.get(*number).map(&work)));
                begun().retain(|(index, _)| index != number);
                result.unwrap_or_else(|panic| resume_unwind(panic))
            },
            |index, result| {
                let _still = dealing.lock().unwrap_or_else(PoisonError::into_inner);
                match result {
                    Ok(Some(result)) => done(index, Ok(result)),
                    Ok(None) => ControlFlow::Continue(()),
                    Err(words) => done(index, Err(words)),
                }
            },
        );
        drop(ended);
        worked
    })
}

/// Works on every job, on so many threads, and calls `done` here with each result as it comes, by the job's index: in no order that can be
/// relied on. `done` may end it early; what is under way then is finished and dropped.
///
/// # Errors
/// If there is no thread to be had. A job that panics gives the words of its panic.
pub fn run<J: Sync, T: Send>(
    threads: usize,
    jobs: &[J],
    work: impl Fn(&J) -> T + Sync,
    mut done: impl FnMut(usize, Result<T, String>) -> ControlFlow<()>,
) -> Result<(), Trouble> {
    if jobs.is_empty() {
        return Ok(());
    }
    let (next, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    // Threads that no job is left for help with another.
    let each = (threads / jobs.len()).max(1);
    let worker = |results: mpsc::SyncSender<(usize, Result<T, String>)>| -> Result<(), String> {
        let pool = bench_of(each)?;
        while !stop.load(Ordering::SeqCst) {
            let index = next.fetch_add(1, Ordering::SeqCst);
            let Some(job) = jobs.get(index) else { break };
            let result = pool.install(|| catch_unwind(AssertUnwindSafe(|| work(job))));
            if results.send((index, result.map_err(words))).is_err() {
                break;
            }
        }
        Ok(())
    };
    thread::scope(|scope| {
        let (sender, receiver) = mpsc::sync_channel(0);
        let mut workers = Vec::new();
        let mut refused = String::new();
        for number in 0..threads.clamp(1, jobs.len()) {
            let (sender, worker) = (sender.clone(), &worker);
            let named = thread::Builder::new().name(format!("card-{number}"));
            match named.spawn_scoped(scope, move || worker(sender)) {
                Ok(started) => workers.push(started),
                Err(error) => refused = error.to_string(),
            }
        }
        drop(sender);
        let mut count = 0;
        for (index, result) in receiver {
            count += 1;
            if !stop.load(Ordering::SeqCst) && done(index, result).is_break() {
                stop.store(true, Ordering::SeqCst);
            }
        }
        for started in workers {
            if let Ok(Err(error)) = started.join() {
                refused = error;
            }
        }
        // With fewer threads than wanted the work is done all the same.
        if count < jobs.len() && !stop.load(Ordering::SeqCst) {
            return Err(Trouble::new(format!(
                "no thread to work on can be had ({refused}): free some memory, or give `--jobs 1`"
            )));
        }
        Ok(())
    })
}

/// The words of a panic.
pub fn words(panic: Box<dyn Any + Send>) -> String {
    let text = panic.downcast_ref::<&str>().map(ToString::to_string);
    let text = text.or_else(|| panic.downcast_ref::<String>().cloned());
    text.unwrap_or_else(|| "it stopped without a word".to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_job_that_takes_too_long_is_named_and_the_others_are_done() {
        let late = Mutex::new(Vec::new());
        let watch = Watch {
            longest: Duration::from_millis(300),
            late: &|index| late.lock().unwrap().push(index),
        };
        let jobs: Vec<usize> = (0..8).collect();
        let work = |n: &usize| {
            // Until it has been told: however busy the machine is, this takes longer than it may.
            while *n == 5 && late.lock().unwrap().is_empty() {
                thread::sleep(TICK);
            }
        };
        let mut count = 0;
        let ran = run_watched(2, &watch, &jobs, work, |_, result| {
            assert!(result.is_ok());
            count += 1;
            ControlFlow::Continue(())
        });
        assert!(ran.is_ok());
        assert_eq!((count, late.into_inner().unwrap().first()), (8, Some(&5)));
    }

    #[test]
    fn every_job_is_done_once_and_a_panic_is_a_result() {
        for threads in [1, 2, 8] {
            let jobs: Vec<usize> = (0..50).collect();
            let mut seen = vec![0; 50];
            let work = |n: &usize| if *n == 7 { panic!("seven") } else { n * 2 };
            let ran = run(threads, &jobs, work, |index, result| {
                seen[index] += 1;
                assert_eq!(
                    result,
                    if index == 7 {
                        Err("seven".to_string())
                    } else {
                        Ok(index * 2)
                    }
                );
                ControlFlow::Continue(())
            });
            assert!(ran.is_ok() && seen.iter().all(|n| *n == 1), "{seen:?}");
        }
    }

    #[test]
    fn it_ends_early() {
        let jobs: Vec<usize> = (0..1000).collect();
        let mut count = 0;
        let ran = run(
            4,
            &jobs,
            |n| *n,
            |_, _| {
                count += 1;
                if count == 3 {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            },
        );
        assert!(ran.is_ok());
        assert_eq!(count, 3);
    }
}
