//! One line that tells what a long run is doing: on a terminal only, after a second, and gone when the run ends.

use std::io::{IsTerminal, Write};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Runs that end sooner show nothing.
const PATIENCE: Duration = Duration::from_secs(1);

/// The line. Dropping it takes it away.
pub(super) struct Progress {
    line: Option<(Sender<String>, JoinHandle<()>)>,
}

impl Progress {
    /// A line on standard error, if that is a terminal.
    pub(super) fn begin(stage: &str) -> Self {
        Self::on(std::io::stderr(), std::io::stderr().is_terminal(), stage)
    }

    fn on(out: impl Write + Send + 'static, shown: bool, stage: &str) -> Self {
        if !shown {
            return Self { line: None };
        }
        let (sender, stages) = channel::<String>();
        let first = stage.to_owned();
        let writer = std::thread::Builder::new().spawn(move || show(out, first, &stages)).ok();
        Self { line: writer.map(|writer| (sender, writer)) }
    }

    /// Says what is being done from now on.
    pub(super) fn stage(&self, stage: impl Into<String>) {
        if let Some((sender, _)) = &self.line {
            let _ = sender.send(stage.into());
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((sender, writer)) = self.line.take() {
            drop(sender);
            let _ = writer.join();
        }
    }
}

fn show(mut out: impl Write, mut stage: String, stages: &std::sync::mpsc::Receiver<String>) {
    let begun = Instant::now();
    let mut shown = false;
    loop {
        // Until the line stands it waits for its moment; then its seconds go on.
        let wait = if shown { PATIENCE } else { PATIENCE.saturating_sub(begun.elapsed()) };
        match stages.recv_timeout(wait) {
            Ok(next) => stage = next,
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => break,
        }
        if begun.elapsed() >= PATIENCE {
            shown = true;
            // Clears to the end of the line: the stage before may have been longer.
            let _ = write!(out, "\r{stage}, {} s\x1b[K", begun.elapsed().as_secs());
            let _ = out.flush();
        }
    }
    if shown {
        let _ = write!(out, "\r\x1b[K");
        let _ = out.flush();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::{Arc, Mutex};

    use super::*;

    #[derive(Clone, Default)]
    struct Screen(Arc<Mutex<Vec<u8>>>);
    impl Write for Screen {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.lock().map_err(|_| std::io::ErrorKind::Other)?.extend_from_slice(bytes);
            Ok(bytes.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    impl Screen {
        fn text(&self) -> String {
            String::from_utf8_lossy(&self.0.lock().unwrap()).into_owned()
        }
    }

    #[test]
    fn a_short_run_shows_nothing_and_neither_does_one_that_nobody_watches() {
        let screen = Screen::default();
        let line = Progress::on(screen.clone(), true, "reading");
        line.stage("writing");
        drop(line);
        let unseen = Progress::on(screen.clone(), false, "reading");
        unseen.stage("writing");
        drop(unseen);
        assert_eq!(screen.text(), "");
    }

    #[test]
    fn a_long_run_tells_its_stage_and_takes_the_line_away() {
        let screen = Screen::default();
        let line = Progress::on(screen.clone(), true, "reading");
        line.stage("sizing 3 rows");
        std::thread::sleep(PATIENCE + Duration::from_millis(300));
        drop(line);
        let text = screen.text();
        assert!(text.starts_with("\rsizing 3 rows, 1 s\x1b[K") && text.ends_with("\r\x1b[K"), "{text:?}");
    }
}
