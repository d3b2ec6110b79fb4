//! One file's bytes as text, within the limit of size.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use crate::diagnostic::{Code, Diagnostic};
use crate::source::{SourceId, Span};

/// The largest file that is read, in bytes: 1 MiB.
pub const LARGEST: u64 = 1 << 20;

/// What a file's bytes gave: the text to show in messages, and why it cannot be read further.
pub struct Opened {
    pub text: String,
    pub problem: Option<Diagnostic>,
}

/// Opens a file. A file above [`LARGEST`] is not read at all.
///
/// # Errors
/// What the disk says, with the path.
pub fn open(source: SourceId, path: &Path) -> io::Result<Opened> {
    let named = |error: io::Error| io::Error::new(error.kind(), format!("{}: {error}", path.display()));
    let file = File::open(path).map_err(named)?;
    let size = file.metadata().map_err(named)?.len();
    if size > LARGEST {
        return Ok(too_large(source, size));
    }
    let mut bytes = Vec::with_capacity(size as usize + 1);
    // The limit stands here too, for a file that grows while it is read.
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(named)?;
    Ok(text(source, bytes))
}

/// The text of bytes in memory.
pub fn text(source: SourceId, bytes: Vec<u8>) -> Opened {
    if bytes.len() as u64 > LARGEST {
        return too_large(source, bytes.len() as u64);
    }
    match String::from_utf8(bytes) {
        Ok(text) if text.trim().is_empty() => {
            let problem = Diagnostic::new(Code::EmptyFile, Span::new(source, 0, 0), "the file is empty");
            Opened { text, problem: Some(problem) }
        }
        Ok(text) => Opened { text, problem: None },
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let bytes = error.into_bytes();
            let message = format!("expected UTF-8 text, found the byte 0x{:02X}", bytes.get(at).copied().unwrap_or(0));
            let hint = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
                "the file looks like UTF-16; save it again as UTF-8"
            } else {
                "save the file again as UTF-8 in your editor"
            };
            let text = String::from_utf8_lossy(&bytes).into_owned();
            // The mark that stands for the bad byte is three bytes long.
            let problem = Diagnostic::new(Code::NotText, Span::new(source, at, at + 3), message).hint(hint);
            Opened { text, problem: Some(problem) }
        }
    }
}

fn too_large(source: SourceId, size: u64) -> Opened {
    let message = format!("the file has {size} bytes; an entry may have at most {LARGEST}");
    let problem = Diagnostic::new(Code::FileTooLarge, Span::new(source, 0, 0), message);
    Opened { text: String::new(), problem: Some(problem.hint("split it, or take it out of the folder")) }
}
