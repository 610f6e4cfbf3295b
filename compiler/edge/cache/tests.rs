//! Entries that aren't as they were written, and room for new ones.

use super::entry::{read, written};
use super::{Cache, Finished, Key};
use crate::edge::disk::Real;
use std::fs;
use std::path::PathBuf;
use std::time::{Duration, SystemTime};

fn key(word: &str) -> Key {
    let mut making = Key::of("test");
    making.add(word.as_bytes());
    making.key()
}

fn finished() -> Finished {
    Finished {
        files: vec![b"one\nfile".to_vec(), Vec::new(), vec![0, 255, 10]],
        leaves: 3,
        remarks: vec!["a “remark”".to_string()],
    }
}

#[test]
fn an_entry_is_read_as_it_was_written_and_not_otherwise() {
    let (key, other) = (key("a"), key("b"));
    let bytes = written(&key, &finished());
    assert_eq!(read(&key, &bytes), Some(finished()));
    assert_eq!(read(&other, &bytes), None);
    for at in 0..bytes.len() {
        assert_eq!(read(&key, &bytes[..at]), None, "cut at {at}");
        for bit in 0..8 {
            let mut bytes = bytes.clone();
            bytes[at] ^= 1 << bit;
            assert_eq!(read(&key, &bytes), None, "bit {bit} of byte {at}");
        }
    }
    let mut longer = bytes;
    longer.push(0);
    assert_eq!(read(&key, &longer), None);
}

#[test]
fn pieces_do_not_run_together() {
    let of = |pieces: &[&str]| {
        let mut making = Key::of("test");
        pieces.iter().for_each(|piece| {
            making.add(piece.as_bytes());
        });
        making.key()
    };
    assert_ne!(of(&["ab", "c"]), of(&["a", "bc"]));
    assert_ne!(of(&["abc"]), of(&["abc", ""]));
    assert_eq!(of(&["ab", "c"]), of(&["ab", "c"]));
}

/// A folder for one test, gone at its end.
struct Scratch(PathBuf);

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

#[test]
fn what_was_of_no_use_for_longest_goes_first() {
    let name = format!("benchleaf-cache-{}", std::process::id());
    let scratch = Scratch(std::env::temp_dir().join(name));
    fs::create_dir_all(&scratch.0).unwrap();
    let cache = Cache::at(&Real, scratch.0.join("benchleaf/made-1"));
    let document = Finished {
        files: vec![vec![7; 10_000]],
        ..finished()
    };
    let keys: Vec<Key> = (0..8).map(|n| key(&format!("{n}"))).collect();
    let days = |days: u64| SystemTime::now() - Duration::from_secs(days * 24 * 60 * 60);
    for (n, key) in keys.iter().enumerate() {
        cache.keep(key, &document);
        let file = fs::File::options().append(true).open(cache.place(key)).unwrap();
        file.set_modified(days(20 - n as u64)).unwrap();
    }
    let there = |cache: &Cache| -> Vec<usize> { (0..8).filter(|n| cache.place(&keys[*n]).exists()).collect() };
    cache.make_room(100_000);
    assert_eq!(there(&cache), [0, 1, 2, 3, 4, 5, 6, 7]);
    // Use keeps the oldest.
    assert_eq!(cache.find(&keys[0], "it").as_ref(), Some(&document));
    cache.make_room(60_000);
    assert_eq!(there(&cache), [0, 5, 6, 7], "a quarter is free then");
    assert_eq!(cache.find(&keys[1], "it"), None);
}
