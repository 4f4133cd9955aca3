//! The rooms of the workbench stand one above the other: each imports only from rooms on floors below its own.

use super::modules::{House, Imports};
use super::text::{SourceFile, files};

/// The rooms from the ground up, each with its floor. Each of the panes is a room of its own.
const ROOMS: &[(&str, u8)] = &[
    ("keys", 0),
    ("drawing", 0),
    ("typing", 0),
    ("jobs", 0),
    ("questions", 0),
    ("playback", 1),
    ("library", 1),
    ("editing", 1),
    ("boxes", 2),
    ("messages", 3),
    ("panes::fretboard", 4),
    ("panes::library", 4),
    ("panes::passage", 4),
    ("panes::readings", 4),
    ("panes::recording", 4),
    ("panes::start", 4),
    ("panes::timeline", 4),
    ("desk", 5),
    ("state", 6),
    ("update", 7),
    ("screen", 7),
    ("runtime", 8),
];

/// Rooms of one floor of which the first may import the second, each with the reason.
const BESIDE: &[(&str, &str, &str)] =
    &[("panes::readings", "panes::fretboard", "what is named is what the fingers on the fretboard do")];

#[test]
fn no_room_of_the_workbench_imports_from_a_room_above_or_beside_it() {
    let imports = House::of(&files()).imports("workbench");
    let without: Vec<&String> = imports.keys().filter(|module| room_of(module).is_none()).collect();
    assert!(without.is_empty(), "these belong to no room: {without:?}");
    let climbs = climbs(&imports);
    assert!(climbs.is_empty(), "imports climb:\n{}", climbs.join("\n"));
    for (from, to, _) in BESIDE {
        let needed = imports.iter().any(|(module, targets)| {
            name_of(module) == Some(from) && targets.iter().any(|target| name_of(target) == Some(to))
        });
        assert!(needed, "{from} needs {to} no more, take the pair off the list");
    }
}

/// Returns every import that leads upwards or sideways, in words.
fn climbs(imports: &Imports) -> Vec<String> {
    let mut climbs = Vec::new();
    for (module, targets) in imports {
        for target in targets {
            let (Some((from, floor)), Some((to, other))) = (room_of(module), room_of(target)) else { continue };
            let allowed = BESIDE.iter().any(|(one, two, _)| (*one, *two) == (from, to));
            if from != to && other >= floor && !allowed {
                climbs.push(format!("{module} imports {target}"));
            }
        }
    }
    climbs
}

fn name_of(module: &str) -> Option<&'static str> {
    room_of(module).map(|(name, _)| name)
}

/// Returns the room that a module such as `workbench::panes::start::pane` lies in, with its floor.
fn room_of(module: &str) -> Option<(&'static str, u8)> {
    let path = module.strip_prefix("workbench::")?;
    let within = |name: &str| path == name || path.strip_prefix(name).is_some_and(|rest| rest.starts_with("::"));
    ROOMS.iter().find(|(name, _)| within(name)).copied()
}

#[test]
fn an_import_that_climbs_or_leads_to_a_sibling_is_found() {
    let file = |path: &str, text: &str| SourceFile {
        path: path.split('/').map(str::to_owned).collect(),
        text: text.to_owned(),
    };
    let house = House::of(&[
        file("workbench/mod", "mod boxes; mod desk; mod panes;"),
        file("workbench/boxes/mod", "mod entry;"),
        file("workbench/desk/mod", "mod lamp;"),
        file("workbench/panes/mod", "mod start; mod timeline;"),
        file("workbench/panes/start/mod", "mod pane;"),
        file("workbench/panes/timeline/mod", "mod pane;"),
        file("workbench/boxes/entry", "use crate::workbench::desk::lamp::Lamp; pub struct Entry;"),
        file("workbench/desk/lamp", "use crate::workbench::boxes::typed_line::Entry; pub struct Lamp;"),
        file("workbench/panes/start/pane", "use crate::workbench::panes::timeline::pane::Pane; pub struct Start;"),
        file("workbench/panes/timeline/pane", "pub struct Pane;"),
    ]);
    let found = [
        "workbench::boxes::entry imports workbench::desk::lamp",
        "workbench::panes::start::pane imports workbench::panes::timeline::pane",
    ];
    assert_eq!(climbs(&house.imports("workbench")), found);
}
