//! Memory: how much of it is kept once it isn't needed.

#![allow(
    unsafe_code,
    reason = "the system's allocator is asked for what no safe function asks for"
)]

/// Shares of the heap that all threads have between them. The allocator would give each thread its own, and what one of them has freed
/// isn't there for the others. Two let two threads at work allocate at once; small pieces each thread has at hand anyway.
#[cfg(all(target_os = "linux", target_env = "gnu"))]
const ARENAS: libc::c_int = 2;

/// Makes threads share memory, to be called before there are any. Where the system's allocator isn't the one known here, nothing happens.
#[allow(
    unsafe_code,
    reason = "the system's allocator is asked for what no safe function asks for"
)]
pub fn share() {
    #[cfg(all(target_os = "linux", target_env = "gnu"))]
    // SAFETY: it takes no pointer, and sets a number that the allocator reads when a thread asks for memory for the first time.
    unsafe {
        // If it is refused, there are as many as there were.
        libc::mallopt(libc::M_ARENA_MAX, ARENAS);
    }
}

/// Gives back what was freed. The allocator keeps it for the thread that had it, and what a check of many sets took is of no use to the
/// threads that print. Where the system's allocator isn't the one known here, nothing happens.
pub fn give_back() {
    #[cfg(all(target_os = "linux", target_env = "gnu"))]
    // SAFETY: it takes no pointer, and may be called from any thread at any time.
    unsafe {
        libc::malloc_trim(0);
    }
}
