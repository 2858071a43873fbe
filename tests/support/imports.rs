//! Which source file uses which, read from `use` lines and inline paths.

use super::sources::{Source, rust_files};
use std::collections::{BTreeMap, BTreeSet};

/// A module by its path from the crate on: `["pricing", "value", "fitted"]`.
type Module = Vec<String>;

/// The files of `src` and what each uses of the others.
pub struct Imports {
    /// By module: its file, and the modules that it uses.
    pub files: BTreeMap<Module, (String, BTreeSet<Module>)>,
}

/// A path that a file names: where to, under which name, and whether for others too.
struct Named {
    path: Vec<String>,
    name: String,
    public: bool,
}

impl Imports {
    /// Reads `src`.
    pub fn read() -> Self {
        let mut sources = rust_files("src");
        sources.retain(|file| !file.is_test());
        let modules: BTreeMap<Module, &Source> =
            sources.iter().map(|file| (module_of(file), file)).collect();
        let texts: BTreeMap<&Module, String> = modules
            .iter()
            .map(|(module, file)| (module, program(file)))
            .collect();
        let mut passed_on = BTreeMap::new();
        for (module, text) in &texts {
            for named in uses(text).0 {
                if let Some(path) = absolute(module, &named.path, &modules).filter(|_| named.public)
                {
                    passed_on.insert(((*module).clone(), named.name), path);
                }
            }
        }
        let all = Resolver {
            modules: &modules,
            passed_on: &passed_on,
        };
        let used_by = |module: &Module, file: &Source| {
            let used = all.used(module, &texts[module]);
            (module.clone(), (file.path.clone(), used))
        };
        Self {
            files: modules.iter().map(|(m, file)| used_by(m, file)).collect(),
        }
    }

    /// Groups of files of one room that use each other, in longer circles too.
    pub fn circles(&self, room: &str) -> Vec<Vec<&str>> {
        let within = |module: &&Module| module[0] == room;
        let reach: BTreeMap<&Module, BTreeSet<&Module>> = self
            .files
            .keys()
            .filter(within)
            .map(|module| (module, self.reach(module, room)))
            .collect();
        let mut circles: Vec<Vec<&str>> = Vec::new();
        for (module, reached) in &reach {
            let back = reached
                .iter()
                .filter(|other| reach[*other].contains(module));
            let circle: Vec<&str> = back.map(|other| self.files[*other].0.as_str()).collect();
            if !circle.is_empty() && !circles.contains(&circle) {
                circles.push(circle);
            }
        }
        circles
    }

    /// Files of the room that one leads to; itself only where the way comes back.
    fn reach<'a>(&'a self, from: &'a Module, room: &str) -> BTreeSet<&'a Module> {
        let mut reached = BTreeSet::new();
        let mut open = vec![from];
        while let Some(module) = open.pop() {
            for next in self.files[module].1.iter().filter(|m| m[0] == room) {
                if reached.insert(next) {
                    open.push(next);
                }
            }
        }
        reached
    }
}

fn module_of(file: &Source) -> Module {
    let path = file.path.trim_start_matches("src/").trim_end_matches(".rs");
    let path = path.strip_suffix("/mod").unwrap_or(path);
    path.split('/').map(String::from).collect()
}

