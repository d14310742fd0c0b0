//! Stages files beside their places and moves them when all are whole: a folder that is held for one run, files that are written
//! piece by piece while their hash is taken, and what an interrupted run had left.

use std::io::{self, BufWriter, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use tempfile::NamedTempFile;

use super::{Mended, foreign};
use crate::project::{ProjectError, plain};

/// How the names of staged files begin.
const STAGED: &str = ".motorwright-";
/// Bytes that are handed to the system at once.
const PIECE: usize = 1 << 16;

/// A folder that other runs are kept out of until it is dropped, however this run ends.
pub(super) struct Held<'f> {
    folder: &'f Path,
    _lock: Option<std::fs::File>,
    /// The traces that an interrupted run had left in it.
    pub(super) mended: Mended,
}

impl<'f> Held<'f> {
    /// Makes the folder if it isn't there, and holds it.
    pub(super) fn new(folder: &'f Path) -> Result<Self, ProjectError> {
        if folder.exists() && !folder.is_dir() {
            return Err(ProjectError::output(format!("{} is a file, not a folder; name another with --out", folder.display())));
        }
        std::fs::create_dir_all(folder).map_err(|error| world(folder, &error))?;
        let lock = hold(folder)?;
        Ok(Self { folder, _lock: lock, mended: unfinished(folder) })
    }

    /// Stages bytes that stand ready.
    pub(super) fn stage_bytes(&self, name: &str, bytes: &[u8]) -> Result<Staged, ProjectError> {
        self.stage(name, |sink| sink.write_all(bytes).map_err(|error| world(self.folder, &error)))
    }

    /// Stages a file: `write` puts its bytes into the sink.
    pub(super) fn stage(
        &self,
        name: &str,
        write: impl FnOnce(&mut Sink) -> Result<(), ProjectError>,
    ) -> Result<Staged, ProjectError> {
        let world = |error: io::Error| world(self.folder, &error);
        let target = self.folder.join(name);
        if target.is_dir() {
            return Err(ProjectError::output(format!(
                "{} is a folder; remove it or name another folder with --out",
                target.display()
            )));
        }
        let file = staged_as_output(tempfile::Builder::new().prefix(STAGED)).tempfile_in(self.folder).map_err(world)?;
        let mut sink = Sink(BufWriter::with_capacity(PIECE, Hashed { file, hash: Sha256::new(), refused: None }));
        let written = write(&mut sink).and_then(|()| sink.flush().map_err(world));
        // A writer tells in its own words that its bytes were refused; the folder's are plainer.
        if let (Err(_), Some(refused)) = (&written, sink.0.get_mut().refused.take()) {
            return Err(world(refused));
        }
        written?;
        let Hashed { file, hash, .. } = sink.0.into_inner().map_err(|error| world(error.into_error()))?;
        file.as_file().sync_all().map_err(world)?;
        Ok(Staged { file, target, sha256: hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect() })
    }

    /// Moves staged files to their places, in this order.
    pub(super) fn place(&self, files: Vec<Staged>) -> Result<(), ProjectError> {
        for Staged { file, target, .. } in files {
            file.persist(&target).map_err(|error| world(self.folder, &error.error))?;
        }
        Ok(())
    }

    /// Puts other bytes in the place of as many that a staged file holds: each time where `from` stands next. The file's hash is
    /// no longer that of its bytes then.
    pub(super) fn replace(&self, staged: &mut Staged, from: &[u8], with: &[Vec<u8>]) -> Result<(), ProjectError> {
        let file = staged.file.as_file_mut();
        let replaced = replace(file, from, with).and_then(|()| file.sync_all());
        replaced.map_err(|error| world(self.folder, &error))
    }
}

/// A file that stands whole beside its place.
pub(super) struct Staged {
    file: NamedTempFile,
    target: PathBuf,
    /// Hash of its bytes.
    pub(super) sha256: String,
}

/// Takes the bytes of a file that is staged.
pub(super) struct Sink(BufWriter<Hashed>);

struct Hashed {
    file: NamedTempFile,
    hash: Sha256,
    /// Why bytes were refused.
    refused: Option<io::Error>,
}

