//! Which modules of a folder import which, read from the source itself, and the circles among them.
//!
//! A node is a file with code of its own. A `mod.rs` is none: it only declares and passes names on, and a name taken
//! from it leads to the file in which the name is defined. A file with a folder of the same name is a node like any
//! other: where it uses what lies in the folder and the folder uses what lies in it, the two are a circle, because
//! neither can be read without the other. What is compiled for tests only counts for nothing.
//!
//! The reading knows `use` lines, paths within code, `crate::`, `self::`, `super::`, names that a `use` has brought
//! in, globs, and methods of one type in several files as far as they call each other by `self.` or `Self::`. It does not
//! know macros that make paths, or methods called on a value that is not `self`.

use std::collections::{BTreeMap, BTreeSet};

use super::text::{SourceFile, bare};

/// A module with what its text says about names.
#[derive(Debug, Default)]
struct Module {
    /// Whether the file only declares and passes on, so that nothing can be defined in it.
    passes_on: bool,
    /// Each name that a `use` brings in, with its path as written.
    used: BTreeMap<String, Vec<String>>,
    /// The paths that end in `::*`.
    globs: Vec<Vec<String>>,
    /// Every path that the code names, those of the `use` lines included.
    named: BTreeSet<Vec<String>>,
    /// The words of the code, for finding out whether a glob can mean a name.
    defined: BTreeSet<String>,
    /// The methods of types' own blocks that stand here: the type, then the method.
    methods: BTreeSet<(String, String)>,
    /// The methods that are called here by `self.` or `Self::`, with the type that they are called on.
    called: BTreeSet<(String, String)>,
}

/// All modules of the house by their path from the root: `instrument`, `voicing`, `search`.
pub struct House {
    modules: BTreeMap<Vec<String>, Module>,
}

/// What each module imports, by path with `::` between its parts.
pub type Imports = BTreeMap<String, BTreeSet<String>>;

impl House {
    /// Reads the modules that `files` hold.
    pub fn of(files: &[SourceFile]) -> Self {
        let mut modules = BTreeMap::new();
        for file in files {
            let path = match file.path.as_slice() {
                [main] if main == "main" => continue,
                [folders @ .., last] if last == "mod" || last == "lib" => folders.to_vec(),
                path => path.to_vec(),
            };
            modules.insert(path, read_module(&file.text));
        }
        Self { modules }
    }

    /// Returns every folder below `folder` and itself, as paths below `src/`.
    pub fn folders(&self, folder: &str) -> BTreeSet<String> {
        let below = |path: &&Vec<String>| path.first().is_some_and(|first| first == folder);
        let above = |path: &Vec<String>| (1..path.len()).map(|end| path[..end].join("/")).collect::<Vec<_>>();
        self.modules.keys().filter(below).flat_map(above).collect()
    }

    /// Returns what the entries of `folder`, files and whole folders, import from each other.
    pub fn imports_of_entries(&self, folder: &str) -> Imports {
        let parts = folder.split('/').count() + 1;
        let entry = |module: &String| module.split("::").take(parts).collect::<Vec<_>>().join("::");
        let mut entries = Imports::new();
        for (from, targets) in self.imports(folder) {
            let imported = entries.entry(entry(&from)).or_default();
            imported.extend(targets.iter().map(entry).filter(|target| *target != entry(&from)));
        }
        entries
    }

    /// Returns what the modules of `folder` (a path below `src/`) import from each other.
    pub fn imports(&self, folder: &str) -> Imports {
        let folder: Vec<String> = folder.split('/').map(str::to_owned).collect();
        let mut imports = Imports::new();
        for (path, module) in self.modules.iter().filter(|(path, _)| path.starts_with(&folder)) {
            let mut found = BTreeSet::new();
            for named in &module.named {
                if let Some(target) = self.target(path, named, 0)
                    && target != *path
                    && target.starts_with(&folder)
                    && !self.modules[&target].passes_on
                {
                    found.insert(target.join("::"));
                }
            }
            for call in module.called.difference(&module.methods) {
                let homes = self
                    .modules
                    .iter()
                    .filter(|(home, known)| *home != path && home.starts_with(&folder) && known.methods.contains(call));
                found.extend(homes.map(|(home, _)| home.join("::")));
            }
            if !module.passes_on {
                imports.insert(path.join("::"), found);
            }
        }
        imports
    }

    /// Returns the module in which the thing that `named` means lies, seen from `from`; `None` for what is not ours.
    fn target(&self, from: &[String], named: &[String], depth: usize) -> Option<Vec<String>> {
        let (first, rest) = named.split_first()?;
        // Two files that pass the same name on to each other would lead in a ring.
        if depth > 12 {
            return None;
        }
        match first.as_str() {
            "crate" => self.walk(Vec::new(), rest, depth),
            "self" => self.walk(from.to_vec(), rest, depth),
            "super" => self.walk(from.split_last()?.1.to_vec(), rest, depth),
            _ => {
                let child = joined(from, first);
                if self.modules.contains_key(&child) {
                    return self.walk(child, rest, depth);
                }
                let module = self.modules.get(from)?;
                if let Some(path) = module.used.get(first) {
                    let path: Vec<String> = path.iter().chain(rest).cloned().collect();
                    // A name that is brought in under itself (`use serde::Serialize`) is not ours.
                    return (path != named).then(|| self.target(from, &path, depth + 1)).flatten();
                }
                self.through_globs(from, first, depth)
            }
        }
    }

