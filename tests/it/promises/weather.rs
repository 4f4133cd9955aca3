//! A disk that works, fails for a while, or is out of reach of a program that was killed.

use std::fmt;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use fingerpost::store::disk::{Call, Disk, Verdict, Witness};

use super::power::{Power, PowerCut};

/// One fault: from one call on, so many are refused.
#[derive(Clone, Copy)]
pub struct Fault {
    /// The first call, counted from the beginning of the session.
    pub at: usize,
    /// How many are refused.
    pub calls: usize,
    pub begins: Begins,
    /// What the system says.
    pub kind: ErrorKind,
}

impl fmt::Debug for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?} {:?} from call {} on, {} calls", self.begins, self.kind, self.at, self.calls)
    }
}

/// What becomes of the first call.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Begins {
    /// It is refused.
    Whole,
    /// Half of what it writes is taken. A call that writes nothing is refused.
    Half,
    /// One byte of what it writes is taken, and nothing is refused.
    OneByte,
}

/// The disk of a session.
#[derive(Debug, Default)]
pub struct Weather {
    now: Mutex<Now>,
}

#[derive(Debug, Default)]
struct Now {
    fault: Option<Fault>,
    count: usize,
    is_counting: bool,
    /// Whether the program was killed, so that nothing it still does reaches the disk.
    is_killed: bool,
    protected: Option<PathBuf>,
    power: Power,
}

impl Weather {
    pub fn disk(self: &Arc<Self>) -> Disk {
        Disk::watched(Arc::<Self>::clone(self))
    }

    /// Lets nothing be written in a folder.
    pub fn protect(&self, folder: &Path) {
        self.now.lock().unwrap().protected = Some(folder.to_owned());
    }

    /// Begins to count, and to fail where that is wanted. What lies there by now is there for good.
    pub fn begin(&self, fault: Option<Fault>) {
        let mut now = self.now.lock().unwrap();
        (now.fault, now.count, now.is_counting, now.power) = (fault, 0, true, Power::default());
    }

    /// Lets everything be written for now; returns how many calls were made.
    pub fn pause(&self) -> usize {
        let mut now = self.now.lock().unwrap();
        now.is_counting = false;
        now.count
    }

    /// Returns whether no call will be refused any more.
    pub fn is_fine(&self) -> bool {
        let now = self.now.lock().unwrap();
        now.fault.is_none_or(|fault| now.count > fault.at.saturating_add(fault.calls))
    }

    pub fn go_on(&self) {
        self.now.lock().unwrap().is_counting = true;
    }

    pub fn kill(&self, is_killed: bool) {
        self.now.lock().unwrap().is_killed = is_killed;
    }

    /// Leaves on the disk what a power cut leaves.
    pub fn cut_power(&self, cut: PowerCut) {
        self.now.lock().unwrap().power.cut(cut);
    }

    /// Another program has changed this file.
    pub fn changed_outside(&self, path: &Path) {
        self.now.lock().unwrap().power.forget(path);
    }
}

fn path_of<'a>(call: &Call<'a>) -> &'a Path {
    match call {
        Call::MakeFolder(path)
        | Call::Create(path)
        | Call::Open(path)
        | Call::Write(path, _)
        | Call::Cut(path, _)
        | Call::Protect(path)
        | Call::SyncFile(path)
        | Call::SyncFolder(path)
        | Call::Rename { to: path, .. }
        | Call::Remove(path)
        | Call::Lock(path) => path,
    }
}

impl Witness for Weather {
    fn before(&self, call: Call<'_>) -> Verdict {
        let mut now = self.now.lock().unwrap();
        now.power.before(call);
        if now.is_killed {
            return Verdict::Refuse(ErrorKind::Other.into());
        }
        if now.protected.as_deref().is_some_and(|folder| path_of(&call).parent() == Some(folder)) {
            return Verdict::Refuse(ErrorKind::PermissionDenied.into());
        }
        if !now.is_counting {
            return Verdict::Make;
        }
        let count = now.count;
        now.count += 1;
        let Some(Fault { at, calls, begins, kind }) = now.fault else { return Verdict::Make };
        let after = count.checked_sub(at);
        match (after, begins, call) {
            (None, ..) => Verdict::Make,
            (Some(0), Begins::OneByte, Call::Write(..)) => Verdict::Take(1),
            (Some(_), Begins::OneByte, _) => Verdict::Make,
            (Some(0), Begins::Half, Call::Write(_, bytes)) => Verdict::Take((bytes.len() / 2).max(1)),
            (Some(after), Begins::Half, _) if after <= calls => Verdict::Refuse(io::Error::from(kind)),
            (Some(after), Begins::Whole, _) if after < calls => Verdict::Refuse(io::Error::from(kind)),
            (Some(_), Begins::Half | Begins::Whole, _) => Verdict::Make,
        }
    }

    fn after(&self, call: Call<'_>, outcome: Result<(), &io::Error>) {
        if outcome.is_ok() {
            self.now.lock().unwrap().power.after(call);
        }
    }
}
