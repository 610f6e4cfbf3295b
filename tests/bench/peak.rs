//! Counts what is allocated and the most there was at once.

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

static NOW: AtomicUsize = AtomicUsize::new(0);
static MOST: AtomicUsize = AtomicUsize::new(0);

/// The system's allocator with two counters.
pub struct Counting;

// SAFETY: every call goes to the system's allocator unchanged; the counters don't touch memory.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        let now = NOW.fetch_add(layout.size(), Relaxed) + layout.size();
        MOST.fetch_max(now, Relaxed);
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        NOW.fetch_sub(layout.size(), Relaxed);
        unsafe { System.dealloc(pointer, layout) }
    }
}

/// Bytes allocated at the moment.
pub fn now() -> usize {
    NOW.load(Relaxed)
}

/// The most bytes there were at once while `work` ran.
pub fn during(work: impl FnOnce()) -> usize {
    MOST.store(now(), Relaxed);
    work();
    MOST.load(Relaxed)
}
