//! Writes a score into a sound file: it chooses the file, shows the progress and reports the result. Samples and file
//! formats are not made here; see `sound`.

use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use anyhow::{Result, anyhow, bail};

use super::lesson_file::{refuse_lesson_files, shown};
use super::outcome::Streams;
use super::sound_args::SoundFileArgs;
use crate::instrument::body::Instrument;
use crate::lesson::seconds::Seconds;
use crate::sound::file::{self, Container, FileForm, Samples, SoundFileError};
use crate::sound::rendering::{RenderedShare, Rendering};
use crate::sound::score::Score;
use crate::sound::sounds::{Sound, sound_named, sound_of};
use crate::text::safe::to_ascii;
use crate::theory::pitch::Hertz;

/// The longest file name made from a title, in characters.
const LONGEST_NAME: usize = 60;
/// The interval at which the progress bar is drawn. A file that is finished sooner needs none.
const DRAWN: Duration = Duration::from_millis(200);
/// The width of the progress bar, in characters.
const BAR: usize = 30;

/// The path of a sound file, its form, and the sound that plays.
#[derive(Debug)]
pub struct SoundFile {
    path: PathBuf,
    form: FileForm,
    sound: &'static Sound,
    replaces: bool,
}

impl SoundFile {
    /// Chooses the file for music called `title`, played on `instrument`.
    ///
    /// Errors: an ending that is not one of a sound file, a lesson that would be replaced, or a sound that does not
    /// exist.
    pub fn new(args: &SoundFileArgs, title: &str, instrument: &Instrument) -> Result<Self> {
        let sound = match &args.sound {
            Some(name) => sound_named(name)?,
            None => sound_of(instrument),
        };
        let path = match &args.output {
            Some(path) => path.clone(),
            None => free_name(title),
        };
        let form = FileForm { container: container(&path)?, rate: args.rate.samples(), depth: args.bits.depth() };
        refuse_lesson_files(&path, None, "sound", "-o tune.wav")?;
        let replaces = path.exists();
        Ok(Self { path, form, sound, replaces })
    }

    /// Writes the sound of `score`, with A4 at `reference`, and says so.
    ///
    /// Errors: those of [`file::write`]; no half-written file stays.
    pub fn write(&self, score: Score, reference: Hertz, streams: &mut Streams<'_>) -> Result<()> {
        let rendering = Rendering::new(self.sound, self.form.rate, reference, Arc::new(score));
        let longest = rendering.longest();
        let stopped = Arc::new(AtomicBool::new(false));
        let signals = listen(&stopped);
        let mut samples = ShownRendering {
            rendering,
            stopped,
            notes: streams.notes,
            bar: io::stderr().is_terminal(),
            drawn: Instant::now(),
            drawn_once: false,
        };
        let written = file::write(&self.path, self.form, longest, &mut samples);
        let Seconds(seconds) = samples.rendering.seconds();
        samples.wipe();
        signals.into_iter().for_each(forget);
        written.map_err(|error| match error {
            SoundFileError::Write(_) => anyhow!("{}: {error}", shown(&self.path)),
            SoundFileError::FlacHoldsNoFloats | SoundFileError::TooLong { .. } | SoundFileError::Stopped => {
                anyhow!(error)
            }
        })?;
        let replaced = if self.replaces { "; it replaces the file that was there" } else { "" };
        writeln!(
            streams.notes,
            "wrote {}, {seconds:.1} s, {}, sound: {}{replaced}",
            shown(&self.path),
            self.form.rate,
            self.sound.name
        )?;
        Ok(())
    }
}

fn container(path: &Path) -> Result<Container> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("wav") => Ok(Container::Wav),
        Some("flac") => Ok(Container::Flac),
        _ => bail!("-o {}: sound is written to a file whose name ends in .wav or .flac", shown(path)),
    }
}

