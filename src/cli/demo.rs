//! `fingerpost demo`: a fresh copy of a demo lesson, with a library of its own beside it.
//!
//! Its settings are kept beside the copy as well, so that a visitor cannot change the teacher's. The workbench is not
//! opened here.

use anyhow::{Context as _, Result, bail};

use super::args::DemoArgs;
use super::outcome::{Launch, Outcome, Streams};
use crate::store::atomic;
use crate::store::demos::{DEMOS, Demo};
use crate::text::quote::quoted;

/// Copies a demo lesson into a temporary folder and returns the outcome that opens the workbench on it.
///
/// The folder also holds the library and the settings of that run, so that nothing that a visitor tries changes the
/// teacher's own.
///
/// Errors: no demo of that name, a copy that cannot be made, or output that cannot be written.
pub fn run(args: &DemoArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    if args.list {
        for demo in DEMOS {
            writeln!(streams.out, "{:22} {}; {}", demo.name, demo.title, demo.about)?;
        }
        return Ok(Outcome::Fine);
    }
    let demo = chosen(args.name.as_deref())?;
    let home = tempfile::Builder::new()
        .prefix("fingerpost-demo-")
        .tempdir()
        .context("cannot make a temporary folder for the demo")?
        .keep();
    let lesson = home.join(format!("{}.lesson.ron", demo.name));
    atomic::replace(&lesson, demo.text.as_bytes()).with_context(|| format!("cannot write {}", lesson.display()))?;
    Ok(Outcome::Workbench(Launch::Demo { lesson, home }))
}

fn chosen(name: Option<&str>) -> Result<&'static Demo> {
    let names = || DEMOS.iter().map(|demo| demo.name).collect::<Vec<_>>().join(", ");
    let demo = match name {
        None => DEMOS.first(),
        Some(name) => DEMOS.iter().find(|demo| demo.name.starts_with(&name.to_lowercase())),
    };
    match demo {
        Some(demo) => Ok(demo),
        None => bail!("no demo is called `{}`; the demos are: {}", quoted(name.unwrap_or_default()), names()),
    }
}
