//! Finds the socket of the sound server. Connecting to it is not done here.
//!
//! The client library gives up when its first guess is missing, and does not look into `/run/user`. This code therefore
//! looks where the servers put their sockets: at `$PULSE_SERVER`, else below `$PULSE_RUNTIME_PATH`, `$XDG_RUNTIME_DIR`
//! and `/run/user/UID`, in the settings folder under the name of the machine, and where a server for all users has it.

use std::ffi::OsString;
use std::os::unix::fs::MetadataExt;
use std::path::PathBuf;

/// The facts about the machine on which the search depends.
#[derive(Debug, Clone, Default)]
pub struct Surroundings {
    /// `$PULSE_SERVER`. Where it is set, nothing else counts.
    pub server: Option<OsString>,
    /// `$PULSE_RUNTIME_PATH`.
    pub runtime_path: Option<OsString>,
    /// `$XDG_RUNTIME_DIR`.
    pub runtime_dir: Option<OsString>,
    /// The user's number.
    pub user: Option<u32>,
    /// `$HOME`.
    pub home: Option<OsString>,
    /// The machine's own name.
    pub machine: Option<String>,
}

impl Surroundings {
    /// Returns the facts about the machine on which the program runs.
    pub fn here() -> Self {
        let set = |name| std::env::var_os(name).filter(|value| !value.is_empty());
        Self {
            server: set("PULSE_SERVER"),
            runtime_path: set("PULSE_RUNTIME_PATH"),
            runtime_dir: set("XDG_RUNTIME_DIR"),
            user: std::fs::metadata("/proc/self").ok().map(|own| own.uid()),
            home: set("HOME"),
            machine: std::fs::read_to_string("/etc/machine-id").ok().map(|name| name.trim().to_owned()),
        }
    }

    /// Returns the places to look at, best first.
    pub fn sockets(&self) -> Vec<PathBuf> {
        if let Some(server) = &self.server {
            return servers(&server.to_string_lossy());
        }
        let mut places = Vec::new();
        places.extend(self.runtime_path.as_ref().map(PathBuf::from));
        places.extend(self.runtime_dir.as_ref().map(|folder| PathBuf::from(folder).join("pulse")));
        places.extend(self.user.map(|user| PathBuf::from(format!("/run/user/{user}/pulse"))));
        if let (Some(home), Some(machine)) = (&self.home, &self.machine) {
            places.push(PathBuf::from(home).join(".config/pulse").join(format!("{machine}-runtime")));
        }
        places.push("/run/pulse".into());
        places.dedup();
        places.into_iter().map(|place| place.join("native")).collect()
    }
}

/// Returns the sockets in a list of servers. An entry may begin with the machine for which it is meant; servers on the
/// network are left out.
fn servers(list: &str) -> Vec<PathBuf> {
    let here = |word: &str| {
        let word = word.strip_prefix('{').and_then(|rest| rest.split_once('}')).map_or(word, |(_, rest)| rest);
        let path = word.strip_prefix("unix:").unwrap_or(word);
        path.starts_with('/').then(|| PathBuf::from(path))
    };
    list.split_whitespace().filter_map(here).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sockets(surroundings: &Surroundings) -> Vec<String> {
        surroundings.sockets().iter().map(|path| path.display().to_string()).collect()
    }

    #[test]
    fn a_server_that_is_named_is_the_only_one() {
        // The syntax: https://www.freedesktop.org/wiki/Software/PulseAudio/Documentation/User/ServerStrings/
        for (list, meant) in [
            ("unix:/tmp/a/native", vec!["/tmp/a/native"]),
            ("/tmp/a/native", vec!["/tmp/a/native"]),
            ("{0123abcd}unix:/tmp/a/native tcp:box:4713", vec!["/tmp/a/native"]),
            ("tcp:box:4713", vec![]),
            ("box", vec![]),
            ("{unix:/tmp/a", vec![]),
        ] {
            let set = Surroundings { server: Some(list.into()), user: Some(1000), ..Surroundings::default() };
            assert_eq!(sockets(&set), meant, "{list}");
        }
    }

    #[test]
    fn a_folder_that_is_missing_does_not_end_the_look_up() {
        let all = Surroundings {
            server: None,
            runtime_path: Some("/a".into()),
            runtime_dir: Some("/b".into()),
            user: Some(1000),
            home: Some("/home/me".into()),
            machine: Some("m1".into()),
        };
        let places = [
            "/a/native",
            "/b/pulse/native",
            "/run/user/1000/pulse/native",
            "/home/me/.config/pulse/m1-runtime/native",
            "/run/pulse/native",
        ];
        assert_eq!(sockets(&all), places);
        let same = Surroundings { runtime_dir: Some("/run/user/7".into()), user: Some(7), ..Surroundings::default() };
        assert_eq!(sockets(&same), ["/run/user/7/pulse/native", "/run/pulse/native"]);
    }
}
