//! Addresses of texts, and the paths that they are of.

use std::path::{Path, PathBuf};

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, percent_decode_str, utf8_percent_encode};

/// What stays as it is in the path of a `file:` address (RFC 3986, 3.3).
const PATH: &AsciiSet = &NON_ALPHANUMERIC.remove(b'/').remove(b'-').remove(b'.').remove(b'_').remove(b'~');

/// The path that an address is of. A text that was never saved has one all the same, in the folder `at`.
pub(super) fn path_of(address: &str, at: &Path) -> PathBuf {
    let decoded = |text: &str| percent_decode_str(text).decode_utf8_lossy().into_owned();
    if let Some(rest) = address.strip_prefix("file://") {
        // An address may name the machine; it is this one.
        let path = decoded(&rest[rest.find('/').unwrap_or(0)..]);
        let bytes = path.as_bytes();
        let has_drive = bytes.len() > 2 && bytes[1].is_ascii_alphabetic() && bytes[2] == b':';
        return PathBuf::from(if has_drive { &path[1..] } else { &path[..] });
    }
    let name: String = decoded(address.split_once(':').map_or(address, |(_, name)| name));
    let name = name.replace(|character: char| !character.is_alphanumeric() && character != '-', "-");
    at.join(format!("{name}.{}", crate::workspace::ENDING))
}

/// The address of a file.
pub(super) fn address_of(path: &Path) -> String {
    let text = path.display().to_string().replace('\\', "/");
    let slash = if text.starts_with('/') { "" } else { "/" };
    format!("file://{slash}{}", utf8_percent_encode(&text, PATH))
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::{address_of, path_of};

    #[test]
    fn a_path_comes_back_from_its_address() {
        let at = Path::new("/shop");
        for path in ["/shop/clip.dryfit", "/shop/a b/Ø 50%.dryfit"] {
            assert_eq!(path_of(&address_of(Path::new(path)), at), Path::new(path));
        }
        assert_eq!(address_of(Path::new("/shop/a b.dryfit")), "file:///shop/a%20b.dryfit");
        assert_eq!(path_of("file:///c%3A/shop/clip.dryfit", at), Path::new("c:/shop/clip.dryfit"));
        assert_eq!(path_of("file://localhost/shop/clip.dryfit", at), Path::new("/shop/clip.dryfit"));
    }

    #[test]
    fn a_text_that_was_never_saved_has_a_place() {
        assert_eq!(path_of("untitled:Untitled-1", Path::new("/shop")), Path::new("/shop/Untitled-1.dryfit"));
    }
}
