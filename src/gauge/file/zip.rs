//! An archive of files as they are, without packing them: the ZIP format (APPNOTE 6.3, the parts that ISO/IEC 21320-1 keeps).

/// The least version of the format that reads it, 2.0.
const VERSION: u16 = 20;
/// Noon of the format's first day, 1980-01-01: files made from the same things are the same.
const MOMENT: [u16; 2] = [0, 33];
/// Names are UTF-8.
const FLAGS: u16 = 1 << 11;
const STORED: u16 = 0;

/// The archive of these files, in this order. They are a few hundred kilobytes: sizes are far below the format's limit.
pub(super) fn zip(files: &[(&str, &str)]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut directory = Vec::new();
    for (name, text) in files {
        let mut about = Vec::new();
        words(&mut about, &[VERSION, FLAGS, STORED, MOMENT[0], MOMENT[1]]);
        let size = length(text);
        about.extend([checksum(text.as_bytes()), size, size].into_iter().flat_map(u32::to_le_bytes));
        words(&mut about, &[short(name.len()), 0]);
        let at = position(&out);
        out.extend(b"PK\x03\x04");
        out.extend(&about);
        out.extend(name.as_bytes());
        out.extend(text.as_bytes());
        directory.extend(b"PK\x01\x02");
        words(&mut directory, &[VERSION]);
        directory.extend(&about);
        // No comment, one disk, no attributes.
        words(&mut directory, &[0, 0, 0, 0, 0]);
        directory.extend(at.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let (at, size, count) = (position(&out), position(&directory), short(files.len()));
    out.extend(directory);
    out.extend(b"PK\x05\x06");
    words(&mut out, &[0, 0, count, count]);
    out.extend([size, at].into_iter().flat_map(u32::to_le_bytes));
    words(&mut out, &[0]);
    out
}

fn words(out: &mut Vec<u8>, values: &[u16]) {
    out.extend(values.iter().flat_map(|value| value.to_le_bytes()));
}

fn length(text: &str) -> u32 {
    position(text.as_bytes())
}

fn position(bytes: &[u8]) -> u32 {
    u32::try_from(bytes.len()).unwrap_or(u32::MAX)
}

fn short(count: usize) -> u16 {
    u16::try_from(count).unwrap_or(u16::MAX)
}

/// CRC-32 of ISO 3309 and ITU-T V.42, bit by bit.
fn checksum(bytes: &[u8]) -> u32 {
    const TURNED: u32 = 0xEDB8_8320;
    let byte = |sum: u32, byte: &u8| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| if sum & 1 == 1 { (sum >> 1) ^ TURNED } else { sum >> 1 })
    };
    !bytes.iter().fold(u32::MAX, byte)
}

#[cfg(test)]
mod tests {
    /// The check value of CRC-32: that of the nine digits (ITU-T V.42's polynomial; Williams's catalogue, from memory).
    #[test]
    fn the_checksum_of_the_nine_digits() {
        assert_eq!(super::checksum(b"123456789"), 0xCBF4_3926);
    }
}