    /// Goes from the module `at` along `rest`.
    fn walk(&self, at: Vec<String>, rest: &[String], depth: usize) -> Option<Vec<String>> {
        let Some((first, after)) = rest.split_first() else { return Some(at) };
        if first == "super" {
            return self.walk(at.split_last()?.1.to_vec(), after, depth);
        }
        let child = joined(&at, first);
        if self.modules.contains_key(&child) {
            return self.walk(child, after, depth);
        }
        let module = self.modules.get(&at)?;
        if let Some(path) = module.used.get(first) {
            return self.target(&at, path, depth + 1);
        }
        self.through_globs(&at, first, depth).or(Some(at))
    }

    /// Looks for `name` where the globs of the module `at` lead.
    fn through_globs(&self, at: &[String], name: &str, depth: usize) -> Option<Vec<String>> {
        let module = self.modules.get(at)?;
        if module.defined.contains(name) {
            return None;
        }
        module.globs.iter().find_map(|glob| {
            let target = self.target(at, glob, depth + 1)?;
            self.modules.get(&target)?.defined.contains(name).then_some(target)
        })
    }
}

/// Returns the groups of modules that import each other in a circle, the largest first.
pub fn circles(imports: &Imports) -> Vec<Vec<String>> {
    let reached: BTreeMap<&String, BTreeSet<&String>> =
        imports.keys().map(|from| (from, reach(imports, from))).collect();
    let mut seen = BTreeSet::new();
    let mut circles = Vec::new();
    for from in imports.keys() {
        if !reached[from].contains(from) || !seen.insert(from) {
            continue;
        }
        let circle: Vec<String> = imports
            .keys()
            .filter(|other| reached[from].contains(other) && reached[*other].contains(from))
            .cloned()
            .collect();
        seen.extend(imports.keys().filter(|other| circle.contains(other)));
        circles.push(circle);
    }
    circles.sort_by_key(|circle| std::cmp::Reverse(circle.len()));
    circles
}

/// Returns everything that `from` leads to, itself only where it lies on a circle.
fn reach<'a>(imports: &'a Imports, from: &String) -> BTreeSet<&'a String> {
    let mut found = BTreeSet::new();
    let mut open: Vec<&String> = imports[from].iter().collect();
    while let Some(next) = open.pop() {
        if found.insert(next)
            && let Some(further) = imports.get(next)
        {
            open.extend(further);
        }
    }
    found
}

fn joined(path: &[String], name: &str) -> Vec<String> {
    path.iter().cloned().chain([name.to_owned()]).collect()
}

fn read_module(text: &str) -> Module {
    let words = words(&bare(text));
    let mut module = Module { passes_on: true, ..Module::default() };
    read_methods(&words, &mut module);
    let mut at = 0;
    while at < words.len() {
        if words[at..].starts_with(&["#", "[", "cfg", "(", "test", ")", "]"].map(str::to_owned)) {
            at = after_item(&words, at + 7);
        } else if words[at] == "use" {
            let end = (at..words.len()).find(|end| words[*end] == ";").unwrap_or(words.len());
            read_use(&words[at + 1..end], &mut Vec::new(), &mut module);
            at = end + 1;
        } else if let Some(end) = path_end(&words, at) {
            let path: Vec<String> = words[at..end].iter().step_by(2).cloned().collect();
            module.defined.extend(path.first().cloned());
            module.named.insert(path);
            at = end;
        } else {
            module.passes_on &= !["fn", "struct", "enum", "trait", "type", "impl", "const", "static", "macro_rules"]
                .contains(&words[at].as_str());
            if at > 0
                && ["fn", "struct", "enum", "trait", "type", "const", "static", "mod"].contains(&words[at - 1].as_str())
            {
                module.defined.insert(words[at].clone());
            }
            at += 1;
        }
    }
    module
}

/// Reads which methods stand in the `impl` blocks, and which of the same type those call.
fn read_methods(words: &[String], module: &mut Module) {
    let mut at = 0;
    while at < words.len() {
        if words[at..].starts_with(&["#", "[", "cfg", "(", "test", ")", "]"].map(str::to_owned)) {
            at = after_item(words, at + 7);
            continue;
        }
        // Elsewhere `impl` begins a type that is not named.
        let begins = at == 0 || [";", "}", "]", "{", "unsafe"].contains(&words[at - 1].as_str());
        if words[at] != "impl" || !begins {
            at += 1;
            continue;
        }
        let end = after_item(words, at);
        let opens = (at..end).find(|place| words[*place] == "{").unwrap_or(end);
        if let Some((name, of_a_trait)) = type_of_block(&words[at + 1..opens]) {
            read_block(&words[(opens + 1).min(end)..end], &name, of_a_trait, module);
        }
        at = end.max(at + 1);
    }
}