/// The code without comments and unit tests.
fn program(file: &Source) -> String {
    let lines = file.code().map(|(_, line)| {
        let code = line.split("//").next().unwrap_or(line);
        // A visibility names a room without using it.
        code.split("pub(in ")
            .enumerate()
            .map(|(i, part)| match i {
                0 => part,
                _ => part.split_once(')').map_or("", |(_, rest)| rest),
            })
            .collect::<Vec<_>>()
            .join("pub ")
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// The paths of the `use` statements, and the text without them.
fn uses(text: &str) -> (Vec<Named>, String) {
    let (mut found, mut rest, mut statement) = (Vec::new(), String::new(), String::new());
    for line in text.lines() {
        let trimmed = line.trim();
        let starts = ["use ", "pub use ", "pub(super) use ", "pub(crate) use "];
        if statement.is_empty() && !starts.iter().any(|start| trimmed.starts_with(start)) {
            rest += line;
            rest.push('\n');
            continue;
        }
        statement += trimmed;
        if trimmed.ends_with(';') {
            let public = statement.starts_with("pub");
            let tree = statement.split_once("use ").map_or("", |(_, tree)| tree);
            expand(tree.trim_end_matches(';'), &mut |path| {
                let (path, name) = path.split_once(" as ").unwrap_or((path, ""));
                let mut path: Vec<String> = path.split("::").map(String::from).collect();
                // A group names its own module `self`.
                if path.last().is_some_and(|last| last == "self") {
                    path.pop();
                }
                let name = if name.is_empty() {
                    path[path.len() - 1].clone()
                } else {
                    name.into()
                };
                found.push(Named { path, name, public });
            });
            statement.clear();
        }
    }
    (found, rest)
}

/// Every path of a tree: `a::{b, c::{d, e}}` is `a::b`, `a::c::d` and `a::c::e`.
fn expand(tree: &str, take: &mut dyn FnMut(&str)) {
    let Some((before, group)) = tree.split_once('{') else {
        return take(tree.trim());
    };
    let group = group.strip_suffix('}').unwrap_or(group);
    let (mut depth, mut start) = (0, 0);
    let ends = group.char_indices().chain([(group.len(), ',')]);
    for (at, letter) in ends {
        match letter {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                let one = group[start..at].trim();
                if !one.is_empty() {
                    expand(&format!("{before}{one}"), take);
                }
                start = at + 1;
            }
            _ => {}
        }
    }
}

/// A path from the crate on; `None` for what is no path of the crate.
fn absolute(
    module: &Module,
    path: &[String],
    modules: &BTreeMap<Module, &Source>,
) -> Option<Vec<String>> {
    let climbed = path.iter().take_while(|part| *part == "super").count();
    match path[0].as_str() {
        "crate" => Some(path[1..].to_vec()),
        "self" => Some([module, &path[1..]].concat()),
        "super" => Some(
            [
                &module[..module.len().checked_sub(climbed)?],
                &path[climbed..],
            ]
            .concat(),
        ),
        child => {
            let child = [module, &[child.to_string()][..]].concat();
            let is_child = modules.contains_key(&child);
            is_child.then(|| [module, path].concat())
        }
    }
}

struct Resolver<'a> {
    modules: &'a BTreeMap<Module, &'a Source>,
    /// What a module passes on under a name, and where that stands.
    passed_on: &'a BTreeMap<(Module, String), Vec<String>>,
}

impl Resolver<'_> {
    /// The module whose file defines what a path names.
    fn home(&self, path: &[String]) -> Option<Module> {
        let mut path = path.to_vec();
        // Names are passed on a few times at most.
        for _ in 0..8 {
            let length = (1..=path.len())
                .rev()
                .find(|n| self.modules.contains_key(&path[..*n]))?;
            let module = path[..length].to_vec();
            let Some(name) = path.get(length) else {
                return Some(module);
            };
            match self.passed_on.get(&(module.clone(), name.clone())) {
                Some(further) => path = [further, &path[length + 1..]].concat(),
                None => return Some(module),
            }
        }
        None
    }

    /// The modules that a file uses.
    fn used(&self, module: &Module, text: &str) -> BTreeSet<Module> {
        let (named, rest) = uses(text);
        let mut used = BTreeSet::new();
        // Modules that were imported by name count where they are used.
        let mut local: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for child in self
            .modules
            .keys()
            .filter(|m| m[..m.len() - 1] == module[..])
        {
            local.insert(child[child.len() - 1].clone(), child.clone());
        }
        for one in named {
            let Some(path) = absolute(module, &one.path, self.modules) else {
                continue;
            };
            if self.modules.contains_key(&path) {
                local.insert(one.name, path);
            } else if let Some(home) = self.home(&path) {
                // A folder passes on what its files define.
                let passes_on = one.public && home.starts_with(module);
                used.extend(Some(home).filter(|_| !passes_on));
            }
        }
        let path_letter = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
        for path in rest.split(|c| !path_letter(c)).filter(|p| p.contains("::")) {
            let path: Vec<String> = path.split("::").map(String::from).collect();
            let known = local
                .get(&path[0])
                .map(|known| [known, &path[1..]].concat());
            let path = known.or_else(|| absolute(module, &path, self.modules));
            used.extend(path.and_then(|path| self.home(&path)));
        }
        used.remove(module);
        used
    }
}
