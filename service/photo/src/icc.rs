//! Colour profiles: one that says nothing but colours is kept, any other is left out, and the
//! picture is then shown in the usual colours.

/// The parts of a profile that say how colours are meant (ICC.1:2022, 9.2), and its name and
/// copyright. Parts that name a device or its maker (`dmnd`, `dmdd`, `targ`, `mmod` and others) are
/// not among them.
const COLOURS: [&[u8; 4]; 19] = [
    b"desc", b"cprt", b"wtpt", b"bkpt", b"chad", b"rXYZ", b"gXYZ", b"bXYZ", b"rTRC", b"gTRC",
    b"bTRC", b"kTRC", b"A2B0", b"A2B1", b"A2B2", b"B2A0", b"B2A1", b"B2A2", b"cicp",
];

/// Where the header ends and the list of parts begins: with their number.
const HEADER: usize = 128;
const LINE: usize = 12;
/// A larger one is not about the colours of a camera or a screen.
const MOST_BYTES: usize = 64 * 1024;

/// Whether a profile says nothing but colours.
pub fn is_harmless(profile: &[u8]) -> bool {
    if profile.len() > MOST_BYTES || profile.get(36..40) != Some(b"acsp") {
        return false;
    }
    let Some((count, lines)) = profile.get(HEADER..).and_then(<[u8]>::split_first_chunk::<4>)
    else {
        return false;
    };
    let count = usize::try_from(u32::from_be_bytes(*count)).unwrap_or(usize::MAX);
    let mut lines = lines.chunks_exact(LINE);
    let known = |line: &[u8]| COLOURS.iter().any(|part| line.starts_with(*part));
    count > 0 && (0..count.min(100)).all(|_| lines.next().is_some_and(known)) && count <= 100
}
