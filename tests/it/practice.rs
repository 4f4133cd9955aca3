//! What the program says against the tables of common practice in `tests/practice`: how much of each it gets right, of the
//! part by which prices were set and of the part that was kept from that. `--nocapture` prints the figures.

use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::Shape;
use fingerpost::instrument::rig::Rig;

mod chords;
mod families;
mod lines;
mod names;

/// Which part of a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    /// The two thirds by which prices may be set.
    Seen,
    /// The third that is kept from that.
    Held,
}

/// How many of how many are right.
#[derive(Debug, Clone, Copy, Default)]
struct Share {
    right: usize,
    all: usize,
}

impl Share {
    fn add(&mut self, right: usize, all: usize) {
        self.right += right;
        self.all += all;
    }

    fn thousandths(self) -> usize {
        self.right * 1000 / self.all.max(1)
    }

    /// Prints the figure and sees that it is no worse than `least`, in thousandths.
    #[track_caller]
    fn at_least(self, least: usize, what: &str, part: Part) {
        println!("{what}, {part:?}: {} of {}, {}", self.right, self.all, self.thousandths());
        assert!(self.thousandths() >= least, "{what}, {part:?}: {} of {} is less than {least}", self.right, self.all);
    }
}

fn rig(instrument: &str, tuning: &str) -> Rig {
    let tuning = Some(tuning).filter(|tuning| *tuning != "standard");
    let (body, tuning) = setup_from_text(Some(instrument), tuning).unwrap();
    Rig::new(body, tuning, None).unwrap()
}

/// The answers of a cell.
fn answers(cell: &str) -> Vec<&str> {
    cell.split('|').map(str::trim).filter(|answer| !answer.is_empty()).collect()
}

fn shape(text: &str) -> Shape {
    text.parse().unwrap_or_else(|error| panic!("{text}: {error}"))
}