/// Returns a file name made from a title that no file in this folder has.
fn free_name(title: &str) -> PathBuf {
    let stem = stem(title);
    let mut path = PathBuf::from(format!("{stem}.wav"));
    let mut number = 2_u32;
    while path.symlink_metadata().is_ok() {
        path = PathBuf::from(format!("{stem}-{number}.wav"));
        number += 1;
    }
    path
}

/// Returns a file name made from a title: lower-case letters and digits, joined by hyphens.
fn stem(title: &str) -> String {
    let mut stem = String::new();
    for letter in to_ascii(title).chars() {
        if letter.is_ascii_alphanumeric() {
            stem.push(letter.to_ascii_lowercase());
        } else if !stem.is_empty() && !stem.ends_with('-') {
            stem.push('-');
        }
        if stem.len() >= LONGEST_NAME {
            break;
        }
    }
    let stem = stem.trim_end_matches('-');
    if stem.is_empty() { "sound".to_owned() } else { stem.to_owned() }
}

/// A rendering that shows its progress and can be stopped.
struct ShownRendering<'a> {
    rendering: Rendering,
    stopped: Arc<AtomicBool>,
    notes: &'a mut dyn Write,
    bar: bool,
    drawn: Instant,
    drawn_once: bool,
}

impl Samples for ShownRendering<'_> {
    fn next(&mut self, out: &mut [f32]) -> usize {
        let made = self.rendering.fill(out);
        if self.bar && self.drawn.elapsed() >= DRAWN {
            self.drawn = Instant::now();
            self.drawn_once = true;
            // A progress bar that cannot be drawn is no reason to stop.
            let _ = write!(self.notes, "\r{}", bar(self.rendering.progress()));
            let _ = self.notes.flush();
        }
        made
    }

    fn stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }
}

impl ShownRendering<'_> {
    fn wipe(&mut self) {
        if self.drawn_once {
            let _ = write!(self.notes, "\r{:width$}\r", "", width = bar(RenderedShare(1.0)).len());
        }
    }
}

/// Returns the progress bar, in plain ASCII.
fn bar(RenderedShare(progress): RenderedShare) -> String {
    let done = (progress.clamp(0.0, 1.0) * BAR as f64) as usize;
    format!("[{}{}] {:3.0} %", "=".repeat(done), " ".repeat(BAR - done), 100.0 * progress)
}

/// Makes a signal such as that of Ctrl-C stop the work in an orderly way, because the temporary file has to be removed.
#[cfg(unix)]
fn listen(stopped: &Arc<AtomicBool>) -> Vec<signal_hook::SigId> {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    let register = |signal| signal_hook::flag::register(signal, Arc::clone(stopped)).ok();
    [SIGHUP, SIGINT, SIGTERM].into_iter().filter_map(register).collect()
}

#[cfg(unix)]
fn forget(signal: signal_hook::SigId) {
    signal_hook::low_level::unregister(signal);
}

#[cfg(not(unix))]
fn listen(_: &Arc<AtomicBool>) -> Vec<()> {
    Vec::new()
}

#[cfg(not(unix))]
fn forget((): ()) {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_becomes_a_file_name() {
        for (title, name) in [
            ("Kiln Street", "kiln-street"),
            ("x 3 2 0 1 0", "x-3-2-0-1-0"),
            ("Straße nach Öd, 2. Teil!", "strasse-nach-od-2-teil"),
            ("../../etc/passwd", "etc-passwd"),
            ("\u{1b}[31m", "31m"),
            ("…", "sound"),
        ] {
            assert_eq!(stem(title), name, "{title}");
        }
        assert!(stem(&"long ".repeat(100)).len() <= LONGEST_NAME);
    }

    #[test]
    fn the_bar_fills_up() {
        assert_eq!(bar(RenderedShare(0.0)), format!("[{}]   0 %", " ".repeat(30)));
        assert_eq!(bar(RenderedShare(0.5)), format!("[{}{}]  50 %", "=".repeat(15), " ".repeat(15)));
        assert_eq!(bar(RenderedShare(1.0)), format!("[{}] 100 %", "=".repeat(30)));
    }
}