/// Reads the inside of an `impl` block.
fn read_block(body: &[String], name: &str, of_a_trait: bool, module: &mut Module) {
    let mut depth = 0usize;
    for (at, word) in body.iter().enumerate() {
        let after = |distance: usize| body.get(at + distance).map_or("", String::as_str);
        match word.as_str() {
            "{" | "(" | "[" => depth += 1,
            "}" | ")" | "]" => depth = depth.saturating_sub(1),
            "fn" if depth == 0 && !of_a_trait => _ = module.methods.insert((name.to_owned(), after(1).to_owned())),
            "self" if after(1) == "." && after(3) == "(" => {
                module.called.insert((name.to_owned(), after(2).to_owned()));
            }
            "Self" if after(1) == "::" && after(3) == "(" => {
                module.called.insert((name.to_owned(), after(2).to_owned()));
            }
            _ => {}
        }
    }
}

/// Returns the type whose block a line begins, and whether the block belongs to a trait.
fn type_of_block(head: &[String]) -> Option<(String, bool)> {
    let is_for = |at: &usize| head[*at] == "for" && head.get(at + 1).is_none_or(|word| word != "<");
    let of_a_trait = (0..head.len()).rev().find(is_for);
    let mut at = of_a_trait.map_or(0, |at| at + 1);
    if head.get(at)? == "<" {
        let mut depth = 0;
        while let Some(word) = head.get(at) {
            match word.as_str() {
                "<" => depth += 1,
                // The arrow of a function is no bracket.
                ">" if head[at - 1] != "-" => depth -= 1,
                _ => {}
            }
            at += 1;
            if depth == 0 {
                break;
            }
        }
    }
    let path = head[at..].iter().take_while(|word| !["<", "where"].contains(&word.as_str()));
    path.filter(|word| *word != "::").last().map(|name| (name.clone(), of_a_trait.is_some()))
}

/// Returns the end of the path of two or more names that begins at `at`.
fn path_end(words: &[String], at: usize) -> Option<usize> {
    let is_name =
        |at: usize| words.get(at).is_some_and(|word| word.starts_with(|c: char| c.is_alphabetic() || c == '_'));
    let mut end = at + 1;
    if !is_name(at) || at > 0 && words[at - 1] == "::" {
        return None;
    }
    while words.get(end).is_some_and(|word| word == "::") && is_name(end + 1) {
        end += 2;
    }
    (end > at + 1).then_some(end)
}

/// Returns where the item ends that begins at `at`: behind its `;` or its closing brace.
fn after_item(words: &[String], at: usize) -> usize {
    let mut depth = 0usize;
    for (place, word) in words.iter().enumerate().skip(at) {
        match word.as_str() {
            "{" | "(" | "[" => depth += 1,
            "}" | ")" | "]" => {
                depth -= 1;
                if depth == 0 && word == "}" {
                    return place + 1;
                }
            }
            ";" if depth == 0 => return place + 1,
            _ => {}
        }
    }
    words.len()
}

/// Reads the tree of one `use`; `before` is the path that leads to it.
fn read_use(words: &[String], before: &mut Vec<String>, module: &mut Module) {
    let depth_before = before.len();
    let mut at = 0;
    while at < words.len() {
        match words[at].as_str() {
            "{" => {
                let end = after_item(words, at);
                for part in parts(&words[at + 1..end - 1]) {
                    read_use(part, before, module);
                }
                before.truncate(depth_before);
                return;
            }
            "*" => {
                module.globs.push(before.clone());
                module.named.insert(before.clone());
                before.truncate(depth_before);
                return;
            }
            "::" => {}
            "as" => break,
            "self" if !before.is_empty() => {}
            name => before.push(name.to_owned()),
        }
        at += 1;
    }
    let name = if at < words.len() { words.get(at + 1).cloned() } else { before.last().cloned() };
    if let Some(name) = name {
        module.used.insert(name, before.clone());
    }
    module.named.insert(before.clone());
    before.truncate(depth_before);
}

/// Splits the inside of a pair of braces at its own commas.
fn parts(words: &[String]) -> Vec<&[String]> {
    let mut depth = 0;
    words
        .split(|word| {
            match word.as_str() {
                "{" => depth += 1,
                "}" => depth -= 1,
                _ => {}
            }
            word == "," && depth == 0
        })
        .filter(|part| !part.is_empty())
        .collect()
}

/// Splits code into names, `::` and single signs.
fn words(code: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut rest = code.trim_start();
    while let Some(first) = rest.chars().next() {
        let is_part = |c: char| c.is_alphanumeric() || c == '_';
        let length = if is_part(first) {
            rest.find(|c| !is_part(c)).unwrap_or(rest.len())
        } else if rest.starts_with("::") {
            2
        } else {
            first.len_utf8()
        };
        words.push(rest[..length].to_owned());
        rest = rest[length..].trim_start();
    }
    words
}