impl Write for Sink {
    #[inline]
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    #[inline]
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

impl Write for Hashed {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self.file.write(bytes) {
            Ok(taken) => {
                self.hash.update(bytes.get(..taken).unwrap_or(bytes));
                Ok(taken)
            }
            Err(error) if error.kind() == io::ErrorKind::Interrupted => Err(error),
            Err(error) => {
                let told = io::Error::new(error.kind(), error.to_string());
                self.refused.get_or_insert(error);
                Err(told)
            }
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

/// Puts other bytes in the place of as many: each time where `from` stands next.
fn replace(file: &mut (impl Read + Write + Seek), from: &[u8], with: &[Vec<u8>]) -> io::Result<()> {
    file.seek(SeekFrom::Start(0))?;
    let (mut read, mut searched, mut found) = (Vec::new(), 0, Vec::new());
    while found.len() < with.len() {
        let at = read.get(searched..).and_then(|rest| rest.windows(from.len()).position(|rest| rest == from));
        if let Some(at) = at {
            found.push(searched + at);
            searched += at + from.len();
        } else {
            searched = searched.max((read.len() + 1).saturating_sub(from.len()));
            if Read::by_ref(file).take(PIECE as u64).read_to_end(&mut read)? == 0 {
                return Err(io::Error::other("a staged file does not hold what was written to it"));
            }
        }
    }
    for (at, with) in found.into_iter().zip(with) {
        file.seek(SeekFrom::Start(at as u64))?;
        file.write_all(with)?;
    }
    Ok(())
}

fn world(folder: &Path, error: &io::Error) -> ProjectError {
    ProjectError::output(format!(
        "{}: the folder can't be written to: {}; name another with --out",
        folder.display(),
        plain(error)
    ))
}

/// Keeps other runs out of a folder. Where the system can't lock a folder the runs are on their own: each file is whole, and the
/// hashes tell a mixed set.
fn hold(folder: &Path) -> Result<Option<std::fs::File>, ProjectError> {
    let Ok(held) = std::fs::File::open(folder) else { return Ok(None) };
    match held.try_lock() {
        Err(std::fs::TryLockError::WouldBlock) => Err(ProjectError::output(format!(
            "another run is writing to {}; wait for it, or name another folder with --out",
            folder.display()
        ))),
        Err(std::fs::TryLockError::Error(_)) | Ok(()) => Ok(Some(held)),
    }
}

/// Looks for what an interrupted run left, and removes what it had only staged: the folder is held, so no other run needs it.
fn unfinished(folder: &Path) -> Mended {
    let Ok(entries) = std::fs::read_dir(folder) else { return Mended::default() };
    let left = |entry: &std::fs::DirEntry| {
        let ours = entry.file_name().to_str().is_some_and(|name| name.starts_with(STAGED));
        ours && entry.file_type().is_ok_and(|kind| kind.is_file())
    };
    let staged = entries.flatten().filter(left).filter(|entry| std::fs::remove_file(entry.path()).is_ok()).count();
    // Only an interrupted run leaves staged files, and only then is it worth reading the old outputs.
    Mended { staged, foreign: if staged == 0 { Vec::new() } else { foreign(folder) } }
}

/// An output is read by whom the user lets read new files: the system takes away what the mask of the user forbids.
#[cfg(unix)]
fn staged_as_output<'b, 'p, 's>(builder: &'b mut tempfile::Builder<'p, 's>) -> &'b mut tempfile::Builder<'p, 's> {
    use std::os::unix::fs::PermissionsExt;
    builder.permissions(std::fs::Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn staged_as_output<'b, 'p, 's>(builder: &'b mut tempfile::Builder<'p, 's>) -> &'b mut tempfile::Builder<'p, 's> {
    builder
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The second place lies across the end of the first piece that is read.
    #[test]
    fn bytes_are_replaced_in_their_order_wherever_pieces_end() {
        let filling = ".".repeat(PIECE - 6);
        let mut file = io::Cursor::new(format!("ab{filling}abab").into_bytes());
        replace(&mut file, b"ab", &[b"12".to_vec(), b"34".to_vec()]).expect("both are there");
        assert_eq!(file.into_inner(), format!("12{filling}34ab").into_bytes());
        let mut file = io::Cursor::new(format!("{}ab", ".".repeat(PIECE - 1)).into_bytes());
        replace(&mut file, b"ab", &[b"12".to_vec()]).expect("it is there");
        assert!(file.into_inner().ends_with(b".12"));
        let mut file = io::Cursor::new(b"ab".to_vec());
        assert!(replace(&mut file, b"ab", &[b"12".to_vec(), b"34".to_vec()]).is_err());
        assert_eq!(file.into_inner(), b"ab");
    }
}
