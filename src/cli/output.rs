//! Standard output as the commands write it, which remembers its first failure. The streams that a command sees are in
//! [`outcome`](super::outcome).

use std::io::{self, BufWriter, Write};

/// What became of the output.
#[derive(Debug)]
pub enum WriteOutcome {
    /// All of it was written.
    All,
    /// The reader closed its end.
    NotWanted,
    /// It could not be written.
    Failed(io::Error),
}

/// A buffered output that keeps its first failure, so that this failure can be told from others.
#[derive(Debug)]
pub struct BufferedOutput<W: Write> {
    inner: BufWriter<W>,
    failure: Option<io::Error>,
}

impl<W: Write> BufferedOutput<W> {
    /// Returns an output that writes to `inner`.
    pub fn new(inner: W) -> Self {
        Self { inner: BufWriter::new(inner), failure: None }
    }

    /// Writes what is still in the buffer and returns what became of the whole output.
    pub fn finish(mut self) -> WriteOutcome {
        let _ = self.flush();
        match self.failure.take() {
            None => WriteOutcome::All,
            Some(error) if error.kind() == io::ErrorKind::BrokenPipe => WriteOutcome::NotWanted,
            Some(error) => WriteOutcome::Failed(error),
        }
    }

    fn remembered<T>(&mut self, result: io::Result<T>) -> io::Result<T> {
        result.map_err(|error| {
            let kind = error.kind();
            if kind != io::ErrorKind::Interrupted {
                self.failure.get_or_insert(error);
            }
            kind.into()
        })
    }
}

impl<W: Write> Write for BufferedOutput<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let result = self.inner.write(bytes);
        self.remembered(result)
    }

    fn flush(&mut self) -> io::Result<()> {
        let result = self.inner.flush();
        self.remembered(result)
    }
}

/// An output for notes, which are of no use where nobody reads them: it takes them all, so that a command does its work
/// also where its standard error is closed.
#[derive(Debug)]
pub struct Notes<W: Write>(W);

impl<W: Write> Notes<W> {
    /// Returns an output for notes that writes to `inner` as long as that takes anything.
    pub const fn new(inner: W) -> Self {
        Self(inner)
    }
}

impl<W: Write> Write for Notes<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self.0.write(bytes) {
            Err(error) if error.kind() != io::ErrorKind::Interrupted => Ok(bytes.len()),
            taken => taken,
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        let _ = self.0.flush();
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Refusing(io::ErrorKind);

    impl Write for Refusing {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(self.0.into())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_failure_is_remembered_and_a_reader_who_left_is_none() {
        for (kind, failed) in [(io::ErrorKind::StorageFull, true), (io::ErrorKind::BrokenPipe, false)] {
            let mut output = BufferedOutput::new(Refusing(kind));
            output.write_all(b"0:00 Welcome\n").expect("it fits the buffer");
            assert_eq!(matches!(output.finish(), WriteOutcome::Failed(error) if error.kind() == kind), failed);
        }
        assert!(matches!(BufferedOutput::new(Vec::new()).finish(), WriteOutcome::All));
    }
}
