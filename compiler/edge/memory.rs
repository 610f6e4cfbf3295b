//! Memory given back to the system.

/// Gives back what was freed. The allocator keeps it for the thread that had it, and what a check of many sets took is of no use to the
/// threads that print. Where the system's allocator isn't the one known here, nothing happens.
pub fn give_back() {
    #[cfg(all(target_os = "linux", target_env = "gnu"))]
    // SAFETY: it takes no pointer, and may be called from any thread at any time.
    unsafe {
        libc::malloc_trim(0);
    }
}
