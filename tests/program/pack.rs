//! Objects as git keeps many of them: a pack and the index to it, as `gitformat-pack` describes them. What comes behind the first of a kind
//! is written as its difference from that one, as git does with what is alike.

use gix::ObjectId;
use gix::hash::{Kind as Hash, hasher};
use gix::objs::Kind;

/// An object to be packed.
pub struct Object {
    pub id: ObjectId,
    pub kind: Kind,
    pub data: Vec<u8>,
}

/// Its type for a difference from an object that is named.
const DIFFERENCE: u8 = 7;

/// The pack of these objects and its index, and what both are called after.
pub fn packed(mut objects: Vec<Object>) -> (Vec<u8>, Vec<u8>, ObjectId) {
    objects.sort_by_key(|object| object.id);
    let mut pack = b"PACK\0\0\0\x02".to_vec();
    pack.extend((objects.len() as u32).to_be_bytes());
    let mut places = Vec::new();
    for object in &objects {
        places.push(pack.len() as u32);
        let base = objects.iter().find(|base| base.kind == object.kind);
        match base.filter(|base| base.id != object.id) {
            Some(base) => {
                let difference = difference(&base.data, &object.data);
                head(DIFFERENCE, difference.len(), &mut pack);
                pack.extend_from_slice(base.id.as_bytes());
                pack.extend(stored(&difference));
            }
            None => {
                head(type_of(object.kind), object.data.len(), &mut pack);
                pack.extend(stored(&object.data));
            }
        }
    }
    let name = sum(&pack);
    pack.extend_from_slice(name.as_bytes());
    (pack, index(&objects, &places, name), name)
}

fn index(objects: &[Object], places: &[u32], name: ObjectId) -> Vec<u8> {
    let mut index = b"\xfftOc\0\0\0\x02".to_vec();
    for first in 0..=255 {
        let up_to = objects.iter().filter(|object| object.id.as_bytes()[0] <= first);
        index.extend((up_to.count() as u32).to_be_bytes());
    }
    objects
        .iter()
        .for_each(|object| index.extend_from_slice(object.id.as_bytes()));
    // Sums of the packed bytes, which are asked for where a pack is copied or held against its index.
    index.resize(index.len() + 4 * objects.len(), 0);
    places.iter().for_each(|place| index.extend(place.to_be_bytes()));
    index.extend_from_slice(name.as_bytes());
    let own = sum(&index);
    index.extend_from_slice(own.as_bytes());
    index
}

fn type_of(kind: Kind) -> u8 {
    match kind {
        Kind::Commit => 1,
        Kind::Tree => 2,
        Kind::Blob => 3,
        Kind::Tag => 4,
    }
}

/// The head of an entry: its type, and its size when it is unpacked.
fn head(of: u8, size: usize, pack: &mut Vec<u8>) {
    let mut rest = size >> 4;
    let mut byte = (of << 4) | (size & 15) as u8;
    while rest > 0 {
        pack.push(byte | 0x80);
        byte = (rest & 0x7f) as u8;
        rest >>= 7;
    }
    pack.push(byte);
}

/// How one text comes of another: what both begin with, and the rest as it is.
fn difference(base: &[u8], text: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    for size in [base.len(), text.len()] {
        let mut rest = size;
        while rest > 0x7f {
            out.push((rest & 0x7f) as u8 | 0x80);
            rest >>= 7;
        }
        out.push(rest as u8);
    }
    let alike = base
        .iter()
        .zip(text)
        .take_while(|(one, other)| one == other)
        .count()
        .min(0xffff);
    if alike > 0 {
        // From the start, with two bytes of length.
        out.extend([0xb0, alike as u8, (alike >> 8) as u8]);
    }
    for piece in text[alike..].chunks(127) {
        out.push(piece.len() as u8);
        out.extend_from_slice(piece);
    }
    out
}

fn sum(bytes: &[u8]) -> ObjectId {
    let mut hasher = hasher(Hash::Sha1);
    hasher.update(bytes);
    hasher.try_finalize().expect("a sum")
}

/// A zlib stream (RFC 1950) of stored blocks (RFC 1951, 3.2.4), which need no compression.
pub fn stored(text: &[u8]) -> Vec<u8> {
    let mut out = vec![0x78, 0x01];
    let mut pieces = text.chunks(0xffff).peekable();
    if pieces.peek().is_none() {
        out.extend([1, 0, 0, 0xff, 0xff]);
    }
    while let Some(piece) = pieces.next() {
        let length = piece.len() as u16;
        out.push(u8::from(pieces.peek().is_none()));
        out.extend(length.to_le_bytes());
        out.extend((!length).to_le_bytes());
        out.extend_from_slice(piece);
    }
    let (mut a, mut b) = (1_u32, 0_u32);
    for byte in text {
        a = (a + u32::from(*byte)) % 65521;
        b = (b + a) % 65521;
    }
    out.extend((b << 16 | a).to_be_bytes());
    out
}
